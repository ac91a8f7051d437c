//! What parts two rule sets: questions that only one answers, rules that say something else, and what decides among them.

use super::compose::can_meet;
use super::deciding;
use super::details::{Details, details};
use super::question::Question;
use super::rule::Rule;
use super::set::RuleSet;
use crate::source::Source;
use crate::text::Text;
use serde::{Deserialize, Serialize};
use std::fmt;

/// What parts two rule sets. Plain data, as JSON in every language.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Difference {
    /// The first set.
    pub one: SetNamed,
    /// The second set.
    pub other: SetNamed,
    /// Edition, status, remark and the documents included, where they are others.
    pub heading: Vec<DetailDifference>,
    /// By question, in the order of the questions; only those that anything parts.
    pub questions: Vec<QuestionDifference>,
}

/// Which rule set was compared.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct SetNamed {
    /// Name of the set.
    pub name: Text,
    /// Its edition or date.
    pub edition: Text,
    /// Hash of its content.
    pub hash: Text,
}

/// Which of two sets has rules for a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum AnsweredBy {
    /// Only the first set.
    One,
    /// Only the second set.
    Other,
    /// Both.
    Both,
}

/// What parts two sets on one question.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct QuestionDifference {
    /// Name of the question.
    pub question: Text,
    /// Which set has rules for it.
    pub answered_by: AnsweredBy,
    /// What decides otherwise among rules that both sets have: the order in which they are asked, the precedence, the
    /// document in which they stand.
    pub deciding: Vec<DetailDifference>,
    /// Rules that differ, and rules that only one of the sets has.
    pub rules: Vec<RuleDifference>,
}

/// How two rules were found to belong together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Paired {
    /// They bear one name.
    ByName,
    /// Their words can both be met, so that they answer the same case.
    ByWords,
    /// The other set has no such rule.
    Alone,
}

/// A rule and where it stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct RuleNamed {
    /// Name of the rule.
    pub name: Text,
    /// Where it stands.
    pub source: Source,
}

/// A rule of one set beside one of the other.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct RuleDifference {
    /// How they belong together.
    pub paired: Paired,
    /// The rule of the first set.
    pub one: Option<RuleNamed>,
    /// The rule of the second set.
    pub other: Option<RuleNamed>,
    /// What they say differently; empty for a rule that stands alone, and where only the sources differ.
    pub details: Vec<DetailDifference>,
}

/// One thing that two rules, or two sets, say differently.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct DetailDifference {
    /// What: a value, a cell by its row and column, a parameter, a limit, a condition.
    pub what: Text,
    /// As the first says it; absent where it says nothing.
    pub one: Option<Text>,
    /// As the second says it; absent where it says nothing.
    pub other: Option<Text>,
}

/// What parts the data of two rule sets. Numbers are compared by value, whatever unit they are printed in; rules belong
/// together by their name, else by words that can both be met. What decides among rules is told as well: the order of those
/// whose words can both be met, and which document governs.
///
/// ```
/// use rigging_core::rules::{RuleSet, difference};
/// let (law, state) = (RuleSet::built_in("us-general")?, RuleSet::built_in("us-california")?);
/// let parted = difference(&law, &state);
/// let hot = parted.questions.iter().find(|question| question.question == "highest temperature");
/// println!("{parted}");
/// assert!(hot.is_some());
/// assert!(difference(&law, &law).questions.is_empty());
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn difference(one: &RuleSet, other: &RuleSet) -> Difference {
    let named = |rules: &RuleSet| SetNamed {
        name: rules.name().clone(),
        edition: rules.edition().clone(),
        hash: rules.hash().clone(),
    };
    let questions = Question::ALL.iter().filter_map(|question| of_question(*question, one, other)).collect();
    Difference { one: named(one), other: named(other), heading: deciding::of_headings(one, other), questions }
}

fn of_question(question: Question, one: &RuleSet, other: &RuleSet) -> Option<QuestionDifference> {
    let placed = [one, other].map(|rules| rules.placed(question));
    let [ones, others] = placed.each_ref().map(|rules| rules.iter().map(|(_, rule)| *rule).collect::<Vec<&Rule>>());
    let answered_by = match (ones.is_empty(), others.is_empty()) {
        (true, true) => return None,
        (false, true) => AnsweredBy::One,
        (true, false) => AnsweredBy::Other,
        (false, false) => AnsweredBy::Both,
    };
    let (rules, by_name) = pairs(&ones, &others);
    let deciding = deciding::of_question(question, [one, other], placed.each_ref().map(Vec::as_slice), &by_name);
    let parted = !rules.is_empty() || !deciding.is_empty();
    parted.then(|| QuestionDifference { question: Text::fixed(question.name()), answered_by, deciding, rules })
}

/// What parts the rules for one question; and which of them bear one name, by their positions.
fn pairs(ones: &[&Rule], others: &[&Rule]) -> (Vec<RuleDifference>, Vec<(usize, usize)>) {
    let (mut found, mut by_name) = (Vec::new(), Vec::new());
    let mut met = vec![false; others.len()];
    let mut meet = |index: usize| {
        if let Some(met) = met.get_mut(index) {
            *met = true;
        }
    };
    for (at, one) in ones.iter().enumerate() {
        let namesake = namesake(one, ones, others);
        let beside: Vec<(usize, &Rule, Paired)> = match namesake {
            Some((index, other)) => {
                by_name.push((at, index));
                vec![(index, other, Paired::ByName)]
            }
            None => {
                let others = others.iter().enumerate();
                let others = others.filter(|(_, other)| !ones.iter().any(|one| one.name == other.name));
                others
                    .filter(|(_, other)| can_meet(one, other))
                    .map(|(index, other)| (index, *other, Paired::ByWords))
                    .collect()
            }
        };
        if beside.is_empty() {
            found.push(alone(Some(one), None));
        }
        for (index, other, paired) in beside {
            meet(index);
            let parted = parted(&details(one), &details(other));
            if !parted.is_empty() || one.source != other.source {
                found.push(RuleDifference {
                    paired,
                    one: Some(named(one)),
                    other: Some(named(other)),
                    details: parted,
                });
            }
        }
    }
    let left = others.iter().zip(met).filter(|(_, met)| !met);
    found.extend(left.map(|(other, _)| alone(None, Some(other))));
    (found, by_name)
}

/// The rule of the same name in the same document; else the one of that name that no rule in its document claims.
fn namesake<'a>(one: &Rule, ones: &[&Rule], others: &[&'a Rule]) -> Option<(usize, &'a Rule)> {
    let same = |one: &Rule, other: &Rule| one.name == other.name && one.source.document == other.source.document;
    let all = || others.iter().copied().enumerate();
    let free = |other: &Rule| other.name == one.name && !ones.iter().any(|rule| same(rule, other));
    all().find(|(_, other)| same(one, other)).or_else(|| all().find(|(_, other)| free(other)))
}

fn named(rule: &Rule) -> RuleNamed {
    RuleNamed { name: rule.name.clone(), source: rule.source.clone() }
}

fn alone(one: Option<&Rule>, other: Option<&Rule>) -> RuleDifference {
    RuleDifference { paired: Paired::Alone, one: one.map(named), other: other.map(named), details: Vec::new() }
}

fn parted(one: &Details, other: &Details) -> Vec<DetailDifference> {
    let names = one.keys().chain(other.keys().filter(|name| !one.contains_key(*name)));
    names
        .filter_map(|name| {
            let (of_one, of_other) = (one.get(name), other.get(name));
            let same = of_one.zip(of_other).is_some_and(|(one, other)| one.is_the_same_as(other));
            (!same).then(|| DetailDifference {
                what: name.clone().into(),
                one: of_one.map(|detail| detail.text().into()),
                other: of_other.map(|detail| detail.text().into()),
            })
        })
        .collect()
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (one, other) = (&self.one, &self.other);
        writeln!(f, "first: {}, {}, {}", one.name, one.edition, one.hash)?;
        writeln!(f, "second: {}, {}, {}", other.name, other.edition, other.hash)?;
        let details = |f: &mut fmt::Formatter<'_>, details: &[DetailDifference], indent: &str| {
            details.iter().try_for_each(|DetailDifference { what, one, other }| {
                let said = |text: &Option<Text>| text.as_ref().map_or("–".to_owned(), Text::to_string);
                writeln!(f, "{indent}{what}: {} | {}", said(one), said(other))
            })
        };
        details(f, &self.heading, "  ")?;
        if self.questions.is_empty() {
            writeln!(f, "nothing parts their rules")?;
        }
        for question in &self.questions {
            let by = match question.answered_by {
                AnsweredBy::One => ", answered by the first only",
                AnsweredBy::Other => ", answered by the second only",
                AnsweredBy::Both => "",
            };
            writeln!(f, "\n{}{by}", question.question)?;
            details(f, &question.deciding, "  ")?;
            for rule in &question.rules {
                for (which, named) in [("first", &rule.one), ("second", &rule.other)] {
                    if let Some(RuleNamed { name, source }) = named {
                        writeln!(f, "  {which}: {name} ({source})")?;
                    }
                }
                details(f, &rule.details, "    ")?;
            }
        }
        Ok(())
    }
}
