//! The largest tension that was found: at vertices, inside the box, and by ascent from the best of both.

use super::bound::{Best, Target};
use super::problem::{Hanging, Problem};
use crate::equilibrium::State;
use crate::equilibrium::sensitivity::BridleDerivatives;
use crate::error::Error;

/// The most sides of a box whose vertices are all visited.
const MOST_SIDES: usize = 12;
/// States inside the box, at first and where a gap is left.
const SAMPLES: usize = 128;
const MORE_SAMPLES: usize = 1024;
/// States inside the box from which an ascent starts where a gap is left.
const STARTS: usize = 3;
/// States after which a climb takes no finer steps.
const MOST_LOOKS: usize = 2000;
/// The most steps of an ascent, and the share of the way at which it gives up.
const STEPS: usize = 40;
const LEAST_STEP: f64 = 1.0e-4;

/// Looks at the vertices and inside the box, and ascends from what is best for each target. Also says the first state that is
/// not stable.
pub(super) fn search(
    problem: &Problem,
    hanging: &mut Hanging,
    targets: &[Target],
) -> Result<(Vec<Best>, Option<Vec<f64>>), Error> {
    let nominal = vec![0.0; problem.sides.len()];
    let mut found = Search { hanging, targets, best: Vec::new(), derivatives: BridleDerivatives::default() };
    let mut not_stable = None;
    found.best = targets.iter().map(|_| Best { value: f64::NEG_INFINITY, at: nominal.clone() }).collect();
    for numbers in std::iter::once(nominal).chain(vertices(problem)).chain(inside(problem, SAMPLES)) {
        if !found.look(&numbers)? && not_stable.is_none() {
            not_stable = Some(numbers);
        }
    }
    for index in 0..targets.len() {
        found.ascend(problem, index)?;
    }
    Ok((found.best, not_stable))
}

/// Looks more closely for one target: at more states inside, and number by number around the best of them and around what was
/// found before. Where legs pass between taut and slack the largest tension lies on an edge, which no derivative leads along.
pub(super) fn search_closely(
    problem: &Problem,
    hanging: &mut Hanging,
    target: Target,
    best: &mut Best,
) -> Result<(), Error> {
    let targets = [target];
    let mut found =
        Search { hanging, targets: &targets, best: vec![best.clone()], derivatives: BridleDerivatives::default() };
    let mut starts: Vec<Best> = vec![best.clone()];
    for numbers in inside(problem, MORE_SAMPLES) {
        found.look(&numbers)?;
        let value = target.of(found.hanging.workspace.tensions());
        if starts.len() <= STARTS || starts.last().is_some_and(|last| value > last.value) {
            starts.truncate(STARTS);
            starts.push(Best { value, at: numbers });
            starts.sort_by(|one, other| other.value.total_cmp(&one.value));
        }
    }
    for start in starts {
        found.best = vec![start];
        found.climb(problem, 0)?;
        if let Some(top) = found.best.first()
            && top.value > best.value
        {
            *best = top.clone();
        }
    }
    Ok(())
}

struct Search<'a, 'b> {
    hanging: &'a mut Hanging<'b>,
    targets: &'a [Target],
    best: Vec<Best>,
    derivatives: BridleDerivatives,
}

impl Search<'_, '_> {
    /// Whether the state is stable; it then counts for every target.
    fn look(&mut self, numbers: &[f64]) -> Result<bool, Error> {
        let Some((State::Stable, _)) = self.hanging.try_at(numbers)? else { return Ok(false) };
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

    /// Changes one number after the other, and each two of them together, up and down, as long as the target rises; by half as
    /// much where none helps. Two together can stay on an edge that one would leave.
    fn climb(&mut self, problem: &Problem, index: usize) -> Result<(), Error> {
        let open: Vec<usize> = (0..problem.sides.len())
            .filter(|number| problem.sides.get(*number).is_some_and(|side| side.lo < side.hi))
            .collect();
        let mut moves: Vec<Vec<(usize, f64)>> = Vec::new();
        for (position, one) in open.iter().enumerate() {
            for sign in [-1.0, 1.0] {
                moves.push(vec![(*one, sign)]);
                for other in open.iter().take(position) {
                    moves.extend([-1.0, 1.0].map(|other_sign| vec![(*one, sign), (*other, other_sign)]));
                }
            }
        }
        let (mut share, mut looks) = (0.25, 0);
        while share > LEAST_STEP && looks < MOST_LOOKS {
            let mut risen = false;
            for step in &moves {
                let Some(Best { mut at, value }) = self.best.get(index).cloned() else { return Ok(()) };
                for (number, sign) in step {
                    if let (Some(slot), Some(side)) = (at.get_mut(*number), problem.sides.get(*number)) {
                        *slot = (*slot + sign * share * side.width()).clamp(side.lo, side.hi);
                    }
                }
                self.look(&at)?;
                looks += 1;
                risen |= self.best.get(index).is_some_and(|best| best.value > value);
            }
            if !risen {
                share *= 0.5;
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

/// All vertices; of a box with too many sides none.
fn vertices<'a>(problem: &'a Problem) -> impl Iterator<Item = Vec<f64>> + 'a {
    let open = problem.sides.iter().filter(|side| side.hi > side.lo).count();
    let count = if open <= MOST_SIDES { 1_usize << open } else { 0 };
    (0..count).map(move |number| {
        let mut bits = number;
        let ends = problem.sides.iter().map(|side| {
            if side.hi <= side.lo {
                return side.lo;
            }
            let end = if bits & 1 == 0 { side.lo } else { side.hi };
            bits >>= 1;
            end
        });
        ends.collect()
    })
}

/// States that fill the box evenly: multiples of the powers of a number whose powers no whole numbers join.
fn inside<'a>(problem: &'a Problem, samples: usize) -> impl Iterator<Item = Vec<f64>> + 'a {
    let open = problem.sides.iter().filter(|side| side.hi > side.lo).count();
    let root = spreading(open);
    (1..=if open == 0 { 0 } else { samples }).map(move |number| {
        let mut power = 1.0;
        let numbers = problem.sides.iter().map(|side| {
            if side.hi <= side.lo {
                return side.lo;
            }
            power /= root;
            side.lo + (0.5 + number as f64 * power).fract() * side.width()
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
