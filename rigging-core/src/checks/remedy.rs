//! What would change the verdict: the length tolerance and the rating at which it turns.

use super::{Assessment, Code, MissingInput, Verdict};
use crate::arrangement::Lift;
use crate::demand::{self, Demand, ToleranceBox};
use crate::error::Error;
use crate::system;

/// What would change a verdict.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Remedy {
    /// The inputs that are missing.
    Add(Vec<MissingInput>),
    /// A failing strength passes at one of these.
    Passes {
        /// The length tolerance, in meters, the same for every leg, within which it passes; none where it fails even
        /// with exact lengths.
        length_tolerance: Option<f64>,
        /// The capacity, in N, with which it passes.
        capacity: f64,
    },
    /// A passing strength holds up to these.
    Holds {
        /// The length tolerance, in meters, the same for every leg, up to which everything in the load path passes; none
        /// beyond ten times the present one.
        length_tolerance: Option<f64>,
        /// The capacity, in N, down to which the governing item passes.
        capacity: f64,
    },
    /// Nothing in figures.
    Other(String),
}

/// Tolerances are found to this, in meters; they are printed to the millimeter.
const RESOLUTION: f64 = 1e-5;

impl Assessment {
    /// What would change the verdict.
    ///
    /// # Errors
    /// As [`Lift::assess`].
    pub fn remedy(&self, lift: &Lift) -> Result<Remedy, Error> {
        let Some(governing) = self.governing() else { return Ok(Remedy::Other("nothing was checked".to_owned())) };
        if governing.verdict == Verdict::CannotConclude {
            let missing: Vec<_> = self.findings.iter().flat_map(|finding| finding.missing.iter().cloned()).collect();
            return Ok(if missing.is_empty() { Remedy::Other(governing.text.clone()) } else { Remedy::Add(missing) });
        }
        let by_lengths =
            [Code::SlingStrength, Code::FittingStrength, Code::LiftPointStrength].contains(&governing.code);
        let (true, Some(demand), Some(asked)) = (by_lengths, &self.demand, &governing.demand) else {
            return Ok(match &governing.demand {
                Some(asked) if asked.unit() == "N" => match governing.verdict {
                    Verdict::Fail => Remedy::Passes { length_tolerance: None, capacity: asked.value() },
                    _ => Remedy::Holds { length_tolerance: None, capacity: asked.value() },
                },
                _ => Remedy::Other(governing.text.clone()),
            });
        };
        let search = Search::new(self, lift, demand)?;
        let largest = demand.tolerances.lengths.iter().copied().fold(0.0, f64::max);
        Ok(match governing.verdict {
            Verdict::Fail => {
                Remedy::Passes { length_tolerance: search.turning_point(0.0, largest)?, capacity: asked.value() }
            }
            _ => Remedy::Holds {
                length_tolerance: search.turning_point(largest, 10.0 * largest.max(RESOLUTION))?,
                capacity: asked.value(),
            },
        })
    }
}

/// The search for the length tolerance at which a strength along a leg turns from pass to fail.
struct Search<'a> {
    lift: &'a Lift,
    model: system::System,
    tolerances: &'a ToleranceBox,
    /// Least capacity along each leg.
    capacities: Vec<f64>,
}

impl<'a> Search<'a> {
    fn new(assessment: &Assessment, lift: &'a Lift, demand: &'a Demand) -> Result<Self, Error> {
        let capacities = assessment.legs.iter().map(|leg| leg.allowed.unwrap_or(0.0)).collect();
        let model = system::from_lift(lift, demand.weight.model_mass())?;
        Ok(Self { lift, model, tolerances: &demand.tolerances, capacities })
    }

    /// Largest tolerance between `passing` and `beyond` at which every leg still passes; none where it fails at
    /// `passing` already, or still passes at `beyond`.
    fn turning_point(&self, passing: f64, beyond: f64) -> Result<Option<f64>, Error> {
        let (mut low, mut high) = (passing, beyond);
        if !self.passes(low)? || self.passes(high)? {
            return Ok(None);
        }
        while high - low > RESOLUTION {
            let middle = 0.5 * (low + high);
            if self.passes(middle)? { low = middle } else { high = middle }
        }
        Ok(Some(low))
    }

    fn passes(&self, tolerance: f64) -> Result<bool, Error> {
        let extremes = demand::sweep(self.lift, &self.model, &self.tolerances.with_length_tolerance(tolerance))?;
        Ok(extremes.not_stable.is_none()
            && extremes.legs.iter().zip(&self.capacities).all(|(leg, capacity)| leg.largest <= *capacity))
    }
}
