//! The worst case over a box of tolerances: the largest forces that were attained, and bounds that are proven.
//!
//! A box has a length and a stiffness for each leg, three coordinates of the center of gravity, the weight, and the heights of
//! several hooks. Its vertices are not enough: an inside point may have more, and derivatives at the nominal numbers mislead as soon as a leg goes slack.
//!
//! # What is attained
//!
//! Every vertex (up to 12 open sides), states spread evenly inside, and ascents from the best of them along exact derivatives;
//! then numbers near those at which a bound is, and climbs from them in small boxes around the hook, also along edges where a
//! leg is about to go slack. Each is hung and certified, and printed with its place.
//!
//! # What is proven
//!
//! Of one rigid body under one hook ([`worst()`]) with up to eight legs, and of bodies and joints in tiers under up to four hooks
//! ([`worst_of_system`]) with up to sixteen members. The bound holds for every balance on the branch of the nominal one: what
//! becomes of the load as the numbers change continuously from nominal to any in the box. The box has many sides, but a balance
//! is told by the place of the hook h in the load, or the places of all joints and bodies and the turns of these, and by the
//! shares q of the members, tension over distance over one density: the proof looks at these.
//!
//! 1. *Conditions* (`forms`, `one_hook`, `tiers`). Σ q·(h − p) = h − c for the points p and the center of gravity c; in tiers
//!    Σ q·a = Σ W·up and Σ (Q − M)×(q·a) = Σ W·(x + R·c − M)×up for every part with all that would fall with it, the arms a
//!    of the members that lead out of these to Q, and the mean M of all Q. And for each leg
//!    1/L ≤ 1/l + T/(l·κ·m), with equality where it is taut; m is its tension over its strain at the stiffness as stated.
//!    Length L and factor κ of a leg enter here only, so their ends say all about them. Over a piece, a box of hooks and shares,
//!    each condition is a linear form with a rest that rounding is added to (`affine`).
//! 2. *Linear bounds.* What a linear form is at most under such conditions follows from multipliers of them (`certified`); a
//!    dual simplex (`linear`) finds good ones, but any give a bound. If the bound of zero is negative, the piece is empty.
//!    Pieces are made narrower by it, and cut: a range in halves, a leg into taut and slack.
//! 3. *Region* (`region`). Of a box of places every piece that is not proven empty is proven to lie away from the border.
//!    So no balance, whatever the numbers, is on the border.
//! 4. *Stability* (`one_hook`, `tiers`). At every balance of every piece the second derivatives of the energy are proven positive definite,
//!    for each set of legs that may be taut there. So from every balance of the region one leads on when the numbers change
//!    a little; it cannot come to an end, nor leave the region. The nominal state is in it, and so is its whole branch.
//! 5. *Bound* (`narrow`). The largest target over every piece, cut where that lowers it most.
//!
//! The nominal state balances but for a force that rounding leaves over. Under one hook it is taken as the exact balance of
//! slightly other numbers, and the box is widened by that. Under several it is the exact balance with that force and moment
//! added (see below).
//!
//! # In tiers
//!
//! An attitude is a turn since the nominal one, told by its axis times the sine of half its angle; the matrix of a turn is a
//! polynomial of these and of one root, and is used up to 0.6 of that sine. A part is placed from the mean of those next to it
//! toward the hooks: what sways as a whole then leaves the arms between tiers nearly as they are. A member pulls along its arm,
//! so its moment may be taken at its other end; members among parts that would fall together do not enter their balance. All
//! these conditions follow from those of each part, and those from them, part by part from below.
//! All hooks higher by the same change nothing: heights are told over that of the first, and any two may differ by what both may
//! be off. They are made narrower with the place, for at a place, where slings stretch little, they can be little else. How long
//! an arm is, is convex: over its tangent it rises by the square of what lies across over twice what lies along, no more.
//!
//! Second derivatives are six by six for a body and three by three for a joint, and stiff members make them wide along
//! themselves, by more than swings resist: so they are bounded from below by less of that stiffness, of which any part may be
//! left out, and multiplied from both sides by the inverse root of their middle. What is near the identity is positive definite.
//!
//! *Free turns.* What hangs from one place alone, a hook, a joint or a point of a body, turns freely about the plumb line through
//! it: the energy E is the same along that motion s, whatever the numbers, at every state and not only at balances. One body b of
//! each such group, which no smaller group holds, is held by g·up = 0, and E is looked at on what remains, the slice. Nothing is
//! lost. Every state has one in the slice that differs by free turns only: group by group, the larger ones first, the angle
//! follows from tan(φ/2) = −g·up/w, and turning a smaller group leaves b of a larger one alone. And where E on the slice has no
//! slope it has none at all: its slope is zero along the slice and along all s, and s of a group crosses the slice, since it
//! changes g·up of its own b by w/2 > 0 and that of no larger group. So balances of the slice are balances, and where the
//! second derivatives are positive along the slice they lead on. Along the slice a spring that resists changes of g·up does
//! nothing: it is added, and all are proven positive definite. Turns of other kinds that nothing resists, such as of a beam
//! whose points and center of gravity lie on one line, are not held: such a state is not stable here.
//!
//! *What is left over.* The nominal state as it was found is a balance of E − t·f for t = 1 on the slice, with f linear in the
//! symbols of the place and with the forces and moments left over as its slope there. From t = 1 to t = 0 a branch leads to
//! the exact balance: conditions are widened by f, in which a spring that holds a free turn may bear what f has along s, by
//! less than `HELD` times the moment of all; and second derivatives are lessened by as much, more than what f has of them.
//!
//! The pieces looked at are limited. If the limit comes first, the bound is still one, and the gap shows how wide. If no region
//! can be proven, or a state in the box is not stable, there is no bound, and [`Worst::open`] says where.

mod affine;
mod arrange;
mod attained;
mod balances;
mod certified;
mod fitting;
mod forms;
mod interval;
#[cfg(test)]
mod kept;
mod law;
mod linear;
mod narrow;
mod one_hook;
mod piece;
mod problem;
mod region;
mod several;
mod skew;
mod target;
mod tiers;
mod turn;

pub use arrange::{Arrangement, arrange};
pub use problem::{MOST_LEGS, Offset, Tolerances};
pub(crate) use several::worst_of;
pub use several::worst_of_system;
pub use skew::{Common, Measure, Ratio, Skew, common_tolerance};

use super::State;
use super::bridle::Bridle;
use crate::error::{Error, Place};
use balances::{Balances, Hangs};
use interval::Interval;
use one_hook::OneHook;
use problem::{Hanging, Problem};
use region::Region;
use serde::Serialize;
use target::{Best, Target};

/// A gap below which the largest tension need not be looked for more closely.
const CLOSED: f64 = 1.0e-6;

/// How closely the worst case is bounded, and at what expense.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effort {
    /// How much the bound may exceed what was attained, over it.
    pub gap: f64,
    /// The most pieces that are looked at, for the branch and then for each force.
    pub parts: usize,
}

impl Default for Effort {
    /// A gap of 1 %, 2000 pieces.
    fn default() -> Self {
        Self { gap: 0.01, parts: 2000 }
    }
}

/// The largest value of a force over the box.
#[derive(Debug, Clone, PartialEq)]
pub struct Extreme {
    /// At nominal numbers, N.
    pub nominal: f64,
    /// The largest that was attained, N.
    pub attained: f64,
    /// Where it was attained.
    pub at: Offset,
    /// No balance on the branch of the nominal one has more, N; none where that was not proven.
    pub bound: Option<f64>,
}

impl Extreme {
    /// How much the bound exceeds what was attained, over it.
    pub fn gap(&self) -> Option<f64> {
        let gap = |bound: f64| if bound == self.attained { 0.0 } else { (bound - self.attained) / self.attained };
        self.bound.map(gap)
    }
}

/// The pull on a point of the load at which several legs meet.
#[derive(Debug, Clone, PartialEq)]
pub struct Shared {
    /// The legs.
    pub legs: Vec<usize>,
    /// Their pull.
    pub pull: Extreme,
}

/// Why there is no bound.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Reason {
    /// A state in the box is not certified as stable.
    NotStable,
    /// The branch of the nominal balance could not be enclosed with the pieces allowed.
    NotEnclosed,
    /// There are more legs, parts or hooks than the proof looks at.
    ManyLegs,
}

impl Reason {
    /// The reason in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::NotStable => "a state within the tolerances is not certified as stable",
            Self::NotEnclosed => "the branch of the nominal balance could not be enclosed with the pieces allowed",
            Self::ManyLegs => "there are more legs, parts or hooks than the proof looks at",
        }
    }
}

/// Where in the box the proof stopped.
#[derive(Debug, Clone, PartialEq)]
pub struct Open {
    /// Why.
    pub reason: Reason,
    /// Where.
    pub at: Offset,
}

/// The worst case of a bridle or system.
#[derive(Debug, Clone, PartialEq)]
pub struct Worst {
    /// Tension of each leg.
    pub legs: Vec<Extreme>,
    /// Pull on every point of the load at which several legs meet.
    pub points: Vec<Shared>,
    /// Pull on each hook; on a single one the weight.
    pub hooks: Vec<Extreme>,
    /// Why and where there is no bound; none if there is.
    pub open: Option<Open>,
    /// Pieces that were looked at.
    pub parts: usize,
    /// States that were hung.
    pub states: usize,
}

/// The worst case of a bridle whose numbers may be off by `tolerances` to either side.
///
/// # Errors
///
/// [`Error::Inconsistent`] unless there is a tolerance of length and of stiffness for each leg; [`Error::OutOfDomain`] for a
/// negative one, or one that leaves nothing of a length, a stiffness or the weight; [`Error::Unsupported`] for more than
/// [`MOST_LEGS`] legs, or where the nominal state is not stable; [`Error::Unconverged`] where that cannot be certified.
///
/// ```
/// use glam::DVec3;
/// use rigging_core::equilibrium::bridle::Bridle;
/// use rigging_core::equilibrium::worst::{Effort, Tolerances, worst};
/// use rigging_core::system::Law;
/// let points = [[1.0, 0.5], [1.0, -0.5], [-1.0, -0.5], [-1.0, 0.5]].map(|[x, y]| DVec3::new(x, y, 0.0));
/// let bridle = Bridle::new(points.to_vec(), vec![3.0; 4], vec![Law::linear(2.0e6)?; 4], DVec3::new(0.0, 0.0, -0.4), 4.0e4)?;
/// let tolerances = Tolerances { lengths: vec![0.005; 4], ..Tolerances::none(4) };
/// let worst = worst(&bridle, &tolerances, &Effort::default())?;
/// for leg in &worst.legs {
///     assert!(leg.nominal < leg.attained && leg.gap().is_some_and(|gap| (0.0..=0.01).contains(&gap)));
/// }
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn worst(bridle: &Bridle, tolerances: &Tolerances, effort: &Effort) -> Result<Worst, Error> {
    effort.validate()?;
    let problem = Problem::new(bridle, tolerances)?;
    let mut hanging = nominal(&problem)?;
    let shared = meeting(&problem);
    let mut targets: Vec<Target> = (0..problem.legs()).map(Target::of_leg).collect();
    targets.extend(shared.iter().map(|legs| Target::of_legs(legs)));
    let nominal: Vec<f64> = targets.iter().map(|target| target.of(hanging.workspace.tensions())).collect();
    let attained::Found { mut best, not_stable, hooks } = attained::search(&problem, &mut hanging, &targets)?;
    let place = hanging.nominal().hook;
    let proof = match not_stable {
        Some(at) => Proof::open(Reason::NotStable, at, targets.len()),
        None => match OneHook::new(&problem, place) {
            Some(lift) => prove(&lift, &mut hanging, &place.to_array(), &hooks, &targets, &mut best, effort)?,
            None => Proof::open(Reason::NotEnclosed, vec![0.0; problem.sides.len()], targets.len()),
        },
    };
    let extreme = |(nominal, (best, bound)): (f64, (Best, Option<f64>))| Extreme {
        nominal,
        attained: best.value,
        at: problem.offset(&best.at),
        bound,
    };
    let mut extremes = nominal.into_iter().zip(best.into_iter().zip(proof.bounds)).map(extreme);
    let legs = extremes.by_ref().take(problem.legs()).collect();
    let points = shared.into_iter().zip(extremes).map(|(legs, pull)| Shared { legs, pull }).collect();
    let hook = problem.hook(tolerances.weight);
    let open = proof.open.map(|(reason, at)| Open { reason, at: problem.offset(&at) });
    Ok(Worst { legs, points, hooks: vec![hook], open, parts: proof.parts, states: hanging.states })
}

/// What was proven.
struct Proof {
    /// Of each target.
    bounds: Vec<Option<f64>>,
    /// Why there is no bound, and near which numbers.
    open: Option<(Reason, Vec<f64>)>,
    /// Pieces that were looked at.
    parts: usize,
}

impl Proof {
    fn open(reason: Reason, at: Vec<f64>, targets: usize) -> Self {
        Self { bounds: vec![None; targets], open: Some((reason, at)), parts: 0 }
    }
}

/// Proves a region around the places that were found, and a bound of each target; raises what was attained on the way.
fn prove<const N: usize>(
    lift: &impl Balances<N>,
    hanging: &mut impl Hangs,
    nominal: &[f64],
    found: &[Interval],
    targets: &[Target],
    best: &mut [Best],
    effort: &Effort,
) -> Result<Proof, Error> {
    let region = match Region::enclose(lift, nominal, found, effort) {
        Ok(region) => region,
        Err(at) => return Ok(Proof::open(Reason::NotEnclosed, at, targets.len())),
    };
    let mut proof = Proof { bounds: Vec::new(), open: None, parts: region.count };
    let mut known: Vec<(Target, Best, f64)> = Vec::new();
    for (target, own) in targets.iter().zip(best) {
        // A hook with one leg bears what that leg does.
        if let Some((_, best, bound)) = known.iter().find(|(other, ..)| other == target) {
            *own = best.clone();
            proof.bounds.push(Some(*bound));
            continue;
        }
        let (bound, looked) = region.narrow(lift, hanging, *target, own, effort)?;
        proof.bounds.push(Some(bound));
        proof.parts += looked;
        known.push((*target, own.clone(), bound));
    }
    Ok(proof)
}

/// The nominal load, hung; it must be stable.
fn nominal<'a>(problem: &'a Problem<'a>) -> Result<Hanging<'a>, Error> {
    let hanging = Hanging::new(problem)?;
    let state = hanging.nominal().state;
    if state == State::Stable {
        return Ok(hanging);
    }
    Err(Error::unsupported(format!("the worst case of a state that is {}", state.word()), Place::root().child("state")))
}

/// The legs of every point of the load that has several.
fn meeting(problem: &Problem) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (leg, point) in problem.points.iter().enumerate() {
        let same = |group: &&mut Vec<usize>| group.first().and_then(|first| problem.points.get(*first)) == Some(point);
        match groups.iter_mut().find(same) {
            Some(group) => group.push(leg),
            None => groups.push(vec![leg]),
        }
    }
    groups.retain(|group| group.len() > 1);
    groups
}

impl Effort {
    /// Refuses a gap that is not positive.
    pub(crate) fn validate(&self) -> Result<(), Error> {
        if self.gap > 0.0 && self.gap.is_finite() {
            return Ok(());
        }
        Err(Error::out_of_domain("gap", self.gap, "", "positive and finite", Place::root().child("gap")))
    }
}
