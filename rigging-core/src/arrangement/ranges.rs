//! The ranges that single values of a document must lie in.

use super::document::{Contact, Document, Hitch, Hook, Leg, LiftPoint, Load, Passage, Point, Spreader, Station};
use super::{circumstances, connections, texts};
use crate::error::{Error, Place};
use crate::gear::{Cited, Cover, Fitting, Known, Rated, Rating, Sling, Stiffness, StretchLaw};
use crate::quantity::{Entered, Quantity, Temperature};

/// Farthest coordinate, in meters: beyond it a length in millimeters is lost in the last digits of a double.
const FARTHEST: f64 = 1e6;

/// Greatest length of a sling, m, mass of a load, kg, and axial stiffness, N: far beyond gear, and within what statics
/// takes without loss.
const LONGEST: f64 = 1e5;
const HEAVIEST: f64 = 1e12;
const STIFFEST: f64 = 1e15;
/// Least of each, in the same units: what is smaller was meant in another unit.
const SHORTEST: f64 = 1e-4;
const LIGHTEST: f64 = 1e-3;
const SOFTEST: f64 = 1e-3;

/// Most parts of a sling side by side: far beyond gear.
const MOST_PARTS: u32 = 64;

/// Whether a value may be zero.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Least {
    Zero,
    AboveZero,
}

impl Least {
    const fn words(self) -> &'static str {
        match self {
            Self::Zero => "zero or more",
            Self::AboveZero => "more than zero",
        }
    }

    fn admits(self, value: f64) -> bool {
        value.is_finite() && (value > 0.0 || (self == Self::Zero && value == 0.0))
    }
}

/// Checks every single value of the document.
pub(super) fn check(document: &Document) -> Result<(), Error> {
    let root = Place::root();
    if let Some(gravity) = document.gravity.value() {
        within("gravity", gravity, 9.7, 10.0, root.child("gravity"))?;
    }
    if let Some(range) = document.environment.temperature.value() {
        temperatures(range, &root.child("environment").child("temperature"))?;
    }
    circumstances::check(document)?;
    load(&document.load, &root.child("load"))?;
    each("hooks", &document.hooks, hook)?;
    each("joints", &document.joints, |joint, place| position(&joint.position, &place.child("position")))?;
    each("spreaders", &document.spreaders, spreader)?;
    each("slings", &document.slings, sling)?;
    each("fittings", &document.fittings, fitting)?;
    each("covers", &document.covers, cover)?;
    each("legs", &document.legs, leg)
}

fn temperatures([low, high]: &[Entered<Temperature>; 2], place: &Place) -> Result<(), Error> {
    for (index, temperature) in [low, high].into_iter().enumerate() {
        within("temperature", temperature, 0.0, 2_000.0, place.child(index))?;
    }
    if low.si() > high.si() {
        return Err(Error::inconsistent("the lowest temperature stands first and the highest second", place.clone()));
    }
    Ok(())
}

fn makers_temperatures(range: &Known<Cited<[Entered<Temperature>; 2]>>, place: &Place) -> Result<(), Error> {
    let Some(range) = range.value() else { return Ok(()) };
    let place = place.child("temperature_range");
    cited(range, &place)?;
    temperatures(&range.value, &place.child("value"))
}

fn each<T>(key: &str, items: &[T], check: impl Fn(&T, &Place) -> Result<(), Error>) -> Result<(), Error> {
    let place = Place::root().child(key);
    items.iter().enumerate().try_for_each(|(index, item)| check(item, &place.child(index)))
}

fn load(load: &Load, place: &Place) -> Result<(), Error> {
    known("length", &load.length, Least::AboveZero, &place.child("length"))?;
    let mass = place.child("mass");
    known("mass", &load.mass.value, Least::AboveZero, &mass.child("value"))?;
    if let Some(value) = load.mass.value.value() {
        within("mass", value, LIGHTEST, HEAVIEST, mass.child("value"))?;
    }
    if let Some(contingency) = load.mass.contingency.value() {
        let value = contingency.si();
        if !(0.0..=1.0).contains(&value) {
            let place = mass.child("contingency");
            return Err(Error::out_of_domain("mass contingency", value * 100.0, "%", "0 % to 100 %", place));
        }
    }
    if let Some(least) = load.mass.at_least.value() {
        let place = mass.child("at_least");
        cited(least, &place)?;
        let most = load.mass.value.value().map_or(HEAVIEST, |value| value.si());
        within("least mass", &least.value, LIGHTEST, most, place.child("value"))?;
    }
    let center = place.child("center_of_gravity");
    if let Some(point) = load.center_of_gravity.position.value() {
        position(point, &center.child("position"))?;
    }
    if let Some(box_sides) = load.center_of_gravity.tolerance.value() {
        for (index, side) in box_sides.iter().enumerate() {
            single("center-of-gravity tolerance", side, Least::Zero, &center.child("tolerance").child(index))?;
        }
    }
    if let Some(tilt) = load.allowed_tilt.value() {
        let place = place.child("allowed_tilt");
        cited(tilt, &place)?;
        within("allowed tilt", &tilt.value, 0.0, std::f64::consts::PI, place.child("value"))?;
    }
    points(&load.lift_points, &place.child("lift_points"))
}

fn points(points: &[LiftPoint], place: &Place) -> Result<(), Error> {
    points.iter().enumerate().try_for_each(|(index, point)| lift_point(point, &place.child(index)))
}

fn lift_point(point: &LiftPoint, place: &Place) -> Result<(), Error> {
    position(&point.position, &place.child("position"))?;
    rating(&point.rating, &place.child("rating"))?;
    known("hole diameter", &point.hole_diameter, Least::AboveZero, &place.child("hole_diameter"))?;
    known("bearing diameter", &point.bearing_diameter, Least::AboveZero, &place.child("bearing_diameter"))?;
    known("bearing width", &point.bearing_width, Least::AboveZero, &place.child("bearing_width"))?;
    known("plate thickness", &point.thickness, Least::AboveZero, &place.child("thickness"))?;
    if let Some(direction) = point.allowed_direction.value() {
        let place = place.child("allowed_direction");
        let length = direction.axis.iter().map(|x| x * x).sum::<f64>();
        if !(length.is_finite() && length > 0.0) {
            let place = place.child("axis");
            return Err(Error::out_of_domain("length of the axis", length.sqrt(), "", "finite and not zero", place));
        }
        within("angle of the cone", &direction.within, 0.0, std::f64::consts::PI, place.child("within"))?;
    }
    connections::point(point, place)
}

fn hook(hook: &Hook, place: &Place) -> Result<(), Error> {
    if let Some(point) = hook.position.value() {
        position(point, &place.child("position"))?;
    }
    rating(&hook.rating, &place.child("rating"))?;
    known("bearing diameter", &hook.bearing_diameter, Least::AboveZero, &place.child("bearing_diameter"))?;
    known("mass", &hook.mass, Least::Zero, &place.child("mass"))
}

fn spreader(spreader: &Spreader, place: &Place) -> Result<(), Error> {
    known("mass", &spreader.mass, Least::Zero, &place.child("mass"))?;
    if let Some(point) = spreader.center_of_gravity.value() {
        position(point, &place.child("center_of_gravity"))?;
    }
    rating(&spreader.rating, &place.child("rating"))?;
    points(&spreader.points, &place.child("points"))
}

fn sling(sling: &Sling, place: &Place) -> Result<(), Error> {
    let strength = place.child("strength");
    rated("working load limit", &sling.strength.wll, &strength.child("wll"))?;
    rated("working load limit, choked", &sling.strength.wll_choke, &strength.child("wll_choke"))?;
    rated("working load limit in a basket", &sling.strength.wll_basket, &strength.child("wll_basket"))?;
    rated("breaking load", &sling.strength.breaking_load, &strength.child("breaking_load"))?;
    parts(sling, place)?;
    if let Some(stiffness) = sling.stiffness.value() {
        stretch(stiffness, &place.child("stiffness").child("law"))?;
    }
    known("diameter", &sling.diameter, Least::AboveZero, &place.child("diameter"))?;
    known("width", &sling.width, Least::AboveZero, &place.child("width"))?;
    known("thickness", &sling.thickness, Least::AboveZero, &place.child("thickness"))?;
    known("clear length", &sling.clear_length, Least::AboveZero, &place.child("clear_length"))?;
    known("circumference", &sling.circumference, Least::AboveZero, &place.child("circumference"))?;
    known("lay length", &sling.lay_length, Least::AboveZero, &place.child("lay_length"))?;
    known("mass", &sling.mass, Least::Zero, &place.child("mass"))?;
    let length = place.child("length");
    known("length", &sling.length.value, Least::AboveZero, &length.child("value"))?;
    if let Some(value) = sling.length.value.value() {
        within("length", value, SHORTEST, LONGEST, length.child("value"))?;
    }
    known("length tolerance", &sling.length.tolerance, Least::Zero, &length.child("tolerance"))?;
    if let (Some(value), Some(tolerance)) = (sling.length.value.value(), sling.length.tolerance.value())
        && tolerance.si() >= value.si()
    {
        let place = length.child("tolerance");
        return Err(Error::inconsistent("the tolerance is as large as the length itself", place));
    }
    for (name, key, limit) in [
        ("least edge radius", "least_edge_radius", &sling.least_edge_radius),
        ("least bend diameter", "least_bend_diameter", &sling.least_bend_diameter),
    ] {
        if let Some(limit) = limit.value() {
            let place = place.child(key);
            cited(limit, &place)?;
            single(name, &limit.value, Least::Zero, &place.child("value"))?;
        }
    }
    if let Some(least) = sling.least_safety_factor.value() {
        let place = place.child("least_safety_factor");
        cited(least, &place)?;
        if !(least.value >= 1.0 && least.value.is_finite()) {
            let allowed = "finite and at least 1";
            return Err(Error::out_of_domain("least safety factor", least.value, "", allowed, place.child("value")));
        }
    }
    makers_temperatures(&sling.temperature_range, place)?;
    tag(sling.tag.value().map(|tag| &tag.wll), place)?;
    connections::sling(sling, place)
}

fn parts(sling: &Sling, place: &Place) -> Result<(), Error> {
    let Some(parts) = sling.parts.value() else { return Ok(()) };
    let place = place.child("parts");
    if !(1..=MOST_PARTS).contains(parts) {
        let allowed = format!("1 to {MOST_PARTS}");
        return Err(Error::out_of_domain("parts side by side", f64::from(*parts), "", allowed, place));
    }
    if sling.endless() == Some(true) && parts % 2 == 1 {
        let what = "a sling closed upon itself has an even number of parts between its ends";
        return Err(Error::inconsistent(what, place));
    }
    Ok(())
}

fn stretch(stiffness: &Stiffness, place: &Place) -> Result<(), Error> {
    match &stiffness.law {
        StretchLaw::Ea(ea) => {
            let place = place.child("ea");
            single("axial stiffness EA", ea, Least::AboveZero, &place)?;
            within("axial stiffness EA", ea, SOFTEST, STIFFEST, place)
        }
        StretchLaw::Polynomial(coefficients) => {
            let place = place.child("polynomial");
            not_empty("number of coefficients", coefficients, &place)?;
            for (index, coefficient) in coefficients.iter().enumerate() {
                if !coefficient.si().is_finite() {
                    let place = place.child(index);
                    return Err(Error::out_of_domain("coefficient", coefficient.si(), "N", "finite", place));
                }
            }
            Ok(())
        }
        StretchLaw::Points(points) => {
            let place = place.child("points");
            not_empty("number of points", points, &place)?;
            let mut last = (0.0, 0.0);
            for (index, (strain, tension)) in points.iter().enumerate() {
                let here = (strain.si(), tension.si());
                if !(here.0 > last.0 && here.1 >= last.1 && here.0.is_finite() && here.1.is_finite()) {
                    let what = "strain must rise from point to point and tension must not fall, from (0, 0) on";
                    return Err(Error::inconsistent(what, place.child(index)));
                }
                last = here;
            }
            Ok(())
        }
    }
}

fn not_empty<T>(name: &str, list: &[T], place: &Place) -> Result<(), Error> {
    if list.is_empty() {
        return Err(Error::out_of_domain(name, 0.0, "", "1 or more", place.clone()));
    }
    Ok(())
}

fn fitting(fitting: &Fitting, place: &Place) -> Result<(), Error> {
    rating(&fitting.rating, &place.child("rating"))?;
    known("length", &fitting.length, Least::Zero, &place.child("length"))?;
    known("pin diameter", &fitting.pin_diameter, Least::AboveZero, &place.child("pin_diameter"))?;
    known("bow diameter", &fitting.bow_diameter, Least::AboveZero, &place.child("bow_diameter"))?;
    known("inside width", &fitting.inside_width, Least::AboveZero, &place.child("inside_width"))?;
    known("jaw width", &fitting.jaw_width, Least::AboveZero, &place.child("jaw_width"))?;
    known("mass", &fitting.mass, Least::Zero, &place.child("mass"))?;
    makers_temperatures(&fitting.temperature_range, place)?;
    tag(fitting.tag.value().map(|tag| &tag.wll), place)?;
    connections::fitting(fitting, place)
}

fn tag(wll: Option<&Known<Rated>>, place: &Place) -> Result<(), Error> {
    wll.map_or(Ok(()), |wll| rated("working load limit", wll, &place.child("tag").child("wll")))
}

fn cover(cover: &Cover, place: &Place) -> Result<(), Error> {
    known("thickness", &cover.thickness, Least::AboveZero, &place.child("thickness"))?;
    let Some(pressure) = cover.rated_pressure.value() else { return Ok(()) };
    let place = place.child("rated_pressure");
    cited(pressure, &place)?;
    single("rated pressure", &pressure.value, Least::AboveZero, &place.child("value"))
}

fn leg(leg: &Leg, place: &Place) -> Result<(), Error> {
    if let Hitch::Choke(choke) = &leg.hitch
        && choke.wraps.value() == Some(&0)
    {
        let place = place.child("hitch").child("choke").child("wraps");
        return Err(Error::out_of_domain("turns round the load", 0.0, "", "1 or more", place));
    }
    if leg.hitch == Hitch::Doubled && leg.path.len() > 2 {
        let what =
            "a doubled sling is drawn either as one leg from end to end, or straight over what it passes; not as both";
        return Err(Error::inconsistent(what, place.child("hitch")));
    }
    for (index, station) in leg.path.iter().enumerate() {
        if let Station::Over(over) = station {
            passage(over, &place.child("path").child(index).child("over"))?;
        }
    }
    let contacts = leg.contacts.value().map(Vec::as_slice).unwrap_or_default();
    contacts.iter().enumerate().try_for_each(|(index, touch)| contact(touch, &place.child("contacts").child(index)))
}

fn passage(passage: &Passage, place: &Place) -> Result<(), Error> {
    match (passage.position.value(), &passage.station) {
        (Some(point), None) => position(point, &place.child("position"))?,
        (None, Some(_)) => {}
        (None, None) => {
            let add = "\"station\": \"…\" (a name) or \"position\": [\"… m\", \"… m\", \"… m\"] (on the load)";
            return Err(Error::missing("what the sling passes over", add, place.clone()));
        }
        (Some(_), Some(_)) => {
            let what = "a place that a sling passes over has a station or a position, not both";
            return Err(Error::inconsistent(what, place.child("position")));
        }
    }
    known("bearing diameter", &passage.bearing_diameter, Least::AboveZero, &place.child("bearing_diameter"))?;
    let Some(friction) = passage.friction.value() else { return Ok(()) };
    let place = place.child("friction");
    if passage.free_turning.value() == Some(&true) {
        return Err(Error::inconsistent("a sheave that turns freely has no friction on the sling", place));
    }
    cited(friction, &place)?;
    let [least, greatest] = friction.value;
    if !(Least::Zero.admits(least) && Least::Zero.admits(greatest) && least <= greatest) {
        let what = "friction is a list of its least and its greatest value, both zero or more";
        return Err(Error::inconsistent(what, place.child("value")));
    }
    Ok(())
}

fn contact(contact: &Contact, place: &Place) -> Result<(), Error> {
    known("edge radius", &contact.edge_radius, Least::Zero, &place.child("edge_radius"))?;
    known("wrap", &contact.wrap, Least::Zero, &place.child("wrap"))
}

fn rating(rating: &Rating, place: &Place) -> Result<(), Error> {
    rated("working load limit", &rating.wll, &place.child("wll"))?;
    rated("breaking load", &rating.breaking_load, &place.child("breaking_load"))?;
    rated("proof load", &rating.proof_load, &place.child("proof_load"))
}

pub(super) fn rated(name: &str, value: &Known<Rated>, place: &Place) -> Result<(), Error> {
    let Some(value) = value.value() else { return Ok(()) };
    let newtons = value.force().si();
    if Least::AboveZero.admits(newtons) {
        return Ok(());
    }
    Err(Error::out_of_domain(name, newtons, "N", Least::AboveZero.words(), place.clone()))
}

pub(super) fn known<Q: Quantity>(
    name: &str,
    value: &Known<Entered<Q>>,
    least: Least,
    place: &Place,
) -> Result<(), Error> {
    value.value().map_or(Ok(()), |value| single(name, value, least, place))
}

pub(super) fn single<Q: Quantity>(name: &str, value: &Entered<Q>, least: Least, place: &Place) -> Result<(), Error> {
    if least.admits(value.si()) {
        return Ok(());
    }
    Err(Error::out_of_domain(name, value.si(), Q::SI_SYMBOL, least.words(), place.clone()))
}

pub(super) fn within<Q: Quantity>(
    name: &str,
    value: &Entered<Q>,
    least: f64,
    most: f64,
    place: Place,
) -> Result<(), Error> {
    if (least..=most).contains(&value.si()) {
        return Ok(());
    }
    let allowed = match most {
        ..1e6 => format!("{least} to {most} {}", Q::SI_SYMBOL),
        _ => format!("{least:e} to {most:e} {}", Q::SI_SYMBOL),
    };
    Err(Error::out_of_domain(name, value.si(), Q::SI_SYMBOL, allowed, place))
}

fn position(point: &Point, place: &Place) -> Result<(), Error> {
    for (index, coordinate) in point.iter().enumerate() {
        if !(-FARTHEST..=FARTHEST).contains(&coordinate.si()) {
            let allowed = format!("within {FARTHEST} m of the origin");
            return Err(Error::out_of_domain("coordinate", coordinate.si(), "m", allowed, place.child(index)));
        }
    }
    Ok(())
}

pub(super) fn cited<T>(value: &Cited<T>, place: &Place) -> Result<(), Error> {
    texts::source(&value.source, &place.child("source"))
}
