//! The limit of legs that hardly stretch.

use super::closeness::Closeness;
use super::violation::{Answer, Comparing, Invariant, Kept};
use crate::equilibrium::sensitivity::{Parameter, differentiate};
use crate::equilibrium::solve;
use crate::error::Place;
use crate::sharing::{Determinate, LegSet, share};

/// A strain beyond which first derivatives say too little of what stretch does.
const STRAIN: f64 = 1e-2;

/// One to three legs carry what statics of legs that do not stretch says of them, but for what the stretch does to the
/// geometry.
///
/// # Derivation
///
/// A balance with stretches e is that of rigid legs which are longer by e, so that the tensions differ by Σ ∂T/∂L·e to
/// first order; the derivatives are those of the balance, and the sum of their magnitudes is doubled for what higher
/// orders add. It is no more than rounding where legs are stiff, and says how large it is.
///
/// # Errors
/// [`Broken::Violation`](super::Broken::Violation), its place the leg; a set without stiffnesses; what the solver
/// refuses.
///
/// ```
/// use rigging_core::kit::{Outline, invariants};
/// let stiff = Outline { stiffnesses: vec![1e12; 3], ..Outline::ring(3) };
/// assert!(invariants::rigid_limit(&stiff.leg_set()?).unwrap().tolerance().unwrap() < 1e-5);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn rigid_limit(set: &LegSet) -> Answer {
    let system = set.system()?;
    let forces = match share(&Determinate, set) {
        Ok(forces) => forces,
        Err(error) => return Ok(Kept::silent(error.to_string())),
    };
    let certificate = solve(system)?;
    let closeness = match Closeness::of(system, &certificate) {
        Ok(closeness) => closeness,
        Err(why) => return Ok(Kept::silent(why)),
    };
    if certificate.members.iter().any(|member| member.strain > STRAIN) {
        return Ok(Kept::silent("the legs stretch by more than a hundredth"));
    }
    let derivatives = differentiate(system, &certificate)?;
    let mut stretched = vec![0.0; forces.len()];
    for (index, (member, state)) in system.members().iter().zip(&certificate.members).enumerate() {
        let by_length = derivatives.of(Parameter::Length { member: index })?.tensions;
        let elongation = member.length * state.strain.max(0.0);
        stretched.iter_mut().zip(by_length).for_each(|(sum, slope)| *sum += (slope * elongation).abs());
    }
    let mut comparing = Comparing::new(Invariant::RigidLimit);
    let largest = forces.iter().copied().fold(0.0, f64::max);
    for (index, (force, member)) in forces.iter().zip(&certificate.members).enumerate() {
        let off = closeness.tensions.get(index).copied().unwrap_or(f64::NAN);
        let allowed = 2.0 * stretched.get(index).copied().unwrap_or(f64::NAN) + off + 64.0 * f64::EPSILON * largest;
        let what = || (format!("tension of leg {index}"), Place::root().child("legs").child(index));
        comparing.near([member.tension, *force], allowed, largest, "N", what)?;
    }
    Ok(comparing.kept())
}
