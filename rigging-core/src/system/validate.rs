//! Refuses a system that statics could not mean anything for.

use super::{Body, End, System};
use crate::error::{Error, Place};
use glam::DVec3;

/// Greatest coordinate and length, m.
const FAR: f64 = 1.0e9;

pub(super) fn validate(system: &System) -> Result<(), Error> {
    let root = Place::root();
    within("gravity", system.gravity, "m/s²", 1.0e-6, 1.0e6, || root.child("gravity"))?;
    if system.hooks.is_empty() {
        return Err(Error::missing("a hook", "at least one hook", root.child("hooks")));
    }
    if system.bodies.is_empty() {
        return Err(Error::missing("a body", "at least one body", root.child("bodies")));
    }
    for (index, hook) in system.hooks.iter().enumerate() {
        coordinates(hook.position, || root.child("hooks").child(index).child("position"))?;
    }
    for (index, joint) in system.joints.iter().enumerate() {
        coordinates(joint.position, || root.child("joints").child(index).child("position"))?;
    }
    for (index, body) in system.bodies.iter().enumerate() {
        validate_body(body, || root.child("bodies").child(index))?;
    }
    for (index, member) in system.members.iter().enumerate() {
        let place = || root.child("members").child(index);
        length(member.length, place)?;
        member.law.validate(|| place().child("law"))?;
        exists(system, member.a, || place().child("a"))?;
        exists(system, member.b, || place().child("b"))?;
        match (member.a, member.b) {
            (a, b) if a == b => return Err(Error::inconsistent("both ends of the member are one point", place())),
            (End::Hook(_), End::Hook(_)) => {
                return Err(Error::inconsistent("both ends of the member are fixed in space", place()));
            }
            (End::Body { body: a, .. }, End::Body { body: b, .. }) if a == b => {
                return Err(Error::inconsistent("both ends of the member are fixed to one rigid body", place()));
            }
            _ => {}
        }
    }
    connected(system)
}

pub(super) fn validate_body(body: &Body, place: impl Fn() -> Place) -> Result<(), Error> {
    validate_mass(body, &place)?;
    coordinates(body.center_of_gravity, || place().child("center_of_gravity"))?;
    for (index, point) in body.points.iter().enumerate() {
        coordinates(*point, || place().child("points").child(index))?;
    }
    coordinates(body.position, || place().child("position"))?;
    within("length of the quaternion", body.rotation.length(), "", 1.0e-6, 1.0e6, || place().child("rotation"))
}

pub(super) fn validate_mass(body: &Body, place: impl FnOnce() -> Place) -> Result<(), Error> {
    within("mass", body.mass, "kg", 1.0e-12, 1.0e15, || place().child("mass"))
}

fn within(
    name: &str,
    value: f64,
    unit: &str,
    least: f64,
    most: f64,
    place: impl FnOnce() -> Place,
) -> Result<(), Error> {
    if (least..=most).contains(&value) {
        return Ok(());
    }
    let allowed = format!("from {least:e} to {most:e} {unit}");
    Err(Error::out_of_domain(name, value, unit, allowed.trim_end(), place()))
}

/// Refuses an unstretched length out of its range; `place` is that of the member.
pub(super) fn length(value: f64, place: impl FnOnce() -> Place) -> Result<(), Error> {
    within("length", value, "m", 1.0e-9, FAR, || place().child("length"))
}

/// Refuses a point that is not finite or too far.
pub(super) fn coordinates(point: DVec3, place: impl FnOnce() -> Place) -> Result<(), Error> {
    for (axis, value) in point.to_array().into_iter().enumerate() {
        if !(-FAR..=FAR).contains(&value) {
            let allowed = "finite, from -1e9 to 1e9 m";
            return Err(Error::out_of_domain("coordinate", value, "m", allowed, place().child(axis)));
        }
    }
    Ok(())
}

fn exists(system: &System, end: End, place: impl FnOnce() -> Place) -> Result<(), Error> {
    let (name, index, count) = match end {
        End::Hook(index) => ("hook", index, system.hooks.len()),
        End::Joint(index) => ("joint", index, system.joints.len()),
        End::Body { body, point } => match system.bodies.get(body) {
            None => ("body", body, system.bodies.len()),
            Some(found) => ("point", point, found.points.len()),
        },
    };
    if index < count {
        return Ok(());
    }
    let allowed = if count == 0 { format!("absent: there is no {name}") } else { format!("at most {}", count - 1) };
    Err(Error::out_of_domain(format!("index of the {name}"), index as f64, "", allowed, place()))
}

/// Every body must hang from a hook by a chain of members; every joint must have a member.
fn connected(system: &System) -> Result<(), Error> {
    let mut bodies = vec![false; system.bodies.len()];
    let mut joints = vec![false; system.joints.len()];
    let reached = |end: End, bodies: &[bool], joints: &[bool]| match end {
        End::Hook(_) => true,
        End::Joint(index) => joints.get(index).copied().unwrap_or(false),
        End::Body { body, .. } => bodies.get(body).copied().unwrap_or(false),
    };
    loop {
        let mut grew = false;
        for member in &system.members {
            for (from, to) in [(member.a, member.b), (member.b, member.a)] {
                if !reached(from, &bodies, &joints) || reached(to, &bodies, &joints) {
                    continue;
                }
                let mark = match to {
                    End::Hook(_) => None,
                    End::Joint(index) => joints.get_mut(index),
                    End::Body { body, .. } => bodies.get_mut(body),
                };
                if let Some(mark) = mark {
                    *mark = true;
                    grew = true;
                }
            }
        }
        if !grew {
            break;
        }
    }
    if let Some(index) = bodies.iter().position(|reached| !reached) {
        let place = Place::root().child("bodies").child(index);
        return Err(Error::unsupported("a body that no chain of members ties to a hook falls", place));
    }
    if let Some(index) = joints.iter().position(|reached| !reached) {
        let place = Place::root().child("joints").child(index);
        return Err(Error::inconsistent("no chain of members ties the joint to a hook", place));
    }
    Ok(())
}
