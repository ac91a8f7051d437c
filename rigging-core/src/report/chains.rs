//! Chains in lines: what each value is, where it comes from, and what it was made of.

use super::figures::shown;
use crate::chain::{Acts, Chain, Operation, Term};
use std::fmt::{self, Write};

/// Writes a chain under its title.
pub(super) fn write(out: &mut String, chain: &Chain) -> fmt::Result {
    writeln!(out, "  {}: {}", chain.quantity, shown(chain.value(), chain.unit()))?;
    term(out, "  ", &chain.base, &chain.base.unit)?;
    for step in &chain.steps {
        let sign = match step.operation {
            Operation::Times => "×",
            Operation::DividedBy => "÷",
            Operation::Plus => "+",
            Operation::GreatestOf => "≥",
            Operation::LeastOf => "≤",
            Operation::Becomes => "→",
        };
        term(out, sign, &step.term, &step.term.unit)?;
        let acts = match step.acts {
            Acts::OnWeight => "acts on weight, before the equilibrium",
            Acts::OnForce => "acts on force",
        };
        if step.operation != Operation::Becomes {
            writeln!(out, "        = {}  ({acts})", shown(step.result, &step.unit))?;
        }
    }
    Ok(())
}

fn term(out: &mut String, sign: &str, term: &Term, unit: &str) -> fmt::Result {
    writeln!(out, "    {sign:<2} {} = {}  {}", term.symbol, shown(term.value, unit), term.name)?;
    writeln!(out, "        source: {}", term.source)?;
    for input in &term.inputs {
        writeln!(out, "        {}: {}", input.name, input.value)?;
    }
    for branch in &term.not_taken {
        writeln!(out, "        not taken: {} = {} ({})", branch.name, shown(branch.value, unit), branch.source)?;
    }
    Ok(())
}
