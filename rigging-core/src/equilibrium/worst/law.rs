//! Laws of members over an interval of strains.

use super::interval::Interval;
use crate::system::Law;

/// Tension at every strain of an interval, N: a law rises, so its ends bound it.
pub(super) fn tension(law: &Law, strain: Interval) -> Interval {
    let strain = strain.positive_part();
    Interval { lo: at(law, strain.lo).lo.max(0.0), hi: at(law, strain.hi).hi }
}

/// Tension at one strain.
fn at(law: &Law, strain: f64) -> Interval {
    let e = Interval::point(strain);
    match law {
        Law::Linear { ea } => e * *ea,
        Law::Polynomial { coefficients } => {
            let sum = coefficients.iter().rev().fold(Interval::ZERO, |sum, c| sum * e + Interval::point(*c));
            sum * e
        }
        Law::PiecewiseLinear { points } => {
            let end = points.partition_point(|[to, _]| *to < strain);
            let [from, to] = segment(points, end);
            Interval::point(from[1]) + slope_between(from, to) * (e - Interval::point(from[0]))
        }
    }
}

/// Slope of the law at every strain of an interval that is not negative, N; where the law bends, both slopes and all between.
pub(super) fn slope(law: &Law, strain: Interval) -> Interval {
    let strain = strain.positive_part();
    match law {
        Law::Linear { ea } => Interval::point(*ea),
        Law::Polynomial { coefficients } => {
            let terms = coefficients.iter().enumerate().rev();
            terms.fold(Interval::ZERO, |sum, (power, c)| sum * strain + Interval::point(*c) * (power + 1) as f64)
        }
        Law::PiecewiseLinear { points } => {
            let first = points.partition_point(|[to, _]| *to < strain.lo);
            let last = points.partition_point(|[to, _]| *to <= strain.hi);
            let slopes = (first..=last).map(|end| {
                let [from, to] = segment(points, end);
                slope_between(from, to)
            });
            slopes.reduce(Interval::hull).unwrap_or(Interval::ENTIRE)
        }
    }
}

/// Tension over strain at every strain of an interval that is positive, N. It is a mean of slopes between zero and there, and
/// tension rises with strain.
pub(super) fn secant(law: &Law, strain: Interval) -> Interval {
    if let Law::Linear { ea } = law {
        return Interval::point(*ea);
    }
    let mean = slope(law, Interval { lo: 0.0, hi: strain.hi });
    if strain.lo > 0.0 && strain.lo <= strain.hi {
        let ratio = tension(law, strain) / strain;
        return mean.meet(ratio).unwrap_or(mean);
    }
    mean
}

/// The segment that ends at a point of the law; the last one beyond the last point.
fn segment(points: &[[f64; 2]], end: usize) -> [[f64; 2]; 2] {
    let end = end.min(points.len().saturating_sub(1));
    let from = end.checked_sub(1).and_then(|before| points.get(before)).copied().unwrap_or([0.0; 2]);
    [from, points.get(end).copied().unwrap_or([1.0; 2])]
}

fn slope_between(from: [f64; 2], to: [f64; 2]) -> Interval {
    (Interval::point(to[1]) - Interval::point(from[1])) / (Interval::point(to[0]) - Interval::point(from[0]))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn tension_and_slope_are_enclosed_over_every_piece() {
        let laws = [
            Law::linear(1.0e6).unwrap(),
            Law::polynomial(vec![1.0e6, -2.0e6, 5.0e6]).unwrap(),
            Law::piecewise_linear(vec![[0.01, 1.0e4], [0.03, 9.0e4], [0.04, 9.5e4]]).unwrap(),
        ];
        for law in laws {
            for (lo, hi) in [(-0.01, 0.005), (0.004, 0.02), (0.01, 0.03), (0.02, 0.05), (0.05, 0.06)] {
                let strain = Interval { lo, hi };
                for step in 0..=20 {
                    let e = (lo + (hi - lo) * f64::from(step) / 20.0).min(hi);
                    assert!(tension(&law, strain).contains(law.tension(e)), "{law:?} at {e}");
                    if e > 0.0 {
                        let secant = secant(&law, strain);
                        let ratio = law.tension(e) / e;
                        assert!(
                            secant.lo <= ratio * (1.0 + 1.0e-14) && ratio * (1.0 - 1.0e-14) <= secant.hi,
                            "{law:?} at {e}"
                        );
                        assert!(slope(&law, strain).contains(law.slope(e)), "{law:?} at {e}");
                    }
                }
            }
        }
    }
}
