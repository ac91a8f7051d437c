//! Trying one rule on the facts of a question.

use super::answer::{Answer, Held, Ruled, Said};
use super::facts::Facts;
use super::range::Range;
use super::relation::{Alternative, Operand, Pick, Product, Relation};
use super::rule::{Match, Otherwise, Outside, Requirement, Rule, Taken, matches};
use super::steps::Step;
use super::table::{Cell, Found, Lookup, Rows, Table};
use super::vocabulary::Known;
use crate::chain::{Input as ChainInput, Term};
use crate::error::Reading;
use crate::source::{Citation, Source, Standing};
use crate::text::Text;

/// The inputs of a rule as read: values in the rule's units, and how they were stated.
struct Read {
    /// `None` where the fact is unknown; a table misses it only where it comes to need it.
    values: Vec<Option<f64>>,
    stated: Vec<ChainInput>,
    held: Vec<Held>,
}

impl Read {
    fn note(&mut self, name: impl Into<Text>, value: impl Into<Text>) {
        self.stated.push(ChainInput { name: name.into(), value: value.into() });
    }
}

/// An answer, or `None` where a later rule may speak. An answer that ends the attempt early travels as an error.
type Attempt<T = Option<Answer>> = Result<T, Box<Answer>>;

impl Rule {
    /// Try this rule; `None` means that it does not match and a later one may speak.
    pub(super) fn try_on(&self, facts: &Facts) -> Option<Answer> {
        self.attempt(facts).unwrap_or_else(|early| Some(*early))
    }

    fn attempt(&self, facts: &Facts) -> Attempt {
        match matches(&self.when, facts) {
            Match::No => return Ok(None),
            Match::Unknown(fact) => return Err(self.missing(fact.name)),
            Match::Yes => {}
        }
        let mut read = self.read(facts);
        // A table needs only what leads to the cell; any other rule needs every input, if only to check its range.
        if !matches!(self.relation, Relation::Table(_)) {
            for input in 0..self.inputs.len() {
                self.value(&read, input)?;
            }
        }
        for requirement in &self.requires {
            let value = self.product(&requirement.of, &read)?;
            if !(value.is_finite() && requirement.range.contains(value)) {
                return Ok(self.unmet(requirement, value));
            }
        }
        self.bound(&mut read)?;
        self.relate(facts, read)
    }

    fn missing(&self, fact: impl Into<Text>) -> Box<Answer> {
        Box::new(Answer::Missing { fact: fact.into(), needed_by: self.source.clone() })
    }

    fn outside(&self, reading: Reading, policy: impl Into<Text>) -> Box<Answer> {
        Box::new(Answer::OutsideRange { reading, policy: policy.into(), source: self.source.clone() })
    }

    fn unmet(&self, requirement: &Requirement, value: f64) -> Option<Answer> {
        let Requirement { name, range, why, .. } = requirement;
        match requirement.otherwise {
            Otherwise::NextRule => None,
            Otherwise::DoesNotApply => Some(Answer::DoesNotApply {
                why: format!("{why} ({name} is {value}, not {range})").into(),
                source: self.source.clone(),
            }),
            Otherwise::Refuse => Some(*self.outside(Reading::new(name, value, "", range.to_string()), why)),
        }
    }

    fn read(&self, facts: &Facts) -> Read {
        let mut read = Read { values: Vec::new(), stated: Vec::new(), held: Vec::new() };
        for condition in &self.when {
            note_word(&mut read, condition.fact, facts);
        }
        for input in &self.inputs {
            let stated = facts.stated_number(input.fact, input.unit);
            let counted = stated.as_ref().map(|(value, _)| input.counted(*value));
            read.values.push(counted);
            if let Some((_, text)) = stated {
                read.note(input.fact.name, text);
            }
            if let (Some(counted), Taken::FromVertical) = (counted, input.taken) {
                read.note(input.name(), in_unit(input.unit.text, counted));
            }
        }
        read
    }

    /// The value of an input, or that it is missing.
    fn value(&self, read: &Read, input: usize) -> Attempt<f64> {
        let fact = || self.inputs.get(input).map_or_else(|| self.name.clone(), |input| input.fact.name.into());
        read.values.get(input).copied().flatten().ok_or_else(|| self.missing(fact()))
    }

    fn product(&self, product: &Product, read: &Read) -> Attempt<f64> {
        let of = |operands: &[Operand]| -> Attempt<f64> {
            let mut running = 1.0;
            for operand in operands {
                running *= self.operand(operand, &[], read)?;
            }
            Ok(running)
        };
        Ok(of(&product.times)? / of(&product.divided_by)?)
    }

    /// The value of an operand; `earlier` are the results of the steps before.
    fn operand(&self, operand: &Operand, earlier: &[f64], read: &Read) -> Attempt<f64> {
        match operand {
            Operand::Number(number) => Ok(*number),
            Operand::Input(input) => self.value(read, *input),
            Operand::Earlier(step) => earlier.get(*step).copied().ok_or_else(|| self.senseless(f64::NAN)),
        }
    }

    /// Check every input against its range, hold what the document holds, then transform.
    fn bound(&self, read: &mut Read) -> Attempt<()> {
        for (input, value) in self.inputs.iter().zip(read.values.iter_mut()) {
            let Some(value) = value else { continue };
            let Range { low, high } = input.range;
            let (end, outside) = if input.range.lies_above(*value) {
                (low, &input.below)
            } else if input.range.lies_below(*value) {
                (high, &input.above)
            } else {
                (None, &input.above)
            };
            match (end, outside) {
                (None, _) => {}
                (Some(_), Outside::Refuse(policy)) => {
                    let reading =
                        Reading::new(input.name(), unrounded(*value), input.unit.text, input.range.to_string());
                    return Err(self.outside(reading, policy));
                }
                (Some(end), Outside::Hold(source)) => {
                    read.held.push(Held {
                        fact: input.name().into(),
                        stated: *value,
                        used: end.value,
                        unit: input.unit.text.into(),
                        source: source.clone(),
                    });
                    *value = end.value;
                }
            }
            if input.taken == Taken::Sine {
                *value = input.unit.in_si(*value).sin();
            }
        }
        Ok(())
    }

    fn relate(&self, facts: &Facts, mut read: Read) -> Attempt {
        Ok(Some(match &self.relation {
            Relation::Constant(value) => self.speak(*value, &[], read),
            Relation::Words(words) => {
                let inputs = std::mem::take(&mut read.stated);
                self.say(Said::Words { words: words.clone(), inputs }, self.source.clone(), read)
            }
            Relation::Form { form, of } => self.speak(form.at(self.value(&read, *of)?), &[], read),
            Relation::Products { pick, of } => self.picked(*pick, of, read)?,
            Relation::Steps(steps) => self.step_by_step(steps, read)?,
            Relation::Table(table) => return self.look_up(table, facts, read),
            Relation::DoesNotApply { why } => Answer::DoesNotApply { why: why.clone(), source: self.source.clone() },
            Relation::Withheld { why } => self.withhold(why.clone()),
        }))
    }

    fn picked(&self, pick: Pick, of: &[Alternative], mut read: Read) -> Attempt<Answer> {
        let mut values = Vec::new();
        for alternative in of {
            values.push(self.product(&alternative.product, &read)?);
        }
        let finite = values.iter().all(|value| value.is_finite());
        let Some((chosen, value)) = pick.among(&values).filter(|_| finite) else {
            return Err(self.senseless(f64::NAN));
        };
        let mut not_taken = Vec::new();
        for (index, (alternative, value)) in of.iter().zip(&values).enumerate() {
            if index != chosen {
                not_taken.push((&alternative.name, *value));
            } else if pick != Pick::Only {
                read.note("governing", &alternative.name);
            }
        }
        Ok(self.speak(value, &not_taken, read))
    }

    /// Every step stands among what the value was drawn from.
    fn step_by_step(&self, steps: &[Step], mut read: Read) -> Attempt<Answer> {
        let mut results: Vec<f64> = Vec::new();
        for Step { symbol, name, operation } in steps {
            let result = operation.at(|operand| self.operand(operand, &results, &read))?;
            if !result.is_finite() {
                let reading = Reading::new(name, result, "", "finite");
                return Err(self.outside(reading, "a step of the relation gives no value here"));
            }
            read.note(format!("{symbol}, {name}"), result.to_string());
            results.push(result);
        }
        let value = results.last().copied().unwrap_or(f64::NAN);
        Ok(self.speak(value, &[], read))
    }

    fn look_up(&self, table: &Table, facts: &Facts, mut read: Read) -> Attempt {
        let Some(row) = self.row(table, facts, &mut read)? else { return Ok(None) };
        let Some(column) = self.column(table, facts, &mut read)? else { return Ok(None) };
        Ok(Some(match table.cells.get(row).and_then(|cells| cells.get(column)) {
            Some(Cell::Value { value, suspect, standing, clause }) => {
                let source = self.source_with(*standing, clause.as_ref());
                match suspect {
                    Some(why) => Answer::Withheld { why: why.clone(), printed: Some(*value), source },
                    None => self.speak_from(*value, source, &[], read),
                }
            }
            Some(Cell::Form { form, of }) => self.speak(form.at(self.value(&read, *of)?), &[], read),
            Some(Cell::NotSeen) => {
                self.withhold(format!("this cell of the table \"{}\" was not seen", self.name).into())
            }
            None => return Err(self.senseless(f64::NAN)),
        }))
    }

    fn row(&self, table: &Table, facts: &Facts, read: &mut Read) -> Attempt<Option<usize>> {
        match &table.rows {
            Rows::Word { fact, keys } => {
                let word = facts.stated_word(fact).ok_or_else(|| self.missing(fact.name))?;
                read.note(fact.name, fact.text(word));
                Ok(keys.iter().position(|words| words.contains(word)))
            }
            Rows::Band { input, bands } => {
                let x = self.value(read, *input)?;
                let Some(row) = bands.iter().position(|band| band.contains(x)) else {
                    return Err(self.between_bands(*input, x, bands));
                };
                if let Some(band) = bands.get(row) {
                    read.note("printed row", band.to_string());
                }
                Ok(Some(row))
            }
            Rows::Number { input, lookup, keys, others_not_seen } => {
                let x = self.value(read, *input)?;
                let Found::At(row) = lookup.find(x, keys.iter().copied().enumerate()) else {
                    if *others_not_seen {
                        let row = self.in_unit(*input, unrounded(x));
                        let read: Vec<String> = keys.iter().flatten().map(f64::to_string).collect();
                        let unit = self.inputs.get(*input).map_or("", |input| input.unit.text);
                        let why = format!(
                            "the row {row} of the table \"{}\", if it is printed, was not seen; the rows that were read are {} {unit}",
                            self.name,
                            read.join(", "),
                        );
                        return Err(Box::new(self.withhold(why.into())));
                    }
                    return Err(self.unprinted(*input, x, *lookup, keys.iter().copied()));
                };
                let printed = keys.get(row).copied().flatten();
                read.note(
                    "printed row",
                    printed.map_or(Text::fixed("above all others"), |key| self.in_unit(*input, key)),
                );
                Ok(Some(row))
            }
        }
    }

    fn column(&self, table: &Table, facts: &Facts, read: &mut Read) -> Attempt<Option<usize>> {
        let mut open = Vec::new();
        let mut unknown = None;
        for (index, column) in table.columns.iter().enumerate() {
            match matches(&column.words, facts) {
                Match::Yes => open.push((index, column.number)),
                Match::No => {}
                Match::Unknown(fact) => unknown = unknown.or(Some(fact)),
            }
        }
        if let Some(fact) = unknown {
            return Err(self.missing(fact.name));
        }
        let Some((first, _)) = open.first().copied() else { return Ok(None) };
        for condition in table.columns.get(first).map_or(&[][..], |column| &column.words) {
            note_word(read, condition.fact, facts);
        }
        let Some((input, lookup)) = table.column_number else { return Ok(Some(first)) };
        // A column of words only is met alone: the loader sees to it.
        if let [(only, None)] = open.as_slice() {
            return Ok(Some(*only));
        }
        let x = self.value(read, input)?;
        let Found::At(column) = lookup.find(x, open.iter().copied()) else {
            return Err(self.unprinted(input, x, lookup, open.iter().map(|(_, key)| *key)));
        };
        if let Some(number) = table.columns.get(column).and_then(|column| column.number) {
            read.note("printed column", self.in_unit(input, number));
        }
        Ok(Some(column))
    }

    fn in_unit(&self, input: usize, value: f64) -> Text {
        in_unit(self.inputs.get(input).map_or("", |input| input.unit.text), value)
    }

    fn between_bands(&self, input: usize, value: f64, bands: &[Range]) -> Box<Answer> {
        let Some(input) = self.inputs.get(input) else { return self.senseless(value) };
        let printed: Vec<String> = bands.iter().map(Range::to_string).collect();
        let policy = match &input.above {
            Outside::Refuse(policy) => policy.clone(),
            Outside::Hold(_) => Text::fixed("the table prints no value for it"),
        };
        self.outside(Reading::new(input.name(), value, input.unit.text, printed.join(", or ")), policy)
    }

    fn unprinted(
        &self,
        input: usize,
        value: f64,
        lookup: Lookup,
        keys: impl Iterator<Item = Option<f64>>,
    ) -> Box<Answer> {
        let (fact, unit) = self.inputs.get(input).map_or(("", ""), |input| (input.name(), input.unit.text));
        let printed: Vec<String> = keys.flatten().map(|key| key.to_string()).collect();
        let reach = if lookup == Lookup::Exact { "one" } else { "within the reach" };
        let allowed = format!("{reach} of the printed values {}", printed.join(", "));
        self.outside(Reading::new(fact, unrounded(value), unit, allowed), "the table prints no value for it")
    }

    fn source_with(&self, standing: Option<Standing>, clause: Option<&Text>) -> Source {
        if standing.is_none() && clause.is_none() {
            return self.source.clone();
        }
        let own = &*self.source;
        Citation {
            standing: standing.unwrap_or(own.standing),
            clause: clause.unwrap_or(&own.clause).clone(),
            ..own.clone()
        }
        .into()
    }

    fn withhold(&self, why: Text) -> Answer {
        Answer::Withheld { why, printed: None, source: self.source.clone() }
    }

    /// A relation came to nothing that could be an answer to its question.
    fn senseless(&self, value: f64) -> Box<Answer> {
        let allowed = self.question.law().allowed();
        self.outside(Reading::new(&self.name, value, self.unit.text, allowed), "the relation gives no value here")
    }

    fn speak(&self, value: f64, not_taken: &[(&Text, f64)], read: Read) -> Answer {
        self.speak_from(value, self.source.clone(), not_taken, read)
    }

    fn speak_from(&self, value: f64, source: Source, not_taken: &[(&Text, f64)], mut read: Read) -> Answer {
        let si = self.answered(value);
        if !self.question.law().admits(si) {
            return *self.senseless(value);
        }
        if self.reduces {
            read.note("printed as taken off", in_unit(self.unit.text, value));
        }
        let unit = self.unit.dimension.si();
        let mut term = Term::new(&self.symbol, &self.name, si, unit, source.clone());
        term.inputs = std::mem::take(&mut read.stated);
        for (name, value) in not_taken {
            term = term.instead_of((*name).clone(), self.answered(*value), source.clone());
        }
        self.say(Said::Value { term, printed: value, printed_unit: self.unit.text.into() }, source, read)
    }

    fn say(&self, said: Said, source: Source, read: Read) -> Answer {
        Answer::Speaks(Box::new(Ruled {
            rule: self.name.clone(),
            said,
            source,
            held: read.held,
            note: self.note.clone(),
        }))
    }
}

/// A value as it was entered, for a message: what the rounding of a conversion between units added to it left off.
fn unrounded(value: f64) -> f64 {
    format!("{value:.14e}").parse().unwrap_or(value)
}

fn in_unit(unit: &str, value: f64) -> Text {
    match unit {
        "" => Text::written(format_args!("{value}")),
        unit => Text::written(format_args!("{value} {unit}")),
    }
}

/// Notes the word that a fact was stated with, among what the answer was drawn from.
fn note_word(read: &mut Read, fact: &'static Known, facts: &Facts) {
    if let Some(word) = facts.stated_word(fact) {
        read.note(fact.name, fact.text(word));
    }
}
