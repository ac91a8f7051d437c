//! One hook and one body: from the system to a [`Bridle`] and back.

use super::angle::angle;
use super::bridle::{Bridle, MAX_MEMBERS, Outcome, Workspace};
use super::certificate::{Certificate, MemberState, Pose, SlackEvent, State};
use crate::error::{Error, Place};
use crate::system::{Body, End, Hook, System};
use glam::{DQuat, DVec3};

pub(super) fn solve(system: &System, hook: &Hook, body: &Body) -> Result<Certificate, Error> {
    let bridle = bridle(system, body)?;
    let mut workspace = Workspace::default();
    let outcome = bridle.solve(&mut workspace)?;
    certify(system, hook, body, &bridle, &workspace, &outcome)
}

/// The certificate of what was just solved in `workspace`.
pub(super) fn certify(
    system: &System,
    hook: &Hook,
    body: &Body,
    bridle: &Bridle,
    workspace: &Workspace,
    outcome: &Outcome,
) -> Result<Certificate, Error> {
    let scene = Scene { system, hook, body, weight: bridle.weight() };
    let mut certificate = scene.certificate(workspace, outcome);
    if outcome.state == State::Unstable {
        let mut disturbed = workspace.clone();
        let after = bridle.disturb(&mut disturbed, outcome)?;
        certificate.iterations += after.iterations;
        certificate.destination = Some(Box::new(scene.certificate(&disturbed, &after)));
    }
    Ok(certificate)
}

/// The bridle of a system of one hook and one body: turned as drawn, with its origin at the center of gravity.
pub(super) fn bridle(system: &System, body: &Body) -> Result<Bridle, Error> {
    let members = system.members();
    if members.len() > MAX_MEMBERS {
        let what = format!("{} members; the most is {MAX_MEMBERS}", members.len());
        return Err(Error::unsupported(what, Place::root().child("members")));
    }
    let mut points = Vec::with_capacity(members.len());
    for (index, member) in members.iter().enumerate() {
        let point = match (member.a, member.b) {
            (End::Hook(_), End::Body { point, .. }) | (End::Body { point, .. }, End::Hook(_)) => body.points.get(point),
            _ => None,
        };
        let Some(point) = point else {
            let place = Place::root().child("members").child(index);
            return Err(Error::unsupported("a member that does not run from the hook to the body", place));
        };
        // Relative to the center of gravity first: coordinates far from the origin then cost no accuracy.
        points.push(body.rotation * (*point - body.center_of_gravity));
    }
    let lengths = members.iter().map(|member| member.length).collect();
    let laws = members.iter().map(|member| member.law.clone()).collect();
    Ok(Bridle::of_valid(points, lengths, laws, body.mass * system.gravity()))
}

/// The certificate of an outcome that stands in the workspace; `None` unless the system is one body under one hook.
pub(super) fn certificate(
    system: &System,
    bridle: &Bridle,
    workspace: &Workspace,
    outcome: &Outcome,
) -> Option<Certificate> {
    let (hook, body) = (system.hooks().first()?, system.bodies().first()?);
    Some(Scene { system, hook, body, weight: bridle.weight() }.certificate(workspace, outcome))
}

struct Scene<'a> {
    system: &'a System,
    hook: &'a Hook,
    body: &'a Body,
    weight: f64,
}

impl Scene<'_> {
    fn certificate(&self, workspace: &Workspace, outcome: &Outcome) -> Certificate {
        let turn = upright(outcome.up);
        let members: Vec<MemberState> = self
            .system
            .members()
            .iter()
            .zip(workspace.tensions().zip(workspace.elongations()).zip(workspace.directions()))
            .map(|(member, ((tension, elongation), direction))| {
                let toward_hook = turn * direction;
                MemberState {
                    tension,
                    length: member.length + elongation,
                    strain: elongation / member.length,
                    slack: elongation <= 0.0,
                    direction: if matches!(member.a, End::Hook(_)) { toward_hook } else { -toward_hook },
                }
            })
            .collect();
        let mut nearest: Option<SlackEvent> = None;
        for (member, elongation) in workspace.elongations().enumerate() {
            let distance = elongation.abs();
            if nearest.is_none_or(|event| distance < event.distance) {
                nearest = Some(SlackEvent { member, distance });
            }
        }
        let pull = workspace
            .tensions()
            .zip(workspace.directions())
            .fold(DVec3::ZERO, |sum, (tension, direction)| sum - tension * (turn * direction));
        // The pull on the body acts from its point toward the hook.
        let moment = self.system.members().iter().zip(workspace.tensions().zip(workspace.directions())).fold(
            DVec3::ZERO,
            |sum, (member, (tension, direction))| {
                let ((End::Body { point, .. }, _) | (_, End::Body { point, .. })) = (member.a, member.b) else {
                    return sum;
                };
                let arm = self.body.points.get(point).map_or(DVec3::ZERO, |p| *p - self.body.center_of_gravity);
                sum + (turn * (self.body.rotation * arm)).cross(tension * (turn * direction))
            },
        );
        let products = members.iter().zip(self.system.members()).map(|(state, m)| state.complementarity(m.length));
        let complementarity = products.fold(0.0, f64::max);
        let eigenvalues = workspace.eigenvalues();
        let threshold = workspace.null_threshold();
        Certificate {
            state: outcome.state,
            bodies: vec![self.pose(outcome, turn)],
            joints: Vec::new(),
            members,
            hooks: vec![pull],
            residual: outcome.residual,
            residual_over_weight: outcome.residual / self.weight,
            residual_moment: moment.length(),
            complementarity,
            eigenvalues: eigenvalues.to_vec(),
            negative_modes: eigenvalues.iter().filter(|value| **value < -threshold).count(),
            null_modes: 1 + eigenvalues.iter().filter(|value| value.abs() <= threshold).count(),
            lowest: outcome.lowest,
            nearest_slack_event: nearest,
            iterations: outcome.iterations,
            destination: None,
        }
    }

    fn pose(&self, outcome: &Outcome, turn: DQuat) -> Pose {
        let body = self.body;
        let back = body.rotation.conjugate();
        let rotation = (turn * body.rotation).normalize();
        let center_of_gravity = self.hook.position - DVec3::new(0.0, 0.0, outcome.hook.length());
        let sine = (outcome.up.x * outcome.up.x + outcome.up.y * outcome.up.y).sqrt();
        Pose {
            center_of_gravity,
            position: center_of_gravity - rotation * body.center_of_gravity,
            rotation,
            up_in_body: back * outcome.up,
            tilt: angle(sine, outcome.up.z),
            hook_in_body: body.center_of_gravity + back * outcome.hook,
        }
    }
}

/// The shortest rotation that turns `up` to +z; about x if `up` is −z.
fn upright(up: DVec3) -> DQuat {
    let w = 1.0 + up.z;
    let side = up.x * up.x + up.y * up.y;
    if side == 0.0 && up.z < 0.0 {
        return DQuat::from_xyzw(1.0, 0.0, 0.0, 0.0);
    }
    // (up × z, 1 + up·z), with 1 + up·z = side / (1 − up·z) near −z, where the sum would cancel.
    let w = if up.z < 0.0 { side / (1.0 - up.z) } else { w };
    DQuat::from_xyzw(up.y, -up.x, 0.0, w).normalize()
}
