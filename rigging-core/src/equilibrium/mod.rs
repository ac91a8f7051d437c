//! Statics of a system: pose, tensions, certificate.
//!
//! # What equilibrium means
//!
//! The minimum of the potential energy that quasi-static hoisting reaches from the attitude as drawn: the hook stands
//! plumb above the center of gravity at the height at which the first member is just straight (if none can be, at half
//! the mean length), and the load then follows the energy downhill. The position of the hook in the drawing has no say,
//! the attitude of the body has. A second pose of lower energy (nearly every bridle has one, upside down) is not meant.
//!
//! [`State`] says what was found:
//!
//! - *Stable*: the descent ends in a minimum whose tilt away from the attitude as drawn is less than 90°. A large tilt
//!   is still stable; it is reported, and judging it is not the business of statics.
//! - *Neutral*: the same, but the load can drift without resistance in a way other than turning about the plumb line.
//! - *Unstable*: the descent ends, less than 90° from the attitude as drawn, in a balance that nothing but symmetry
//!   holds: an eigenvalue of the Hessian is negative. The descent is then continued from a small disturbance along the
//!   most negative mode, and where it ends is reported with it.
//! - *Lost*: the descent ends at a tilt of 90° or more. The branch of equilibria that starts from the attitude as drawn
//!   does not exist for these members and this center of gravity: the load turns over. What is reported is where it
//!   would come to rest, as proof; it is not a lift.
//!
//! Nothing is returned without a certificate: forces balance to 1e-10 of the weight plus 64 ε times the sum of the
//! tensions, and the signs of the Hessian's eigenvalues are known. Anything else is
//! [`Error::Unconverged`].
//!
//! Where two branches nearly meet, which one quasi-static hoisting takes hangs by a thread. One body under one hook is
//! therefore hung twice, by a descent in short steps and by an integration of the path of steepest descent to a stated
//! accuracy, unless the balance is upright and proven to be the lowest of all. Where the two part, or the path passes too
//! near to a separatrix, both are repeated up to 64 times finer; where they still part, the branch is not decided and the
//! answer is [`Error::Unconverged`]. A network is hung by one descent in short steps, and nothing marks such a case.
//!
//! Results are the same bit for bit on every machine: additions in a fixed order, square roots, no other function of
//! the platform's library.

mod angle;
pub mod batch;
pub mod bridle;
mod certificate;
mod dense;
mod descent;
mod dispatch;
pub mod loss;
pub mod margin;
pub mod mechanism;
pub mod mode;
pub mod nearby;
pub mod network;
pub mod other;
pub mod own_weight;
mod path;
pub mod period;
pub mod running;
pub mod sampling;
pub mod self_stress;
pub mod sensitivity;
pub mod shape;
mod single;
mod spectrum;
mod symmetric;
pub mod worst;

pub use angle::angle_between;
pub use certificate::{Certificate, MemberState, Pose, SlackEvent, State};
pub use shape::{Movement, Shape};

use crate::error::{Error, Place};
use crate::system::{Body, Hook, System};

/// Hangs the system and certifies the result.
///
/// One body under one hook is hung as a [`bridle`]; any other arrangement of bodies, joints and hooks as a [`network`].
///
/// # Errors
///
/// [`Error::Unconverged`] if no state could be certified.
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::equilibrium::{State, solve};
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
/// let corners = [[2.6, 1.05], [2.6, -1.05], [-2.6, -1.05], [-2.6, 1.05]];
/// let body = Body {
///     mass: 18_500.0,
///     center_of_gravity: DVec3::new(0.45, -0.12, 0.90),
///     points: corners.map(|[x, y]| DVec3::new(x, y, 0.0)).to_vec(),
///     position: DVec3::ZERO,
///     rotation: DQuat::IDENTITY,
/// };
/// let mut members = Vec::new();
/// for point in 0..4 {
///     members.push(Member { a: End::Hook(0), b: End::Body { body: 0, point }, length: 6.0, law: Law::linear(6.0e6)? });
/// }
/// let hook = Hook { position: DVec3::new(0.0, 0.0, 8.0) };
/// let certificate = solve(&System::new(9.80665, vec![hook], vec![], vec![body], members)?)?;
/// assert_eq!(certificate.state, State::Stable);
/// assert!((certificate.bodies[0].tilt.to_degrees() - 6.423).abs() < 0.0005);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn solve(system: &System) -> Result<Certificate, Error> {
    match one_hook_one_body(system) {
        Ok((hook, body)) if system.members().len() <= bridle::MAX_MEMBERS => single::solve(system, hook, body),
        _ => network::solve(system),
    }
}

/// The system as a [`Bridle`](bridle::Bridle), to be solved again and again with other lengths and another center of
/// gravity. Its frame is turned as the body is drawn and has its origin at the center of gravity.
///
/// # Errors
///
/// As [`solve`].
pub fn bridle_of(system: &System) -> Result<bridle::Bridle, Error> {
    let (_, body) = one_hook_one_body(system)?;
    single::bridle(system, body)
}

/// The certificate of what was just solved in `workspace`, with the bridle of the system.
///
/// # Errors
///
/// As [`solve`].
pub(crate) fn certify_bridle(
    system: &System,
    bridle: &bridle::Bridle,
    workspace: &bridle::Workspace,
    outcome: &bridle::Outcome,
) -> Result<Certificate, Error> {
    let (hook, body) = one_hook_one_body(system)?;
    single::certify(system, hook, body, bridle, workspace, outcome)
}

fn one_hook_one_body(system: &System) -> Result<(&Hook, &Body), Error> {
    let root = Place::root();
    match (system.hooks(), system.joints(), system.bodies()) {
        ([hook], [], [body]) => Ok((hook, body)),
        ([_, _, ..], _, _) => Err(Error::unsupported("several hooks", root.child("hooks"))),
        (_, [_, ..], _) => Err(Error::unsupported("joints", root.child("joints"))),
        _ => Err(Error::unsupported("several bodies", root.child("bodies"))),
    }
}
