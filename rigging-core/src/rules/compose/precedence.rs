//! Which document governs where several answer one question.

use super::Include;
use crate::error::Error;
use crate::rules::file::note;
use crate::rules::question::{Question, Severer};
use crate::rules::rule::Rule;
use crate::rules::tree::Node;
use crate::text::Text;

/// How one of several answers is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Take {
    /// That of the first document that speaks: the file itself, then the included ones in their order.
    First,
    /// The severest of all.
    Severest,
}

/// The choice for one question, and why.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::rules) struct Precedence {
    pub(super) answers: Question,
    pub(super) take: Take,
    pub(super) reason: Text,
}

/// The precedences of a file, by question.
pub(in crate::rules) fn precedences(
    list: &Node<'_>,
    own: &[Rule],
    included: &[Include],
    complaints: &mut Vec<Error>,
) -> Vec<Precedence> {
    let mut read: Vec<Precedence> = Vec::new();
    for item in note(list.some_items(), complaints).unwrap_or_default() {
        match precedence(&item, own, included, &read) {
            Ok(precedences) => read.extend(precedences),
            Err(error) => complaints.push(error),
        }
    }
    read
}

fn precedence(
    item: &Node<'_>,
    own: &[Rule],
    included: &[Include],
    earlier: &[Precedence],
) -> Result<Vec<Precedence>, Error> {
    let keys = item.keys(&["answers", "take", "reason"])?;
    let take = keys.required("take", "take = \"first\" or \"severest\"")?;
    let chosen = match take.text()? {
        "first" => Take::First,
        "severest" => Take::Severest,
        other => return Err(Error::unknown_name(other, "way to choose", ["first", "severest"], take.place)),
    };
    let reason = keys.text("reason", "reason = \"why\"")?;
    let mut read: Vec<Precedence> = Vec::new();
    for (name, place) in keys.required("answers", "answers = \"highest temperature\"")?.texts()? {
        let answers = question(name, &place)?;
        if answers.is_scope() {
            let what = format!("\"{name}\" needs no precedence: every document keeps its own scope");
            return Err(Error::inconsistent(what, place));
        }
        if earlier.iter().chain(&read).any(|other| other.answers == answers) {
            return Err(Error::DuplicateName { name: name.to_owned(), place });
        }
        if chosen == Take::Severest && answers.severer() == Severer::Neither {
            let what = format!("of two answers to \"{name}\" none is the severer one; write take = \"first\"");
            return Err(Error::inconsistent(what, place));
        }
        let parts = included.iter().map(|include| include.rules.as_slice()).chain([own]);
        if parts.filter(|rules| rules.iter().any(|rule| rule.question == answers)).count() < 2 {
            let what = format!("fewer than two documents of this set answer \"{name}\"; leave the precedence out");
            return Err(Error::inconsistent(what, place));
        }
        read.push(Precedence { answers, take: chosen, reason: reason.clone() });
    }
    Ok(read)
}

/// The question of this name.
pub(super) fn question(name: &str, place: &crate::error::Place) -> Result<Question, Error> {
    Question::named(name).ok_or_else(|| {
        let names = Question::ALL.iter().map(|question| question.name());
        Error::unknown_name(name, "question", names, place.clone())
    })
}
