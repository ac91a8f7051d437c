//! How a number scatters.

use super::special::{normal_probability, normal_quantile};
use crate::error::{Error, Place};
use std::fmt;
use std::sync::Arc;

/// The distribution of one number, in the unit of that number. All are asked through their quantile function, so that a
/// user's own is as good as any.
#[derive(Clone)]
pub struct Distribution(Kind);

#[derive(Clone)]
enum Kind {
    Uniform { least: f64, most: f64 },
    Normal { mean: f64, deviation: f64 },
    TruncatedNormal { mean: f64, deviation: f64, below: f64, within: f64, ends: [f64; 2] },
    Triangular { least: f64, mode: f64, most: f64 },
    Observed { ascending: Arc<[f64]> },
    Quantile { of: Arc<dyn Fn(f64) -> f64 + Send + Sync> },
}

impl Distribution {
    /// Alike from `least` to `most`.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] unless both are finite and `most` is not below `least`.
    pub fn uniform(least: f64, most: f64) -> Result<Self, Error> {
        ordered([least, most])?;
        Ok(Self(Kind::Uniform { least, most }))
    }

    /// Normal with a mean and a standard deviation.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] unless both are finite and the deviation is positive.
    pub fn normal(mean: f64, deviation: f64) -> Result<Self, Error> {
        finite("mean", mean)?;
        positive("standard deviation", deviation)?;
        Ok(Self(Kind::Normal { mean, deviation }))
    }

    /// Normal with `mean` and `deviation` before what lies outside `least` to `most` is sorted out.
    ///
    /// # Errors
    /// As [`Distribution::normal`]; [`Error::OutOfDomain`] also unless the ends are in order and leave at least 1e-12 of the
    /// probability between them.
    pub fn truncated_normal(mean: f64, deviation: f64, least: f64, most: f64) -> Result<Self, Error> {
        finite("mean", mean)?;
        positive("standard deviation", deviation)?;
        ordered([least, most])?;
        let below = normal_probability((least - mean) / deviation);
        let within = normal_probability((most - mean) / deviation) - below;
        if within < 1.0e-12 {
            return Err(refused("probability between the ends", within, "at least 1e-12"));
        }
        Ok(Self(Kind::TruncatedNormal { mean, deviation, below, within, ends: [least, most] }))
    }

    /// Density that rises from `least` to `mode` and falls to `most`.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] unless all are finite and in order, the ends apart.
    pub fn triangular(least: f64, mode: f64, most: f64) -> Result<Self, Error> {
        ordered([least, mode, most])?;
        if most <= least {
            return Err(refused("greatest value", most, "above the least"));
        }
        Ok(Self(Kind::Triangular { least, mode, most }))
    }

    /// The values of a sample, each as likely as the others.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] for a value that is not finite; [`Error::Missing`] without values.
    pub fn observed(values: impl Into<Vec<f64>>) -> Result<Self, Error> {
        let mut values = values.into();
        if values.is_empty() {
            return Err(Error::missing("a value of the sample", "values", Place::root().child("values")));
        }
        for value in &values {
            finite("value of the sample", *value)?;
        }
        values.sort_by(f64::total_cmp);
        Ok(Self(Kind::Observed { ascending: values.into() }))
    }

    /// A user's own: the value below which a value lies with the probability given, for probabilities strictly between 0
    /// and 1. What it returns is checked when it is used: a row with a value that is not sound has an error.
    pub fn quantile_function(of: impl Fn(f64) -> f64 + Send + Sync + 'static) -> Self {
        Self(Kind::Quantile { of: Arc::new(of) })
    }

    /// A distribution by its number in arrays and in the C interface: 0 uniform (least, most), 1 normal (mean, standard
    /// deviation), 2 truncated normal (mean, standard deviation, least, most), 3 triangular (least, mode, most), 4 the values
    /// of a sample.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] for another number; [`Error::Inconsistent`] for another number of parameters; those of the
    /// distribution.
    pub fn from_code(code: i32, parameters: &[f64]) -> Result<Self, Error> {
        match (code, parameters) {
            (0, [least, most]) => Self::uniform(*least, *most),
            (1, [mean, deviation]) => Self::normal(*mean, *deviation),
            (2, [mean, deviation, least, most]) => Self::truncated_normal(*mean, *deviation, *least, *most),
            (3, [least, mode, most]) => Self::triangular(*least, *mode, *most),
            (4, values) => Self::observed(values),
            (0..=3, _) => {
                let what = format!("{} parameters for distribution {code}", parameters.len());
                Err(Error::inconsistent(what, Place::root().child("parameters")))
            }
            _ => Err(refused("number of the distribution", f64::from(code), "from 0 to 4")),
        }
    }

    /// The value below which a value lies with the probability `p`, 0 < p < 1.
    ///
    /// ```
    /// use rigging_core::equilibrium::sampling::Distribution;
    /// let cut = Distribution::triangular(0.0, 1.0, 4.0)?;
    /// assert_eq!(cut.quantile(0.25), 1.0);
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    #[inline]
    pub fn quantile(&self, p: f64) -> f64 {
        match &self.0 {
            Kind::Uniform { least, most } => least + p * (most - least),
            Kind::Normal { mean, deviation } => mean + deviation * normal_quantile(p),
            Kind::TruncatedNormal { mean, deviation, below, within, ends: [least, most] } => {
                (mean + deviation * normal_quantile(below + p * within)).clamp(*least, *most)
            }
            Kind::Triangular { least, mode, most } => {
                let range = most - least;
                if p * range <= mode - least {
                    least + (p * range * (mode - least)).sqrt()
                } else {
                    most - ((1.0 - p) * range * (most - mode)).sqrt()
                }
            }
            Kind::Observed { ascending } => {
                let index = (p * ascending.len() as f64) as usize;
                ascending.get(index.min(ascending.len() - 1)).copied().unwrap_or(f64::NAN)
            }
            Kind::Quantile { of } => of(p),
        }
    }

    /// The value that belongs to a standard normal one.
    #[inline]
    pub(super) fn of_normal(&self, z: f64) -> f64 {
        match &self.0 {
            Kind::Normal { mean, deviation } => mean + deviation * z,
            _ => self.quantile(normal_probability(z).clamp(f64::MIN_POSITIVE, 1.0 - 0.5 * f64::EPSILON)),
        }
    }
}

impl fmt::Debug for Distribution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Kind::Uniform { least, most } => write!(f, "uniform from {least} to {most}"),
            Kind::Normal { mean, deviation } => write!(f, "normal, mean {mean}, standard deviation {deviation}"),
            Kind::TruncatedNormal { mean, deviation, ends: [least, most], .. } => {
                write!(f, "normal, mean {mean}, standard deviation {deviation}, from {least} to {most}")
            }
            Kind::Triangular { least, mode, most } => write!(f, "triangular, {least}, {mode}, {most}"),
            Kind::Observed { ascending } => write!(f, "sample of {} values", ascending.len()),
            Kind::Quantile { .. } => f.write_str("quantile function"),
        }
    }
}

fn refused(name: &str, value: f64, allowed: &str) -> Error {
    Error::out_of_domain(name, value, "", allowed, Place::root())
}

fn finite(name: &str, value: f64) -> Result<(), Error> {
    if value.is_finite() { Ok(()) } else { Err(refused(name, value, "finite")) }
}

fn positive(name: &str, value: f64) -> Result<(), Error> {
    if value > 0.0 && value.is_finite() { Ok(()) } else { Err(refused(name, value, "positive and finite")) }
}

fn ordered<const N: usize>(values: [f64; N]) -> Result<(), Error> {
    let mut before = f64::NEG_INFINITY;
    for value in values {
        finite("end of a range", value)?;
        if value < before {
            return Err(refused("end of a range", value, "not below the one before"));
        }
        before = value;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn means_and_deviations_are_those_of_the_textbook() {
        let moments = |d: &Distribution| {
            let n = 400_000;
            let values = (0..n).map(|i| d.quantile((f64::from(i) + 0.5) / f64::from(n)));
            let (sum, squares) = values.fold((0.0, 0.0), |(sum, squares), v| (sum + v, squares + v * v));
            let mean = sum / f64::from(n);
            (mean, (squares / f64::from(n) - mean * mean).sqrt())
        };
        let cases = [
            (Distribution::uniform(-1.0, 3.0).unwrap(), 1.0, (16.0_f64 / 12.0).sqrt()),
            (Distribution::normal(2.0, 0.5).unwrap(), 2.0, 0.5),
            // (a² + b² + c² − ab − ac − bc)/18
            (Distribution::triangular(0.0, 1.0, 4.0).unwrap(), 5.0 / 3.0, (13.0_f64 / 18.0).sqrt()),
            // Cut at one standard deviation: 1 − 2·φ(1)/(2·Φ(1) − 1).
            (Distribution::truncated_normal(0.0, 1.0, -1.0, 1.0).unwrap(), 0.0, 0.539_559_6),
            (Distribution::observed(vec![3.0, 1.0, 2.0]).unwrap(), 2.0, (2.0_f64 / 3.0).sqrt()),
            (Distribution::quantile_function(|p| 2.0 * p), 1.0, (4.0_f64 / 12.0).sqrt()),
        ];
        for (distribution, mean, deviation) in cases {
            let (found, spread) = moments(&distribution);
            assert!(
                (found - mean).abs() < 2.0e-5 && (spread - deviation).abs() < 2.0e-4,
                "{distribution:?} {found} {spread}"
            );
            for z in [-3.0, -0.5, 0.0, 1.2] {
                let (one, other) = (distribution.of_normal(z), distribution.quantile(normal_probability(z)));
                assert!((one - other).abs() < 1.0e-12, "{distribution:?}");
            }
        }
    }

    #[test]
    fn what_makes_no_sense_is_refused() {
        assert!(Distribution::uniform(1.0, 0.0).is_err());
        assert!(Distribution::uniform(f64::NAN, 0.0).is_err());
        assert!(Distribution::normal(0.0, 0.0).is_err());
        assert!(Distribution::normal(0.0, f64::INFINITY).is_err());
        assert!(Distribution::truncated_normal(0.0, 1.0, 20.0, 21.0).is_err());
        assert!(Distribution::triangular(0.0, 2.0, 1.0).is_err());
        assert!(Distribution::triangular(1.0, 1.0, 1.0).is_err());
        assert!(Distribution::observed(vec![]).is_err());
        assert!(Distribution::observed(vec![f64::NAN]).is_err());
    }
}
