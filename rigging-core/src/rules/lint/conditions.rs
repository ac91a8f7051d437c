//! Advice on when a rule speaks: words that every lift meets, rules for what the file excludes, figures for any fiber.

use super::lines::Lines;
use super::{Complaint, ComplaintCode, advise};
use crate::error::Place;
use crate::rules::question::{Question, Severer};
use crate::rules::relation::Relation;
use crate::rules::rule::{Condition, Rule};
use crate::rules::table::Rows;
use crate::rules::vocabulary::{CONSTRUCTION, MATERIAL, WordSet};

const FIBER_GEAR: &[&str] = &["fiber rope", "fiber rope grommet", "fiber chain", "web", "roundsling"];

/// Figures that differ from fiber to fiber.
const OF_THE_FIBER: &[Question] = &[
    Question::RatedValue,
    Question::DesignFactor,
    Question::HitchFactor,
    Question::LegFactor,
    Question::ChokeFactor,
    Question::ChokeAngleFactor,
    Question::TemperatureFactor,
    Question::HighestTemperature,
    Question::LowestTemperature,
    Question::RemovalTemperature,
    Question::LeastBendRatio,
    Question::BendingFactor,
    Question::MaterialFactor,
    Question::WetFactor,
    Question::BreakingLoad,
    Question::ElasticModulus,
    Question::LeastStiffnessRatio,
    Question::GreatestStiffnessRatio,
];

/// Advice on the conditions of the file's own rules, of which `rules` are all, in order; `a_set` tells whether the file says what it
/// is for, or is for others to include.
pub(super) fn of(a_set: bool, rules: &[Rule], lines: &Lines<'_>) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    for (index, rule) in rules.iter().enumerate() {
        let place = Place::root().child("rule").child(index);
        for condition in &rule.when {
            let all = condition.fact.words().iter().filter_map(|text| condition.fact.word(text));
            if all.fold(WordSet::default(), WordSet::with) == condition.words {
                let place = place.child("when").child(condition.fact.name);
                let what = format!("the condition on {} names every word there is", condition.fact.name);
                complaints.push(advise(ComplaintCode::EmptyCondition, &place, lines, what));
            }
        }
        if let Some(exclusion) = rules.iter().find(|other| excludes(other, rule)) {
            let what = format!("\"{}\" is for what \"{}\" excludes", rule.name, exclusion.name);
            complaints.push(advise(ComplaintCode::ExcludedByScope, &place, lines, what));
        }
        if a_set && rule.question == Question::AppliesToGear && matches!(rule.relation, Relation::DoesNotApply { .. }) {
            let what = format!("\"{}\" leaves such gear to its marking, and does not keep it out of use", rule.name);
            complaints.push(advise(ComplaintCode::MarkingStands, &place, lines, what));
        }
        if for_any_fiber(rule) {
            let what = format!("\"{}\" gives a {} for slings of any fiber", rule.name, rule.question.name());
            complaints.push(advise(ComplaintCode::AnyFiber, &place, lines, what));
        }
    }
    complaints
}

/// Whether a rule of scope excludes everything that another rule is for.
fn excludes(exclusion: &Rule, rule: &Rule) -> bool {
    let scope = exclusion.question.is_scope() && matches!(exclusion.relation, Relation::DoesNotApply { .. });
    let narrower =
        |wide: &Condition| rule.when.iter().any(|narrow| narrow.fact == wide.fact && wide.words.covers(narrow.words));
    let says = !matches!(rule.relation, Relation::DoesNotApply { .. });
    scope && says && !exclusion.when.is_empty() && exclusion.when.iter().all(narrower)
}

fn for_any_fiber(rule: &Rule) -> bool {
    let gives = !matches!(rule.relation, Relation::DoesNotApply { .. } | Relation::Withheld { .. });
    let matters = OF_THE_FIBER.contains(&rule.question) && rule.question.severer() != Severer::Neither;
    if !gives || !matters {
        return false;
    }
    let named = |fact| rule.when.iter().find(|condition| condition.fact == fact);
    let over_table = match &rule.relation {
        Relation::Table(table) => {
            matches!(&table.rows, Rows::Word { fact, .. } if **fact == MATERIAL)
                || table.columns.iter().any(|column| column.words.iter().any(|words| *words.fact == MATERIAL))
        }
        _ => false,
    };
    let of_fiber = |condition: &Condition| {
        let fiber = FIBER_GEAR.iter().filter_map(|text| CONSTRUCTION.word(text));
        fiber.into_iter().any(|word| condition.words.contains(word))
    };
    named(&MATERIAL).is_none() && !over_table && named(&CONSTRUCTION).is_some_and(of_fiber)
}
