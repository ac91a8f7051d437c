//! A limit at zero: nothing is left there for the rounding of a conversion to be relative to.

use super::{rule, set};
use rigging_core::rules::{Answer, Facts, Question, RuleSet};

fn value(rules: &RuleSet, question: Question, facts: &Facts) -> f64 {
    match rules.ask(question, facts) {
        Answer::Speaks(ruled) => ruled.term().unwrap().value,
        other => panic!("{facts:?}: {other:?}"),
    }
}

/// Two bands that meet at a limit, which belongs to the lower one or to the upper one.
fn banded(question: &str, fact: &str, unit: &str, limit: f64, lower_holds_it: bool) -> RuleSet {
    let (low, high) = if lower_holds_it { ("at_most", "more_than") } else { ("less_than", "at_least") };
    let keys = format!(
        "input = [{{ fact = \"{fact}\", unit = \"{unit}\" }}]\nrelation = \"table\"\nrows = \"{fact}\"\nrow_lookup = \"band\"\n\
         cells = [[{{ {low} = {limit} }}, 1.0], [{{ {high} = {limit} }}, 0.5]]"
    );
    set(&[rule(question, &keys)])
}

/// A fact, its unit, a question that is asked with it, and zero in other units.
type Scale<'a> = (&'a str, &'a str, Question, &'a [(f64, &'a str)]);

#[test]
fn a_limit_at_zero_is_met_whatever_unit_the_fact_is_stated_in() {
    let scales: [Scale<'_>; 6] = [
        ("temperature", "degC", Question::TemperatureFactor, &[(0.0, "degC"), (32.0, "degF"), (273.15, "K")]),
        ("temperature", "degF", Question::TemperatureFactor, &[(0.0, "degF")]),
        ("choke angle", "deg", Question::PinOffsetFactor, &[(0.0, "deg"), (0.0, "rad")]),
        ("pin offset ratio", "", Question::PinOffsetFactor, &[(0.0, "")]),
        ("hook elevation difference", "mm", Question::PinOffsetFactor, &[(0.0, "mm"), (0.0, "m"), (0.0, "in")]),
        ("hook elevation difference", "in", Question::PinOffsetFactor, &[(0.0, "mm"), (0.0, "ft")]),
    ];
    let mut cases = 0;
    for (fact, unit, question, stated) in scales {
        for (lower_holds_it, met) in [(true, 1.0), (false, 0.5)] {
            let rules = banded(question.name(), fact, unit, 0.0, lower_holds_it);
            for (number, of) in stated {
                let facts = Facts::new().number(fact, *number, of);
                assert_eq!(value(&rules, question, &facts), met, "{number} {of} at 0 {unit}");
                cases += 1;
            }
            // What anyone could state beside the limit is beside it still.
            let beside = Facts::new().number(fact, 1e-6, unit);
            assert_eq!(value(&rules, question, &beside), 0.5, "1e-6 {unit}");
        }
    }
    // Just beside zero a rounding of 273.15 K counts as well.
    let rules = banded("temperature factor", "temperature", "degC", 0.01, false);
    assert_eq!(value(&rules, Question::TemperatureFactor, &Facts::new().number("temperature", 273.16, "K")), 0.5);
    assert_eq!(cases, 24);
}

#[test]
fn a_range_that_begins_at_zero_and_rows_at_zero_hold_it() {
    let keys =
        |limits: &str| format!("input = [{{ fact = \"temperature\", unit = \"degC\", {limits}, policy = \"no\" }}]\n");
    let constant = |limits: &str| {
        set(&[rule("temperature factor", &format!("{}relation = \"constant\"\nvalue = 0.9", keys(limits)))])
    };
    for (number, of) in [(0.0, "degC"), (32.0, "degF"), (273.15, "K")] {
        let facts = Facts::new().number("temperature", number, of);
        assert_eq!(value(&constant("at_least = 0"), Question::TemperatureFactor, &facts), 0.9, "{number} {of}");
        for outside in ["less_than = 0", "more_than = 0"] {
            let answer = constant(outside).ask(Question::TemperatureFactor, &facts);
            assert!(matches!(answer, Answer::OutsideRange { .. }), "{number} {of}: {answer:?}");
        }
        for lookup in ["exact", "next lower", "at most"] {
            let table = format!(
                "input = [{{ fact = \"temperature\", unit = \"degC\" }}]\nrelation = \"table\"\nrows = \"temperature\"\n\
                 row_lookup = \"{lookup}\"\ncells = [[-10, 1.0], [0, 0.8], [10, 0.6]]"
            );
            let rules = set(&[rule("temperature factor", &table)]);
            assert_eq!(value(&rules, Question::TemperatureFactor, &facts), 0.8, "{number} {of}, {lookup}");
        }
    }
}
