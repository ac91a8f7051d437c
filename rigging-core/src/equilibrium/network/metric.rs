//! How far a step goes.
//!
//! A link's ends may move together for nothing; what counts is how far they move against each other, over the link's
//! length, and how far a body turns. Weighed by what each link is likely to carry, that is the stiffness of a pendulum,
//! so a shift of the Hessian along the metric is a number without unit, and means the same in the uppermost tier and
//! in the lowest, in a network of three links and in one of three thousand.

use super::Network;
use super::pose::Stretch;
use glam::{DMat3, DVec3};

impl Network {
    /// The metric as a matrix.
    pub(super) fn metric(&self, values: &mut [DMat3], stretches: &[Stretch]) {
        values.fill(DMat3::ZERO);
        for ((link, place), stretch) in self.model.links.iter().zip(&self.places).zip(stretches) {
            place.add_isotropic(values, stretch, link.share / link.length);
        }
        for (index, node) in self.model.nodes.iter().enumerate() {
            if node.body
                && let Some(block) = values.get_mut(self.pattern.variable(index) + 1)
            {
                *block += DMat3::from_diagonal(DVec3::splat(node.carried * node.reach));
            }
        }
    }

    /// The largest relative motion in a step: of a link's ends over its length, or a turn in radians.
    pub(super) fn extent(&self, stretches: &[Stretch], step: &[DVec3]) -> f64 {
        // One root of the largest square, not one each.
        let mut most: f64 = 0.0;
        for ((link, place), stretch) in self.model.links.iter().zip(&self.places).zip(stretches) {
            let length = link.length.max(stretch.distance);
            most = most.max(place.displacement(stretch, step).length_squared() / (length * length));
        }
        for turn in self.turns(step) {
            most = most.max(turn.length_squared());
        }
        most.sqrt()
    }

    /// The turns in a step.
    fn turns<'a>(&'a self, step: &'a [DVec3]) -> impl Iterator<Item = DVec3> + 'a {
        self.model.nodes.iter().enumerate().filter_map(|(index, node)| {
            let turn = step.get(self.pattern.variable(index) + 1).filter(|_| node.body)?;
            Some(*turn)
        })
    }

    /// The step in relative motions, to be compared with the one before.
    pub(super) fn relative(&self, stretches: &[Stretch], step: &[DVec3], into: &mut Vec<DVec3>) {
        into.clear();
        for ((link, place), stretch) in self.model.links.iter().zip(&self.places).zip(stretches) {
            into.push(place.displacement(stretch, step) * (1.0 / link.length));
        }
        into.extend(self.turns(step));
    }
}
