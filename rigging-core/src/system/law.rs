//! The law of a member: tension against strain.

use crate::error::{Error, Place};
use serde::{Deserialize, Serialize};

/// The highest degree of a polynomial law.
const MAX_DEGREE: usize = 12;
/// The greatest number of points of a piecewise linear law.
const MAX_POINTS: usize = 10_000;

/// Tension T (N) against strain e = (l − L0)/L0; T = 0 for e ≤ 0.
///
/// Every law is strictly increasing for e > 0 with a positive slope at its start: a member that grows weaker as it
/// stretches has no place in a static equilibrium.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Law {
    /// T = EA·e.
    Linear {
        /// Axial stiffness EA, N.
        ea: f64,
    },
    /// T = c1·e + c2·e² + …
    Polynomial {
        /// The coefficients c1, c2, …, N.
        coefficients: Vec<f64>,
    },
    /// Straight segments from (0, 0) through the points; the last slope continues.
    PiecewiseLinear {
        /// The points `[strain, tension in N]`, without the origin.
        points: Vec<[f64; 2]>,
    },
}

impl Law {
    /// T = `ea`·e, with `ea` in N.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] unless `ea` lies between 1e-12 and 1e18 N.
    ///
    /// ```
    /// use rigging_core::system::Law;
    /// let law = Law::linear(6.0e6)?;
    /// assert_eq!(law.tension(0.01), 6.0e4);
    /// assert_eq!(law.tension(-0.01), 0.0);
    /// assert!(Law::linear(0.0).is_err());
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn linear(ea: f64) -> Result<Self, Error> {
        Self::Linear { ea }.checked()
    }

    /// T = c1·e + c2·e² + …, coefficients in N.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] if a coefficient is not finite, c1 is not positive, or the tension does not increase for
    /// every e > 0; [`Error::TooLarge`] above degree 12.
    ///
    /// ```
    /// use rigging_core::system::Law;
    /// assert!(Law::polynomial(vec![1.0e6, 2.0e7]).is_ok());
    /// assert!(Law::polynomial(vec![1.0e6, -1.0e8]).is_err()); // falls beyond e = 0.005
    /// ```
    pub fn polynomial(coefficients: Vec<f64>) -> Result<Self, Error> {
        Self::Polynomial { coefficients }.checked()
    }

    /// Straight segments from (0, 0) through `points` (`[strain, tension in N]`); the last slope continues.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] if a number is not finite, or strain or tension does not increase strictly;
    /// [`Error::Inconsistent`] without a point; [`Error::TooLarge`] above 10 000 points.
    ///
    /// ```
    /// use rigging_core::system::Law;
    /// let law = Law::piecewise_linear(vec![[0.01, 1000.0], [0.02, 4000.0]])?;
    /// assert!((law.tension(0.03) - 7000.0).abs() < 1.0e-9);
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn piecewise_linear(points: Vec<[f64; 2]>) -> Result<Self, Error> {
        Self::PiecewiseLinear { points }.checked()
    }

    /// The same law with every tension times `factor`.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] unless the factor is positive and leaves the law within its range.
    ///
    /// ```
    /// use rigging_core::system::Law;
    /// let law = Law::polynomial(vec![1.0e6, 2.0e7])?;
    /// assert_eq!(law.scaled(2.0)?.tension(0.01), 2.0 * law.tension(0.01));
    /// assert!(law.scaled(-1.0).is_err());
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn scaled(&self, factor: f64) -> Result<Self, Error> {
        if !(factor > 0.0 && factor.is_finite()) {
            let place = Place::root();
            return Err(Error::out_of_domain("factor on the law", factor, "", "positive and finite", place));
        }
        match self {
            Self::Linear { ea } => Self::Linear { ea: ea * factor },
            Self::Polynomial { coefficients } => {
                Self::Polynomial { coefficients: coefficients.iter().map(|c| c * factor).collect() }
            }
            Self::PiecewiseLinear { points } => Self::PiecewiseLinear {
                points: points.iter().map(|[strain, tension]| [*strain, tension * factor]).collect(),
            },
        }
        .checked()
    }

    fn checked(self) -> Result<Self, Error> {
        self.validate(Place::root)?;
        Ok(self)
    }

    /// Refuses a law that is not finite and strictly increasing; `place` is where the law stands.
    pub(crate) fn validate(&self, place: impl FnOnce() -> Place) -> Result<(), Error> {
        match self {
            Self::Linear { ea } => in_range("axial stiffness", *ea, || place().child("ea")),
            Self::Polynomial { coefficients } => validate_polynomial(coefficients, &place().child("coefficients")),
            Self::PiecewiseLinear { points } => validate_points(points, &place().child("points")),
        }
    }

    /// Tension at a strain, N.
    pub fn tension(&self, strain: f64) -> f64 {
        self.tension_and_slope(strain).0
    }

    /// Slope dT/de at a strain, N; for e ≤ 0 it is that of the tightening member just taut.
    pub fn slope(&self, strain: f64) -> f64 {
        self.tension_and_slope(strain).1
    }

    /// Tension and slope at once; see [`Law::tension`] and [`Law::slope`].
    #[inline]
    pub fn tension_and_slope(&self, strain: f64) -> (f64, f64) {
        match self {
            Self::Linear { ea } => (ea * strain.max(0.0), *ea),
            Self::Polynomial { coefficients } => {
                let e = strain.max(0.0);
                let (mut value, mut slope) = (0.0, 0.0);
                for c in coefficients.iter().rev() {
                    slope = slope * e + value;
                    value = value * e + c;
                }
                // value is T/e, slope its derivative.
                (value * e, value + slope * e)
            }
            Self::PiecewiseLinear { points } => {
                let e = strain.max(0.0);
                let ([e0, t0], [e1, t1]) = segment(points, e);
                let slope = (t1 - t0) / (e1 - e0);
                (t0 + slope * (e - e0), slope)
            }
        }
    }

    /// Strain energy per meter of unstretched length, J/m: the integral of the tension from 0 to `strain`.
    pub fn energy(&self, strain: f64) -> f64 {
        let e = strain.max(0.0);
        match self {
            Self::Linear { ea } => 0.5 * ea * e * e,
            Self::Polynomial { coefficients } => {
                let mut value = 0.0;
                for (index, c) in coefficients.iter().enumerate().rev() {
                    value = value * e + c / (index as f64 + 2.0);
                }
                value * e * e
            }
            Self::PiecewiseLinear { points } => {
                let mut sum = 0.0;
                let mut from = [0.0, 0.0];
                for point in points {
                    if point[0] >= e {
                        break;
                    }
                    sum += 0.5 * (from[1] + point[1]) * (point[0] - from[0]);
                    from = *point;
                }
                sum + 0.5 * (from[1] + self.tension(e)) * (e - from[0])
            }
        }
    }
}

/// The segment on which `e` lies; beyond the last point it is the last one.
fn segment(points: &[[f64; 2]], e: f64) -> ([f64; 2], [f64; 2]) {
    let origin = [0.0, 0.0];
    let end = points.partition_point(|point| point[0] < e).min(points.len().saturating_sub(1));
    let to = points.get(end).copied().unwrap_or([1.0, 0.0]);
    let from = end.checked_sub(1).and_then(|i| points.get(i)).copied().unwrap_or(origin);
    (from, to)
}

fn in_range(name: &str, value: f64, place: impl FnOnce() -> Place) -> Result<(), Error> {
    if (1.0e-12..=1.0e18).contains(&value) {
        return Ok(());
    }
    Err(Error::out_of_domain(name, value, "N", "from 1e-12 to 1e18 N", place()))
}

fn validate_polynomial(coefficients: &[f64], place: &Place) -> Result<(), Error> {
    if coefficients.len() > MAX_DEGREE {
        let reading =
            crate::error::Reading::new("degree", coefficients.len() as f64, "", format!("at most {MAX_DEGREE}"));
        return Err(Error::TooLarge { reading, place: place.clone() });
    }
    let first = coefficients.first().ok_or_else(|| Error::inconsistent("the law has no coefficient", place.clone()))?;
    in_range("first coefficient", *first, || place.child(0))?;
    for (index, c) in coefficients.iter().enumerate() {
        if !(-1.0e24..=1.0e24).contains(c) {
            return Err(Error::out_of_domain("coefficient", *c, "N", "finite, at most 1e24 N", place.child(index)));
        }
    }
    let slope: Vec<f64> = (1_u32..).zip(coefficients).map(|(power, c)| f64::from(power) * c).collect();
    if let Some(strain) = positive_roots(&slope).first() {
        return Err(Error::out_of_domain(
            "strain at which the tension no longer increases",
            *strain,
            "",
            "absent: the tension must increase at every strain",
            place.clone(),
        ));
    }
    Ok(())
}

fn validate_points(points: &[[f64; 2]], place: &Place) -> Result<(), Error> {
    if points.is_empty() {
        return Err(Error::inconsistent("the law has no point", place.clone()));
    }
    if points.len() > MAX_POINTS {
        let reading = crate::error::Reading::new("points", points.len() as f64, "", format!("at most {MAX_POINTS}"));
        return Err(Error::TooLarge { reading, place: place.clone() });
    }
    let mut before = [0.0, 0.0];
    for (index, [strain, tension]) in points.iter().enumerate() {
        let place = place.child(index);
        if *strain <= before[0] || !(0.0..=1.0e6).contains(strain) {
            let allowed = format!("more than {} and at most 1e6", before[0]);
            return Err(Error::out_of_domain("strain", *strain, "", allowed, place.child(0)));
        }
        if *tension <= before[1] || !(0.0..=1.0e24).contains(tension) {
            let allowed = format!("more than {} and at most 1e24 N", before[1]);
            return Err(Error::out_of_domain("tension", *tension, "N", allowed, place.child(1)));
        }
        in_range("slope of the segment", (tension - before[1]) / (strain - before[0]), || place.clone())?;
        before = [*strain, *tension];
    }
    Ok(())
}

fn value_at(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// The positive roots of a polynomial (constant first), in ascending order. Between two neighboring roots of the
/// derivative the polynomial is monotone, so a change of sign, or a touching of zero, is found there and nowhere else.
fn positive_roots(coefficients: &[f64]) -> Vec<f64> {
    let used = coefficients.iter().rposition(|c| *c != 0.0).map_or(0, |last| last + 1);
    let trimmed = coefficients.get(..used).unwrap_or(&[]);
    let Some((leading, rest)) = trimmed.split_last() else { return Vec::new() };
    if rest.is_empty() {
        return Vec::new();
    }
    let derivative: Vec<f64> = (1_u32..).zip(trimmed.iter().skip(1)).map(|(power, c)| f64::from(power) * c).collect();
    // Cauchy's bound: no root lies beyond it.
    let bound = 2.0 + rest.iter().fold(0.0_f64, |most, c| most.max((c / leading).abs()));
    let mut stations = positive_roots(&derivative);
    stations.retain(|x| *x < bound);
    stations.push(bound);
    let mut roots: Vec<f64> = Vec::new();
    let mut low = 0.0;
    for high in stations {
        let (at_low, at_high) = (value_at(trimmed, low), value_at(trimmed, high));
        if at_high == 0.0 {
            roots.push(high);
        } else if at_low * at_high < 0.0 {
            roots.push(bisect(trimmed, low, high));
        }
        low = high;
    }
    roots
}

fn bisect(coefficients: &[f64], mut low: f64, mut high: f64) -> f64 {
    let rising = value_at(coefficients, high) > 0.0;
    loop {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            return high;
        }
        if (value_at(coefficients, middle) > 0.0) == rising {
            high = middle;
        } else {
            low = middle;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_slope_and_the_energy_are_those_of_the_tension() {
        let laws = [
            Law::linear(1.0e6).unwrap(),
            Law::polynomial(vec![1.0e6, -2.0e6, 5.0e6]).unwrap(),
            Law::piecewise_linear(vec![[0.01, 1.0e4], [0.03, 9.0e4]]).unwrap(),
        ];
        for law in laws {
            for e in [0.004, 0.02, 0.05, 0.7] {
                let h = 1.0e-6;
                let slope = (law.tension(e + h) - law.tension(e - h)) / (2.0 * h);
                assert!((slope - law.slope(e)).abs() < 1.0e-6 * slope, "{law:?} at {e}");
                let tension = (law.energy(e + h) - law.energy(e - h)) / (2.0 * h);
                assert!((tension - law.tension(e)).abs() < 1.0e-6 * tension, "{law:?} at {e}");
            }
        }
    }

    #[test]
    fn a_polynomial_that_dips_far_out_or_between_is_refused() {
        // T' = (e − 1)(e − 2)·1e6: falls between e = 1 and e = 2 only.
        assert!(Law::polynomial(vec![2.0e6, -1.5e6, 1.0e6 / 3.0]).is_err());
        // T' = ((e − 1)² + 0.01)·1e6 never falls.
        assert!(Law::polynomial(vec![1.01e6, -1.0e6, 1.0e6 / 3.0]).is_ok());
        assert!(Law::polynomial(vec![1.0e6, 0.0, 0.0, -1.0]).is_err());
        assert!(Law::polynomial(vec![]).is_err());
        assert!(Law::polynomial(vec![0.0, 1.0]).is_err());
        assert!(Law::polynomial(vec![1.0, f64::NAN]).is_err());
    }

    #[test]
    fn points_must_rise_in_strain_and_tension() {
        for points in [
            vec![[0.01, 10.0], [0.01, 20.0]],
            vec![[0.01, 10.0], [0.02, 10.0]],
            vec![[0.01, 10.0], [0.02, 9.0]],
            vec![[f64::NAN, 10.0]],
            vec![[0.1, f64::INFINITY]],
            vec![],
        ] {
            assert!(Law::piecewise_linear(points.clone()).is_err(), "{points:?}");
        }
    }
}
