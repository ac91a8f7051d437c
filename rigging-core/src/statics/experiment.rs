//! From the tolerances of a document to distributions, as the user chooses to read them.

use super::{Balance, WorstInputs};
use crate::arrangement::read;
use crate::equilibrium::sampling::{Arrangement, Distribution, Experiment, Input};
use crate::equilibrium::{self, nearby, network};
use crate::error::{Error, Place};
use serde::Deserialize;

/// Format of [`ExperimentInputs`]; additions do not change it.
const INPUTS_FORMAT: u64 = 1;

/// How a tolerance is read as a distribution about the stated number. A document states how far a number may be off, not how
/// likely; this is the user's choice, and nothing is assumed in its place.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Spread {
    /// Alike within the tolerance.
    Uniform,
    /// A density that falls evenly to nothing at the tolerance.
    Triangular,
    /// Normal; the tolerance is that many standard deviations, and may be exceeded.
    Normal {
        /// Standard deviations in the tolerance.
        deviations: f64,
    },
    /// The same, cut at the tolerance.
    TruncatedNormal {
        /// Standard deviations in the tolerance.
        deviations: f64,
    },
}

impl Spread {
    fn about(self, stated: f64, tolerance: f64) -> Result<Distribution, Error> {
        let (least, most) = (stated - tolerance, stated + tolerance);
        match self {
            Self::Uniform => Distribution::uniform(least, most),
            Self::Triangular => Distribution::triangular(least, stated, most),
            Self::Normal { deviations } => Distribution::normal(stated, tolerance / deviations),
            Self::TruncatedNormal { deviations } => {
                Distribution::truncated_normal(stated, tolerance / deviations, least, most)
            }
        }
    }
}

/// How each kind of tolerance is read; needed where one of that kind is not zero.
#[derive(Debug, Clone, Copy, Default, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ReadAs {
    /// Lengths.
    pub lengths: Option<Spread>,
    /// Coordinates of the center of gravity.
    pub center_of_gravity: Option<Spread>,
    /// Stiffnesses.
    pub stiffness: Option<Spread>,
    /// Mass.
    pub mass: Option<Spread>,
    /// Heights of hooks.
    pub hook_heights: Option<Spread>,
}

/// What an experiment needs beside the balance, as one JSON document.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ExperimentInputs {
    /// Tolerance of the length of each leg, m; as the document states where it is left out.
    pub lengths: Option<Vec<f64>>,
    /// Tolerance of the coordinates of the center of gravity, m; as the document states where it is left out.
    pub center_of_gravity: Option<[f64; 3]>,
    /// Tolerance of the stiffness of each leg, over its own.
    pub stiffness: Vec<f64>,
    /// Tolerance of the mass of the load, over its own.
    pub mass: f64,
    /// Tolerance of the height of each hook, m. That of a single hook changes nothing and may be left out.
    pub hook_heights: Option<Vec<f64>>,
    /// How the tolerances are read.
    pub read_as: ReadAs,
    /// Decides every random number.
    pub seed: u64,
}

impl ExperimentInputs {
    /// Reads the inputs from a JSON text.
    ///
    /// # Errors
    /// Every error of the form of the text, each with its JSON pointer.
    ///
    /// ```
    /// use rigging_core::statics::{ExperimentInputs, Spread};
    /// let text = r#"{"stiffness": [0, 0, 0, 0], "mass": 0, "seed": 7,
    ///     "read_as": {"lengths": "uniform", "center_of_gravity": {"normal": {"deviations": 2}}}}"#;
    /// assert_eq!(ExperimentInputs::from_json(text)?.read_as.lengths, Some(Spread::Uniform));
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn from_json(text: &str) -> Result<Self, Error> {
        read::read(text, INPUTS_FORMAT)
    }
}

impl Balance {
    /// The experiment in which what the document gives a tolerance scatters as the user reads it: lengths, coordinates of the
    /// center of gravity, stiffnesses and weight of the load, and heights of several hooks, each independent of the others.
    /// Numbers without a tolerance are fixed. Rows of one load under one hook are hung side by side, those of any other lift
    /// one by one, at some hundred times the cost.
    ///
    /// # Errors
    /// [`Error::Missing`] for a tolerance that neither the inputs nor the document state, also of the heights of several hooks,
    /// where it is not told how a tolerance is read, and if nothing is uncertain; [`Error::Unsupported`] for slings that run over
    /// stations; [`Error::Inconsistent`] and [`Error::OutOfDomain`] for what is no tolerance of it; those of [`Distribution`].
    ///
    /// ```
    /// use rigging_core::arrangement::Lift;
    /// use rigging_core::equilibrium::sampling::{Response, Sample};
    /// use rigging_core::statics::ExperimentInputs;
    /// let balance = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?.hang()?;
    /// let inputs = r#"{"stiffness": [0, 0, 0, 0], "mass": 0, "center_of_gravity": [0, 0, 0], "seed": 7,
    ///     "read_as": {"lengths": "uniform"}}"#;
    /// let mut sample = Sample::default();
    /// sample.draw(&balance.experiment(&ExperimentInputs::from_json(inputs)?)?, 10_000, 1)?;
    /// // Below the worst of all vertices, 99.5 kN.
    /// let largest = sample.quantile(Response::Largest, 0.999, 0.95)?;
    /// assert!((85.0e3..99.5e3).contains(&largest.value));
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn experiment(&self, inputs: &ExperimentInputs) -> Result<Experiment, Error> {
        self.nothing_runs("an experiment")?;
        let tolerances = self.tolerances(&WorstInputs {
            lengths: inputs.lengths.clone(),
            center_of_gravity: inputs.center_of_gravity,
            stiffness: inputs.stiffness.clone(),
            mass: inputs.mass,
            hook_heights: inputs.hook_heights.clone(),
            gap: 1.0,
            parts: 0,
        })?;
        let model = &self.model;
        let lengths: Vec<f64> = model.members().iter().map(|member| member.length).collect();
        tolerances.validate(&lengths)?;
        if tolerances.hook_heights.len() != model.hooks().len() {
            let place = Place::root().child("hook_heights");
            return Err(Error::inconsistent("one tolerance of height for each hook", place));
        }
        let mut uncertain = Vec::new();
        let mut scatter = |input: Input, kind: &str, spread: Option<Spread>, stated: f64, tolerance: f64| {
            if tolerance > 0.0 {
                let place = || Place::root().child("read_as").child(kind);
                let add = format!("\"{kind}\": \"…\"");
                let what = format!("how the tolerance of {} is read", kind.replace('_', " "));
                let spread = spread.ok_or_else(|| Error::missing(what, &add, place()))?;
                uncertain.push((input, spread.about(stated, tolerance).map_err(|error| error.at(place()))?));
            }
            Ok::<(), Error>(())
        };
        let read_as = &inputs.read_as;
        for (leg, (stated, tolerance)) in lengths.iter().zip(&tolerances.lengths).enumerate() {
            scatter(Input::Length(leg), "lengths", read_as.lengths, *stated, *tolerance)?;
        }
        for (leg, tolerance) in tolerances.stiffness.iter().enumerate() {
            scatter(Input::Stiffness(leg), "stiffness", read_as.stiffness, 1.0, *tolerance)?;
        }
        let (nominal, center, weight) = self.nominal()?;
        for (axis, (stated, tolerance)) in center.into_iter().zip(tolerances.center_of_gravity).enumerate() {
            scatter(Input::Center(axis), "center_of_gravity", read_as.center_of_gravity, stated, tolerance)?;
        }
        scatter(Input::Weight, "mass", read_as.mass, weight, tolerances.weight * weight)?;
        if let [_, _, ..] = model.hooks() {
            for (hook, (stated, tolerance)) in model.hooks().iter().zip(&tolerances.hook_heights).enumerate() {
                scatter(Input::Hook(hook), "hook_heights", read_as.hook_heights, stated.position.z, *tolerance)?;
            }
        }
        Experiment::new(nominal, uncertain, inputs.seed)
    }

    /// What rows are near to, with center of gravity and weight of the load as they stand there.
    fn nominal(&self) -> Result<(Arrangement, [f64; 3], f64), Error> {
        if let Ok(bridle) = equilibrium::bridle_of(&self.model) {
            let (center, weight) = (bridle.center_of_gravity(), bridle.weight());
            return Ok((nearby::Nominal::new(bridle)?.into(), center.to_array(), weight));
        }
        let nominal = network::Nominal::new(&self.model)?;
        let load = self.model.bodies().first();
        let center = load.map_or([f64::NAN; 3], |load| load.center_of_gravity.to_array());
        let weight = load.map_or(f64::NAN, |load| load.mass * self.model.gravity());
        Ok((nominal.into(), center, weight))
    }
}
