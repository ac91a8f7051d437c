//! Where the load hangs, whatever the numbers: pieces that hold every balance of the branch.

use super::Effort;
use super::balances::Balances;
use super::interval::Interval;
use super::piece::{Cut, Piece};

/// How far beyond the places that were found a region reaches, over their spread; and over the longest leg, or as a turn.
const BEYOND: f64 = 0.25;
pub(super) const MARGIN: f64 = 2.0e-3;
/// How often a region is tried, each time twice as far beyond, and how often a piece is made narrower.
const TRIES: u32 = 3;
const ROUNDS: usize = 4;

/// Every balance of the branch lies in one of the pieces.
pub(super) struct Region<const N: usize> {
    pub(super) pieces: Vec<Piece<N>>,
    /// Pieces that were looked at.
    pub(super) count: usize,
}

impl<const N: usize> Region<N> {
    /// The region around places that were found, given by the box of them, of which `nominal` is that of the nominal state; or
    /// numbers near which that could not be proven.
    pub(super) fn enclose(
        lift: &impl Balances<N>,
        nominal: &[f64],
        found: &[Interval],
        effort: &Effort,
    ) -> Result<Self, Vec<f64>> {
        let mut stopped = vec![0.0; lift.sides().len()];
        let nominal: Vec<Interval> = nominal.iter().copied().map(Interval::point).collect();
        let mut count = 0;
        for attempt in 0..TRIES {
            let ranges = found.iter().zip(&nominal).zip(lift.margins());
            let place = ranges.map(|((found, nominal), margin)| {
                let side = found.hull(*nominal);
                let by = f64::from(1 << attempt) * (BEYOND * side.width() + margin);
                Interval { lo: side.lo - by, hi: side.hi + by }
            });
            let place: Vec<Interval> = place.collect();
            // The first tries leave something of the effort to the last.
            let most = effort.parts >> (TRIES - 1 - attempt);
            match pieces_of(lift, &place, most, &mut count) {
                Ok(pieces) if within(&nominal, &place) => return Ok(Self { pieces, count }),
                Ok(_) => {}
                Err(at) => stopped = at,
            }
        }
        Err(stopped)
    }

    /// The box of the places of all pieces.
    pub(super) fn places(&self, lift: &impl Balances<N>) -> Vec<Interval> {
        let hull = |symbol: usize| {
            let ranges = self.pieces.iter().filter_map(|piece| piece.ranges.get(symbol).copied());
            ranges.reduce(Interval::hull).unwrap_or(Interval::ZERO)
        };
        (0..lift.margins().len()).map(hull).collect()
    }
}

fn within(inner: &[Interval], outer: &[Interval]) -> bool {
    inner.iter().zip(outer).all(|(inner, outer)| outer.lo < inner.lo && inner.hi < outer.hi)
}

/// Pieces that hold every balance with its place in a box, all of them stable and away from its border; else numbers near which
/// that could not be proven with `most` pieces.
fn pieces_of<const N: usize>(
    lift: &impl Balances<N>,
    place: &[Interval],
    most_pieces: usize,
    count: &mut usize,
) -> Result<Vec<Piece<N>>, Vec<f64>> {
    let nominal = || vec![0.0; lift.sides().len()];
    let mut tasks = vec![lift.all(place).ok_or_else(nominal)?];
    let (mut done, mut looked) = (Vec::new(), 0);
    while let Some(task) = tasks.pop() {
        (looked, *count) = (looked + 1, *count + 1);
        let Some((piece, forms)) = task.narrowed(lift, ROUNDS).ok_or_else(nominal)? else { continue };
        if within(&piece.ranges, place) && lift.is_stable(&piece, &forms) {
            done.push(piece);
            continue;
        }
        if looked >= most_pieces {
            return Err(lift.near(&piece, &[0.0; N]));
        }
        let widths = piece.ranges.iter().zip(lift.margins()).map(|(range, margin)| range.width() / margin);
        let widest = widths.enumerate().max_by(|(_, one), (_, other)| one.total_cmp(other));
        let widest = Cut::Range(widest.map_or(0, |(symbol, _)| symbol));
        tasks.extend(piece.cut(piece.open(lift.legs()).next().map_or(widest, Cut::Leg)));
    }
    Ok(done)
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
