//! From the keys of a rule to steps.

use super::super::relation::{Operand, Pick, Product};
use super::super::rule::Input;
use super::super::steps::{Function, Operation, Step};
use super::super::tree::{Keys, Node};
use super::super::unit::{Dimension, Unit};
use crate::error::{Error, Place};

/// The operations by the key that names them.
const OPERATIONS: &[&str] = &["sum", "times", "square_root", "sine", "cosine", "arcsine", "greatest", "least"];

/// What a step may be drawn from: the inputs of the rule and the steps before it.
struct Scope<'a> {
    inputs: &'a [Input],
    earlier: &'a [Step],
}

/// The steps of a rule, each but the last of which a later one must use.
pub(super) fn steps(keys: &Keys<'_>, inputs: &[Input]) -> Result<Vec<Step>, Error> {
    let list = keys.required("steps", "steps = [{ symbol = \"…\", name = \"…\", sum = [\"…\"] }]")?;
    let mut steps: Vec<Step> = Vec::new();
    let mut places = Vec::new();
    for item in list.some_items()? {
        let known = ["symbol", "name", "less", "divided_by", "angle_unit"];
        let keys = item.keys(&[&known, OPERATIONS].concat())?;
        let symbol = keys.text("symbol", "symbol = \"…\"")?;
        if steps.iter().any(|step| step.symbol == symbol) || inputs.iter().any(|input| symbol == input.fact.name) {
            return Err(Error::DuplicateName { name: symbol.into(), place: keys.place.child("symbol") });
        }
        let name = keys.text("name", "name = \"…\"")?;
        let operation = operation(&keys, &Scope { inputs, earlier: &steps })?;
        steps.push(Step { symbol, name, operation });
        places.push(item.place);
    }
    let last = steps.len().saturating_sub(1);
    for (index, (step, place)) in steps.iter().zip(places).enumerate().take(last) {
        let used = |later: &Step| later.operation.operands().contains(&Operand::Earlier(index));
        if !steps.iter().any(used) {
            return Err(Error::inconsistent(format!("no later step uses \"{}\"", step.symbol), place));
        }
    }
    Ok(steps)
}

fn operation(keys: &Keys<'_>, scope: &Scope<'_>) -> Result<Operation, Error> {
    let named: Vec<&str> = OPERATIONS.iter().copied().filter(|key| keys.optional(key).is_some()).collect();
    let &[name] = named.as_slice() else {
        let what = format!("a step has one operation out of {}", OPERATIONS.join(", "));
        return Err(Error::malformed(what, keys.place.clone()));
    };
    for (key, with) in [("less", "sum"), ("divided_by", "times")] {
        if let Some(node) = keys.optional(key).filter(|_| name != with) {
            return Err(Error::inconsistent(format!("\"{key}\" belongs to \"{with}\""), node.place));
        }
    }
    let list = |key: &str| keys.optional(key).map_or_else(|| Ok(Vec::new()), |node| scope.operands(&node));
    let one = || keys.required(name, "").and_then(|node| Ok((scope.operand(&node)?, node.place)));
    let function = match name {
        "sine" => Function::Sine,
        "cosine" => Function::Cosine,
        "arcsine" => Function::Arcsine,
        _ => {
            if let Some(node) = keys.optional("angle_unit") {
                return Err(Error::inconsistent("this operation has no angle", node.place));
            }
            return Ok(match name {
                "sum" => Operation::Sum { terms: list(name)?, less: list("less")? },
                "times" => Operation::Product(Product { times: list(name)?, divided_by: list("divided_by")? }),
                "greatest" => Operation::Pick { pick: Pick::Greatest, of: list(name)? },
                "least" => Operation::Pick { pick: Pick::Least, of: list(name)? },
                _ => Operation::SquareRoot(one()?.0),
            });
        }
    };
    let node = keys.required("angle_unit", "angle_unit = \"deg\"")?;
    let unit = Unit::measuring(Dimension::Angle, node.text()?, || node.place.clone())?;
    let (of, place) = one()?;
    if function != Function::Arcsine {
        scope.check_angle(of, unit, place)?;
    }
    Ok(Operation::Angle { function, of, unit })
}

impl Scope<'_> {
    fn operands(&self, list: &Node<'_>) -> Result<Vec<Operand>, Error> {
        list.some_items()?.iter().map(|item| self.operand(item)).collect()
    }

    fn operand(&self, node: &Node<'_>) -> Result<Operand, Error> {
        if !node.value.is_str() {
            return node.number().map(Operand::Number);
        }
        let name = node.text()?;
        let earlier = self.earlier.iter().position(|step| step.symbol == name).map(Operand::Earlier);
        let input = || self.inputs.iter().position(|input| input.fact.name == name).map(Operand::Input);
        earlier.or_else(input).ok_or_else(|| {
            let symbols = self.earlier.iter().map(|step| step.symbol.as_str());
            let known = symbols.chain(self.inputs.iter().map(|input| input.fact.name));
            Error::unknown_name(name, "input or earlier step of this rule", known, node.place.clone())
        })
    }

    /// An input that is an angle must stand in the unit in which the step takes it.
    fn check_angle(&self, of: Operand, unit: Unit, place: Place) -> Result<(), Error> {
        let Operand::Input(index) = of else { return Ok(()) };
        match self.inputs.get(index).map(|input| input.unit) {
            Some(found) if found != unit && found.dimension != Dimension::Number => {
                let what =
                    format!("the input stands in \"{}\", the angle of this step in \"{}\"", found.text, unit.text);
                Err(Error::inconsistent(what, place))
            }
            _ => Ok(()),
        }
    }
}
