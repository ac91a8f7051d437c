//! A bridle: the conditions of balance over a piece, with the hook in the frame of the load.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of legs or symbols")]
#![expect(clippy::neg_cmp_op_on_partial_ord, reason = "what is not a number fails too")]

mod near;
mod stable;
#[cfg(test)]
mod tests;

use super::affine::{Affine, Affine3};
use super::balances::Balances;
use super::forms::{Condition, Forms, Kind, Sling};
use super::interval::Interval;
use super::law;
use super::piece::{Leg, Piece};
use super::problem::{MOST_MEMBERS, Problem};
use super::region::MARGIN;
use super::target::Target;
use glam::DVec3;

/// What forms are linear in: three coordinates of the hook, three of the center of gravity, both relative to the nominal
/// center of gravity, m; the weight, N; of each leg tension over distance, over the weight over the hook's height above the
/// center of gravity. There is one more, so that sums over them go by four.
pub(super) const SYMBOLS: usize = 16;
const CENTER: usize = 3;
const WEIGHT: usize = 6;
const SHARES: usize = 7;

/// The most force that may be left over in the nominal state, over the weight.
const LEFT_OVER: f64 = 1.0e-8;

/// A load under one hook, with ranges of the numbers of the box.
pub(super) struct OneHook<'a> {
    problem: &'a Problem<'a>,
    center: [Interval; 3],
    weight: Interval,
    slings: Vec<Sling>,
    margins: [f64; 3],
}

impl<'a> OneHook<'a> {
    /// The box, and a little more: so much that the nominal state as it was found, with its hook exactly there, is a balance
    /// of numbers of the box. A force that is left over, r, is no more than another weight W' = |W·n + r| and another direction
    /// of it, for which the center of gravity is elsewhere at the same distance from the hook. None if r is too much.
    pub(super) fn new(problem: &'a Problem<'a>, nominal: DVec3) -> Option<Self> {
        let sides = &problem.sides;
        let side = |index: usize| sides.get(index).copied().unwrap_or(Interval::ENTIRE);
        let legs = problem.legs();
        let nominals = problem.bridle.lengths().iter().zip(problem.bridle.laws()).enumerate();
        let slings = nominals.map(|(leg, (length, law))| Sling::new(law, *length, side(leg), side(legs + leg)));
        let slings: Vec<Sling> = slings.collect::<Option<_>>()?;
        let left_over = left_over(problem, nominal);
        if !(left_over < LEFT_OVER) {
            return None;
        }
        let little = Interval { lo: -2.0 * left_over, hi: 2.0 * left_over };
        let height = 2.0 * nominal.length();
        let longest = slings.iter().fold(0.0, |most: f64, sling| most.max(sling.length.hi));
        Some(Self {
            problem,
            center: [0, 1, 2].map(|axis| side(2 * legs + axis) + little * height),
            weight: (Interval::ONE + side(2 * legs + 3) + little) * problem.bridle.weight(),
            slings,
            margins: [MARGIN * longest; 3],
        })
    }
}

/// The force that is left over at nominal numbers with the hook in a place, over the weight.
fn left_over(problem: &Problem, hook: DVec3) -> f64 {
    let weight = Interval::point(problem.bridle.weight());
    let toward = |arm: DVec3| {
        let arm = arm.to_array().map(Affine::<4>::point);
        let [x, y, z] = &arm;
        let square = x.square() + y.square() + z.square();
        let length = square.root().map_or(Interval::ENTIRE, |length| length.range());
        (length, arm.map(|component| component.range() / length))
    };
    let (_, up) = toward(hook);
    let mut residual = up.map(|component| -(component * weight));
    let legs = problem.points.iter().zip(problem.bridle.lengths()).zip(problem.bridle.laws());
    for ((point, unstretched), rule) in legs {
        let (length, direction) = toward(hook - *point);
        let strain = length / Interval::point(*unstretched) - Interval::ONE;
        let tension = law::tension(rule, strain);
        for (sum, component) in residual.iter_mut().zip(direction) {
            *sum = *sum + component * tension;
        }
    }
    residual.iter().map(|force| (*force / weight).magnitude()).fold(0.0, |sum, force| sum + 2.0 * force)
}

impl Balances<SYMBOLS> for OneHook<'_> {
    fn legs(&self) -> usize {
        self.problem.legs()
    }

    fn sides(&self) -> &[Interval] {
        &self.problem.sides
    }

    fn margins(&self) -> &[f64] {
        &self.margins
    }

    fn told(&self) -> usize {
        SHARES
    }

    fn all(&self, hook: &[Interval]) -> Option<Piece<SYMBOLS>> {
        let mut piece = Piece { ranges: [Interval::ZERO; SYMBOLS], legs: [Leg::Slack; MOST_MEMBERS] };
        piece.ranges[..CENTER].copy_from_slice(hook);
        piece.ranges[CENTER..WEIGHT].copy_from_slice(&self.center);
        piece.ranges[WEIGHT] = self.weight;
        let height = piece.ranges[2] - self.center[2];
        for (leg, point) in self.problem.points.iter().enumerate() {
            let above = piece.ranges[2] - Interval::point(point.z);
            if !(above.lo > 0.0 && height.lo > 0.0) {
                return None;
            }
            // Upward the shares of all legs times their rise add up to the height.
            piece.ranges[SHARES + leg] = Interval { lo: 0.0, hi: (height / above).hi };
            piece.legs[leg] = Leg::Open;
        }
        Some(piece)
    }

    fn forms(&self, piece: &mut Piece<SYMBOLS>) -> Option<Forms<SYMBOLS>> {
        let hook: Affine3<SYMBOLS> = std::array::from_fn(|axis| piece.side(axis));
        let up: Affine3<SYMBOLS> = std::array::from_fn(|axis| hook[axis] - piece.side(CENTER + axis));
        let square = |[x, y, z]: &Affine3<SYMBOLS>| x.square() + y.square() + z.square();
        let mut forms = Forms::new(piece.side(WEIGHT), square(&up).inverse_root()?, SHARES + self.legs(), self.legs());
        let pull = forms.weight * forms.per_height;
        let mut balance = up.map(|form| -form);
        for (leg, sling) in self.slings.iter().enumerate() {
            let point = self.problem.points[leg].to_array();
            let arm: Affine3<SYMBOLS> = std::array::from_fn(|axis| hook[axis] - Affine::point(point[axis]));
            let distance = square(&arm);
            let (length, per_length) = (distance.root()?, distance.inverse_root()?);
            piece.decide(leg, SHARES + leg, length.range(), sling.length);
            let share = piece.side(SHARES + leg);
            forms.leg(arm, length, share);
            for axis in 0..3 {
                balance[axis] = balance[axis] + arm[axis] * share;
            }
            forms.stretch(leg, piece.legs[leg], piece.ranges[SHARES + leg].hi, sling, per_length, pull * share);
        }
        let mut carrying = (0..self.legs()).filter(|leg| piece.legs[*leg] != Leg::Slack);
        forms.alone = carrying.next().filter(|_| carrying.next().is_none());
        forms.conditions.extend(balance.map(|form| Condition { form, kind: Kind::Zero }));
        Some(forms)
    }

    fn target(&self, _: &Piece<SYMBOLS>, forms: &Forms<SYMBOLS>, target: Target) -> Affine<SYMBOLS> {
        forms.tensions(target)
    }

    fn is_stable(&self, piece: &Piece<SYMBOLS>, forms: &Forms<SYMBOLS>) -> bool {
        self.stable(piece, forms)
    }

    fn near(&self, piece: &Piece<SYMBOLS>, symbols: &[f64; SYMBOLS]) -> Vec<f64> {
        self.numbers_near(piece, symbols)
    }
}
