//! A rule set: one or more documents as data, loaded once and immutable.

use super::answer::{Answer, Tried};
use super::built_in;
use super::facts::Facts;
use super::load;
use super::question::Question;
use super::relation::Relation;
use super::rule::{Match, Rule, matches};
use super::tree::{self, Node};
use crate::digest;
use crate::error::{Error, Place};
use crate::source::Source;
use crate::text::Text;

/// The newest format of rule files that this library reads.
const FORMAT: u64 = 1;

/// Whether the documents of a rule set are in force.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Status {
    /// In force at the edition named.
    InForce,
    /// Superseded; the successor's designation where it is known.
    Superseded {
        /// What supersedes it.
        by: Option<Text>,
    },
}

/// A rule set. Two sets with the same [`hash`](Self::hash) have the same content.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleSet {
    name: Text,
    title: Text,
    edition: Text,
    status: Status,
    note: Option<Text>,
    hash: Text,
    sources: Vec<Source>,
    source_notes: Vec<Option<Text>>,
    rules: Vec<Rule>,
    index: Index,
}

/// Where the rules stand that a question concerns.
#[derive(Debug, Clone, PartialEq)]
struct Index {
    /// The rules that can exclude the whole set.
    excluding: Vec<usize>,
    /// For every question, in the order of the questions, the rules that answer it, in the order of the file.
    answering: Vec<Vec<usize>>,
}

impl Index {
    fn of(rules: &[Rule]) -> Self {
        let positions = |wanted: &dyn Fn(&Rule) -> bool| -> Vec<usize> {
            rules.iter().enumerate().filter(|(_, rule)| wanted(rule)).map(|(position, _)| position).collect()
        };
        Self {
            excluding: positions(&|rule| {
                is_scope(rule.question) && matches!(rule.relation, Relation::DoesNotApply { .. })
            }),
            answering: Question::ALL.iter().map(|question| positions(&|rule| rule.question == *question)).collect(),
        }
    }
}

impl RuleSet {
    /// Read a rule set from TOML.
    ///
    /// Keys of the file: `format = 1`, `name`, `title`, `edition`, `status` ("in force" or "superseded"),
    /// `superseded_by`, `note`; a list `[[source]]` with `id`, `document`, `edition`, `standing`, `note`; a list
    /// `[[rule]]`.
    /// A rule has `answers` (the name of a [`Question`]), `name`, `symbol`, `source`, `clause`, `standing` (where it
    /// differs from the source's), `when` (words of facts), `input` (numerical facts with `unit` and range), `requires`
    /// (further conditions in numbers), `unit`, `note`, and a `relation`:
    ///
    /// | relation | keys | value |
    /// |---|---|---|
    /// | `constant` | `value` | the value |
    /// | `applies` | | the word "applies" |
    /// | `words` | `words` | words in order of preference |
    /// | `table` | `rows`, `row_lookup`, `other_rows`, `columns`, `column_number`, `column_lookup`, `cells`, `form` | a printed cell, or a form printed in its place |
    /// | `root` | `of`, `a`, `b`, `c` | a + b·√(c/x), x the input named by `of` |
    /// | `bend` | `of`, `k` | 1/(1 − k/√x) |
    /// | `greatest line` | `of`, `lines` | the greatest of a + b·x |
    /// | `least line` | `of`, `lines` | the least of a + b·x |
    /// | `product` | `times`, `divided_by` | product and quotient of inputs and numbers |
    /// | `greatest of`, `least of` | `alternatives` | the greatest or least of several products |
    /// | `steps` | `steps` | the last of named results, each drawn from inputs and earlier ones |
    /// | `does not apply` | `why` | the document excludes it |
    /// | `withheld` | `why` | the document speaks, but the value was not read |
    ///
    /// `prints = "reduction"` says that the document prints what is taken off: the answer is 1 less the value. An input
    /// may be read `as` its `"sine"`, or the angle from horizontal `"from vertical"`, as the document prints it.
    ///
    /// A table finds its row by `row_lookup`: `exact`, `at most` (the first printed value that is not exceeded), `next
    /// lower`, or `band`, where the keys are ranges such as `{ more_than = 120, at_most = 180 }`. `other_rows = "not seen"`
    /// says that the document may print rows beside those keyed: a value that finds none is withheld. A column has words, a
    /// number, or both. A cell is a number, the name of a `form`, `"not seen"`, or `{ value, suspect, standing, clause }`.
    ///
    /// A step has `symbol`, `name` and one operation: `sum` (with `less`), `times` (with `divided_by`), `square_root`,
    /// `sine`, `cosine` or `arcsine` (with `angle_unit`), `greatest`, `least`.
    ///
    /// A rule for a kind of thing holds for what is of it: "steel" core for an IWRC, "natural fiber" for manila, "other
    /// fiber" for natural fiber, and a grade by either of its marks (8 and 80, 10 and 100).
    ///
    /// Of the rules for one question the first whose `when` is met speaks; where an earlier rule might speak but a fact
    /// is unknown, the answer is that the fact is missing.
    ///
    /// # Errors
    /// Syntax, unknown keys and names (with the nearest known one), missing keys, values outside the law of their
    /// question, rules that can never speak, a newer format; each with its place as a JSON pointer, such as
    /// `/rule/3/source`.
    pub fn from_toml(text: &str) -> Result<Self, Error> {
        let value = tree::parse(text)?;
        let root = Node::new(&value, Place::root());
        let format = root.any_keys()?.required("format", "format = 1")?;
        match format.value.as_integer().map(u64::try_from) {
            Some(Ok(found)) if found > FORMAT => {
                return Err(Error::NewerFormat { found, supported: FORMAT, place: format.place });
            }
            Some(Ok(1..)) => {}
            _ => return Err(Error::malformed("the format is a whole number from 1 up", format.place)),
        }
        let keys =
            root.keys(&["format", "name", "title", "edition", "status", "superseded_by", "note", "source", "rule"])?;
        let status = keys.required("status", "status = \"in force\"")?;
        let by = keys.optional_text("superseded_by")?;
        let status = match (status.text()?, by) {
            ("in force", None) => Status::InForce,
            ("in force", Some(_)) => {
                return Err(Error::inconsistent("a set in force has no successor", keys.place.child("superseded_by")));
            }
            ("superseded", by) => Status::Superseded { by },
            (other, _) => return Err(Error::unknown_name(other, "status", ["in force", "superseded"], status.place)),
        };
        let cited = load::sources(&keys.required("source", "a list [[source]]")?)?;
        let mut rules: Vec<Rule> = Vec::new();
        for node in keys.required("rule", "a list [[rule]]")?.some_items()? {
            let rule = load::rule(&node, &cited)?;
            if rules.iter().any(|other| other.name == rule.name) {
                return Err(Error::DuplicateName { name: rule.name.into(), place: node.place.child("name") });
            }
            if let Some(earlier) = rules.iter().find(|earlier| earlier.covers(&rule)) {
                let what = format!("this rule never speaks: the earlier rule \"{}\" always does first", earlier.name);
                return Err(Error::inconsistent(what, node.place));
            }
            rules.push(rule);
        }
        Ok(Self {
            name: keys.text("name", "name = \"…\"")?,
            title: keys.text("title", "title = \"…\"")?,
            edition: keys.text("edition", "edition = \"…\"")?,
            status,
            note: keys.optional_text("note")?,
            hash: digest::sha256(&tree::canonical(&value)).into(),
            source_notes: cited.iter().map(|cited| cited.note.clone()).collect(),
            sources: cited.into_iter().map(|cited| cited.source).collect(),
            index: Index::of(&rules),
            rules,
        })
    }

    /// A rule set that comes with the library.
    ///
    /// # Errors
    /// A name that is one of neither [`built_in_names`](Self::built_in_names) nor
    /// [`document_names`](Self::document_names); the nearest is offered.
    pub fn built_in(name: &str) -> Result<Self, Error> {
        built_in::text_of(name).map_or_else(
            || {
                let known = built_in::SET_NAMES.iter().chain(built_in::DOCUMENT_NAMES).copied();
                Err(Error::unknown_name(name, "rule set", known, Place::root()))
            },
            Self::from_toml,
        )
    }

    /// The names of the rule sets that come with the library.
    pub const fn built_in_names() -> &'static [&'static str] {
        built_in::SET_NAMES
    }

    /// The names of the single documents that come with the library; each can be asked like a set.
    ///
    /// ```
    /// use rigging_core::rules::RuleSet;
    /// assert!(RuleSet::document_names().contains(&"de-dguv-209-021"));
    /// ```
    pub const fn document_names() -> &'static [&'static str] {
        built_in::DOCUMENT_NAMES
    }

    /// The name by which the set is asked for.
    pub const fn name(&self) -> &Text {
        &self.name
    }

    /// What it is, in words.
    pub const fn title(&self) -> &Text {
        &self.title
    }

    /// The edition or date of the documents.
    pub const fn edition(&self) -> &Text {
        &self.edition
    }

    /// Whether the documents are in force.
    pub const fn status(&self) -> &Status {
        &self.status
    }

    /// A remark that a report shows beside the name.
    pub const fn note(&self) -> Option<&Text> {
        self.note.as_ref()
    }

    /// SHA-256, in hexadecimal, of the content: layout, comments and the order of keys do not change it.
    pub const fn hash(&self) -> &Text {
        &self.hash
    }

    /// The documents the set draws on; a clause stands with each rule, not here.
    pub fn sources(&self) -> &[Source] {
        &self.sources
    }

    /// The remark of the file on each of its sources, in their order.
    ///
    /// ```
    /// use rigging_core::rules::RuleSet;
    /// let rules = RuleSet::built_in("us-general")?;
    /// assert_eq!(rules.source_notes().count(), rules.sources().len());
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn source_notes(&self) -> impl Iterator<Item = Option<&Text>> {
        self.source_notes.iter().map(Option::as_ref)
    }

    /// The source of every rule, in the order of the file.
    pub fn rule_sources(&self) -> impl Iterator<Item = (Question, &str, &Source)> {
        self.rules.iter().map(|rule| (rule.question, rule.name.as_str(), &rule.source))
    }

    /// Ask one question.
    ///
    /// Facts that exclude the whole set (an operation, place, gear or persons it does not govern) are heeded before
    /// any question is answered.
    pub fn ask(&self, question: Question, facts: &Facts) -> Answer {
        if let Some(error) = facts.refusal() {
            return Answer::Refused(error.clone());
        }
        for rule in self.index.excluding.iter().filter_map(|position| self.rules.get(*position)) {
            if let Relation::DoesNotApply { why } = &rule.relation
                && matches(&rule.when, facts) == Match::Yes
            {
                return Answer::DoesNotApply { why: why.clone(), source: rule.source.clone() };
            }
        }
        let answering = self.index.answering.get(question as usize).map_or(&[][..], Vec::as_slice);
        let mut rules = answering.iter().filter_map(|position| self.rules.get(*position));
        rules.find_map(|rule| rule.try_on(facts)).unwrap_or(Answer::Silent)
    }

    /// Ask every rule for one question by itself, in the order of the file: for conditions of which each counts, such as those
    /// that make a lift a critical one.
    ///
    /// # Errors
    /// Facts that cannot be read.
    ///
    /// ```
    /// use rigging_core::rules::{Facts, Question, RuleSet};
    /// let rules = RuleSet::built_in("us-29-cfr-1926-751")?;
    /// let facts = Facts::new().word("steel erection", "yes").number("number of cranes", 2.0, "");
    /// let tried = rules.ask_each(Question::LiftCategory, &facts)?;
    /// // Two cranes are enough; what the load is of the rated capacity was not stated.
    /// assert_eq!(tried.iter().filter(|tried| tried.is_met()).count(), 1);
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn ask_each(&self, question: Question, facts: &Facts) -> Result<Vec<Tried>, Error> {
        if let Some(error) = facts.refusal() {
            return Err(error.clone());
        }
        let answering = self.index.answering.get(question as usize).map_or(&[][..], Vec::as_slice);
        let rules = answering.iter().filter_map(|position| self.rules.get(*position));
        Ok(rules
            .map(|rule| Tried {
                rule: rule.name.clone(),
                words: match &rule.relation {
                    Relation::Words(words) => words.to_vec(),
                    _ => Vec::new(),
                },
                conditional: !(rule.when.is_empty() && rule.requires.is_empty()),
                source: rule.source.clone(),
                answer: rule.try_on(facts),
            })
            .collect())
    }
}

const fn is_scope(question: Question) -> bool {
    matches!(
        question,
        Question::AppliesToOperation
            | Question::AppliesToPlace
            | Question::AppliesToPersons
            | Question::AppliesToGear
            | Question::AppliesToLoad
    )
}
