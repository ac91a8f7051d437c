//! The worst case over tolerances, skew as a result, and which measured sling goes where.

use super::{Balance, Names};
use crate::arrangement::{Lift, read};
use crate::equilibrium::worst::{self as physics, Effort, Extreme, Offset, Open, Reason, Skew, Tolerances, Worst};
use crate::equilibrium::{self, bridle};
use crate::error::{Error, Place};
use crate::length;
use crate::system::End;
use serde::{Deserialize, Serialize};

pub use physics::{Common, Measure};

/// Format of [`WorstInputs`]; additions do not change it.
const INPUTS_FORMAT: u64 = 1;

/// The tolerances that a lift's document states.
#[derive(Debug, Clone, PartialEq)]
pub struct Stated {
    /// Of the length of each leg, m.
    pub lengths: Vec<f64>,
    /// Of the coordinates of the load's center of gravity, m.
    pub center_of_gravity: [f64; 3],
}

impl Stated {
    /// Reads them.
    ///
    /// # Errors
    /// [`Error::Missing`]: an absent tolerance is unknown, not zero.
    pub fn of(lift: &Lift) -> Result<Self, Error> {
        let lengths = lift.legs().map(|leg| length::tolerance(&leg)).collect::<Result<Vec<_>, _>>()?;
        Ok(Self { lengths, center_of_gravity: length::center_of_gravity_tolerance(lift)? })
    }
}

/// What the worst case needs beside the balance, as one JSON document.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WorstInputs {
    /// Tolerance of the length of each leg, m; as the document states where it is left out.
    pub lengths: Option<Vec<f64>>,
    /// Tolerance of the coordinates of the center of gravity, m; as the document states where it is left out.
    pub center_of_gravity: Option<[f64; 3]>,
    /// Tolerance of the stiffness of each leg, over its own: of EA where the law is linear, else of a factor on the law.
    pub stiffness: Vec<f64>,
    /// Tolerance of the mass of the load, over its own.
    pub mass: f64,
    /// Tolerance of the height of each hook, m. That of a single hook changes nothing and may be left out.
    pub hook_heights: Option<Vec<f64>>,
    /// How much a bound may exceed what was attained, over it.
    #[serde(default = "gap")]
    pub gap: f64,
    /// The most pieces that are looked at, for the branch and then for each force.
    #[serde(default = "parts")]
    pub parts: usize,
}

fn gap() -> f64 {
    Effort::default().gap
}

fn parts() -> usize {
    Effort::default().parts
}

impl WorstInputs {
    /// Reads the inputs from a JSON text.
    ///
    /// # Errors
    /// Every error of the form of the text, each with its JSON pointer.
    ///
    /// ```
    /// use rigging_core::statics::WorstInputs;
    /// let inputs = WorstInputs::from_json(r#"{"stiffness": [0.1, 0.1, 0.1, 0.1], "mass": 0.03}"#)?;
    /// assert_eq!((inputs.lengths, inputs.gap), (None, 0.01));
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn from_json(text: &str) -> Result<Self, Error> {
        read::read(text, INPUTS_FORMAT)
    }

    const fn effort(&self) -> Effort {
        Effort { gap: self.gap, parts: self.parts }
    }
}

/// The largest value of a force over the box of tolerances.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct WorstForce {
    /// Name of the leg, point or hook.
    pub item: String,
    /// Names of the legs whose pull it is.
    pub legs: Vec<String>,
    /// At nominal numbers, N.
    pub nominal: f64,
    /// The largest that was attained, N.
    pub attained: f64,
    /// What was added to each number there.
    pub at: Offset,
    /// No balance on the branch of the nominal one has more, N; none where that was not proven.
    pub bound: Option<f64>,
    /// How much the bound exceeds what was attained, over it.
    pub gap: Option<f64>,
}

/// Why and where there is no bound.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Unbounded {
    /// not_stable: a state in the box is not certified as stable; not_enclosed: the branch of the nominal balance could not
    /// be enclosed with the pieces allowed; many_legs: there are more legs, parts or
    /// hooks than the proof looks at.
    pub reason: Reason,
    /// What was added to each number there.
    pub at: Offset,
}

/// The worst case of a lift over a box of tolerances.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct WorstCase {
    /// Tension of each leg.
    pub legs: Vec<WorstForce>,
    /// Pull on every point of the load at which several legs meet.
    pub points: Vec<WorstForce>,
    /// Pull on each hook.
    pub hooks: Vec<WorstForce>,
    /// Skew factors.
    pub skew: Skew,
    /// Why and where there is no bound; none if there is.
    pub open: Option<Unbounded>,
    /// Pieces that were looked at.
    pub parts: usize,
    /// States that were hung.
    pub states: usize,
}

/// Which of the measured slings hangs where.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Arranged {
    /// For each leg, the name of the leg whose sling should hang there.
    pub slings: Vec<String>,
    /// Largest ratio of a leg's tension to its nominal one as they hang now; none where that state is not stable.
    pub before: Option<f64>,
    /// The same in this order.
    pub after: f64,
    /// Number of orders that were hung, all there are.
    pub orders: usize,
}

impl Balance {
    /// The worst case over a box of tolerances: for every leg, every point at which several meet and every hook what was
    /// attained and where, also a bound that is proven (see [`crate::equilibrium::worst`]), for tiers of spreaders, frames and
    /// joints as well; and the skew factors. Where there is no bound, `open` says why.
    ///
    /// # Errors
    /// [`Error::Missing`] for a tolerance that neither the inputs nor the document state, also of the heights of several hooks;
    /// [`Error::Unsupported`] for more than eight legs under one hook, for slings that run over stations, and unless the lift is
    /// stable; [`Error::Inconsistent`] and [`Error::OutOfDomain`] for what is no tolerance of it.
    pub fn worst(&self, inputs: &WorstInputs) -> Result<WorstCase, Error> {
        self.nothing_runs("the worst case")?;
        let tolerances = self.tolerances(inputs)?;
        let found = physics::worst_of(&self.model, &tolerances, &inputs.effort())?;
        Ok(self.told(&found))
    }

    /// The tolerance, common to all lengths, that keeps a skew factor within `limit`, looked for up to `range`, m. The other
    /// tolerances are those of the inputs; those of lengths are not used.
    ///
    /// # Errors
    /// As [`Balance::worst`]; [`Error::OutOfDomain`] unless the limit is at least 1 and the range positive and less than
    /// every length.
    pub fn common_tolerance(
        &self,
        measure: Measure,
        limit: f64,
        range: f64,
        inputs: &WorstInputs,
    ) -> Result<Common, Error> {
        let lengths = Some(vec![0.0; self.names.legs.len()]);
        let others = self.tolerances(&WorstInputs { lengths, ..inputs.clone() })?;
        physics::common_tolerance(
            &self.bridle("the tolerance that keeps a skew factor")?,
            &others,
            measure,
            limit,
            range,
            &inputs.effort(),
        )
    }

    /// Given how much longer (m) and stiffer (over its own) than stated the sling of each leg was measured, the order in
    /// which the largest ratio of a tension to its nominal one is least. Every order is hung. [`Balance::order`] answers for
    /// any lift, to first order.
    ///
    /// # Errors
    /// As [`Balance::worst`]; [`Error::Unsupported`] where no order hangs stably.
    pub fn arrange(&self, lengths: &[f64], stiffness: &[f64]) -> Result<Arranged, Error> {
        let found = physics::arrange(&self.bridle("the order of measured slings")?, lengths, stiffness)?;
        Ok(Arranged {
            slings: found.slings.iter().map(|sling| self.names.leg(*sling)).collect(),
            before: found.before,
            after: found.after,
            orders: found.orders,
        })
    }

    pub(super) fn bridle(&self, question: &str) -> Result<bridle::Bridle, Error> {
        self.nothing_runs(question)?;
        equilibrium::bridle_of(&self.model)
    }

    pub(super) fn tolerances(&self, inputs: &WorstInputs) -> Result<Tolerances, Error> {
        let stated = |given: bool| if given { Ok(None) } else { self.stated.clone().map(Some) };
        let lengths = stated(inputs.lengths.is_some())?.map(|stated| stated.lengths).or_else(|| inputs.lengths.clone());
        let center = stated(inputs.center_of_gravity.is_some())?.map(|stated| stated.center_of_gravity);
        Ok(Tolerances {
            lengths: lengths.unwrap_or_default(),
            stiffness: inputs.stiffness.clone(),
            center_of_gravity: center.or(inputs.center_of_gravity).unwrap_or([f64::NAN; 3]),
            weight: inputs.mass,
            hook_heights: self.heights(inputs)?,
        })
    }

    /// An absent tolerance is unknown, not zero, where it changes something.
    fn heights(&self, inputs: &WorstInputs) -> Result<Vec<f64>, Error> {
        match &inputs.hook_heights {
            Some(heights) => Ok(heights.clone()),
            None if self.model.hooks().len() == 1 => Ok(vec![0.0]),
            None => {
                let add = format!("\"hook_heights\": [{}]", vec!["…"; self.model.hooks().len()].join(", "));
                Err(Error::missing(
                    "how far off the height of each hook may be",
                    &add,
                    Place::root().child("hook_heights"),
                ))
            }
        }
    }

    fn told(&self, found: &Worst) -> WorstCase {
        let at = |hook: usize| {
            let members = self.model.members().iter().enumerate();
            let here = members.filter(move |(_, member)| [member.a, member.b].contains(&End::Hook(hook)));
            here.map(|(index, _)| index).collect::<Vec<usize>>()
        };
        let hooks = found.hooks.iter().enumerate();
        let legs = found.legs.iter().enumerate();
        let points = found.points.iter().map(|shared| {
            let point = shared.legs.first().map_or_else(String::new, |leg| self.point(*leg));
            force(&self.names, point, &shared.legs, &shared.pull)
        });
        WorstCase {
            legs: legs.map(|(leg, extreme)| force(&self.names, self.names.leg(leg), &[leg], extreme)).collect(),
            points: points.collect(),
            hooks: hooks.map(|(hook, pull)| force(&self.names, self.names.hook(hook), &at(hook), pull)).collect(),
            skew: found.skew(),
            open: found.open.clone().map(|Open { reason, at }| Unbounded { reason, at }),
            parts: found.parts,
            states: found.states,
        }
    }

    /// Name of the point of the load that a leg is attached to.
    fn point(&self, leg: usize) -> String {
        let member = self.model.members().get(leg);
        let point = member.and_then(|member| match (member.a, member.b) {
            (End::Body { point, .. }, _) | (_, End::Body { point, .. }) => Some(point),
            _ => None,
        });
        let name = point.and_then(|point| self.names.points.first()?.get(point));
        name.cloned().unwrap_or_else(|| format!("point of {}", self.names.leg(leg)))
    }
}

fn force(names: &Names, item: String, legs: &[usize], extreme: &Extreme) -> WorstForce {
    WorstForce {
        item,
        legs: legs.iter().map(|leg| names.leg(*leg)).collect(),
        nominal: extreme.nominal,
        attained: extreme.attained,
        at: extreme.at.clone(),
        bound: extreme.bound,
        gap: extreme.gap(),
    }
}
