//! Advice on what stands in the file, and no assessment heeds: factors and tables that no way of rating in the set asks for, answers
//! to questions that no check asks, rules under words that no lift states.

use super::lines::Lines;
use super::{Complaint, ComplaintCode, advise};
use crate::error::Place;
use crate::rules::compose::can_meet;
use crate::rules::question::{BREAKING_LOAD, MARKED, ONLY_DATA, PARTIAL_FACTORS, Question, TABLE};
use crate::rules::relation::Relation;
use crate::rules::rule::Rule;
use crate::rules::set::RuleSet;
use crate::rules::vocabulary;
use crate::text::Text;

/// A file that does not say for which operations, places and persons it is holds figures for others to include, and how gear
/// is rated is theirs to say.
const OF_A_SET: [Question; 3] = [Question::AppliesToOperation, Question::AppliesToPlace, Question::AppliesToPersons];

/// Whether a file says so.
pub(super) fn is_a_set(set: &RuleSet) -> bool {
    OF_A_SET.iter().all(|question| set.has_rules_on(*question))
}

/// Advice on the file's own rules, of which `own` are all, in order.
pub(super) fn of(set: &RuleSet, own: &[Rule], lines: &Lines<'_>) -> Vec<Complaint> {
    if !is_a_set(set) {
        return Vec::new();
    }
    let told = own.iter().enumerate().filter_map(|(index, rule)| {
        let place = Place::root().child("rule").child(index);
        if let Some(what) = unheeded(rule) {
            let advice = advise(ComplaintCode::NeverAsked, &place, lines, what);
            return Some(Complaint { why: UNHEEDED, write: BY_ITSELF, ..advice });
        }
        let what = unasked(set, rule).or_else(|| untabled(set, rule))?;
        Some(advise(ComplaintCode::NeverAsked, &place, lines, what))
    });
    told.collect()
}

const UNHEEDED: Text = Text::fixed("the rule stands in the file, and every assessment is made without it");
const BY_ITSELF: Text = Text::fixed(
    "what the lift states, where another question or word is meant; or the rule as it is, for whoever asks it by itself",
);

/// Why no assessment heeds a rule, whatever the set says beside it; none where one may. What a set is not for may be named in
/// words that no lift states.
fn unheeded(rule: &Rule) -> Option<String> {
    let (name, question) = (&rule.name, rule.question.name());
    if ONLY_DATA.contains(&rule.question) {
        return Some(format!("\"{name}\": a {question} can be asked by itself, and no assessment heeds it"));
    }
    let excludes = rule.question.is_scope() && !gives(rule);
    let condition = rule.when.iter().find(|condition| condition.fact.never_stated().covers(condition.words))?;
    let words = condition
        .fact
        .words()
        .iter()
        .filter(|text| condition.fact.word(text).is_some_and(|word| condition.words.contains(word)));
    let words: Vec<&str> = words.copied().collect();
    let (fact, words) = (condition.fact.name, words.join("\", \""));
    (!excludes).then(|| {
        format!("\"{name}\": no lift states the {fact} \"{words}\"; the rule can be asked by itself, and no assessment heeds it")
    })
}

/// Why a rated value is not asked for: a table rates what hangs straight, and what looks at neither hitch nor legs says no more of
/// another hitch or of a set of legs.
fn untabled(set: &RuleSet, rule: &Rule) -> Option<String> {
    if rule.question != Question::RatedValue {
        return None;
    }
    let mut read = Vec::new();
    rule.reads(&mut read);
    let of_hitch = [
        &vocabulary::HITCH,
        &vocabulary::CONFIGURATION,
        &vocabulary::ANGLE_FROM_HORIZONTAL,
        &vocabulary::STEEPEST_LEG_ANGLE,
        &vocabulary::CHOKE_ANGLE,
    ];
    if read.iter().any(|fact| of_hitch.contains(fact)) {
        return None;
    }
    let by_table = |basis: &Rule| match &basis.relation {
        Relation::Words(words) => words.iter().any(|word| word.as_str() == TABLE),
        _ => true,
    };
    let mut bases = set.answering(Question::RatingBasis).filter(|basis| can_meet(basis, rule));
    (!bases.any(by_table)).then(|| {
        format!(
            "\"{}\": no rating basis of this set asks for a rated value of such gear; \"{TABLE}\" would, and \"{MARKED}\" is what \
             stands where nothing is said",
            rule.name
        )
    })
}

/// Why the question of a rule is not asked where the rule speaks; none where it is.
fn unasked(set: &RuleSet, rule: &Rule) -> Option<String> {
    let partial = PARTIAL_FACTORS.contains(&rule.question);
    let of_ends = rule.question == Question::TerminationEfficiency;
    if !partial && !of_ends && rule.question != Question::BendingFactor {
        return None;
    }
    let beside = |question: Question| set.answering(question).filter(|other| gives(other) && can_meet(other, rule));
    let by_breaking_load = |basis: &Rule| match &basis.relation {
        Relation::Words(words) => words.iter().any(|word| word.as_str() == BREAKING_LOAD),
        // What is kept back may be any.
        _ => true,
    };
    let (name, question) = (&rule.name, rule.question.name());
    let mut bases = set.answering(Question::RatingBasis).filter(|basis| can_meet(basis, rule));
    if !bases.any(by_breaking_load) {
        let design = if of_ends { " and a design factor" } else { "" };
        return Some(format!(
            "\"{name}\": no rating basis of this set asks for a {question}; \"{BREAKING_LOAD}\"{design} would, and \"{MARKED}\" \
             is what stands where nothing is said"
        ));
    }
    let design = beside(Question::DesignFactor).next();
    match design {
        Some(design) if partial => Some(format!(
            "\"{name}\": a {question} is not asked for where \"{}\" gives a design factor, which divides the breaking load by \
             itself; \"{BREAKING_LOAD}\" without a design factor would ask",
            design.name
        )),
        None if of_ends => Some(format!(
            "\"{name}\": a {question} is asked for beside a design factor only, and no rule gives one for such gear; without it \
             \"{BREAKING_LOAD}\" asks for the termination factor"
        )),
        _ => None,
    }
}

/// Whether a rule gives a value.
const fn gives(rule: &Rule) -> bool {
    !matches!(rule.relation, Relation::DoesNotApply { .. })
}
