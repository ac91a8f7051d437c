//! Fittings that collect several legs: strength against the resultant, the angle between the legs, and room in the bow.

use super::strength::held_against;
use super::{Code, Finding, MissingInput};
use crate::arrangement::{Anchor, Item, Lift};
use crate::capacity::{self, Motion};
use crate::chain::{Chain, Term};
use crate::demand::{Asks, Demand};
use crate::error::{Error, Place};
use crate::gear::{Construction, Fitting};
use crate::rules::RuleSet;
use crate::source::{DIMENSIONS, SOLVED, Source};

/// Strength of every fitting that collects legs, against what they pull it with.
pub(super) fn compare(lift: &Lift, rules: &RuleSet, asks: &dyn Asks) -> Result<Vec<Finding>, Error> {
    let mut findings = Vec::new();
    for (number, (_, index, fitting)) in lift.collectors().enumerate() {
        let place = Place::root().child("fittings").child(index);
        let asked = |motion| asks.collector(number, &fitting.name, motion == Motion::AtRest);
        let limits = match capacity::rate_fitting(lift, fitting, index, asks.weight().dynamic.as_ref(), rules) {
            Ok(limits) => limits,
            Err(error) => {
                findings.push(Finding::from_error(Code::FittingStrength, &fitting.name, error)?);
                continue;
            }
        };
        if limits.is_empty()
            && let Some(asked) = asked(Motion::Moving)
        {
            findings.push(held_against(Code::FittingStrength, &fitting.name, place.clone(), asked, Ok(None))?);
        }
        for (motion, limit) in limits {
            let Some(asked) = asked(motion) else { continue };
            let (code, place) = (Code::FittingStrength, place.clone());
            findings.push(held_against(code, &fitting.name, place, asked, Ok(Some(limit)))?);
        }
    }
    Ok(findings)
}

/// How far the legs spread, against what the maker allows.
pub(super) fn spread(lift: &Lift, demand: &Demand) -> Vec<Finding> {
    let collectors = lift.collectors().zip(&demand.moving.collectors);
    collectors
        .filter(|(_, seen)| seen.included > 0.0)
        .map(|((_, index, fitting), seen)| {
            let place = Place::root().child("fittings").child(index).child("greatest_included_angle");
            let Some(limit) = fitting.greatest_included_angle.value() else {
                let what = format!(
                    "the greatest angle between slings that the maker of \"{}\" allows; they spread up to {:.2} deg, and it",
                    fitting.name,
                    seen.included.to_degrees()
                );
                let add = "\"greatest_included_angle\": { \"value\": \"… deg\", \"source\": \"…\" }".to_owned();
                return Finding::lacking(Code::IncludedAngle, &fitting.name, MissingInput::new(what, add, place));
            };
            let source = Source::fixed(&SOLVED);
            let asked = Term::new("angle", "largest angle between two legs over the vertices", seen.included, "rad", source);
            let limit = Term::new("limit", "greatest included angle", limit.value.si(), "rad", Source::stated(&limit.source))
                .from_input("as entered", limit.value.text());
            let asked = Chain::start(["angle between the legs in ", &*fitting.name], asked);
            let limit = Chain::start("the greatest included angle after its maker", limit);
            Finding::compared(Code::IncludedAngle, &fitting.name, place, asked, limit)
        })
        .collect()
}

/// Whether all slings that bear on it find room side by side.
pub(super) fn room(lift: &Lift) -> Result<Vec<Finding>, Error> {
    let findings = lift.collectors().filter_map(|(anchor, index, fitting)| {
        let slings = bearing(lift, anchor);
        // A chain is made up with its end fittings: alone it is looked at only where both sizes are stated.
        let made_up = matches!(slings.as_slice(), [one] if lift.document().slings.get(*one).is_some_and(|sling| {
            sling.construction == Construction::Chain
                && (sling.width.value().or(sling.diameter.value()).is_none() || fitting.inside_width.is_unknown())
        }));
        (!slings.is_empty() && !made_up).then(|| abreast(lift, &slings, fitting, index))
    });
    findings.collect()
}

fn abreast(lift: &Lift, slings: &[usize], fitting: &Fitting, index: usize) -> Result<Finding, Error> {
    let place = Place::root().child("fittings").child(index).child("inside_width");
    let what = format_args!("the clear width inside \"{}\"", fitting.name);
    let sum = || -> Result<[f64; 2], Error> {
        let room = fitting.inside_width.required(what, "\"inside_width\": \"… mm\"", || place.clone())?.si();
        let mut sum = 0.0;
        for sling in slings {
            sum += width(lift, *sling)?;
        }
        Ok([sum, room])
    };
    let [sum, room] = match sum() {
        Ok(found) => found,
        Err(error) => return Finding::from_error(Code::Fit, &fitting.name, error),
    };
    let source = || Source::fixed(&DIMENSIONS);
    let asked = Term::new("a", "sizes of the slings side by side, added", sum, "m", source());
    let inside = Term::new("b", "clear width inside", room, "m", source());
    let asked = Chain::start(["room that all slings in ", &*fitting.name, " take"], asked);
    Ok(Finding::compared(Code::Fit, &fitting.name, place, asked, Chain::start("the clear width", inside)))
}

/// The slings that bear on the station without a fitting between, at an end or where they pass over it.
fn bearing(lift: &Lift, anchor: Anchor) -> Vec<usize> {
    let ends = lift.legs().flat_map(|leg| {
        let ends = [(leg.links.ends.first(), leg.links.items.first()), (leg.links.ends.last(), leg.links.items.last())];
        ends.map(|(end, item)| (end.copied(), item.copied()))
    });
    let bearing = ends.filter_map(|(end, item)| match (end, item) {
        (Some(end), Some(Item::Sling(index))) if end == anchor => Some(index),
        _ => None,
    });
    let over = lift.legs().flat_map(|leg| {
        let times = leg.passages().filter(|(index, _)| leg.links.stations.get(*index) == Some(&anchor)).count();
        leg.slings().flat_map(|(index, _)| std::iter::repeat_n(index, times)).collect::<Vec<_>>()
    });
    bearing.chain(over).collect()
}

fn width(lift: &Lift, index: usize) -> Result<f64, Error> {
    let Some(sling) = lift.document().slings.get(index) else { return Ok(0.0) };
    let own = sling.width.value().or(sling.diameter.value());
    let place = Place::root().child("slings").child(index).child("width");
    let what = format!("the width of \"{}\" as it bears", sling.name);
    own.map(|width| width.si()).ok_or_else(|| Error::missing(what, "\"width\": \"… mm\"", place))
}
