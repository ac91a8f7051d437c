//! What is asked of every balance in a piece: conditions, as forms of its symbols.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of legs")]

use super::affine::{Affine, Affine3};
use super::interval::Interval;
use super::law;
use super::piece::Leg;
use super::target::Target;
use crate::system::Law;

/// Width of a stiffness, over itself, below which one condition says all about a taut leg.
const ALIKE: f64 = 1.0e-3;
/// The most conditions: what four bodies, four joints and twelve members ask for, and differences of the heights of hooks.
pub(super) const MOST_ROWS: usize = 84;

/// What a condition asks of its form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Zero,
    NotAbove,
}

/// A condition that every balance of a piece keeps.
#[derive(Debug, Clone)]
pub(super) struct Condition<const N: usize> {
    pub(super) form: Affine<N>,
    pub(super) kind: Kind,
}

/// Ranges of the numbers of a leg.
#[derive(Debug, Clone)]
pub(super) struct Sling {
    /// Its law at a factor of one.
    pub(super) law: Law,
    /// Unstretched length, and one over it.
    pub(super) length: Interval,
    pub(super) per_length: Interval,
    /// Factor on the law.
    pub(super) factor: Interval,
}

impl Sling {
    /// A sling whose length and factor are off by what lies in an interval; none if nothing of the length may be left.
    pub(super) fn new(law: &Law, length: f64, longer: Interval, stiffer: Interval) -> Option<Self> {
        let length = Interval::point(length) + longer;
        (length.lo > 0.0).then(|| Self {
            law: law.clone(),
            length,
            per_length: Interval::ONE / length,
            factor: Interval::ONE + stiffer,
        })
    }
}

/// Forms over a piece.
#[derive(Debug, Clone)]
pub(super) struct Forms<const N: usize> {
    /// From the point of the load to the hook.
    pub(super) arms: Vec<Affine3<N>>,
    pub(super) lengths: Vec<Affine<N>>,
    pub(super) shares: Vec<Affine<N>>,
    pub(super) weight: Affine<N>,
    pub(super) per_height: Affine<N>,
    pub(super) conditions: Vec<Condition<N>>,
    /// The number of symbols in use.
    pub(super) columns: usize,
    /// The only leg that is not slack, if there is one only.
    pub(super) alone: Option<usize>,
}

impl<const N: usize> Forms<N> {
    /// Forms of no leg yet, but room for some.
    pub(super) fn new(weight: Affine<N>, per_height: Affine<N>, columns: usize, legs: usize) -> Self {
        Self {
            arms: Vec::with_capacity(legs),
            lengths: Vec::with_capacity(legs),
            shares: Vec::with_capacity(legs),
            weight,
            per_height,
            conditions: Vec::with_capacity(6 + 2 * legs),
            columns,
            alone: None,
        }
    }

    /// The next leg.
    pub(super) fn leg(&mut self, arm: Affine3<N>, length: Affine<N>, share: Affine<N>) {
        self.arms.push(arm);
        self.lengths.push(length);
        self.shares.push(share);
    }

    /// 1/L = 1/l + T/(l·κ·m) for a taut leg, m its tension over its strain at a factor of one; for a slack one 1/L ≤ 1/l.
    /// `density` is T/l, and `most` the largest share.
    pub(super) fn stretch(
        &mut self,
        leg: usize,
        state: Leg,
        most: f64,
        sling: &Sling,
        per_length: Affine<N>,
        density: Affine<N>,
    ) {
        let strain = self.lengths[leg].range() / sling.length - Interval::ONE;
        let modulus = law::secant(&sling.law, strain) * sling.factor;
        let compliance = Interval::ONE / modulus;
        let unstretched = sling.per_length;
        if state == Leg::Taut {
            // One condition to either side: what is zero is solved for before anything is asked.
            let (length, middle) = (Affine::within(unstretched), compliance.middle());
            let beside = compliance.radius() * density.range().magnitude();
            let form = per_length + density * middle - length;
            self.conditions.push(Condition { form: form.widened(beside), kind: Kind::Zero });
            if compliance.width() < ALIKE * compliance.hi {
                return;
            }
        }
        // With the longest sling and the softest, a leg is at most as long as that.
        let long = Affine::point(unstretched.lo) - per_length - density * compliance.hi;
        self.conditions.push(Condition { form: long, kind: Kind::NotAbove });
        if state == Leg::Slack {
            return;
        }
        let mut short = per_length + density * compliance.lo - Affine::point(unstretched.hi);
        if state == Leg::Open {
            // It may be shorter where it is slack. The straight line from there to the largest share leaves out neither.
            let slack = (per_length.range() - Interval::point(unstretched.hi)).hi.max(0.0);
            short = short - Affine::point(slack) + self.shares[leg] * (slack / most).next_down().max(0.0);
        }
        self.conditions.push(Condition { form: short, kind: Kind::NotAbove });
    }

    /// The sum of the tensions of a target. A leg that is alone carries the weight.
    pub(super) fn tensions(&self, target: Target) -> Affine<N> {
        if self.alone.is_some_and(|leg| target.legs().any(|own| own == leg)) {
            return self.weight;
        }
        let pull = self.weight * self.per_height;
        target.legs().fold(Affine::ZERO, |sum, leg| sum + self.shares[leg] * (self.lengths[leg] * pull))
    }
}
