//! What a rule is made of against the unit of its answer: products, lines and steps must come out in it, and what is added,
//! compared or divided must stand in one unit.

use super::super::relation::{Form, Operand, Product, Relation};
use super::super::rule::{Input, Rule, Taken};
use super::super::steps::{Function, Operation, Step};
use super::super::table::Cell;
use super::super::unit::{Dimension, Unit};
use crate::error::{Error, Place};
use std::borrow::Cow;

/// How often mass, force, length, angle, temperature and time enter.
type Powers = [i32; 6];

/// Refuses a rule that comes out in another unit than its answer, and one that adds or compares what stands in unlike units.
/// Where dimensions differ, a number beside the inputs may carry some, as documents print (so many tons per square inch); inputs
/// alone may not, nor may a number change the unit.
pub(super) fn check(rule: &Rule, place: &Place) -> Result<(), Error> {
    let named = |what: &str| format!("{what} of the rule \"{}\"", rule.name);
    let place_of_unit = || place.child("unit");
    for (index, required) in rule.requires.iter().enumerate() {
        let found = Found::of(&required.of, &rule.inputs, &[]);
        if let Some([above, below]) = found.divided_unlike() {
            let what = format!(
                "the condition {} divides what stands in \"{above}\" by what stands in \"{below}\"",
                named(&format!("\"{}\"", required.name))
            );
            return Err(Error::inconsistent(what, place.child("requires").child(index)));
        }
    }
    match &rule.relation {
        Relation::Products { of, .. } => {
            for alternative in of {
                let what = match alternative.name.as_str() {
                    "" => named("the product"),
                    name => named(&format!("\"{name}\"")),
                };
                Found::of(&alternative.product, &rule.inputs, &[]).answers(rule.unit, what, place_of_unit)?;
            }
        }
        Relation::Form { form, of } => line(form, *of, rule, || named("the line"), place_of_unit)?,
        Relation::Table(table) => {
            for cell in table.cells.iter().flatten() {
                if let Cell::Form { form, of } = cell {
                    line(form, *of, rule, || named("a line in the table"), place_of_unit)?;
                }
            }
        }
        Relation::Steps(steps) => {
            let mut found: Vec<Found> = Vec::with_capacity(steps.len());
            for (index, step) in steps.iter().enumerate() {
                let named = || named(&format!("the step \"{}\"", step.symbol));
                let at = || place.child("steps").child(index);
                let one = of_step(step, &rule.inputs, &found, named, at)?;
                found.push(one);
            }
            if let (Some(step), Some(last)) = (steps.last(), found.last()) {
                last.answers(rule.unit, named(&format!("the step \"{}\"", step.symbol)), place_of_unit)?;
            }
        }
        _ => {}
    }
    Ok(())
}

/// A line runs in the unit of its answer where its input measures the same quantity; else its numbers carry dimensions.
fn line(
    form: &Form,
    of: usize,
    rule: &Rule,
    what: impl Fn() -> String,
    place: impl Fn() -> Place,
) -> Result<(), Error> {
    match form {
        Form::GreatestLine(_) | Form::LeastLine(_) => {
            let found = Found::operand(&Operand::Input(of), &rule.inputs, &[]);
            Found { number: true, ..found.into_owned() }.answers(rule.unit, what(), place)
        }
        Form::Root { .. } | Form::Bend { .. } => Ok(()),
    }
}

/// What a step comes out in, where what it is drawn from can be added, compared or taken for an angle.
fn of_step(
    step: &Step,
    inputs: &[Input],
    earlier: &[Found],
    what: impl Fn() -> String,
    place: impl Fn() -> Place,
) -> Result<Found, Error> {
    let operand = |of: &Operand| Found::operand(of, inputs, earlier).into_owned();
    match &step.operation {
        Operation::Product(product) => Ok(Found::of(product, inputs, earlier)),
        Operation::Sum { .. } | Operation::Pick { .. } => {
            let of: Vec<Found> = step.operation.operands().iter().map(operand).collect();
            // A bare number stands in the unit of what it stands beside.
            let mut known = of.into_iter().filter(|found| !found.is_bare());
            let Some(mut first) = known.next() else { return Ok(Found::bare()) };
            for other in known {
                if !first.may_stand_beside(&other) {
                    let together = match &step.operation {
                        Operation::Sum { .. } => "adds",
                        _ => "compares",
                    };
                    let (one, two) = (first.text(), other.text());
                    return Err(Error::inconsistent(format!("{} {together} {one} and {two}", what()), place()));
                }
                // What no number stands beside is known for sure.
                if first.number && !other.number {
                    first = other;
                } else if first.number && first.powers != other.powers {
                    first = Found::bare();
                }
            }
            Ok(first)
        }
        Operation::SquareRoot(of) => Ok(operand(of).root()),
        Operation::Angle { function, of, unit } => {
            let found = operand(of);
            let asked = Found::in_unit(if *function == Function::Arcsine { Unit::PLAIN } else { *unit }, 1);
            // An angle may be told as a pure number, too.
            let is_pure = found.powers == [0; 6] && found.has_factor_of(&Found::in_unit(Unit::PLAIN, 1));
            let carried = found.number && found.powers != asked.powers;
            if !(is_pure || carried || found.powers == asked.powers && found.has_factor_of(&asked)) {
                let what = format!("{} takes {} for {}", what(), found.text(), asked.text());
                return Err(Error::inconsistent(what, place()));
            }
            Ok(Found::in_unit(if *function == Function::Arcsine { *unit } else { Unit::PLAIN }, 1))
        }
    }
}

/// What inputs, and steps before, come to.
#[derive(Clone)]
struct Found {
    powers: Powers,
    /// One of it, in SI.
    factor: f64,
    /// Units above and below the line.
    units: [Vec<Unit>; 2],
    /// Whether a number stands among them, which may carry dimensions.
    number: bool,
}

impl Found {
    /// Numbers alone, which carry whatever they stand for.
    const fn bare() -> Self {
        Self { powers: [0; 6], factor: 1.0, units: [Vec::new(), Vec::new()], number: true }
    }

    fn is_bare(&self) -> bool {
        self.number && self.units.iter().all(Vec::is_empty) && self.powers == [0; 6]
    }

    fn of(product: &Product, inputs: &[Input], earlier: &[Self]) -> Self {
        let mut found = Self { number: false, ..Self::bare() };
        for (operands, sign) in [(&product.times, 1), (&product.divided_by, -1)] {
            for operand in operands {
                found.multiply(&Self::operand(operand, inputs, earlier), sign);
            }
        }
        found
    }

    fn operand<'a>(operand: &Operand, inputs: &[Input], earlier: &'a [Self]) -> Cow<'a, Self> {
        let pure = || Self { number: false, ..Self::bare() };
        match operand {
            Operand::Number(_) => Cow::Owned(Self::bare()),
            Operand::Earlier(index) => earlier.get(*index).map_or_else(|| Cow::Owned(Self::bare()), Cow::Borrowed),
            // A sine is a pure number.
            Operand::Input(index) => {
                let input = inputs.get(*index).filter(|input| input.taken != Taken::Sine);
                Cow::Owned(input.map_or_else(pure, |input| Self::in_unit(input.unit, 1)))
            }
        }
    }

    fn multiply(&mut self, other: &Self, sign: i32) {
        for (power, more) in self.powers.iter_mut().zip(other.powers) {
            *power += sign * more;
        }
        self.factor *= other.factor.powi(sign);
        let [above, below] = &other.units;
        let more = if sign > 0 { [above, below] } else { [below, above] };
        for (units, more) in self.units.iter_mut().zip(more) {
            units.extend(more);
        }
        self.number |= other.number;
    }

    fn root(mut self) -> Self {
        if self.powers.iter().any(|power| power % 2 != 0) {
            return Self::bare();
        }
        self.powers = self.powers.map(|power| power / 2);
        self.factor = self.factor.sqrt();
        self
    }

    fn in_unit(unit: Unit, sign: i32) -> Self {
        let powers = powers(unit.dimension).map(|power| sign * power);
        let named = if unit.text.is_empty() { Vec::new() } else { vec![unit] };
        let units = if sign > 0 { [named, Vec::new()] } else { [Vec::new(), named] };
        Self { powers, factor: unit.in_si(1.0).powi(sign), units, number: false }
    }

    fn has_factor_of(&self, other: &Self) -> bool {
        (self.factor / other.factor - 1.0).abs() < 1e-9
    }

    /// Whether both can be added or compared: in one unit, or of dimensions that a number may still make alike.
    fn may_stand_beside(&self, other: &Self) -> bool {
        if self.powers == other.powers { self.has_factor_of(other) } else { self.number || other.number }
    }

    fn answers(&self, unit: Unit, what: String, place: impl Fn() -> Place) -> Result<(), Error> {
        let asked = Self::in_unit(unit, 1);
        if self.is_bare() || self.may_stand_beside(&asked) {
            return Ok(());
        }
        let what = format!("{what} comes out in {}, and its answer is asked for in {}", self.text(), asked.text());
        Err(Error::inconsistent(what, place()))
    }

    /// The first two units of one quantity of which one is divided by the other, or all of them where together they come to a
    /// pure number that is none. Per cent is a pure number that documents print.
    fn divided_unlike(&self) -> Option<[String; 2]> {
        let [above, below] = &self.units;
        for one in above.iter().filter(|unit| unit.dimension != Dimension::Number) {
            let alike = || below.iter().filter(|other| other.dimension == one.dimension);
            if let Some(other) = alike().next().filter(|_| !alike().any(|other| other.scales_as(*one))) {
                return Some([one.text.to_owned(), other.text.to_owned()]);
            }
        }
        let measured = |units: &[Unit]| units.iter().filter(|unit| unit.dimension != Dimension::Number).count();
        let scale = |units: &[Unit]| {
            let of = units.iter().filter(|unit| unit.dimension != Dimension::Number);
            of.map(|unit| unit.in_si(1.0)).product::<f64>()
        };
        let is_pure = self.powers == [0; 6] && measured(above) > 0;
        (is_pure && (scale(above) / scale(below) - 1.0).abs() >= 1e-9).then(|| [joined(above), joined(below)])
    }

    fn text(&self) -> String {
        let [above, below] = &self.units;
        match (above.is_empty(), below.is_empty()) {
            (true, true) => "a pure number".to_owned(),
            (_, true) => format!("\"{}\"", joined(above)),
            _ => format!("\"{}/({})\"", joined(above), joined(below)),
        }
    }
}

fn joined(units: &[Unit]) -> String {
    let texts: Vec<&str> = units.iter().map(|unit| unit.text).collect();
    if texts.is_empty() { "1".to_owned() } else { texts.join("·") }
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
