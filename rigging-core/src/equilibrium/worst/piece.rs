//! Pieces: ranges in which balances are looked for. They are made narrower, and cut.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of symbols, or of legs")]
#![expect(clippy::neg_cmp_op_on_partial_ord, reason = "what is not a number fails too")]

use super::affine::Affine;
use super::balances::Balances;
use super::certified::{bound, is_contradiction};
use super::forms::Forms;
use super::interval::Interval;
use super::linear::{Program, Solved};
use super::problem::MOST_MEMBERS;

/// How often a piece is made narrower, and the share of a width that this must gain to be tried again.
const ROUNDS: usize = 4;
const GAIN: f64 = 0.1;

/// Whether a leg carries load in every balance of a piece, in none, or in some.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Leg {
    Taut,
    Slack,
    Open,
}

/// Ranges of place, numbers of the box and shares in which balances are looked for.
#[derive(Debug, Clone)]
pub(super) struct Piece<const N: usize> {
    /// Of each symbol.
    pub(super) ranges: [Interval; N],
    /// Which legs are taken to be taut or slack.
    pub(super) legs: [Leg; MOST_MEMBERS],
}

/// What the conditions of a piece say of a form.
pub(super) enum Says<const N: usize> {
    /// It is no more than this; the unknowns take it there, or nearly.
    AtMost(f64, [f64; N]),
    /// The piece holds no balance.
    Nothing,
}

impl<const N: usize> Forms<N> {
    /// What the conditions say of any form.
    pub(super) fn program(&self) -> Program<'_, N> {
        Program::new(&self.conditions, self.columns)
    }
}

/// The largest value of a form over the balances of a piece, whose conditions are made ready.
pub(super) fn most<const N: usize>(forms: &Forms<N>, program: &mut Program<N>, objective: &Affine<N>) -> Says<N> {
    match program.largest(objective) {
        Solved::Bounded { multipliers, at } => Says::AtMost(bound(objective, &forms.conditions, &multipliers), at),
        Solved::Impossible { multipliers } if is_contradiction(&forms.conditions, &multipliers) => Says::Nothing,
        Solved::Impossible { .. } => Says::AtMost(objective.range().hi, [0.0; N]),
    }
}

impl<const N: usize> Piece<N> {
    /// A symbol as a form.
    pub(super) fn side(&self, symbol: usize) -> Affine<N> {
        Affine::side(symbol, self.ranges[symbol])
    }

    /// The value of a symbol from where it lies in its range.
    pub(super) fn value(&self, symbol: usize, at: &[f64; N]) -> f64 {
        let range = self.ranges[symbol];
        range.middle() + range.radius() * at[symbol]
    }

    /// Says whether a leg can only be taut or slack; `symbol` is that of its share.
    pub(super) fn decide(&mut self, leg: usize, symbol: usize, length: Interval, unstretched: Interval) {
        if self.legs[leg] == Leg::Open {
            if self.ranges[symbol].lo > 0.0 || length.lo > unstretched.hi {
                self.legs[leg] = Leg::Taut;
            } else if self.ranges[symbol].hi <= 0.0 || length.hi < unstretched.lo {
                self.legs[leg] = Leg::Slack;
            }
        }
        if self.legs[leg] == Leg::Slack {
            self.ranges[symbol] = Interval::ZERO;
        }
    }

    /// The same balances in narrower ranges, with their forms; none if there are none.
    pub(super) fn narrowed(mut self, lift: &impl Balances<N>, rounds: usize) -> Option<Option<(Self, Forms<N>)>> {
        let mut forms = lift.forms(&mut self)?;
        for _ in 0..rounds.min(ROUNDS) {
            let mut gained = false;
            let mut program = forms.program();
            for symbol in (0..lift.margins().len()).chain(lift.told()..forms.columns) {
                let range = self.ranges[symbol];
                let radius = range.radius();
                if !(radius > 0.0) {
                    continue;
                }
                let mut ends = [1.0; 2];
                for (end, sign) in ends.iter_mut().zip([1.0, -1.0]) {
                    let mut objective = Affine::ZERO;
                    objective.slopes[symbol] = sign;
                    match most(&forms, &mut program, &objective) {
                        Says::AtMost(found, _) => *end = found.min(1.0),
                        Says::Nothing => return Some(None),
                    }
                }
                let [upper, lower] = ends;
                let to = Interval::point(range.middle()) + Interval { lo: -lower, hi: upper } * radius;
                let Some(to) = (-lower <= upper).then(|| to.meet(range)).flatten() else { return Some(None) };
                gained |= to.width() < (1.0 - GAIN) * range.width();
                self.ranges[symbol] = to;
            }
            forms = lift.forms(&mut self)?;
            if !gained {
                break;
            }
        }
        Some(Some((self, forms)))
    }

    /// Both parts of a cut.
    pub(super) fn cut(&self, by: Cut) -> [Self; 2] {
        let (mut one, mut other) = (self.clone(), self.clone());
        match by {
            Cut::Leg(leg) => (one.legs[leg], other.legs[leg]) = (Leg::Taut, Leg::Slack),
            Cut::Range(symbol) => {
                let range = self.ranges[symbol];
                let middle = range.middle();
                one.ranges[symbol] = Interval { hi: middle, ..range };
                other.ranges[symbol] = Interval { lo: middle, ..range };
            }
        }
        [one, other]
    }

    /// Ways to cut the piece.
    pub(super) fn cuts(&self, legs: usize) -> impl Iterator<Item = Cut> + '_ {
        let wide = |range: &Interval| range.lo < range.middle() && range.middle() < range.hi;
        let ranges = self.ranges.iter().enumerate();
        let wide = ranges.filter(move |(_, range)| wide(range)).map(|(symbol, _)| Cut::Range(symbol));
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
