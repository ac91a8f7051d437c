//! Advice: what loads and may still mislead.

use super::lines::Lines;
use super::{Complaint, ComplaintCode, advise, conditions, unasked};
use crate::error::Place;
use crate::rules::question::{Law, Question};
use crate::rules::range::Range;
use crate::rules::relation::Relation;
use crate::rules::rule::{Outside, Rule};
use crate::rules::set::{RuleSet, Status};
use crate::rules::table::{Cell, Rows, Table};
use crate::source::Standing;
use toml::Value;

/// Advice on a file; what needs its rules only where it loads.
pub(super) fn of(value: &Value, read: Option<&RuleSet>, lines: &Lines<'_>) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    lookalikes(value, &Place::root(), lines, &mut complaints);
    let Some(set) = read else { return complaints };
    let root = Place::root();
    if matches!(set.status(), Status::Superseded { by: None }) {
        let what = "the file is superseded, and names no successor";
        complaints.push(advise(ComplaintCode::NoSuccessor, &root.child("status"), lines, what));
    }
    for question in
        [Question::AppliesToOperation, Question::AppliesToPlace, Question::AppliesToPersons, Question::AppliesToGear]
    {
        if set.answering(question).next().is_none() {
            let what = format!("no rule answers \"{}\"", question.name());
            complaints.push(advise(ComplaintCode::NoScope, &root, lines, what));
        }
    }
    for (index, document) in set.documents().iter().enumerate() {
        if document.status != "in force" && matches!(set.status(), Status::InForce) {
            let what = format!("\"{}\" is {}", document.name, document.status);
            let place = root.child("include").child(index);
            complaints.push(advise(ComplaintCode::SupersededDocument, &place, lines, what));
        }
    }
    let own = set.own_rules();
    of_sources(value, set, own, lines, &mut complaints);
    for (index, rule) in own.iter().enumerate() {
        of_rule(rule, &root.child("rule").child(index), lines, &mut complaints);
    }
    complaints.extend(conditions::of(unasked::is_a_set(set), own, lines));
    complaints.extend(unasked::of(set, own, lines));
    complaints
}

/// Characters that look like plain ones, in anything that is looked up or searched for.
fn lookalikes(value: &Value, place: &Place, lines: &Lines<'_>, complaints: &mut Vec<Complaint>) {
    let odd = |c: &char| {
        matches!(*c, '\u{a0}' | '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}' | '\u{ff01}'..='\u{ff5e}')
            || matches!(*c, '\u{400}'..='\u{4ff}')
    };
    let mut of_text = |text: &str, place: &Place| {
        if let Some(found) = text.chars().find(odd) {
            let what = format!("\"{text}\" has the character U+{:04X}", u32::from(found));
            complaints.push(advise(ComplaintCode::Lookalike, place, lines, what));
        }
    };
    match value {
        Value::String(text) => of_text(text, place),
        Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                lookalikes(item, &place.child(index), lines, complaints);
            }
        }
        Value::Table(table) => {
            for key in table.keys() {
                of_text(key, &place.child(key));
            }
            for (key, item) in table {
                lookalikes(item, &place.child(key), lines, complaints);
            }
        }
        _ => {}
    }
}

fn of_sources(value: &Value, set: &RuleSet, own: &[Rule], lines: &Lines<'_>, complaints: &mut Vec<Complaint>) {
    let count = value.get("source").and_then(Value::as_array).map_or(0, Vec::len);
    let sources = set.sources().iter().zip(set.source_notes()).take(count).enumerate();
    for (index, (source, note)) in sources {
        let place = Place::root().child("source").child(index);
        if source.standing == Standing::Memory {
            let what = format!("\"{}\" is cited from memory", source.document);
            complaints.push(advise(ComplaintCode::StandingMemory, &place, lines, what));
        }
        if source.edition.is_empty() && source.standing == Standing::Document {
            let what = format!("\"{}\" names no edition", source.document);
            complaints.push(advise(ComplaintCode::NoEdition, &place, lines, what));
        }
        if source.standing == Standing::Secondary && note.is_none() && !names_a_copy(&source.document) {
            let what = format!("\"{}\" was read at second hand, and nothing says where", source.document);
            complaints.push(advise(ComplaintCode::SecondaryWithoutNote, &place, lines, what));
        }
    }
    for (index, rule) in own.iter().enumerate() {
        let place = Place::root().child("rule").child(index);
        let in_cells = match &rule.relation {
            Relation::Table(table) => table
                .cells
                .iter()
                .flatten()
                .any(|cell| matches!(cell, Cell::Value { standing: Some(Standing::Memory), .. })),
            _ => false,
        };
        // Where the source itself is from memory, that is told once.
        let told = set
            .sources()
            .iter()
            .take(count)
            .any(|source| source.standing == Standing::Memory && source.document == rule.source.document);
        if (rule.source.standing == Standing::Memory && !told) || in_cells {
            let what = format!("\"{}\" rests on memory", rule.name);
            complaints.push(advise(ComplaintCode::StandingMemory, &place, lines, what));
        }
    }
}

/// Whether the title of a source says itself that it repeats another.
fn names_a_copy(document: &str) -> bool {
    ["as repeated", "as quoted", "as tabulated", "as described", "as read"].iter().any(|words| document.contains(words))
}

fn of_rule(rule: &Rule, place: &Place, lines: &Lines<'_>, complaints: &mut Vec<Complaint>) {
    for (index, input) in rule.inputs.iter().enumerate() {
        let open = |end: bool, outside: &Outside| {
            end && matches!(outside, Outside::Refuse(policy) if *policy == Outside::NO_POLICY)
        };
        if open(input.range.low.is_some(), &input.below) || open(input.range.high.is_some(), &input.above) {
            let place = place.child("input").child(index);
            let what = format!("the range of {} has no policy for what lies outside", input.name());
            complaints.push(advise(ComplaintCode::NoPolicy, &place, lines, what));
        }
    }
    match &rule.relation {
        Relation::Constant(value) if is_neutral(rule, *value) => {
            let what = format!("\"{}\" is 1", rule.question.name());
            complaints.push(advise(ComplaintCode::NeutralValue, &place.child("value"), lines, what));
        }
        Relation::Table(table) => of_table(rule, table, place, lines, complaints),
        Relation::Withheld { why } if why.split_whitespace().count() < 3 => {
            let what = format!("\"{}\" is withheld in a word or two", rule.name);
            complaints.push(advise(ComplaintCode::WithheldWithoutWay, &place.child("why"), lines, what));
        }
        _ => {}
    }
}

/// Whether a value changes nothing, and no note says that the document prints it.
fn is_neutral(rule: &Rule, value: f64) -> bool {
    let a_factor = matches!(rule.question.law(), Law::AtLeastOne | Law::Fraction | Law::Share);
    a_factor && rule.note.is_none() && rule.answered(value) == 1.0
}

fn of_table(rule: &Rule, table: &Table, place: &Place, lines: &Lines<'_>, complaints: &mut Vec<Complaint>) {
    let Rows::Band { bands, .. } = &table.rows else { return };
    for (index, pair) in bands.windows(2).enumerate() {
        let [below, above] = pair else { continue };
        if !meet(below, above) && rule.note.is_none() {
            let place = place.child("cells").child(index + 1);
            let what = format!("between the bands {below} and {above} is a gap");
            complaints.push(advise(ComplaintCode::GapInBands, &place, lines, what));
        }
    }
}

/// Whether one band ends where the next begins, and one of them holds the limit.
fn meet(below: &Range, above: &Range) -> bool {
    match (below.high, above.low) {
        (Some(high), Some(low)) => high.value == low.value && (high.inclusive || low.inclusive),
        _ => false,
    }
}
