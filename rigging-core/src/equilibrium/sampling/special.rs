//! The normal and the binomial distribution.
//!
//! Logarithms, exponentials, error and gamma functions are those of the `libm` package, which are the same on every machine.

use std::f64::consts::FRAC_1_SQRT_2;

/// Probability of a standard normal value below `z`.
///
/// ```
/// use rigging_core::equilibrium::sampling::normal_probability;
/// assert!((normal_probability(-3.0) - 1.349_898_031_630_09e-3).abs() < 1.0e-16);
/// ```
pub fn normal_probability(z: f64) -> f64 {
    0.5 * libm::erfc(-z * FRAC_1_SQRT_2)
}

/// Density of the standard normal distribution.
fn normal_density(z: f64) -> f64 {
    const OVER_ROOT_TWO_PI: f64 = 0.398_942_280_401_432_7;
    OVER_ROOT_TWO_PI * libm::exp(-0.5 * z * z)
}

/// The standard normal value below which a value lies with the probability `p`; ∓∞ for 0 and 1.
///
/// ```
/// use rigging_core::equilibrium::sampling::{normal_probability, normal_quantile};
/// assert!((normal_quantile(1.0e-6) + 4.753_424_308_822_899).abs() < 1.0e-13);
/// assert_eq!(normal_quantile(0.5), 0.0);
/// ```
pub fn normal_quantile(p: f64) -> f64 {
    if !(0.0..=1.0).contains(&p) {
        return f64::NAN;
    }
    if p > 0.5 {
        // 1 − p is exact here.
        return -lower_quantile(1.0 - p);
    }
    lower_quantile(p)
}

/// For 0 ≤ p ≤ ½: a start that is good to a few percent, then Halley's steps on the logarithm of the probability.
fn lower_quantile(p: f64) -> f64 {
    if p == 0.0 {
        return f64::NEG_INFINITY;
    }
    if p == 0.5 {
        return 0.0;
    }
    // The density at z over the probability below it is near −z in the tail, so z² ≈ 2·ln(1/p) less a logarithm.
    let t = (-2.0 * libm::log(p)).sqrt();
    let mut z = if t > 2.0 { -(t * t - libm::log(t * t) - 1.837_877).max(0.5).sqrt() } else { (p - 0.5) * 2.6 };
    for _ in 0..8 {
        let below = normal_probability(z);
        // Newton's step for ln Φ(z) = ln p, and the curvature of ln Φ.
        let rate = normal_density(z) / below;
        let step = libm::log(below / p) / rate;
        let bent = step / (1.0 + 0.5 * step * (z + rate)).max(0.5);
        z -= bent;
        if bent.abs() <= 1.0e-9 * z.abs().max(1.0e-3) {
            // Convergence is of the third order: what is left is below rounding.
            break;
        }
    }
    z
}

/// Regularized incomplete beta function I_x(a, b) for positive a and b, by its continued fraction.
fn incomplete_beta(a: f64, b: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    let front = a * libm::log(x) + b * libm::log1p(-x) + libm::lgamma(a + b) - libm::lgamma(a) - libm::lgamma(b);
    if x < (a + 1.0) / (a + b + 2.0) {
        libm::exp(front) * fraction(a, b, x) / a
    } else {
        1.0 - libm::exp(front) * fraction(b, a, 1.0 - x) / b
    }
}

/// The continued fraction, from its head on, by ratios of numerators and of denominators.
fn fraction(a: f64, b: f64, x: f64) -> f64 {
    const LEAST: f64 = 1.0e-300;
    const MOST_TERMS: u32 = 100_000;
    let kept = |value: f64| if value.abs() < LEAST { LEAST } else { value };
    let mut numerator = 1.0;
    let mut denominator = 1.0 / kept(1.0 - (a + b) * x / (a + 1.0));
    let mut product = denominator;
    for term in 1..MOST_TERMS {
        let m = f64::from(term);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        denominator = 1.0 / kept(1.0 + even * denominator);
        numerator = kept(1.0 + even / numerator);
        product *= denominator * numerator;
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        denominator = 1.0 / kept(1.0 + odd * denominator);
        numerator = kept(1.0 + odd / numerator);
        let factor = denominator * numerator;
        product *= factor;
        if (factor - 1.0).abs() < 1.0e-15 {
            break;
        }
    }
    product
}

/// Probability of at most `count` events among `trials` of probability `p` each.
pub(super) fn binomial_at_most(count: u64, trials: u64, p: f64) -> f64 {
    if count >= trials {
        return 1.0;
    }
    incomplete_beta((trials - count) as f64, count as f64 + 1.0, 1.0 - p)
}

/// The probabilities of one trial between which `count` events among `trials` leave it, each side with half of what is
/// left of `confidence`: the exact bounds of Clopper and Pearson, wide rather than narrow.
pub(super) fn binomial_bounds(count: u64, trials: u64, confidence: f64) -> [f64; 2] {
    let tail = 0.5 * (1.0 - confidence);
    // Both rise with p, so the end is bracketed and halved.
    let root = |above: &dyn Fn(f64) -> bool| {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..120 {
            let middle = 0.5 * (low + high);
            if above(middle) {
                high = middle;
            } else {
                low = middle;
            }
        }
        0.5 * (low + high)
    };
    let (k, n) = (count as f64, trials as f64);
    let least = if count == 0 { 0.0 } else { root(&|p| incomplete_beta(k, n - k + 1.0, p) > tail) };
    let most = if count >= trials { 1.0 } else { root(&|p| incomplete_beta(k + 1.0, n - k, p) > 1.0 - tail) };
    [least, most]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantile_undoes_probability() {
        for step in -370..=80 {
            let z = f64::from(step) / 10.0;
            let p = normal_probability(z);
            // Above the middle the probability has lost digits that no inverse can bring back.
            let lost = f64::EPSILON / normal_density(z);
            assert!((normal_quantile(p) - z).abs() <= 4.0e-15 * z.abs().max(1.0) + 2.0 * lost.min(1.0), "{z}");
        }
        assert_eq!(normal_quantile(0.0), f64::NEG_INFINITY);
        assert_eq!(normal_quantile(1.0), f64::INFINITY);
        assert!(normal_quantile(-0.1).is_nan() && normal_quantile(f64::NAN).is_nan());
    }

    /// The binomial distribution summed term by term.
    fn summed(count: u64, trials: u64, p: f64) -> f64 {
        let mut term = (1.0 - p).powi(trials as i32);
        let mut sum = term;
        for k in 0..count {
            term *= (trials - k) as f64 / (k + 1) as f64 * p / (1.0 - p);
            sum += term;
        }
        sum
    }

    #[test]
    fn binomial_probabilities_are_sums() {
        for trials in [1, 7, 100, 400] {
            for p in [0.001, 0.1, 0.5, 0.9] {
                for count in 0..trials.min(60) {
                    let (found, expected) = (binomial_at_most(count, trials, p), summed(count, trials, p));
                    assert!((found - expected).abs() < 1.0e-11, "{count} of {trials}, {p}: {found} {expected}");
                }
            }
        }
    }

    #[test]
    fn bounds_cover_and_are_exact() {
        for (count, trials) in [(0, 10), (1, 100), (50, 100), (10, 10), (100, 1_000_000)] {
            let [least, most] = binomial_bounds(count, trials, 0.95);
            let share = count as f64 / trials as f64;
            assert!(least <= share && share <= most);
            if count > 0 {
                assert!((1.0 - binomial_at_most(count - 1, trials, least) - 0.025).abs() < 1.0e-7);
            }
            if count < trials {
                assert!((binomial_at_most(count, trials, most) - 0.025).abs() < 1.0e-7);
            }
        }
        // No event in n trials: the upper bound is 1 − (α/2)^(1/n).
        let [least, most] = binomial_bounds(0, 1000, 0.95);
        assert!(least == 0.0 && (most - (1.0 - 0.025_f64.powf(1.0e-3))).abs() < 1.0e-12);
    }
}
