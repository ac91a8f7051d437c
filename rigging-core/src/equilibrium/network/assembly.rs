//! Gradient and Hessian of the potential energy, block by block.
//!
//! A node's variables are its displacement s and, for a body, its turn w about the center of gravity: a point at arm r
//! moves by s + w × r. With Q the Hessian of a member over the displacement of one end against the other, and J the map
//! from the variables to that displacement, the Hessian is Σ Jᵀ·Q·J; for each end of a body the force f that acts on a
//! turning arm adds ½(f·rᵀ + r·fᵀ) − (f·r)·I to the block of the turn.

use super::blocks::{Pattern, Slot};
use super::model::{Grip, Model};
use super::pose::Stretch;
use glam::{DMat3, DVec3};

/// Where the blocks of one link stand: its variables (displacement and turn of either end), and the slots of each pair.
#[derive(Debug, Clone)]
pub(super) struct Place {
    /// Displacement and turn of end a, then of end b; none for a hook, no turn for a joint.
    pub(super) variables: [Option<usize>; 4],
    slots: [[Option<Slot>; 4]; 4],
}

impl Place {
    fn new(ends: &[Grip; 2], model: &Model, pattern: &Pattern) -> Self {
        let mut variables = [None; 4];
        for (pair, grip) in variables.chunks_exact_mut(2).zip(ends) {
            if let (Some(node), [shift, turn]) = (grip.node(), pair) {
                *shift = Some(pattern.variable(node));
                if model.nodes.get(node).is_some_and(|node| node.body) {
                    *turn = Some(pattern.variable(node) + 1);
                }
            }
        }
        let slots = variables.map(|row| variables.map(|column| Some(pattern.slot(row?, column?))));
        Self { variables, slots }
    }

    /// The places of all links.
    pub(super) fn all(model: &Model, pattern: &Pattern) -> Vec<Self> {
        model.links.iter().map(|link| Self::new(&link.ends, model, pattern)).collect()
    }

    /// Adds q·Jᵀ·J. With J = (I, −[a]×, −I, [b]×) every block is a multiple of the unit matrix, an arm's cross product, or
    /// [a]×·[b]× = b·aᵀ − (a·b)·I; no two matrices need be multiplied.
    #[inline]
    pub(super) fn add_isotropic(&self, values: &mut [DMat3], stretch: &Stretch, q: f64) {
        let [a, b] = stretch.arms.map(|arm| arm.now);
        let unit = DMat3::from_diagonal(DVec3::splat(q));
        let (cross_a, cross_b) = (cross(q * a), cross(q * b));
        let twice = |left: DVec3, right: DVec3| {
            outer(q * right, left) - DMat3::from_diagonal(DVec3::splat(q * left.dot(right)))
        };
        let mut add = |row: usize, column: usize, block: &dyn Fn() -> DMat3| {
            if let Some(slot) = self.slots.get(row).and_then(|slots| slots.get(column)).copied().flatten() {
                put(values, slot, &block());
            }
        };
        add(0, 0, &|| unit);
        add(0, 1, &|| -cross_a);
        add(1, 1, &|| -twice(a, a));
        add(0, 2, &|| -unit);
        add(1, 2, &|| -cross_a);
        add(2, 2, &|| unit);
        add(0, 3, &|| cross_b);
        add(1, 3, &|| twice(a, b));
        add(2, 3, &|| -cross_b);
        add(3, 3, &|| -twice(b, b));
    }

    /// Adds k·m·mᵀ, with m the elongation per unit of each variable.
    #[inline]
    pub(super) fn add_along(&self, values: &mut [DMat3], stretch: &Stretch, k: f64) {
        let m = rates(stretch);
        for (column, right) in m.iter().enumerate() {
            let scaled = k * *right;
            for (row, left) in m.iter().enumerate().take(column + 1) {
                if let Some(slot) = self.slots.get(row).and_then(|slots| slots.get(column)).copied().flatten() {
                    put(values, slot, &outer(*left, scaled));
                }
            }
        }
    }

    /// Adds the diagonal of k·m·mᵀ, scaled.
    #[inline]
    pub(super) fn add_diagonal(&self, vector: &mut [DVec3], stretch: &Stretch, scale: f64) {
        for (variable, rate) in self.variables.iter().zip(rates(stretch)) {
            if let Some(entry) = variable.and_then(|variable| vector.get_mut(variable)) {
                *entry += scale * stretch.stiffness * (rate * rate);
            }
        }
    }

    /// Adds the force on turning arms, for tension `tension`.
    #[inline]
    pub(super) fn add_turning(&self, values: &mut [DMat3], stretch: &Stretch, tension: f64) {
        let pull = tension * stretch.direction;
        let [arm_a, arm_b] = stretch.arms;
        for (index, arm, force) in [(1, arm_a.now, pull), (3, arm_b.now, -pull)] {
            if let Some(slot) = self.slots.get(index).and_then(|slots| slots.get(index)).copied().flatten() {
                let mixed = outer(force, arm);
                let block = 0.5 * (mixed + mixed.transpose()) - DMat3::from_diagonal(DVec3::splat(force.dot(arm)));
                put(values, slot, &block);
            }
        }
    }

    /// Elongation of the link for a step of all variables.
    #[inline]
    pub(super) fn elongation(&self, stretch: &Stretch, step: &[DVec3]) -> f64 {
        stretch.direction.dot(self.displacement(stretch, step))
    }

    /// Displacement of end a against end b for a step of all variables.
    #[inline]
    pub(super) fn displacement(&self, stretch: &Stretch, step: &[DVec3]) -> DVec3 {
        let [shift_a, turn_a, shift_b, turn_b] = self
            .variables
            .map(|variable| variable.and_then(|variable| step.get(variable)).copied().unwrap_or_default());
        let [arm_a, arm_b] = stretch.arms;
        (shift_a - shift_b) + (turn_a.cross(arm_a.now) - turn_b.cross(arm_b.now))
    }

    /// Adds `scale` times m to a vector over all variables.
    #[inline]
    pub(super) fn add_rates(&self, vector: &mut [DVec3], stretch: &Stretch, scale: f64) {
        for (variable, rate) in self.variables.iter().zip(rates(stretch)) {
            if let Some(entry) = variable.and_then(|variable| vector.get_mut(variable)) {
                *entry += scale * rate;
            }
        }
    }
}

/// Elongation per unit of each of the four variables.
#[inline]
fn rates(stretch: &Stretch) -> [DVec3; 4] {
    let [arm_a, arm_b] = stretch.arms;
    let u = stretch.direction;
    [u, arm_a.now.cross(u), -u, -arm_b.now.cross(u)]
}

#[inline]
fn put(values: &mut [DMat3], slot: Slot, block: &DMat3) {
    if let Some(entry) = values.get_mut(slot.index) {
        *entry += if slot.transposed { block.transpose() } else { *block };
    }
}

/// a·bᵀ.
#[inline]
fn outer(a: DVec3, b: DVec3) -> DMat3 {
    DMat3::from_cols(a * b.x, a * b.y, a * b.z)
}

/// The matrix of r × ….
#[inline]
fn cross(r: DVec3) -> DMat3 {
    DMat3::from_cols(DVec3::new(0.0, r.z, -r.y), DVec3::new(-r.z, 0.0, r.x), DVec3::new(r.y, -r.x, 0.0))
}
