//! Pieces made narrower, and cut.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of legs, or three")]
#![expect(clippy::neg_cmp_op_on_partial_ord, reason = "what is not a number fails too")]

use super::affine::Affine;
use super::certified::{bound, is_contradiction};
use super::conditions::{CENTER, Forms, Leg, Numbers, Piece, SHARES, SYMBOLS, WEIGHT};
use super::interval::Interval;
use super::linear::{Solved, largest};
use super::problem::{MOST_LEGS, Problem};

/// How often a piece is made narrower, and the share of a width that this must gain to be tried again.
const ROUNDS: usize = 4;
const GAIN: f64 = 0.1;

/// What the conditions of a piece say of a form.
pub(super) enum Says {
    /// It is no more than this; the unknowns take it there, or nearly.
    AtMost(f64, [f64; SYMBOLS]),
    /// The piece holds no balance.
    Nothing,
}

/// The largest value of a form over the balances of a piece.
pub(super) fn most(forms: &Forms, objective: &Affine) -> Says {
    match largest(objective, &forms.conditions, forms.columns) {
        Solved::Bounded { multipliers, at } => Says::AtMost(bound(objective, &forms.conditions, &multipliers), at),
        Solved::Impossible { multipliers } if is_contradiction(&forms.conditions, &multipliers) => Says::Nothing,
        Solved::Impossible { .. } => Says::AtMost(objective.range().hi, [0.0; SYMBOLS]),
    }
}

impl Piece {
    /// All that may hold a balance with the hook in a box; none if a leg may point downward.
    pub(super) fn all(problem: &Problem, numbers: &Numbers, hook: [Interval; 3]) -> Option<Self> {
        let mut shares = [Interval::ZERO; MOST_LEGS];
        let mut legs = [Leg::Slack; MOST_LEGS];
        let height = hook[2] - numbers.center[2];
        for ((share, leg), point) in shares.iter_mut().zip(&mut legs).zip(&problem.points) {
            let above = hook[2] - Interval::point(point.z);
            if !(above.lo > 0.0 && height.lo > 0.0) {
                return None;
            }
            // Upward the shares of all legs times their rise add up to the height.
            *share = Interval { lo: 0.0, hi: (height / above).hi };
            *leg = Leg::Open;
        }
        Some(Self { hook, center: numbers.center, weight: numbers.weight, shares, legs })
    }

    /// The same balances in narrower ranges, with their forms; none if there are none.
    pub(super) fn narrowed(
        mut self,
        problem: &Problem,
        numbers: &Numbers,
        rounds: usize,
    ) -> Option<Option<(Self, Forms)>> {
        let mut forms = self.forms(problem, numbers)?;
        for _ in 0..rounds.min(ROUNDS) {
            let mut gained = false;
            for symbol in (0..3).chain(SHARES..forms.columns) {
                let range = *self.range_mut(symbol);
                let radius = range.radius();
                if !(radius > 0.0) {
                    continue;
                }
                let mut ends = [1.0; 2];
                for (end, sign) in ends.iter_mut().zip([1.0, -1.0]) {
                    let mut objective = Affine::ZERO;
                    objective.slopes[symbol] = sign;
                    match most(&forms, &objective) {
                        Says::AtMost(found, _) => *end = found.min(1.0),
                        Says::Nothing => return Some(None),
                    }
                }
                let [upper, lower] = ends;
                let to = Interval::point(range.middle()) + Interval { lo: -lower, hi: upper } * radius;
                let Some(to) = (-lower <= upper).then(|| to.meet(range)).flatten() else { return Some(None) };
                gained |= to.width() < (1.0 - GAIN) * range.width();
                *self.range_mut(symbol) = to;
            }
            forms = self.forms(problem, numbers)?;
            if !gained {
                break;
            }
        }
        Some(Some((self, forms)))
    }

    fn range_mut(&mut self, symbol: usize) -> &mut Interval {
        match symbol {
            ..CENTER => &mut self.hook[symbol],
            CENTER..WEIGHT => &mut self.center[symbol - CENTER],
            WEIGHT => &mut self.weight,
            SHARES.. => &mut self.shares[symbol - SHARES],
        }
    }

    /// Both parts of a cut.
    pub(super) fn cut(&self, by: Cut) -> [Self; 2] {
        let (mut one, mut other) = (self.clone(), self.clone());
        match by {
            Cut::Leg(leg) => (one.legs[leg], other.legs[leg]) = (Leg::Taut, Leg::Slack),
            Cut::Range(symbol) => {
                let range = *one.range_mut(symbol);
                let middle = range.middle();
                *one.range_mut(symbol) = Interval { hi: middle, ..range };
                *other.range_mut(symbol) = Interval { lo: middle, ..range };
            }
        }
        [one, other]
    }

    /// Ways to cut the piece.
    pub(super) fn cuts(&self, legs: usize) -> impl Iterator<Item = Cut> + '_ {
        let ranges = self.hook.iter().chain(&self.center).chain([&self.weight]).chain(self.shares.iter().take(legs));
        let wide = |range: &Interval| range.lo < range.middle() && range.middle() < range.hi;
        let wide = ranges.enumerate().filter(move |(_, range)| wide(range)).map(|(symbol, _)| Cut::Range(symbol));
        self.open(legs).map(Cut::Leg).chain(wide)
    }

    /// The legs between taut and slack.
    pub(super) fn open(&self, legs: usize) -> impl Iterator<Item = usize> + '_ {
        (0..legs).filter(|leg| self.legs[*leg] == Leg::Open)
    }
}

/// A way to cut a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Cut {
    /// A leg that is taut, or slack.
    Leg(usize),
    /// Both halves of the range of a symbol.
    Range(usize),
}
