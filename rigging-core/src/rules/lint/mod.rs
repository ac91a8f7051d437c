//! What is wrong with a rule file, and what could be better: every complaint with its place, its line, why it matters and what
//! to write.

mod advice;
mod conditions;
mod lines;
mod unasked;
mod words;

use super::set::RuleSet;
use super::{tree, vocabulary};
use crate::error::{Error, Place};
use crate::text::Text;
use lines::Lines;
use serde::{Deserialize, Serialize};
use std::fmt;
pub use words::ComplaintCode;

/// A complaint about a rule file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Complaint {
    /// What kind of complaint it is; stable.
    pub code: ComplaintCode,
    /// Whether the file is refused for it; else it loads, and who reads it may be misled.
    pub refused: bool,
    /// Where it stands, as a JSON pointer; empty for the file as a whole.
    pub place: Text,
    /// The line of the file, from 1.
    pub line: usize,
    /// What is wrong.
    pub what: Text,
    /// Why it matters.
    pub why: Text,
    /// What to write instead.
    pub write: Text,
}

/// Every complaint about a rule file, in the order of its lines; none where nothing is wrong.
///
/// What would keep the file from loading is gathered from all sources, rules, includes and precedences, one from each;
/// advice is added where the file can be read that far.
///
/// ```
/// use rigging_core::rules::{ComplaintCode, RuleSet, lint};
/// assert!(lint(RuleSet::template()).is_empty());
/// let careless = RuleSet::template().replacen("at_most = 12", "at_mots = 12", 1);
/// let complaints = lint(&careless);
/// assert_eq!(complaints[0].code, ComplaintCode::UnknownKey);
/// assert_eq!(careless.lines().nth(complaints[0].line - 1).map(|line| line.contains("at_mots")), Some(true));
/// ```
pub fn lint(text: &str) -> Vec<Complaint> {
    lint_with(text, &[])
}

/// As [`lint`], of a file that may include `documents` beside the built-in ones.
pub fn lint_with(text: &str, documents: &[&str]) -> Vec<Complaint> {
    let lines = Lines::of(text);
    let mut complaints: Vec<Complaint> =
        lines.syntax().iter().map(|(line, error)| Complaint { line: *line, ..refusal(error, &lines) }).collect();
    if complaints.is_empty() {
        match tree::parse(text) {
            Err(error) => complaints.push(refusal(&error, &lines)),
            Ok(value) => {
                let mut errors = Vec::new();
                let read = RuleSet::read(&value, documents, &mut errors);
                complaints.extend(errors.iter().map(|error| refusal(error, &lines)));
                complaints.extend(advice::of(&value, read.as_ref().filter(|_| errors.is_empty()), &lines));
            }
        }
    }
    complaints.sort_by_key(|complaint| (complaint.line, !complaint.refused));
    complaints
}

/// What refuses the file, as a complaint.
fn refusal(error: &Error, lines: &Lines) -> Complaint {
    let code = ComplaintCode::of(error);
    let write = match error {
        Error::Missing { add, .. } => add.to_string(),
        Error::UnknownName { nearest: Some(near), .. } | Error::UnknownKey { nearest: Some(near), .. } => {
            format!("\"{near}\", if that is meant")
        }
        Error::UnknownName { nearest: None, kind, .. } => match words(kind) {
            Some(words) => format!("one of {words}"),
            None => code.remedy().to_owned(),
        },
        Error::OutOfDomain { reading, .. } => format!("a value {}", reading.allowed),
        Error::WrongUnit { write, .. } => write.clone(),
        Error::DuplicateName { .. } => "another name".to_owned(),
        _ => code.remedy().to_owned(),
    };
    Complaint {
        code,
        refused: true,
        place: error.place().as_str().to_owned().into(),
        line: lines.at(error.place()),
        what: error.reason().into(),
        why: Text::fixed(code.why()),
        write: write.into(),
    }
}

/// Every word for the fact that a kind of name, as an error tells it, is about.
fn words(kind: &str) -> Option<String> {
    let fact = kind.strip_prefix("word for \"")?.strip_suffix('"')?;
    let words: Vec<String> = vocabulary::known(fact)?.words().iter().map(|word| format!("\"{word}\"")).collect();
    Some(words.join(", "))
}

/// Advice at a place.
fn advise(code: ComplaintCode, place: &Place, lines: &Lines, what: impl Into<Text>) -> Complaint {
    Complaint {
        code,
        refused: false,
        place: place.as_str().to_owned().into(),
        line: lines.at(place),
        what: what.into(),
        why: Text::fixed(code.why()),
        write: Text::fixed(code.remedy()),
    }
}

impl fmt::Display for Complaint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let kind = if self.refused { "refused" } else { "advice" };
        write!(f, "line {}, {kind}, {}: {}", self.line, self.code.word(), self.what)?;
        if !self.place.is_empty() {
            write!(f, " (at {})", self.place)?;
        }
        write!(f, "\n  why: {}\n  write: {}", self.why, self.write)
    }
}
