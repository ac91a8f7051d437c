//! One lift under several rule sets, as plain text: verdicts, where they part, and the checks on which they do.

use super::figures::{shown, utilization};
use crate::checks::Stance;
use crate::choice::{Cell, Column, Matrix, Part, Parted, Parting, Row, Side};
use std::fmt::{self, Write};

/// The matrix as text. The same matrix gives the same text, byte for byte.
///
/// ```
/// use rigging_core::{arrangement::Lift, choice, report, rules::RuleSet};
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid-round-edge.json"))?;
/// let sets = [RuleSet::built_in("us-general")?, RuleSet::built_in("marine-0027-nd-2016")?];
/// let text = report::matrix_text(&choice::matrix(&lift, &sets.each_ref())?);
/// assert!(text.contains("us-general and marine-0027-nd-2016 part"));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn matrix_text(matrix: &Matrix) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail; the type of `write!` says otherwise.
    let written = write(&mut out, matrix);
    debug_assert!(written.is_ok());
    out
}

fn write(out: &mut String, matrix: &Matrix) -> fmt::Result {
    writeln!(out, "{} under {} rule sets", matrix.lift, matrix.columns.len())?;
    let labels = matrix.labels();
    matrix.columns.iter().zip(&labels).try_for_each(|(column, label)| verdict(out, column, label))?;
    writeln!(out, "\nWhere they part")?;
    if matrix.partings.is_empty() {
        writeln!(out, "  nowhere: every check comes to the same under each")?;
    }
    matrix.partings.iter().try_for_each(|parted| parting(out, parted))?;
    writeln!(out, "\nChecks with different outcomes")?;
    let parted: Vec<&Row> = matrix.rows.iter().filter(|row| !row.agrees()).collect();
    if parted.is_empty() {
        writeln!(out, "  none")?;
    }
    for row in &parted {
        writeln!(out, "  {} of {} ({})", row.code.text(), row.item, row.place)?;
        for (label, cell) in labels.iter().zip(&row.cells) {
            writeln!(out, "    {label}: {}", outcome(cell.as_ref()))?;
        }
    }
    writeln!(
        out,
        "\n{} further checks come to the same outcome under every rule set.",
        matrix.rows.len() - parted.len()
    )?;
    writeln!(out, "Which documents govern a lift is for the competent person to say; local codes prevail.")
}

fn verdict(out: &mut String, column: &Column, label: &str) -> fmt::Result {
    let rules = &column.rules;
    writeln!(out, "  {label}: {} ({}; {})", column.verdict.words(), rules.edition, rules.status)?;
    let Some(governing) = &column.governing else { return writeln!(out, "    nothing was checked") };
    let ratio = governing.utilization.map(|ratio| format!(", utilization {}", utilization(ratio))).unwrap_or_default();
    let clause = governing.source.as_ref().map(|source| format!("; {source}")).unwrap_or_default();
    writeln!(out, "    governed by {}: {}{ratio}{clause}", governing.item, governing.text)
}

fn parting(out: &mut String, parted: &Parted) -> fmt::Result {
    let [left, right] = &parted.between;
    let first = at(&parted.first);
    writeln!(out, "  {left} and {right} part at {first}; {} checks differ", parted.differences)?;
    sides(out, left, right, &parted.first)?;
    let Some(cause) = &parted.cause else { return Ok(()) };
    writeln!(out, "    which follows from {}", at(cause))?;
    sides(out, left, right, cause)
}

fn at(parting: &Parting) -> String {
    let part = match parting.part {
        Part::Demand => "in what is asked of it",
        Part::Capacity => "in what it may bear",
        Part::Outcome => "in the outcome",
    };
    format!("{} of {}, {part}", parting.code.text(), parting.item)
}

fn sides(out: &mut String, left: &str, right: &str, parting: &Parting) -> fmt::Result {
    let [one, other] = &parting.sides;
    side(out, left, one)?;
    side(out, right, other)
}

fn side(out: &mut String, name: &str, side: &Side) -> fmt::Result {
    let verdict = side.verdict.map_or("this check is not made", |verdict| verdict.words());
    let colon = if side.text.is_empty() { "" } else { ": " };
    writeln!(out, "    {name}: {verdict}{colon}{}", side.text)?;
    if let Some(said) = &side.said {
        writeln!(out, "      {} {} = {}", said.name, said.symbol, shown(said.value, &said.unit))?;
    }
    match &side.source {
        Some(source) => writeln!(out, "      {source}"),
        None => writeln!(out, "      no clause decides"),
    }
}

fn outcome(cell: Option<&Cell>) -> String {
    let Some(cell) = cell else { return "not made".to_owned() };
    let ratio = cell.utilization.map(|ratio| format!(", utilization {}", utilization(ratio))).unwrap_or_default();
    let clause = cell.source.as_ref().map(|source| format!("; {source}")).unwrap_or_default();
    let stance = match cell.stance {
        Some(Stance::Silent) => ", the rule set is silent",
        Some(Stance::DoesNotApply) => ", the rule set does not apply",
        Some(Stance::Withheld) => ", the rule set passes nothing on",
        None => "",
    };
    format!("{}{stance}{ratio}{clause}", cell.verdict.words())
}
