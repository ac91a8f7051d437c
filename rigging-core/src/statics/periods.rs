//! Natural periods of the hanging lift.

use super::Balance;
use super::motions::PartMotion;
use crate::arrangement::read;
use crate::equilibrium::period::{Excitation, Inertia, natural_periods};
use crate::error::{Error, Place};
use glam::{DMat3, DVec3};
use serde::{Deserialize, Deserializer, Serialize};

/// Format of [`PeriodInputs`]; additions do not change it.
const INPUTS_FORMAT: u64 = 1;

/// Mass moments of inertia of a body about its center of gravity, in the frame as drawn, kg·m².
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BodyInertia {
    /// About the axes x, y and z.
    pub moments: [f64; 3],
    /// Products of inertia ∫xy dm, ∫xz dm, ∫yz dm.
    #[serde(default)]
    pub products: [f64; 3],
}

/// What natural periods need beside the balance, as one JSON document: `inertias`, and `excitations` where there are any.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PeriodInputs {
    /// One for each body, the load first.
    pub inertias: Vec<BodyInertia>,
    /// What may shake the lift.
    #[serde(default, deserialize_with = "excitations")]
    #[cfg_attr(feature = "schema", schemars(with = "Vec<Entry>"))]
    pub excitations: Vec<Excitation>,
}

impl PeriodInputs {
    /// Reads the inputs from a JSON text.
    ///
    /// # Errors
    /// Every error of the form of the text, each with its JSON pointer.
    ///
    /// ```
    /// use rigging_core::statics::PeriodInputs;
    /// let inputs = PeriodInputs::from_json(
    ///     r#"{"inertias": [{"moments": [30e3, 60e3, 70e3]}],
    ///         "excitations": [{"name": "waves", "shortest": 5.0, "longest": 12.0, "source": "forecast"}]}"#,
    /// )?;
    /// assert_eq!((inputs.inertias[0].products, inputs.excitations[0].longest), ([0.0; 3], 12.0));
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn from_json(text: &str) -> Result<Self, Error> {
        read::read(text, INPUTS_FORMAT)
    }
}

/// An excitation as the document has it.
#[derive(Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(rename = "Excitation"))]
#[serde(deny_unknown_fields)]
struct Entry {
    /// What shakes: waves, starts of hoisting, gusts…
    name: String,
    /// Shortest period, s.
    shortest: f64,
    /// Longest period, s.
    longest: f64,
    /// Where the range comes from.
    source: String,
}

fn excitations<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Excitation>, D::Error> {
    let entries = Vec::<Entry>::deserialize(deserializer)?;
    let excitation = |Entry { name, shortest, longest, source }| Excitation { name, shortest, longest, source };
    Ok(entries.into_iter().map(excitation).collect())
}

/// A natural period.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct NaturalPeriod {
    /// Time of one oscillation, s.
    pub period: f64,
    /// Oscillations in a second, Hz.
    pub frequency: f64,
    /// swing, bounce, yaw, rocking or mixed.
    pub kind: &'static str,
    /// Shares of the kinetic energy: swing, bounce, yaw, rocking.
    pub shares: [f64; 4],
    /// The motion.
    pub parts: Vec<PartMotion>,
    /// Names of the excitations whose range it lies in: there a static dynamic factor means nothing.
    pub excited_by: Vec<String>,
}

/// The natural periods.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Periods {
    /// Longest first.
    pub periods: Vec<NaturalPeriod>,
    /// Whether these are all there are.
    pub complete: bool,
    /// Number of motions without period, such as free turns about plumb lines.
    pub without_period: usize,
}

impl Balance {
    /// The natural periods: all of them up to 48 unknowns, else the `count` longest. `inertias` has one for each body, the
    /// load first; `excitations` are ranges of periods of what may shake the lift, each with its source.
    ///
    /// # Errors
    /// [`Error::Inconsistent`] unless there is one inertia for each body, and for one that no body can have;
    /// [`Error::OutOfDomain`] for a principal moment that is not positive, or a range of periods that is not positive and
    /// ascending; [`Error::Unsupported`] for an unstable balance.
    pub fn periods(
        &self,
        inertias: &[BodyInertia],
        count: usize,
        excitations: &[Excitation],
    ) -> Result<Periods, Error> {
        self.nothing_runs("natural periods")?;
        let tensors = inertias.iter().enumerate().map(|(index, inertia)| {
            let place = Place::root().child("inertias").child(index);
            Inertia::new(tensor(inertia)).map_err(|error| error.at(place))
        });
        let tensors = tensors.collect::<Result<Vec<_>, _>>()?;
        let found = natural_periods(&self.model, &self.certificate, &tensors, count, excitations)?;
        let periods = found.periods.iter().enumerate().map(|(index, period)| NaturalPeriod {
            period: period.period,
            frequency: period.frequency,
            kind: period.kind.word(),
            shares: period.shares,
            parts: self.parts(&period.shape),
            excited_by: found
                .resonances
                .iter()
                .filter(|resonance| resonance.period == index)
                .filter_map(|resonance| excitations.get(resonance.excitation))
                .map(|excitation| excitation.name.clone())
                .collect(),
        });
        Ok(Periods { periods: periods.collect(), complete: found.complete, without_period: found.without_period })
    }
}

fn tensor(inertia: &BodyInertia) -> DMat3 {
    let ([x, y, z], [xy, xz, yz]) = (inertia.moments, inertia.products);
    DMat3::from_cols(DVec3::new(x, -xy, -xz), DVec3::new(-xy, y, -yz), DVec3::new(-xz, -yz, z))
}
