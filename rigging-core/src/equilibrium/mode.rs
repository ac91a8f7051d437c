//! Modes: how stiffly an equilibrium resists each of its independent small motions.
//!
//! The Hessian of the potential energy is taken over the displacement of every joint, and of every body's center of
//! gravity, in meters, and over the turn of every body times its *reach*, so that all unknowns are lengths and all
//! eigenvalues are N/m. The reach is the distance from the center of gravity to the farthest point of the body that is
//! listed (where none is away from it, the mean length of the members); it stands in the result. Turns of a part about
//! the plumb line that it hangs from cost nothing and are left out.
//!
//! An eigenvalue is a matter of the scale chosen; its sign is not, nor is whether it is zero.

use super::certificate::Certificate;
use super::network::Hung;
use super::shape::Shape;
use super::spectrum::{self, Mass};
use crate::error::Error;
use crate::system::System;
use glam::{DMat3, DVec3};
use serde::Serialize;

/// One mode.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Mode {
    /// Eigenvalue of the Hessian, N/m: force per displacement along the mode; negative where the balance is unstable.
    pub stiffness: f64,
    /// The motion. The squares of all displacements and of all turns times their reach add up to 1 m²; the largest
    /// component is positive.
    pub shape: Shape,
}

/// The softest modes of an equilibrium.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Modes {
    /// The modes, softest first.
    pub modes: Vec<Mode>,
    /// Whether these are all the modes there are.
    pub complete: bool,
    /// Length by which a turn of each body is multiplied, m.
    pub reaches: Vec<f64>,
    /// Number of free turns about plumb lines, which are left out.
    pub free_turns: usize,
}

/// The softest modes of an equilibrium: all of them up to 48 unknowns, three for a joint and six for a body; of more,
/// the `count` softest, each within 1e-9 of its value raised by a thousandth of the stiffness of a pendulum.
///
/// # Errors
///
/// [`Error::Inconsistent`] if the certificate is not of this system; [`Error::Unconverged`] if the iteration for many
/// unknowns does not reach its accuracy or a count of signs says that it missed a mode.
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::equilibrium::{mode::softest_modes, solve};
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
/// // 1000 kg on one member of 3 m: two ways to swing at the hook and two at the lug, one to bounce.
/// let body = Body {
///     mass: 1000.0,
///     center_of_gravity: DVec3::new(0.0, 0.0, -1.0),
///     points: vec![DVec3::ZERO],
///     position: DVec3::ZERO,
///     rotation: DQuat::IDENTITY,
/// };
/// let member = Member { a: End::Hook(0), b: End::Body { body: 0, point: 0 }, length: 3.0, law: Law::linear(3.0e6)? };
/// let hook = Hook { position: DVec3::new(0.0, 0.0, 3.0) };
/// let system = System::new(9.80665, vec![hook], vec![], vec![body], vec![member])?;
/// let found = softest_modes(&system, &solve(&system)?, 5)?;
/// assert_eq!((found.modes.len(), found.free_turns), (5, 1));
/// assert!((found.modes[4].stiffness - 1.0e6).abs() < 1.0);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn softest_modes(system: &System, certificate: &Certificate, count: usize) -> Result<Modes, Error> {
    of_hung(&Hung::of(system, certificate)?, count)
}

/// As [`softest_modes`].
pub(super) fn of_hung(hung: &Hung, count: usize) -> Result<Modes, Error> {
    let stations = hung.stations();
    let mut blocks = vec![DMat3::IDENTITY; hung.count()];
    for station in stations.iter().filter(|station| station.body) {
        if let Some(block) = blocks.get_mut(station.variable + 1) {
            *block = DMat3::from_diagonal(DVec3::splat(station.reach * station.reach));
        }
    }
    let free: Vec<Vec<DVec3>> = hung.free_turns().into_iter().map(|(_, motion)| motion).collect();
    let reaches = stations.iter().filter(|station| station.body).map(|station| station.reach).collect();
    let Some(mass) = Mass::new(blocks) else {
        return Err(Error::inconsistent("a body without extent", crate::error::Place::root().child("bodies")));
    };
    let pairs = spectrum::lowest(hung, &mass, &free, count)?;
    let modes: Vec<Mode> =
        pairs.into_iter().map(|(stiffness, x)| Mode { stiffness, shape: hung.shape(&signed(x, &mass)) }).collect();
    let complete = modes.len() + free.len() == 3 * hung.count();
    Ok(Modes { modes, complete, reaches, free_turns: free.len() })
}

/// A mode has no sign; its largest component is made positive so that the answer is one and the same.
pub(super) fn signed(mut x: Vec<DVec3>, mass: &Mass) -> Vec<DVec3> {
    let scales = mass.blocks.iter().map(|block| block.x_axis.x.sqrt());
    let parts = x.iter().zip(scales).flat_map(|(x, scale)| (scale * *x).to_array());
    // Components that differ by rounding only are equal: the first of them counts.
    let largest = parts.fold(0.0, |most: f64, part| if part.abs() > 1.000_001 * most.abs() { part } else { most });
    if largest < 0.0 {
        x.iter_mut().for_each(|part| *part = -*part);
    }
    x
}
