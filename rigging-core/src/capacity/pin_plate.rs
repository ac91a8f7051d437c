//! A plate with a hole for a pin, by the equations of a rule set.

use super::{Capacity, speaks};
use crate::arrangement::{Lift, LiftPoint};
use crate::chain::Chain;
use crate::demand::facts_of;
use crate::error::{Error, Place};
use crate::quantity::{Entered, Length};
use crate::rules::{Answer, Facts, Question, RuleSet};

/// The limits that a rule set can know of a plate.
const LIMITS: [Question; 4] =
    [Question::PinPlateTension, Question::PinPlateFracture, Question::PinPlateShear, Question::PinPlateBearing];

/// What a question limits the pull to, or why that cannot be told.
pub type Limit = (Question, Result<Capacity, Error>);

/// Limits of the plate round the hole of a lift point for a pin of this diameter, in meters: one for each way in which a plate
/// fails, or why it cannot be told; where the rule set limits some of them but not all of such a plate, the others are open.
/// Empty where it says nothing of pin plates.
///
/// # Errors
/// Facts that cannot be read.
pub fn rate_pin_plate(
    lift: &Lift,
    point: &LiftPoint,
    pin_diameter: Result<f64, Error>,
    rules: &RuleSet,
    place: &Place,
) -> Result<Vec<Limit>, Error> {
    let Some(plate) = point.pin_plate.value() else { return Ok(Vec::new()) };
    let mut facts = facts_of(lift).word("construction", "padeye");
    let length = |facts: Facts, name: &str, value: Option<&Entered<Length>>| match value {
        Some(value) => facts.number(name, value.si(), "m"),
        None => facts.unknown(name),
    };
    facts = match &pin_diameter {
        Ok(diameter) => facts.number("pin diameter", *diameter, "m"),
        Err(_) => facts.unknown("pin diameter"),
    };
    for (name, value) in [
        ("hole diameter", &point.hole_diameter),
        ("plate thickness", &point.thickness),
        ("edge distance along", &plate.edge_distance_along),
        ("edge distance across", &plate.edge_distance_across),
        ("outer radius", &plate.outer_radius),
    ] {
        facts = length(facts, name, value.value());
    }
    for (name, value) in [("yield strength", &plate.yield_strength), ("tensile strength", &plate.tensile_strength)] {
        facts = match value.value() {
            Some(strength) => facts.number(name, strength.value.si(), "Pa"),
            None => facts.unknown(name),
        };
    }
    facts = match plate.nominal_design_factor.value() {
        Some(factor) => facts.number("nominal design factor", factor.value, ""),
        None => facts.unknown("nominal design factor"),
    };
    facts = match plate.edge.value() {
        Some(edge) => facts.word("edge shape", edge.word()),
        None => facts.unknown("edge shape"),
    };
    let (mut limits, mut speaks_of_plates) = (Vec::new(), false);
    for question in LIMITS {
        let answer = rules.ask(question, &facts);
        speaks_of_plates |= !matches!(answer, Answer::Silent | Answer::DoesNotApply { .. });
        let lacks_pin = matches!(&answer, Answer::Missing { fact, .. } if fact == "pin diameter");
        match (answer, &pin_diameter) {
            (Answer::Silent, _) => limits.push((question, Err(left_out(question, "has no equation for it", place)))),
            (Answer::DoesNotApply { why, source }, _) => {
                let why = format!("does not apply: {why} ({source})");
                limits.push((question, Err(left_out(question, &why, place))));
            }
            (Answer::Refused(error), _) => return Err(error),
            (_, Err(error)) if lacks_pin => limits.push((question, Err(error.clone()))),
            (answer, _) => {
                let rated =
                    speaks(answer, question, &place.child("pin_plate")).map_err(|error| at_its_key(error, place));
                match rated {
                    Ok(Some(term)) => {
                        let rule = Some(term.source.clone());
                        let chain = Chain::start([question.name(), " of ", &*point.name], term);
                        limits.push((question, Ok(Capacity { chain: chain.into(), rule })));
                    }
                    Ok(None) => {}
                    Err(error) => limits.push((question, Err(error))),
                }
            }
        }
    }
    Ok(if speaks_of_plates { limits } else { Vec::new() })
}

/// One way in which a plate fails, of which a rule set that limits others says nothing for such a plate.
fn left_out(question: Question, why: &str, place: &Place) -> Error {
    let what = format!(
        "the {}, which may govern: for such a plate (edge, pin over hole) the rule set {why}; take an edition that has it, \
         or calculate it by hand",
        question.name()
    );
    Error::unsupported(what, place.child("pin_plate"))
}

/// Hole and thickness stand with the point, everything else with its plate; a missing fact is told where its key is.
fn at_its_key(error: Error, point: &Place) -> Error {
    let Error::Missing { what, .. } = &error else { return error };
    let plate = point.child("pin_plate");
    let length = |key: &str| format!("\"{key}\": \"… mm\"");
    let strength = |key: &str| format!("\"{key}\": {{ \"value\": \"… MPa\", \"source\": \"…\" }}");
    let (place, add) = if what.starts_with("hole diameter") {
        (point.child("hole_diameter"), length("hole_diameter"))
    } else if what.starts_with("plate thickness") {
        (point.child("thickness"), length("thickness"))
    } else if what.starts_with("edge distance along") {
        (plate.child("edge_distance_along"), length("edge_distance_along"))
    } else if what.starts_with("edge distance across") {
        (plate.child("edge_distance_across"), length("edge_distance_across"))
    } else if what.starts_with("outer radius") {
        (plate.child("outer_radius"), length("outer_radius"))
    } else if what.starts_with("yield strength") {
        (plate.child("yield_strength"), strength("yield_strength"))
    } else if what.starts_with("tensile strength") {
        (plate.child("tensile_strength"), strength("tensile_strength"))
    } else if what.starts_with("edge shape") {
        (plate.child("edge"), "\"edge\": \"straight\" or \"curved\", whichever it is".to_owned())
    } else if what.starts_with("nominal design factor") {
        let add = "\"nominal_design_factor\": { \"value\": …, \"source\": \"…\" }".to_owned();
        (plate.child("nominal_design_factor"), add)
    } else {
        return error;
    };
    Error::missing(what.clone(), add, place)
}
