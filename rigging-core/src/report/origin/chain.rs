//! Numbers of a chain, and of a finding that sets two chains against each other.

use super::Origin;
use crate::chain::{Branch, Chain, Operation, Step, Term};
use crate::checks::{Assessment, Finding};
use crate::source::Source;
use crate::text::Text;

/// The number of a finding at the keys below it.
pub(super) fn of_finding(assessment: &Assessment, index: &str, keys: &[&str]) -> Option<Origin> {
    let finding = assessment.findings.get(index.parse::<usize>().ok()?)?;
    match keys {
        ["utilization"] => utilization(finding),
        [side @ ("demand" | "capacity"), rest @ ..] => {
            let chain = if *side == "demand" { &finding.demand } else { &finding.capacity };
            within(chain.as_deref()?, rest)
        }
        _ => None,
    }
}

/// Demand over capacity.
pub(super) fn utilization(finding: &Finding) -> Option<Origin> {
    let (demand, capacity) = (finding.demand.as_deref()?, finding.capacity.as_deref()?);
    Some(Origin {
        what: ["utilization of ", &*finding.item].into(),
        symbol: Text::default(),
        value: finding.utilization?,
        unit: Text::default(),
        source: Source::mechanics("utilization is what is asked over what may be borne"),
        by: Some(Operation::DividedBy),
        from: vec![whole(demand), whole(capacity)],
        inputs: Vec::new(),
        not_taken: Vec::new(),
    })
}

/// The value at the end of a chain.
pub(super) fn whole(chain: &Chain) -> Origin {
    Origin { what: chain.quantity.clone(), ..after(chain, chain.steps.len()) }
}

/// A number inside a chain.
fn within(chain: &Chain, keys: &[&str]) -> Option<Origin> {
    let step = |index: &str| index.parse::<usize>().ok().filter(|index| *index < chain.steps.len());
    match keys {
        [] => Some(whole(chain)),
        ["base", rest @ ..] => of_term(&chain.base, rest),
        ["steps", index, "result"] => {
            let steps = step(index)? + 1;
            Some(if steps == chain.steps.len() { whole(chain) } else { after(chain, steps) })
        }
        ["steps", index, "term", rest @ ..] => of_term(&chain.steps.get(step(index)?)?.term, rest),
        _ => None,
    }
}

fn of_term(of: &Term, keys: &[&str]) -> Option<Origin> {
    match keys {
        ["value"] => Some(term(of)),
        ["not_taken", index, "value"] => {
            let Branch { name, value, source } = of.not_taken.get(index.parse::<usize>().ok()?)?.clone();
            let what = [&*name, ", not taken"].into();
            Some(Origin {
                what,
                value,
                source,
                ..term(&Term { inputs: Vec::new(), not_taken: Vec::new(), ..of.clone() })
            })
        }
        _ => None,
    }
}

/// The running value after so many steps.
fn after(chain: &Chain, steps: usize) -> Origin {
    let Some(Step { operation, term: operand, result, unit, .. }) =
        steps.checked_sub(1).and_then(|at| chain.steps.get(at))
    else {
        return term(&chain.base);
    };
    let operand = term(operand);
    let running = after(chain, steps - 1);
    // What a mechanical calculation makes of the running value is that value's outcome; no operand stands beside it.
    if *operation == Operation::Becomes {
        return Origin { by: Some(Operation::Becomes), from: vec![running], ..operand };
    }
    Origin {
        what: [&*running.what, words(*operation), &*operand.what].into(),
        symbol: Text::default(),
        value: *result,
        unit: unit.clone(),
        source: Source::mechanics("arithmetic"),
        by: Some(*operation),
        from: vec![running, operand],
        inputs: Vec::new(),
        not_taken: Vec::new(),
    }
}

/// A number that a document, the user or a calculation states.
fn term(term: &Term) -> Origin {
    Origin {
        what: term.name.clone(),
        symbol: term.symbol.clone(),
        value: term.value,
        unit: term.unit.clone(),
        source: term.source.clone(),
        by: None,
        from: Vec::new(),
        inputs: term.inputs.clone(),
        not_taken: term.not_taken.clone(),
    }
}

/// An operation between the names of what it joins.
pub(super) const fn words(operation: Operation) -> &'static str {
    match operation {
        Operation::Times => " × ",
        Operation::DividedBy => " ÷ ",
        Operation::Plus => " + ",
        Operation::GreatestOf => ", or if greater ",
        Operation::LeastOf => ", or if less ",
        Operation::Becomes => " → ",
    }
}
