//! One rule: what it answers, when it speaks, from which facts, by which relation.

use super::answer::{Answer, Held, Ruled, Said};
use super::facts::Facts;
use super::question::Question;
use super::range::Range;
use super::relation::{Form, Operand, Pick, Product, Relation};
use super::table::{Cell, Found, Rows, Table};
use super::unit::Unit;
use crate::chain::{Input as ChainInput, Term};
use crate::error::Reading;
use crate::source::{Source, Standing};

/// A rule, as read from a rule file.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rule {
    pub(super) question: Question,
    pub(super) symbol: String,
    pub(super) name: String,
    pub(super) when: Vec<(String, Vec<String>)>,
    pub(super) inputs: Vec<Input>,
    pub(super) requires: Vec<Requirement>,
    pub(super) relation: Relation,
    pub(super) unit: Unit,
    pub(super) source: Source,
    pub(super) note: Option<String>,
}

/// A numerical fact that a rule reads.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Input {
    pub(super) fact: String,
    pub(super) unit: Unit,
    pub(super) range: Range,
    pub(super) below: Outside,
    pub(super) above: Outside,
    pub(super) sine: bool,
}

/// What the document provides for a value outside the range.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Outside {
    /// Nothing, or what these words say.
    Refuse(String),
    /// The end of the range is used; the document says so here.
    Hold(Source),
}

/// A condition in numbers, beyond the ranges of the inputs.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Requirement {
    pub(super) name: String,
    pub(super) of: Product,
    pub(super) range: Range,
    pub(super) otherwise: Otherwise,
    pub(super) why: String,
}

/// What follows when a condition is not met.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Otherwise {
    /// The rule does not apply.
    DoesNotApply,
    /// The facts are out of the rule's range.
    Refuse,
    /// A later rule may speak.
    NextRule,
}

/// What trying one rule leads to.
pub(super) enum Outcome {
    Answer(Answer),
    Next,
}

/// Whether the words of a condition are met.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Match {
    Yes,
    No,
    Unknown(String),
}

/// Whether every condition on words is met; a definite no outweighs an unknown.
pub(super) fn matches(conditions: &[(String, Vec<String>)], facts: &Facts) -> Match {
    let mut unknown = None;
    for (fact, words) in conditions {
        match facts.stated_word(fact) {
            Some(word) if words.iter().any(|known| known == word) => {}
            Some(_) => return Match::No,
            None => unknown = unknown.or(Some(fact)),
        }
    }
    unknown.map_or(Match::Yes, |fact| Match::Unknown(fact.clone()))
}

/// The inputs of a rule, read: values in the rule's units, and how they were stated.
struct Read {
    /// `None` where the fact is unknown; a table misses it only where it comes to need it.
    values: Vec<Option<f64>>,
    stated: Vec<ChainInput>,
    held: Vec<Held>,
}

impl Rule {
    /// Try this rule on the facts.
    pub(super) fn try_on(&self, facts: &Facts) -> Outcome {
        match matches(&self.when, facts) {
            Match::No => return Outcome::Next,
            Match::Unknown(fact) => return Outcome::Answer(self.missing(fact)),
            Match::Yes => {}
        }
        let mut read = self.read(facts);
        // A table needs only what leads to the cell; any other rule needs every input, if only to check its range.
        if !matches!(self.relation, Relation::Table(_))
            && let Some(unknown) = read.values.iter().position(Option::is_none)
            && let Err(answer) = self.value(&read, unknown)
        {
            return Outcome::Answer(answer);
        }
        for requirement in &self.requires {
            let value = match self.product(&requirement.of, &read) {
                Ok(value) => value,
                Err(answer) => return Outcome::Answer(answer),
            };
            if value.is_finite() && requirement.range.contains(value) {
                continue;
            }
            return match requirement.otherwise {
                Otherwise::NextRule => Outcome::Next,
                Otherwise::DoesNotApply => Outcome::Answer(Answer::DoesNotApply {
                    why: format!("{} ({} is {value}, not {})", requirement.why, requirement.name, requirement.range),
                    source: self.source.clone(),
                }),
                Otherwise::Refuse => Outcome::Answer(Answer::OutsideRange {
                    reading: Reading::new(&requirement.name, value, "", requirement.range.to_string()),
                    policy: requirement.why.clone(),
                    source: self.source.clone(),
                }),
            };
        }
        if let Err(answer) = self.bound(&mut read) {
            return Outcome::Answer(answer);
        }
        self.evaluate(facts, read)
    }

    fn missing(&self, fact: impl Into<String>) -> Answer {
        Answer::Missing { fact: fact.into(), needed_by: self.source.clone() }
    }

    fn outside(&self, reading: Reading, policy: impl Into<String>) -> Answer {
        Answer::OutsideRange { reading, policy: policy.into(), source: self.source.clone() }
    }

    /// The value of an input, or that it is missing.
    fn value(&self, read: &Read, input: usize) -> Result<f64, Answer> {
        read.values
            .get(input)
            .copied()
            .flatten()
            .ok_or_else(|| self.missing(self.inputs.get(input).map_or(self.name.as_str(), |input| input.fact.as_str())))
    }

    fn product(&self, product: &Product, read: &Read) -> Result<f64, Answer> {
        let factors = |operands: &[Operand]| {
            operands.iter().try_fold(1.0, |running, operand| {
                Ok(running
                    * match operand {
                        Operand::Number(number) => *number,
                        Operand::Input(input) => self.value(read, *input)?,
                    })
            })
        };
        Ok(factors(&product.times)? / factors(&product.divided_by)?)
    }

    fn read(&self, facts: &Facts) -> Read {
        let mut read = Read { values: Vec::new(), stated: Vec::new(), held: Vec::new() };
        for (fact, _) in &self.when {
            if let Some(word) = facts.stated_word(fact) {
                read.stated.push(ChainInput { name: fact.clone(), value: word.to_owned() });
            }
        }
        for input in &self.inputs {
            let stated = facts.stated_number(&input.fact, input.unit);
            read.values.push(stated.as_ref().map(|(value, _)| *value));
            if let Some((_, text)) = stated {
                read.stated.push(ChainInput { name: input.fact.clone(), value: text });
            }
        }
        read
    }

    /// Check every input against its range, hold what the document holds, then transform.
    fn bound(&self, read: &mut Read) -> Result<(), Answer> {
        for (input, value) in self.inputs.iter().zip(read.values.iter_mut()) {
            let Some(value) = value else { continue };
            let (end, outside) = if input.range.lies_above(*value) {
                (input.range.low, &input.below)
            } else if input.range.lies_below(*value) {
                (input.range.high, &input.above)
            } else {
                (None, &input.above)
            };
            if let Some(end) = end {
                match outside {
                    Outside::Refuse(policy) => {
                        let reading = Reading::new(&input.fact, *value, input.unit.text, input.range.to_string());
                        return Err(self.outside(reading, policy));
                    }
                    Outside::Hold(source) => {
                        read.held.push(Held {
                            fact: input.fact.clone(),
                            stated: *value,
                            used: end.value,
                            unit: input.unit.text.to_owned(),
                            source: source.clone(),
                        });
                        *value = end.value;
                    }
                }
            }
            if input.sine {
                *value = input.unit.to_si(*value).sin();
            }
        }
        Ok(())
    }

    fn evaluate(&self, facts: &Facts, read: Read) -> Outcome {
        Outcome::Answer(match &self.relation {
            Relation::Constant(value) => self.speak(*value, None, &[], read),
            Relation::Words(words) => Answer::Speaks(Ruled {
                rule: self.name.clone(),
                said: Said::Words(words.clone()),
                source: self.source.clone(),
                inputs: read.stated,
                held: read.held,
                note: self.note.clone(),
            }),
            Relation::Form { form, of } => self.at(form, *of, read),
            Relation::Products { pick, of } => {
                let values: Result<Vec<f64>, Answer> =
                    of.iter().map(|alternative| self.product(&alternative.product, &read)).collect();
                let values = match values {
                    Ok(values) => values,
                    Err(answer) => return Outcome::Answer(answer),
                };
                let chosen = if values.iter().all(|value| value.is_finite()) { pick.among(&values) } else { None };
                let Some((index, value)) = chosen else {
                    return Outcome::Answer(self.senseless(f64::NAN));
                };
                let not_taken: Vec<(&str, f64)> = of
                    .iter()
                    .zip(&values)
                    .enumerate()
                    .filter(|(other, _)| *other != index)
                    .map(|(_, (alternative, value))| (alternative.name.as_str(), *value))
                    .collect();
                let taken = (*pick != Pick::Only).then(|| of.get(index)).flatten();
                let mut read = read;
                if let Some(taken) = taken {
                    read.stated.push(ChainInput { name: "governing".to_owned(), value: taken.name.clone() });
                }
                self.speak(value, None, &not_taken, read)
            }
            Relation::Table(table) => return self.look_up(table, facts, read),
            Relation::DoesNotApply { why } => Answer::DoesNotApply { why: why.clone(), source: self.source.clone() },
            Relation::Withheld { why } => {
                Answer::Withheld { why: why.clone(), printed: None, source: self.source.clone() }
            }
        })
    }

    fn at(&self, form: &Form, input: usize, read: Read) -> Answer {
        match self.value(&read, input) {
            Ok(x) => self.speak(form.at(x), None, &[], read),
            Err(answer) => answer,
        }
    }

    fn look_up(&self, table: &Table, facts: &Facts, mut read: Read) -> Outcome {
        let row = match &table.rows {
            Rows::Word { fact, keys } => {
                let Some(word) = facts.stated_word(fact) else {
                    return Outcome::Answer(self.missing(fact));
                };
                read.stated.push(ChainInput { name: fact.clone(), value: word.to_owned() });
                match keys.iter().position(|words| words.iter().any(|known| known == word)) {
                    Some(row) => row,
                    None => return Outcome::Next,
                }
            }
            Rows::Number { input, lookup, keys } => {
                let x = match self.value(&read, *input) {
                    Ok(x) => x,
                    Err(answer) => return Outcome::Answer(answer),
                };
                match lookup.find(x, keys.iter().copied().enumerate()) {
                    Found::At(row) => {
                        let limit = keys.get(row).copied().flatten();
                        let printed = limit.map_or_else(|| "the last row".to_owned(), |key| self.in_unit(*input, key));
                        read.stated.push(ChainInput { name: "printed row".to_owned(), value: printed });
                        row
                    }
                    Found::Outside => {
                        let printed = keys.iter().flatten().map(f64::to_string).collect::<Vec<_>>().join(", ");
                        return Outcome::Answer(self.unprinted(*input, x, &printed));
                    }
                }
            }
        };
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
            return Outcome::Answer(self.missing(fact));
        }
        for (fact, word) in table
            .columns
            .iter()
            .flat_map(|column| &column.words)
            .filter_map(|(fact, _)| facts.stated_word(fact).map(|word| (fact, word)))
        {
            if !read.stated.iter().any(|input| &input.name == fact) {
                read.stated.push(ChainInput { name: fact.clone(), value: word.to_owned() });
            }
        }
        let column = match table.column_number {
            _ if open.is_empty() => return Outcome::Next,
            None => open.first().map(|(index, _)| *index),
            Some((input, lookup)) => {
                let x = match self.value(&read, input) {
                    Ok(x) => x,
                    Err(answer) => return Outcome::Answer(answer),
                };
                match lookup.find(x, open.iter().copied()) {
                    Found::At(index) => {
                        let number = table.columns.get(index).and_then(|column| column.number);
                        if let Some(number) = number {
                            let value = self.in_unit(input, number);
                            read.stated.push(ChainInput { name: "printed column".to_owned(), value });
                        }
                        Some(index)
                    }
                    Found::Outside => {
                        let printed =
                            open.iter().filter_map(|(_, key)| *key).map(|key| key.to_string()).collect::<Vec<_>>();
                        return Outcome::Answer(self.unprinted(input, x, &printed.join(", ")));
                    }
                }
            }
        };
        let cell = column.and_then(|column| table.cells.get(row).and_then(|cells| cells.get(column)));
        Outcome::Answer(match cell {
            Some(Cell::Value { value, suspect: Some(why), standing }) => {
                Answer::Withheld { why: why.clone(), printed: Some(*value), source: self.source_with(*standing) }
            }
            Some(Cell::Value { value, suspect: None, standing }) => self.speak(*value, *standing, &[], read),
            Some(Cell::Form { form, of }) => self.at(form, *of, read),
            Some(Cell::NotSeen) => Answer::Withheld {
                why: format!("this cell of the table \"{}\" was not seen", self.name),
                printed: None,
                source: self.source.clone(),
            },
            None => self.senseless(f64::NAN),
        })
    }

    fn in_unit(&self, input: usize, value: f64) -> String {
        let unit = self.inputs.get(input).map_or("", |input| input.unit.text);
        if unit.is_empty() { format!("{value}") } else { format!("{value} {unit}") }
    }

    fn unprinted(&self, input: usize, value: f64, printed: &str) -> Answer {
        let (fact, unit) = self.inputs.get(input).map_or(("", ""), |input| (input.fact.as_str(), input.unit.text));
        self.outside(
            Reading::new(fact, value, unit, format!("one of {printed} or within their reach")),
            "the table prints no value for it",
        )
    }

    fn source_with(&self, standing: Option<Standing>) -> Source {
        Source { standing: standing.unwrap_or(self.source.standing), ..self.source.clone() }
    }

    /// A relation came to nothing that could be an answer to its question.
    fn senseless(&self, value: f64) -> Answer {
        let allowed = self.question.law().allowed();
        self.outside(Reading::new(&self.name, value, self.unit.text, allowed), "the relation gives no value here")
    }

    fn speak(&self, value: f64, standing: Option<Standing>, not_taken: &[(&str, f64)], read: Read) -> Answer {
        let si = self.unit.to_si(value);
        if !self.question.law().admits(si) {
            return self.senseless(value);
        }
        let source = self.source_with(standing);
        let mut term = Term::new(&self.symbol, &self.name, si, self.unit.dimension.si(), source.clone());
        term.inputs.clone_from(&read.stated);
        for (name, value) in not_taken {
            term = term.instead_of(*name, self.unit.to_si(*value), source.clone());
        }
        Answer::Speaks(Ruled {
            rule: self.name.clone(),
            said: Said::Value { term, printed: value, printed_unit: self.unit.text.to_owned() },
            source,
            inputs: read.stated,
            held: read.held,
            note: self.note.clone(),
        })
    }

    /// Whether this rule leaves nothing for a later rule that speaks only when `other` does.
    pub(super) fn covers(&self, other: &Self) -> bool {
        let passes_on = self.requires.iter().any(|requirement| requirement.otherwise == Otherwise::NextRule)
            || matches!(self.relation, Relation::Table(_));
        let narrower = |fact: &String, words: &Vec<String>| {
            other.when.iter().any(|(other_fact, other_words)| {
                other_fact == fact && other_words.iter().all(|word| words.contains(word))
            })
        };
        self.question == other.question && !passes_on && self.when.iter().all(|(fact, words)| narrower(fact, words))
    }
}
