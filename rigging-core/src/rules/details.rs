//! A rule as a list of what it says, each under a name: what two rules are compared by.

use super::range::Range;
use super::relation::{Alternative, Form, Operand, Pick, Product, Relation};
use super::rule::{Condition, Input, Otherwise, Outside, Rule, Taken};
use super::steps::Operation;
use super::table::{Cell, Lookup, Rows, Table};
use super::unit::Unit;
use super::vocabulary::{Known, WordSet};
use std::collections::BTreeMap;

/// How far the same number may be off, as a share of it, for being printed in another unit.
const CONVERTED: f64 = 1e-12;

/// One thing that a rule says: a number with its unit, or a text.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Detail {
    Number { printed: f64, unit: Unit },
    Text(String),
}

impl Detail {
    /// Whether both say the same: a number by its value, whatever unit it is printed in.
    pub(super) fn is_the_same_as(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Number { printed: a, unit: of_a }, Self::Number { printed: b, unit: of_b }) => {
                let (a, b) = (of_a.in_si(*a), of_b.in_si(*b));
                (a - b).abs() <= CONVERTED * a.abs().max(b.abs())
            }
            (one, other) => one == other,
        }
    }

    /// As a report prints it.
    pub(super) fn text(&self) -> String {
        match self {
            Self::Number { printed, unit } if unit.text.is_empty() => printed.to_string(),
            Self::Number { printed, unit } => format!("{printed} {}", unit.text),
            Self::Text(text) => text.clone(),
        }
    }
}

/// What a rule says, in the order of the names.
pub(super) type Details = BTreeMap<String, Detail>;

/// Gathers details under names.
#[derive(Default)]
struct Gathered(Details);

impl Gathered {
    fn text(&mut self, name: impl Into<String>, text: impl Into<String>) {
        self.0.insert(name.into(), Detail::Text(text.into()));
    }

    fn number(&mut self, name: impl Into<String>, printed: f64, unit: Unit) {
        self.0.insert(name.into(), Detail::Number { printed, unit });
    }

    fn range(&mut self, of: &str, range: &Range, unit: Unit) {
        for (end, closed, open) in [(range.low, "at least", "more than"), (range.high, "at most", "less than")] {
            if let Some(end) = end {
                self.number(format!("{of}, {}", if end.inclusive { closed } else { open }), end.value, unit);
            }
        }
    }
}

/// What a rule says beside its name, question and source.
pub(super) fn details(rule: &Rule) -> Details {
    let mut all = Gathered::default();
    for condition in &rule.when {
        all.text(format!("when {}", condition.fact.name), words(condition));
    }
    for input in &rule.inputs {
        of_input(&mut all, input);
    }
    for requirement in &rule.requires {
        let of = format!("required {}", requirement.name);
        all.text(of.clone(), product(&requirement.of, rule));
        all.range(&of, &requirement.range, Unit::PLAIN);
        let otherwise = match requirement.otherwise {
            Otherwise::DoesNotApply => "does not apply",
            Otherwise::Refuse => "refuse",
            Otherwise::NextRule => "next rule",
        };
        all.text(format!("{of}, otherwise"), otherwise);
        all.text(format!("{of}, why"), requirement.why.as_str());
    }
    if rule.reduces {
        all.text("prints", "reduction");
    }
    if let Some(note) = &rule.note {
        all.text("note", note.as_str());
    }
    of_relation(&mut all, rule);
    all.0
}

/// The words of a condition.
pub(super) fn words(condition: &Condition) -> String {
    texts(condition.fact, condition.words)
}

fn texts(fact: &'static Known, words: WordSet) -> String {
    let named = fact.words().iter().filter(|text| fact.word(text).is_some_and(|word| words.contains(word)));
    named.copied().collect::<Vec<_>>().join(", ")
}

fn of_input(all: &mut Gathered, input: &Input) {
    let of = format!("input {}", input.name());
    all.text(of.clone(), input.unit.text);
    all.range(&of, &input.range, input.unit);
    for (side, outside) in [("below", &input.below), ("above", &input.above)] {
        match outside {
            Outside::Hold(source) => all.text(format!("{of}, {side}"), format!("held after {}", source.clause)),
            Outside::Refuse(policy) if side == "above" => all.text(format!("{of}, policy"), policy.as_str()),
            Outside::Refuse(_) => {}
        }
    }
    if input.taken == Taken::Sine {
        all.text(format!("{of}, as"), "sine");
    }
}

fn of_relation(all: &mut Gathered, rule: &Rule) {
    let name = match &rule.relation {
        Relation::Constant(value) => {
            all.number("value", *value, rule.unit);
            "constant"
        }
        Relation::Words(words) => {
            all.text("words", words.join(", "));
            "words"
        }
        Relation::Table(table) => {
            of_table(all, rule, table);
            "table"
        }
        Relation::Form { form, of } => {
            all.text("relation of", input_name(rule, *of));
            of_form(all, "", form)
        }
        Relation::Products { pick, of } => {
            for Alternative { name, product: factors } in of {
                all.text(format!("product {name}").trim_end(), product(factors, rule));
            }
            match pick {
                Pick::Only => "product",
                Pick::Greatest => "greatest of",
                Pick::Least => "least of",
            }
        }
        Relation::Steps(steps) => {
            for step in steps {
                all.text(format!("step {}", step.symbol), operation(&step.operation, rule));
            }
            if let Some(last) = steps.last() {
                all.text("result", last.symbol.as_str());
            }
            "steps"
        }
        Relation::DoesNotApply { why } => {
            all.text("why", why.as_str());
            "does not apply"
        }
        Relation::Withheld { why } => {
            all.text("why", why.as_str());
            "withheld"
        }
    };
    all.text("relation", name);
    // A printed value is compared by what it stands for; what a relation makes of its inputs is in this unit.
    let calculated = match &rule.relation {
        Relation::Form { .. } | Relation::Products { .. } | Relation::Steps(_) => true,
        Relation::Table(table) => table.cells.iter().flatten().any(|cell| matches!(cell, Cell::Form { .. })),
        _ => false,
    };
    if calculated && !rule.unit.text.is_empty() {
        all.text("unit", rule.unit.text);
    }
}

fn of_form(all: &mut Gathered, under: &str, form: &Form) -> &'static str {
    let mut parameter = |name: &str, value: f64| all.number(format!("{under}{name}"), value, Unit::PLAIN);
    match form {
        Form::Root { a, b, c } => {
            parameter("a", *a);
            parameter("b", *b);
            parameter("c", *c);
            "root"
        }
        Form::Bend { k } => {
            parameter("k", *k);
            "bend"
        }
        Form::GreatestLine(lines) | Form::LeastLine(lines) => {
            for (index, (a, b)) in lines.iter().enumerate() {
                parameter(&format!("line {}, a", index + 1), *a);
                parameter(&format!("line {}, b", index + 1), *b);
            }
            if matches!(form, Form::GreatestLine(_)) { "greatest line" } else { "least line" }
        }
    }
}

fn input_name(rule: &Rule, index: usize) -> String {
    rule.inputs.get(index).map(|input| input.name().to_owned()).unwrap_or_default()
}

fn operand(operand: &Operand, rule: &Rule) -> String {
    match operand {
        Operand::Number(number) => number.to_string(),
        Operand::Input(index) => input_name(rule, *index),
        Operand::Earlier(index) => match &rule.relation {
            Relation::Steps(steps) => steps.get(*index).map(|step| step.symbol.to_string()).unwrap_or_default(),
            _ => String::new(),
        },
    }
}

fn operands(of: &[Operand], rule: &Rule, between: &str) -> String {
    of.iter().map(|one| operand(one, rule)).collect::<Vec<_>>().join(between)
}

fn product(product: &Product, rule: &Rule) -> String {
    let times = operands(&product.times, rule, " × ");
    if product.divided_by.is_empty() {
        return times;
    }
    format!("{times} / ({})", operands(&product.divided_by, rule, " × "))
}

fn operation(operation: &Operation, rule: &Rule) -> String {
    match operation {
        Operation::Sum { terms, less } if less.is_empty() => operands(terms, rule, " + "),
        Operation::Sum { terms, less } => {
            format!("{} less ({})", operands(terms, rule, " + "), operands(less, rule, " + "))
        }
        Operation::Product(factors) => product(factors, rule),
        Operation::SquareRoot(of) => format!("root of {}", operand(of, rule)),
        Operation::Angle { function, of, unit } => format!("{function:?} of {} in {}", operand(of, rule), unit.text),
        Operation::Pick { pick, of } => format!("{pick:?} of {}", operands(of, rule, ", ")),
    }
}

const fn lookup_name(lookup: Lookup) -> &'static str {
    match lookup {
        Lookup::Exact => "exact",
        Lookup::AtMost => "at most",
        Lookup::NextLower => "next lower",
    }
}

fn of_table(all: &mut Gathered, rule: &Rule, table: &Table) {
    let unit = |input: usize| rule.inputs.get(input).map_or("", |input| input.unit.text);
    let in_unit = |value: f64, unit: &str| format!("{value} {unit}").trim_end().to_owned();
    let (rows, heads, lookup): (String, Vec<String>, &str) = match &table.rows {
        Rows::Number { input, lookup, keys, others_not_seen } => {
            if *others_not_seen {
                all.text("other rows", "not seen");
            }
            let head = |key: &Option<f64>| key.map_or("above".to_owned(), |key| in_unit(key, unit(*input)));
            (input_name(rule, *input), keys.iter().map(head).collect(), lookup_name(*lookup))
        }
        Rows::Band { input, bands } => {
            let head = |band: &Range| in_unit_text(&band.to_string(), unit(*input));
            (input_name(rule, *input), bands.iter().map(head).collect(), "band")
        }
        Rows::Word { fact, keys } => {
            (fact.name.to_owned(), keys.iter().map(|words| texts(fact, *words)).collect(), "word")
        }
    };
    all.text("rows", format!("{rows}, {lookup}"));
    if let Some((input, lookup)) = table.column_number {
        all.text("columns", format!("{}, {}", input_name(rule, input), lookup_name(lookup)));
    }
    for (head, cells) in heads.iter().zip(&table.cells) {
        for (column, cell) in table.columns.iter().zip(cells) {
            let over: Vec<String> = column.words.iter().map(words).collect();
            let number = column.number.zip(table.column_number);
            let number = number.map(|(number, (input, _))| in_unit(number, unit(input)));
            let over = over.into_iter().chain(number).collect::<Vec<_>>().join(", ");
            let name = if over.is_empty() { format!("cell {head}") } else { format!("cell {head} | {over}") };
            of_cell(all, &name, cell, rule);
        }
    }
}

fn in_unit_text(text: &str, unit: &str) -> String {
    format!("{text} {unit}").trim_end().to_owned()
}

fn of_cell(all: &mut Gathered, name: &str, cell: &Cell, rule: &Rule) {
    match cell {
        Cell::Value { value, suspect, standing, clause } => {
            all.number(name, *value, rule.unit);
            if let Some(suspect) = suspect {
                all.text(format!("{name}, suspect"), suspect.as_str());
            }
            if let Some(standing) = standing {
                all.text(format!("{name}, standing"), standing.word());
            }
            if let Some(clause) = clause {
                all.text(format!("{name}, clause"), clause.as_str());
            }
        }
        Cell::Form { form, of } => {
            let relation = of_form(all, &format!("{name}, "), form);
            all.text(name, format!("{relation} of {}", input_name(rule, *of)));
        }
        Cell::NotSeen => all.text(name, "not seen"),
    }
}
