//! What a document states of the operation, the place and the load, as facts: around every question about the lift and its gear.

use crate::arrangement::{DynamicAnalysis, Lift};
use crate::error::Place;
use crate::rules::Facts;
use std::sync::Arc;

/// The facts of a lift that hold whatever is asked about it.
pub(crate) fn circumstances(lift: &Lift) -> Arc<Facts> {
    let document = lift.document();
    let operation = &document.operation;
    let yes_no = |stated: &bool| if *stated { "yes" } else { "no" };
    let words = [
        ("operation", operation.kind.value().map(|kind| kind.word())),
        ("place", document.environment.location.value().map(|place| place.word())),
        ("persons lifted", operation.persons_lifted.value().map(yes_no)),
        ("persons below", operation.persons_below.value().map(yes_no)),
        ("region", operation.region.value().map(|region| region.word())),
        ("load kind", document.load.kind.value().map(|kind| kind.word())),
        ("mass basis", document.load.mass.basis.value().map(|basis| basis.word())),
        ("consequence of failure", operation.consequence_of_failure.value().map(|consequence| consequence.word())),
        (
            "dynamic analysis",
            operation.dynamic_analysis.value().map(|analysis| match analysis {
                DynamicAnalysis::NotMade => "none",
                DynamicAnalysis::Detailed(_) => "detailed",
            }),
        ),
        ("vessels", operation.vessels.value().map(|vessels| vessels.word())),
    ];
    let stated = words.into_iter().filter_map(|(fact, word)| Some((fact, word?)));
    Arc::new(stated.fold(Facts::new(), |facts, (fact, word)| facts.word(fact, word)))
}

/// No facts but these: to begin a question about the lift or an item of it with.
pub(crate) fn facts_of(lift: &Lift) -> Facts {
    Facts::new().amid(&circumstances(lift))
}

/// Where a document states such a fact, and what to write there; none for a fact that is none of them.
pub(crate) fn stated_at(fact: &str) -> Option<(Place, &'static str)> {
    let (section, key, add) = match fact {
        "operation" => ("operation", "kind", "\"kind\": \"lifting\" (or \"lowering\", …)"),
        "place" => ("environment", "location", "\"location\": \"onshore\" (or \"inshore\", \"offshore\")"),
        "persons lifted" => ("operation", "persons_lifted", "\"persons_lifted\": …"),
        "persons below" => ("operation", "persons_below", "\"persons_below\": …"),
        "region" => ("operation", "region", "\"region\": \"EU\" (or \"UK\", \"US\", \"Australia\", \"elsewhere\")"),
        "load kind" => {
            ("load", "kind", "\"kind\": \"general\" (or \"offshore_container\", \"portable_offshore_unit\")")
        }
        "consequence of failure" => {
            ("operation", "consequence_of_failure", "\"consequence_of_failure\": \"total_loss\" (or \"tolerable\")")
        }
        "dynamic analysis" => {
            ("operation", "dynamic_analysis", "\"dynamic_analysis\": \"none\" (or { \"detailed\": … })")
        }
        "vessels" => ("operation", "vessels", "\"vessels\": \"one\" (or \"several\")"),
        _ => return None,
    };
    Some((Place::root().child(section).child(key), add))
}
