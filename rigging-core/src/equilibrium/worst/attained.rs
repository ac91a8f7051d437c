//! The largest tension that was found: at vertices, inside the box, and by ascent from the best of both.

use super::interval::Interval;
use super::problem::{Hanging, Problem};
use super::target::{Best, Target};
use crate::equilibrium::State;
use crate::equilibrium::sensitivity::BridleDerivatives;
use crate::error::Error;

/// The most sides of a box whose vertices are all visited.
const MOST_SIDES: usize = 12;
/// States inside the box.
pub(super) const SAMPLES: usize = 128;
/// The most steps of an ascent, and the share of the way at which it gives up.
const STEPS: usize = 40;
const LEAST_STEP: f64 = 1.0e-4;

/// What was found.
pub(super) struct Found {
    /// The best of each target.
    pub(super) best: Vec<Best>,
    /// The first state that is not stable.
    pub(super) not_stable: Option<Vec<f64>>,
    /// The least box that holds the hooks of all stable states.
    pub(super) hooks: Vec<Interval>,
}

/// Looks at the vertices and inside the box, and ascends from what is best for each target.
pub(super) fn search(problem: &Problem, hanging: &mut Hanging, targets: &[Target]) -> Result<Found, Error> {
    let nominal = vec![0.0; problem.sides.len()];
    let mut found = Search::new(hanging, targets, Vec::new());
    let mut not_stable = None;
    found.best = targets.iter().map(|_| Best { value: f64::NEG_INFINITY, at: nominal.clone() }).collect();
    let sides = problem.half_sides();
    for numbers in std::iter::once(nominal).chain(vertices(&sides)).chain(spread(&sides, SAMPLES)) {
        if !found.look(&numbers)? && not_stable.is_none() {
            not_stable = Some(numbers);
        }
    }
    for index in 0..targets.len() {
        found.ascend(problem, index)?;
    }
    Ok(Found { best: found.best, not_stable, hooks: found.hooks.to_vec() })
}

struct Search<'a, 'b> {
    hanging: &'a mut Hanging<'b>,
    targets: &'a [Target],
    best: Vec<Best>,
    derivatives: BridleDerivatives,
    hooks: [Interval; 3],
}

impl<'a, 'b> Search<'a, 'b> {
    fn new(hanging: &'a mut Hanging<'b>, targets: &'a [Target], best: Vec<Best>) -> Self {
        let none = Interval { lo: f64::INFINITY, hi: f64::NEG_INFINITY };
        Self { hanging, targets, best, derivatives: BridleDerivatives::default(), hooks: [none; 3] }
    }

    /// Whether the state is stable; it then counts for every target.
    fn look(&mut self, numbers: &[f64]) -> Result<bool, Error> {
        let Some((State::Stable, hook)) = self.hanging.try_at(numbers)? else { return Ok(false) };
        for (side, at) in self.hooks.iter_mut().zip(hook.to_array()) {
            *side = side.hull(Interval::point(at));
        }
        for (best, target) in self.best.iter_mut().zip(self.targets) {
            let value = target.of(self.hanging.workspace.tensions());
            if value > best.value {
                *best = Best { value, at: numbers.to_vec() };
            }
        }
        Ok(true)
    }

    /// Goes toward the vertex to which the derivatives point as long as the target rises, by half the way where it does not.
    fn ascend(&mut self, problem: &Problem, index: usize) -> Result<(), Error> {
        let mut share = 1.0;
        for _ in 0..STEPS {
            let Some(Best { at, value }) = self.best.get(index).cloned() else { return Ok(()) };
            if !self.look(&at)? {
                return Ok(());
            }
            let Some(gradient) = self.gradient(problem, index) else { return Ok(()) };
            let toward = |share: f64| -> Vec<f64> {
                let ends = problem.sides.iter().zip(&gradient).zip(&at).map(|((side, rate), number)| {
                    let end = if *rate > 0.0 {
                        side.hi
                    } else if *rate < 0.0 {
                        side.lo
                    } else {
                        *number
                    };
                    (number + share * (end - number)).clamp(side.lo, side.hi)
                });
                ends.collect()
            };
            loop {
                self.look(&toward(share))?;
                if self.best.get(index).is_some_and(|best| best.value > value) {
                    break;
                }
                share *= 0.5;
                if share < LEAST_STEP {
                    return Ok(());
                }
            }
        }
        Ok(())
    }

    /// Derivative of a target by every number, at the last state.
    fn gradient(&mut self, problem: &Problem, index: usize) -> Option<Vec<f64>> {
        let bridle = self.hanging.bridle();
        bridle.differentiate(&self.hanging.workspace, &mut self.derivatives).ok()?;
        let mut gradient = vec![0.0; problem.sides.len()];
        let target = self.targets.get(index)?;
        let rows = self.derivatives.by_length().zip(self.derivatives.by_stiffness());
        let others = self.derivatives.by_center_of_gravity().iter().zip(self.derivatives.by_weight());
        for (leg, ((length, stiffness), (center, weight))) in rows.zip(others).enumerate() {
            if target.legs >> leg & 1 == 1 {
                // Stiffness and weight count over their own: only the signs of these are used.
                let row = length.iter().chain(stiffness).copied().chain(center.to_array()).chain([*weight]);
                for (sum, rate) in gradient.iter_mut().zip(row) {
                    *sum += rate;
                }
            }
        }
        Some(gradient)
    }
}

/// All vertices of a box, given by half its sides; of one with too many sides none.
pub(super) fn vertices(sides: &[f64]) -> impl Iterator<Item = Vec<f64>> + '_ {
    let open = sides.iter().filter(|side| **side > 0.0).count();
    let count = if open <= MOST_SIDES { 1_usize << open } else { 0 };
    (0..count).map(move |number| {
        let mut bits = number;
        let ends = sides.iter().map(|side| {
            if *side <= 0.0 {
                return 0.0;
            }
            let end = if bits & 1 == 0 { -side } else { *side };
            bits >>= 1;
            end
        });
        ends.collect()
    })
}

/// States that fill a box evenly: multiples of the powers of a number whose powers no whole numbers join.
pub(super) fn spread(sides: &[f64], samples: usize) -> impl Iterator<Item = Vec<f64>> + '_ {
    let open = sides.iter().filter(|side| **side > 0.0).count();
    let root = spreading(open);
    (1..=if open == 0 { 0 } else { samples }).map(move |number| {
        let mut power = 1.0;
        let numbers = sides.iter().map(|side| {
            if *side <= 0.0 {
                return 0.0;
            }
            power /= root;
            side * (2.0 * (0.5 + number as f64 * power).fract() - 1.0)
        });
        numbers.collect()
    })
}

/// The root of xⁿ⁺¹ = x + 1 between 1 and 2.
fn spreading(sides: usize) -> f64 {
    let (mut low, mut high) = (1.0, 2.0);
    for _ in 0..52 {
        let x = 0.5 * (low + high);
        let power: f64 = std::iter::repeat_n(x, sides + 1).product();
        if power > x + 1.0 { high = x } else { low = x }
    }
    low
}
