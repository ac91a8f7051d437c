//! A set of several documents: each keeps its own scope, and the set says which of them governs where two speak.
//!
//! The rules of the file itself are the first document. An exclusion of the file excludes everything; one of an included
//! document excludes that document's rules only, so that a set may span families of gear; and an included document that names
//! gear gives no figure for other gear, just as by itself.

mod conflict;
mod include;
mod precedence;
mod scope;

pub(super) use conflict::can_meet;
pub(super) use include::{Include, includes};
pub(super) use precedence::precedences;

use super::answer::{Answer, Ruled, Said};
use super::document::DocumentIdentity;
use super::facts::Facts;
use super::question::{Law, Question, Severer};
use super::relation::Relation;
use super::rule::{Rule, excludes};
use super::set::Index;
use crate::chain::Input;
use crate::error::Error;
use crate::text::Text;
use conflict::check;
use precedence::{Precedence, Take};
use std::ops::Range;

/// How the rules of a set are divided among its documents.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Composition {
    /// The file itself, then the included documents in their order.
    parts: Vec<Part>,
    precedence: Vec<Precedence>,
    /// How many rules are the file's own; they stand first.
    pub(super) own: usize,
    pub(super) documents: Vec<DocumentIdentity>,
}

/// The rules of one document, by their positions among those of the set.
#[derive(Debug, Clone, PartialEq)]
struct Part {
    index: Index,
    /// Whether it is an included document. The file's own rules are those of the set, for all gear that the set names.
    is_included: bool,
    /// Whether it names gear that it is for, and does not only exclude some.
    names_gear: bool,
}

/// Whether the set says of the gear at hand that it is for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Gear {
    Named,
    Unnamed,
}

impl Part {
    fn of(rules: &[Rule], range: Range<usize>, is_included: bool) -> Self {
        let index = Index::of(rules, range);
        let gear = index.answering(Question::AppliesToGear).iter().filter_map(|position| rules.get(*position));
        let names_gear = gear.into_iter().any(|rule| !matches!(rule.relation, Relation::DoesNotApply { .. }));
        Self { index, is_included, names_gear }
    }
}

impl Composition {
    /// Put documents together; `own` is how many of `rules` are the file's own, the rest are those of `included`.
    pub(super) fn of(
        rules: &[Rule],
        own: usize,
        included: &[Include],
        precedence: Vec<Precedence>,
        complaints: &mut Vec<Error>,
    ) -> Self {
        let mut parts = vec![Part::of(rules, 0..own, false)];
        let mut from = own;
        for include in included {
            let to = from + include.rules.len();
            parts.push(Part::of(rules, from..to, true));
            from = to;
        }
        let composition = Self {
            parts,
            precedence,
            own,
            documents: included.iter().map(|include| include.identity.clone()).collect(),
        };
        check(&composition, rules, included, complaints);
        composition
    }

    /// The answer of the set.
    pub(super) fn ask(&self, rules: &[Rule], question: Question, facts: &Facts) -> Answer {
        self.answer(rules, question, facts, Gear::Named)
    }

    /// The answer of the set about gear of which it does not say that it is for it: a document that names gear keeps to that, and
    /// of one that names none the rules speak that name this gear themselves.
    pub(super) fn ask_of_unnamed(&self, rules: &[Rule], question: Question, facts: &Facts) -> Answer {
        self.answer(rules, question, facts, Gear::Unnamed)
    }

    /// The questions of which documents that name no gear have rules that name this, each once.
    pub(super) fn naming(&self, rules: &[Rule], facts: &Facts) -> Vec<Question> {
        let speaks = |question: &Question| {
            self.parts.iter().filter(|part| !part.names_gear).any(|part| {
                let mut answering = part.index.answering(*question).iter().filter_map(|position| rules.get(*position));
                answering.any(|rule| rule.names(facts))
            })
        };
        Question::ALL.iter().copied().filter(|question| !question.is_scope()).filter(speaks).collect()
    }

    fn answer(&self, rules: &[Rule], question: Question, facts: &Facts, gear: Gear) -> Answer {
        if let Some(excluded) = self.parts.first().and_then(|own| own.exclusion(rules, facts)) {
            return excluded;
        }
        if question.is_scope() {
            return self.ask_scope(rules, question, facts);
        }
        match self.precedence.iter().find(|precedence| precedence.answers == question) {
            None => self.first(rules, question, facts, gear),
            Some(Precedence { take: Take::First, reason, .. }) => {
                noted(self.first(rules, question, facts, gear), &["the first document that speaks: ", reason])
            }
            Some(Precedence { take: Take::Severest, reason, .. }) => {
                noted(self.severest(rules, question, facts, gear), &["the severest document: ", reason])
            }
        }
    }

    /// The first document that speaks; one that does not apply leaves it to the next.
    fn first(&self, rules: &[Rule], question: Question, facts: &Facts, gear: Gear) -> Answer {
        let mut excluded = None;
        for part in &self.parts {
            match part.answer(rules, question, facts, gear) {
                Answer::Silent => {}
                answer @ Answer::DoesNotApply { .. } => excluded = excluded.or(Some(answer)),
                answer => return answer,
            }
        }
        excluded.unwrap_or(Answer::Silent)
    }

    /// The severest of what all documents say. Where one of them cannot say, the severest cannot be told.
    fn severest(&self, rules: &[Rule], question: Question, facts: &Facts, gear: Gear) -> Answer {
        let (mut spoken, mut excluded) = (Vec::new(), None);
        for part in &self.parts {
            match part.answer(rules, question, facts, gear) {
                Answer::Silent => {}
                answer @ Answer::DoesNotApply { .. } => excluded = excluded.or(Some(answer)),
                Answer::Speaks(ruled) => spoken.push(ruled),
                open => return open,
            }
        }
        let severer = |one: f64, other: f64| match question.severer() {
            Severer::Least => one < other,
            Severer::Greatest => one > other,
            Severer::Neither => false,
        };
        let value = |ruled: &Ruled| ruled.term().map_or(f64::NAN, |term| term.value);
        let mut governing = 0;
        for (index, ruled) in spoken.iter().enumerate() {
            if spoken.get(governing).is_some_and(|best| severer(value(ruled), value(best))) {
                governing = index;
            }
        }
        if spoken.len() < 2 {
            return spoken.pop().map_or_else(|| excluded.unwrap_or(Answer::Silent), Answer::Speaks);
        }
        let mut ruled = spoken.remove(governing);
        if let Said::Value { term, .. } = &mut ruled.said {
            let mut severest = term.clone();
            for other in &spoken {
                severest = severest.instead_of(other.rule.clone(), value(other), other.source.clone());
            }
            *term = severest;
        }
        Answer::Speaks(ruled)
    }

    /// What is taken of several answers to a question, and why; none where nothing is said.
    pub(super) fn precedence(&self, question: Question) -> Option<(&'static str, &Text)> {
        let precedence = self.precedence.iter().find(|precedence| precedence.answers == question)?;
        let take = match precedence.take {
            Take::First => "first",
            Take::Severest => "severest",
        };
        Some((take, &precedence.reason))
    }

    /// The positions of the rules of a document that answer a question.
    pub(super) fn answers(&self, part: usize, question: Question) -> &[usize] {
        self.parts.get(part).map_or(&[][..], |part| part.index.answering(question))
    }
}

/// The answer with the reason for which it goes before others.
fn noted(answer: Answer, reason: &[&str]) -> Answer {
    let Answer::Speaks(mut ruled) = answer else { return answer };
    let why = Input { name: Text::fixed("precedence"), value: reason.concat().into() };
    ruled.inputs_mut().push(why);
    Answer::Speaks(ruled)
}

impl Part {
    /// That a fact excludes this document.
    fn exclusion(&self, rules: &[Rule], facts: &Facts) -> Option<Answer> {
        let excluding = self.index.excluding.iter().filter_map(|position| rules.get(*position));
        excluding.into_iter().find_map(|rule| match &rule.relation {
            Relation::DoesNotApply { why } if excludes(&rule.when, facts) => {
                Some(Answer::DoesNotApply { why: why.clone(), source: rule.source.clone() })
            }
            _ => None,
        })
    }

    /// The answer of this document alone; that it does not apply only where it would otherwise say something. Of gear that an
    /// included document does not name it gives no figure: one printed without naming gear is for the gear that it is
    /// written for. A word, such as that gear works on its marking, may be for all.
    fn ask(&self, rules: &[Rule], question: Question, facts: &Facts) -> Answer {
        self.answer(rules, question, facts, Gear::Named)
    }

    fn answer(&self, rules: &[Rule], question: Question, facts: &Facts, gear: Gear) -> Answer {
        // The file's own rules are for the gear that the file names, and this it does not.
        if gear == Gear::Unnamed && self.names_gear && !self.is_included {
            return Answer::Silent;
        }
        let by_name = gear == Gear::Unnamed && !self.names_gear;
        let answer = self.first(rules, question, facts, by_name);
        if answer == Answer::Silent {
            return answer;
        }
        if let Some(excluded) = self.exclusion(rules, facts) {
            return excluded;
        }
        let of_gear = self.names_gear && self.is_included && !question.is_scope() && question.law() != Law::Words;
        if of_gear {
            let applies = self.first(rules, Question::AppliesToGear, facts, false);
            if matches!(applies, Answer::Silent | Answer::DoesNotApply { .. } | Answer::OutsideRange { .. }) {
                return Answer::Silent;
            }
        }
        answer
    }

    fn first(&self, rules: &[Rule], question: Question, facts: &Facts, by_name: bool) -> Answer {
        let answering = self.index.answering(question).iter().filter_map(|position| rules.get(*position));
        let mut answering = answering.filter(|rule| !by_name || rule.names_gear());
        answering.find_map(|rule| rule.try_on(facts)).unwrap_or(Answer::Silent)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::set::RuleSet;
    use crate::rules::vocabulary::{CONSTRUCTION, Kind, MATERIAL};
    use std::collections::BTreeSet;

    /// What lowers or bounds what an item may bear.
    const ASKED: [Question; 17] = [
        Question::RatedValue,
        Question::DesignFactor,
        Question::TerminationEfficiency,
        Question::TerminationRatingShare,
        Question::BendingFactor,
        Question::BasketBendRatio,
        Question::HitchFactor,
        Question::ChokeFactor,
        Question::ChokeAngleFactor,
        Question::LegFactor,
        Question::LegsCounted,
        Question::TemperatureFactor,
        Question::LowestTemperature,
        Question::HighestTemperature,
        Question::RemovalTemperature,
        Question::WearFactor,
        Question::WetFactor,
    ];

    /// Gear in states that the rules look at, in hitches and taken from tables and relations.
    fn states(construction: &str, material: &str) -> Vec<Facts> {
        let mut all = vec![
            Facts::new()
                .word("construction", construction)
                .word("material", material)
                .word("bend at", "body")
                .word("region", "EU")
                .word("exposure", "at temperature")
                .number("rope diameter", 20.0, "mm")
                .number("chain size", 13.0, "mm")
                .number("bend ratio", 10.0, "")
                .number("angle from horizontal", 50.0, "deg")
                .number("single-leg rated value", 20.0, "kN"),
        ];
        for (fact, words) in [
            ("taken from", &["table", "relation"][..]),
            ("hitch", &["straight", "choker", "basket", "parallel basket"]),
            ("configuration", &["single leg", "four legs"]),
        ] {
            all = words.iter().flat_map(|word| all.iter().map(|facts| facts.clone().word(fact, word))).collect();
        }
        for (fact, words) in [
            ("state", &["wet", "dry"][..]),
            ("persons below", &["yes", "no"]),
            ("termination", &["hand splice", "steel ferrule"]),
            ("core", &["IWRC", "fiber"]),
            ("grade", &["8", "80"]),
        ] {
            all.extend(words.iter().filter_map(|word| Some(all.first()?.clone().word(fact, word))).collect::<Vec<_>>());
        }
        for (fact, unit, numbers) in [("temperature", "degC", [20.0, 150.0]), ("sling width", "mm", [20.0, 60.0])] {
            all.extend(
                numbers.iter().filter_map(|n| Some(all.first()?.clone().number(fact, *n, unit))).collect::<Vec<_>>(),
            );
        }
        all
    }

    #[test]
    fn what_a_document_says_of_gear_by_itself_a_set_that_includes_it_heeds() {
        let words = |known: &super::super::vocabulary::Known| match known.kind {
            Kind::Words(words) => words,
            Kind::Number(..) => &[],
        };
        let silent = |answer: &Answer| matches!(answer, Answer::Silent | Answer::DoesNotApply { .. });
        let (mut asked, mut lost, mut by_name) = (0, BTreeSet::new(), BTreeSet::new());
        for name in RuleSet::built_in_names() {
            let set = RuleSet::built_in(name).unwrap();
            let Some(composition) = &set.composition else { continue };
            let documents: Vec<RuleSet> =
                set.documents().iter().map(|document| RuleSet::built_in(&document.name).unwrap()).collect();
            for construction in words(&CONSTRUCTION) {
                for material in words(&MATERIAL) {
                    for facts in states(construction, material) {
                        let of_set = set.of_item(&facts);
                        for (at, document) in documents.iter().enumerate() {
                            let of_document = document.of_item(&facts);
                            for question in ASKED {
                                // Of some documents a set takes some answers only.
                                if composition.answers(at + 1, question).is_empty()
                                    || silent(&of_document.ask(question, &facts))
                                {
                                    continue;
                                }
                                asked += 1;
                                let told = format!("{name}: {construction} of {material}, {}", question.name());
                                if silent(&of_set.ask(question, &facts)) {
                                    lost.insert(told);
                                } else if !of_set.is_covered() {
                                    by_name.insert(told);
                                }
                            }
                        }
                    }
                }
            }
        }
        println!("{asked} answers of documents, {} heeded by name", by_name.len());
        assert!(lost.is_empty(), "{lost:#?}");
        println!("{by_name:#?}");
        assert!(by_name.contains("de-general: fiber rope of nylon, wet factor"), "{by_name:#?}");
    }
}
