//! Quantities of the package pint, known by their attributes: pint itself is never imported.
//!
//! The conversion is pint's own. A unit is taken only where it says enough: dimensions must agree before converting
//! (a context of pint may turn a mass into a force), and what pint takes for dimensionless is neither angle nor fraction.

use super::Object;
use super::read::{refused, wrong};
use crate::guard::guard;
use pyo3::prelude::*;
use rigging_core::error::{Error, Place};
use rigging_core::quantity::Quantity;

/// pint has no dimension for these: they are taken by name.
const ANGLES: [&str; 3] = ["radian", "milliradian", "degree"];
const PERCENT: &str = "percent";

/// The kinds whose units pint knows, each with the symbol of its SI unit here.
const KINDS: [(&str, &str); 10] = [
    ("meter", "m"),
    ("kilogram", "kg"),
    ("newton", "N"),
    ("kelvin", "K"),
    ("newton / meter", "N/m"),
    ("pascal", "Pa"),
    ("kilogram / meter ** 3", "kg/m3"),
    ("second", "s"),
    ("meter / second ** 2", "m/s2"),
    ("meter / second", "m/s"),
];

/// Whether a value is a quantity of pint.
pub(super) fn is_quantity(value: &Bound<'_, PyAny>) -> bool {
    ["magnitude", "units", "dimensionality", "to"].iter().all(|name| value.hasattr(name).unwrap_or(false))
}

/// Reads it as one kind of quantity.
pub(super) fn read<T: Object>(value: &Bound<'_, PyAny>, place: &Place) -> PyResult<T::Core> {
    let unit = unit_name(value)?;
    let shown = || format!("{} {unit}", value.getattr("magnitude").map_or_else(|_| "?".to_owned(), |m| m.to_string()));
    let refuse = |error: Error| guard(|| Err(error));
    let Some(target) = T::PINT else {
        let write = format!("\"{}\"", T::Core::EXAMPLE);
        return refuse(Error::AmbiguousUnit { text: shown(), write, place: place.clone() });
    };
    match symbol(value, &unit) {
        Some((own, _)) if own == target => {
            let Some(number) = converted(value, target) else {
                return refuse(wrong::<T::Core>(&shown(), place));
            };
            let quantity = match T::Core::NAME {
                "fraction" => T::Core::new_in(number, T::Core::PRINTED_IN),
                _ => T::Core::from_si(number),
            };
            guard(|| quantity.checked().map_err(|error| error.at(place.clone())))
        }
        // Of another kind: what the core says of its text, so that a mass given for a force is told so.
        Some((own, symbol)) => match converted(value, own) {
            Some(number) => refuse(refused::<T::Core>(&format!("{number} {symbol}"), place)),
            None => refuse(wrong::<T::Core>(&shown(), place)),
        },
        None => refuse(wrong::<T::Core>(&shown(), place)),
    }
}

/// Its text in SI, for a place in a document whose kind is not known here; none for what is not a single value of a known
/// kind.
pub(crate) fn text(value: &Bound<'_, PyAny>) -> Option<String> {
    if !is_quantity(value) {
        return None;
    }
    let (target, symbol) = symbol(value, &unit_name(value).ok()?)?;
    let number = converted(value, target).filter(|number| number.is_finite())?;
    Some(format!("{number:?} {symbol}"))
}

/// The long name of its unit, whatever the format that the user has set.
fn unit_name(value: &Bound<'_, PyAny>) -> PyResult<String> {
    value.getattr("units")?.call_method1("__format__", ("D",))?.extract()
}

/// Its kind: the name of the SI unit in pint and the symbol here.
fn symbol(value: &Bound<'_, PyAny>, unit: &str) -> Option<(&'static str, &'static str)> {
    if ANGLES.contains(&unit) {
        return Some(("radian", "rad"));
    }
    if unit == PERCENT {
        return Some((PERCENT, "%"));
    }
    // The difference of two temperatures is not a temperature.
    if unit.contains("delta_") {
        return None;
    }
    let dimension = value.getattr("dimensionality").ok()?;
    KINDS.into_iter().find(|(name, _)| {
        let agrees = || value.get_type().call1((1.0, *name))?.getattr("dimensionality")?.eq(&dimension);
        agrees().unwrap_or(false)
    })
}

/// Its magnitude in a unit of its own dimension; none where it is not one real number.
fn converted(value: &Bound<'_, PyAny>, target: &str) -> Option<f64> {
    let magnitude = value.call_method1("to", (target,)).ok()?.getattr("magnitude").ok()?;
    let single = magnitude.getattr("ndim").and_then(|ndim| ndim.extract::<usize>()).unwrap_or(0) == 0;
    if single && super::is_number(&magnitude) { magnitude.extract().ok() } else { None }
}
