//! From a balance to the one nearby that a small change of the numbers makes of it.

use super::descent::{ANCHOR_TOLERANCE, End, SETTLED_TOLERANCE, add_to_diagonal};
use super::pose::Stance;
use super::{LEAST_SHIFT, Network, Outcome, Workspace};
use crate::equilibrium::certificate::State;
use crate::system::System;
use glam::DVec3;

/// The most steps: 3 to 5 are usual, more mean that the change was not small.
const MOST_STEPS: usize = 10;
/// A step above this share of the one before does not close in on one balance. While every step at most halves the one
/// before, the balance lies within twice the first step of where it began.
const CLOSING_IN: f64 = 0.5;
/// The longest step (relative motion): 11° of a turn, a fifth of the length of a member.
const LONGEST: f64 = 0.2;

/// Stiffness of a held turn, over what the body carries and its reach.
const HOLD: f64 = 1.0e3;

/// A balance to start from.
#[derive(Debug, Clone)]
pub(super) struct Footing {
    stances: Vec<Stance>,
    tensions: Vec<f64>,
    /// Centers of gravity of the bodies in their frames.
    centers: Vec<DVec3>,
    numbers: Vec<f64>,
    /// Stiffness against the turns that are held, over all variables.
    held: Vec<DVec3>,
}

impl Footing {
    /// The numbers half way between those of this balance and others.
    pub(super) fn middle(&self, numbers: &[f64]) -> Vec<f64> {
        self.numbers.iter().zip(numbers).map(|(from, to)| 0.5 * (from + to)).collect()
    }
}

fn centers(system: &System) -> impl Iterator<Item = DVec3> + '_ {
    system.bodies().iter().map(|body| body.center_of_gravity)
}

impl Network {
    /// The balance that stands in the workspace, of these numbers.
    ///
    /// Whatever hangs from one point turns freely about the plumb line through it, in whatever pose: of each such turn one body
    /// is held, which costs no force, and takes a direction out of the equations in which nothing is decided. Out of balance a
    /// free turn would cost or yield as much as forces are, and steps would run away along it.
    pub(super) fn footing(&self, w: &mut Workspace, numbers: Vec<f64>) -> Footing {
        let held = self.held(w);
        self.standing(w, numbers, held)
    }

    /// The same on the way from another balance, with the turns held that are held there.
    pub(super) fn half_way(&self, w: &Workspace, numbers: Vec<f64>, from: &Footing) -> Footing {
        self.standing(w, numbers, from.held.clone())
    }

    fn standing(&self, w: &Workspace, numbers: Vec<f64>, held: Vec<DVec3>) -> Footing {
        let mut stances = w.stances.clone();
        for stance in &mut stances {
            stance.anchor();
        }
        Footing { stances, tensions: w.tensions().collect(), centers: centers(&self.system).collect(), numbers, held }
    }

    /// A body for each free turn, in which no other one that is held has a part of its own.
    fn held(&self, w: &mut Workspace) -> Vec<DVec3> {
        self.hessian(w, 0.0);
        let mut held = vec![DVec3::ZERO; self.pattern.count()];
        let bodies: Vec<usize> = (0..self.model.nodes.len()).skip(self.system.joints().len()).collect();
        // Elimination: which turns each body takes part in, what is held taken out.
        let mut known: Vec<(usize, Vec<f64>)> = Vec::new();
        for (turn, _) in self.free_turns(w) {
            let mut row: Vec<f64> = bodies.iter().map(|body| f64::from(u8::from(turn.nodes.contains(body)))).collect();
            for (column, other) in &known {
                let share = row.get(*column).copied().unwrap_or(0.0) / other.get(*column).copied().unwrap_or(1.0);
                row.iter_mut().zip(other).for_each(|(own, other)| *own -= share * other);
            }
            let Some(column) = row.iter().position(|part| part.abs() > 0.5) else { continue };
            known.push((column, row));
            let node = bodies.get(column).and_then(|body| Some((*body, self.model.nodes.get(*body)?)));
            if let Some((index, node)) = node
                && let Some(entry) = held.get_mut(self.pattern.variable(index) + 1)
            {
                entry.z = HOLD * node.carried * node.reach;
            }
        }
        held
    }

    /// The balance that `from` turns into, where that is beyond doubt at once.
    pub(super) fn followed(&self, w: &mut Workspace, from: &Footing) -> Option<Outcome> {
        self.stand(w, from);
        let end = self.close_in(w, &from.held)?;
        let outcome = self.judge(w, &end);
        (outcome.state == State::Stable).then_some(outcome)
    }

    /// Puts the network into the pose of a balance, with the tensions there.
    pub(super) fn stand(&self, w: &mut Workspace, at: &Footing) {
        self.prepare(w);
        w.stances.clone_from(&at.stances);
        // Bodies stay where they were, whatever their centers of gravity are now.
        let bodies = w.stances.iter_mut().skip(self.system.joints().len());
        for (stance, (now, then)) in bodies.zip(centers(&self.system).zip(&at.centers)) {
            stance.base += stance.attitude * (now - *then);
        }
        for (stretch, tension) in w.stretches.iter_mut().zip(&at.tensions) {
            stretch.foreseen = *tension;
            stretch.taut = *tension > 0.0;
        }
    }

    /// Newton's steps from the stances in the workspace, neither shifted nor shortened, with the tensions and the slack
    /// members that stand there. None where they do not close in on a balance, or where the linearized members are not
    /// stable on the way.
    fn close_in(&self, w: &mut Workspace, held: &[DVec3]) -> Option<End> {
        self.anchor(w);
        let mut last = f64::INFINITY;
        for steps in 0..=MOST_STEPS {
            let end = self.end(w, steps);
            if end.converged && last <= SETTLED_TOLERANCE {
                return Some(end);
            }
            self.geometric(w);
            add_to_diagonal(&mut w.geometric, held, 1.0);
            if !self.step(w, LEAST_SHIFT) {
                return None;
            }
            self.foresee(w);
            let extent = self.extent(&w.stretches, &w.step);
            // What is left below this is rounding, and need not shrink.
            let closes_in = extent <= SETTLED_TOLERANCE || extent <= CLOSING_IN * last;
            if extent > LONGEST || !closes_in {
                return None;
            }
            last = extent;
            self.advance(w);
            if extent > ANCHOR_TOLERANCE {
                self.anchor(w);
            }
        }
        None
    }
}
