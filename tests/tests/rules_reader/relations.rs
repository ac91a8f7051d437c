//! The relations, written a second time.

use super::{Due, Stated, list, met, names, number, texts, within};
use std::collections::BTreeMap;
use toml::Value;

/// The value of every input of a rule that is stated, as the relation takes it.
type Read = BTreeMap<String, f64>;

/// What a rule answers; none where it leaves the answer to a later one.
pub fn attempt(rule: &Value, stated: &Stated) -> Option<Due> {
    match met(rule.get("when"), stated) {
        Ok(true) => {}
        Ok(false) => return None,
        Err(fact) => return Some(Due::Missing(fact)),
    }
    let relation = rule["relation"].as_str().unwrap();
    let mut read = Read::new();
    for input in list(rule, "input") {
        let fact = input["fact"].as_str().unwrap();
        let unit = input.get("unit").and_then(Value::as_str).unwrap_or("");
        match stated.numbers.get(fact) {
            Some((value, of)) => match counted_in(unit, *value, of) {
                Some(value) => {
                    read.insert(fact.to_owned(), value);
                }
                None => return Some(Due::Undecided),
            },
            None if relation != "table" => return Some(Due::Missing(fact.to_owned())),
            None => {}
        }
    }
    for requirement in list(rule, "requires") {
        let value = match product(requirement, &read) {
            Ok(value) => value,
            Err(due) => return Some(due),
        };
        if !within(requirement, value) {
            return match requirement["otherwise"].as_str().unwrap() {
                "next rule" => None,
                "refuse" => Some(Due::Outside),
                _ => Some(Due::DoesNotApply),
            };
        }
    }
    let mut held = Vec::new();
    for input in list(rule, "input") {
        let fact = input["fact"].as_str().unwrap();
        let turned = input.get("as").and_then(Value::as_str);
        let Some(value) = read.get_mut(fact) else { continue };
        if !within(input, *value) {
            let side = |keys: [&str; 2]| keys.into_iter().find_map(|key| input.get(key).and_then(number));
            let (low, high) = (side(["at_least", "more_than"]), side(["at_most", "less_than"]));
            let below = low.is_some_and(|low| *value <= low) && !high.is_some_and(|high| *value >= high);
            let (end, policy) = if below { (low, "below") } else { (high, "above") };
            if input.get(policy).and_then(Value::as_str) != Some("hold") {
                return Some(Due::Outside);
            }
            let name = if turned == Some("from vertical") { "angle from vertical" } else { fact };
            held.push((name.to_owned(), end.unwrap()));
            *value = end.unwrap();
        }
        if turned == Some("sine") {
            assert_eq!(input["unit"].as_str(), Some("deg"), "the reader knows sines of degrees");
            *value = value.to_radians().sin();
        }
    }
    let due = related(rule, relation, stated, &read)?;
    Some(match due {
        Due::Value(value, _) if value.is_finite() => Due::Value(value, held),
        Due::Value(..) => Due::Outside,
        other => other,
    })
}

/// A number counted in the unit that a rule reads; between the two scales of temperature only.
fn counted_in(unit: &str, value: f64, of: &str) -> Option<f64> {
    match (of, unit) {
        (of, unit) if of == unit => Some(value),
        ("degF", "degC") => Some((value - 32.0) / 1.8),
        ("degC", "degF") => Some(1.8 * value + 32.0),
        _ => None,
    }
}

fn related(rule: &Value, relation: &str, stated: &Stated, read: &Read) -> Option<Due> {
    let said = |value: Result<f64, Due>| Some(value.map_or_else(|due| due, |value| Due::Value(value, Vec::new())));
    match relation {
        "constant" => said(Ok(number(&rule["value"]).unwrap())),
        "applies" => Some(Due::Words("applies".to_owned())),
        "words" => Some(Due::Words(texts(&rule["words"])[0].to_owned())),
        "does not apply" => Some(Due::DoesNotApply),
        "withheld" => Some(Due::Withheld(None)),
        "table" => table(rule, stated, read),
        "product" => said(product(rule, read)),
        "greatest of" | "least of" => {
            let values: Result<Vec<f64>, Due> = list(rule, "alternatives").iter().map(|of| product(of, read)).collect();
            said(values.map(|values| {
                let pick = if relation == "least of" { f64::min } else { f64::max };
                values.into_iter().reduce(pick).unwrap()
            }))
        }
        "steps" => said(steps(list(rule, "steps"), read)),
        form => said(of_one(form, rule, read)),
    }
}

fn fact(name: &str, read: &Read) -> Result<f64, Due> {
    read.get(name).copied().ok_or_else(|| Due::Missing(name.to_owned()))
}

fn operand(value: &Value, read: &Read) -> Result<f64, Due> {
    number(value).map_or_else(|| fact(value.as_str().unwrap(), read), Ok)
}

fn product(of: &Value, read: &Read) -> Result<f64, Due> {
    let mut value = 1.0;
    for times in list(of, "times") {
        value *= operand(times, read)?;
    }
    for by in list(of, "divided_by") {
        value /= operand(by, read)?;
    }
    Ok(value)
}

fn of_one(form: &str, keys: &Value, read: &Read) -> Result<f64, Due> {
    let x = fact(keys["of"].as_str().unwrap(), read)?;
    let key = |name: &str| number(&keys[name]).unwrap();
    let line = |pair: &Value| number(&pair[0]).unwrap() + number(&pair[1]).unwrap() * x;
    Ok(match form {
        "root" => key("a") + key("b") * (key("c") / x).sqrt(),
        "bend" => 1.0 / (1.0 - key("k") / x.sqrt()),
        "greatest line" => list(keys, "lines").iter().map(line).fold(f64::NEG_INFINITY, f64::max),
        "least line" => list(keys, "lines").iter().map(line).fold(f64::INFINITY, f64::min),
        other => panic!("the reader knows no relation {other}"),
    })
}

fn steps(steps: &[Value], read: &Read) -> Result<f64, Due> {
    let mut known = read.clone();
    let mut last = f64::NAN;
    for step in steps {
        let all = |key: &str| list(step, key).iter().map(|of| operand(of, &known)).collect::<Result<Vec<f64>, Due>>();
        let one = |key: &str| step.get(key).map(|of| operand(of, &known)).transpose();
        last = if step.get("sum").is_some() {
            all("sum")?.iter().sum::<f64>() - all("less")?.iter().sum::<f64>()
        } else if step.get("times").is_some() {
            product(step, &known)?
        } else if step.get("greatest").is_some() {
            all("greatest")?.into_iter().fold(f64::NEG_INFINITY, f64::max)
        } else if step.get("least").is_some() {
            all("least")?.into_iter().fold(f64::INFINITY, f64::min)
        } else if let Some(x) = one("square_root")? {
            x.sqrt()
        } else {
            let degrees = match step["angle_unit"].as_str().unwrap() {
                "deg" => true,
                "rad" => false,
                other => panic!("the reader knows no angle in {other}"),
            };
            let angle = |x: f64| if degrees { x.to_radians() } else { x };
            if let Some(x) = one("sine")? {
                angle(x).sin()
            } else if let Some(x) = one("cosine")? {
                angle(x).cos()
            } else {
                let x = one("arcsine")?.unwrap().asin();
                if degrees { x.to_degrees() } else { x }
            }
        };
        if !last.is_finite() {
            return Err(Due::Outside);
        }
        known.insert(step["symbol"].as_str().unwrap().to_owned(), last);
    }
    Ok(last)
}

fn table(rule: &Value, stated: &Stated, read: &Read) -> Option<Due> {
    let rows = rule["rows"].as_str().unwrap();
    let cells = list(rule, "cells");
    let lookup = rule.get("row_lookup").and_then(Value::as_str);
    let row = match lookup {
        None => {
            let Some(word) = stated.words.get(rows) else { return Some(Due::Missing(rows.to_owned())) };
            cells.iter().position(|line| names(rows, &line[0], word))?
        }
        Some(lookup) => {
            let x = match fact(rows, read) {
                Ok(x) => x,
                Err(due) => return Some(due),
            };
            let found = if lookup == "band" {
                cells.iter().position(|line| within(&line[0], x))
            } else {
                let keys: Vec<Option<f64>> = cells.iter().map(|line| number(&line[0])).collect();
                find(lookup, x, &keys)
            };
            match found {
                Some(row) => row,
                None if rule.get("other_rows").is_some() => return Some(Due::Withheld(None)),
                None => return Some(Due::Outside),
            }
        }
    };
    let column = match column(rule, stated, read) {
        Ok(column) => column?,
        Err(due) => return Some(due),
    };
    Some(match &cells[row][column + 1] {
        Value::String(text) if text == "not seen" => Due::Withheld(None),
        Value::String(form) => {
            let form = &rule["form"][form];
            match of_one(form["relation"].as_str().unwrap(), form, read) {
                Ok(value) => Due::Value(value, Vec::new()),
                Err(due) => due,
            }
        }
        Value::Table(cell) if cell.contains_key("suspect") => Due::Withheld(number(&cell["value"])),
        Value::Table(cell) => Due::Value(number(&cell["value"]).unwrap(), Vec::new()),
        cell => Due::Value(number(cell).unwrap(), Vec::new()),
    })
}

/// The printed key that a number finds.
fn find(lookup: &str, x: f64, keys: &[Option<f64>]) -> Option<usize> {
    match lookup {
        "exact" => keys.iter().position(|key| *key == Some(x)),
        "at most" => keys.iter().position(|key| key.is_none_or(|key| x <= key)),
        "next lower" => {
            let mut reached: Vec<(usize, f64)> = keys
                .iter()
                .enumerate()
                .filter_map(|(at, key)| Some((at, (*key)?)))
                .filter(|(_, key)| *key <= x)
                .collect();
            reached.sort_by(|a, b| a.1.total_cmp(&b.1));
            reached.last().map(|(at, _)| *at)
        }
        other => panic!("the reader knows no way of looking up {other}"),
    }
}

fn column(rule: &Value, stated: &Stated, read: &Read) -> Result<Option<usize>, Due> {
    let Some(columns) = rule.get("columns").and_then(Value::as_array) else { return Ok(Some(0)) };
    let number_over = rule.get("column_number").and_then(Value::as_str);
    let (mut open, mut unknown) = (Vec::new(), None);
    for (at, column) in columns.iter().enumerate() {
        let mut words = column.as_table().unwrap().clone();
        let key = number_over.and_then(|fact| words.remove(fact)).as_ref().and_then(number);
        match met(Some(&Value::Table(words)), stated) {
            Ok(true) => open.push((at, key)),
            Ok(false) => {}
            Err(fact) => unknown = unknown.or(Some(fact)),
        }
    }
    if let Some(fact) = unknown {
        return Err(Due::Missing(fact));
    }
    match (open.as_slice(), number_over) {
        ([], _) => Ok(None),
        ([(first, _), ..], None) | ([(first, None)], _) => Ok(Some(*first)),
        (_, Some(over)) => {
            let x = fact(over, read)?;
            let keys: Vec<Option<f64>> = open.iter().map(|(_, key)| *key).collect();
            let lookup = rule["column_lookup"].as_str().unwrap();
            find(lookup, x, &keys).map(|at| Some(open[at].0)).ok_or(Due::Outside)
        }
    }
}
