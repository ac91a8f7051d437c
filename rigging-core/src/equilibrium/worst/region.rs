//! Where the hook is, whatever the numbers: pieces that hold every balance of the branch.
#![expect(clippy::indexing_slicing, reason = "every index is below three")]

use super::Effort;
use super::conditions::{Forms, Numbers, Piece, SYMBOLS};
use super::interval::Interval;
use super::near::numbers_near;
use super::piece::{Cut, Says, most};
use super::problem::Problem;
use super::stable::is_stable;
use glam::DVec3;

/// How far beyond the hooks that were found a region reaches, over their spread, and over the longest leg.
const BEYOND: f64 = 0.25;
const MARGIN: f64 = 2.0e-3;
/// How often a region is tried, each time twice as far beyond, and how often a piece is made narrower.
const TRIES: u32 = 3;
const ROUNDS: usize = 4;

/// Every balance of the branch lies in one of the pieces.
pub(super) struct Region {
    pub(super) numbers: Numbers,
    pub(super) pieces: Vec<Piece>,
    /// Pieces that were looked at.
    pub(super) count: usize,
}

impl Region {
    /// The region around hooks that were found, given by the box of them, of which `nominal` is that of the nominal state; or
    /// numbers near which that could not be proven.
    pub(super) fn enclose(
        problem: &Problem,
        nominal: DVec3,
        found: &[Interval; 3],
        effort: &Effort,
    ) -> Result<Self, Vec<f64>> {
        let mut stopped = vec![0.0; problem.sides.len()];
        let Some(numbers) = Numbers::of(problem, nominal) else { return Err(stopped) };
        let nominal = nominal.to_array().map(Interval::point);
        let longest = numbers.lengths.iter().fold(0.0, |most: f64, length| most.max(length.hi));
        let mut count = 0;
        for attempt in 0..TRIES {
            let hook: [Interval; 3] = std::array::from_fn(|axis| {
                let side = found[axis].hull(nominal[axis]);
                let by = f64::from(1 << attempt) * (BEYOND * side.width() + MARGIN * longest);
                Interval { lo: side.lo - by, hi: side.hi + by }
            });
            // The first tries leave something of the effort to the last.
            let most = effort.parts >> (TRIES - 1 - attempt);
            match pieces_of(problem, &numbers, &hook, most, &mut count) {
                Ok(pieces) if within(&nominal, &hook) => return Ok(Self { numbers, pieces, count }),
                Ok(_) => {}
                Err(at) => stopped = at,
            }
        }
        Err(stopped)
    }
}

impl Region {
    /// The box of all hooks of the pieces.
    pub(super) fn hooks(&self) -> [Interval; 3] {
        let hooks = self.pieces.iter().map(|piece| piece.hook);
        let hull = hooks.reduce(|one, other| std::array::from_fn(|axis| one[axis].hull(other[axis])));
        hull.unwrap_or([Interval::ZERO; 3])
    }
}

fn within(inner: &[Interval; 3], outer: &[Interval; 3]) -> bool {
    inner.iter().zip(outer).all(|(inner, outer)| outer.lo < inner.lo && inner.hi < outer.hi)
}

/// Pieces that hold every balance with its hook in a box, all of them stable and away from its border; else numbers near which
/// that could not be proven with `most` pieces.
fn pieces_of(
    problem: &Problem,
    numbers: &Numbers,
    hook: &[Interval; 3],
    most_pieces: usize,
    count: &mut usize,
) -> Result<Vec<Piece>, Vec<f64>> {
    let nominal = || vec![0.0; problem.sides.len()];
    let mut tasks = vec![Piece::all(problem, numbers, *hook).ok_or_else(nominal)?];
    let (mut done, mut looked) = (Vec::new(), 0);
    while let Some(task) = tasks.pop() {
        (looked, *count) = (looked + 1, *count + 1);
        let Some((piece, forms)) = task.narrowed(problem, numbers, ROUNDS).ok_or_else(nominal)? else { continue };
        if within(&piece.hook, hook) && is_safe(problem, numbers, &piece, &forms) {
            done.push(piece);
            continue;
        }
        if looked >= most_pieces {
            return Err(numbers_near(problem, &piece, &[0.0; SYMBOLS]));
        }
        let widest = (0..3).max_by(|one, other| piece.hook[*one].width().total_cmp(&piece.hook[*other].width()));
        let cut = piece.open(problem.legs()).next().map_or(Cut::Range(widest.unwrap_or(0)), Cut::Leg);
        tasks.extend(piece.cut(cut));
    }
    Ok(done)
}

/// Whether every balance of a piece is stable, or there is none.
fn is_safe(problem: &Problem, numbers: &Numbers, piece: &Piece, forms: &Forms) -> bool {
    match most(forms, &-forms.surplus()) {
        Says::AtMost(found, _) => is_stable(problem, numbers, piece, forms, -found),
        Says::Nothing => true,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::affine::Affine;
    use super::super::attained;
    use super::super::conditions::{CENTER, Kind, SHARES, WEIGHT};
    use super::super::problem::{Hanging, Tolerances};
    use super::super::target::Target;
    use super::*;
    use crate::equilibrium::bridle::Bridle;
    use crate::system::Law;

    fn noise(seed: u64) -> f64 {
        let mut z = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15);
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }

    /// States drawn from a box, legs going slack in some: each lies in a piece of the region, keeps every condition over it, and
    /// has no more than the form of a target says.
    #[test]
    fn every_state_that_hangs_keeps_all_conditions() {
        let points = [[2.0, 1.2], [2.0, -1.2], [-2.0, -1.2], [-2.0, 1.2]].map(|[x, y]| DVec3::new(x, y, 0.0));
        let laws = [
            Law::linear(6.0e6).unwrap(),
            Law::polynomial(vec![4.0e6, 3.0e8]).unwrap(),
            Law::piecewise_linear(vec![[0.002, 1.2e4], [0.01, 6.8e4]]).unwrap(),
        ];
        let (mut drawn, mut slack) = (0, 0);
        for law in laws {
            let center = DVec3::new(0.2, -0.1, -0.5);
            let bridle = Bridle::new(points.to_vec(), vec![5.0; 4], vec![law; 4], center, 8.0e4).unwrap();
            let tolerances = Tolerances {
                lengths: vec![0.02; 4],
                stiffness: vec![0.1; 4],
                center_of_gravity: [0.1, 0.05, 0.1],
                weight: 0.05,
                hook_heights: vec![0.1],
            };
            let problem = Problem::new(&bridle, &tolerances).unwrap();
            let mut hanging = Hanging::new(&problem).unwrap();
            let nominal = hanging.nominal().hook;
            let targets = [Target { legs: 0b1 }, Target { legs: 0b110 }];
            let found = attained::search(&problem, &mut hanging, &targets).unwrap();
            let mut region =
                Region::enclose(&problem, nominal, &found.hooks, &Effort::default()).map_err(drop).unwrap();
            for draw in 0..2000 {
                let number = |index: usize| {
                    let share = noise(64 * draw + index as u64);
                    if noise(64 * draw + index as u64 + 32) < 0.0 { share.signum() } else { share }
                };
                let numbers: Vec<f64> =
                    problem.sides.iter().enumerate().map(|(index, side)| side.hi * number(index)).collect();
                let (_, hook) = hanging.at(&numbers).unwrap();
                let tensions: Vec<f64> = hanging.workspace.tensions().collect();
                let center = DVec3::new(numbers[8], numbers[9], numbers[10]);
                let weight = 8.0e4 * (1.0 + numbers[11]);
                let height = (hook - center).length();
                let mut symbols = [0.0; SYMBOLS];
                symbols[..CENTER].copy_from_slice(&hook.to_array());
                symbols[CENTER..WEIGHT].copy_from_slice(&center.to_array());
                symbols[WEIGHT] = weight;
                for (leg, tension) in tensions.iter().enumerate() {
                    symbols[SHARES + leg] = tension / (hook - problem.points[leg]).length() / (weight / height);
                    slack += usize::from(*tension == 0.0);
                }
                let mut held = false;
                for piece in &mut region.pieces {
                    let shares: [f64; SYMBOLS] = std::array::from_fn(|symbol| {
                        let range = match symbol {
                            ..CENTER => piece.hook[symbol],
                            CENTER..WEIGHT => piece.center[symbol - CENTER],
                            WEIGHT => piece.weight,
                            _ => piece.shares.get(symbol - SHARES).copied().unwrap_or(Interval::ZERO),
                        };
                        if range.radius() > 0.0 { (symbols[symbol] - range.middle()) / range.radius() } else { 0.0 }
                    });
                    if shares.iter().any(|share| share.abs() > 1.0 + 1.0e-9) {
                        continue;
                    }
                    let forms = piece.forms(&problem, &region.numbers).unwrap();
                    let off = |form: &Affine| {
                        form.middle + form.slopes.iter().zip(&shares).map(|(slope, share)| slope * share).sum::<f64>()
                    };
                    let kept = forms.conditions.iter().all(|condition| match condition.kind {
                        Kind::Zero => off(&condition.form).abs() <= condition.form.rest + 1.0e-8,
                        Kind::NotAbove => off(&condition.form) <= condition.form.rest + 1.0e-10,
                    });
                    if kept {
                        held = true;
                        for target in targets {
                            let sum: f64 = target.legs().map(|leg| tensions[leg]).sum();
                            let form = forms.target(target);
                            assert!((sum - off(&form)).abs() <= form.rest + 1.0e-4);
                        }
                    }
                }
                assert!(held, "draw {draw}: {numbers:?}");
                drawn += 1;
            }
        }
        println!("{drawn} states, {slack} slack legs");
        assert!(drawn == 6000 && slack > 200);
    }
}
