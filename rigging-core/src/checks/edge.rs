//! Slings over edges: by the rule set's definition where it has one in numbers, and by the maker's least radius where one is
//! stated. An edge that no definition calls sharp may still be too sharp for this sling, so that either binds.

use super::surroundings::in_words;
use super::{Code, Finding, MissingInput, Verdict};
use crate::arrangement::{Contact, Lift};
use crate::chain::{Acts, Chain, Term};
use crate::demand::facts_of;
use crate::error::{Error, Place};
use crate::gear::{Known, Sling};
use crate::quantity::{Entered, Length};
use crate::rules::{Answer, Question, RuleSet};
use crate::source::{DIMENSIONS, Source};
use crate::text::Text;

/// Checks every contact of every leg.
pub(super) fn compare(lift: &Lift, rules: &RuleSet, findings: &mut Vec<Finding>) -> Result<(), Error> {
    for leg in lift.legs() {
        let place = leg.place().child("contacts");
        let Known::Value(contacts) = &leg.leg.contacts else {
            let what = format!("what {} touches on its way", leg.leg.name);
            let add = "\"contacts\": [] where it touches nothing, else \"contacts\": [{ \"name\": \"…\", \"edge_radius\": \"… mm\" }]";
            findings.push(Finding::lacking(Code::Edge, &leg.leg.name, MissingInput::new(what, add, place)));
            continue;
        };
        for (number, contact) in contacts.iter().enumerate() {
            // Every sling of the leg: the document does not say which of several touches the edge.
            for (index, sling) in leg.slings() {
                findings.extend(sling_over_edge(lift, index, sling, contact, &place.child(number), rules)?);
            }
        }
    }
    Ok(())
}

fn sling_over_edge(
    lift: &Lift,
    index: usize,
    sling: &Sling,
    contact: &Contact,
    place: &Place,
    rules: &RuleSet,
) -> Result<Vec<Finding>, Error> {
    let item = Text::from([&*sling.name, " over ", &*contact.name]);
    let sling_place = Place::root().child("slings").child(index);
    let Known::Value(radius) = &contact.edge_radius else {
        let what = format!("the radius of the edge \"{}\"", contact.name);
        let add = "\"edge_radius\": \"… mm\"".to_owned();
        let missing = MissingInput::new(what, add, place.child("edge_radius"));
        return Ok(vec![Finding::lacking(Code::Edge, item, missing)]);
    };
    match least_radii(lift, sling, &sling_place, rules) {
        Ok(least) => {
            Ok(least.into_iter().map(|least| held_against(least, radius, item.clone(), contact, place)).collect())
        }
        Err(error) => Ok(vec![Finding::from_error(Code::Edge, item, error)?]),
    }
}

/// The radius of an edge, held against the least that one source allows.
fn held_against(least: Chain, radius: &Entered<Length>, item: Text, contact: &Contact, place: &Place) -> Finding {
    let asked = Term::new("R", "radius of the edge", radius.si(), "m", Source::stated("contact in the lift document"))
        .from_input("as entered", radius.text());
    // Here the edge must be at least as large as the limit, so the limit is what is asked of the edge.
    let finding =
        Finding::compared(Code::Edge, item, place.clone(), least, Chain::start(["radius of ", &*contact.name], asked));
    let source = finding.demand.as_ref().and_then(|chain| chain.sources().last().cloned());
    let finding = Finding { source, ..finding };
    match (&contact.cover, finding.verdict) {
        (Some(cover), Verdict::Fail) => Finding {
            verdict: Verdict::CannotConclude,
            text: format!("the bare edge is too sharp, and what the cover \"{cover}\" is worth is not calculated yet")
                .into(),
            ..finding
        },
        _ => finding,
    }
}

/// The least radii that bind: that of the rule set, and that of the maker.
fn least_radii(lift: &Lift, sling: &Sling, place: &Place, rules: &RuleSet) -> Result<Vec<Chain>, Error> {
    let ruled = by_definition(lift, sling, place, rules)?;
    if ruled.is_some() && sling.least_edge_radius.is_unknown() {
        return Ok(ruled.into_iter().collect());
    }
    Ok(ruled.into_iter().chain([by_maker(sling, place)?]).collect())
}

fn by_definition(lift: &Lift, sling: &Sling, place: &Place, rules: &RuleSet) -> Result<Option<Chain>, Error> {
    if !rules.has_rules_on(Question::SharpEdgeRatio) {
        return Ok(None);
    }
    match rules.ask(Question::SharpEdgeRatio, &facts_of(lift).of_sling(sling)) {
        Answer::Speaks(ruled) => {
            if let Some(ratio) = ruled.term() {
                let add = "\"thickness\": \"… mm\"";
                let what = format!("the compressed thickness of \"{}\"", sling.name);
                let across = sling.thickness.value().or(sling.diameter.value());
                let across = across.ok_or_else(|| Error::missing(what, add, place.child("thickness")))?;
                let source = Source::fixed(&DIMENSIONS);
                let base = Term::new("d", "thickness or diameter of the sling", across.si(), "m", source)
                    .from_input("as entered", across.text());
                let chain = Chain::start("radius below which an edge is sharp", base);
                return Ok(Some(chain.times(ratio.clone(), Acts::OnForce)));
            }
        }
        Answer::Refused(error) => return Err(error),
        // No definition in numbers: the maker's.
        Answer::Silent | Answer::DoesNotApply { .. } | Answer::Withheld { .. } => {}
        other => {
            let what = format!("when an edge is sharp for \"{}\": {}", sling.name, in_words(&other));
            return Err(Error::unsupported(what, place.clone()));
        }
    }
    Ok(None)
}

fn by_maker(sling: &Sling, place: &Place) -> Result<Chain, Error> {
    let what = format_args!(
        "the least edge radius that the maker of \"{}\" allows, as the rule set defines none in numbers,",
        sling.name
    );
    let add = "\"least_edge_radius\": { \"value\": \"… mm\", \"source\": \"…\" }";
    let least = sling.least_edge_radius.required(what, add, || place.child("least_edge_radius"))?;
    let base =
        Term::new("R least", "least edge radius after the maker", least.value.si(), "m", Source::stated(&least.source))
            .from_input("as entered", least.value.text());
    Ok(Chain::start("least edge radius", base))
}
