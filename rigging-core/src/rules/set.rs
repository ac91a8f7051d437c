//! A rule set: one or more documents as data, loaded once and immutable.

use super::answer::{Answer, Tried};
use super::built_in;
use super::compose::{self, Composition};
use super::document::DocumentIdentity;
use super::facts::Facts;
use super::file::File;
use super::question::Question;
use super::relation::Relation;
use super::rule::{Rule, excludes};
use super::tree::{self, Node};
use super::vocabulary::{self as fact, Known};
use crate::digest;
use crate::error::{Error, Place};
use crate::source::Source;
use crate::text::Text;
use std::ops::Range;
use toml::Value;

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

impl Status {
    /// As a report prints it.
    ///
    /// ```
    /// use rigging_core::rules::RuleSet;
    /// assert_eq!(RuleSet::built_in("us-general")?.status().in_words(), "in force");
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn in_words(&self) -> Text {
        match self {
            Self::InForce => Text::fixed("in force"),
            Self::Superseded { by: Some(by) } => ["superseded by ", by].into(),
            Self::Superseded { by: None } => Text::fixed("superseded"),
        }
    }
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
    /// Where the set includes documents.
    pub(super) composition: Option<Composition>,
}

/// Where the rules stand that a question concerns.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Index {
    /// The rules that can exclude the whole document.
    pub(super) excluding: Vec<usize>,
    /// For every question, in the order of the questions, the rules that answer it, in the order of the file.
    answering: Vec<Vec<usize>>,
    /// For every question likewise, the facts that those rules read, and those that can exclude the whole document.
    read: Vec<Vec<&'static Known>>,
}

/// The facts that decide what the rules in `range` answer to a question.
fn read(rules: &[Rule], range: Range<usize>, question: Question) -> Vec<&'static Known> {
    let mut read = Vec::new();
    for rule in rules.get(range).unwrap_or_default() {
        if rule.question == question || rule.can_exclude() {
            rule.reads(&mut read);
        }
    }
    read
}

impl Index {
    /// The index of the rules in `range`.
    pub(super) fn of(rules: &[Rule], range: Range<usize>) -> Self {
        let positions = |wanted: &dyn Fn(&Rule) -> bool| -> Vec<usize> {
            range.clone().filter(|position| rules.get(*position).is_some_and(wanted)).collect()
        };
        Self {
            excluding: positions(&Rule::can_exclude),
            answering: Question::ALL.iter().map(|question| positions(&|rule| rule.question == *question)).collect(),
            read: Question::ALL.iter().map(|question| read(rules, range.clone(), *question)).collect(),
        }
    }

    /// The rules that answer a question.
    pub(super) fn answering(&self, question: Question) -> &[usize] {
        self.answering.get(question as usize).map_or(&[][..], Vec::as_slice)
    }
}

/// A rule set as it is asked about one item. Of gear that the set does not cover a document of it speaks only where it covers that
/// gear by itself, or names no gear and the rule itself names this.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OfItem<'a> {
    rules: &'a RuleSet,
    covered: bool,
}

impl OfItem<'_> {
    /// Ask one question.
    pub(crate) fn ask(self, question: Question, facts: &Facts) -> Answer {
        if self.covered {
            return self.rules.ask(question, facts);
        }
        if let Some(error) = facts.refusal() {
            return Answer::Refused(error.clone());
        }
        let RuleSet { composition, rules, .. } = self.rules;
        let of = |composition: &Composition| composition.ask_of_unnamed(rules, question, facts);
        composition.as_ref().map_or(Answer::Silent, of)
    }

    /// Whether the set covers such gear: it names it, or names none at all.
    pub(crate) const fn is_covered(self) -> bool {
        self.covered
    }

    /// Whether any rule answers a question, whatever the facts.
    pub(crate) fn has_rules_on(self, question: Question) -> bool {
        self.rules.has_rules_on(question)
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
    /// lower`, or `band`, where the keys are ranges such as `{ more_than = 120, at_most = 180 }`. A rated value or a breaking
    /// load is not looked up `at most` by size, nor it or a leg factor `at most` by angle from horizontal or `next lower` by
    /// angle from vertical: the next larger size and the steeper leg bear more. `other_rows = "not seen"` says that the
    /// document may print rows beside those keyed: a value that finds none is withheld. A column has words, a number, or
    /// both. A cell is a number, the name of a `form`, `"not seen"`, or `{ value, suspect, standing, clause }`.
    ///
    /// A step has `symbol`, `name` and one operation: `sum` (with `less`), `times` (with `divided_by`), `square_root`,
    /// `sine`, `cosine` or `arcsine` (with `angle_unit`), `greatest`, `least`.
    ///
    /// A rule for a kind of thing holds for what is of it: "steel" core for an IWRC, "natural fiber" for manila, "other
    /// fiber" for natural fiber, a "mechanical splice" for ends by ferrule, and a grade by either of its marks
    /// (8 and 80, 10 and 100).
    ///
    /// Of the rules for one question the first whose `when` is met speaks; where an earlier rule might speak but a fact
    /// is unknown, the answer is that the fact is missing.
    ///
    /// A set may be put together of documents: a list `[[include]]` with `document` (the name of a built-in one, or of one
    /// given to [`from_toml_with`](Self::from_toml_with)) takes all its rules, or those for the questions in `answers` and
    /// those named in `rules`; its rules of scope come along unless `scope = "left out"`. A list `[[precedence]]` with
    /// `answers` (questions), `take` and `reason` says which document governs where several answer: `"first"` is the file
    /// itself, then the documents in their order; `"severest"` is the answer that asks most or allows least, with the
    /// others as branches not taken, and where one of them cannot be given, neither can the severest. A document's
    /// exclusions exclude that document, those of the file all; of gear that an included document does not name, where it names
    /// any, it gives no figure. Where two answer one question under words that can both be
    /// met, and nothing is said, the file is refused.
    ///
    /// # Errors
    /// Syntax, unknown keys and names (with the nearest known one), missing keys, values outside the law of their
    /// question, rules that can never speak, a newer format; each with its place as a JSON pointer, such as
    /// `/rule/3/source`.
    pub fn from_toml(text: &str) -> Result<Self, Error> {
        Self::from_toml_with(text, &[])
    }

    /// Read a rule set from TOML that may include `documents` beside the built-in ones, each a rule file of its own, known
    /// by the name it bears.
    ///
    /// ```
    /// use rigging_core::rules::{Facts, Question, RuleSet};
    /// let yard = r#"
    /// format = 1
    /// name = "yard-instruction"
    /// title = "An instruction of the yard"
    /// edition = "2025"
    /// status = "in force"
    /// source = [{ id = "instruction", document = "Yard instruction 7", standing = "stated" }]
    /// [[rule]]
    /// answers = "highest temperature"
    /// name = "webbing in the yard"
    /// when = { construction = "web" }
    /// relation = "constant"
    /// value = 60
    /// unit = "degC"
    /// source = "instruction"
    /// clause = "2"
    /// "#;
    /// let set = r#"
    /// format = 1
    /// name = "webbing-in-the-yard"
    /// title = "Webbing slings in the yard"
    /// edition = "2025"
    /// status = "in force"
    /// include = [{ document = "eu-en-1492-1" }, { document = "yard-instruction" }]
    /// precedence = [{ answers = "highest temperature", take = "severest", reason = "the yard may only ask for more" }]
    /// "#;
    /// let rules = RuleSet::from_toml_with(set, &[yard])?;
    /// let answer = rules.ask(
    ///     Question::HighestTemperature,
    ///     &Facts::new().word("construction", "web").word("material", "polyester"),
    /// );
    /// assert_eq!(answer.value(), Some(333.15)); // 60 °C, below the 100 °C of the standard
    /// assert_eq!(rules.documents().len(), 2);
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    ///
    /// # Errors
    /// As [`from_toml`](Self::from_toml); the places of an included document stand under that of its include, those of
    /// `documents` by themselves under `/documents/0`. A name that a built-in document bears is refused.
    pub fn from_toml_with(text: &str, documents: &[&str]) -> Result<Self, Error> {
        let value = tree::parse(text)?;
        let mut complaints = Vec::new();
        let read = Self::read(&value, documents, &mut complaints);
        match (complaints.into_iter().next(), read) {
            (Some(first), _) => Err(first),
            (None, Some(rules)) => Ok(rules),
            (None, None) => Err(Error::malformed("the file says nothing", Place::root())),
        }
    }

    /// Read a set, gathering every complaint; whole where there is none.
    pub(super) fn read(value: &Value, documents: &[&str], complaints: &mut Vec<Error>) -> Option<Self> {
        let File { heading, cited, mut rules, .. } = File::read(value, Place::root(), complaints);
        let list = |key: &str| Some(Node::new(value.get(key)?, Place::root().child(key)));
        let included = list("include").map_or_else(Vec::new, |list| compose::includes(&list, documents, complaints));
        let precedence =
            list("precedence").map_or_else(Vec::new, |list| compose::precedences(&list, &rules, &included, complaints));
        let own = rules.len();
        rules.extend(included.iter().flat_map(|include| include.rules.iter().cloned()));
        let composition = list("include").map(|_| Composition::of(&rules, own, &included, precedence, complaints));
        let heading = heading?;
        let cited: Vec<_> = cited.into_iter().chain(included.into_iter().flat_map(|include| include.cited)).collect();
        Some(Self {
            hash: match &composition {
                None => heading.hash,
                Some(composition) => whole_hash(&heading.hash, &composition.documents),
            },
            name: heading.name,
            title: heading.title,
            edition: heading.edition,
            status: heading.status,
            note: heading.note,
            source_notes: cited.iter().map(|cited| cited.note.clone()).collect(),
            sources: cited.into_iter().map(|cited| cited.source).collect(),
            index: Index::of(&rules, 0..rules.len()),
            rules,
            composition,
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

    /// A rule set to begin one's own with: an invented one, about which the lint has nothing to say.
    ///
    /// ```
    /// use rigging_core::rules::RuleSet;
    /// assert!(RuleSet::from_toml(RuleSet::template()).is_ok());
    /// ```
    pub const fn template() -> &'static str {
        include_str!("../../rules/template.toml")
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

    /// SHA-256, in hexadecimal, of the content: layout, comments and the order of keys do not change it. Of a set that
    /// includes documents it is taken over the file and the hashes of what it includes.
    pub const fn hash(&self) -> &Text {
        &self.hash
    }

    /// The rule files the set includes, in their order; none where the file stands by itself.
    ///
    /// ```
    /// use rigging_core::rules::RuleSet;
    /// assert!(RuleSet::built_in("us-general")?.documents().is_empty());
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn documents(&self) -> &[DocumentIdentity] {
        self.composition.as_ref().map_or(&[][..], |composition| &composition.documents)
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

    /// The rules of the file itself, without those it includes.
    pub(super) fn own_rules(&self) -> &[Rule] {
        let own = self.composition.as_ref().map_or(self.rules.len(), |composition| composition.own);
        self.rules.get(..own).unwrap_or_default()
    }

    /// The rules for one question, in the order of the file and its includes.
    pub(super) fn answering(&self, question: Question) -> impl Iterator<Item = &Rule> {
        self.index.answering(question).iter().filter_map(|position| self.rules.get(*position))
    }

    /// The rules for one question, in the order in which they are asked, each with the document it is of: 0 for the file.
    pub(super) fn placed(&self, question: Question) -> Vec<(usize, &Rule)> {
        let in_part = |part: usize, positions: &[usize]| -> Vec<(usize, &Rule)> {
            positions.iter().filter_map(|position| Some((part, self.rules.get(*position)?))).collect()
        };
        match &self.composition {
            None => in_part(0, self.index.answering(question)),
            Some(composition) => (0..=composition.documents.len())
                .flat_map(|part| in_part(part, composition.answers(part, question)))
                .collect(),
        }
    }

    /// What the set takes of several answers to a question, and why; none where it does not say.
    pub(super) fn precedence(&self, question: Question) -> Option<(&'static str, &Text)> {
        self.composition.as_ref()?.precedence(question)
    }

    /// Whether any rule answers a question, whatever the facts.
    pub(crate) fn has_rules_on(&self, question: Question) -> bool {
        !self.index.answering(question).is_empty()
    }

    /// Whether an answer to any question looks at the steepest leg of a set, which takes the set as drawn to find.
    pub(crate) fn looks_at_steepest_leg(&self) -> bool {
        self.index.read.iter().flatten().any(|known| **known == fact::STEEPEST_LEG_ANGLE)
    }

    /// Whether an answer to a question looks at the angle of a leg.
    pub(crate) fn looks_at_angle(&self, question: Question) -> bool {
        self.looks_at(question, &fact::ANGLE_FROM_HORIZONTAL)
    }

    /// Whether an answer to a question looks at the grade of a chain.
    pub(crate) fn looks_at_grade(&self, question: Question) -> bool {
        self.looks_at(question, &fact::GRADE)
    }

    fn looks_at(&self, question: Question, fact: &Known) -> bool {
        let read = self.index.read.get(question as usize);
        read.is_some_and(|read| read.iter().any(|known| **known == *fact))
    }

    /// Whether the set governs gear for which it answers so whether it applies: it names such gear, or none at all. A figure
    /// that a document prints without naming gear is for the gear that the document is written for.
    fn covers(&self, applies_to_gear: &Answer) -> bool {
        match applies_to_gear {
            Answer::Silent => !self.has_rules_on(Question::AppliesToGear),
            Answer::DoesNotApply { .. } | Answer::OutsideRange { .. } => false,
            _ => true,
        }
    }

    /// What the set says of an item that states these facts.
    pub(crate) fn of_item(&self, facts: &Facts) -> OfItem<'_> {
        self.of_gear(&self.ask(Question::AppliesToGear, facts))
    }

    /// The same, where it is known whether the set applies to such gear.
    pub(crate) fn of_gear(&self, applies_to_gear: &Answer) -> OfItem<'_> {
        OfItem { rules: self, covered: self.covers(applies_to_gear) }
    }

    /// The questions of which single rules name gear that the set does not cover.
    pub(crate) fn naming(&self, facts: &Facts) -> Vec<Question> {
        self.composition.as_ref().map_or_else(Vec::new, |composition| composition.naming(&self.rules, facts))
    }

    /// Ask one question.
    ///
    /// Facts that exclude the whole set (an operation, place, gear or persons it does not govern) are heeded before
    /// any question is answered.
    pub fn ask(&self, question: Question, facts: &Facts) -> Answer {
        if let Some(error) = facts.refusal() {
            return Answer::Refused(error.clone());
        }
        if let Some(composition) = &self.composition {
            return composition.ask(&self.rules, question, facts);
        }
        for rule in self.index.excluding.iter().filter_map(|position| self.rules.get(*position)) {
            if let Relation::DoesNotApply { why } = &rule.relation
                && excludes(&rule.when, facts)
            {
                return Answer::DoesNotApply { why: why.clone(), source: rule.source.clone() };
            }
        }
        let mut rules = self.index.answering(question).iter().filter_map(|position| self.rules.get(*position));
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

/// Over the file and what it includes: the same file with another edition of a document is another set.
fn whole_hash(own: &Text, documents: &[DocumentIdentity]) -> Text {
    let hashes: Vec<&str> =
        std::iter::once(own).chain(documents.iter().map(|document| &document.hash)).map(Text::as_str).collect();
    digest::sha256(&hashes.join("\n")).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_looks_at_what_conditions_inputs_and_tables_of_its_documents_read() {
        let set = |name| RuleSet::built_in(name).unwrap();
        let (factor, value) = (Question::TemperatureFactor, Question::RatedValue);
        // A condition of a rule, in a document by itself and in a set that includes it.
        assert!(set("eu-en-818-6").looks_at_grade(factor));
        assert!(set("eu-general").looks_at_grade(factor));
        assert!(!set("marine-0027-nd-2016").looks_at_grade(factor));
        // What excludes a document is looked at whatever is asked.
        let asked = |when: &str| {
            let text = format!(
                "format = 1\nname = \"yard-rules\"\ntitle = \"Yard rules\"\nedition = \"1\"\nstatus = \"in force\"\n\
                 [[source]]\nid = \"Y\"\ndocument = \"Yard rules\"\nedition = \"1\"\nstanding = \"stated\"\n\
                 [[rule]]\nanswers = \"applies to gear\"\nname = \"other gear\"\nwhen = {{ {when} }}\n\
                 relation = \"does not apply\"\nwhy = \"not in use\"\nsource = \"Y\"\nclause = \"1\"\n\
                 [[rule]]\nanswers = \"rated value\"\nname = \"by kind\"\nunit = \"kN\"\nrelation = \"table\"\n\
                 rows = \"construction\"\ncolumns = [{{ hitch = \"straight\" }}, {{ hitch = \"choker\" }}]\n\
                 cells = [[\"web\", 2, 1]]\nsource = \"Y\"\nclause = \"2\"\n"
            );
            RuleSet::from_toml(&text).unwrap()
        };
        assert!(asked("construction = \"chain\", grade = \"100\"").looks_at_grade(factor));
        let yard = asked("construction = \"metal mesh\"");
        assert!(!yard.looks_at_grade(factor));
        // Words over columns, and in front of rows.
        assert!(yard.looks_at(value, &fact::HITCH) && !yard.looks_at(factor, &fact::HITCH));
        assert!(yard.looks_at(value, &fact::CONSTRUCTION) && !yard.looks_at(value, &fact::MATERIAL));
    }
}
