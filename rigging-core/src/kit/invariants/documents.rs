//! Lifts as documents: written and read again, and in other units.

use super::closeness::Closeness;
use super::texts::changed;
use super::violation::{Answer, Comparing, Invariant};
use crate::arrangement::Lift;
use crate::equilibrium::solve;
use crate::error::{Error, Place};
use crate::quantity::{self, Conversion};
use crate::system::{Masses, System, from_lift};
use serde_json::Value;

/// The units of another family: what a quantity is entered in there.
const OTHER_UNITS: [(&str, &str); 4] = [("length", "ft"), ("mass", "lb"), ("force", "kip"), ("acceleration", "ft/s2")];
/// Keys whose texts are names and remarks, whatever they look like.
const TEXTS: [&str; 12] = [
    "name",
    "notes",
    "source",
    "identity",
    "chemicals",
    "items",
    "end",
    "station",
    "cover",
    "termination",
    "kind",
    "path",
];
/// How far a number may be off that was converted twice, each time within one unit in the last place.
const TWICE: f64 = 4.0 * f64::EPSILON;
/// A lift that is written, canonically or with line breaks, and read again is the same lift, with the same canonical
/// text and hash.
///
/// # Errors
/// [`Broken::Violation`](super::Broken::Violation); what the reader refuses, which it may not.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::kit::invariants;
/// let lift = Lift::from_json(include_str!("../../../examples/lifts/generator-skid.json"))?;
/// assert!(invariants::round_trip(&lift).unwrap().compared());
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn round_trip(lift: &Lift) -> Answer {
    let mut comparing = Comparing::new(Invariant::RoundTrip);
    let canonical = lift.canonical()?;
    for text in [canonical.clone(), lift.to_json()?] {
        let again = Lift::from_json(&text)?;
        comparing.same(&again.canonical()?, &canonical, || ("canonical text".into(), Place::root()))?;
        comparing.same(again.hash(), lift.hash(), || ("hash".into(), Place::root()))?;
        comparing.same(&again, lift, || ("lift".into(), Place::root()))?;
    }
    Ok(comparing.kept())
}

/// A lift that is entered in feet, pounds and kips is the same lift: every number of its model is within two roundings,
/// of itself or of the size of the lift, and it hangs with the same tensions, as close as [`Closeness`] says.
///
/// # Errors
/// [`Broken::Violation`](super::Broken::Violation), its place a JSON pointer into the model; what statics needs and the
/// lift does not state.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::kit::invariants;
/// let lift = Lift::from_json(include_str!("../../../examples/lifts/generator-skid.json"))?;
/// assert!(invariants::units(&lift).unwrap().compared());
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn units(lift: &Lift) -> Answer {
    let other = Lift::from_json(&in_other_units(lift)?)?;
    let model = |lift: &Lift| Ok::<_, Error>(from_lift(lift, Masses::stated(lift)?)?.system);
    let (system, image) = (model(lift)?, model(&other)?);
    let mut comparing = Comparing::new(Invariant::Units);
    let (numbers, images) = (numbers(&system)?, numbers(&image)?);
    let size = super::closeness::size(&system);
    comparing.same(&images.len(), &numbers.len(), || ("number of numbers".into(), Place::root()))?;
    for ((place, expected), (_, found)) in numbers.iter().zip(&images) {
        let what = || ("number of the model".to_owned(), Place::pointer(place.clone()));
        // Places and lengths of the model are sums of those of the document.
        let sum = !["/gravity", "/mass", "/law"].iter().any(|key| place.contains(key));
        let scale = if sum { expected.abs() + size } else { expected.abs() };
        comparing.near([*found, *expected], TWICE * scale, scale, "", what)?;
    }
    let (one, two) = (solve(&system)?, solve(&image)?);
    let (Ok(close), Ok(close_image)) = (Closeness::of(&system, &one), Closeness::of(&image, &two)) else {
        return Ok(comparing.kept());
    };
    let largest = one.members.iter().fold(0.0_f64, |most, member| most.max(member.tension));
    let allowed = close.tensions.iter().zip(&close_image.tensions).map(|(one, other)| one + other);
    for (index, ((found, expected), allowed)) in two.members.iter().zip(&one.members).zip(allowed).enumerate() {
        let what = || (format!("tension of member {index}"), Place::root().child("members").child(index));
        comparing.near([found.tension, expected.tension], allowed, largest, "N", what)?;
    }
    Ok(comparing.kept())
}

/// The text of the lift in the other family of units.
fn in_other_units(lift: &Lift) -> Result<String, Error> {
    changed(lift, &|_, key, text| {
        let (value, symbol) = text.split_once(' ').filter(|_| !TEXTS.contains(&key))?;
        let value: f64 = value.parse().ok()?;
        let row = quantity::units().find(|row| row.symbol == symbol)?;
        let (_, other) = OTHER_UNITS.iter().find(|(quantity, _)| *quantity == row.quantity)?;
        let converted = Conversion::new(row.quantity, symbol, other).and_then(|conversion| conversion.apply(value));
        Some(converted.map(|value| format!("{} {other}", quantity::number(value))))
    })
}

/// Every number of a system, with its pointer.
fn numbers(system: &System) -> Result<Vec<(String, f64)>, Error> {
    fn collect(value: &Value, pointer: String, into: &mut Vec<(String, f64)>) {
        match value {
            Value::Number(number) => into.extend(number.as_f64().map(|number| (pointer, number))),
            Value::Array(list) => {
                list.iter().enumerate().for_each(|(index, entry)| collect(entry, format!("{pointer}/{index}"), into));
            }
            Value::Object(object) => {
                object.iter().for_each(|(key, entry)| collect(entry, format!("{pointer}/{key}"), into));
            }
            Value::Null | Value::Bool(_) | Value::String(_) => {}
        }
    }
    let value = serde_json::to_value(system).map_err(|error| Error::malformed(error.to_string(), Place::root()))?;
    let mut all = Vec::new();
    collect(&value, String::new(), &mut all);
    Ok(all)
}
