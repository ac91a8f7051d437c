//! The reliability index that the allowed utilization of a rule set stands for, in one lift.

use super::{Assessment, LegFigures};
use crate::arrangement::{Lift, read};
use crate::equilibrium::sampling::{Experiment, Sample, normal_probability, reliability_index};
use crate::error::{Error, Place};
use crate::gear::Known;
use crate::rules::RuleSet;
use crate::statics::ExperimentInputs;
use crate::text::Text;
use serde::{Deserialize, Serialize};

/// Format of [`ReliabilityInputs`]; additions do not change it.
const INPUTS_FORMAT: u64 = 1;
/// Rows that are drawn.
const MOST_ROWS: usize = 10_000_000;

/// How the strength of a leg scatters: lognormal, from the user's tests.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Strength {
    /// Mean force at which the leg fails, as it hangs in this lift, N.
    pub mean: f64,
    /// Standard deviation over the mean.
    pub variation: f64,
}

/// What the question for the implied index needs, as one JSON document.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ReliabilityInputs {
    /// What scatters in the lift.
    pub experiment: ExperimentInputs,
    /// Of each leg, how its strength scatters; "unknown" where nobody has measured it.
    pub strengths: Vec<Known<Strength>>,
    /// Rows that are drawn.
    pub rows: usize,
}

impl ReliabilityInputs {
    /// Reads the inputs from a JSON text.
    ///
    /// # Errors
    /// Every error of the form of the text, each with its JSON pointer.
    pub fn from_json(text: &str) -> Result<Self, Error> {
        read::read(text, INPUTS_FORMAT)
    }
}

/// What the allowed utilization stands for, of one leg.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ImpliedIndex {
    /// Name of the leg.
    pub leg: Text,
    /// The largest force that the rule set allows, N.
    pub allowed: f64,
    /// The largest force over it.
    pub utilization: f64,
    /// Probability that the leg fails if all forces were so much larger that its utilization is 1.
    pub probability: f64,
    /// Its standard error, from the rows that were drawn.
    pub standard_error: f64,
    /// The reliability index that belongs to it.
    pub index: f64,
}

/// The implied indices of a lift under a rule set. They hold for what scatters as told, and for nothing else: no damage, no
/// error of people, no motion. Support for, and no replacement of, the judgment of the competent person.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ImpliedIndices {
    /// Name of the rule set.
    pub rules: Text,
    /// Of each leg.
    pub legs: Vec<ImpliedIndex>,
}

impl Lift {
    /// The reliability index that the allowed utilization under a rule set stands for in this lift.
    ///
    /// The lift is assessed; the experiment draws its tensions. Of each leg all tensions are then made larger or smaller by one
    /// factor, with which the assessed one is just what the rule set allows, and the probability that they exceed the strength
    /// is the mean of its distribution function over the rows. So small probabilities need few rows as long as the strength
    /// scatters more than the tensions.
    ///
    /// # Errors
    /// [`Error::Missing`] for a leg whose scatter of strength is not told, or for which the rule set could not conclude;
    /// [`Error::Inconsistent`] unless there is one entry for each leg; [`Error::OutOfDomain`] for a mean or variation that is
    /// not positive and for rows out of their range; [`Error::Unsupported`] for a row that is no lift; those of
    /// [`Balance::experiment`](crate::statics::Balance::experiment) and [`Lift::assess`].
    pub fn implied_indices(&self, rules: &RuleSet, inputs: &ReliabilityInputs) -> Result<ImpliedIndices, Error> {
        let experiment = self.hang()?.experiment(&inputs.experiment)?;
        let place = || Place::root().child("strengths");
        if inputs.strengths.len() != experiment.legs() {
            return Err(Error::inconsistent("one entry of strength for each leg, which may be \"unknown\"", place()));
        }
        if !(100..=MOST_ROWS).contains(&inputs.rows) {
            let allowed = format!("from 100 to {MOST_ROWS}");
            return Err(Error::out_of_domain("rows", inputs.rows as f64, "", allowed, Place::root().child("rows")));
        }
        let assessment = self.assess(rules)?;
        let sample = drawn(&experiment, inputs.rows)?;
        let mut legs = Vec::with_capacity(inputs.strengths.len());
        for (index, (figures, strength)) in assessment.legs.iter().zip(&inputs.strengths).enumerate() {
            let what = || format!("how the strength of {} scatters", figures.name);
            let place = || place().child(index);
            let strength = strength.required(what(), "{\"mean\": …, \"variation\": …}", place)?;
            let tensions = sample.tension().iter().skip(index).step_by(experiment.legs()).copied();
            legs.push(of_leg(&assessment, figures, strength.checked(&place())?, tensions)?);
        }
        Ok(ImpliedIndices { rules: assessment.rules.name.clone(), legs })
    }
}

fn drawn(experiment: &Experiment, rows: usize) -> Result<Sample, Error> {
    let mut sample = Sample::default();
    sample.draw(experiment, rows, 0)?;
    if sample.tension().iter().any(|tension| tension.is_nan()) {
        let what = "the implied index where a state that was drawn is no lift";
        return Err(Error::unsupported(what, Place::root().child("experiment")));
    }
    Ok(sample)
}

fn of_leg(
    assessment: &Assessment,
    figures: &LegFigures,
    strength: Strength,
    tensions: impl ExactSizeIterator<Item = f64>,
) -> Result<ImpliedIndex, Error> {
    let (Some(allowed), Some(utilization)) = (figures.allowed, figures.utilization) else {
        let what =
            format!("what {} allows for {}: the assessment names what to add", assessment.rules.name, figures.name);
        return Err(Error::missing(what, "…", Place::root().child("legs")));
    };
    let count = tensions.len() as f64;
    let (mut sum, mut squares) = (0.0, 0.0);
    for tension in tensions {
        let fails = strength.below(tension / utilization);
        sum += fails;
        squares += fails * fails;
    }
    let probability = sum / count;
    let variance = (squares / count - probability * probability).max(0.0);
    let standard_error = (variance / (count - 1.0)).sqrt();
    let index = reliability_index(probability);
    Ok(ImpliedIndex { leg: figures.name.clone(), allowed, utilization, probability, standard_error, index })
}

impl Strength {
    fn checked(self, place: &Place) -> Result<Self, Error> {
        for (name, value, unit) in [("mean", self.mean, "N"), ("variation", self.variation, "")] {
            if !(value > 0.0 && value.is_finite()) {
                return Err(Error::out_of_domain(name, value, unit, "positive and finite", place.child(name)));
            }
        }
        Ok(self)
    }

    /// Probability that the strength is below a force.
    fn below(self, force: f64) -> f64 {
        if force <= 0.0 {
            return 0.0;
        }
        let square = libm::log1p(self.variation * self.variation);
        normal_probability((libm::log(force / self.mean) + 0.5 * square) / square.sqrt())
    }
}
