//! What the questions about a balance take: a value for each leg, inertias of the bodies, excitations, tolerances.

use crate::guard::guard;
use crate::quantity::{self, Duration, Force, Length, Object};
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyMapping, PyString};
use rigging_core::equilibrium::period::Excitation;
use rigging_core::error::{Error, Place};
use rigging_core::quantity::Quantity;
use rigging_core::statics::{BodyInertia, Measure, WorstInputs};

/// A force for each leg, N; none where it is not told. Empty without `given`.
pub(crate) fn forces(given: Option<&Bound<'_, PyAny>>, legs: &[String], parameter: &str) -> PyResult<Vec<Option<f64>>> {
    given.map_or_else(|| Ok(Vec::new()), |given| each::<Force>(given, legs, parameter))
}

/// A length for each leg, m.
///
/// # Errors
/// `MissingError` for a leg without one.
pub(crate) fn lengths(given: &Bound<'_, PyAny>, legs: &[String], parameter: &str) -> PyResult<Vec<f64>> {
    let found = each::<Length>(given, legs, parameter)?;
    let told = |(index, length): (usize, Option<f64>)| {
        length.ok_or_else(|| {
            let leg = legs.get(index).map_or_else(|| index.to_string(), Clone::clone);
            Error::missing(
                format!("the length of \"{leg}\""),
                "a length such as \"0 mm\"",
                Place::root().child(parameter).child(&leg),
            )
        })
    };
    guard(|| found.into_iter().enumerate().map(told).collect())
}

/// A quantity for each leg in SI, from a mapping by the names of the legs or from a sequence in their order.
fn each<T: Object>(given: &Bound<'_, PyAny>, legs: &[String], parameter: &str) -> PyResult<Vec<Option<f64>>> {
    let place = Place::root().child(parameter);
    let read = |value: &Bound<'_, PyAny>, place: Place| -> PyResult<Option<f64>> {
        if value.is_none() { Ok(None) } else { quantity::read_at::<T>(value, &place).map(|found| Some(found.si())) }
    };
    if let Ok(mapping) = given.cast::<PyMapping>() {
        let mut found = vec![None; legs.len()];
        for item in mapping.items()? {
            let (name, value): (String, Bound<'_, PyAny>) = item.extract()?;
            let Some(slot) = legs.iter().position(|leg| *leg == name).and_then(|index| found.get_mut(index)) else {
                let known = legs.iter().map(String::as_str);
                return guard(|| Err(Error::unknown_name(&name, "leg", known, place)));
            };
            *slot = read(&value, place.child(&name))?;
        }
        return Ok(found);
    }
    let items = items(given, parameter)?;
    items.iter().enumerate().map(|(index, value)| read(value, place.child(index))).collect()
}

/// Inertias of the bodies.
pub(crate) fn inertias(moments: &Bound<'_, PyAny>, products: Option<&Bound<'_, PyAny>>) -> PyResult<Vec<BodyInertia>> {
    let moments = triples(moments, "moments_kg_m2")?;
    let products = match products {
        Some(products) => triples(products, "products_kg_m2")?,
        None => vec![[0.0; 3]; moments.len()],
    };
    guard(|| {
        if products.len() != moments.len() {
            let what = format!("products of inertia for {} bodies, moments for {}", products.len(), moments.len());
            return Err(Error::inconsistent(what, Place::root().child("products_kg_m2")));
        }
        Ok(moments.into_iter().zip(products).map(|(moments, products)| BodyInertia { moments, products }).collect())
    })
}

/// Rows of three plain numbers.
fn triples(given: &Bound<'_, PyAny>, parameter: &str) -> PyResult<Vec<[f64; 3]>> {
    let triple = |row: &Bound<'_, PyAny>| {
        let numbers: Vec<f64> =
            items(row, parameter)?.iter().map(|value| number(value, parameter)).collect::<PyResult<_>>()?;
        <[f64; 3]>::try_from(numbers).map_err(|numbers| {
            PyTypeError::new_err(format!("{parameter}: each body has 3 numbers, not {}", numbers.len()))
        })
    };
    items(given, parameter)?.iter().map(triple).collect()
}

fn number(value: &Bound<'_, PyAny>, parameter: &str) -> PyResult<f64> {
    if quantity::is_number(value) && !quantity::has_unit(value) {
        return value.extract();
    }
    let kind = quantity::named(value);
    Err(PyTypeError::new_err(format!("{parameter}: plain numbers in kg·m² are needed, not {kind}")))
}

/// What may shake the lift.
pub(crate) fn excitations(given: Option<&Bound<'_, PyAny>>) -> PyResult<Vec<Excitation>> {
    let Some(given) = given else { return Ok(Vec::new()) };
    let excitation = |(index, entry): (usize, &Bound<'_, PyAny>)| {
        let place = Place::root().child("excitations").child(index);
        let Ok(entry) = entry.cast::<PyDict>() else {
            let kind = quantity::named(entry);
            return Err(PyTypeError::new_err(format!(
                "{place}: a dict with name, shortest, longest and source is needed, not {kind}"
            )));
        };
        excitation(entry, &place)
    };
    items(given, "excitations")?.iter().enumerate().map(excitation).collect()
}

fn excitation(entry: &Bound<'_, PyDict>, place: &Place) -> PyResult<Excitation> {
    const KEYS: [&str; 4] = ["name", "shortest", "longest", "source"];
    for key in entry.keys() {
        let key: String = key.extract()?;
        if !KEYS.contains(&key.as_str()) {
            let nearest = rigging_core::error::nearest(&key, KEYS);
            return guard(|| Err(Error::UnknownKey { nearest, place: place.child(&key), key }));
        }
    }
    let value = |key: &str| -> PyResult<Bound<'_, PyAny>> {
        match entry.get_item(key)? {
            Some(value) => Ok(value),
            None => guard(|| {
                Err(Error::missing(format!("the {key} of an excitation"), format!("\"{key}\""), place.child(key)))
            }),
        }
    };
    let words = |key: &str| -> PyResult<String> {
        let value = value(key)?;
        let Ok(text) = value.cast::<PyString>() else {
            return Err(PyTypeError::new_err(format!(
                "{place}/{key}: a text is needed, not {}",
                quantity::named(&value)
            )));
        };
        Ok(text.to_str()?.to_owned())
    };
    let period = |key: &str| quantity::read_at::<Duration>(&value(key)?, &place.child(key)).map(|found| found.si());
    Ok(Excitation {
        name: words("name")?,
        shortest: period("shortest")?,
        longest: period("longest")?,
        source: words("source")?,
    })
}

/// A length, m.
pub(crate) fn length(given: &Bound<'_, PyAny>, parameter: &str) -> PyResult<f64> {
    quantity::read_at::<Length>(given, &Place::root().child(parameter)).map(|found| found.si())
}

/// What a worst tension is compared with, by its word.
pub(crate) fn measure(word: &str) -> PyResult<Measure> {
    const WORDS: [&str; 2] = ["own", "largest"];
    match word {
        "own" => Ok(Measure::Own),
        "largest" => Ok(Measure::Largest),
        _ => guard(|| {
            let nearest = rigging_core::error::nearest(word, WORDS);
            Err(Error::UnknownName {
                name: word.to_owned(),
                kind: "measure".to_owned(),
                nearest,
                place: Place::root().child("measure"),
            })
        }),
    }
}

/// A share for each leg; one plain number is that of every leg.
pub(crate) fn shares(given: &Bound<'_, PyAny>, legs: usize) -> PyResult<Vec<f64>> {
    let share = |value: &Bound<'_, PyAny>| -> PyResult<f64> {
        if quantity::is_number(value) && !quantity::has_unit(value) {
            return value.extract();
        }
        let kind = quantity::named(value);
        Err(PyTypeError::new_err(format!("stiffness: plain numbers, shares of the stiffness, are needed, not {kind}")))
    };
    if quantity::is_number(given) {
        return Ok(vec![share(given)?; legs]);
    }
    items(given, "stiffness")?.iter().map(share).collect()
}

/// What the questions about tolerances take.
pub(crate) fn tolerances(
    legs: &[String],
    stiffness: &Bound<'_, PyAny>,
    mass: f64,
    [lengths, center_of_gravity, hook_heights]: [Option<&Bound<'_, PyAny>>; 3],
    (gap, parts): (f64, usize),
) -> PyResult<WorstInputs> {
    let heights = |given: &Bound<'_, PyAny>| -> PyResult<Vec<f64>> {
        let place = Place::root().child("hook_heights");
        let read = |(hook, value): (usize, &Bound<'_, PyAny>)| {
            quantity::read_at::<Length>(value, &place.child(hook)).map(|found| found.si())
        };
        items(given, "hook_heights")?.iter().enumerate().map(read).collect()
    };
    let coordinates = |given: &Bound<'_, PyAny>| -> PyResult<[f64; 3]> {
        let place = Place::root().child("center_of_gravity");
        let read = |(axis, value): (usize, &Bound<'_, PyAny>)| {
            quantity::read_at::<Length>(value, &place.child(axis)).map(|found| found.si())
        };
        let found: Vec<f64> =
            items(given, "center_of_gravity")?.iter().enumerate().map(read).collect::<PyResult<_>>()?;
        <[f64; 3]>::try_from(found).map_err(|found| {
            PyTypeError::new_err(format!("center_of_gravity: 3 tolerances are needed, not {}", found.len()))
        })
    };
    Ok(WorstInputs {
        lengths: lengths.map(|given| self::lengths(given, legs, "lengths")).transpose()?,
        center_of_gravity: center_of_gravity.map(coordinates).transpose()?,
        stiffness: shares(stiffness, legs.len())?,
        mass,
        hook_heights: hook_heights.map(heights).transpose()?,
        gap,
        parts,
    })
}

/// The items of a sequence; a text is none.
fn items<'py>(given: &Bound<'py, PyAny>, parameter: &str) -> PyResult<Vec<Bound<'py, PyAny>>> {
    let refused = || {
        let kind = quantity::named(given);
        PyTypeError::new_err(format!("{parameter}: a sequence is needed, not {kind}"))
    };
    // A set has no order, and what carries a unit would lose it.
    if given.is_instance_of::<PyString>() || quantity::has_unit(given) || !given.hasattr("__getitem__")? {
        return Err(refused());
    }
    given.try_iter().map_err(|_| refused())?.collect()
}
