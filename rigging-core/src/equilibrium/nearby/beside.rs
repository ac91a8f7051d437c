//! Rows side by side whose branch is settled: each straight from the nominal balance, or by half the way.

use super::block::{Block, Column};
use super::kernel::Constants;
use super::lane::WIDEST;
use super::transpose::NominalRow;
use super::{Lanes, Level, Nominal, Rows, valid_rows};
use crate::equilibrium::dispatch::balance_block;
use glam::DVec3;

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

    /// The rows whose branch is beyond doubt on the straight way, or by halves: what half the change makes of the nominal
    /// balance, and the whole of that.
    pub(super) fn follow(&self, rows: &Rows<'_>) -> Vec<Option<Row<M>>> {
        let mut found = self.balance(rows, |_| self.hook);
        let open: Vec<usize> = numbers(&found, Option::is_none).collect();
        if open.is_empty() {
            return found;
        }
        let middle = self.balance(&Picked::of(rows, &open, &self.nominal, 0.5).rows(), |_| self.hook);
        let middle: Vec<(usize, Row<M>)> =
            open.iter().zip(middle).filter_map(|(row, middle)| Some((*row, middle?))).collect();
        let open: Vec<usize> = middle.iter().map(|(row, _)| *row).collect();
        let half_way = |number: usize| middle.get(number).map_or(DVec3::NAN, |(_, middle)| middle.hook);
        let whole = self.balance(&Picked::of(rows, &open, &self.nominal, 1.0).rows(), half_way);
        for (row, whole) in open.into_iter().zip(whole) {
            if let Some(slot) = found.get_mut(row) {
                *slot = whole;
            }
        }
        found
    }

    /// Balances every row; the way by which its branch is judged counts from the hook `from`.
    fn balance(&self, rows: &Rows<'_>, from: impl Fn(usize) -> DVec3) -> Vec<Option<Row<M>>> {
        let mut found = Vec::with_capacity(rows.count);
        let mut block = Block::filled(&self.nominal);
        block.branch = true;
        let width = Level::Plain.rows();
        for first in (0..rows.count).step_by(width) {
            let count = width.min(rows.count - first);
            let valid = block.load(rows, first, width, &self.nominal);
            for lane in 0..WIDEST {
                let from = from(first + lane.min(count - 1)).to_array();
                for (slot, value) in block.from.iter_mut().filter_map(|column| column.get_mut(lane)).zip(from) {
                    *slot = value;
                }
            }
            balance_block(Level::Plain, &self.constants, &mut block);
            let followed = valid & block.followed & valid_rows(count, width);
            found.extend((0..count).map(|lane| (followed >> lane & 1 == 1).then(|| row(&block, lane))));
        }
        found
    }
}

fn row<const M: usize>(block: &Block<M>, lane: usize) -> Row<M> {
    let at = |column: &Column| column.get(lane).copied().unwrap_or(f64::NAN);
    let vector = |columns: &[Column; 3]| DVec3::from_array(columns.each_ref().map(at));
    let mut pulls = [(f64::NAN, DVec3::NAN); M];
    for ((pull, tension), direction) in pulls.iter_mut().zip(&block.tension).zip(&block.direction) {
        *pull = (at(tension), vector(direction));
    }
    Row { up: vector(&block.up), hook: vector(&block.hook), pulls }
}

fn numbers<T>(list: &[T], wanted: impl Fn(&T) -> bool) -> impl Iterator<Item = usize> {
    list.iter().enumerate().filter(move |(_, item)| wanted(item)).map(|(number, _)| number)
}

/// Some rows by themselves, or the loads that lie between them and the nominal one.
struct Picked {
    count: usize,
    lengths: Option<Vec<f64>>,
    stiffness: Option<Vec<f64>>,
    center: Option<Vec<f64>>,
    weight: Option<Vec<f64>>,
}

impl Picked {
    /// The rows of these numbers, a share of the way from the nominal load; laws are theirs from the start.
    fn of<const M: usize>(rows: &Rows<'_>, which: &[usize], nominal: &NominalRow<M>, share: f64) -> Self {
        let between = |values: Option<&[f64]>, nominal: &[f64], share: f64| {
            let width = nominal.len();
            let row = |row: &usize| values?.get(row * width..(row + 1) * width);
            values?;
            let mut between = Vec::with_capacity(which.len() * width);
            for row in which.iter().filter_map(row) {
                between.extend(row.iter().zip(nominal).map(|(value, from)| share * value + (1.0 - share) * from));
            }
            Some(between)
        };
        Self {
            count: which.len(),
            lengths: between(rows.lengths, &nominal.length, share),
            stiffness: between(rows.stiffness, &[1.0; M], 1.0),
            center: between(rows.center, &nominal.center, share),
            weight: between(rows.weight, &[nominal.weight], share),
        }
    }

    fn rows(&self) -> Rows<'_> {
        Rows {
            count: self.count,
            lengths: self.lengths.as_deref(),
            stiffness: self.stiffness.as_deref(),
            center: self.center.as_deref(),
            weight: self.weight.as_deref(),
        }
    }
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
