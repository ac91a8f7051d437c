//! Bounds from multipliers, rounded outward.
//!
//! A condition G = 0 or G ≤ 0 may be taken from a form with any multiplier, or with one that is not negative, and what remains
//! is nowhere less. Forms of all are known with their rests, and every symbol lies between −1 and 1. So any multipliers give
//! a bound; good ones a close one.

use super::affine::Affine;
use super::forms::{Condition, Kind, MOST_ROWS};

/// Bounds the rounding of the sums below, over the sum of the sizes of what is added up.
const ROUNDING: f64 = 64.0 * f64::EPSILON;

/// No unknowns that keep the conditions give the form more than this.
pub(super) fn bound<const N: usize>(
    objective: &Affine<N>,
    conditions: &[Condition<N>],
    multipliers: &[f64; MOST_ROWS],
) -> f64 {
    let (mut middle, mut rest, mut sizes) = (objective.middle, objective.rest, objective.middle.abs());
    let (mut slopes, mut slope_sizes) = (objective.slopes, objective.slopes.map(f64::abs));
    for (condition, multiplier) in conditions.iter().zip(multipliers) {
        let y = match condition.kind {
            Kind::Zero => *multiplier,
            Kind::NotAbove => multiplier.max(0.0),
        };
        if y == 0.0 {
            continue;
        }
        let form = &condition.form;
        middle -= y * form.middle;
        sizes += (y * form.middle).abs();
        rest += y.abs() * form.rest;
        for ((slope, size), own) in slopes.iter_mut().zip(&mut slope_sizes).zip(&form.slopes) {
            *slope -= y * own;
            *size += (y * own).abs();
        }
    }
    let reach: f64 = slopes.iter().map(|slope| slope.abs()).sum();
    let sizes = sizes + rest + slope_sizes.iter().sum::<f64>();
    let bound = middle + rest + reach + ROUNDING * sizes;
    // Multipliers that are not numbers bound nothing.
    if bound.is_nan() { f64::INFINITY } else { bound }
}

/// Whether the multipliers prove that no unknowns keep the conditions.
pub(super) fn is_contradiction<const N: usize>(conditions: &[Condition<N>], multipliers: &[f64; MOST_ROWS]) -> bool {
    bound(&Affine::ZERO, conditions, multipliers) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    const SYMBOLS: usize = 16;

    fn noise(seed: u64) -> f64 {
        let z = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15);
        let z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        ((z ^ (z >> 27)) >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }

    /// With any multipliers: conditions are made so that a drawn point keeps them, and the form there is within the bound.
    #[test]
    fn any_multipliers_give_a_bound() {
        for case in 0..500 {
            let at: [f64; SYMBOLS] = std::array::from_fn(|k| noise(case * 331 + k as u64));
            let draw = |seed: u64| {
                let mut form = Affine::point(0.0);
                form.slopes = std::array::from_fn(|k| noise(case * 1009 + seed * 17 + k as u64));
                form.rest = 0.1 * noise(seed + case).abs();
                form
            };
            let value = |form: &Affine<SYMBOLS>| form.slopes.iter().zip(&at).map(|(slope, x)| slope * x).sum::<f64>();
            let conditions: Vec<Condition<SYMBOLS>> = (0..6)
                .map(|number| {
                    let mut form = draw(number);
                    let kind = if number % 2 == 0 { Kind::Zero } else { Kind::NotAbove };
                    // Zero, or no more, by what the rest allows to either side.
                    form.middle = -value(&form) + form.rest * noise(number * 71 + case);
                    Condition { form, kind }
                })
                .collect();
            let mut multipliers = [0.0; MOST_ROWS];
            multipliers.iter_mut().zip(0..).for_each(|(y, k): (_, u64)| *y = noise(case * 53 + k));
            let objective = draw(90);
            let bound = bound(&objective, &conditions, &multipliers);
            assert!(
                value(&objective) - objective.rest <= bound && value(&objective) + objective.rest <= bound + 1.0e-12
            );
            assert!(!is_contradiction(&conditions, &multipliers));
        }
    }

    /// What a condition knows up to its rest only is bounded by that rest, whether it is added or taken away.
    #[test]
    fn the_rest_of_a_condition_is_part_of_the_bound() {
        for sign in [1.0, -1.0] {
            let mut form = Affine::<SYMBOLS>::point(0.0);
            form.slopes[0] = sign;
            form.rest = 0.25;
            let conditions = [Condition { form, kind: Kind::Zero }];
            let mut objective = Affine::point(0.0);
            objective.slopes[0] = 1.0;
            let mut multipliers = [0.0; MOST_ROWS];
            multipliers[0] = sign;
            let bound = bound(&objective, &conditions, &multipliers);
            assert!((0.25..0.25 + 1.0e-12).contains(&bound), "{bound}");
        }
    }

    /// A condition that is kept by far proves nothing, whatever the sign of its multiplier.
    #[test]
    fn a_condition_that_is_kept_by_far_is_no_contradiction() {
        let conditions = [Condition { form: Affine::<SYMBOLS>::point(-5.0), kind: Kind::NotAbove }];
        let mut multipliers = [0.0; MOST_ROWS];
        for multiplier in [1.0, -1.0] {
            multipliers[0] = multiplier;
            assert!(!is_contradiction(&conditions, &multipliers));
        }
    }
}
