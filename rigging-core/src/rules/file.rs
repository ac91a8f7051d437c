//! One rule file: what it says of itself, its sources and its rules. Every complaint is gathered, the first is the error.

use super::load::{self, Cited};
use super::rule::Rule;
use super::set::Status;
use super::tree::{self, Keys, Node};
use crate::digest;
use crate::error::{Error, Place};
use crate::text::Text;
use toml::Value;

/// The newest format of rule files that this library reads.
const FORMAT: u64 = 1;

/// Keys of a rule file.
const KEYS: &[&str] = &[
    "format",
    "name",
    "title",
    "edition",
    "status",
    "superseded_by",
    "note",
    "source",
    "rule",
    "include",
    "precedence",
];

/// What a rule file says of itself.
pub(super) struct Heading {
    pub(super) name: Text,
    pub(super) title: Text,
    pub(super) edition: Text,
    pub(super) status: Status,
    pub(super) note: Option<Text>,
    /// SHA-256 of the content of this file alone.
    pub(super) hash: Text,
}

/// What could be read of a rule file; whole where nothing was complained of.
pub(super) struct File {
    pub(super) heading: Option<Heading>,
    pub(super) cited: Vec<Cited>,
    pub(super) rules: Vec<Rule>,
}

/// Hands on a value, or notes why there is none.
pub(super) fn note<T>(read: Result<T, Error>, complaints: &mut Vec<Error>) -> Option<T> {
    read.map_err(|error| complaints.push(error)).ok()
}

impl File {
    /// Read a file; `place` is what its own places stand under.
    pub(super) fn read(value: &Value, place: Place, complaints: &mut Vec<Error>) -> Self {
        let nothing = || Self { heading: None, cited: Vec::new(), rules: Vec::new() };
        let root = Node::new(value, place);
        if note(check_format(&root), complaints).is_none() {
            return nothing();
        }
        let keys = match root.keys(KEYS) {
            Ok(keys) => keys,
            Err(error) => {
                complaints.push(error);
                match root.any_keys() {
                    Ok(keys) => keys,
                    Err(_) => return nothing(),
                }
            }
        };
        let status = note(status(&keys), complaints);
        let alone = keys.optional("include").is_none();
        let sources_before = complaints.len();
        let cited = match keys.optional("source") {
            Some(list) => load::sources(&list, complaints),
            // A set that only puts documents together has no source of its own.
            None if !alone && keys.optional("rule").is_none() => Vec::new(),
            None => {
                complaints.extend(keys.required("source", "a list [[source]]").err());
                Vec::new()
            }
        };
        let sources_are_whole = complaints.len() == sources_before;
        let mut rules = Vec::new();
        let list = if alone { keys.required("rule", "a list [[rule]]").map(Some) } else { Ok(keys.optional("rule")) };
        let list = note(list, complaints).flatten();
        let nodes = list.and_then(|list| note(list.some_items(), complaints)).unwrap_or_default();
        for node in nodes {
            match load::rule(&node, &cited).and_then(|rule| alone_of_its_kind(&rule, &rules, &node).map(|()| rule)) {
                Ok(rule) => rules.push(rule),
                // That a source is unknown may follow from what is wrong with the sources.
                Err(Error::UnknownName { kind, .. }) if kind == "source" && !sources_are_whole => {}
                Err(error) => complaints.push(error),
            }
        }
        let mut text = |key: &str| note(keys.text(key, format!("{key} = \"…\"")), complaints);
        let (name, title, edition) = (text("name"), text("title"), text("edition"));
        let remark = note(keys.optional_text("note"), complaints);
        let heading = match (name, title, edition, status, remark) {
            (Some(name), Some(title), Some(edition), Some(status), Some(note)) => {
                let hash = digest::sha256(&tree::canonical(value)).into();
                Some(Heading { name, title, edition, status, note, hash })
            }
            _ => None,
        };
        Self { heading, cited, rules }
    }
}

fn check_format(root: &Node<'_>) -> Result<(), Error> {
    let format = root.any_keys()?.required("format", "format = 1")?;
    match format.value.as_integer().map(u64::try_from) {
        Some(Ok(found)) if found > FORMAT => Err(Error::NewerFormat { found, supported: FORMAT, place: format.place }),
        Some(Ok(1..)) => Ok(()),
        _ => Err(Error::malformed("the format is a whole number from 1 up", format.place)),
    }
}

fn status(keys: &Keys<'_>) -> Result<Status, Error> {
    let status = keys.required("status", "status = \"in force\"")?;
    let by = keys.optional_text("superseded_by")?;
    match (status.text()?, by) {
        ("in force", None) => Ok(Status::InForce),
        ("in force", Some(_)) => {
            Err(Error::inconsistent("a set in force has no successor", keys.place.child("superseded_by")))
        }
        ("superseded", by) => Ok(Status::Superseded { by }),
        (other, _) => Err(Error::unknown_name(other, "status", ["in force", "superseded"], status.place)),
    }
}

/// Of the rules of one file no two bear one name, and none is silenced by an earlier one.
fn alone_of_its_kind(rule: &Rule, earlier: &[Rule], node: &Node<'_>) -> Result<(), Error> {
    if earlier.iter().any(|other| other.name == rule.name) {
        return Err(Error::DuplicateName { name: rule.name.to_string(), place: node.place.child("name") });
    }
    if let Some(earlier) = earlier.iter().find(|earlier| earlier.covers(rule)) {
        let what = format!("this rule never speaks: the earlier rule \"{}\" always does first", earlier.name);
        return Err(Error::inconsistent(what, node.place.clone()));
    }
    Ok(())
}
