//! Lift points: the hole for a pin, the plate round it, and the width that a sling finds on them.

use super::super::pin_plate;
use super::super::{Code, Finding, Severity, Verdict};
use super::{Limit, at_least, at_most, dimension, limit, silent};
use crate::arrangement::{Anchor, Hitch, Item, Lift, LiftPoint};
use crate::chain::{Acts, Chain};
use crate::demand::facts_of;
use crate::error::{Error, Place};
use crate::gear::{Fitting, FittingKind, PinPlate};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::Source;
use crate::text::Text;

/// A millionth of the size: two texts of one length in different units are the same length.
const SAME: f64 = 1e-6;

/// What the rule set says of every point, asked once; of hole and width without the size of pin and sling.
struct Said {
    hole: Answer,
    radius: Answer,
    cheeks: Answer,
    width: Answer,
}

impl Said {
    fn of(lift: &Lift, rules: &RuleSet) -> Self {
        let padeye = padeye(lift);
        Self {
            hole: rules.ask(Question::PinHoleDiameter, &padeye),
            radius: rules.ask(Question::LeastPadeyeRadiusRatio, &padeye),
            cheeks: rules.ask(Question::GreatestCheekRatio, &padeye),
            width: rules.ask(Question::LeastWidthForSling, &bearing_point(lift)),
        }
    }

    fn nothing(&self) -> bool {
        [&self.hole, &self.radius, &self.cheeks, &self.width].into_iter().all(silent)
    }
}

fn padeye(lift: &Lift) -> Facts {
    facts_of(lift).word("construction", "padeye")
}

fn bearing_point(lift: &Lift) -> Facts {
    facts_of(lift).word("construction", "lift point")
}

/// Checks every point of load and spreaders that a leg ends at or passes over, once.
pub(super) fn compare(lift: &Lift, rules: &RuleSet) -> Result<Vec<Finding>, Error> {
    let questions = [
        Question::PinHoleDiameter,
        Question::LeastPadeyeRadiusRatio,
        Question::GreatestCheekRatio,
        Question::LeastWidthForSling,
    ];
    if !questions.into_iter().any(|question| rules.has_rules_on(question)) {
        return Ok(Vec::new());
    }
    let said = Said::of(lift, rules);
    if said.nothing() {
        return Ok(Vec::new());
    }
    let mut findings = Vec::new();
    let mut seen: Vec<Anchor> = Vec::new();
    for anchor in lift.legs().flat_map(|leg| leg.links.stations.clone()) {
        let Some((point, place)) = lift.point_and_place(anchor) else { continue };
        if seen.contains(&anchor) {
            continue;
        }
        seen.push(anchor);
        if pinned(lift, anchor) {
            findings.extend(hole(lift, anchor, point, &place, rules, &said)?);
        }
        if !point.hole_diameter.is_unknown() || !point.pin_plate.is_unknown() {
            findings.extend(outer_radius(point, &place, &said.radius)?);
            findings.extend(cheeks(point, &place, &said.cheeks)?);
        }
        findings.extend(width(lift, anchor, point, &place, rules, &said)?);
    }
    Ok(findings)
}

/// Whether the pin of a shackle lies in the hole of a point.
fn pinned(lift: &Lift, anchor: Anchor) -> bool {
    let shackle = |fitting: &Fitting| matches!(fitting.kind, FittingKind::BowShackle | FittingKind::DeeShackle);
    let collecting = lift.collectors().any(|(at, _, fitting)| at == anchor && shackle(fitting));
    let fittings = &lift.document().fittings;
    let ends = || lift.legs().filter_map(|leg| pin_plate::at_end(&leg, anchor));
    collecting || ends().any(|index| fittings.get(index).is_some_and(shackle))
}

/// The hole against the one that the rule set gives for the pin in it.
///
/// The document that gives one was not read as to whether another hole is allowed: a larger one is not concluded upon, and of a
/// smaller one it is told that there is less play; whether the pin goes in is a check of its own.
fn hole(
    lift: &Lift,
    anchor: Anchor,
    point: &LiftPoint,
    place: &Place,
    rules: &RuleSet,
    said: &Said,
) -> Result<Option<Finding>, Error> {
    let item = Text::from([&*point.name, ", hole for the pin"]);
    let place = place.child("hole_diameter");
    if silent(&said.hole) {
        return Ok(None);
    }
    let what = format_args!("the diameter of the hole of \"{}\"", point.name);
    let stated = point.hole_diameter.required(what, "\"hole_diameter\": \"… mm\"", || place.clone());
    let (pin, stated) = match (pin_plate::pin(lift, anchor), stated) {
        (Ok(pin), Ok(stated)) => (pin, stated),
        (Err(error), _) | (_, Err(error)) => return Finding::from_error(Code::Geometry, item, error).map(Some),
    };
    let question = Question::PinHoleDiameter;
    let answer = rules.ask(question, &padeye(lift).number("pin diameter", pin, "m"));
    let term = match limit(&answer, question, &item, &place)? {
        Limit::None => return Ok(None),
        Limit::Open(finding) => return Ok(Some(finding)),
        Limit::Set(term) => term.clone(),
    };
    let (found, ruled, clause) = (stated.si(), term.value, term.source.clone());
    let there = Chain::start("diameter of the hole", dimension("d", "diameter of the hole", stated));
    let finding =
        at_most(&item, &place, there, Chain::start("the hole that the rule set gives for the pin", term), &clause);
    Ok(Some(if (found - ruled).abs() <= SAME * ruled {
        let text = "the hole is the one that the rule set gives for the pin".into();
        Finding { verdict: Verdict::Pass, text, ..finding }
    } else if found < ruled {
        let text = "the hole leaves the pin less play than the rule set gives it".into();
        Finding { verdict: Verdict::NotCovered, severity: Severity::Notice, text, ..finding }
    } else {
        let text =
            "the hole is larger than the one given for the pin; whether it may be, the rule set does not say".into();
        Finding { verdict: Verdict::CannotConclude, text, ..finding }
    }))
}

/// The plate of a point; an error that it is missing names the key to add.
fn plate<'a>(point: &'a LiftPoint, place: &Place, add: &str) -> Result<&'a PinPlate, Error> {
    let what = format_args!("the plate round the hole of \"{}\"", point.name);
    point.pin_plate.required(what, format!("\"pin_plate\": {{ {add} }}"), || place.child("pin_plate"))
}

/// Outer radius of the plate against the least, a multiple of the hole.
fn outer_radius(point: &LiftPoint, place: &Place, said: &Answer) -> Result<Option<Finding>, Error> {
    let item = Text::from([&*point.name, ", outer radius"]);
    let at = place.child("pin_plate").child("outer_radius");
    let ratio = match limit(said, Question::LeastPadeyeRadiusRatio, &item, &at)? {
        Limit::None => return Ok(None),
        Limit::Open(finding) => return Ok(Some(finding)),
        Limit::Set(term) => term.clone(),
    };
    let add = "\"outer_radius\": \"… mm\"";
    let radius = plate(point, place, add).and_then(|plate| {
        let what = format_args!("the outer radius of the plate of \"{}\"", point.name);
        plate.outer_radius.required(what, add, || at.clone())
    });
    let what = format_args!("the diameter of the hole of \"{}\"", point.name);
    let hole = point.hole_diameter.required(what, "\"hole_diameter\": \"… mm\"", || place.child("hole_diameter"));
    let (radius, hole) = match (radius, hole) {
        (Ok(radius), Ok(hole)) => (radius, hole),
        (Err(error), _) | (_, Err(error)) => return Finding::from_error(Code::Geometry, item, error).map(Some),
    };
    let clause = ratio.source.clone();
    let needed = Chain::start("least outer radius of the plate", dimension("d", "diameter of the hole", hole))
        .times(ratio, Acts::OnForce);
    let there = Chain::start("the outer radius", dimension("R", "outer radius of the plate", radius));
    Ok(Some(at_least(&item, &at, needed, there, &clause)))
}

/// Cheek plates against the main plate.
fn cheeks(point: &LiftPoint, place: &Place, said: &Answer) -> Result<Option<Finding>, Error> {
    let item = Text::from([&*point.name, ", cheek plates"]);
    let at = place.child("pin_plate").child("cheek_thickness");
    let ratio = match limit(said, Question::GreatestCheekRatio, &item, &at)? {
        Limit::None => return Ok(None),
        Limit::Open(finding) => return Ok(Some(finding)),
        Limit::Set(term) => term.clone(),
    };
    let add = "\"cheek_thickness\": \"… mm\" (\"0 mm\" where there are none)";
    let cheeks = plate(point, place, add).and_then(|plate| {
        let what = format_args!("the thickness of the cheek plates of \"{}\" on one side", point.name);
        plate.cheek_thickness.required(what, add, || at.clone())
    });
    let what = format_args!("the thickness of the main plate of \"{}\"", point.name);
    let main = point.thickness.required(what, "\"thickness\": \"… mm\"", || place.child("thickness"));
    let (cheeks, main) = match (cheeks, main) {
        (Ok(cheeks), Ok(main)) => (cheeks, main),
        (Err(error), _) | (_, Err(error)) => return Finding::from_error(Code::Geometry, item, error).map(Some),
    };
    let clause = ratio.source.clone();
    let there = dimension("t", "thickness of the cheek plates on one side", cheeks);
    let allowed = Chain::start("the greatest cheek plates", dimension("T", "thickness of the main plate", main))
        .times(ratio, Acts::OnForce);
    Ok(Some(at_most(&item, &at, Chain::start("thickness of the cheek plates", there), allowed, &clause)))
}

/// The width that the slings hung on a point without a fitting find there. Several lie side by side: each needs its own.
fn width(
    lift: &Lift,
    anchor: Anchor,
    point: &LiftPoint,
    place: &Place,
    rules: &RuleSet,
    said: &Said,
) -> Result<Option<Finding>, Error> {
    let item = Text::from([&*point.name, ", width for slings"]);
    if silent(&said.width) {
        return Ok(None);
    }
    let at = place.child("bearing_width");
    let mut needed: Option<Chain> = None;
    let mut clause: Option<Source> = None;
    for (index, doubled) in bare(lift, anchor) {
        let Some(sling) = lift.document().slings.get(index) else { continue };
        let own = Place::root().child("slings").child(index);
        if doubled {
            let what = "the width that a doubled sling needs, bight at one end and both its ends at the other";
            return Finding::from_error(Code::Geometry, item, Error::unsupported(what, own)).map(Some);
        }
        let what = format_args!("the diameter of \"{}\"", sling.name);
        let diameter = match sling.diameter.required(what, "\"diameter\": \"… mm\"", || own.child("diameter")) {
            Ok(diameter) => diameter,
            Err(error) => return Finding::from_error(Code::Geometry, item, error).map(Some),
        };
        let question = Question::LeastWidthForSling;
        let answer = rules.ask(question, &bearing_point(lift).number("rope diameter", diameter.si(), "m"));
        let term = match limit(&answer, question, &item, &at)? {
            Limit::None => continue,
            Limit::Open(finding) => return Ok(Some(finding)),
            Limit::Set(term) => term.clone(),
        };
        clause = Some(term.source.clone());
        needed = Some(match needed {
            None => Chain::start("least width for slings", term),
            Some(chain) => chain.plus(term, Acts::OnForce),
        });
    }
    let (Some(needed), Some(clause)) = (needed, clause) else { return Ok(None) };
    let what = format_args!("the width that slings find on \"{}\"", point.name);
    Ok(Some(match point.bearing_width.required(what, "\"bearing_width\": \"… mm\"", || at.clone()) {
        Ok(width) => {
            let there = Chain::start("the width there", dimension("w", "clear width of the bearing surface", width));
            at_least(&item, &at, needed, there, &clause)
        }
        Err(error) => Finding { demand: Some(needed.into()), ..Finding::from_error(Code::Geometry, item, error)? },
    }))
}

/// The slings that bear on a point themselves, at an end or where they pass over it, and whether they hang doubled. Where a fitting
/// collects legs at the point, they lie in that.
fn bare(lift: &Lift, anchor: Anchor) -> Vec<(usize, bool)> {
    let mut found = Vec::new();
    if lift.collectors().any(|(at, ..)| at == anchor) {
        return found;
    }
    for leg in lift.legs() {
        let items = &leg.links.items;
        let ends = leg.links.ends.iter().zip([items.first(), items.last()]);
        for (end, item) in ends {
            if let (true, Some(Item::Sling(index))) = (*end == anchor, item) {
                found.push((*index, leg.leg.hitch == Hitch::Doubled));
            }
        }
        for (station, _) in leg.passages() {
            if leg.links.stations.get(station) == Some(&anchor) {
                found.extend(leg.slings().map(|(index, _)| (index, leg.leg.hitch == Hitch::Doubled)));
            }
        }
    }
    found
}
