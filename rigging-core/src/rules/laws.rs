//! Laws that every rule's data obeys, whatever document it comes from: a value lies in the range of its question,
//! capacity rises with size and falls as a leg flattens, a factor falls as the load grows.

use super::question::Trend;
use super::relation::Relation;
use super::rule::Rule;
use super::table::{Cell, Table};
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
    if law.admits(rule.unit.in_si(value)) {
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
    let ordered_rows = matches!(table.rows, super::table::Rows::Number { .. });
    let trend = rule.question.trend();
    for column in 0..table.columns.len() {
        let mut before: Option<f64> = None;
        for (row, cells) in table.cells.iter().enumerate() {
            let Some(value) = cells.get(column).and_then(value) else { continue };
            let broken = before.and_then(|before| match trend {
                Trend::Rising if value <= before => Some(format!("above {before}, the row before: it rises with size")),
                Trend::Falling if value > before => Some(format!("at most {before}, the row before: it falls")),
                _ => None,
            });
            if let Some(allowed) = broken.filter(|_| ordered_rows) {
                let name = rule.question.name();
                return Err(Error::out_of_domain(name, value, rule.unit.text, allowed, at(row, column)));
            }
            before = Some(value);
        }
    }
    if trend == Trend::Rising {
        flattening(rule, table, &at)?;
    }
    Ok(())
}

/// Of two columns that differ only in their number, an angle from horizontal, the flatter one has the lower capacity.
fn flattening(rule: &Rule, table: &Table, at: &impl Fn(usize, usize) -> Place) -> Result<(), Error> {
    for (row, cells) in table.cells.iter().enumerate() {
        for (flat, flat_column) in table.columns.iter().enumerate() {
            for (steep, steep_column) in table.columns.iter().enumerate() {
                let comparable = flat_column.words == steep_column.words && flat_column.number < steep_column.number;
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
