//! Where nodes are and how links are stretched.
//!
//! Elongations are taken from an anchor, as in a bridle: at the anchor the vector from end to end and its excess
//! |v|² − L² are made once; from there only the *relative* displacement of the ends enters, so nothing is lost to the
//! size of the coordinates, and the forces of stiff members are smooth to the last digits.

use super::model::{Grip, Link, Model};
use glam::{DQuat, DVec3};

/// A node's place: an anchor, and displacement and turn since.
#[derive(Debug, Clone, Copy)]
pub(in crate::equilibrium) struct Stance {
    /// Position of the anchor.
    pub(super) base: DVec3,
    /// Attitude of the anchor.
    pub(super) attitude: DQuat,
    /// Displacement since.
    pub(super) shift: DVec3,
    /// Turn since: an axis times twice the sine of half the angle.
    pub(super) turn: DVec3,
}

impl Stance {
    /// Position.
    pub(super) fn position(&self) -> DVec3 {
        self.base + self.shift
    }

    /// Attitude.
    pub(super) fn rotation(&self) -> DQuat {
        (turning(self.turn) * self.attitude).normalize()
    }

    /// Makes the present place the anchor.
    pub(super) fn anchor(&mut self) {
        self.base = self.position();
        self.attitude = self.rotation();
        self.shift = DVec3::ZERO;
        self.turn = DVec3::ZERO;
    }
}

/// The quaternion of a turn; square roots only.
fn turning(turn: DVec3) -> DQuat {
    let half = 0.5 * turn;
    let w = (1.0 - half.length_squared()).max(0.0).sqrt();
    DQuat::from_xyzw(half.x, half.y, half.z, w)
}

/// How far an arm's end moves when the arm turns.
#[inline]
fn swept(turn: DVec3, arm: DVec3) -> DVec3 {
    let cosine = (1.0 - 0.25 * turn.length_squared()).max(0.0).sqrt();
    let across = turn.cross(arm);
    cosine * across + 0.5 * turn.cross(across)
}

/// One end of a link in the world.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Arm {
    /// From the node's position to the end, at the anchor.
    base: DVec3,
    /// The same now.
    pub(super) now: DVec3,
}

/// A link in the world.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Stretch {
    pub(super) arms: [Arm; 2],
    /// From end b to end a at the anchor.
    span: DVec3,
    /// |span|² − L².
    excess: f64,
    /// Unit vector from end b to end a.
    pub(super) direction: DVec3,
    /// Distance between the ends.
    pub(super) distance: f64,
    /// distance − L.
    pub(super) elongation: f64,
    /// Tension if taut; if slack, stiffness × elongation (negative).
    pub(super) force: f64,
    /// dT/dl.
    pub(super) stiffness: f64,
    /// Tension that the last step foresaw.
    pub(super) foreseen: f64,
    /// Whether the step counts the link as taut.
    pub(super) taut: bool,
}

impl Stretch {
    /// Tension.
    #[inline]
    pub(super) fn tension(&self) -> f64 {
        self.force.max(0.0)
    }

    /// Foreseen tension over length: with it a link resists being turned, t·(I − u·uᵀ) over the displacement of its ends
    /// against each other.
    #[inline]
    pub(super) fn tightness(&self) -> f64 {
        if self.foreseen > 0.0 && self.distance > 0.0 { self.foreseen / self.distance } else { 0.0 }
    }

    /// Sets the anchor of the link to that of its nodes.
    pub(super) fn anchor(&mut self, link: &Link, stances: &[Stance]) {
        let mut feet = [DVec3::ZERO; 2];
        for ((grip, arm), foot) in link.ends.iter().zip(&mut self.arms).zip(&mut feet) {
            match grip {
                Grip::Fixed(point) => *foot = *point,
                Grip::Held { node, arm: own } => {
                    if let Some(stance) = stances.get(*node) {
                        arm.base = stance.attitude * *own;
                        *foot = stance.base;
                    }
                }
            }
        }
        let ([foot_a, foot_b], [arm_a, arm_b]) = (feet, &self.arms);
        // Positions first, arms next: both differences are small against what they are taken from.
        self.span = (foot_a - foot_b) + (arm_a.base - arm_b.base);
        self.excess = self.span.length_squared() - link.length * link.length;
    }

    /// Brings length, force and stiffness up to date with the nodes.
    #[inline]
    pub(super) fn update(&mut self, link: &Link, stances: &[Stance]) {
        let mut moved = [DVec3::ZERO; 2];
        for ((grip, arm), moved) in link.ends.iter().zip(&mut self.arms).zip(&mut moved) {
            if let Grip::Held { node, .. } = grip
                && let Some(stance) = stances.get(*node)
            {
                let sweep = swept(stance.turn, arm.base);
                arm.now = arm.base + sweep;
                *moved = stance.shift + sweep;
            }
        }
        let offset = moved[0] - moved[1];
        let span = self.span + offset;
        let s = self.excess + offset.dot(self.span + span);
        let length = link.length;
        let distance = (length * length + s).max(0.0).sqrt();
        self.distance = distance;
        self.elongation = s / (distance + length);
        if distance > 0.0 {
            self.direction = span * (1.0 / distance);
        }
        self.load(link, self.elongation / length);
    }

    /// Sets the strain to what is known better than from the pose.
    pub(super) fn strain(&mut self, link: &Link, strain: f64) {
        self.elongation = strain * link.length;
        self.load(link, strain);
    }

    #[inline]
    fn load(&mut self, link: &Link, strain: f64) {
        let (tension, slope) = link.law.tension_and_slope(strain);
        self.stiffness = slope / link.length;
        self.force = if strain > 0.0 { tension } else { self.stiffness * self.elongation };
    }
}

/// The places of all nodes at the start.
pub(super) fn drawn(model: &Model) -> Vec<Stance> {
    model
        .nodes
        .iter()
        .map(|node| Stance { base: node.position, attitude: node.rotation, shift: DVec3::ZERO, turn: DVec3::ZERO })
        .collect()
}
