//! Products against the unit of their answer: what is multiplied must come out in it.

use super::super::relation::{Operand, Product, Relation};
use super::super::rule::{Input, Rule, Taken};
use super::super::unit::{Dimension, Unit};
use crate::error::{Error, Place};

/// How often mass, force, length, angle, temperature and time enter.
type Powers = [i32; 6];

/// Refuses a rule whose product comes out in another unit than its answer. Where dimensions differ, a number beside the inputs may
/// carry some, as documents print (so many tons per square inch); inputs alone may not, nor may a number change the unit.
pub(super) fn check(rule: &Rule, place: &Place) -> Result<(), Error> {
    let Relation::Products { of, .. } = &rule.relation else { return Ok(()) };
    for alternative in of {
        let found = Found::of(&alternative.product, &rule.inputs);
        let asked = Found::in_unit(rule.unit, 1);
        let fits = if found.powers == asked.powers {
            // A temperature counts from a zero of its scale, and has no factor.
            found.powers[4] != 0 || (found.factor / asked.factor - 1.0).abs() < 1e-9
        } else {
            has_number(&alternative.product)
        };
        if !fits {
            let what = match alternative.name.as_str() {
                "" => format!("the product of the rule \"{}\"", rule.name),
                name => format!("\"{name}\" of the rule \"{}\"", rule.name),
            };
            let what = format!("{what} comes out in {}, and its answer is asked for in {}", found.text(), asked.text());
            return Err(Error::inconsistent(what, place.child("unit")));
        }
    }
    Ok(())
}

fn has_number(product: &Product) -> bool {
    product.times.iter().chain(&product.divided_by).any(|operand| matches!(operand, Operand::Number(_)))
}

/// What inputs multiply to.
struct Found {
    powers: Powers,
    /// One of it, in SI.
    factor: f64,
    /// Units above and below the line.
    units: [Vec<&'static str>; 2],
}

impl Found {
    fn of(product: &Product, inputs: &[Input]) -> Self {
        let mut found = Self { powers: [0; 6], factor: 1.0, units: [Vec::new(), Vec::new()] };
        for (operands, sign) in [(&product.times, 1), (&product.divided_by, -1)] {
            for operand in operands {
                let Operand::Input(index) = operand else { continue };
                // A sine is a pure number.
                let Some(input) = inputs.get(*index).filter(|input| input.taken != Taken::Sine) else { continue };
                let one = Self::in_unit(input.unit, sign);
                for (power, more) in found.powers.iter_mut().zip(one.powers) {
                    *power += more;
                }
                found.factor *= one.factor;
                for (units, more) in found.units.iter_mut().zip(one.units) {
                    units.extend(more);
                }
            }
        }
        found
    }

    fn in_unit(unit: Unit, sign: i32) -> Self {
        let powers = powers(unit.dimension).map(|power| sign * power);
        let named: Vec<&'static str> = Some(unit.text).filter(|text| !text.is_empty()).into_iter().collect();
        let units = if sign > 0 { [named, Vec::new()] } else { [Vec::new(), named] };
        Self { powers, factor: unit.in_si(1.0).powi(sign), units }
    }

    fn text(&self) -> String {
        let [above, below] = &self.units;
        let joined = |units: &[&str]| if units.is_empty() { "1".to_owned() } else { units.join("·") };
        match (above.is_empty(), below.is_empty()) {
            (true, true) => "a pure number".to_owned(),
            (_, true) => format!("\"{}\"", joined(above)),
            _ => format!("\"{}/({})\"", joined(above), joined(below)),
        }
    }
}

const fn powers(dimension: Dimension) -> Powers {
    match dimension {
        Dimension::Number => [0; 6],
        Dimension::Mass => [1, 0, 0, 0, 0, 0],
        Dimension::Force => [0, 1, 0, 0, 0, 0],
        Dimension::Length => [0, 0, 1, 0, 0, 0],
        Dimension::MassPerLength => [1, 0, -1, 0, 0, 0],
        Dimension::Angle => [0, 0, 0, 1, 0, 0],
        Dimension::Temperature => [0, 0, 0, 0, 1, 0],
        Dimension::Stress => [0, 1, -2, 0, 0, 0],
        Dimension::CalendarTime => [0, 0, 0, 0, 0, 1],
    }
}
