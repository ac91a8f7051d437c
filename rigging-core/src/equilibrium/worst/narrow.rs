//! The largest value of a target over the region: branch and bound, with what is attained on the way.

use super::conditions::{Leg, Piece, SYMBOLS};
use super::interval::Interval;
use super::near::numbers_near;
use super::piece::{Says, most};
use super::problem::{Hanging, Problem};
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
/// Tension over the weight below which a leg counts as slack in a climb.
const SLACK: f64 = 1.0e-6;
/// The most steps of a climb.
const STEPS: usize = 60;
/// What the sum over both parts of a cut counts beside the larger of them.
const SUM: f64 = 0.3;

/// A piece with a bound of the target on it, and where that is.
struct Bounded {
    piece: Piece,
    bound: f64,
    place: [f64; SYMBOLS],
}

impl PartialEq for Bounded {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Bounded {}
impl PartialOrd for Bounded {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Bounded {
    fn cmp(&self, other: &Self) -> Ordering {
        self.bound.total_cmp(&other.bound)
    }
}

impl Region {
    /// Narrows the gap between what was attained and a bound of it until it is within the effort. Returns the bound, and the
    /// number of pieces that were looked at.
    pub(super) fn narrow(
        &self,
        problem: &Problem,
        hanging: &mut Hanging,
        target: Target,
        best: &mut Best,
        effort: &Effort,
    ) -> Result<(f64, usize), Error> {
        let mut count = self.pieces.len();
        let pieces = self.pieces.iter().map(|piece| self.bounded(problem, piece.clone(), target, f64::INFINITY, 0));
        let mut heap: BinaryHeap<Bounded> = pieces.flatten().collect();
        self.climb(problem, hanging, target, best)?;
        for piece in heap.iter().filter(|piece| piece.bound > best.value * (1.0 + CLOSED)).collect::<Vec<_>>() {
            let mut start = Best { value: f64::NEG_INFINITY, at: Vec::new() };
            if self.look(problem, hanging, piece, target, &mut start)? {
                self.climb(problem, hanging, target, &mut start)?;
                if start.value > best.value {
                    *best = start;
                }
            }
        }
        while let Some(widest) = heap.pop() {
            self.look(problem, hanging, &widest, target, best)?;
            let end = Ok((widest.bound.max(best.value), count));
            if widest.bound <= best.value * (1.0 + effort.gap.max(CLOSED)) || count >= effort.parts {
                return end;
            }
            let Some(parts) = self.best_cut(problem, &widest, target, best.value) else { return end };
            for part in parts {
                count += 1;
                heap.extend(self.bounded(problem, part.piece, target, part.bound, 1));
            }
        }
        Ok((best.value, count))
    }

    /// The parts of the cut that lowers the bound most. All are tried.
    fn best_cut(&self, problem: &Problem, widest: &Bounded, target: Target, known: f64) -> Option<Vec<Bounded>> {
        let mut best: Option<(f64, Vec<Bounded>)> = None;
        for cut in widest.piece.cuts(problem.legs()) {
            let parts = widest.piece.cut(cut).into_iter();
            let parts: Vec<Bounded> =
                parts.filter_map(|part| self.bounded(problem, part, target, widest.bound, 0)).collect();
            let bounds = || parts.iter().map(|part| part.bound.max(known));
            let score = bounds().fold(known, f64::max) + SUM * bounds().sum::<f64>();
            if best.as_ref().is_none_or(|(least, _)| score < *least) {
                best = Some((score, parts));
            }
        }
        best.map(|(_, parts)| parts)
    }

    /// A piece with its bound, after it was made narrower; none if it holds no balance.
    fn bounded(&self, problem: &Problem, piece: Piece, target: Target, known: f64, rounds: usize) -> Option<Bounded> {
        let (piece, forms) = match piece.clone().narrowed(problem, &self.numbers, rounds) {
            Some(found) => found?,
            None => return Some(Bounded { piece, bound: known, place: [0.0; SYMBOLS] }),
        };
        match most(&forms, &forms.target(target)) {
            Says::AtMost(bound, place) => Some(Bounded { piece, bound: bound.min(known), place }),
            Says::Nothing => None,
        }
    }

    /// Hangs the load with numbers near those at which a bound is. Says whether that is better than what was known.
    fn look(
        &self,
        problem: &Problem,
        hanging: &mut Hanging,
        bounded: &Bounded,
        target: Target,
        best: &mut Best,
    ) -> Result<bool, Error> {
        let numbers = numbers_near(problem, &bounded.piece, &bounded.place);
        let Some((State::Stable, _)) = hanging.try_at(&numbers)? else { return Ok(false) };
        let value = target.of(hanging.workspace.tensions());
        let better = value > best.value;
        if better {
            *best = Best { value, at: numbers };
        }
        Ok(better)
    }

    /// Goes from the best that is known to where the target is largest in a small box around its hook, as long as it rises; in
    /// a smaller one where it does not. Edges, where a leg is about to go slack, are followed as well.
    fn climb(&self, problem: &Problem, hanging: &mut Hanging, target: Target, best: &mut Best) -> Result<(), Error> {
        let whole = self.hooks();
        let mut reach = REACH;
        for _ in 0..STEPS {
            if reach < LEAST_REACH {
                break;
            }
            let Some((State::Stable, hook)) = hanging.try_at(&best.at)? else { return Ok(()) };
            let mut around = whole;
            for (side, at) in around.iter_mut().zip(hook.to_array()) {
                let radius = reach * side.width();
                *side = Interval { lo: at - radius, hi: at + radius };
            }
            let Some(open) = Piece::all(problem, &self.numbers, around) else { return Ok(()) };
            // With the legs that are slack kept so, the way leads along an edge; else across.
            let mut same = open.clone();
            let taut = SLACK * problem.bridle.weight();
            for (leg, tension) in same.legs.iter_mut().zip(hanging.workspace.tensions()) {
                *leg = if tension > taut { Leg::Taut } else { Leg::Slack };
            }
            let mut risen = false;
            for piece in [same, open] {
                if let Some(bounded) = self.bounded(problem, piece, target, f64::INFINITY, 1) {
                    risen = risen || self.look(problem, hanging, &bounded, target, best)?;
                }
            }
            if !risen {
                reach *= 0.5;
            }
        }
        Ok(())
    }
}
