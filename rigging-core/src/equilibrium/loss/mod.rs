//! Loss of a part: members that break or let go, and what becomes of the load.
//!
//! The rest follows the energy downhill from the pose in which the members were lost (not from the drawing). Where that
//! ends is certified like any other equilibrium; a body that no chain of members ties to a hook any more *falls*.
//!
//! # The transient
//!
//! A loss is sudden, and the rest overshoots the new equilibrium. What is given for it:
//!
//! - [`Remaining::bound`] is proved, for rigid bodies that start at rest, massless members and hooks that stand still. Energy
//!   is conserved or lost, so at any instant Σ U + gravity ≤ its value at the start. A member can therefore not hold more
//!   than what the lowest conceivable position of the bodies leaves: each body hangs plumb by the chain of members between
//!   it and a hook, and every other member of the chain stretched as is worst, by its law. The pose enters nowhere else,
//!   so the bound also covers a load that tumbles; it is often several times what happens.
//! - [`Remaining::peak`] is an *estimate*: all the energy released goes into the one member on top of the new equilibrium,
//!   T + √(2·ΔE·k·M), with k the stiffness of the member and M = k·mᵀ·H⁻¹·m what a unit pull at it finds (m: elongation per
//!   unit of each unknown, H: Hessian). It is the exact bound of the small motion about the new equilibrium, that is,
//!   where the energy is quadratic. Members that go slack and snatch are beyond it, and above all a load that the swing
//!   carries over: a new equilibrium may be stable and yet so shallow that the load does not stop there. In one of 16
//!   simulated losses of a leg (a skid with its center of gravity a little above the lugs) that happened, and the
//!   largest tension was 2.6 times the estimate. Where that matters only the bound is safe.
//!
//! A vertical leg that takes a load suddenly, just straight and unloaded before, sees twice the load by either.
//!
//! Damping, the mass of the gear and the give of the crane are left out.

mod chains;
mod reduced;

use super::certificate::{Certificate, State};
use super::network::Hung;
use crate::error::{Error, Place};
use crate::system::{End, System};
use chains::Chains;
use reduced::{Left, Reduced, loose, reduce};
use serde::Serialize;

/// What a member that stays does.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Remaining {
    /// Index of the member in the system before the loss.
    pub member: usize,
    /// Tension before, N.
    pub before: f64,
    /// Tension in the new equilibrium, N.
    pub after: f64,
    /// `after` over `before`; none if the member was slack.
    pub ratio: Option<f64>,
    /// Estimate of the largest tension on the way, N; see the [module](self). None where the new equilibrium is not a
    /// minimum.
    pub peak: Option<f64>,
    /// Tension that is not exceeded on the way, N, proved; see the [module](self).
    pub bound: f64,
}

/// Where the rest hangs after the loss.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rest {
    /// The certificate of the new equilibrium. Its state says whether the load still hangs upright: *lost* is a load that
    /// turned over, to a tilt of 90° or more. Members and joints are those that remain, in their order; a joint at which
    /// no member pulls any more hangs loose, and is left out with its members.
    pub certificate: Certificate,
    /// The members that remain.
    pub members: Vec<Remaining>,
    /// Energy released on the way to the new equilibrium, J: of the members that remain and of gravity.
    pub released: f64,
}

/// What becomes of the load.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Aftermath {
    /// All bodies still hang.
    Hangs(Box<Rest>),
    /// These bodies (indices) are no longer tied to a hook, and fall.
    Falls(Vec<usize>),
}

/// The loss of one or several members at once.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Loss {
    /// Indices of the members lost, ascending.
    pub lost: Vec<usize>,
    /// Strain energy that stood in each of them, J: what its recoil can release.
    pub recoil: Vec<f64>,
    /// What becomes of the load.
    pub aftermath: Aftermath,
}

/// Loses the members given, all at once.
///
/// # Errors
///
/// [`Error::OutOfDomain`] for a member that does not exist; [`Error::Missing`] if none is given; [`Error::Inconsistent`]
/// if the certificate is not that of the system; [`Error::Unsupported`] unless its state is [`State::Stable`] or
/// [`State::Neutral`]; [`Error::Unconverged`] if where the rest goes could not be certified.
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::equilibrium::loss::{Aftermath, lose};
/// use rigging_core::equilibrium::solve;
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
/// // Two slings side by side between one hook and one point, each strong enough for the load.
/// let body = Body {
///     mass: 1000.0,
///     center_of_gravity: DVec3::new(0.0, 0.0, -1.0),
///     points: vec![DVec3::ZERO],
///     position: DVec3::ZERO,
///     rotation: DQuat::IDENTITY,
/// };
/// let sling = Member { a: End::Hook(0), b: End::Body { body: 0, point: 0 }, length: 2.0, law: Law::linear(1.0e6)? };
/// let hook = Hook { position: DVec3::new(0.0, 0.0, 2.0) };
/// let system = System::new(10.0, vec![hook], vec![], vec![body], vec![sling.clone(), sling])?;
/// let certificate = solve(&system)?;
/// let loss = lose(&system, &certificate, &[0])?;
/// // It held 5 kN at 10 mm.
/// assert!((loss.recoil[0] - 25.0).abs() < 1.0e-6);
/// let Aftermath::Hangs(rest) = loss.aftermath else { unreachable!() };
/// assert!((rest.members[0].after - 10_000.0).abs() < 1.0e-3);
/// // From half of the load the swing goes as far beyond the whole.
/// assert!((rest.members[0].peak.unwrap() - 15_000.0).abs() < 1.0e-3);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn lose(system: &System, certificate: &Certificate, members: &[usize]) -> Result<Loss, Error> {
    let mut lost = members.to_vec();
    lost.sort_unstable();
    lost.dedup();
    let count = system.members().len();
    let place = Place::root().child("members");
    let last =
        *lost.last().ok_or_else(|| Error::missing("a member to lose", "the index of a member", place.clone()))?;
    if last >= count {
        return Err(Error::out_of_domain("index of the member", last as f64, "", format!("below {count}"), place));
    }
    Hung::matched(system, certificate)?;
    if !matches!(certificate.state, State::Stable | State::Neutral) {
        let what = format!("the loss of a part of a load that is {}", certificate.state.word());
        return Err(Error::unsupported(what, Place::root().child("state")));
    }
    let energies = strain_energies(system, certificate);
    let recoil = lost.iter().filter_map(|index| energies.get(*index)).copied().collect();
    let aftermath = match reduce(system, certificate, &lost)? {
        Reduced::Untied(bodies) => Aftermath::Falls(bodies),
        Reduced::Tied(left) => {
            let stays = |index: &usize| lost.binary_search(index).is_err();
            let strained = (0..count).filter(stays).filter_map(|index| energies.get(index)).sum();
            Aftermath::Hangs(Box::new(settle(*left, strained)?))
        }
    };
    Ok(Loss { lost, recoil, aftermath })
}

/// Loses every member in turn, each alone.
///
/// # Errors
///
/// As [`lose`].
pub fn lose_each(system: &System, certificate: &Certificate) -> Result<Vec<Loss>, Error> {
    (0..system.members().len()).map(|member| lose(system, certificate, &[member])).collect()
}

/// The members that meet at an end, in their order: what is lost together when the point, the ring or the hook gives way.
pub fn members_at(system: &System, end: End) -> Vec<usize> {
    let members = system.members().iter().enumerate();
    members.filter(|(_, member)| member.a == end || member.b == end).map(|(index, _)| index).collect()
}

/// Strain energy of each member, J.
pub fn strain_energies(system: &System, certificate: &Certificate) -> Vec<f64> {
    let members = system.members().iter().zip(&certificate.members);
    members.map(|(member, state)| member.length * member.law.energy(state.strain)).collect()
}

/// Follows the energy downhill from the pose before the loss, and compares. `strained`: strain energy at the start of all that was not
/// lost, members included that hang loose from then on; it may still be handed on.
fn settle(left: Left, strained: f64) -> Result<Rest, Error> {
    let Left { system, pose, kept } = &left;
    let certificate = Hung::new(system, pose).descend()?;
    let hanging_loose = loose(system, &certificate);
    if !hanging_loose.is_empty()
        && let Reduced::Tied(tighter) = reduce(system, pose, &hanging_loose)?
    {
        let still = tighter.kept.iter().filter_map(|index| kept.get(*index)).copied().collect();
        return settle(Left { kept: still, ..*tighter }, strained);
    }
    let (at_start, at_end) = (strain_energies(system, pose), strain_energies(system, &certificate));
    let drop =
        system.bodies().iter().zip(pose.bodies.iter().zip(&certificate.bodies)).fold(0.0, |sum, (body, (a, b))| {
            sum + body.mass * system.gravity() * (a.center_of_gravity.z - b.center_of_gravity.z)
        });
    // A rest that was in balance before, because what was lost was slack, stays where it is.
    let released = (drop + (at_start.iter().sum::<f64>() - at_end.iter().sum::<f64>())).max(0.0);
    let peaks = peaks(system, &certificate, released);
    let chains = Chains::new(system);
    let bounds = chains.bounds(pose, strained);
    let states = pose.members.iter().zip(&certificate.members);
    let members = kept.iter().zip(states).zip(peaks.into_iter().zip(bounds));
    let members = members.map(|((member, (before, after)), (peak, bound))| Remaining {
        member: *member,
        before: before.tension,
        after: after.tension,
        ratio: (before.tension > 0.0).then(|| after.tension / before.tension),
        peak,
        bound,
    });
    Ok(Rest { members: members.collect(), certificate, released })
}

/// T + √(2·ΔE·k·M) for each member.
fn peaks(system: &System, certificate: &Certificate, released: f64) -> Vec<Option<f64>> {
    let hung = Hung::new(system, certificate);
    let factors =
        if matches!(certificate.state, State::Stable | State::Neutral | State::Lost) { hung.regular() } else { None };
    let strands: Vec<_> = hung.strands().collect();
    let members = strands.iter().zip(system.members()).enumerate();
    members
        .map(|(index, (strand, member))| {
            let factors = factors.as_ref()?;
            let mut step = hung.nothing();
            hung.press(&mut step, index, strand.direction);
            hung.answer(factors, &mut step);
            // How much a unit pull along the member lengthens the way between its ends.
            let give = strand.direction.dot(hung.parting(index, &step));
            let stretch = (2.0 * released * give).max(0.0).sqrt();
            Some(if strand.taut() {
                strand.tension + strand.stiffness * stretch
            } else {
                member.law.tension((strand.elongation + stretch) / member.length)
            })
        })
        .collect()
}
