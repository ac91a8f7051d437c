//! Advice on factors that no way of rating in the set asks for: they stand in the file, and no assessment heeds them.

use super::lines::Lines;
use super::{Complaint, ComplaintCode, advise};
use crate::error::Place;
use crate::rules::compose::can_meet;
use crate::rules::question::{BREAKING_LOAD, MARKED, PARTIAL_FACTORS, Question};
use crate::rules::relation::Relation;
use crate::rules::rule::Rule;
use crate::rules::set::RuleSet;

/// A file that does not say for which operations, places and persons it is holds figures for others to include, and how gear
/// is rated is theirs to say.
const OF_A_SET: [Question; 3] = [Question::AppliesToOperation, Question::AppliesToPlace, Question::AppliesToPersons];

/// Advice on the file's own rules, of which `own` are all, in order.
pub(super) fn of(set: &RuleSet, own: &[Rule], lines: &Lines<'_>) -> Vec<Complaint> {
    if !OF_A_SET.iter().all(|question| set.has_rules_on(*question)) {
        return Vec::new();
    }
    let told = own.iter().enumerate().filter_map(|(index, rule)| {
        let what = unasked(set, rule)?;
        let place = Place::root().child("rule").child(index);
        Some(advise(ComplaintCode::NeverAsked, &place, lines, what))
    });
    told.collect()
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
