//! Bounds over the tolerances: proven for one load under one hook.

use super::{Extremes, Proof, ToleranceBox, Vertex};
use crate::arrangement::{Anchor, Lift};
use crate::equilibrium::worst::{self, Effort, Extreme, Open, Reason, Tolerances, Worst};
use crate::error::{Error, Place};
use crate::sharing::{LegSet, SharingRule, Words};
use crate::source::{Citation, Source};
use crate::system::{Model, System};

/// Where a bound comes from.
pub(super) static SOURCE: Citation =
    Citation::mechanics("equilibrium of the hanging load, bounded over the tolerances");

/// For every leg the tension that no balance on the branch of the nominal one exceeds, whatever lengths and center of gravity
/// are within the tolerances of its set; proven, at stiffness and mass as stated.
///
/// Where there is no bound, the rule refuses and says why.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::demand::{ElasticAtVertices, ElasticBounds};
/// use rigging_core::sharing::{LegSet, share};
/// use rigging_core::system::Masses;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let set = LegSet::of(&lift, Masses::stated(&lift)?)?;
/// let (bounds, attained) = (share(&ElasticBounds::default(), &set)?, share(&ElasticAtVertices, &set)?);
/// assert!(bounds.iter().zip(&attained).all(|(bound, attained)| bound >= attained && *bound < 1.02 * attained));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ElasticBounds {
    /// How closely the bounds are looked for, and at what expense.
    pub effort: Effort,
}

impl SharingRule for ElasticBounds {
    fn words(&self) -> Words {
        Words {
            name: "elastic, bounds over the tolerances".into(),
            domain:
                "one load under one hook, stiffnesses and tolerances known, and a balance that is stable throughout; \
                     stiffness and mass as stated"
                    .into(),
            source: Source::fixed(&SOURCE),
            conservative: true,
        }
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        let stated = set.tolerances()?;
        let tolerances = ToleranceBox { lengths: stated.lengths.clone(), center: stated.center_of_gravity };
        let found = bounded(set.system()?, &tolerances, &self.effort)?;
        let legs = Place::root().child("legs");
        let bound = |(leg, extreme): (usize, &Extreme)| {
            extreme.bound.ok_or_else(|| no_bound(found.open.as_ref(), legs.child(leg)))
        };
        found.legs.iter().enumerate().map(bound).collect()
    }
}

/// The worst case of a system over lengths and center of gravity; stiffness, mass and hooks as stated.
///
/// # Errors
/// As [`worst::worst()`] and [`worst::worst_of_system`].
pub(super) fn bounded(system: &System, tolerances: &ToleranceBox, effort: &Effort) -> Result<Worst, Error> {
    let sides = Tolerances {
        lengths: tolerances.lengths.clone(),
        center_of_gravity: tolerances.center,
        hook_heights: vec![0.0; system.hooks().len()],
        ..Tolerances::none(tolerances.lengths.len())
    };
    worst::worst_of(system, &sides, effort)
}

/// Gives extremes the bounds that can be proven, and what the search for them attained.
///
/// # Errors
/// [`Error::OutOfDomain`] for an effort whose gap is not positive; every error of the solver but that a state could not be
/// certified, which leaves the forces without a bound.
pub(crate) fn bound(
    extremes: &mut Extremes,
    lift: &Lift,
    model: &Model,
    tolerances: &ToleranceBox,
    effort: &Effort,
) -> Result<(), Error> {
    let open = |why: String, not_stable| Proof::Open { why: why.into(), not_stable };
    if !model.running.is_empty() {
        extremes.proof = open("for slings that pass over stations no proof is known here".to_owned(), false);
        return Ok(());
    }
    let found = match bounded(&model.system, tolerances, effort) {
        Ok(found) => found,
        Err(Error::Unsupported { what, .. }) => {
            extremes.proof = open(format!("not calculated: {what}"), false);
            return Ok(());
        }
        Err(Error::Unconverged { reading, .. }) => {
            extremes.proof = open(format!("no state could be certified: {reading}"), false);
            return Ok(());
        }
        Err(other) => return Err(other),
    };
    // Without running slings member j is leg j.
    for (leg, extreme) in extremes.legs.iter_mut().zip(&found.legs) {
        leg.bound = widen(&mut leg.largest, &mut leg.attained, extreme);
    }
    for place in &mut extremes.places {
        let meeting: Vec<usize> =
            lift.legs().filter(|leg| leg.links.ends.contains(&place.anchor)).map(|leg| leg.index).collect();
        let known = match place.anchor {
            Anchor::Hook(hook) => found.hooks.get(hook),
            _ => found.points.iter().find(|shared| shared.legs == meeting).map(|shared| &shared.pull),
        };
        place.bound = match known {
            Some(extreme) => widen(&mut place.largest, &mut place.attained, extreme),
            // No resultant is larger than the sum of the pulls.
            None => meeting.iter().map(|leg| found.legs.get(*leg)?.bound).sum(),
        };
    }
    for set in lift.sets_of_legs() {
        let Some(seen) = extremes.sets.iter_mut().find(|seen| seen.anchor == set.at) else { continue };
        let sum =
            |legs: &mut dyn Iterator<Item = usize>| legs.map(|leg| found.legs.get(leg)?.bound).sum::<Option<f64>>();
        // No resultant is larger than the sum of the pulls; those that hold a joint bear what hangs from it.
        let own = sum(&mut set.at_the_place());
        let held = match set.at {
            Anchor::Joint(_) => sum(&mut set.above.iter().copied()),
            Anchor::Hook(hook) => found.hooks.get(hook).and_then(|pull| pull.bound),
            _ => None,
        };
        seen.bound = own.into_iter().chain(held).reduce(f64::min).map(|bound| bound.max(seen.largest));
    }
    extremes.proof = match &found.open {
        None => Proof::Bounded { parts: found.parts, states: found.states },
        Some(Open { reason, at }) => {
            let not_stable = *reason == Reason::NotStable;
            let place = if not_stable { format!(", at {}", vertex(at)) } else { String::new() };
            open(format!("{}{place}", reason.words()), not_stable)
        }
    };
    Ok(())
}

/// Takes over what was attained, if it is more, and gives the bound, never below that.
fn widen(largest: &mut f64, attained: &mut Vertex, found: &Extreme) -> Option<f64> {
    if found.attained > *largest {
        *largest = found.attained;
        *attained = vertex(&found.at);
    }
    found.bound.map(|bound| bound.max(*largest))
}

/// Where only lengths and center of gravity are off.
fn vertex(at: &worst::Offset) -> Vertex {
    Vertex { lengths: at.lengths.clone(), center: at.center_of_gravity }
}

/// Why there is no bound, as an error at `place`.
fn no_bound(open: Option<&Open>, place: Place) -> Error {
    let why = open.map_or("it was not looked for", |open| open.reason.words());
    Error::unsupported(format!("a bound over the tolerances: {why}"), place)
}
