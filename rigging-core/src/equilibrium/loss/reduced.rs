//! What is left of a system without some of its members.

use crate::equilibrium::certificate::Certificate;
use crate::error::Error;
use crate::system::{End, Member, System};

/// A system without the members lost.
pub(super) enum Reduced {
    /// These bodies are tied to no hook.
    Untied(Vec<usize>),
    /// Every body still is.
    Tied(Box<Left>),
}

/// What is left, every body of it tied to a hook.
pub(super) struct Left {
    /// The rest. Joints that no chain ties to a hook are gone with their members, which hang loose.
    pub(super) system: System,
    /// The pose before the loss, of what is left.
    pub(super) pose: Certificate,
    /// Indices of the members that are left.
    pub(super) kept: Vec<usize>,
}

/// Which bodies and joints a chain of members ties to a hook.
struct Ties {
    bodies: Vec<bool>,
    joints: Vec<bool>,
}

impl Ties {
    fn new(system: &System, lost: &[usize]) -> Self {
        let mut ties = Self { bodies: vec![false; system.bodies().len()], joints: vec![false; system.joints().len()] };
        loop {
            let mut grew = false;
            for (index, member) in system.members().iter().enumerate() {
                if lost.binary_search(&index).is_ok() {
                    continue;
                }
                for (from, to) in [(member.a, member.b), (member.b, member.a)] {
                    if ties.holds(from) && !ties.holds(to) {
                        ties.tie(to);
                        grew = true;
                    }
                }
            }
            if !grew {
                return ties;
            }
        }
    }

    fn holds(&self, end: End) -> bool {
        match end {
            End::Hook(_) => true,
            End::Joint(joint) => self.joints.get(joint).copied().unwrap_or(false),
            End::Body { body, .. } => self.bodies.get(body).copied().unwrap_or(false),
        }
    }

    fn tie(&mut self, end: End) {
        let mark = match end {
            End::Hook(_) => None,
            End::Joint(joint) => self.joints.get_mut(joint),
            End::Body { body, .. } => self.bodies.get_mut(body),
        };
        mark.into_iter().for_each(|mark| *mark = true);
    }
}

/// Takes the members `lost` (ascending) out of a system and of its certificate.
pub(super) fn reduce(system: &System, certificate: &Certificate, lost: &[usize]) -> Result<Reduced, Error> {
    let ties = Ties::new(system, lost);
    let untied: Vec<usize> =
        ties.bodies.iter().enumerate().filter(|(_, tied)| !**tied).map(|(index, _)| index).collect();
    if !untied.is_empty() {
        return Ok(Reduced::Untied(untied));
    }
    // The new index of each joint that is left: the number of those left before it.
    let renumber = |end: End| match end {
        End::Joint(joint) => End::Joint(ties.joints.iter().take(joint).filter(|tied| **tied).count()),
        other => other,
    };
    let mut kept = Vec::new();
    let mut members = Vec::new();
    for (index, member) in system.members().iter().enumerate() {
        if lost.binary_search(&index).is_err() && ties.holds(member.a) && ties.holds(member.b) {
            kept.push(index);
            members.push(Member { a: renumber(member.a), b: renumber(member.b), ..member.clone() });
        }
    }
    let left = |tied: &bool| *tied;
    let joints = system.joints().iter().zip(&ties.joints).filter(|(_, tied)| left(tied)).map(|(joint, _)| *joint);
    let rest =
        System::new(system.gravity(), system.hooks().to_vec(), joints.collect(), system.bodies().to_vec(), members)?;
    let mut pose = certificate.clone();
    pose.joints =
        certificate.joints.iter().zip(&ties.joints).filter(|(_, tied)| left(tied)).map(|(joint, _)| *joint).collect();
    pose.members = kept.iter().filter_map(|index| certificate.members.get(*index)).copied().collect();
    Ok(Reduced::Tied(Box::new(Left { system: rest, pose, kept })))
}

/// A member that carries no more than this share of the weight, which may be left unbalanced, holds nothing for certain.
const NEGLIGIBLE: f64 = 1.0e-10;

/// The members that meet at joints where none of them pulls: such a joint hangs loose, and where it is means nothing.
pub(super) fn loose(system: &System, certificate: &Certificate) -> Vec<usize> {
    let weight: f64 = system.bodies().iter().map(|body| body.mass).sum::<f64>() * system.gravity();
    let mut pulled = vec![false; system.joints().len()];
    let at_joint = |end: End| if let End::Joint(joint) = end { Some(joint) } else { None };
    for (member, state) in system.members().iter().zip(&certificate.members) {
        for joint in [member.a, member.b].into_iter().filter_map(at_joint) {
            pulled.get_mut(joint).into_iter().for_each(|pulled| *pulled |= state.tension > NEGLIGIBLE * weight);
        }
    }
    let at_loose = |end: End| at_joint(end).is_some_and(|joint| pulled.get(joint) == Some(&false));
    let members = system.members().iter().enumerate();
    members.filter(|(_, member)| at_loose(member.a) || at_loose(member.b)).map(|(index, _)| index).collect()
}
