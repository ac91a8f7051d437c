//! Laws that every rule's data obeys, whatever document it comes from: a value lies in the range of its question,
//! capacity rises with size and falls as a leg flattens, as does the factor of a set of legs, a factor falls as the load grows; a key
//! lies where its fact can lie, and is not looked up on the unsafe side.

use super::question::{Question, Severer, Trend};
use super::range::same;
use super::relation::Relation;
use super::rule::{Input, Rule, Taken};
use super::table::{Cell, Lookup, Rows, Table};
use super::unit::Dimension;
use super::vocabulary::{ANGLE_FROM_HORIZONTAL, Kind};
use crate::error::{Error, Place};

/// Check one rule; `place` is where it stands.
pub(super) fn check(rule: &Rule, place: &Place) -> Result<(), Error> {
    match &rule.relation {
        Relation::Constant(value) => admit(rule, *value, &place.child("value")),
        Relation::Table(table) => check_table(rule, table, place),
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
    let at = |row: usize, column: usize| place.child("cells").child(row).child(column + 1);
    for (row, cells) in table.cells.iter().enumerate() {
        for (column, cell) in cells.iter().enumerate() {
            if let Some(value) = value(cell) {
                admit(rule, value, &at(row, column))?;
            }
        }
    }
    keys_within_the_fact(rule, table, place)?;
    lookups(rule, table, place)?;
    if let Some(input) = angle_of_leg(rule, table.rows.input()) {
        flattening_rows(rule, table, input.taken == Taken::FromVertical, &at)?;
    } else if !matches!(table.rows, Rows::Word { .. }) {
        trend_of_rows(rule, table, &at)?;
    }
    match angle_of_leg(rule, table.column_number.map(|(input, _)| input)) {
        Some(input) => flattening(rule, table, input.taken == Taken::FromVertical, &at),
        None => Ok(()),
    }
}

fn trend_of_rows(rule: &Rule, table: &Table, at: &impl Fn(usize, usize) -> Place) -> Result<(), Error> {
    for column in 0..table.columns.len() {
        let mut before: Option<f64> = None;
        for (row, cells) in table.cells.iter().enumerate() {
            let Some(value) = cells.get(column).and_then(value) else { continue };
            if let Some(allowed) = before.and_then(|before| broken(rule.question.trend(), rule.reduces, before, value))
            {
                let name = rule.question.name();
                return Err(Error::out_of_domain(name, value, rule.unit.text, allowed, at(row, column)));
            }
            before = Some(value);
        }
    }
    Ok(())
}

/// Whether a question asks what legs bear at an angle: a rated value, or the factor of a set over one leg.
fn flattens(question: Question) -> bool {
    question == Question::LegFactor || question.trend() == Trend::Rising && question.severer() == Severer::Least
}

/// The input of rows or columns, where it is the angle of a leg and the answer falls as the leg flattens.
fn angle_of_leg(rule: &Rule, input: Option<usize>) -> Option<&Input> {
    let input = input.and_then(|input| rule.inputs.get(input))?;
    (flattens(rule.question) && *input.fact == ANGLE_FROM_HORIZONTAL).then_some(input)
}

/// A key lies where a fact can lie: one beyond is in another unit, or counted from elsewhere.
fn keys_within_the_fact(rule: &Rule, table: &Table, place: &Place) -> Result<(), Error> {
    let check = |input: usize, key: f64, at: &dyn Fn() -> Place| {
        let Some(input) = rule.inputs.get(input) else { return Ok(()) };
        let Kind::Number(_, law) = input.fact.kind else { return Ok(()) };
        let (least, greatest) = match input.taken {
            Taken::Sine => (Some(-1.0), Some(1.0)),
            Taken::AsStated | Taken::FromVertical => {
                let (least, greatest) = law.ends();
                (least.map(|end| input.unit.out_of_si(end)), greatest.map(|end| input.unit.out_of_si(end)))
            }
        };
        let beyond = least.is_some_and(|end| key < end && !same(key, end))
            || greatest.is_some_and(|end| key > end && !same(key, end));
        if beyond {
            let name = format!("key of the table, the {},", input.name());
            return Err(Error::out_of_domain(name, key, input.unit.text, law.allowed(), at()));
        }
        Ok(())
    };
    match &table.rows {
        Rows::Number { input, keys, .. } => {
            for (row, key) in keys.iter().enumerate() {
                if let Some(key) = key {
                    check(*input, *key, &|| place.child("cells").child(row).child(0))?;
                }
            }
        }
        Rows::Band { input, bands } => {
            for (row, band) in bands.iter().enumerate() {
                for end in [band.low, band.high].into_iter().flatten() {
                    check(*input, end.value, &|| place.child("cells").child(row).child(0))?;
                }
            }
        }
        Rows::Word { .. } => {}
    }
    if let Some((input, _)) = table.column_number {
        for (index, column) in table.columns.iter().enumerate() {
            if let Some(key) = column.number {
                check(input, key, &|| place.child("columns").child(index))?;
            }
        }
    }
    Ok(())
}

/// Between two keys no lookup goes to the one on the unsafe side: to the larger size of a capacity, the steeper angle of a leg.
/// Factors that fall or rise in bands are printed with either end of a band as its key, so nothing is said of them.
fn lookups(rule: &Rule, table: &Table, place: &Place) -> Result<(), Error> {
    let rows = match table.rows {
        Rows::Number { input, lookup, .. } => Some((input, lookup, "row_lookup")),
        Rows::Band { .. } | Rows::Word { .. } => None,
    };
    let columns = table.column_number.map(|(input, lookup)| (input, lookup, "column_lookup"));
    for (index, lookup, key) in [rows, columns].into_iter().flatten() {
        let Some(input) = rule.inputs.get(index) else { continue };
        let rises = match angle_of_leg(rule, Some(index)) {
            Some(angle) => angle.taken != Taken::FromVertical,
            None if rule.question.trend() == Trend::Rising && (key == "row_lookup" || is_size(input)) => true,
            None => continue,
        };
        let larger_is_unsafe = rises == (rule.question.severer() == Severer::Least);
        let (unsafe_way, side, other) = match larger_is_unsafe {
            true => (Lookup::AtMost, "larger", "next lower"),
            false => (Lookup::NextLower, "smaller", "at most"),
        };
        if lookup == unsafe_way {
            let what = format!(
                "the {} {} with the {}, and this lookup gives a value between two keys what is printed for the next {side} \
                 one; write \"exact\" or \"{other}\", or key ranges as the document prints them (\"band\", rows only)",
                rule.question.name(),
                if rises { "rises" } else { "falls" },
                input.name()
            );
            return Err(Error::inconsistent(what, place.child(key)));
        }
    }
    Ok(())
}

/// Over columns only a length is taken for a size: no law says how the values run there.
fn is_size(input: &Input) -> bool {
    matches!(input.fact.kind, Kind::Number(Dimension::Length, _))
}

/// Of two rows, keyed by the angle of a leg, the flatter one has the lower capacity, and not the greater factor.
fn flattening_rows(
    rule: &Rule,
    table: &Table,
    from_vertical: bool,
    at: &impl Fn(usize, usize) -> Place,
) -> Result<(), Error> {
    for column in 0..table.columns.len() {
        let mut before: Option<f64> = None;
        for (row, cells) in table.cells.iter().enumerate() {
            let Some(value) = cells.get(column).and_then(value) else { continue };
            // The flatter leg is the row before, or this one where angles count from vertical.
            let allowed = before.and_then(|before| {
                let (flat, steep) = if from_vertical { (value, before) } else { (before, value) };
                let side = if from_vertical { "below" } else { "above" };
                (!is_lower(rule, flat, steep))
                    .then(|| format!("{side} {before}, the row before: {}", flat_or_steep(rule, from_vertical)))
            });
            if let Some(allowed) = allowed {
                let name = rule.question.name();
                return Err(Error::out_of_domain(name, value, rule.unit.text, allowed, at(row, column)));
            }
            before = Some(value);
        }
    }
    Ok(())
}

/// Why a row that is out of order is: the angles may be counted from the other side.
fn flat_or_steep(rule: &Rule, from_vertical: bool) -> String {
    let name = rule.question.name();
    match from_vertical {
        true => format!("the {name} falls as a leg flattens, and the rows count from vertical"),
        false => format!(
            "the {name} falls as a leg flattens, and the rows count from horizontal; for angles from vertical the input says \
             as = \"from vertical\""
        ),
    }
}

/// Whether the value of a flatter leg is in order beside that of a steeper one: factors may be level over two bands.
fn is_lower(rule: &Rule, flat: f64, steep: f64) -> bool {
    let (flat, steep) = if rule.reduces { (steep, flat) } else { (flat, steep) };
    if rule.question == Question::LegFactor { flat <= steep } else { flat < steep }
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
                    && !is_lower(rule, low, high)
                {
                    let allowed =
                        format!("below {high}, the value of the steeper leg: {}", flat_or_steep(rule, from_vertical));
                    let name = rule.question.name();
                    return Err(Error::out_of_domain(name, low, rule.unit.text, allowed, at(row, flat)));
                }
            }
        }
    }
    Ok(())
}
