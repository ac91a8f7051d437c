//! What more mass at the same center of gravity does, where it is certain which balance is meant.

use super::closeness::Closeness;
use super::image;
use super::violation::{Answer, Broken, Comparing, Invariant, Kept};
use crate::equilibrium::{Certificate, solve};
use crate::error::{Error, Place};
use crate::system::System;

/// All masses times a factor of 1 or more: the center of gravity does not rise toward the hook, and the strain energy
/// grows by no less than the old weight does along the way, and by no more than the new weight does.
///
/// # Derivation
///
/// U(h) is the strain energy and d(h) the depth below the hook of a pose h; h and h′ are the poses of least potential
/// energy U − W·d and U − W′·d, which two certificates prove ([`Certificate::lowest`]). Each is no worse than the
/// other's under its own weight, hence W·(d′ − d) ≤ U′ − U ≤ W′·(d′ − d), and d′ ≥ d. Where a certificate proves
/// nothing, or the lift is not one body under one hook, this is silent. An error of the pose moves U by no more than
/// the weight along it.
///
/// The largest tension is not among what is promised. It looks as if more mass could only raise it, and mostly it does,
/// but the most loaded leg may be unloaded by others that take up more: this library's tests keep a lift of four taut
/// legs where a hundredth more mass takes a thousandth off the largest tension.
///
/// # Errors
/// [`Broken::Violation`]; [`Error::OutOfDomain`] for a factor below 1; what the solver refuses.
///
/// ```
/// use rigging_core::kit::{Outline, invariants};
/// assert!(invariants::more_mass(&Outline::ring(4).system()?, 1.2).unwrap().compared());
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn more_mass(system: &System, factor: f64) -> Answer {
    if !(1.0..f64::INFINITY).contains(&factor) {
        let place = Place::root().child("factor");
        return Err(Error::out_of_domain("factor on the mass", factor, "", "finite and at least 1", place).into());
    }
    let heavier = image::heavier(system, factor)?;
    let (before, after) = (solve(system)?, solve(&heavier)?);
    if !(before.lowest && after.lowest) {
        return Ok(Kept::silent("it is not proven that both balances are the lowest"));
    }
    let (one, other) = match (State::of(system, &before), State::of(&heavier, &after)) {
        (Ok(one), Ok(other)) => (one, other),
        (Err(why), _) | (_, Err(why)) => return Ok(Kept::silent(why)),
    };
    let mut comparing = Comparing::new(Invariant::MoreMass);
    let (lower, energy) = (other.depth - one.depth, other.energy - one.energy);
    let off = one.motion + other.motion;
    let allowed = one.weight * one.motion + other.weight * (other.motion + off) + one.rounding + other.rounding;
    let scale = one.weight * one.depth;
    for (found, least, allowed, scale, unit, what) in [
        (lower, 0.0, off, one.depth, "m", "how much lower the center of gravity hangs"),
        (energy, one.weight * lower, allowed, scale, "J", "strain energy that more mass adds, at least"),
        (-energy, -other.weight * lower, allowed, scale, "J", "strain energy that more mass adds, at most"),
    ] {
        let what = || (what.to_owned(), Place::root().child("bodies").child(0));
        comparing.near([found.min(least), least], allowed, scale, unit, what)?;
    }
    Ok::<_, Broken>(comparing.kept())
}

/// What is compared, and how far it may be off.
struct State {
    weight: f64,
    depth: f64,
    energy: f64,
    motion: f64,
    /// Of the energy, J.
    rounding: f64,
}

impl State {
    fn of(system: &System, certificate: &Certificate) -> Result<Self, String> {
        let closeness = Closeness::of(system, certificate)?;
        let members = system.members().iter().zip(&certificate.members);
        let energy = members.clone().map(|(member, state)| member.length * member.law.energy(state.strain)).sum();
        let lengths = members.map(|(member, state)| state.tension * (member.length + state.length));
        let (Some(body), Some(pose)) = (system.bodies().first(), certificate.bodies.first()) else {
            return Err("there is no body".to_owned());
        };
        Ok(Self {
            weight: body.mass * system.gravity(),
            depth: (pose.hook_in_body - body.center_of_gravity).length(),
            energy,
            motion: closeness.motion,
            rounding: super::closeness::ROUNDINGS * f64::EPSILON * lengths.sum::<f64>(),
        })
    }
}
