//! Numbers and inputs that relations are made of.

use super::super::relation::{Operand, Product};
use super::super::rule::Input;
use super::super::tree::{Keys, Node};
use crate::error::{Error, Place};

/// A product, of the keys "times" and "divided_by".
pub(super) fn product(keys: &Keys<'_>, inputs: &[Input]) -> Result<Product, Error> {
    let times = operands(&keys.required("times", "times = [\"fact or number\"]")?, inputs)?;
    let divided_by = keys.optional("divided_by").map_or_else(|| Ok(Vec::new()), |list| operands(&list, inputs))?;
    Ok(Product { times, divided_by })
}

fn operands(list: &Node<'_>, inputs: &[Input]) -> Result<Vec<Operand>, Error> {
    let mut operands = Vec::new();
    for item in list.some_items()? {
        if item.value.is_str() {
            let name = item.text()?;
            operands.push(Operand::Input(input_named(name, inputs, &item.place)?));
        } else {
            let number = item.number()?;
            if number <= 0.0 {
                return Err(Error::out_of_domain("number in a product", number, "", "above 0", item.place));
            }
            operands.push(Operand::Number(number));
        }
    }
    Ok(operands)
}

/// The index of the input of this name.
pub(super) fn input_named(name: &str, inputs: &[Input], place: &Place) -> Result<usize, Error> {
    inputs.iter().position(|input| input.fact.name == name).ok_or_else(|| {
        let known = inputs.iter().map(|input| input.fact.name);
        Error::unknown_name(name, "input of this rule", known, place.clone())
    })
}
