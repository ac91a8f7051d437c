//! The worst case of a bridle over a box of tolerances: the largest tensions that were attained, and bounds that are proven.
//!
//! A box has a length and a stiffness for each leg, three coordinates of the center of gravity and the weight. Its vertices
//! are not enough: an inside point may have more, and derivatives at the nominal numbers mislead as soon as a leg goes slack.
//!
//! # What is attained
//!
//! Every vertex (up to 12 open sides), states spread evenly inside, and ascents from the best of them along exact derivatives;
//! then whatever the search for the bound comes upon, and, where a gap is left, more states inside and a climb number by number
//! from the best. Each is hung and certified, and printed with its place.
//!
//! # What is proven
//!
//! The bound holds for every balance on the branch of the nominal one: what becomes of the load as the numbers change
//! continuously from nominal to any in the box. Its proof is made of these steps.
//!
//! 1. *Equations.* With the hook h and the tensions T of the taut legs as unknowns, Σ T·u = W·n and l(h) = L·(1 + T/(κ·EA)).
//!    Keeping T among the unknowns keeps them well conditioned: stiffness appears as a compliance only.
//! 2. *Slack.* At nearly every point of a straight way through the box, the balance has derivatives, and they are those of the
//!    set of legs that carry load there. A set that cannot carry it alone (a vector q has q·u < 0 for all its legs and
//!    q·n > 0) is none. Legs that may pass between taut and slack give several sets, and bounds hold for all of them.
//! 3. *Regularity.* Over a zone of hooks and tensions the coefficients are linear in the numbers of the box but for a rest
//!    (`affine`), in a frame that takes part in the turn all directions have in common. That every such matrix is regular, and
//!    that the one in the middle is stable, is proven (`verified`); so all are stable, and the branch stays so.
//! 4. *Continuation.* From a base the change along a way is the integral of derivatives. If what that can reach lies within
//!    the zone, the balance never comes to its border, and continues to every number of the box (`section`). Where one zone
//!    is not enough the box is cut, and the parts share balances that are proven to be of both (`cover`).
//! 5. *Bound.* From the point of a part toward which the tension rises, it can rise by no more than the derivatives allow. A
//!    number toward whose end it only rises is put there; else the part is cut (`bound`).
//!
//! Intervals round outward. Sums in plain doubles carry a bound of their rounding, which is added to the rest.
//!
//! The parts looked at are limited. If the limit comes first, the bound is still one, and the gap shows how wide. If the
//! branch cannot be enclosed, or a state in the box is not stable, there is no bound, and [`Worst::open`] says where.

mod affine;
mod arrange;
mod attained;
mod bound;
mod cone;
mod cover;
mod family;
mod interval;
mod law;
mod problem;
mod section;
mod skew;
mod verified;
mod zone;

pub use arrange::{Arrangement, arrange};
pub use problem::{MOST_LEGS, Offset, Tolerances};
pub use skew::{Common, Measure, Ratio, Skew, common_tolerance};

use super::State;
use super::bridle::Bridle;
use crate::error::{Error, Place};
use bound::{Best, Target};
use problem::{Hanging, Problem};
use serde::Serialize;

/// A gap below which the largest tension need not be looked for more closely.
const CLOSED: f64 = 1.0e-6;

/// How closely the worst case is bounded, and at what expense.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effort {
    /// How much the bound may exceed what was attained, over it.
    pub gap: f64,
    /// The most parts of the box that are looked at, for the branch and then for each force.
    pub parts: usize,
}

impl Default for Effort {
    /// A gap of 1 %, 2000 parts.
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
        self.bound.map(|bound| (bound - self.attained) / self.attained)
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
    /// The branch of the nominal balance could not be enclosed with the parts allowed.
    NotEnclosed,
}

/// Where in the box the proof stopped.
#[derive(Debug, Clone, PartialEq)]
pub struct Open {
    /// Why.
    pub reason: Reason,
    /// Where.
    pub at: Offset,
}

/// The worst case of a bridle.
#[derive(Debug, Clone, PartialEq)]
pub struct Worst {
    /// Tension of each leg.
    pub legs: Vec<Extreme>,
    /// Pull on every point of the load at which several legs meet.
    pub points: Vec<Shared>,
    /// Pull on the hook: the weight.
    pub hook: Extreme,
    /// Why and where there is no bound; none if there is.
    pub open: Option<Open>,
    /// Parts of the box that were looked at.
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
    let mut targets: Vec<Target> = (0..problem.legs()).map(|leg| Target { legs: 1 << leg }).collect();
    targets.extend(shared.iter().map(|legs| Target { legs: legs.iter().fold(0, |bits, leg| bits | 1 << leg) }));
    let nominal: Vec<f64> = targets.iter().map(|target| target.of(hanging.workspace.tensions())).collect();
    let (mut best, not_stable) = attained::search(&problem, &mut hanging, &targets)?;
    let covered = match not_stable {
        Some(at) => Err(Open { reason: Reason::NotStable, at: problem.offset(&at) }),
        None => cover::cover(&problem, &mut hanging, effort)?,
    };
    let mut count = 0;
    let mut bounds = vec![None; targets.len()];
    if let Ok(parts) = &covered {
        for ((target, best), bound) in targets.iter().zip(&mut best).zip(&mut bounds) {
            let (found, looked) = bound::narrow(&problem, &mut hanging, parts, *target, best, effort)?;
            if found > best.value * (1.0 + CLOSED) {
                attained::search_closely(&problem, &mut hanging, *target, best)?;
            }
            *bound = Some(found.max(best.value));
            count += looked;
        }
    }
    let extreme = |(nominal, (best, bound)): (f64, (Best, Option<f64>))| Extreme {
        nominal,
        attained: best.value,
        at: problem.offset(&best.at),
        bound,
    };
    let mut extremes = nominal.into_iter().zip(best.into_iter().zip(bounds)).map(extreme);
    let legs = extremes.by_ref().take(problem.legs()).collect();
    let points = shared.into_iter().zip(extremes).map(|(legs, pull)| Shared { legs, pull }).collect();
    let hook = problem.hook(tolerances.weight);
    Ok(Worst { legs, points, hook, open: covered.err(), parts: count, states: hanging.states })
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
    fn validate(&self) -> Result<(), Error> {
        if self.gap > 0.0 && self.gap.is_finite() {
            return Ok(());
        }
        Err(Error::out_of_domain("gap", self.gap, "", "positive and finite", Place::root().child("gap")))
    }
}
