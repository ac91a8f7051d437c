//! Rows side by side whose branch is settled: each straight from the nominal balance, or by half the way.

use super::algebra::Vector;
use super::block::{Block, Column};
use super::branch;
use super::kernel::Constants;
use super::lane::WIDEST;
use super::transpose::NominalRow;
use super::{Hung, Lanes, Level, Nominal, Rows};
use crate::equilibrium::certificate::State;
use crate::equilibrium::dispatch::balance_block;
use glam::DVec3;

/// Rows that are balanced before the first of them is shown: few, so that they stand in a small piece of memory, and enough
/// for those that are left open to fill blocks of their own.
const AT_ONCE: usize = 64;

/// The nominal balance, ready for rows of M legs.
pub(super) struct Beside<const M: usize> {
    constants: Constants<M>,
    nominal: NominalRow<M>,
    hook: DVec3,
}

/// What the straight way found of a row, but for the pulls of its legs.
struct Found {
    up: DVec3,
    /// Hook relative to the center of gravity.
    hook: DVec3,
    /// Whether the row is what the nominal balance turns into, and whether it may yet prove to be.
    followed: bool,
    open: bool,
    /// Whether its balance is certified: a firm one is if it is the lowest of all.
    certified: bool,
    /// How steep its valley is, as in [`branch::steepness`].
    steepness: f64,
}

impl<const M: usize> Beside<M> {
    pub(super) fn new(nominal: &Nominal, lanes: &Lanes) -> Self {
        Self { constants: lanes.constants(), nominal: lanes.nominal(&nominal.bridle), hook: nominal.outcome.hook }
    }

    /// Shows every row in its turn: none where its branch is in doubt on the straight way, and by halves: what half the
    /// change makes of the nominal balance, and the whole of that.
    pub(super) fn follow<E>(
        &self,
        rows: &Rows<'_>,
        mut seen: impl FnMut(usize, Option<&Hung<'_>>) -> Result<(), E>,
    ) -> Result<(), E> {
        let width = Level::Plain.rows();
        let mut block = self.block();
        let mut found = [const { Found::NONE }; AT_ONCE];
        let mut pulls = [[(0.0, DVec3::ZERO); M]; AT_ONCE];
        for start in (0..rows.count).step_by(AT_ONCE) {
            let end = rows.count.min(start + AT_ONCE);
            let blocks = found.chunks_mut(width).zip(pulls.chunks_mut(width));
            for (first, (found, pulls)) in (start..end).step_by(width).zip(blocks) {
                let valid = block.load(rows, first, width, &self.nominal);
                balance_block(Level::Plain, &self.constants, &mut block);
                for (lane, (found, pulls)) in found.iter_mut().zip(pulls).enumerate() {
                    *found = Found::of(&block, lane, valid);
                    for (slot, pull) in pulls.iter_mut().zip(pulls_of(&block, lane)) {
                        *slot = pull;
                    }
                }
            }
            let found = found.get_mut(..end - start).unwrap_or_default();
            self.by_halves(rows, start, found);
            for ((row, found), pulls) in (start..).zip(&*found).zip(&pulls) {
                let hung = Hung { state: State::Stable, hook: &found.hook, up: &found.up, pulls };
                seen(row, found.followed.then_some(&hung))?;
            }
        }
        Ok(())
    }

    /// Follows the open rows by halves. What they end in is calculated already: only the way to it is another.
    fn by_halves(&self, rows: &Rows<'_>, start: usize, found: &mut [Found]) {
        let mut open = found.iter_mut().enumerate().filter(|(_, found)| found.open).peekable();
        if open.peek().is_none() {
            return;
        }
        let width = Level::Plain.rows();
        let mut middle = self.block();
        while open.peek().is_some() {
            let mut taken = [const { None }; WIDEST];
            for (lane, (taken, (row, found))) in taken.iter_mut().zip(open.by_ref().take(width)).enumerate() {
                middle.put_middle(lane, &self.nominal.row(rows, start + row), &self.nominal);
                *taken = Some(found);
            }
            balance_block(Level::Plain, &self.constants, &mut middle);
            for (lane, found) in taken.into_iter().flatten().enumerate() {
                if middle.followed >> lane & 1 == 1 {
                    let way = way(found.hook, vector(&middle.hook, lane));
                    found.followed = branch::is_near(way, found.certified) || branch::is_alone(way, found.steepness);
                }
            }
        }
    }

    /// Nominal rows whose branch is asked for, on the way from the nominal balance.
    fn block(&self) -> Block<M> {
        let mut block = Block::filled(&self.nominal);
        block.branch = true;
        block.from = self.hook.to_array().map(|value| [value; WIDEST]);
        block
    }
}

impl Found {
    /// Of a row that is not there.
    const NONE: Self =
        Self { up: DVec3::ZERO, hook: DVec3::ZERO, followed: false, open: false, certified: false, steepness: 0.0 };

    #[inline]
    fn of<const M: usize>(block: &Block<M>, lane: usize, valid: u32) -> Self {
        let bit = |bits: u32| bits >> lane & 1 == 1;
        let followed = bit(block.followed & valid);
        Self {
            up: vector(&block.up, lane),
            hook: vector(&block.hook, lane),
            followed,
            open: bit(block.firm & valid) && !followed,
            certified: bit(block.certified),
            steepness: at(&block.steepness, lane),
        }
    }
}

/// How far the hook of one row went from that of another, over its height.
fn way(hook: DVec3, from: DVec3) -> f64 {
    let [hook, from] = [hook, from].map(|hook| Vector::<f64>::splat(hook.to_array()));
    let way = hook.minus(1.0, from);
    way.dot(way).sqrt() * (1.0 / hook.dot(hook).sqrt())
}

/// What stands in a lane.
#[inline]
fn at(column: &Column, lane: usize) -> f64 {
    column.get(lane % WIDEST).copied().unwrap_or(f64::NAN)
}

#[inline]
fn vector(columns: &[Column; 3], lane: usize) -> DVec3 {
    DVec3::from_array(columns.each_ref().map(|column| at(column, lane)))
}

/// Tension and direction of every leg of a row.
#[inline]
fn pulls_of<const M: usize>(block: &Block<M>, lane: usize) -> impl Iterator<Item = (f64, DVec3)> {
    let legs = block.tension.iter().zip(&block.direction);
    legs.map(move |(tension, direction)| (at(tension, lane), vector(direction, lane)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::equilibrium::bridle::Bridle;
    use crate::equilibrium::nearby::kernel::balance;
    use crate::system::Law;

    /// Numbers from −1 to 1, by a congruential generator.
    fn draws() -> impl Iterator<Item = f64> {
        let mut state = 7_u64;
        std::iter::repeat_with(move || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
        })
    }

    fn bits<const M: usize>(block: &Block<M>, lane: usize) -> Vec<u64> {
        let pulls = pulls_of(block, lane);
        let pulls = pulls.flat_map(|(tension, direction)| [tension, direction.x, direction.y, direction.z]);
        let all = vector(&block.up, lane).to_array().into_iter().chain(vector(&block.hook, lane).to_array());
        all.chain(pulls).map(f64::to_bits).collect()
    }

    #[test]
    fn lanes_that_fuse_nothing_have_the_bits_of_one() {
        let corners = [[2.6, 1.05], [2.6, -1.05], [-2.6, -1.05], [-2.6, 1.05]];
        let points = corners.map(|[x, y]| DVec3::new(x, y, 0.0)).to_vec();
        let laws = vec![Law::linear(6.0e6).unwrap(); 4];
        let bridle = Bridle::new(points, vec![6.0; 4], laws, DVec3::new(0.45, -0.12, 0.9), 181.0e3).unwrap();
        let nominal = Nominal::new(bridle).unwrap();
        let lanes = nominal.lanes.as_ref().unwrap();
        let beside = Beside::<4>::new(&nominal, lanes);
        let width = Level::Plain.rows();
        let mut draws = draws();
        let mut slack = 0;
        for _ in 0..400 {
            let lengths: Vec<f64> = draws.by_ref().take(4 * width).map(|draw| 6.0 + 0.1 * draw).collect();
            let center: Vec<f64> = draws.by_ref().take(3 * width).map(|draw| 0.5 + 0.3 * draw).collect();
            let rows = Rows { count: width, lengths: Some(&lengths), center: Some(&center), ..Rows::default() };
            let block = |rows: &Rows<'_>| {
                let mut block = beside.block();
                block.load(rows, 0, rows.count, &beside.nominal);
                block
            };
            let mut together = block(&rows);
            balance_block(Level::Plain, &beside.constants, &mut together);
            for lane in 0..width {
                let mut alone = block(&rows.row(lane, 4));
                balance::<f64, 4>(&beside.constants, &mut alone);
                assert_eq!(bits(&together, lane), bits(&alone, 0));
                assert_eq!(together.followed >> lane & 1, alone.followed & 1);
                assert_eq!(together.certified >> lane & 1, alone.certified & 1);
                slack += u32::from(pulls_of(&alone, 0).any(|(tension, _)| tension == 0.0));
            }
        }
        println!("{} rows, {width} lanes; {slack} with a slack leg", 400 * width);
        assert!(slack > 0);
    }

    #[test]
    fn rows_are_shown_in_their_turn_however_many_there_are() {
        let corners = [[2.6, 1.05], [2.6, -1.05], [-2.6, -1.05], [-2.6, 1.05]];
        let points = corners.map(|[x, y]| DVec3::new(x, y, 0.0)).to_vec();
        let laws = vec![Law::linear(6.0e6).unwrap(); 4];
        let bridle = Bridle::new(points, vec![6.0; 4], laws, DVec3::new(0.45, -0.12, 0.9), 181.0e3).unwrap();
        let nominal = Nominal::new(bridle).unwrap();
        let mut draws = draws();
        let width = Level::Plain.rows();
        for count in [0, 1, width - 1, width, width + 1, AT_ONCE - 1, AT_ONCE, AT_ONCE + 1, 2 * AT_ONCE + width + 3] {
            let lengths: Vec<f64> = draws.by_ref().take(4 * count).map(|draw| 6.0 + 0.1 * draw).collect();
            let rows = Rows { count, lengths: Some(&lengths), ..Rows::default() };
            let kept = |hung: &Hung<'_>| (*hung.hook, *hung.up, hung.pulls.to_vec());
            let mut together = Vec::new();
            nominal.follow(&rows, |row, hung| together.push((row, kept(hung)))).unwrap();
            let mut alone = Vec::new();
            for row in 0..count {
                nominal.follow(&rows.row(row, 4), |_, hung| alone.push((row, kept(hung)))).unwrap();
            }
            assert_eq!(together, alone);
        }
    }
}
