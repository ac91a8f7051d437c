//! The balance of a box of numbers as one continuous function of them, and bounds of it.
//!
//! The base is a balance in the box. From it the balance is continued along straight ways: as long as it stays within a zone
//! over which every response is regular, its change is the integral of responses. If what this can reach lies within the zone,
//! the continuation cannot leave it, and ends nowhere before the end of the way.

use super::affine::Affine;
use super::family::{Residual, Response, Sets, contributions, family};
use super::interval::Interval;
use super::law;
use super::problem::{MOST_LEGS, Problem};
use super::zone::{Geometry, Leg, Zone};
use glam::DVec3;

/// How much a zone that was tried and proved too small is widened, over its width.
const WIDER: f64 = 0.05;
/// The most force that may be left over in a base, over the weight; far below what [`cannot_carry`] needs for a proof.
///
/// [`cannot_carry`]: super::cone::cannot_carry
pub(super) const LEFT_OVER: f64 = 1.0e-8;
/// Bounds the rounding of a sum of a few dozen products, over the sum of their sizes.
const ROUNDING: f64 = 64.0 * f64::EPSILON;
/// How often a zone is tried.
const TRIES: usize = 5;

/// A point near a balance: the hook, what each leg does there, and the force that is left over.
#[derive(Debug, Clone)]
pub(super) struct Base {
    pub(super) numbers: Vec<f64>,
    pub(super) zone: Zone,
    pub(super) residual: Residual,
}

impl Base {
    /// What the legs do with the hook in a place, and what is left of the weight. None if that is too much.
    pub(super) fn new(problem: &Problem, numbers: &[f64], hook: DVec3) -> Option<Self> {
        let sides: Vec<Interval> = numbers.iter().map(|number| Interval::point(*number)).collect();
        let none = [Affine::ZERO; MOST_LEGS];
        let mut zone = Zone::of(hook.to_array().map(Affine::point), none, none);
        let geometry = Geometry::of(problem, &zone, &sides)?;
        let mut residual = geometry.up.map(|component| -(component * geometry.weight));
        let laws = problem.bridle.laws().iter().zip(&geometry.stretches).zip(&geometry.directions);
        for (leg, (((rule, stretch), direction), (tension, elongation))) in
            laws.zip(zone.tensions.iter_mut().zip(&mut zone.elongations)).enumerate()
        {
            let strain = *stretch - Affine::point(1.0);
            *elongation = strain * problem.length(leg, &sides);
            let force = law::tension(rule, strain.range());
            *tension = Affine::of(force) * problem.stiffness(leg, &sides);
            for (sum, component) in residual.iter_mut().zip(direction) {
                *sum = *sum + *tension * *component;
            }
        }
        let zone = Zone::of(zone.hook, zone.tensions, zone.elongations);
        let residual = residual.map(|force| force.range());
        let little = LEFT_OVER * problem.bridle.weight();
        residual.iter().all(|force| force.magnitude() < little).then(|| Self {
            numbers: numbers.to_vec(),
            zone,
            residual,
        })
    }

    fn sides(&self) -> Vec<Interval> {
        self.numbers.iter().map(|number| Interval::point(*number)).collect()
    }

    /// Everything within reach of the base by one of the responses. `from` is the box of the responses, of which the base is
    /// the middle, `sides` a part of it.
    fn reach(&self, family: &[Response], from: &[Interval], sides: &[Interval]) -> Zone {
        let way = Way::new(&self.numbers, from, sides, family.len() == 1);
        let reached = family.iter().map(|response| {
            let count = self.zone.hook.len() + 2 * MOST_LEGS;
            let change = (0..count).map(|index| way.change(response, index));
            self.zone.clone().moved(change)
        });
        reached.reduce(|one, other| one.joined(&other)).unwrap_or_else(|| self.zone.clone())
    }

    /// A neighborhood in which there is exactly one balance; none if that is not proven.
    pub(super) fn neighborhood(&self, problem: &Problem) -> Option<Zone> {
        let weight = problem.bridle.weight();
        let zone = self.zone.clone().widened(0.0, 1.0e3 * reach_of(problem), 1.0e3 * weight);
        let sides = self.sides();
        let family = family(problem, &zone, &sides, &self.residual, Sets::Differences)?;
        self.reach(&family, &sides, &sides).is_interior_to(&zone).then_some(zone)
    }

    /// Whether its numbers lie in a box.
    pub(super) fn lies_in(&self, sides: &[Interval]) -> bool {
        self.numbers.iter().zip(sides).all(|(number, side)| side.contains(*number))
    }
}

/// A straight way from the base to each point of a part of the box.
struct Way {
    steps: Vec<Step>,
    /// Whether one set of taut legs is the only one on it.
    alone: bool,
}

/// The change of one number along the way, and the same as a share of half a side of the box of the responses: middle and
/// slope.
struct Step {
    number: usize,
    change: Affine,
    share: [f64; 2],
}

impl Way {
    fn new(base: &[f64], from: &[Interval], sides: &[Interval], alone: bool) -> Self {
        let steps = from.iter().zip(sides).zip(base).enumerate().filter(|(_, ((from, _), _))| from.lo < from.hi);
        let steps = steps.map(|(number, ((from, side), base))| {
            let change = Affine::side(number, *side) - Affine::point(*base);
            let slope = change.slopes.get(number).copied().unwrap_or(0.0);
            Step { number, change, share: [change.middle, slope].map(|part| part / from.radius()) }
        });
        Self { steps: steps.collect(), alone }
    }

    /// Change of one of the forms along the way: the integral of its rates. On the way every share grows evenly from zero to
    /// what it is at the end, so that what a rate has with it counts by half, as long as the set of taut legs is one; where it
    /// may change on the way, by anything from nothing to all. The residual goes from all to nothing.
    fn change(&self, response: &Response, form: usize) -> Affine {
        let Some(residual) = response.last().and_then(|rates| rates.forms().nth(form)) else { return Affine::ZERO };
        let mut sum = *residual * Affine::of(Interval { lo: 0.0, hi: 1.0 });
        for step in &self.steps {
            let Some(rate) = response.get(step.number).and_then(|rates| rates.forms().nth(form)) else { continue };
            if rate.is_zero() {
                continue;
            }
            let mut mean = Affine::point(rate.middle);
            let mut sizes = rate.middle.abs();
            let mut rest = rate.rest;
            for other in &self.steps {
                let slope = 0.5 * rate.slopes.get(other.number).copied().unwrap_or(0.0);
                let [middle, share] = other.share;
                mean.middle += slope * middle;
                if let Some(slot) = mean.slopes.get_mut(other.number) {
                    *slot = slope * share;
                }
                let size = slope.abs() * (middle.abs() + share.abs());
                sizes += size;
                if !self.alone {
                    rest += size;
                }
            }
            let mean = mean.with_rest(rest + ROUNDING * sizes);
            sum = sum + mean.times_single(step.number, &step.change);
        }
        sum
    }
}

/// The length in proportion to which a hook is off by rounding.
fn reach_of(problem: &Problem) -> f64 {
    problem.bridle.lengths().iter().fold(0.0, |most: f64, length| most.max(*length))
}

/// The balance over a box.
#[derive(Debug)]
pub(super) struct Section {
    pub(super) base: Base,
    pub(super) sides: Vec<Interval>,
    pub(super) zone: Zone,
    pub(super) family: Vec<Response>,
}

impl Section {
    /// The balance of a box continued from the base; none if that is not proven.
    pub(super) fn enclose(problem: &Problem, base: Base, sides: &[Interval]) -> Option<Self> {
        let (length, weight) = (reach_of(problem), problem.bridle.weight());
        let small = base.zone.clone().widened(0.0, length, weight);
        let first = family(problem, &small, sides, &base.residual, Sets::Balances)?;
        let mut zone = base.reach(&first, sides, sides).widened(WIDER, length, weight);
        for _ in 0..TRIES {
            let family = family(problem, &zone, sides, &base.residual, Sets::Balances)?;
            let reached = base.reach(&family, sides, sides);
            if reached.is_interior_to(&zone) {
                return Some(Self { base, sides: sides.to_vec(), zone: reached, family });
            }
            zone = reached.widened(2.0 * WIDER, length, weight);
        }
        None
    }

    /// Whether no numbers of the box have a second balance within the zone. That is plain where no leg may pass between taut
    /// and slack.
    pub(super) fn is_only(&self, problem: &Problem) -> bool {
        self.family.len() == 1
            || family(problem, &self.zone, &self.sides, &self.base.residual, Sets::Differences).is_some()
    }

    /// The number of a box that most keeps its balance from being enclosed: where legs may pass between taut and slack, the
    /// one on which tensions depend most; else the one on which the equations do.
    pub(super) fn hindrance(problem: &Problem, base: &Base, sides: &[Interval]) -> Option<usize> {
        let zone = base.zone.clone().widened(0.0, reach_of(problem), problem.bridle.weight());
        let first = family(problem, &zone, sides, &base.residual, Sets::Balances)?;
        let reached = base.reach(&first, sides, sides);
        let may_pass = (0..problem.legs()).any(|leg| reached.leg(leg) == Leg::Open);
        let contributions = if may_pass {
            let change = |index: usize| {
                let forms = reached.tensions.iter().filter_map(|form| form.slopes.get(index));
                (index, forms.fold(0.0, |most: f64, slope| most.max(slope.abs())))
            };
            (0..sides.len()).map(change).collect()
        } else {
            contributions(problem, &reached, sides)?
        };
        let cut = contributions.into_iter().filter(|(index, _)| {
            sides.get(*index).is_some_and(|side| side.lo < side.middle() && side.middle() < side.hi)
        });
        cut.max_by(|one, other| one.1.total_cmp(&other.1)).map(|(index, _)| index)
    }

    /// The same with tighter bounds, now that the balance is known to lie within the zone.
    pub(super) fn tightened(self, problem: &Problem, sides: &[Interval]) -> Self {
        match Self::within(problem, &self.zone, self.base.clone(), sides) {
            Some(tighter) => tighter,
            None => self,
        }
    }

    /// The section of a box on which the balance is known already to lie within a zone; the base must be near one of them.
    pub(super) fn within(problem: &Problem, zone: &Zone, base: Base, sides: &[Interval]) -> Option<Self> {
        let family = family(problem, zone, sides, &base.residual, Sets::Balances)?;
        let zone = base.reach(&family, sides, sides).narrowed(zone);
        Some(Self { base, sides: sides.to_vec(), zone, family })
    }

    /// Bounds of the balance for numbers of a part of the box.
    pub(super) fn at(&self, sides: &[Interval]) -> Zone {
        self.base.reach(&self.family, &self.sides, sides).narrowed(&self.zone)
    }

    /// Whether the balance of the section at the numbers of a base is the one in its neighborhood.
    pub(super) fn passes(&self, problem: &Problem, base: &Base, neighborhood: &Zone) -> bool {
        self.settled(problem, base).is_some_and(|zone| zone.is_interior_to(neighborhood))
    }

    /// The balance of the section at the numbers of a base near it, closely enclosed; none unless it is proven that there is
    /// no other between.
    pub(super) fn settled(&self, problem: &Problem, base: &Base) -> Option<Zone> {
        let sides = base.sides();
        let zone = self.at(&sides).hull(&base.zone);
        let family = family(problem, &zone, &sides, &base.residual, Sets::Differences)?;
        Some(base.reach(&family, &sides, &sides))
    }
}
