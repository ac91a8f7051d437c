//! The energy of a bridle over the direction from the center of gravity to the hook.
#![expect(clippy::indexing_slicing, reason = "every index comes from the grid, which this module makes and owns")]

use crate::equilibrium::bridle::Bridle;
use glam::DVec3;
use std::collections::{BTreeMap, BinaryHeap};

/// Divisions of an edge of the octahedron: 4·48² + 2 = 9218 directions.
const DIVISIONS: i32 = 48;

/// The hook's best position in each direction of a grid, relative to the center of gravity, and the energy there.
pub(super) struct Landscape {
    hooks: Vec<DVec3>,
    energies: Vec<f64>,
    around: Vec<Vec<usize>>,
}

/// A place on the front of a flood; the lowest comes first.
#[derive(PartialEq)]
struct Front {
    level: f64,
    place: usize,
}

impl Eq for Front {}

impl PartialOrd for Front {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Front {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        other.level.total_cmp(&self.level).then(other.place.cmp(&self.place))
    }
}

impl Landscape {
    pub(super) fn new(bridle: &Bridle) -> Self {
        let n = DIVISIONS;
        let mut index = BTreeMap::new();
        for x in -n..=n {
            for y in -(n - x.abs())..=(n - x.abs()) {
                let z = n - x.abs() - y.abs();
                for z in if z == 0 { vec![0] } else { vec![-z, z] } {
                    let next = index.len();
                    index.insert([x, y, z], next);
                }
            }
        }
        let mut hooks = vec![DVec3::ZERO; index.len()];
        let mut around = vec![Vec::new(); index.len()];
        for (place, at) in &index {
            let direction = DVec3::from_array(place.map(f64::from)).normalize();
            hooks[*at] = direction * bridle.reach(direction);
            // A neighbor takes one division from one coordinate and gives it to another.
            for (from, to) in [(0, 1), (1, 0), (0, 2), (2, 0), (1, 2), (2, 1)] {
                for (less, more) in [(-1, -1), (-1, 1), (1, -1), (1, 1)] {
                    let mut other = *place;
                    other[from] += less;
                    other[to] += more;
                    if let Some(neighbor) = index.get(&other) {
                        around[*at].push(*neighbor);
                    }
                }
            }
            around[*at].sort_unstable();
            around[*at].dedup();
        }
        let energies = hooks.iter().map(|hook| bridle.energy(*hook)).collect();
        Self { hooks, energies, around }
    }

    /// Places that are lower than all around them, or as low as some that come later.
    pub(super) fn valleys(&self) -> Vec<DVec3> {
        let lowest = |place: &usize| {
            let level = (self.energies[*place], *place);
            self.around[*place].iter().all(|other| {
                let beside = (self.energies[*other], *other);
                level.0.total_cmp(&beside.0).then(level.1.cmp(&beside.1)).is_lt()
            })
        };
        (0..self.hooks.len()).filter(lowest).map(|place| self.hooks[place]).collect()
    }

    fn nearest(&self, hook: DVec3) -> usize {
        let up = hook.normalize_or_zero();
        let along = |place: &usize| self.hooks[*place].normalize_or_zero().dot(up);
        (0..self.hooks.len()).max_by(|a, b| along(a).total_cmp(&along(b))).unwrap_or(0)
    }

    /// The highest place on the lowest way between two hook positions: the landscape is flooded from the one until the
    /// other is wet.
    pub(super) fn pass(&self, from: DVec3, to: DVec3) -> Option<DVec3> {
        let (start, goal) = (self.nearest(from), self.nearest(to));
        let mut highest: Vec<Option<usize>> = vec![None; self.hooks.len()];
        let mut front = BinaryHeap::from([Front { level: self.energies[start], place: start }]);
        highest[start] = Some(start);
        while let Some(Front { place, .. }) = front.pop() {
            if place == goal {
                return highest[place].map(|pass| self.hooks[pass]);
            }
            let Some(pass) = highest[place] else { continue };
            for other in &self.around[place] {
                if highest[*other].is_none() {
                    let top = if self.energies[*other] > self.energies[pass] { *other } else { pass };
                    highest[*other] = Some(top);
                    front.push(Front { level: self.energies[*other], place: *other });
                }
            }
        }
        None
    }
}
