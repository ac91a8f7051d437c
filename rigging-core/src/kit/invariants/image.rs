//! Images of a system: turned, shifted, described in another frame, mirrored, in another order, of another scale.

use crate::error::{Error, Place};
use crate::system::{Body, End, Hook, Joint, Member, System};
use glam::{DQuat, DVec3};

/// Everything turned about the world's vertical, by an angle in rad.
///
/// # Errors
/// As [`System::new`], which a coordinate near the end of its range may fall out of; so for every image.
pub fn turned(system: &System, angle_rad: f64) -> Result<System, Error> {
    let turn = DQuat::from_rotation_z(angle_rad);
    placed(system, |point| turn * point, |body| Body { rotation: turn * body.rotation, ..body })
}

/// Everything shifted, by so much in m.
///
/// # Errors
/// As [`turned`].
pub fn shifted(system: &System, by: DVec3) -> Result<System, Error> {
    placed(system, |point| point + by, |body| body)
}

/// Every body described in a frame that is turned against its own; what hangs is the same.
///
/// # Errors
/// As [`turned`].
pub fn reframed(system: &System, turn: DQuat) -> Result<System, Error> {
    let back = turn.normalize().conjugate();
    placed(
        system,
        |point| point,
        |body| {
            let points = body.points.iter().map(|point| back * *point).collect();
            let center_of_gravity = back * body.center_of_gravity;
            Body { points, center_of_gravity, rotation: body.rotation * back.conjugate(), ..body }
        },
    )
}

/// The mirror image in the plane of x and z, the frames of the bodies mirrored with it.
///
/// # Errors
/// As [`turned`].
pub fn mirrored(system: &System) -> Result<System, Error> {
    placed(system, mirror, |body| {
        let points = body.points.iter().copied().map(mirror).collect();
        let DQuat { x, y, z, w } = body.rotation;
        let rotation = DQuat::from_xyzw(-x, y, -z, w);
        Body { points, center_of_gravity: mirror(body.center_of_gravity), rotation, ..body }
    })
}

/// The members in another order: member i of the image is member `order[i]` of the system.
///
/// # Errors
/// [`Error::Inconsistent`] unless the order names every member once.
pub fn relabeled(system: &System, order: &[usize]) -> Result<System, Error> {
    let mut sorted = order.to_vec();
    sorted.sort_unstable();
    if !sorted.iter().copied().eq(0..system.members().len()) {
        return Err(Error::inconsistent("the order does not name every member once", Place::root().child("order")));
    }
    let members = order.iter().filter_map(|index| system.members().get(*index)).cloned().collect();
    System::new(system.gravity(), system.hooks().to_vec(), system.joints().to_vec(), system.bodies().to_vec(), members)
}

/// Masses and laws times a factor: every force is.
///
/// # Errors
/// As [`turned`]; [`Error::OutOfDomain`] for a factor that is not positive.
pub fn stronger(system: &System, factor: f64) -> Result<System, Error> {
    let bodies = system.bodies().iter().map(|body| Body { mass: body.mass * factor, ..body.clone() }).collect();
    let law = |member: &Member| Ok(Member { law: member.law.scaled(factor)?, ..member.clone() });
    let members = system.members().iter().map(law).collect::<Result<_, Error>>()?;
    System::new(system.gravity(), system.hooks().to_vec(), system.joints().to_vec(), bodies, members)
}

/// Masses times a factor, laws as they are.
///
/// # Errors
/// As [`turned`].
pub fn heavier(system: &System, factor: f64) -> Result<System, Error> {
    let bodies = system.bodies().iter().map(|body| Body { mass: body.mass * factor, ..body.clone() }).collect();
    let (hooks, joints) = (system.hooks().to_vec(), system.joints().to_vec());
    System::new(system.gravity(), hooks, joints, bodies, system.members().to_vec())
}

/// All coordinates and lengths times a factor, masses and laws as they are.
///
/// # Errors
/// As [`turned`].
pub fn larger(system: &System, factor: f64) -> Result<System, Error> {
    let image = placed(
        system,
        |point| point * factor,
        |body| {
            let points = body.points.iter().map(|point| *point * factor).collect();
            Body { points, center_of_gravity: body.center_of_gravity * factor, ..body }
        },
    )?;
    let longer = |member: &Member| Member { length: member.length * factor, ..member.clone() };
    let members = image.members().iter().map(longer).collect();
    let (hooks, joints, bodies) = (image.hooks().to_vec(), image.joints().to_vec(), image.bodies().to_vec());
    System::new(image.gravity(), hooks, joints, bodies, members)
}

/// Laws times a factor, everything else as it is.
///
/// # Errors
/// As [`stronger`].
pub fn stiffer(system: &System, factor: f64) -> Result<System, Error> {
    heavier(&stronger(system, factor)?, 1.0 / factor)
}

/// A point in the mirror image.
pub(super) fn mirror(point: DVec3) -> DVec3 {
    DVec3::new(point.x, -point.y, point.z)
}

/// Everything at another place of the world, and the bodies changed in their own frames.
fn placed(system: &System, place: impl Fn(DVec3) -> DVec3, body: impl Fn(Body) -> Body) -> Result<System, Error> {
    let hooks = system.hooks().iter().map(|hook| Hook { position: place(hook.position) }).collect();
    let joints = system.joints().iter().map(|joint| Joint { position: place(joint.position) }).collect();
    let moved = |found: &Body| body(Body { position: place(found.position), ..found.clone() });
    let bodies = system.bodies().iter().map(moved).collect();
    System::new(system.gravity(), hooks, joints, bodies, system.members().to_vec())
}

/// Where an end of a member is, given where the bodies and joints hang.
pub(super) fn at(system: &System, certificate: &crate::equilibrium::Certificate, end: End) -> Option<DVec3> {
    match end {
        End::Hook(hook) => system.hooks().get(hook).map(|hook| hook.position),
        End::Joint(joint) => certificate.joints.get(joint).copied(),
        End::Body { body, point } => {
            let pose = certificate.bodies.get(body)?;
            Some(pose.position + pose.rotation * *system.bodies().get(body)?.points.get(point)?)
        }
    }
}
