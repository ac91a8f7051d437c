//! The largest value of a linear form under linear conditions: which conditions count, and how much.
//!
//! All unknowns lie between −1 and 1, and what is to be zero between ends that are close, so the start, each at the end toward
//! which the form rises, is the best there is without the other conditions. Then one condition after the other that is not kept
//! takes the place of an unknown (dual simplex with bounds).
//! Nothing here is rounded outward: what comes out are multipliers, and [`super::certified`] makes a bound of any.
#![expect(clippy::indexing_slicing, reason = "rows and columns are counted as in the tableau")]

use super::affine::Affine;
use super::forms::{Condition, Kind, MOST_ROWS};

/// The most exchanges for a form; of larger programs twice their size.
const MOST_EXCHANGES: usize = 80;
/// How far a condition may be missed, over the size of its coefficients.
const MISSED: f64 = 1.0e-9;
/// A coefficient that may be divided by, over the largest of its row.
const PIVOT: f64 = 1.0e-9;
/// Width below which a condition counts as fixed.
const FIXED: f64 = 1.0e-13;
/// Exchanges after which rounding is left behind.
const REFRESH: usize = 100;

/// The outcome: multipliers of the conditions.
#[derive(Debug, Clone)]
pub(super) enum Solved<const N: usize> {
    /// They bound the form; the unknowns take it there.
    Bounded { multipliers: [f64; MOST_ROWS], at: [f64; N] },
    /// They show that no unknowns keep all conditions.
    Impossible { multipliers: [f64; MOST_ROWS] },
}

/// What stands in a row or a column: an unknown, or the linear part of a condition.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Variable {
    Unknown(usize),
    Condition(usize),
}

/// Conditions made ready for any form: what is to be zero stands in columns already, as far as it can.
pub(super) struct Program<'a, const N: usize> {
    ready: Tableau<'a, N>,
    /// As the last form left it: the next one starts from there.
    tableau: Tableau<'a, N>,
    exchanges: usize,
}

#[derive(Clone)]
struct Tableau<'a, const N: usize> {
    conditions: &'a [Condition<N>],
    rows: Vec<[f64; N]>,
    cost: [f64; N],
    row_names: [Variable; MOST_ROWS],
    column_names: [Variable; N],
    /// Where the variable of a column stands: at its lower or its upper end.
    values: [f64; N],
    columns: usize,
    /// The least that a form can be anyway.
    least: [f64; MOST_ROWS],
}

impl<'a, const N: usize> Program<'a, N> {
    pub(super) fn new(conditions: &'a [Condition<N>], columns: usize) -> Self {
        let mut tableau = Tableau {
            conditions,
            rows: conditions.iter().map(|condition| condition.form.slopes).collect(),
            cost: [0.0; N],
            row_names: std::array::from_fn(Variable::Condition),
            column_names: std::array::from_fn(Variable::Unknown),
            values: [0.0; N],
            columns,
            least: [0.0; MOST_ROWS],
        };
        for (least, condition) in tableau.least.iter_mut().zip(conditions) {
            *least = -condition.form.reach();
        }
        for row in (0..conditions.len()).filter(|row| conditions[*row].kind == Kind::Zero) {
            if let Some(column) = tableau.largest_unknown(row) {
                tableau.exchange(row, column);
            }
        }
        Self { ready: tableau.clone(), tableau, exchanges: 0 }
    }

    /// Solves for the largest value of a form, from where the last one was largest: every end of a condition or unknown that is
    /// right for the form is a start.
    pub(super) fn largest(&mut self, objective: &Affine<N>) -> Solved<N> {
        if self.exchanges > REFRESH {
            self.tableau.clone_from(&self.ready);
            self.exchanges = 0;
        }
        let tableau = &mut self.tableau;
        tableau.set_cost(objective);
        let most = MOST_EXCHANGES.max(2 * (self.ready.rows.len() + self.ready.columns));
        for _ in 0..most {
            let Some((row, above)) = tableau.most_missed() else { break };
            match tableau.entering(row, above) {
                Some(column) => {
                    self.exchanges += 1;
                    let (low, high) = tableau.ends(tableau.row_names[row]);
                    tableau.exchange(row, column);
                    tableau.values[column] = if above { high } else { low };
                }
                None => return Solved::Impossible { multipliers: tableau.contradiction(row, above) },
            }
        }
        tableau.solved()
    }
}

impl<const N: usize> Tableau<'_, N> {
    /// The unknown that a row changes with most.
    fn largest_unknown(&self, row: usize) -> Option<usize> {
        let size = |column: &usize| self.rows[row][*column].abs();
        let unknown = |column: &usize| matches!(self.column_names[*column], Variable::Unknown(_));
        let columns = (0..self.columns).filter(unknown);
        columns.max_by(|one, other| size(one).total_cmp(&size(other))).filter(|column| size(column) > f64::MIN_POSITIVE)
    }

    /// The form in terms of the columns, each at the end toward which it rises.
    fn set_cost(&mut self, objective: &Affine<N>) {
        for column in 0..N {
            self.cost[column] = match self.column_names[column] {
                Variable::Unknown(index) => objective.slopes[index],
                Variable::Condition(_) => 0.0,
            };
        }
        for row in 0..self.conditions.len() {
            let Variable::Unknown(index) = self.row_names[row] else { continue };
            let slope = objective.slopes[index];
            if slope != 0.0 {
                for (cost, entry) in self.cost.iter_mut().zip(&self.rows[row]) {
                    *cost += slope * entry;
                }
            }
        }
        for column in 0..N {
            let (low, high) = self.ends(self.column_names[column]);
            self.values[column] = if self.cost[column] < 0.0 { low } else { high };
        }
    }

    /// What a variable may be.
    fn ends(&self, variable: Variable) -> (f64, f64) {
        match variable {
            Variable::Unknown(_) => (-1.0, 1.0),
            Variable::Condition(index) => {
                let form = &self.conditions[index].form;
                let least = match self.conditions[index].kind {
                    Kind::Zero => -form.middle - form.rest,
                    Kind::NotAbove => self.least[index],
                };
                (least, form.rest - form.middle)
            }
        }
    }

    /// The row farthest beyond its ends, and whether it lies above them.
    fn most_missed(&self) -> Option<(usize, bool)> {
        let mut worst = (MISSED, None);
        for row in 0..self.conditions.len() {
            let (value, size) = self.value(row);
            let (low, high) = self.ends(self.row_names[row]);
            let (above, below) = ((value - high) / size, (low - value) / size);
            if above > worst.0 {
                worst = (above, Some((row, true)));
            }
            if below > worst.0 {
                worst = (below, Some((row, false)));
            }
        }
        worst.1
    }

    /// Value of a row, and the size of its coefficients.
    fn value(&self, row: usize) -> (f64, f64) {
        // Four sums side by side take a quarter of the time of one.
        let (mut values, mut sizes) = ([0.0; 4], [0.0; 4]);
        let fours = self.rows[row].chunks_exact(4).zip(self.values.chunks_exact(4));
        for (entries, at) in fours {
            for lane in 0..4 {
                values[lane] += entries[lane] * at[lane];
                sizes[lane] += entries[lane].abs();
            }
        }
        (values.iter().sum(), f64::MIN_POSITIVE + sizes.iter().sum::<f64>())
    }

    /// The column that brings a row back to its end at the least loss; none if the row cannot come back.
    fn entering(&self, row: usize, above: bool) -> Option<usize> {
        let largest = self.rows[row].iter().fold(0.0, |most: f64, x| most.max(x.abs()));
        let mut best = (f64::INFINITY, None);
        for column in 0..self.columns {
            let entry = self.rows[row][column];
            if entry.abs() <= PIVOT * largest {
                continue;
            }
            let (low, high) = self.ends(self.column_names[column]);
            // What is as good as fixed cannot give way.
            if high - low < FIXED {
                continue;
            }
            // Toward its other end the variable may go; the row must fall where it lies above.
            let up = self.values[column] - low < high - self.values[column];
            if (entry > 0.0) == (above != up) {
                let ratio = self.cost[column].abs() / entry.abs();
                if ratio < best.0 {
                    best = (ratio, Some(column));
                }
            }
        }
        best.1
    }

    fn exchange(&mut self, row: usize, column: usize) {
        std::mem::swap(&mut self.row_names[row], &mut self.column_names[column]);
        let by = 1.0 / self.rows[row][column];
        let pivot: [f64; N] = std::array::from_fn(|k| if k == column { by } else { -self.rows[row][k] * by });
        for other in (0..self.conditions.len()).filter(|other| *other != row) {
            substitute(&mut self.rows[other], &pivot, column);
        }
        self.rows[row] = pivot;
        substitute(&mut self.cost, &pivot, column);
    }

    /// The multipliers that show that a row cannot come back to its ends.
    fn contradiction(&self, row: usize, above: bool) -> [f64; MOST_ROWS] {
        // The row less what it is of the columns is zero for all unknowns.
        let sign = if above { 1.0 } else { -1.0 };
        let mut multipliers = [0.0; MOST_ROWS];
        if let Variable::Condition(index) = self.row_names[row] {
            multipliers[index] = sign;
        }
        for column in 0..self.columns {
            if let Variable::Condition(index) = self.column_names[column] {
                multipliers[index] -= sign * self.rows[row][column];
            }
        }
        multipliers
    }

    fn solved(&self) -> Solved<N> {
        let (mut multipliers, mut at) = ([0.0; MOST_ROWS], [0.0; N]);
        for column in 0..self.columns {
            match self.column_names[column] {
                Variable::Condition(index) => multipliers[index] = self.cost[column],
                Variable::Unknown(index) => at[index] = self.values[column],
            }
        }
        for row in 0..self.conditions.len() {
            if let Variable::Unknown(index) = self.row_names[row] {
                at[index] = self.value(row).0.clamp(-1.0, 1.0);
            }
        }
        Solved::Bounded { multipliers, at }
    }
}

/// Puts what a column now is in the place of it.
fn substitute<const N: usize>(row: &mut [f64; N], pivot: &[f64; N], column: usize) {
    let factor = row[column];
    if factor == 0.0 {
        return;
    }
    row[column] = 0.0;
    for (entry, pivot) in row.iter_mut().zip(pivot) {
        *entry += factor * pivot;
    }
}

#[cfg(test)]
mod tests {
    use super::super::certified::{bound, is_contradiction};
    use super::*;

    fn noise(seed: u64) -> f64 {
        let mut z = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15);
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }

    fn form(seed: u64, columns: usize) -> Affine<4> {
        let mut form = Affine::point(0.3 * noise(seed));
        for (slope, number) in form.slopes.iter_mut().zip(1..).take(columns) {
            *slope = noise(seed + number);
        }
        form
    }

    fn value(form: &Affine<4>, at: &[f64]) -> f64 {
        form.middle + form.slopes.iter().zip(at).map(|(slope, x)| slope * x).sum::<f64>()
    }

    /// Of two unknowns and three conditions the largest value is at a corner of what they leave: all corners are tried.
    #[test]
    fn the_bound_is_the_best_corner_and_what_leaves_nothing_is_found() {
        let (mut bounded, mut impossible) = (0, 0);
        for case in 0..2000 {
            let conditions: Vec<Condition<4>> =
                (0..3).map(|i| Condition { form: form(case * 997 + 31 * i, 2), kind: Kind::NotAbove }).collect();
            let objective = form(case * 997 + 500, 2);
            let mut lines: Vec<[f64; 3]> =
                conditions.iter().map(|c| [c.form.slopes[0], c.form.slopes[1], -c.form.middle]).collect();
            lines.extend([[1.0, 0.0, 1.0], [1.0, 0.0, -1.0], [0.0, 1.0, 1.0], [0.0, 1.0, -1.0]]);
            let mut best = f64::NEG_INFINITY;
            for (i, [a, b, e]) in lines.iter().enumerate() {
                for [c, d, f] in &lines[..i] {
                    let determinant = a * d - b * c;
                    let at = [(e * d - b * f) / determinant, (a * f - e * c) / determinant];
                    let kept = conditions.iter().all(|condition| value(&condition.form, &at) < 1.0e-9);
                    if kept && at.iter().all(|x| x.abs() < 1.0 + 1.0e-9) {
                        best = best.max(value(&objective, &at));
                    }
                }
            }
            match Program::new(&conditions, 2).largest(&objective) {
                Solved::Bounded { multipliers, at } => {
                    let found = bound(&objective, &conditions, &multipliers);
                    assert!((found - best).abs() < 1.0e-6, "case {case}: {found} against {best}");
                    assert!((value(&objective, &at) - best).abs() < 1.0e-6);
                    bounded += 1;
                }
                Solved::Impossible { multipliers } => {
                    assert!(best == f64::NEG_INFINITY && is_contradiction(&conditions, &multipliers), "case {case}");
                    impossible += 1;
                }
            }
        }
        println!("{bounded} bounded, {impossible} impossible");
        assert!(bounded > 1000 && impossible > 50);
    }
}
