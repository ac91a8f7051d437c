//! Where the balances of a box of numbers may be: the hook, and what each leg does.
#![expect(clippy::neg_cmp_op_on_partial_ord, reason = "what is not a number fails too")]

use super::affine::{Affine, Affine3, unit};
use super::interval::Interval;
use super::law;
use super::problem::{MOST_LEGS, MOST_NUMBERS, MOST_SYMBOLS, Problem};
use glam::{DMat3, DVec3};

/// Bounds of the balances.
#[derive(Debug, Clone)]
pub(super) struct Zone {
    /// The hook, relative to the nominal center of gravity, m.
    pub(super) hook: Affine3,
    /// Tension of each leg, N.
    pub(super) tensions: [Affine; MOST_LEGS],
    /// Length less unstretched length of each leg, m.
    pub(super) elongations: [Affine; MOST_LEGS],
    /// The range of each tension, where it is known better than from its form.
    pub(super) tension_ranges: [Interval; MOST_LEGS],
    /// The same of the elongations.
    pub(super) elongation_ranges: [Interval; MOST_LEGS],
}

/// Whether a leg carries load in every balance of a zone, in none, or in some.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Leg {
    Taut,
    Slack,
    Open,
}

impl Zone {
    pub(super) fn of(hook: Affine3, tensions: [Affine; MOST_LEGS], elongations: [Affine; MOST_LEGS]) -> Self {
        let tension_ranges = tensions.map(|tension| tension.range().positive_part());
        let elongation_ranges = elongations.map(|elongation| elongation.range());
        Self { hook, tensions, elongations, tension_ranges, elongation_ranges }
    }

    pub(super) fn leg(&self, leg: usize) -> Leg {
        let at = |list: &[Interval; MOST_LEGS]| list.get(leg).copied().unwrap_or(Interval::ENTIRE);
        let (tension, elongation) = (at(&self.tension_ranges), at(&self.elongation_ranges));
        if tension.lo > 0.0 || elongation.lo > 0.0 {
            Leg::Taut
        } else if elongation.hi < 0.0 || tension.hi <= 0.0 {
            Leg::Slack
        } else {
            Leg::Open
        }
    }

    fn forms(&self) -> impl Iterator<Item = &Affine> {
        self.hook.iter().chain(&self.tensions).chain(&self.elongations)
    }

    fn forms_mut(&mut self) -> impl Iterator<Item = &mut Affine> {
        self.hook.iter_mut().chain(&mut self.tensions).chain(&mut self.elongations)
    }

    /// The same balances as a box that no number of the problem moves, with those of another zone.
    pub(super) fn hull(&self, other: &Self) -> Self {
        let box_of = |zone: &Self| {
            let mut zone = zone.clone();
            for form in zone.forms_mut() {
                *form = Affine::of(form.range());
            }
            zone
        };
        box_of(self).joined(&box_of(other))
    }

    /// Both, each form about the middle between the two.
    pub(super) fn joined(&self, other: &Self) -> Self {
        let mut joined = self.clone();
        for (slot, other) in joined.forms_mut().zip(other.forms()) {
            *slot = slot.joined(other);
        }
        let mut joined = Self::of(joined.hook, joined.tensions, joined.elongations);
        let ranges = |one: &[Interval; MOST_LEGS], other: &[Interval; MOST_LEGS]| -> [Interval; MOST_LEGS] {
            std::array::from_fn(|leg| match (one.get(leg), other.get(leg)) {
                (Some(one), Some(other)) => one.hull(*other),
                _ => Interval::ENTIRE,
            })
        };
        joined.tension_ranges = ranges(&self.tension_ranges, &other.tension_ranges);
        joined.elongation_ranges = ranges(&self.elongation_ranges, &other.elongation_ranges);
        joined
    }

    /// Every form with what is added to it, and no ranges but theirs.
    pub(super) fn moved(mut self, by: impl Iterator<Item = Affine>) -> Self {
        for (form, by) in self.forms_mut().zip(by) {
            *form = *form + by;
        }
        Self::of(self.hook, self.tensions, self.elongations)
    }

    /// With ranges that are known also from elsewhere.
    pub(super) fn narrowed(mut self, other: &Self) -> Self {
        for (slot, other) in self.tension_ranges.iter_mut().zip(&other.tension_ranges) {
            *slot = slot.meet(*other).unwrap_or(*slot);
        }
        for (slot, other) in self.elongation_ranges.iter_mut().zip(&other.elongation_ranges) {
            *slot = slot.meet(*other).unwrap_or(*slot);
        }
        self
    }

    /// With more rest: a share of each radius, and a little.
    pub(super) fn widened(self, share: f64, reach: f64, weight: f64) -> Self {
        let mut wide = self;
        let little = |index: usize| if (3..3 + MOST_LEGS).contains(&index) { 1.0e-9 * weight } else { 1.0e-11 * reach };
        for (index, form) in wide.forms_mut().enumerate() {
            *form = form.with_rest(share * form.radius() + little(index));
        }
        Self::of(wide.hook, wide.tensions, wide.elongations)
    }

    /// Whether, whatever the numbers, it lies within `other` and touches none of its bounds.
    pub(super) fn is_interior_to(&self, other: &Self) -> bool {
        self.forms().zip(other.forms()).all(|(one, other)| {
            let apart = one.slopes.iter().zip(&other.slopes).map(|(a, b)| (a - b).abs()).sum::<f64>();
            let rounding = 1.0e-14 * (one.middle.abs() + one.radius() + other.radius());
            (one.middle - other.middle).abs() + apart + one.rest + rounding < other.rest
        })
    }
}

/// The symbols of what is not known of the hook, and of the tensions.
pub(super) const HOOK: usize = MOST_NUMBERS;
pub(super) const TENSIONS: usize = HOOK + 3;

/// What the equations of balance are made of, over a zone and a box of numbers.
pub(super) struct Geometry {
    /// From each point to the hook, unit vectors.
    pub(super) directions: [Affine3; MOST_LEGS],
    /// One over the length of each leg, 1/m.
    pub(super) per_length: [Affine; MOST_LEGS],
    /// Length of each leg over its unstretched length.
    pub(super) stretches: [Affine; MOST_LEGS],
    /// Elongation of a taut leg per newton, m/N.
    pub(super) compliances: [Affine; MOST_LEGS],
    /// One over the factor on the stiffness of each leg.
    pub(super) per_stiffness: [Affine; MOST_LEGS],
    /// Upward.
    pub(super) up: Affine3,
    /// Upward in the frame of the load.
    pub(super) plumb: Affine3,
    /// A turn, as a vector without middle or rest, that most of the change of the directions has in common. Directions and
    /// upward stand in a frame that takes part in it: multiplied by I − \[turn\]×, which is regular for every turn.
    pub(super) turn: Affine3,
    /// Weight, N, and over the height of the hook above the center of gravity, N/m.
    pub(super) weight: Affine,
    pub(super) softening: Affine,
}

impl Geometry {
    /// None where the hook may be in a point of the load or in its center of gravity.
    pub(super) fn of(problem: &Problem, zone: &Zone, sides: &[Interval]) -> Option<Self> {
        let [x, y, z] = zone.hook;
        let [x, y, z] = [x.with_symbol(HOOK), y.with_symbol(HOOK + 1), z.with_symbol(HOOK + 2)];
        let [cx, cy, cz] = problem.center(sides);
        let (per_height, up) = unit(&[x - cx, y - cy, z - cz])?;
        let weight = problem.weight(sides);
        let none = [Affine::ZERO; MOST_LEGS];
        let mut geometry = Self {
            directions: [[Affine::ZERO; 3]; MOST_LEGS],
            per_length: none,
            stretches: none,
            compliances: none,
            per_stiffness: none,
            up,
            plumb: up,
            turn: [Affine::ZERO; 3],
            weight,
            softening: weight * per_height,
        };
        let laws = problem.points.iter().zip(problem.bridle.laws()).zip(&zone.elongation_ranges);
        let slots = geometry.directions.iter_mut().zip(&mut geometry.per_length);
        let slots = slots.zip(geometry.stretches.iter_mut().zip(&mut geometry.compliances));
        let slots = slots.zip(&mut geometry.per_stiffness);
        for (leg, (((point, rule), elongation), (((direction, per), (stretch, compliance)), stiffness))) in
            laws.zip(slots).enumerate()
        {
            let arm = [x - Affine::point(point.x), y - Affine::point(point.y), z - Affine::point(point.z)];
            let (per_length, toward) = unit(&arm)?;
            let length = problem.length(leg, sides);
            let slope = law::slope(rule, *elongation / length.range());
            let [a, b, c] = arm;
            *direction = toward;
            *per = per_length;
            *stretch = (a * a + b * b + c * c) * per_length * length.inverse()?;
            *stiffness = problem.stiffness(leg, sides).inverse()?;
            *compliance = length * *stiffness * Affine::of(slope).inverse()?;
        }
        geometry.take_part(problem.legs());
        Some(geometry)
    }

    /// Finds the turn: of all directions the least squares of u × δu = (I − u·uᵀ)·turn.
    fn take_part(&mut self, legs: usize) {
        let mut sum = DMat3::ZERO;
        let middles: Vec<DVec3> = self.directions.iter().take(legs).map(middle).collect();
        for u in &middles {
            sum += DMat3::IDENTITY - DMat3::from_cols(*u * u.x, *u * u.y, *u * u.z);
        }
        if !(sum.determinant() > 1.0e-6) {
            return;
        }
        let inverse = sum.inverse();
        for number in 0..MOST_SYMBOLS {
            let slope = |vector: &Affine3| {
                DVec3::from_array(vector.each_ref().map(|form| form.slopes.get(number).copied().unwrap_or(0.0)))
            };
            let moments = self.directions.iter().zip(&middles).map(|(direction, u)| u.cross(slope(direction)));
            let turn = inverse * moments.sum::<DVec3>();
            for (form, component) in self.turn.iter_mut().zip(turn.to_array()) {
                if let Some(slot) = form.slopes.get_mut(number) {
                    *slot = component;
                }
            }
        }
        for direction in self.directions.iter_mut().take(legs) {
            *direction = turned_back(&self.turn, direction);
        }
        self.up = turned_back(&self.turn, &self.up);
    }
}

/// The vector in the middle.
pub(super) fn middle(vector: &Affine3) -> DVec3 {
    DVec3::from_array(vector.each_ref().map(|component| component.middle))
}

/// (I − \[turn\]×)·v.
pub(super) fn turned_back(turn: &Affine3, vector: &Affine3) -> Affine3 {
    let [a, b, c] = *turn;
    let [x, y, z] = *vector;
    [x - (b * z - c * y), y - (c * x - a * z), z - (a * y - b * x)]
}

/// (I + \[turn\]×)·v.
pub(super) fn turned(turn: &Affine3, vector: &Affine3) -> Affine3 {
    turned_back(&turn.map(|form| -form), vector)
}
