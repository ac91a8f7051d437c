//! The descent of a network: from the drawing downhill on the potential energy to where it ends.
//!
//! As in a bridle, each step solves the equilibrium of the *linearized* members with the slack ones switched, and with
//! the tensions that the step before foresaw in the geometric stiffness; see there for the reasons. At the first step
//! the foreseen tensions are those of the estimate that each node passes its load on in equal parts.

use super::pose::Stance;
use super::{LEAST_SHIFT, Network, Workspace};
use glam::{DMat3, DVec3};

/// Unbalanced force allowed, over the weight.
const FORCE_TOLERANCE: f64 = 1.0e-10;
/// Unbalanced force allowed, over the sum of the tensions: what rounding leaves when members tighten each other.
const ROUNDING_TOLERANCE: f64 = 64.0 * f64::EPSILON;
/// What rounding may leave of a stiffness: its share of the diagonal of the Hessian.
const ROUNDING_NOISE: f64 = 16.0 * f64::EPSILON;
/// A step below this no longer matters (relative motion).
const STEP_TOLERANCE: f64 = 1.0e-11;
/// A step below this is the last (relative motion).
pub(super) const SETTLED_TOLERANCE: f64 = 1.0e-8;
/// A step above this sets a new anchor (relative motion).
pub(super) const ANCHOR_TOLERANCE: f64 = 1.0e-6;
/// The longest step in a hurry (relative motion).
pub(super) const HURRIED: f64 = 0.25;
/// The longest step that keeps to the path downhill.
pub(super) const CAREFUL: f64 = 0.02;
/// A step above this is corrected for what the linearized members leave out (relative motion).
const CORRECTED_ABOVE: f64 = 1.0e-3;
/// A correction must come down to this share of the step, or the step is too long for its model.
const CORRECTION_TOLERANCE: f64 = 0.05;
/// The most corrections of one step.
const MAX_CORRECTIONS: usize = 4;
/// The first shift that is tried when the least one does not serve.
const FIRST_SHIFT: f64 = 1.0e-3;
/// The most steps of one descent.
const MAX_STEPS: usize = 3000;
/// Rounds in which links may switch between slack and taut before the way is searched.
const FREE_ROUNDS: usize = 4;
/// The most rounds.
const MAX_ROUNDS: usize = 40;

/// Where a descent ended.
#[derive(Debug, Clone, Copy)]
pub(super) struct End {
    /// Unbalanced force, moments over the reach of their bodies included, N.
    pub(super) residual: f64,
    /// What was allowed.
    pub(super) allowed: f64,
    /// Sum of the tensions, N.
    pub(super) sum: f64,
    /// Whether the residual is within what is allowed.
    pub(super) converged: bool,
    /// Steps taken.
    pub(super) steps: usize,
}

impl Network {
    /// Descends from the stances in the workspace by steps of at most `longest`.
    pub(super) fn descend(&self, w: &mut Workspace, longest: f64) -> End {
        self.anchor(w);
        let (mut limit, mut within, mut steps) = (longest, 0, 0);
        let mut memory = FIRST_SHIFT;
        let mut before = f64::INFINITY;
        let mut last: Vec<DVec3> = Vec::new();
        let mut motion: Vec<DVec3> = Vec::new();
        for (stretch, link) in w.stretches.iter_mut().zip(&self.model.links) {
            stretch.foreseen = link.share;
            stretch.taut = true;
        }
        loop {
            let end = self.end(w, steps);
            let End { residual, sum, converged, .. } = end;
            within = if converged { within + 1 } else { 0 };
            // The error after Newton's steps goes with their square: what one below this leaves is rounding.
            let last_step = converged && before <= SETTLED_TOLERANCE;
            if last_step || within >= 4 || steps >= MAX_STEPS {
                return end;
            }
            if residual <= 1.0e-6 * (self.model.weight + sum) {
                // Close to the end the true tensions are the better ones: the step is Newton's.
                for stretch in &mut w.stretches {
                    stretch.foreseen = stretch.tension();
                }
            }
            self.geometric(w);
            if !self.bounded_step(w, limit, &mut memory) {
                return end;
            }
            self.foresee(w);
            let extent = self.extent(&w.stretches, &w.step);
            if converged && extent <= STEP_TOLERANCE {
                return end;
            }
            before = extent;
            steps += 1;
            // Steps that undo each other are too long; steps that agree may grow again.
            self.relative(&w.stretches, &w.step, &mut motion);
            let agreement: f64 = motion.iter().zip(&last).map(|(a, b)| a.dot(*b)).sum();
            let (one, other) = (square(&motion), square(&last));
            if agreement < -0.25 * (one * other).sqrt() {
                limit = (0.5 * limit).min(0.5 * extent);
            } else if agreement > 0.0 {
                limit = (2.0 * limit).min(longest);
            }
            std::mem::swap(&mut motion, &mut last);
            self.advance(w);
            if extent > ANCHOR_TOLERANCE {
                self.anchor(w);
            }
        }
    }

    /// What the present stances are as the end of a descent.
    pub(super) fn end(&self, w: &mut Workspace, steps: usize) -> End {
        self.update(w);
        let (residual, sum) = self.gradient(w);
        let allowed = FORCE_TOLERANCE * self.model.weight + ROUNDING_TOLERANCE * sum;
        End { residual, allowed, sum, converged: residual <= allowed, steps }
    }

    /// The tensions that a step foresees.
    pub(super) fn foresee(&self, w: &mut Workspace) {
        for ((stretch, place), curve) in w.stretches.iter_mut().zip(&self.places).zip(&w.curves) {
            let rate = place.elongation(stretch, &w.step) + curve;
            stretch.foreseen = (stretch.force + stretch.stiffness * rate).max(0.0);
        }
    }

    /// Makes the present stances the anchor.
    pub(super) fn anchor(&self, w: &mut Workspace) {
        for stance in &mut w.stances {
            stance.anchor();
        }
        for (stretch, link) in w.stretches.iter_mut().zip(&self.model.links) {
            stretch.anchor(link, &w.stances);
        }
    }

    /// Brings the links up to date.
    pub(super) fn update(&self, w: &mut Workspace) {
        for (stretch, link) in w.stretches.iter_mut().zip(&self.model.links) {
            stretch.update(link, &w.stances);
        }
    }

    /// The gradient of the potential energy; returns its size as a force, and the sum of the tensions.
    pub(super) fn gradient(&self, w: &mut Workspace) -> (f64, f64) {
        w.gradient.fill(DVec3::ZERO);
        let mut sum = 0.0;
        for (index, node) in self.model.nodes.iter().enumerate() {
            if let Some(entry) = w.gradient.get_mut(self.pattern.variable(index)) {
                entry.z = node.weight;
            }
        }
        for (stretch, place) in w.stretches.iter().zip(&self.places) {
            let tension = stretch.tension();
            sum += tension;
            if tension > 0.0 {
                place.add_rates(&mut w.gradient, stretch, tension);
            }
        }
        let (force, turning) = self.residuals(&w.gradient);
        ((force * force + turning * turning).sqrt(), sum)
    }

    /// Size of the unbalanced forces, and of the unbalanced moments over the reach of their bodies, N.
    pub(super) fn residuals(&self, gradient: &[DVec3]) -> (f64, f64) {
        let (mut forces, mut moments) = (0.0, 0.0);
        for (index, node) in self.model.nodes.iter().enumerate() {
            let first = self.pattern.variable(index);
            forces += gradient.get(first).map_or(0.0, |force| force.length_squared());
            if node.body {
                moments +=
                    gradient.get(first + 1).map_or(0.0, |moment| moment.length_squared()) / (node.reach * node.reach);
            }
        }
        (forces.sqrt(), moments.sqrt())
    }

    /// The part of the Hessian that turns members, for the tensions foreseen, and the metric. What acts along a member, its
    /// stiffness less its tightness, is added where it is known which members are taut.
    pub(super) fn geometric(&self, w: &mut Workspace) {
        w.geometric.fill(DMat3::ZERO);
        for (stretch, place) in w.stretches.iter().zip(&self.places) {
            let tightness = stretch.tightness();
            if tightness > 0.0 {
                place.add_isotropic(&mut w.geometric, stretch, tightness);
                place.add_turning(&mut w.geometric, stretch, stretch.foreseen);
            }
        }
        let mut metric = std::mem::take(&mut w.metric);
        self.metric(&mut metric, &w.stretches);
        w.metric = metric;
        w.floors.clear();
        w.floors.extend(w.metric.iter().take(self.pattern.count()).map(|block| {
            let trace = block.x_axis.x + block.y_axis.y + block.z_axis.z;
            1.0e-3 * LEAST_SHIFT * trace
        }));
        w.noise.fill(DVec3::ZERO);
        for (stretch, place) in w.stretches.iter().zip(&self.places) {
            place.add_diagonal(&mut w.noise, stretch, ROUNDING_NOISE);
        }
    }

    /// The step of the linearized members, with the least shift of the sequence that makes the problem convex and keeps
    /// the step within bounds; it stands in `w.step`.
    fn bounded_step(&self, w: &mut Workspace, limit: f64, memory: &mut f64) -> bool {
        let mut shift = LEAST_SHIFT;
        for _ in 0..300 {
            let mut grow = if shift < FIRST_SHIFT { 16.0 } else { 4.0 };
            if self.step(w, shift) {
                let excess = self.extent(&w.stretches, &w.step) / limit;
                if excess <= 1.0 && self.correct(w, limit) {
                    *memory = shift;
                    return true;
                }
                if shift > 1.0 {
                    // A strongly shifted step shortens in proportion.
                    grow = (1.05 * excess).clamp(1.2, 4.0);
                }
            }
            shift = if shift <= LEAST_SHIFT { (*memory / 8.0).max(10.0 * LEAST_SHIFT) } else { grow * shift };
        }
        false
    }

    /// Follows the curved valley: what members really stretch by in the step, beyond what their linear form says, goes
    /// into the right side, and the factors that stand in `w.matrix` give the step anew. False if that does not settle,
    /// or if the step becomes too long.
    fn correct(&self, w: &mut Workspace, limit: f64) -> bool {
        w.curves.fill(0.0);
        let extent = self.extent(&w.stretches, &w.step);
        if extent <= CORRECTED_ABOVE {
            return true;
        }
        for _ in 0..MAX_CORRECTIONS {
            let mut stances = std::mem::take(&mut w.ahead);
            stances.clone_from(&w.stances);
            self.displace(&mut stances, &w.step);
            self.weights(&mut w.trial);
            let links = self.model.links.iter().zip(&self.places);
            for ((stretch, (link, place)), curve) in w.stretches.iter().zip(links).zip(&mut w.curves) {
                let mut there = *stretch;
                there.update(link, &stances);
                *curve = there.elongation - stretch.elongation - place.elongation(stretch, &w.step);
                if stretch.taut {
                    place.add_rates(&mut w.trial, stretch, -(stretch.force + stretch.stiffness * *curve));
                }
            }
            w.ahead = stances;
            self.pattern.solve(&w.matrix, &mut w.trial);
            std::mem::swap(&mut w.step, &mut w.trial);
            for (old, new) in w.trial.iter_mut().zip(&w.step) {
                *old -= *new;
            }
            if self.extent(&w.stretches, &w.step) > limit {
                return false;
            }
            if self.extent(&w.stretches, &w.trial) <= CORRECTION_TOLERANCE * extent {
                return true;
            }
        }
        false
    }

    /// Minimizes ½ s·G·s + g·s + Σ ½ k ((f/k + m·s)₊)² over the step s, with G shifted: semismooth Newton, which is
    /// exact once the set of taut links no longer changes, damped by a search along the way if it keeps changing.
    pub(super) fn step(&self, w: &mut Workspace, shift: f64) -> bool {
        w.step.fill(DVec3::ZERO);
        for round in 0..MAX_ROUNDS {
            if !self.solve_linear(w, shift) {
                return false;
            }
            let mut changed = false;
            for (stretch, place) in w.stretches.iter_mut().zip(&self.places) {
                let taut = stretch.force + stretch.stiffness * place.elongation(stretch, &w.trial) > 0.0;
                changed |= taut != stretch.taut;
                stretch.taut = taut;
            }
            if !changed {
                std::mem::swap(&mut w.step, &mut w.trial);
                return true;
            }
            if round < FREE_ROUNDS {
                std::mem::swap(&mut w.step, &mut w.trial);
            } else {
                self.search(w, shift);
                for (stretch, place) in w.stretches.iter_mut().zip(&self.places) {
                    stretch.taut = stretch.force + stretch.stiffness * place.elongation(stretch, &w.step) > 0.0;
                }
            }
        }
        true
    }

    /// Solves for the links that count as taut; the result stands in `w.trial`.
    fn solve_linear(&self, w: &mut Workspace, shift: f64) -> bool {
        for ((value, geometric), metric) in w.matrix.iter_mut().zip(&w.geometric).zip(&w.metric) {
            *value = *geometric + *metric * shift;
        }
        self.weights(&mut w.trial);
        for (stretch, place) in w.stretches.iter().zip(&self.places) {
            let mut along = -stretch.tightness();
            if stretch.taut {
                along += stretch.stiffness;
                place.add_rates(&mut w.trial, stretch, -stretch.force);
            }
            if along != 0.0 {
                place.add_along(&mut w.matrix, stretch, along);
            }
        }
        if self.pattern.factor(&mut w.matrix, &w.floors).is_none() {
            return false;
        }
        self.pattern.solve(&w.matrix, &mut w.trial);
        true
    }

    /// The least energy of the linearized links on the way from `w.step` to `w.trial`: its slope rises along the way,
    /// so the zero is bracketed and halved. The result stands in `w.step`.
    fn search(&self, w: &mut Workspace, shift: f64) {
        let way: Vec<DVec3> = w.trial.iter().zip(&w.step).map(|(to, from)| *to - *from).collect();
        let mut quadratic = self.pattern.times(&w.geometric, &w.step);
        let mut curved = self.pattern.times(&w.geometric, &way);
        for (sum, part) in quadratic.iter_mut().zip(self.pattern.times(&w.metric, &w.step)) {
            *sum += shift * part;
        }
        for (sum, part) in curved.iter_mut().zip(self.pattern.times(&w.metric, &way)) {
            *sum += shift * part;
        }
        let dot = |a: &[DVec3], b: &[DVec3]| a.iter().zip(b).map(|(a, b)| a.dot(*b)).sum::<f64>();
        let mut constant = dot(&quadratic, &way);
        for (index, node) in self.model.nodes.iter().enumerate() {
            constant += way.get(self.pattern.variable(index)).map_or(0.0, |way| node.weight * way.z);
        }
        let mut rise = dot(&curved, &way);
        for (stretch, place) in w.stretches.iter().zip(&self.places) {
            let rate = place.elongation(stretch, &way);
            constant -= stretch.tightness() * place.elongation(stretch, &w.step) * rate;
            rise -= stretch.tightness() * rate * rate;
        }
        let lines: Vec<(f64, f64, f64)> = w
            .stretches
            .iter()
            .zip(&self.places)
            .map(|(stretch, place)| {
                let at = stretch.force + stretch.stiffness * place.elongation(stretch, &w.step);
                let rate = place.elongation(stretch, &way);
                (at, stretch.stiffness * rate, rate)
            })
            .collect();
        let slope = |share: f64| {
            let members: f64 = lines.iter().map(|(at, change, rate)| (at + share * change).max(0.0) * rate).sum();
            constant + share * rise + members
        };
        let (mut low, mut high) = (0.0, 1.0);
        if slope(1.0) > 0.0 {
            for _ in 0..50 {
                let middle = 0.5 * (low + high);
                if slope(middle) > 0.0 {
                    high = middle;
                } else {
                    low = middle;
                }
            }
        } else {
            low = 1.0;
        }
        let share = 0.5 * (low + high);
        for (step, way) in w.step.iter_mut().zip(&way) {
            *step += share * *way;
        }
    }

    /// The weights as a vector over all variables.
    fn weights(&self, vector: &mut [DVec3]) {
        vector.fill(DVec3::ZERO);
        for (index, node) in self.model.nodes.iter().enumerate() {
            if let Some(entry) = vector.get_mut(self.pattern.variable(index)) {
                entry.z = -node.weight;
            }
        }
    }

    /// Moves the nodes by the step.
    pub(super) fn advance(&self, w: &mut Workspace) {
        self.displace(&mut w.stances, &w.step);
    }

    fn displace(&self, stances: &mut [Stance], step: &[DVec3]) {
        for (index, (node, stance)) in self.model.nodes.iter().zip(stances).enumerate() {
            let first = self.pattern.variable(index);
            stance.shift += step.get(first).copied().unwrap_or_default();
            if node.body {
                stance.turn += step.get(first + 1).copied().unwrap_or_default();
            }
        }
    }
}

/// Adds `scale` times a diagonal to a matrix.
pub(super) fn add_to_diagonal(matrix: &mut [DMat3], diagonal: &[DVec3], scale: f64) {
    for (block, entries) in matrix.iter_mut().zip(diagonal) {
        *block += DMat3::from_diagonal(scale * *entries);
    }
}

fn square(vector: &[DVec3]) -> f64 {
    vector.iter().map(|part| part.length_squared()).sum()
}
