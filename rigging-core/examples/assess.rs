//! Assesses a lift document under a rule set and prints the calculation; under several, their verdicts and where they part.
//!
//! Exit status: 0 pass, 1 fail, 2 cannot conclude, 3 error; of several verdicts that of all of them together.

use rigging_core::{arrangement::Lift, checks::Verdict, choice, error::Error, report, rules::RuleSet};
use std::io::{ErrorKind, Write};
use std::process::ExitCode;

const DEMO: &str = "rigging-core/examples/lifts/generator-skid.json";
const DEFAULT_RULES: &str = "us-general";
const USAGE: &str = "usage: assess [LIFT.json [RULE SET ...]]
       assess --rule-sets      lists the rule sets and the single documents
A rule set is the name of one in the list, or the path of a TOML file. Of several the verdicts stand side by side.
Without arguments the demo lift is assessed under us-general.";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["--help" | "-h"] => {
            println!("{USAGE}");
            ExitCode::SUCCESS
        }
        ["--rule-sets"] => list(),
        [option, ..] if option.starts_with('-') => refuse(&format!("unknown option {option}\n{USAGE}")),
        [] => assess(&demo(), DEFAULT_RULES),
        [path] => assess(path, DEFAULT_RULES),
        [path, rules] => assess(path, rules),
        [path, sets @ ..] => side_by_side(path, sets),
    }
}

/// The demo stands beside this example; its path is printed as it is given, so the short form is tried first.
fn demo() -> String {
    if std::path::Path::new(DEMO).exists() {
        return DEMO.to_owned();
    }
    concat!(env!("CARGO_MANIFEST_DIR"), "/examples/lifts/generator-skid.json").to_owned()
}

fn assess(path: &str, rules: &str) -> ExitCode {
    let lift = match lift(path) {
        Ok(lift) => lift,
        Err(message) => return refuse(&message),
    };
    let rules = match rule_set(rules) {
        Ok(rules) => rules,
        Err(message) => return refuse(&message),
    };
    let assessed = lift.assess(&rules).and_then(|assessment| {
        let remedy = assessment.remedy(&lift)?;
        Ok((assessment, remedy))
    });
    match assessed {
        Ok((assessment, remedy)) => emit(&report::text(&assessment, &remedy), status(assessment.verdict)),
        Err(error) => refuse(&located(path, &error)),
    }
}

fn side_by_side(path: &str, sets: &[&str]) -> ExitCode {
    let read = lift(path).and_then(|lift| {
        let sets: Vec<RuleSet> = sets.iter().map(|name| rule_set(name)).collect::<Result<_, _>>()?;
        Ok((lift, sets))
    });
    let (lift, sets) = match read {
        Ok(read) => read,
        Err(message) => return refuse(&message),
    };
    match choice::matrix(&lift, &sets.iter().collect::<Vec<_>>()) {
        Ok(matrix) => {
            let verdict = Verdict::combined(matrix.columns.iter().map(|column| column.verdict));
            emit(&report::matrix_text(&matrix), status(verdict))
        }
        Err(error) => refuse(&located(path, &error)),
    }
}

fn status(verdict: Verdict) -> ExitCode {
    ExitCode::from(match verdict {
        Verdict::Pass => 0,
        Verdict::Fail => 1,
        Verdict::CannotConclude | Verdict::NotCovered => 2,
    })
}

fn lift(path: &str) -> Result<Lift, String> {
    read(path).and_then(|text| Lift::from_json(&text).map_err(|error| located(path, &error)))
}

fn rule_set(name: &str) -> Result<RuleSet, String> {
    if name.ends_with(".toml") {
        let text = read(name)?;
        return RuleSet::from_toml(&text).map_err(|error| located(name, &error));
    }
    RuleSet::built_in(name).map_err(|error| format!("{}; --rule-sets lists them", error.reason()))
}

fn list() -> ExitCode {
    let documents =
        [("sets", RuleSet::built_in_names()), ("single documents, asked like a set", RuleSet::document_names())];
    let mut text = String::new();
    for (kind, names) in documents {
        text.push_str(&format!("{kind}:\n"));
        for name in names {
            match RuleSet::built_in(name) {
                Ok(rules) => text.push_str(&format!("  {name:<27} {}, {}\n", rules.title(), rules.edition())),
                Err(error) => return refuse(&located(name, &error)),
            }
        }
    }
    emit(&text, ExitCode::SUCCESS)
}

/// Prints a text. Whoever reads it may stop reading; anything else that keeps it from being printed is an error.
fn emit(text: &str, status: ExitCode) -> ExitCode {
    match std::io::stdout().write_all(text.as_bytes()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => refuse(&error.to_string()),
        _ => status,
    }
}

fn read(path: &str) -> Result<String, String> {
    std::fs::read_to_string(path).map_err(|error| format!("{path}: {error}"))
}

fn located(path: &str, error: &Error) -> String {
    format!("{path}: {error} [{}]", error.code())
}

fn refuse(message: &str) -> ExitCode {
    eprintln!("error: {message}");
    ExitCode::from(3)
}
