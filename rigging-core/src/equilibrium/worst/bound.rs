//! The largest tension over the box: branch and bound.

use super::affine::Affine;
use super::cover::{Part, halves};
use super::interval::Interval;
use super::problem::{Hanging, Problem};
use super::section::{Base, Section};
use super::{CLOSED, Effort};
use crate::equilibrium::State;
use crate::error::Error;
use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::rc::Rc;

/// Parts that may be looked at beyond what the gap asks for: often a few close it.
const FREE: usize = 8;

/// A sum of tensions: one leg, or all that meet at one point and hook.
#[derive(Debug, Clone, Copy)]
pub(super) struct Target {
    /// One bit for each leg.
    pub(super) legs: u32,
}

impl Target {
    /// The sum over the legs of the target.
    fn ranges(self, tensions: &[Interval]) -> Interval {
        let legs = tensions.iter().enumerate().filter(|(leg, _)| self.legs >> leg & 1 == 1);
        legs.map(|(_, tension)| *tension).reduce(|sum, tension| sum + tension).unwrap_or(Interval::ZERO)
    }

    /// The same of forms.
    fn sum(self, tensions: &[Affine]) -> Affine {
        let legs = tensions.iter().enumerate().filter(|(leg, _)| self.legs >> leg & 1 == 1);
        legs.map(|(_, tension)| *tension).reduce(|sum, tension| sum + tension).unwrap_or(Affine::ZERO)
    }

    /// The same of what hangs in a workspace.
    pub(super) fn of(self, tensions: impl Iterator<Item = f64>) -> f64 {
        tensions.enumerate().filter(|(leg, _)| self.legs >> leg & 1 == 1).map(|(_, tension)| tension).sum()
    }
}

/// The largest value that was attained, and where.
#[derive(Debug, Clone)]
pub(super) struct Best {
    pub(super) value: f64,
    pub(super) at: Vec<f64>,
}

/// A part with a bound of the target on it.
struct Bounded {
    part: Part,
    bound: f64,
    /// Derivative of the target by each number, over all sets of taut legs; empty as long as only the zone was looked at.
    rates: Vec<Interval>,
    /// What each number adds to the bound beyond what is attained.
    excess: Vec<f64>,
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

/// Narrows the gap between what was attained and a bound of it until it is within the effort. Returns the bound, and the
/// number of parts that were looked at.
pub(super) fn narrow(
    problem: &Problem,
    hanging: &mut Hanging,
    parts: &[Part],
    target: Target,
    best: &mut Best,
    effort: &Effort,
) -> Result<(f64, usize), Error> {
    let mut heap = BinaryHeap::new();
    let mut count = parts.len();
    for part in parts {
        heap.push(glanced(part.clone(), target, f64::INFINITY));
    }
    while let Some(widest) = heap.pop() {
        let within = |gap: f64| widest.bound <= best.value * (1.0 + gap);
        let enough = within(CLOSED) || within(effort.gap) && count >= parts.len() + FREE;
        if enough || count >= effort.parts {
            return Ok((widest.bound.max(best.value), count));
        }
        if widest.rates.is_empty() {
            heap.push(bounded(problem, hanging, widest.part, target, best, widest.bound)?);
            continue;
        }
        for sides in narrower(&widest) {
            let part = restricted(problem, hanging, &widest.part, sides)?;
            count += 1;
            heap.push(glanced(part, target, widest.bound));
        }
    }
    Ok((best.value, count))
}

/// A part with the bound that its zone shows at once.
fn glanced(part: Part, target: Target, known: f64) -> Bounded {
    let bound = target.ranges(&part.section.at(&part.sides).tension_ranges).hi.min(known);
    Bounded { part, bound, rates: Vec::new(), excess: Vec::new() }
}

/// The part with every number at its end that the target only ever rises toward; where there is none, its two halves.
fn narrower(widest: &Bounded) -> Vec<Vec<Interval>> {
    let sides = &widest.part.sides;
    let mut ended = sides.clone();
    for (side, rate) in ended.iter_mut().zip(&widest.rates) {
        if rate.lo >= 0.0 {
            *side = Interval::point(side.hi);
        } else if rate.hi <= 0.0 {
            *side = Interval::point(side.lo);
        }
    }
    if ended != *sides {
        return vec![ended];
    }
    let score = |index: usize| {
        let width = sides.get(index).map_or(0.0, |side| side.width());
        let rates = widest.rates.get(index).map_or(0.0, |rate| rate.width());
        width * rates + widest.excess.get(index).copied().unwrap_or(0.0)
    };
    let longest = (0..sides.len()).max_by(|one, other| score(*one).total_cmp(&score(*other)));
    halves(sides, longest.unwrap_or(0)).to_vec()
}

/// A part of a part, with a section of its own about its middle; with the wider section where that cannot be proven.
fn restricted(problem: &Problem, hanging: &mut Hanging, from: &Part, sides: Vec<Interval>) -> Result<Part, Error> {
    let middle: Vec<f64> = sides.iter().map(|side| side.middle()).collect();
    let hung = hanging.try_at(&middle)?;
    let own = || {
        let Some((State::Stable, hook)) = hung else { return None };
        let base = Base::new(problem, &middle, hook)?;
        from.section.settled(problem, &base)?;
        Section::within(problem, &from.section.at(&sides), base, &sides)
    };
    let section = own().map_or_else(|| Rc::clone(&from.section), Rc::new);
    Ok(Part { sides, section })
}

/// Bounds the target on a part. From one point of it the target can rise by no more than its derivatives allow; the point
/// is that end of each number toward which the target rises, or its middle where that is not clear.
fn bounded(
    problem: &Problem,
    hanging: &mut Hanging,
    part: Part,
    target: Target,
    best: &mut Best,
    known: f64,
) -> Result<Bounded, Error> {
    let rates_of = |index: usize| {
        part.section
            .family
            .iter()
            .filter_map(move |response| response.get(index))
            .map(|rates| target.sum(&rates.tensions).range())
    };
    let rates: Vec<Interval> =
        (0..part.sides.len()).map(|index| rates_of(index).reduce(Interval::hull).unwrap_or(Interval::ZERO)).collect();
    let from: Vec<f64> = part.sides.iter().zip(&rates).map(|(side, rate)| start(*side, *rate)).collect();
    let base = match hanging.try_at(&from)? {
        Some((State::Stable, hook)) => Base::new(problem, &from, hook),
        _ => None,
    };
    let settled = base.and_then(|base| part.section.settled(problem, &base));
    let point: Vec<Interval> = from.iter().map(|number| Interval::point(*number)).collect();
    let here = match &settled {
        Some(zone) => {
            let value = target.of(hanging.workspace.tensions());
            if value > best.value {
                *best = Best { value, at: from.clone() };
            }
            target.ranges(&zone.tension_ranges)
        }
        None => target.ranges(&part.section.at(&point).tension_ranges),
    };
    let steps: Vec<Interval> =
        part.sides.iter().zip(&from).map(|(side, number)| *side - Interval::point(*number)).collect();
    let rise = part.section.family.iter().map(|response| {
        let rises = response.iter().zip(&steps).filter(|(_, step)| **step != Interval::ZERO);
        let rises = rises.map(|(rates, step)| (target.sum(&rates.tensions).range() * *step).positive_part());
        rises.fold(Interval::ZERO, |sum, rise| sum + Interval { lo: 0.0, hi: rise.hi }).hi
    });
    let rise = rise.fold(0.0, f64::max);
    let bound = (here.hi + rise).next_up().min(known);
    let excess = rates.iter().zip(&steps).map(|(rate, step)| (*rate * *step).hi.max(0.0)).collect();
    Ok(Bounded { part, bound, rates, excess })
}

/// Where in a side to start from so that the rise to elsewhere is bounded least.
fn start(side: Interval, rate: Interval) -> f64 {
    let (up, down) = (rate.hi.max(0.0), (-rate.lo).max(0.0));
    // From the upper end the target can rise on the way down only, and so on.
    let (upper, lower, middle) = (2.0 * down, 2.0 * up, up.max(down));
    if upper <= lower.min(middle) {
        side.hi
    } else if lower <= middle {
        side.lo
    } else {
        side.middle()
    }
}
