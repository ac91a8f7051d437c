//! The documents that a file includes, by name, and what it takes of them.

use super::conflict::can_meet;
use super::precedence::question;
use crate::error::{Error, Place};
use crate::rules::built_in;
use crate::rules::document::DocumentIdentity;
use crate::rules::file::{File, note};
use crate::rules::load::Cited;
use crate::rules::rule::Rule;
use crate::rules::tree::{self, Keys, Node};
use toml::Value;

/// An included document: which it is, and the rules taken of it.
pub(in crate::rules) struct Include {
    pub(in crate::rules) identity: DocumentIdentity,
    pub(in crate::rules) cited: Vec<Cited>,
    pub(in crate::rules) rules: Vec<Rule>,
}

/// The includes of a file. `own` are the texts of documents beside the built-in ones.
pub(in crate::rules) fn includes(list: &Node<'_>, own: &[&str], complaints: &mut Vec<Error>) -> Vec<Include> {
    let beside = named(own, complaints);
    let mut read: Vec<Include> = Vec::new();
    for item in note(list.some_items(), complaints).unwrap_or_default() {
        let include = include(&item, &beside, complaints);
        let twice = |include: &Include| read.iter().any(|other| other.identity.name == include.identity.name);
        match include {
            Ok(Some(include)) if twice(&include) => complaints.push(Error::DuplicateName {
                name: include.identity.name.to_string(),
                place: item.place.child("document"),
            }),
            Ok(include) => read.extend(include),
            Err(error) => complaints.push(error),
        }
    }
    read
}

/// The documents beside the built-in ones, by the name that each bears.
fn named(texts: &[&str], complaints: &mut Vec<Error>) -> Vec<(String, Value)> {
    let mut named: Vec<(String, Value)> = Vec::new();
    for (index, text) in texts.iter().enumerate() {
        let place = Place::root().child("documents").child(index);
        let read = tree::parse(text).map_err(|error| error.at(place.clone())).and_then(|value| {
            let name = Node::new(&value, place.clone()).any_keys()?.text("name", "name = \"…\"")?.to_string();
            if built_in::text_of(&name).is_some() || named.iter().any(|(other, _)| *other == name) {
                return Err(Error::DuplicateName { name, place: place.child("name") });
            }
            Ok((name, value))
        });
        named.extend(note(read, complaints));
    }
    named
}

fn include(item: &Node<'_>, beside: &[(String, Value)], complaints: &mut Vec<Error>) -> Result<Option<Include>, Error> {
    let keys = item.keys(&["document", "answers", "rules", "scope"])?;
    let document = keys.required("document", "document = \"name of a document\"")?;
    let name = document.text()?;
    let keeps_scope = match keys.optional("scope") {
        None => true,
        Some(node) => match node.text()? {
            "kept" => true,
            "left out" => false,
            other => return Err(Error::unknown_name(other, "way with scope", ["kept", "left out"], node.place)),
        },
    };
    let built_in;
    let value = match (beside.iter().find(|(other, _)| other == name), built_in::text_of(name)) {
        (Some((_, value)), _) => value,
        (None, Some(text)) => {
            built_in = tree::parse(text)?;
            &built_in
        }
        (None, None) => {
            let known = built_in::SET_NAMES.iter().chain(built_in::DOCUMENT_NAMES).copied();
            let known = known.chain(beside.iter().map(|(name, _)| name.as_str()));
            return Err(Error::unknown_name(name, "document", known, document.place));
        }
    };
    if value.get("include").is_some() {
        let what = format!("\"{name}\" includes documents itself; include those one by one");
        return Err(Error::inconsistent(what, document.place));
    }
    let before = complaints.len();
    let file = File::read(value, item.place.clone(), complaints);
    let Some(heading) = file.heading.filter(|_| complaints.len() == before) else { return Ok(None) };
    let rules = taken(&keys, file.rules, keeps_scope)?;
    Ok(Some(Include { identity: DocumentIdentity::of(&heading), cited: file.cited, rules }))
}

/// The rules that an include takes: all of them, or those for some questions and of some names. Rules of scope come
/// along unless they are left out.
fn taken(keys: &Keys<'_>, rules: Vec<Rule>, keeps_scope: bool) -> Result<Vec<Rule>, Error> {
    let of = |rule: &Rule| rule.question.is_scope();
    let mut named = Vec::new();
    let mut whole = true;
    if let Some(node) = keys.optional("answers") {
        whole = false;
        for (name, place) in node.texts()? {
            let question = question(name, &place)?;
            let before = named.len();
            named.extend(rules.iter().enumerate().filter(|(_, rule)| rule.question == question).map(|(at, _)| at));
            if named.len() == before {
                return Err(Error::inconsistent(format!("the document does not answer \"{name}\""), place));
            }
        }
    }
    if let Some(node) = keys.optional("rules") {
        whole = false;
        for (name, place) in node.texts()? {
            let at = rules.iter().position(|rule| rule.name.as_str() == name).ok_or_else(|| {
                let known = rules.iter().map(|rule| rule.name.as_str());
                Error::unknown_name(name, "rule of the document", known, place.clone())
            })?;
            named.push(at);
        }
    }
    let chosen: Vec<bool> = rules
        .iter()
        .enumerate()
        .map(|(at, rule)| if of(rule) { keeps_scope } else { whole || named.contains(&at) })
        .collect();
    let is_taken = |at: usize| chosen.get(at).copied().unwrap_or(false);
    // A rule that stands after another may speak only because that one did not: it cannot be taken without it.
    for (at, rule) in rules.iter().enumerate().filter(|(at, rule)| is_taken(*at) && !of(rule)) {
        let before = rules.iter().enumerate().take(at);
        let mut left = before.filter(|(at, other)| !is_taken(*at) && other.question == rule.question);
        if let Some((_, other)) = left.find(|(_, other)| can_meet(other, rule)) {
            let what = format!("\"{}\" stands after \"{}\" and cannot be taken without it", rule.name, other.name);
            return Err(Error::inconsistent(what, keys.place.child("rules")));
        }
    }
    let kept: Vec<Rule> = rules.into_iter().zip(chosen).filter(|(_, taken)| *taken).map(|(rule, _)| rule).collect();
    if kept.iter().all(of) && !whole {
        return Err(Error::inconsistent("nothing but scope is taken of this document", keys.place.clone()));
    }
    Ok(kept)
}
