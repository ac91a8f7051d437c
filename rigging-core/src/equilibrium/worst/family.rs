//! How hook and tensions answer to the numbers, over a zone and a box of numbers, for each set of legs that may be taut.
//!
//! The unknowns are the hook and the tensions of the taut legs. Keeping the tensions among them keeps the equations well
//! conditioned: stiffness appears as a compliance, and directions that are not quite known are never multiplied by it.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of legs")]
#![expect(clippy::needless_range_loop, reason = "rows and columns are counted as in the formulas")]
#![expect(clippy::neg_cmp_op_on_partial_ord, reason = "what is not a number fails too")]

use super::affine::{Affine, Affine3, along};
use super::cone::cannot_carry;
use super::interval::Interval;
use super::problem::{MOST_LEGS, MOST_SYMBOLS, Problem};
use super::section::LEFT_OVER;
use super::verified::{Column, Inverse, MOST};
use super::zone::{Geometry, HOOK, Leg, TENSIONS, Zone, middle, turned, turned_back};
use glam::DVec3;

/// The most sets of taut legs that one box may have.
const MOST_SETS: usize = 40;

/// Which sets of legs a family is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sets {
    /// Those that may be taut together in one balance: derivatives are of these.
    Balances,
    /// All between the surely taut and the possibly taut: the difference of two balances of the same numbers is of these.
    Differences,
}

/// Derivatives of hook, tensions and elongations with respect to one number, or to the residual, in the form of the numbers of
/// the box.
#[derive(Debug, Clone)]
pub(super) struct Rates {
    pub(super) hook: Affine3,
    pub(super) tensions: [Affine; MOST_LEGS],
    pub(super) elongations: [Affine; MOST_LEGS],
}

/// The derivatives for one set of taut legs: one for each number, and one for the residual last.
pub(super) type Response = Vec<Rates>;

/// The force that is left over in a base, N.
pub(super) type Residual = [Interval; 3];

/// The responses of all sets.
pub(super) fn family(
    problem: &Problem,
    zone: &Zone,
    sides: &[Interval],
    residual: &Residual,
    sets: Sets,
) -> Option<Vec<Response>> {
    let geometry = Geometry::of(problem, zone, sides)?;
    let (taut, open) = legs_in(problem, zone);
    let all = sets == Sets::Differences;
    // Every subset of the open legs, in ascending order of its bits.
    let mut found = Vec::new();
    let mut subset = 0_u32;
    loop {
        let set = taut | subset;
        if all || !cannot_carry(&geometry, set) {
            if found.len() == MOST_SETS {
                return None;
            }
            let lateral = if all { taut | open } else { set };
            let basis = if all && taut.count_ones() > 1 { taut } else { lateral };
            let equations = Equations::new(problem, &geometry, zone, sides, set, (lateral, basis));
            found.push(equations.response(problem, sides, residual)?);
        }
        if subset == open {
            break;
        }
        subset = subset.wrapping_sub(open) & open;
    }
    (!found.is_empty()).then_some(found)
}

/// How much each number of a box contributes to what keeps the equations from being solved over all of it, with all legs taut
/// that may be.
pub(super) fn contributions(problem: &Problem, zone: &Zone, sides: &[Interval]) -> Option<Vec<(usize, f64)>> {
    let geometry = Geometry::of(problem, zone, sides)?;
    let (taut, open) = legs_in(problem, zone);
    let equations = Equations::new(problem, &geometry, zone, sides, taut | open, (taut | open, taut | open));
    Inverse::contributions(&equations.matrix, equations.size, &equations.symbols)
}

/// The legs that are surely taut, and those that may be, as bits.
fn legs_in(problem: &Problem, zone: &Zone) -> (u32, u32) {
    let bits =
        |kind: Leg| (0..problem.legs()).filter(|leg| zone.leg(*leg) == kind).fold(0, |bits, leg| bits | 1 << leg);
    (bits(Leg::Taut), bits(Leg::Open))
}

/// Number of the leg in each row of tensions.
fn legs_of(set: u32) -> impl Iterator<Item = usize> {
    (0..MOST_LEGS).filter(move |leg| set >> leg & 1 == 1)
}

/// The equations of a set of taut legs.
struct Equations<'a> {
    geometry: &'a Geometry,
    set: u32,
    tensions: [Affine; MOST_LEGS],
    matrix: [Column; MOST],
    size: usize,
    /// One over the weight that forces are counted in: all unknowns are then of similar size.
    per_unit: Affine,
    /// The numbers that are not fixed in the box.
    moving: Vec<usize>,
    /// These, and the symbols of what is not known.
    symbols: Vec<usize>,
}

impl<'a> Equations<'a> {
    /// `lateral` are the legs whose tension acts on a change of their direction, `basis` those of them to reckon from.
    fn new(
        problem: &Problem,
        geometry: &'a Geometry,
        zone: &Zone,
        sides: &[Interval],
        set: u32,
        (lateral, basis): (u32, u32),
    ) -> Self {
        let unit = problem.bridle.weight();
        let per_unit = Affine::of(Interval::ONE / Interval::point(unit));
        let tensions = tensions(geometry, zone, lateral, basis);
        let still = still(&geometry.turn);
        let mut matrix = [[Affine::ZERO; MOST]; MOST];
        across(&mut matrix, &still, &geometry.up, -(geometry.softening * per_unit));
        for leg in legs_of(lateral) {
            across(&mut matrix, &still, &geometry.directions[leg], tensions[leg] * geometry.per_length[leg] * per_unit);
        }
        for (row, leg) in (3..).zip(legs_of(set)) {
            for a in 0..3 {
                matrix[a][row] = geometry.directions[leg][a];
                matrix[row][a] = -geometry.directions[leg][a];
            }
            matrix[row][row] = geometry.compliances[leg] * unit;
        }
        let moving: Vec<usize> =
            sides.iter().enumerate().filter(|(_, side)| side.lo < side.hi).map(|(index, _)| index).collect();
        let symbols = moving.iter().copied().chain(HOOK..MOST_SYMBOLS).collect();
        Self { geometry, set, tensions, matrix, size: 3 + legs_of(set).count(), per_unit, moving, symbols }
    }

    /// None unless all matrices are regular and that in the middle is stable, so that all are of one sign.
    fn response(&self, problem: &Problem, sides: &[Interval], residual: &Residual) -> Option<Response> {
        if !is_stable(&self.matrix, self.size) {
            return None;
        }
        let inverse = Inverse::of(&self.matrix, self.size, &self.symbols)?;
        let legs = problem.legs();
        let mut rates = vec![Rates::ZERO; sides.len() + 1];
        let mut put = |index: usize, right: &Column, longer: Option<usize>| {
            let solution = inverse.solve(right);
            rates[index] = Rates::of(&solution, self.geometry, (self.set, legs), problem.bridle.weight(), longer);
        };
        for index in &self.moving {
            put(*index, &self.right(*index, legs), (*index < legs).then_some(*index));
        }
        let mut right = [Affine::ZERO; MOST];
        let force = residual.map(|force| Affine::of(-force) * self.per_unit);
        right[..3].copy_from_slice(&turned_back(&self.geometry.turn, &force));
        put(sides.len(), &right, None);
        Some(rates)
    }

    /// What a change of a number brings out of balance.
    fn right(&self, index: usize, legs: usize) -> Column {
        let geometry = self.geometry;
        let mut right = [Affine::ZERO; MOST];
        let row = |leg: usize| legs_of(self.set).position(|taut| taut == leg).map(|position| 3 + position);
        if index < legs {
            if let Some(row) = row(index) {
                right[row] = -geometry.stretches[index];
            }
        } else if index < 2 * legs {
            let leg = index - legs;
            if let Some(row) = row(leg) {
                right[row] = geometry.compliances[leg] * self.tensions[leg] * geometry.per_stiffness[leg];
            }
        } else if index < 2 * legs + 3 {
            let axis = index - 2 * legs;
            let mut own = [Affine::ZERO; 3];
            own[axis] = Affine::point(1.0);
            let own = turned_back(&geometry.turn, &own);
            for a in 0..3 {
                right[a] = (geometry.up[a] * geometry.plumb[axis] - own[a]) * (geometry.softening * self.per_unit);
            }
        } else {
            right[..3].copy_from_slice(&geometry.up);
        }
        right
    }
}

/// Tensions of legs that carry the load together. Up to three of them follow from the weight and the tensions of the others:
/// with vectors q that have q·u = 1 for one of the three and 0 for the other two at the middle of the geometry, W·n·q is that
/// tension, less what the others do along q. Their sum, which gives the load its hold against tilting, then keeps the digits
/// that each by itself has lost.
fn tensions(geometry: &Geometry, zone: &Zone, set: u32, basis: u32) -> [Affine; MOST_LEGS] {
    let mut known = zone.tensions;
    for (leg, (form, range)) in known.iter_mut().zip(&zone.tension_ranges).enumerate() {
        if range.width() < 2.0 * form.rest {
            *form = Affine::of(*range);
        }
        *form = form.with_symbol(TENSIONS + leg);
    }
    let basis = spanning(geometry, basis);
    let directions: Vec<DVec3> = basis.iter().map(|leg| middle(&geometry.directions[*leg])).collect();
    let mut found = known;
    for (own, leg) in basis.iter().enumerate() {
        let Some(q) = dual(&directions, own) else { continue };
        // On the way from a base a force is left over.
        let left_over = 2.0 * LEFT_OVER * geometry.weight.range().magnitude() * q.length();
        let q = q.to_array();
        let mut tension = (along(q, &geometry.up) * geometry.weight).with_rest(left_over);
        for other in legs_of(set) {
            let share = along(q, &geometry.directions[other]);
            let rest = if other == *leg { share - Affine::point(1.0) } else { share };
            tension = tension - known[other] * rest;
        }
        if tension.radius() < 1.25 * known[*leg].radius() {
            found[*leg] = tension;
        }
    }
    found
}

/// Up to three legs of a set, as far from one plane as can be.
fn spanning(geometry: &Geometry, set: u32) -> Vec<usize> {
    let legs: Vec<usize> = legs_of(set).collect();
    if legs.len() <= 3 {
        return legs;
    }
    let direction = |leg: usize| middle(&geometry.directions[leg]);
    let mut best = (0.0, Vec::new());
    for (i, a) in legs.iter().enumerate() {
        for (j, b) in legs.iter().enumerate().skip(i + 1) {
            for c in legs.iter().skip(j + 1) {
                let volume = direction(*a).cross(direction(*b)).dot(direction(*c)).abs();
                if volume > best.0 {
                    best = (volume, vec![*a, *b, *c]);
                }
            }
        }
    }
    best.1
}

/// The vector in the span of up to three directions whose products with them are 1 for one of them and 0 for the others.
fn dual(directions: &[DVec3], own: usize) -> Option<DVec3> {
    let one = *directions.get(own)?;
    let others: Vec<DVec3> =
        directions.iter().enumerate().filter(|(index, _)| *index != own).map(|(_, other)| *other).collect();
    let square = match others.as_slice() {
        [] => one,
        [other] => one - one.dot(*other) * *other,
        [first, second, ..] => first.cross(*second),
    };
    let product = square.dot(one);
    (product.abs() > 1.0e-6 * square.length()).then(|| square / product)
}

impl Rates {
    pub(super) const ZERO: Self =
        Self { hook: [Affine::ZERO; 3], tensions: [Affine::ZERO; MOST_LEGS], elongations: [Affine::ZERO; MOST_LEGS] };

    /// Hook, tensions, elongations.
    pub(super) fn forms(&self) -> impl Iterator<Item = &Affine> {
        self.hook.iter().chain(&self.tensions).chain(&self.elongations)
    }

    /// From a solution, with the leg whose length is the number.
    fn of(solution: &Column, geometry: &Geometry, (set, legs): (u32, usize), unit: f64, longer: Option<usize>) -> Self {
        let mut rates = Self::ZERO;
        let moved = [solution[0], solution[1], solution[2]];
        let known = |form: Affine| form.without_symbols(HOOK);
        rates.hook = turned(&geometry.turn, &moved).map(known);
        for (row, leg) in (3..).zip(legs_of(set)) {
            rates.tensions[leg] = known(solution[row] * unit);
        }
        for leg in 0..legs {
            let [x, y, z] = geometry.directions[leg];
            let [a, b, c] = moved;
            let apart = x * a + y * b + z * c;
            rates.elongations[leg] = known(if longer == Some(leg) { apart - Affine::point(1.0) } else { apart });
        }
        rates
    }
}

/// (I − \[turn\]×)·(I + \[turn\]×) = I + |turn|²·I − turn·turnᵀ: what the unit matrix is in the frame that takes part in the turn.
fn still(turn: &Affine3) -> [Affine3; 3] {
    let squares = turn.map(|form| form * form);
    let whole = squares[0] + squares[1] + squares[2];
    let mut result = [[Affine::ZERO; 3]; 3];
    for a in 0..3 {
        for b in 0..=a {
            result[a][b] = if a == b { Affine::point(1.0) + (whole - squares[a]) } else { -(turn[a] * turn[b]) };
            result[b][a] = result[a][b];
        }
    }
    result
}

/// Adds k·(I − u·vᵀ) for unit vectors u and v of one enclosure, in the frame that takes part in the turn.
fn across(matrix: &mut [Column; MOST], still: &[Affine3; 3], direction: &Affine3, k: Affine) {
    for a in 0..3 {
        for b in 0..=a {
            let entry = (still[a][b] - direction[a] * direction[b]) * k;
            matrix[a][b] = matrix[a][b] + entry;
            if a != b {
                matrix[b][a] = matrix[b][a] + entry;
            }
        }
    }
}

/// Whether the matrix of second derivatives of the energy at the middle of the coefficients, which is what remains when the
/// tensions are eliminated, is proven to be positive definite: all pivots of its elimination are positive.
fn is_stable(matrix: &[Column; MOST], size: usize) -> bool {
    let middle = |a: usize, b: usize| Interval::point(matrix[a][b].middle);
    let mut hessian = [[Interval::ZERO; 3]; 3];
    for a in 0..3 {
        for b in 0..3 {
            hessian[a][b] =
                (3..size).fold(middle(a, b), |sum, row| sum + middle(a, row) * middle(b, row) / middle(row, row));
        }
    }
    for pivot in 0..3 {
        if !(hessian[pivot][pivot].lo > 0.0) {
            return false;
        }
        for a in pivot + 1..3 {
            let factor = hessian[a][pivot] / hessian[pivot][pivot];
            for b in pivot + 1..3 {
                hessian[a][b] = hessian[a][b] - factor * hessian[pivot][b];
            }
        }
    }
    true
}
