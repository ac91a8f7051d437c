//! Where the load hangs, whatever the numbers: pieces that hold every balance of the branch.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of symbols of the place, or two")]

use super::Effort;
use super::balances::Balances;
use super::interval::Interval;
use super::piece::{Cut, Piece};

/// How far beyond the places that were found a region reaches, over their spread; and over the longest leg, or as a turn.
const BEYOND: f64 = 0.25;
pub(super) const MARGIN: f64 = 2.0e-3;
/// How often a region is tried, twice as far beyond than before but for the last time, and how often a piece is made narrower.
const TRIES: u32 = 4;
const ROUNDS: usize = 4;
/// How much farther than at first a border may be moved out where pieces that are narrow enough lie at it.
const FARTHEST: f64 = 16.0;
/// How much farther than at first the border is at last, where it is not moved.
const STILL: f64 = 4.0;

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
        let nominal: Vec<Interval> = nominal.iter().copied().map(Interval::point).collect();
        let mut beyond = vec![[1.0; 2]; nominal.len()];
        let (mut count, mut attempt) = (0, 0);
        loop {
            let ranges = found.iter().zip(&nominal).zip(lift.margins()).zip(&beyond);
            let place = ranges.map(|(((found, nominal), margin), [below, above])| {
                let side = found.hull(*nominal);
                let by = BEYOND * side.width() + margin;
                Interval { lo: side.lo - below * by, hi: side.hi + above * by }
            });
            let place: Vec<Interval> = place.collect();
            // The first tries leave something of the effort to the last.
            let most = effort.parts >> (TRIES - 2_u32).saturating_sub(attempt);
            let last = attempt + 1 == TRIES;
            let movable = |(symbol, side): (usize, usize)| !last && beyond[symbol][side] < FARTHEST;
            match pieces_of(lift, &place, most, movable, &mut count) {
                Ok(pieces) if within(&nominal, &place) => return Ok(Self { pieces, count }),
                Ok(_) => return Err(vec![0.0; lift.sides().len()]),
                Err(Stopped { at, beyond: sides }) => {
                    if sides.is_empty() {
                        attempt += 1;
                        beyond.iter_mut().flatten().for_each(|by| *by *= 2.0);
                        // What moving the border does not enclose may be by cutting alone.
                        if attempt + 1 == TRIES {
                            beyond.fill([STILL; 2]);
                        }
                    }
                    for (symbol, side) in &sides {
                        beyond[*symbol][*side] *= 2.0;
                    }
                    if attempt == TRIES {
                        return Err(at);
                    }
                }
            }
        }
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

/// Why there are no pieces.
struct Stopped {
    /// Numbers near which it stopped.
    at: Vec<f64>,
    /// Sides of the place, lower or upper, at which there may be balances, to be moved out; none if there were too many pieces.
    beyond: Vec<(usize, usize)>,
}

/// The sides at which a piece is not within.
fn outside(inner: &[Interval], outer: &[Interval]) -> Vec<(usize, usize)> {
    let sides = inner.iter().zip(outer).enumerate();
    sides
        .flat_map(|(symbol, (inner, outer))| [(symbol, 0, outer.lo < inner.lo), (symbol, 1, inner.hi < outer.hi)])
        .filter(|(.., within)| !within)
        .map(|(symbol, side, _)| (symbol, side))
        .collect()
}

/// Pieces that hold every balance with its place in a box, all of them stable and away from its border; else numbers near which
/// that could not be proven with `most` pieces.
fn pieces_of<const N: usize>(
    lift: &impl Balances<N>,
    place: &[Interval],
    most_pieces: usize,
    movable: impl Fn((usize, usize)) -> bool,
    count: &mut usize,
) -> Result<Vec<Piece<N>>, Stopped> {
    let nominal = || Stopped { at: vec![0.0; lift.sides().len()], beyond: Vec::new() };
    let mut tasks = vec![lift.all(place).ok_or_else(nominal)?];
    let (mut done, mut looked) = (Vec::new(), 0);
    while let Some(task) = tasks.pop() {
        (looked, *count) = (looked + 1, *count + 1);
        let Some((piece, forms)) = task.narrowed(lift, ROUNDS).ok_or_else(nominal)? else { continue };
        let mut beyond = outside(&piece.ranges, place);
        if lift.is_stable(&piece, &forms) {
            if beyond.is_empty() {
                done.push(piece);
                continue;
            }
            // Narrow enough, but at the border: before it is cut, the border is moved.
            beyond.retain(|side| movable(*side));
        } else {
            beyond.clear();
        }
        if looked >= most_pieces || !beyond.is_empty() {
            return Err(Stopped { at: lift.near(&piece, &[0.0; N]), beyond });
        }
        let widths = piece.ranges.iter().zip(lift.margins()).map(|(range, margin)| range.width() / margin);
        let widest = widths.enumerate().max_by(|(_, one), (_, other)| one.total_cmp(other));
        let widest = Cut::Range(widest.map_or(0, |(symbol, _)| symbol));
        tasks.extend(piece.cut(piece.open(lift.legs()).next().map_or(widest, Cut::Leg)));
    }
    Ok(done)
}
