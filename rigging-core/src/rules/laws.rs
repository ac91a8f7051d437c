//! Laws that every rule's data obeys, whatever document it comes from: a value lies in the range of its question,
//! capacity rises with size and falls as a leg flattens, a factor falls as the load grows.

use super::question::Trend;
use super::relation::Relation;
use super::rule::{Rule, Taken};
use super::table::{Cell, Rows, Table};
use super::vocabulary::ANGLE_FROM_HORIZONTAL;
use crate::error::{Error, Place};

/// Check one rule; `place` is where it stands.
pub(super) fn check(rule: &Rule, place: &Place) -> Result<(), Error> {
    match &rule.relation {
        Relation::Constant(value) => admit(rule, *value, &place.child("value")),
        Relation::Table(table) => check_table(rule, table, &place.child("cells")),
        _ => Ok(()),
    }
}

fn admit(rule: &Rule, value: f64, place: &Place) -> Result<(), Error> {
    let law = rule.question.law();
    if law.admits(rule.answered(value)) {
        return Ok(());
    }
    Err(Error::out_of_domain(rule.question.name(), value, rule.unit.text, law.allowed(), place.clone()))
}

const fn value(cell: &Cell) -> Option<f64> {
    match cell {
        Cell::Value { value, .. } => Some(*value),
        Cell::Form { .. } | Cell::NotSeen => None,
    }
}

fn check_table(rule: &Rule, table: &Table, place: &Place) -> Result<(), Error> {
    let at = |row: usize, column: usize| place.child(row).child(column + 1);
    for (row, cells) in table.cells.iter().enumerate() {
        for (column, cell) in cells.iter().enumerate() {
            if let Some(value) = value(cell) {
                admit(rule, value, &at(row, column))?;
            }
        }
    }
    let ordered_rows = !matches!(table.rows, Rows::Word { .. });
    let trend = rule.question.trend();
    for column in 0..table.columns.len() {
        let mut before: Option<f64> = None;
        for (row, cells) in table.cells.iter().enumerate() {
            let Some(value) = cells.get(column).and_then(value) else { continue };
            let broken = before.and_then(|before| broken(trend, rule.reduces, before, value));
            if let Some(allowed) = broken.filter(|_| ordered_rows) {
                let name = rule.question.name();
                return Err(Error::out_of_domain(name, value, rule.unit.text, allowed, at(row, column)));
            }
            before = Some(value);
        }
    }
    let over_columns = table.column_number.and_then(|(input, _)| rule.inputs.get(input));
    match over_columns {
        Some(input) if trend == Trend::Rising && *input.fact == ANGLE_FROM_HORIZONTAL => {
            flattening(rule, table, input.taken == Taken::FromVertical, &at)
        }
        _ => Ok(()),
    }
}

/// What a printed value must be where it breaks the trend; a reduction runs the other way than the answer.
fn broken(trend: Trend, reduces: bool, before: f64, value: f64) -> Option<String> {
    let up = if reduces { before - value } else { value - before };
    let (broken, side, law) = match (trend, reduces) {
        (Trend::Free, _) => return None,
        (Trend::Rising, false) => (up <= 0.0, "above", "it rises with size"),
        (Trend::Rising, true) => (up <= 0.0, "below", "it rises with size"),
        (Trend::Falling, false) => (up > 0.0, "at most", "it falls"),
        (Trend::Falling, true) => (up > 0.0, "at least", "what is left falls"),
        (Trend::NotFalling, false) => (up < 0.0, "at least", "it does not fall"),
        (Trend::NotFalling, true) => (up < 0.0, "at most", "what is left does not fall"),
    };
    broken.then(|| format!("{side} {before}, the row before: {law}"))
}

/// Of two columns that differ only in their number, the angle of a leg, the flatter one has the lower capacity.
fn flattening(
    rule: &Rule,
    table: &Table,
    from_vertical: bool,
    at: &impl Fn(usize, usize) -> Place,
) -> Result<(), Error> {
    for (row, cells) in table.cells.iter().enumerate() {
        for (flat, flat_column) in table.columns.iter().enumerate() {
            for (steep, steep_column) in table.columns.iter().enumerate() {
                let flatter = match (flat_column.number, steep_column.number) {
                    (Some(flat), Some(steep)) => {
                        if from_vertical {
                            flat > steep
                        } else {
                            flat < steep
                        }
                    }
                    _ => false,
                };
                let comparable = flat_column.words == steep_column.words && flatter;
                let values = (cells.get(flat).and_then(value), cells.get(steep).and_then(value));
                if let (true, (Some(low), Some(high))) = (comparable, values)
                    && low >= high
                {
                    let allowed = format!("below {high}, the value of the steeper leg");
                    let name = rule.question.name();
                    return Err(Error::out_of_domain(name, low, rule.unit.text, allowed, at(row, flat)));
                }
            }
        }
    }
    Ok(())
}
