//! The largest value of a target over the region: branch and bound, with what is attained on the way.

use super::balances::{Balances, Hangs};
use super::interval::Interval;
use super::linear::Solved;
use super::piece::{Cut, Leg, Piece, Says, most};
use super::region::Region;
use super::target::{Best, Target};
use super::{CLOSED, Effort};
use crate::equilibrium::State;
use crate::error::Error;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// Reach of a climb at first, over the region's, and where it ends.
const REACH: f64 = 0.25;
const LEAST_REACH: f64 = 1.0e-6;
/// The most pieces from which a climb starts, and the most steps of it.
const CLIMBS: usize = 8;
const STEPS: usize = 60;
/// The most ranges that are tried for a cut.
const TRIED: usize = 4;
/// So many cuts are all tried.
const FEW: usize = 12;
/// What the sum over both parts of a cut counts beside the larger of them.
const SUM: f64 = 0.3;

/// A piece with a bound of the target on it, and where that is.
struct Bounded<const N: usize> {
    piece: Piece<N>,
    bound: f64,
    place: [f64; N],
}

impl<const N: usize> PartialEq for Bounded<N> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl<const N: usize> Eq for Bounded<N> {}
impl<const N: usize> PartialOrd for Bounded<N> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl<const N: usize> Ord for Bounded<N> {
    fn cmp(&self, other: &Self) -> Ordering {
        self.bound.total_cmp(&other.bound)
    }
}

impl<const N: usize> Region<N> {
    /// Narrows the gap between what was attained and a bound of it until it is within the effort. Returns the bound, and the
    /// number of pieces that were looked at.
    pub(super) fn narrow(
        &self,
        lift: &impl Balances<N>,
        hanging: &mut impl Hangs,
        target: Target,
        best: &mut Best,
        effort: &Effort,
    ) -> Result<(f64, usize), Error> {
        let mut count = self.pieces.len();
        let pieces = self.pieces.iter().map(|piece| self.bounded(lift, piece.clone(), target, f64::INFINITY, 0));
        let mut heap: BinaryHeap<Bounded<N>> = pieces.flatten().collect();
        self.climb(lift, hanging, target, best)?;
        let mut starts: Vec<&Bounded<N>> =
            heap.iter().filter(|piece| piece.bound > best.value * (1.0 + CLOSED)).collect();
        starts.sort_by(|one, other| other.cmp(one));
        for piece in starts.into_iter().take(CLIMBS) {
            let mut start = Best { value: f64::NEG_INFINITY, at: Vec::new() };
            if self.look(lift, hanging, piece, target, &mut start)? {
                self.climb(lift, hanging, target, &mut start)?;
                if start.value > best.value {
                    *best = start;
                }
            }
        }
        while let Some(widest) = heap.pop() {
            self.look(lift, hanging, &widest, target, best)?;
            let end = Ok((widest.bound.max(best.value), count));
            if widest.bound <= best.value * (1.0 + effort.gap.max(CLOSED)) || count >= effort.parts {
                return end;
            }
            let Some(parts) = self.best_cut(lift, &widest, target, best.value) else { return end };
            for part in parts {
                count += 1;
                heap.extend(self.bounded(lift, part.piece, target, part.bound, 1));
            }
        }
        Ok((best.value, count))
    }

    /// The parts of the cut that lowers the bound most.
    fn best_cut(
        &self,
        lift: &impl Balances<N>,
        widest: &Bounded<N>,
        target: Target,
        known: f64,
    ) -> Option<Vec<Bounded<N>>> {
        let mut best: Option<(f64, Vec<Bounded<N>>)> = None;
        for cut in self.promising(lift, &widest.piece, target) {
            let parts = widest.piece.cut(cut).into_iter();
            let parts: Vec<Bounded<N>> =
                parts.filter_map(|part| self.bounded(lift, part, target, widest.bound, 0)).collect();
            let bounds = || parts.iter().map(|part| part.bound.max(known));
            let score = bounds().fold(known, f64::max) + SUM * bounds().sum::<f64>();
            if best.as_ref().is_none_or(|(least, _)| score < *least) {
                best = Some((score, parts));
            }
        }
        best.map(|(_, parts)| parts)
    }

    /// The cuts that are worth a try: legs into taut and slack, and of the ranges those without which what is known of the
    /// target would be known most closely, with the same multipliers.
    fn promising(&self, lift: &impl Balances<N>, piece: &Piece<N>, target: Target) -> Vec<Cut> {
        let mut cuts: Vec<Cut> = piece.cuts(lift.legs()).collect();
        if cuts.len() <= FEW {
            return cuts;
        }
        let mut whole = piece.clone();
        let Some(forms) = lift.forms(&mut whole) else { return cuts };
        let objective = lift.target(&whole, &forms, target);
        let Solved::Bounded { multipliers, .. } = forms.program().largest(&objective) else { return cuts };
        let mut gains: Vec<(f64, Cut)> = Vec::with_capacity(cuts.len());
        cuts.retain(|cut| {
            let Cut::Range(symbol) = *cut else { return true };
            let mut without = piece.clone();
            if let Some(range) = without.ranges.get_mut(symbol) {
                *range = Interval::point(range.middle());
            }
            let rest = lift.forms(&mut without).map(|forms| {
                let objective = lift.target(&without, &forms, target);
                let rests = forms.conditions.iter().zip(&multipliers);
                objective.rest + rests.map(|(condition, y)| condition.form.rest * y.abs()).sum::<f64>()
            });
            gains.push((rest.unwrap_or(f64::NEG_INFINITY), *cut));
            false
        });
        gains.sort_by(|one, other| one.0.total_cmp(&other.0));
        cuts.extend(gains.into_iter().take(TRIED).map(|(_, cut)| cut));
        cuts
    }

    /// A piece with its bound, after it was made narrower; none if it holds no balance.
    fn bounded(
        &self,
        lift: &impl Balances<N>,
        piece: Piece<N>,
        target: Target,
        known: f64,
        rounds: usize,
    ) -> Option<Bounded<N>> {
        let (piece, forms) = match piece.clone().narrowed(lift, rounds) {
            Some(found) => found?,
            None => return Some(Bounded { piece, bound: known, place: [0.0; N] }),
        };
        match most(&forms, &mut forms.program(), &lift.target(&piece, &forms, target)) {
            Says::AtMost(bound, place) => Some(Bounded { piece, bound: bound.min(known), place }),
            Says::Nothing => None,
        }
    }

    /// Hangs the load with numbers near those at which a bound is. Says whether that is better than what was known.
    fn look(
        &self,
        lift: &impl Balances<N>,
        hanging: &mut impl Hangs,
        bounded: &Bounded<N>,
        target: Target,
        best: &mut Best,
    ) -> Result<bool, Error> {
        let numbers = lift.near(&bounded.piece, &bounded.place);
        let Some((State::Stable, _)) = hanging.hang(&numbers)? else { return Ok(false) };
        let value = hanging.value(target);
        let better = value > best.value;
        if better {
            *best = Best { value, at: numbers };
        }
        Ok(better)
    }

    /// Goes from the best that is known to where the target is largest in a small box around its place, as long as it rises; in
    /// a smaller one where it does not. Edges, where a leg is about to go slack, are followed as well.
    fn climb(
        &self,
        lift: &impl Balances<N>,
        hanging: &mut impl Hangs,
        target: Target,
        best: &mut Best,
    ) -> Result<(), Error> {
        let whole = self.places(lift);
        let mut reach = REACH;
        for _ in 0..STEPS {
            if reach < LEAST_REACH {
                break;
            }
            let Some((State::Stable, place)) = hanging.hang(&best.at)? else { return Ok(()) };
            let around = whole.iter().zip(place).map(|(side, at)| {
                let radius = reach * side.width();
                Interval { lo: at - radius, hi: at + radius }
            });
            let Some(open) = lift.all(&around.collect::<Vec<_>>()) else { return Ok(()) };
            // With the legs that are slack kept so, the way leads along an edge; else across.
            let mut same = open.clone();
            let taut = hanging.taut();
            for (leg, state) in same.legs.iter_mut().enumerate() {
                *state = if taut >> leg & 1 == 1 { Leg::Taut } else { Leg::Slack };
            }
            let mut risen = false;
            for piece in [same, open] {
                if let Some(bounded) = self.bounded(lift, piece, target, f64::INFINITY, 1) {
                    risen = risen || self.look(lift, hanging, &bounded, target, best)?;
                }
            }
            if !risen {
                reach *= 0.5;
            }
        }
        Ok(())
    }
}
