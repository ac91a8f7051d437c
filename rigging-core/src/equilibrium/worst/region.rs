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
