//! What would change the verdict: the length tolerance and the rating at which it turns.

use super::{Assessment, Code, Finding, MissingInput, Verdict};
use crate::arrangement::{Anchor, Lift};
use crate::demand::{self, Demand, Extremes, ForceSource, Proof, ToleranceBox};
use crate::equilibrium::worst::Effort;
use crate::error::Error;
use crate::system;

/// What would change a verdict.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Remedy {
    /// The inputs that are missing.
    Add(Vec<MissingInput>),
    /// A failing strength passes at one of these.
    Passes {
        /// The length tolerance, in meters, the same for every leg, within which it passes; none where it fails even
        /// with exact lengths, where no bound could be found there, and where a sharing rule says what the legs carry.
        length_tolerance: Option<f64>,
        /// The capacity, in N, with which it passes.
        capacity: f64,
    },
    /// A passing strength holds up to these.
    Holds {
        /// The length tolerance, in meters, the same for every leg, up to which everything in the load path passes; none
        /// beyond ten times the present one, and where a sharing rule says what the legs carry.
        length_tolerance: Option<f64>,
        /// The capacity, in N, down to which the governing item passes.
        capacity: f64,
    },
    /// Nothing in figures.
    Other(String),
}

/// Tolerances are found to this, in meters; they are printed to the millimeter.
const RESOLUTION: f64 = 1e-5;
/// The same where every step of the search is bounded, which takes a thousand times as long.
const BOUNDED_RESOLUTION: f64 = 5e-4;
/// The most pieces of such a step.
const BOUNDED_PARTS: usize = 500;

impl Assessment {
    /// What would change the verdict. Lengths and capacities are sought with the source of forces of the assessment: bounds
    /// with at most 500 pieces a step, so that the tolerance told may be less than what more effort would find.
    ///
    /// # Errors
    /// As [`Lift::assess`].
    pub fn remedy(&self, lift: &Lift) -> Result<Remedy, Error> {
        let Some(governing) = self.governing() else { return Ok(Remedy::Other("nothing was checked".to_owned())) };
        if governing.verdict == Verdict::CannotConclude {
            let missing: Vec<_> = self.findings.iter().flat_map(|finding| finding.missing.iter().cloned()).collect();
            return Ok(if missing.is_empty() {
                Remedy::Other(governing.text.to_string())
            } else {
                Remedy::Add(missing)
            });
        }
        let apart = |finding: &&Finding| *finding != governing && !settled_with(governing, finding);
        let others: Vec<String> = self.findings.iter().filter(apart).map(sentence).collect();
        if governing.verdict == Verdict::Fail && !others.is_empty() {
            let first = sentence(governing);
            return Ok(Remedy::Other(format!("more than one thing: {first}; {}", others.join("; "))));
        }
        if governing.code == Code::Snag {
            return Ok(Remedy::Other(sentence(governing)));
        }
        if governing.code == Code::SharingRule {
            let sentence = sentence(governing);
            return Ok(Remedy::Other(match governing.verdict {
                Verdict::Fail => format!("{sentence}: take a rule that covers it, or the forces of the solver"),
                _ => sentence,
            }));
        }
        let (true, Some(demand), Some(asked)) = (by_leg(governing.code), &self.demand, &governing.demand) else {
            return Ok(match &governing.demand {
                Some(asked) if asked.unit() == "N" => match governing.verdict {
                    Verdict::Fail => Remedy::Passes { length_tolerance: None, capacity: asked.value() },
                    _ => Remedy::Holds { length_tolerance: None, capacity: asked.value() },
                },
                _ => Remedy::Other(governing.text.to_string()),
            });
        };
        // What wind, a load that sticks and hooks that are not level add is found for the lengths and capacities as stated, and for no others.
        let beside = [Code::Wind, Code::HookHeights, Code::Snag];
        if let Some(other) = self.findings.iter().find(|finding| beside.contains(&finding.code)) {
            let text =
                format!("not sought, since it bears on \"{}\" as well: {}", other.code.text(), sentence(governing));
            return Ok(Remedy::Other(text));
        }
        if !demand.on_share.are_none() {
            let text = format!("not sought, since a factor of the rule set acts on shares: {}", sentence(governing));
            return Ok(Remedy::Other(text));
        }
        let largest = demand.tolerances.lengths.iter().copied().fold(0.0, f64::max);
        let search = Search::new(self, lift, demand)?;
        if governing.verdict != Verdict::Fail {
            return Ok(Remedy::Holds {
                length_tolerance: search.turning_point(largest, 10.0 * largest.max(RESOLUTION))?,
                capacity: asked.value() + search.spare,
            });
        }
        let spare = search.spare;
        // What every item must bear that now bears too little.
        let capacity = self.findings.iter().filter(|finding| by_leg(finding.code)).filter_map(|finding| {
            let (asked, borne) = (finding.demand.as_ref()?.value(), finding.capacity.as_ref()?.value());
            let enough = borne - asked >= spare;
            (!enough).then_some(asked + spare)
        });
        Ok(Remedy::Passes {
            length_tolerance: search.turning_point(0.0, largest)?,
            capacity: capacity.fold(asked.value() + spare, f64::max),
        })
    }
}

/// Whether what settles a failing `governing` settles the other finding too. Strengths along the legs go together, and
/// the own weight of the gear with them; anything else is a matter of its own.
fn settled_with(governing: &Finding, other: &Finding) -> bool {
    match other.verdict {
        Verdict::Pass | Verdict::NotCovered => true,
        Verdict::Fail => by_leg(governing.code) && by_leg(other.code),
        Verdict::CannotConclude => by_leg(governing.code) && other.code == Code::OwnWeight && other.missing.is_empty(),
    }
}

/// Whether the finding is about what a leg's tension pulls on.
fn by_leg(code: Code) -> bool {
    [Code::SlingStrength, Code::FittingStrength, Code::LiftPointStrength].contains(&code)
}

fn sentence(finding: &Finding) -> String {
    format!("{}: {}", finding.item, finding.text)
}

/// The search for the length tolerance at which a strength along a leg turns from pass to fail.
struct Search<'a> {
    lift: &'a Lift,
    model: system::Model,
    tolerances: &'a ToleranceBox,
    /// Least capacity along each leg.
    capacities: Vec<f64>,
    /// Own weight of the gear, which the tensions leave out and which every capacity must have to spare, in N.
    spare: f64,
    /// Largest tilt allowed, in radians.
    tilt: f64,
    /// Largest angle allowed between the pull and the axis of the point at either end of each leg, in radians.
    from_axis: Vec<[Option<f64>; 2]>,
    /// Where the forces come from.
    forces: &'a ForceSource,
}

impl<'a> Search<'a> {
    fn new(assessment: &'a Assessment, lift: &'a Lift, demand: &'a Demand) -> Result<Self, Error> {
        let capacities = assessment.legs.iter().map(|leg| leg.allowed.unwrap_or(0.0)).collect();
        let model = system::from_lift(lift, demand.weight.moving())?;
        let dynamic = demand.weight.dynamic.as_ref().map_or(1.0, |term| term.value);
        let spare = demand.weight.gear_mass.clone()? * model.system.gravity() * dynamic;
        let load = &lift.document().load;
        let tilt = load.allowed_tilt.value().map_or(f64::INFINITY, |limit| limit.value.si());
        let within = |anchor: Option<&Anchor>| {
            let allowed = lift.point(*anchor?)?.allowed_direction.value()?;
            Some(allowed.within.si())
        };
        let from_axis = lift.legs().map(|leg| [leg.links.ends.first(), leg.links.ends.last()].map(within)).collect();
        Ok(Self {
            lift,
            model,
            tolerances: &demand.tolerances,
            capacities,
            spare,
            tilt,
            from_axis,
            forces: &assessment.forces,
        })
    }

    /// Largest tolerance between `passing` and `beyond` at which every leg still passes; none where it fails at
    /// `passing` already, or still passes at `beyond`.
    fn turning_point(&self, passing: f64, beyond: f64) -> Result<Option<f64>, Error> {
        let resolution = match self.forces {
            ForceSource::AtVertices => RESOLUTION,
            ForceSource::Bounds { .. } => BOUNDED_RESOLUTION,
            // What a rule makes of other tolerances is not sought.
            ForceSource::Rule { .. } => return Ok(None),
        };
        let (mut low, mut high) = (passing, beyond);
        if !self.passes(low)? || self.passes(high)? {
            return Ok(None);
        }
        while high - low > resolution {
            let middle = 0.5 * (low + high);
            if self.passes(middle)? { low = middle } else { high = middle }
        }
        Ok(Some(low))
    }

    fn passes(&self, tolerance: f64) -> Result<bool, Error> {
        let tolerances = self.tolerances.with_length_tolerance(tolerance);
        let mut extremes = demand::sweep(self.lift, &self.model, &tolerances)?;
        // What fails at a vertex needs no bound to fail.
        if let (true, ForceSource::Bounds { gap, parts }) = (self.within(&extremes), self.forces) {
            let effort = Effort { gap: *gap, parts: BOUNDED_PARTS.min(*parts) };
            demand::bound(&mut extremes, self.lift, &self.model, &tolerances, &effort)?;
            return Ok(matches!(extremes.proof, Proof::Bounded { .. }) && self.within(&extremes));
        }
        Ok(self.within(&extremes))
    }

    fn within(&self, extremes: &Extremes) -> bool {
        let mut legs = extremes.legs.iter().zip(&self.capacities).zip(&self.from_axis);
        extremes.not_stable.is_none()
            && extremes.tilt <= self.tilt
            && legs.all(|((leg, capacity), limit)| {
                let mut ends = leg.from_axis.iter().zip(limit);
                capacity - leg.bound.unwrap_or(leg.largest) >= self.spare
                    && ends.all(|(angle, limit)| !matches!((angle, limit), (Some(angle), Some(limit)) if angle > limit))
            })
    }
}
