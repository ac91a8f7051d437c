//! What kind of balance a descent ended in.

use super::descent::{End, add_to_diagonal};
use super::pose::Stance;
use super::{NULL_TOLERANCE, Network, Outcome, Workspace};
use crate::equilibrium::angle::angle;
use crate::equilibrium::certificate::State;
use crate::equilibrium::certificate::{Certificate, MemberState, Pose, SlackEvent};
use glam::DVec3;

impl Network {
    /// Cosine of the largest angle by which a body has left its attitude as drawn, turns about the plumb line aside.
    pub(super) fn upright(&self, w: &Workspace) -> f64 {
        let bodies = self.model.nodes.iter().zip(&w.stances).filter(|(node, _)| node.body);
        bodies.fold(1.0, |least: f64, (node, stance)| {
            // Where the direction that was up as drawn points now.
            let up = stance.rotation() * (node.rotation.conjugate() * DVec3::Z);
            least.min(up.z)
        })
    }

    /// Puts the Hessian at the present pose, shifted along the metric, into `w.matrix`.
    pub(super) fn hessian(&self, w: &mut Workspace, shift: f64) {
        for ((value, geometric), metric) in w.matrix.iter_mut().zip(&w.geometric).zip(&w.metric) {
            *value = *geometric + *metric * shift;
        }
        for (stretch, place) in w.stretches.iter().zip(&self.places) {
            let taut = if stretch.force > w.negligible { stretch.stiffness } else { 0.0 };
            let along = taut - stretch.tightness();
            if along != 0.0 {
                place.add_along(&mut w.matrix, stretch, along);
            }
        }
    }

    /// Puts the Hessian, shifted by what a null mode may have (`side` 1 or −1), into `w.matrix`: a share of the metric
    /// and what rounding leaves.
    fn shifted(&self, w: &mut Workspace, side: f64) {
        self.hessian(w, side * NULL_TOLERANCE);
        add_to_diagonal(&mut w.matrix, &w.noise, side);
    }

    /// Whether there are more null modes than parts that may turn about the plumb line they hang from.
    fn drifts(&self, w: &mut Workspace, null_modes: usize) -> bool {
        // Under one hook, the turn of all that hangs there is always among them.
        let certain = usize::from(self.system.hooks().len() == 1);
        null_modes > certain && {
            self.hessian(w, 0.0);
            null_modes > self.free_turns(w).len()
        }
    }

    pub(super) fn judge(&self, w: &mut Workspace, end: &End) -> Outcome {
        // A member that carries no more than what is left unbalanced may as well be slack: it holds nothing for certain.
        w.negligible = end.allowed;
        for stretch in &mut w.stretches {
            stretch.foreseen = if stretch.force > end.allowed { stretch.force } else { 0.0 };
        }
        self.geometric(w);
        self.shifted(w, 1.0);
        let stable = self.pattern.factor(&mut w.matrix, &w.floors).is_some();
        let negative_modes = if stable {
            0
        } else {
            self.shifted(w, 1.0);
            self.pattern.inertia(&mut w.matrix)
        };
        self.shifted(w, -1.0);
        let null_modes = self.pattern.inertia(&mut w.matrix).saturating_sub(negative_modes);
        let state = if self.upright(w) <= 0.0 {
            State::Lost
        } else if negative_modes > 0 {
            State::Unstable
        } else if self.drifts(w, null_modes) {
            State::Neutral
        } else {
            State::Stable
        };
        Outcome { state, residual: end.residual, negative_modes, null_modes, iterations: end.steps }
    }
}

/// The most rounds of the iteration for the softest mode.
const MODE_ROUNDS: usize = 200;

impl Network {
    /// The most negative mode at the present pose, of extent 1 (relative motion); it stands in `w.step`.
    fn softest(&self, w: &mut Workspace) {
        // A start that no symmetry of an arrangement shares.
        let mut seed = 1.0;
        for entry in &mut w.step {
            *entry = DVec3::from_array(std::array::from_fn(|_| {
                seed = (seed * 1.618_033_988_749_895 + 0.271) % 1.0;
                seed - 0.5
            }));
        }
        let mut shift = NULL_TOLERANCE;
        loop {
            self.hessian(w, shift);
            add_to_diagonal(&mut w.matrix, &w.noise, 1.0);
            if self.pattern.factor(&mut w.matrix, &w.floors).is_some() || shift > 1.0e6 {
                break;
            }
            shift *= 2.0;
        }
        for _ in 0..MODE_ROUNDS {
            let mut next = self.pattern.times(&w.metric, &w.step);
            self.pattern.solve(&w.matrix, &mut next);
            let extent = self.extent(&w.stretches, &next);
            let scale = 1.0 / extent;
            w.step.clear();
            w.step.extend(next.iter().map(|part| *part * scale));
        }
    }

    /// Disturbs the balance in the workspace along its most negative mode by `size` (relative motion).
    pub(super) fn disturb(&self, w: &mut Workspace, size: f64) {
        self.softest(w);
        // A mode has no sign; its largest component is made positive so that the answer is one and the same.
        let largest = w
            .step
            .iter()
            .flat_map(|part| part.to_array())
            .fold(0.0, |most: f64, c| if c.abs() > most.abs() { c } else { most });
        let scale = size * largest.signum();
        for part in &mut w.step {
            *part *= scale;
        }
        self.advance(w);
    }

    /// The certificate of what the workspace holds.
    pub(super) fn certificate(&self, w: &Workspace, outcome: &Outcome) -> Certificate {
        let system = &self.system;
        let joints = system.joints().len();
        let hook = system.hooks().first().map_or(DVec3::ZERO, |hook| hook.position);
        let mut bodies = Vec::with_capacity(system.bodies().len());
        for (body, stance) in system.bodies().iter().zip(w.stances.iter().skip(joints)) {
            let rotation = stance.rotation();
            let center_of_gravity = stance.position();
            let back = rotation.conjugate();
            let up_in_body = back * DVec3::Z;
            let up = body.rotation * up_in_body;
            bodies.push(Pose {
                center_of_gravity,
                position: center_of_gravity - rotation * body.center_of_gravity,
                rotation,
                up_in_body,
                tilt: angle((up.x * up.x + up.y * up.y).sqrt(), up.z),
                hook_in_body: body.center_of_gravity + back * (hook - center_of_gravity),
            });
        }
        let members = system.members().iter().zip(&w.stretches).map(|(member, stretch)| MemberState {
            tension: stretch.tension(),
            length: stretch.distance,
            strain: stretch.elongation / member.length,
            slack: stretch.elongation <= 0.0,
            direction: stretch.direction,
        });
        let members: Vec<MemberState> = members.collect();
        let products = members.iter().zip(system.members()).map(|(state, member)| state.complementarity(member.length));
        let complementarity = products.fold(0.0, f64::max);
        let moments =
            self.model.nodes.iter().enumerate().filter(|(_, node)| node.body).map(|(index, _)| {
                w.gradient.get(self.pattern.variable(index) + 1).map_or(0.0, |moment| moment.length())
            });
        let residual_moment = moments.fold(0.0, f64::max);
        let mut nearest: Option<SlackEvent> = None;
        for (member, elongation) in w.elongations().enumerate() {
            let distance = elongation.abs();
            if nearest.is_none_or(|event| distance < event.distance) {
                nearest = Some(SlackEvent { member, distance });
            }
        }
        Certificate {
            state: outcome.state,
            bodies,
            joints: w.stances.iter().take(joints).map(Stance::position).collect(),
            members,
            hooks: self.hook_forces(w),
            residual: outcome.residual,
            residual_over_weight: outcome.residual / self.model.weight,
            residual_moment,
            complementarity,
            eigenvalues: Vec::new(),
            negative_modes: outcome.negative_modes,
            null_modes: outcome.null_modes,
            lowest: false,
            nearest_slack_event: nearest,
            iterations: outcome.iterations,
            destination: None,
        }
    }
}
