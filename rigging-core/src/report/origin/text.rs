//! An origin in lines, each number below what was made of it.

use super::Origin;
use crate::chain::Operation;
use crate::report::figures::shown;
use std::fmt::Write;

pub(super) fn text(origin: &Origin) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail; the type of `write!` says otherwise.
    let written = write(&mut out, origin, 0);
    debug_assert!(written.is_ok());
    out
}

fn write(out: &mut String, origin: &Origin, depth: usize) -> std::fmt::Result {
    let indent = "  ".repeat(depth);
    let symbol = if origin.symbol.is_empty() { String::new() } else { format!(" {}", origin.symbol) };
    writeln!(out, "{indent}{}{symbol} = {}", origin.what, shown(origin.value, &origin.unit))?;
    let by = match origin.by {
        None => "",
        Some(Operation::Times) => "product of what follows; ",
        Some(Operation::DividedBy) => "quotient of what follows; ",
        Some(Operation::Plus) => "sum of what follows; ",
        Some(Operation::GreatestOf) => "the greatest of what follows; ",
        Some(Operation::LeastOf) => "the least of what follows; ",
        Some(Operation::Becomes) => "calculated from what follows; ",
    };
    writeln!(out, "{indent}  {by}{}", origin.source)?;
    for input in &origin.inputs {
        writeln!(out, "{indent}  {}: {}", input.name, input.value)?;
    }
    for branch in &origin.not_taken {
        writeln!(
            out,
            "{indent}  not taken: {} = {} ({})",
            branch.name,
            shown(branch.value, &origin.unit),
            branch.source
        )?;
    }
    origin.from.iter().try_for_each(|from| write(out, from, depth + 1))
}
