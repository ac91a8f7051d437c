//! Ranges in which balances are looked for, and the conditions of balance over them.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of legs")]
#![expect(clippy::neg_cmp_op_on_partial_ord, reason = "what is not a number fails too")]

use super::affine::{Affine, Affine3};
use super::interval::Interval;
use super::law;
use super::problem::{MOST_LEGS, Problem};
use super::target::Target;
use glam::DVec3;

/// What forms are linear in: three coordinates of the hook, three of the center of gravity, the weight, the shares.
/// There is one more, so that sums over them go by four.
pub(super) const SYMBOLS: usize = 16;
pub(super) const CENTER: usize = 3;
pub(super) const WEIGHT: usize = 6;
pub(super) const SHARES: usize = 7;
/// Three of balance, two for each leg.
pub(super) const MOST_ROWS: usize = 3 + 2 * MOST_LEGS;

/// What a condition asks of its form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Zero,
    NotAbove,
}

/// A condition that every balance of a piece keeps.
#[derive(Debug, Clone)]
pub(super) struct Condition {
    pub(super) form: Affine,
    pub(super) kind: Kind,
}

/// Whether a leg carries load in every balance of a piece, in none, or in some.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Leg {
    Taut,
    Slack,
    Open,
}

/// Ranges of hook and shares in which balances are looked for, with any numbers of the box.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    /// The hook, relative to the nominal center of gravity, m.
    pub(super) hook: [Interval; 3],
    /// The center of gravity, likewise, and the weight, N.
    pub(super) center: [Interval; 3],
    pub(super) weight: Interval,
    /// Of each leg tension over distance, over the weight over the hook's height above the center of gravity.
    pub(super) shares: [Interval; MOST_LEGS],
    /// Which legs are taken to be taut or slack.
    pub(super) legs: [Leg; MOST_LEGS],
}

/// The most force that may be left over in the nominal state, over the weight.
const LEFT_OVER: f64 = 1.0e-8;

/// Ranges of the numbers of the box.
pub(super) struct Numbers {
    pub(super) center: [Interval; 3],
    pub(super) weight: Interval,
    /// Unstretched lengths, and one over them.
    pub(super) lengths: Vec<Interval>,
    per_length: Vec<Interval>,
    /// Factors on the laws.
    pub(super) factors: Vec<Interval>,
}

impl Numbers {
    /// The box, and a little more: so much that the nominal state as it was found, with its hook exactly there, is a balance
    /// of numbers of the box. A force that is left over, r, is no more than another weight W' = |W·n + r| and another direction
    /// of it, for which the center of gravity is elsewhere at the same distance from the hook. None if r is too much.
    pub(super) fn of(problem: &Problem, nominal: DVec3) -> Option<Self> {
        let sides = &problem.sides;
        let side = |index: usize| sides.get(index).copied().unwrap_or(Interval::ENTIRE);
        let legs = problem.legs();
        let lengths = problem.bridle.lengths().iter().enumerate();
        let lengths: Vec<Interval> = lengths.map(|(leg, nominal)| Interval::point(*nominal) + side(leg)).collect();
        if lengths.iter().any(|length| !(length.lo > 0.0)) {
            return None;
        }
        let left_over = left_over(problem, nominal);
        if !(left_over < LEFT_OVER) {
            return None;
        }
        let little = Interval { lo: -2.0 * left_over, hi: 2.0 * left_over };
        let height = 2.0 * nominal.length();
        Some(Self {
            center: [0, 1, 2].map(|axis| side(2 * legs + axis) + little * height),
            weight: (Interval::ONE + side(2 * legs + 3) + little) * problem.bridle.weight(),
            per_length: lengths.iter().map(|length| Interval::ONE / *length).collect(),
            lengths,
            factors: (legs..2 * legs).map(|index| Interval::ONE + side(index)).collect(),
        })
    }
}

/// The force that is left over at nominal numbers with the hook in a place, over the weight.
fn left_over(problem: &Problem, hook: DVec3) -> f64 {
    let weight = Interval::point(problem.bridle.weight());
    let toward = |arm: DVec3| {
        let arm = Affine3::from(arm.to_array().map(Affine::point));
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

/// Forms over a piece.
#[derive(Debug, Clone)]
pub(super) struct Forms {
    pub(super) arms: [Affine3; MOST_LEGS],
    pub(super) lengths: [Affine; MOST_LEGS],
    pub(super) shares: [Affine; MOST_LEGS],
    pub(super) weight: Affine,
    pub(super) per_height: Affine,
    pub(super) conditions: Vec<Condition>,
    /// The number of symbols in use.
    pub(super) columns: usize,
    /// The only leg that is not slack, if there is one only.
    alone: Option<usize>,
}

impl Piece {
    /// The forms over a piece; none where the hook may be in a point of the load or in its center of gravity. Says also which
    /// legs can only be taut or slack.
    pub(super) fn forms(&mut self, problem: &Problem, numbers: &Numbers) -> Option<Forms> {
        let none = [Affine::ZERO; MOST_LEGS];
        let hook: Affine3 = std::array::from_fn(|axis| Affine::side(axis, self.hook[axis]));
        let center: Affine3 = std::array::from_fn(|axis| Affine::side(CENTER + axis, self.center[axis]));
        let up: Affine3 = std::array::from_fn(|axis| hook[axis] - center[axis]);
        let square = |[x, y, z]: &Affine3| x.square() + y.square() + z.square();
        let mut forms = Forms {
            arms: [[Affine::ZERO; 3]; MOST_LEGS],
            lengths: none,
            shares: none,
            weight: Affine::side(WEIGHT, self.weight),
            per_height: square(&up).inverse_root()?,
            conditions: Vec::with_capacity(MOST_ROWS),
            columns: SHARES + problem.legs(),
            alone: None,
        };
        let pull = forms.weight * forms.per_height;
        let mut balance = up.map(|form| -form);
        for leg in 0..problem.legs() {
            let point = problem.points[leg].to_array();
            let arm: Affine3 = std::array::from_fn(|axis| hook[axis] - Affine::point(point[axis]));
            let distance = square(&arm);
            let (length, per_length) = (distance.root()?, distance.inverse_root()?);
            self.decide(leg, length.range(), numbers.lengths[leg]);
            let share = Affine::side(SHARES + leg, self.shares[leg]);
            (forms.arms[leg], forms.lengths[leg], forms.shares[leg]) = (arm, length, share);
            for axis in 0..3 {
                balance[axis] = balance[axis] + arm[axis] * share;
            }
            self.stretch(problem, numbers, leg, per_length, pull * share, &mut forms);
        }
        let mut carrying = (0..problem.legs()).filter(|leg| self.legs[*leg] != Leg::Slack);
        forms.alone = carrying.next().filter(|_| carrying.next().is_none());
        forms.conditions.extend(balance.map(|form| Condition { form, kind: Kind::Zero }));
        Some(forms)
    }

    fn decide(&mut self, leg: usize, length: Interval, unstretched: Interval) {
        if self.legs[leg] == Leg::Open {
            if self.shares[leg].lo > 0.0 || length.lo > unstretched.hi {
                self.legs[leg] = Leg::Taut;
            } else if self.shares[leg].hi <= 0.0 || length.hi < unstretched.lo {
                self.legs[leg] = Leg::Slack;
            }
        }
        if self.legs[leg] == Leg::Slack {
            self.shares[leg] = Interval::ZERO;
        }
    }

    /// 1/L = 1/l + T/(l·κ·m) for a taut leg, m its tension over its strain at a factor of one; for a slack one 1/L ≤ 1/l.
    fn stretch(
        &self,
        problem: &Problem,
        numbers: &Numbers,
        leg: usize,
        per_length: Affine,
        density: Affine,
        forms: &mut Forms,
    ) {
        let strain = forms.lengths[leg].range() / numbers.lengths[leg] - Interval::ONE;
        let modulus = law::secant(&problem.bridle.laws()[leg], strain) * numbers.factors[leg];
        let compliance = Interval::ONE / modulus;
        let unstretched = numbers.per_length[leg];
        // With the longest sling and the softest, a leg is at most as long as that.
        let long = Affine::point(unstretched.lo) - per_length - density * compliance.hi;
        forms.conditions.push(Condition { form: long, kind: Kind::NotAbove });
        if self.legs[leg] == Leg::Slack {
            return;
        }
        let mut short = per_length + density * compliance.lo - Affine::point(unstretched.hi);
        if self.legs[leg] == Leg::Open {
            // It may be shorter where it is slack. The straight line from there to the largest share leaves out neither.
            let most = self.shares[leg].hi;
            let slack = (per_length.range() - Interval::point(unstretched.hi)).hi.max(0.0);
            short = short - Affine::point(slack) + forms.shares[leg] * (slack / most).next_down().max(0.0);
        }
        forms.conditions.push(Condition { form: short, kind: Kind::NotAbove });
    }
}

impl Forms {
    /// The sum of the tensions of a target. A leg that is alone carries the weight.
    pub(super) fn target(&self, target: Target) -> Affine {
        if self.alone.is_some_and(|leg| target.legs().any(|own| own == leg)) {
            return self.weight;
        }
        let pull = self.weight * self.per_height;
        target.legs().fold(Affine::ZERO, |sum, leg| sum + self.shares[leg] * (self.lengths[leg] * pull))
    }

    /// The sum of the shares less one.
    pub(super) fn surplus(&self) -> Affine {
        self.shares.iter().fold(Affine::point(-1.0), |sum, share| sum + *share)
    }
}
