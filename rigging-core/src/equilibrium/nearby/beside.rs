//! Rows side by side whose branch is settled: each straight from the nominal balance, or by half the way.

use super::algebra::Vector;
use super::block::{Block, Column};
use super::branch;
use super::kernel::Constants;
use super::lane::WIDEST;
use super::transpose::NominalRow;
use super::{Lanes, Level, Nominal, Rows};
use crate::equilibrium::dispatch::balance_block;
use glam::DVec3;

/// Blocks that are balanced before the first of their rows is shown: few, so that they stand on the stack, and enough for
/// the rows that are left open to fill a block of their own.
const BLOCKS: usize = 4;

/// A row that is what the nominal balance turns into.
#[derive(Clone, Copy)]
pub(super) struct Row<const M: usize> {
    pub(super) up: DVec3,
    /// Hook relative to the center of gravity.
    pub(super) hook: DVec3,
    /// Tension and direction of every leg.
    pub(super) pulls: [(f64, DVec3); M],
}

/// The nominal balance, ready for rows of M legs.
pub(super) struct Beside<const M: usize> {
    constants: Constants<M>,
    nominal: NominalRow<M>,
    hook: DVec3,
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
        mut seen: impl FnMut(usize, Option<&Row<M>>) -> Result<(), E>,
    ) -> Result<(), E> {
        let width = Level::Plain.rows();
        let mut middle = self.block();
        let (mut blocks, mut shown) = ([middle; BLOCKS], row(&middle, 0));
        for start in (0..rows.count).step_by(BLOCKS * width) {
            let end = rows.count.min(start + BLOCKS * width);
            let mut open = [0; BLOCKS];
            let firsts = (start..end).step_by(width);
            for ((first, block), open) in firsts.clone().zip(&mut blocks).zip(&mut open) {
                let valid = block.load(rows, first, width, &self.nominal);
                balance_block(Level::Plain, &self.constants, block);
                block.followed &= valid;
                *open = block.firm & valid & !block.followed;
            }
            self.by_halves(&mut blocks, &mut middle, &mut open);
            for (first, block) in firsts.zip(&blocks) {
                for lane in 0..width.min(end - first) {
                    let followed = block.followed >> lane & 1 == 1;
                    if followed {
                        shown = row(block, lane);
                    }
                    seen(first + lane, followed.then_some(&shown))?;
                }
            }
        }
        Ok(())
    }

    /// Follows the open rows by halves. What they end in is calculated already: only the way to it is another.
    fn by_halves(&self, blocks: &mut [Block<M>; BLOCKS], middle: &mut Block<M>, open: &mut [u32; BLOCKS]) {
        loop {
            let mut taken = [None; WIDEST];
            for (lane, taken) in taken.iter_mut().enumerate().take(Level::Plain.rows()) {
                *taken = next(open);
                if let Some((block, of)) = taken.and_then(|(block, of)| Some((blocks.get(block)?, of))) {
                    middle.put_middle(lane, block, of, &self.nominal);
                }
            }
            if taken[0].is_none() {
                return;
            }
            balance_block(Level::Plain, &self.constants, middle);
            for (lane, (block, of)) in taken.into_iter().enumerate().filter_map(|(lane, taken)| Some((lane, taken?))) {
                if let Some(block) = blocks.get_mut(block).filter(|_| middle.followed >> lane & 1 == 1) {
                    let way = way(block, of, middle, lane);
                    // A firm row is certified if it is the lowest of all.
                    let lowest = block.certified >> of & 1 == 1;
                    let steepness = at(&block.steepness, of);
                    let settled = branch::is_near(way, lowest) || branch::is_alone(way, steepness);
                    block.followed |= u32::from(settled) << of;
                }
            }
        }
    }

    /// Nominal rows whose branch is asked for, on the way from the nominal balance.
    fn block(&self) -> Block<M> {
        let from = self.hook.to_array().map(|value| [value; WIDEST]);
        Block { branch: true, from, ..Block::filled(&self.nominal) }
    }
}

/// The first open row of all, which is then no longer open: its block, and its lane there.
fn next(open: &mut [u32; BLOCKS]) -> Option<(usize, usize)> {
    let (block, lanes) = open.iter_mut().enumerate().find(|(_, lanes)| **lanes != 0)?;
    let lane = lanes.trailing_zeros() as usize;
    *lanes &= *lanes - 1;
    Some((block, lane))
}

/// How far the hook of one row went from that of another, over its height.
fn way<const M: usize>(block: &Block<M>, lane: usize, from: &Block<M>, from_lane: usize) -> f64 {
    let hook =
        |block: &Block<M>, lane: usize| Vector::<f64>::splat(block.hook.each_ref().map(|column| at(column, lane)));
    let (hook, from) = (hook(block, lane), hook(from, from_lane));
    let way = hook.minus(1.0, from);
    way.dot(way).sqrt() * (1.0 / hook.dot(hook).sqrt())
}

#[inline]
fn at(column: &Column, lane: usize) -> f64 {
    column.get(lane).copied().unwrap_or(f64::NAN)
}

#[inline]
fn row<const M: usize>(block: &Block<M>, lane: usize) -> Row<M> {
    let vector = |columns: &[Column; 3]| DVec3::from_array(columns.each_ref().map(|column| at(column, lane)));
    let mut pulls = [(f64::NAN, DVec3::NAN); M];
    for ((pull, tension), direction) in pulls.iter_mut().zip(&block.tension).zip(&block.direction) {
        *pull = (at(tension, lane), vector(direction));
    }
    Row { up: vector(&block.up), hook: vector(&block.hook), pulls }
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

    fn bits<const M: usize>(row: &Row<M>) -> Vec<u64> {
        let pulls = row.pulls.iter().flat_map(|(tension, direction)| [*tension, direction.x, direction.y, direction.z]);
        let all = row.up.to_array().into_iter().chain(row.hook.to_array()).chain(pulls);
        all.map(f64::to_bits).collect()
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
                let mut block = Block::filled(&beside.nominal);
                block.branch = true;
                block.from = beside.hook.to_array().map(|value| [value; WIDEST]);
                block.load(rows, 0, rows.count, &beside.nominal);
                block
            };
            let mut together = block(&rows);
            balance_block(Level::Plain, &beside.constants, &mut together);
            for lane in 0..width {
                let mut alone = block(&rows.row(lane, 4));
                balance::<f64, 4>(&beside.constants, &mut alone);
                assert_eq!(bits(&row(&together, lane)), bits(&row(&alone, 0)));
                assert_eq!(together.followed >> lane & 1, alone.followed & 1);
                assert_eq!(together.certified >> lane & 1, alone.certified & 1);
                slack += u32::from(row(&alone, 0).pulls.iter().any(|(tension, _)| *tension == 0.0));
            }
        }
        println!("{} rows, {width} lanes; {slack} with a slack leg", 400 * width);
        assert!(slack > 0);
    }
}
