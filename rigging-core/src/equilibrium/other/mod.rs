//! Other equilibria: stable poses beside the present one, and what it takes to get there.
//!
//! Nearly every bridle has a second stable pose, upside down. It does no harm as long as nothing brings the load there;
//! how far it is from there is told by the energy of the lowest pass that was found between the two.
//!
//! One body under one hook is searched as a whole. For every direction from the center of gravity to the hook, in the
//! frame of the body, the energy has exactly one minimum over the distance, because the energy of the members is convex;
//! what remains is a landscape on the sphere, whose valleys are the stable poses. It is looked at in 9218 directions
//! spread evenly over the faces of an octahedron; a valley narrower than about 3° may be missed.
//!
//! Any other system is disturbed and let go: see [`other_equilibria`] for the list of starts. That is a search and no
//! proof; poses may be missed, and no passes are given.

mod landscape;
mod saddle;

use super::bridle::{Bridle, Outcome, Workspace};
use super::certificate::Certificate;
use super::network;
use super::{one_hook_one_body, single};
use crate::error::Error;
use crate::system::System;
use glam::DVec3;
use landscape::Landscape;
use serde::Serialize;

/// Poses nearer to each other than this are one: hooks over their distance from the center of gravity.
const SAME: f64 = 1.0e-5;
/// Neutral poses whose energies differ by less, over weight times distance, are places in one valley.
const LEVEL: f64 = 1.0e-9;

/// The lowest pass that was found between the present pose and another.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Pass {
    /// Energy above the present pose, J. It is an upper bound of what it takes: a way over this pass exists, a lower one
    /// may.
    pub energy: f64,
    /// The world's upward direction in the body's frame on the pass (unit vector).
    pub up_in_body: DVec3,
    /// Unbalanced force on the pass, over the weight.
    pub residual_over_weight: f64,
}

/// Another equilibrium.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Other {
    /// Pose and tensions. The state is told from the attitude as drawn: a tilt of 90° or more is *lost*.
    pub certificate: Certificate,
    /// Potential energy above that of the present pose, J; negative if the other pose is lower.
    pub energy: f64,
    /// The lowest pass found between the two; `None` if none was certified.
    pub pass: Option<Pass>,
}

/// The other equilibria that were found, lowest energy first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Others {
    /// The equilibria. No mode of any of them is negative.
    pub equilibria: Vec<Other>,
    /// Number of starts from which a descent was made.
    pub starts: usize,
    /// Number of these that came to rest nowhere or in a balance that is not stable.
    pub unsettled: usize,
}

/// Searches the stable equilibria beside that of the certificate.
///
/// For one body under one hook a descent starts in every valley that the landscape of the energy shows, see the
/// [module](self). For any other system the descents start from the pose of the certificate with all bodies and joints
/// turned together about their common center of gravity, by 90°, 180° and 270° about x and by 90° and 270° about y, and
/// with each body in turn turned over by 180° about x and about y, in this order.
///
/// # Errors
///
/// [`Error::Inconsistent`] if the certificate is not of this system.
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::equilibrium::{other::other_equilibria, solve};
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
/// // A bar on two legs, its center of gravity 0.3 m below the lugs: it may hang the other way up.
/// let body = Body {
///     mass: 1000.0,
///     center_of_gravity: DVec3::new(0.0, 0.0, -0.3),
///     points: vec![DVec3::new(-1.0, 0.0, 0.0), DVec3::new(1.0, 0.0, 0.0)],
///     position: DVec3::ZERO,
///     rotation: DQuat::IDENTITY,
/// };
/// let leg = |point| -> Result<Member, rigging_core::error::Error> {
///     Ok(Member { a: End::Hook(0), b: End::Body { body: 0, point }, length: 2.0, law: Law::linear(1.0e7)? })
/// };
/// let hook = Hook { position: DVec3::new(0.0, 0.0, 2.0) };
/// let system = System::new(9.80665, vec![hook], vec![], vec![body], vec![leg(0)?, leg(1)?])?;
/// let found = other_equilibria(&system, &solve(&system)?)?;
/// // Upright it hangs by √3 + 0.3 m; nothing but symmetry holds it at √3 − 0.3 m: it rolls about its lugs and back.
/// assert!(found.equilibria.is_empty());
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn other_equilibria(system: &System, certificate: &Certificate) -> Result<Others, Error> {
    // Refuses a certificate of another system.
    let hung = network::Hung::of(system, certificate)?;
    match one_hook_one_body(system) {
        Ok((_, body)) if system.members().len() <= super::bridle::MAX_MEMBERS => {
            let bridle = single::bridle(system, body)?;
            let present = certificate
                .bodies
                .first()
                .map_or(DVec3::ZERO, |pose| body.rotation * (pose.hook_in_body - body.center_of_gravity));
            Ok(of_bridle(system, &bridle, present))
        }
        _ => Ok(of_network(&hung, certificate)),
    }
}

/// A stable pose of a bridle.
struct Valley {
    outcome: Outcome,
    energy: f64,
    neutral: bool,
    certificate: Certificate,
}

fn of_bridle(system: &System, bridle: &Bridle, present: DVec3) -> Others {
    let landscape = Landscape::new(bridle);
    let mut workspace = Workspace::default();
    let mut found: Vec<Valley> = Vec::new();
    let (mut starts, mut unsettled) = (0, 0);
    for start in landscape.valleys() {
        starts += 1;
        let Some(outcome) = settled(bridle, start, &mut workspace) else {
            unsettled += 1;
            continue;
        };
        let Some(certificate) = single::certificate(system, bridle, &workspace, &outcome) else { continue };
        let energy = bridle.energy(outcome.hook);
        let neutral = certificate.null_modes > 1;
        let valley = Valley { outcome, energy, neutral, certificate };
        if !found.iter().any(|known| same(bridle, known, outcome.hook, energy, neutral)) {
            found.push(valley);
        }
    }
    let here = bridle.energy(present);
    let home = found.iter().position(|known| same(bridle, known, present, here, known.neutral));
    // Passes between all pairs, each with the two poses that descents from it lead to.
    let mut passes = Vec::new();
    for (index, one) in found.iter().enumerate() {
        for other in found.iter().skip(index + 1) {
            let from = landscape.pass(one.outcome.hook, other.outcome.hook);
            let Some(point) = from.and_then(|from| saddle::climb(bridle, from, &mut workspace)) else { continue };
            let ends = point.sides.map(|side| {
                let outcome = settled(bridle, side, &mut workspace)?;
                let energy = bridle.energy(outcome.hook);
                found.iter().position(|known| same(bridle, known, outcome.hook, energy, known.neutral))
            });
            if let [Some(a), Some(b)] = ends
                && a != b
            {
                passes.push((a, b, point));
            }
        }
    }
    passes.sort_by(|(_, _, one), (_, _, other)| one.energy.total_cmp(&other.energy));
    let back = system.bodies().first().map_or(glam::DQuat::IDENTITY, |body| body.rotation.conjugate());
    let mut equilibria: Vec<Other> = Vec::new();
    for (index, valley) in found.iter().enumerate() {
        if Some(index) == home {
            continue;
        }
        let pass = home.and_then(|home| lowest_way(&passes, home, index, found.len())).map(|point| Pass {
            energy: point.energy - here,
            up_in_body: back * point.hook.normalize_or_zero(),
            residual_over_weight: point.residual / bridle.weight(),
        });
        equilibria.push(Other { certificate: valley.certificate.clone(), energy: valley.energy - here, pass });
    }
    equilibria.sort_by(|one, other| one.energy.total_cmp(&other.energy));
    Others { equilibria, starts, unsettled }
}

/// Whether a pose is a known one.
fn same(bridle: &Bridle, known: &Valley, hook: DVec3, energy: f64, neutral: bool) -> bool {
    let height = known.outcome.hook.length();
    let near = (known.outcome.hook - hook).length() <= SAME * height;
    near || (neutral && known.neutral && (known.energy - energy).abs() <= LEVEL * bridle.weight() * height)
}

/// Where a descent ends, past balances that only symmetry holds.
fn settled(bridle: &Bridle, start: DVec3, workspace: &mut Workspace) -> Option<Outcome> {
    let outcome = bridle.settle(workspace, start).ok()?;
    if !workspace.on_saddle() {
        return Some(outcome);
    }
    let outcome = bridle.disturb(workspace, &outcome).ok()?;
    (!workspace.on_saddle()).then_some(outcome)
}

/// The pass that decides the lowest way between two poses: passes join valleys, lowest first, until the two are one.
fn lowest_way(passes: &[(usize, usize, saddle::Point)], from: usize, to: usize, count: usize) -> Option<saddle::Point> {
    let mut basin: Vec<usize> = (0..count).collect();
    for (a, b, point) in passes {
        let (a, b) = (basin.get(*a).copied()?, basin.get(*b).copied()?);
        for entry in &mut basin {
            if *entry == a {
                *entry = b;
            }
        }
        if basin.get(from) == basin.get(to) {
            return Some(*point);
        }
    }
    None
}

fn of_network(hung: &network::Hung, certificate: &Certificate) -> Others {
    let here = hung.energy();
    let (mut starts, mut unsettled) = (0, 0);
    let mut equilibria: Vec<Other> = Vec::new();
    for start in hung.starts() {
        starts += 1;
        let Some((found, energy)) = hung.let_go(&start) else {
            unsettled += 1;
            continue;
        };
        let known = equilibria.iter().map(|other| &other.certificate).chain([certificate]);
        if !known.into_iter().any(|known| alike(known, &found)) {
            equilibria.push(Other { certificate: found, energy: energy - here, pass: None });
        }
    }
    equilibria.sort_by(|one, other| one.energy.total_cmp(&other.energy));
    Others { equilibria, starts, unsettled }
}

/// Whether two certificates are of one pose, free turns aside: equal tensions, and equal attitudes against the vertical.
fn alike(one: &Certificate, other: &Certificate) -> bool {
    let largest = one.members.iter().fold(0.0, |most: f64, member| most.max(member.tension));
    let tensions = one.members.iter().zip(&other.members);
    let attitudes = one.bodies.iter().zip(&other.bodies);
    tensions.into_iter().all(|(a, b)| (a.tension - b.tension).abs() <= 1.0e-6 * largest)
        && attitudes.into_iter().all(|(a, b)| (a.up_in_body - b.up_in_body).length() <= 1.0e-5)
}
