//! What a parameter of one kind of quantity takes: an object of that kind, a text with a unit, or a pint quantity.

use super::{Object, class, pint};
use crate::guard::guard;
use pyo3::exceptions::{PyOverflowError, PyTypeError};
use pyo3::prelude::*;
use pyo3::types::{PyBool, PyString};
use rigging_core::error::{Error, Place};
use rigging_core::quantity::{Quantity, parse};

/// Reads a parameter.
///
/// # Errors
/// Every refusal names the parameter: by the place `/parameter`, or in the words of a `TypeError`.
pub(crate) fn read<T: Object>(value: &Bound<'_, PyAny>, parameter: &str) -> PyResult<T::Core> {
    read_at::<T>(value, &Place::root().child(parameter))
}

/// Reads a part of a parameter, by its place.
///
/// # Errors
/// As [`read`].
pub(crate) fn read_at<T: Object>(value: &Bound<'_, PyAny>, place: &Place) -> PyResult<T::Core> {
    if let Ok(own) = value.cast::<T>() {
        return Ok(own.get().core());
    }
    if let Ok(text) = value.cast::<PyString>() {
        let text = text.to_str()?;
        return guard(|| parsed::<T::Core>(text, place));
    }
    if let Some(text) = own_text(value) {
        return guard(|| Err(refused::<T::Core>(&text, place)));
    }
    if pint::is_quantity(value) {
        return pint::read::<T>(value, place);
    }
    if let Some(number) = real(value) {
        return guard(|| Err(refused::<T::Core>(&number.to_string(), place)));
    }
    let (parameter, name) = (place.as_str().trim_start_matches('/'), named(value));
    let (class, example) = (T::NAME, T::Core::EXAMPLE);
    let never = if has_unit(value) { "; a unit of another package is never stripped" } else { "" };
    let message =
        format!("{parameter}: write a {class}, a text such as \"{example}\" or a pint quantity, not {name}{never}");
    Err(PyTypeError::new_err(message))
}

/// A bare real number; an integer beyond every double is as bare as any other.
fn real(value: &Bound<'_, PyAny>) -> Option<f64> {
    if !is_number(value) || has_unit(value) {
        return None;
    }
    match value.extract() {
        Ok(number) => Some(number),
        Err(error) => error.is_instance_of::<PyOverflowError>(value.py()).then_some(f64::INFINITY),
    }
}

fn parsed<Q: Quantity>(text: &str, place: &Place) -> Result<Q, Error> {
    parse::<Q>(text).map(|entered| entered.quantity()).map_err(|error| error.at(place.clone()))
}

/// Why a text, which stands for something else than a text, is not read. Where the text alone could be, its kind is
/// wrong.
pub(super) fn refused<Q: Quantity>(text: &str, place: &Place) -> Error {
    match parsed::<Q>(text, place) {
        Err(error) => error,
        Ok(_) => wrong::<Q>(text, place),
    }
}

/// A value of another kind.
pub(super) fn wrong<Q: Quantity>(text: &str, place: &Place) -> Error {
    let write = format!("a value of the kind \"{}\", such as \"{}\"", Q::NAME, Q::EXAMPLE);
    Error::WrongUnit { text: text.to_owned(), write, place: place.clone() }
}

/// Type of a value, in words.
pub(crate) fn named(value: &Bound<'_, PyAny>) -> String {
    match value.get_type().fully_qualified_name() {
        Ok(name) => format!("a value of the type {name}"),
        Err(_) => "a value of that type".to_owned(),
    }
}

/// A number of Python or of another package that counts itself among the numbers; a truth value is none.
pub(crate) fn is_number(value: &Bound<'_, PyAny>) -> bool {
    let number = || value.is_instance(&value.py().import("numbers")?.getattr("Number")?);
    !value.is_instance_of::<PyBool>() && number().unwrap_or(false)
}

/// Whether a value of another package carries a unit.
pub(crate) fn has_unit(value: &Bound<'_, PyAny>) -> bool {
    let has = |object: &Bound<'_, PyAny>, name: &str| object.hasattr(name).unwrap_or(false);
    let labels = || value.getattr("attrs")?.contains("units");
    has(value, "unit") || has(value, "units") || labels().unwrap_or(false)
}

/// The print of a quantity of this package, of whatever kind.
pub(crate) fn own_text(value: &Bound<'_, PyAny>) -> Option<String> {
    macro_rules! print {
        ($($Name:ident),+) => {
            $(if let Ok(own) = value.cast::<class::$Name>() {
                return Some(own.get().core().print());
            })+
        };
    }
    print!(
        Length,
        Mass,
        Force,
        Angle,
        LegAngle,
        ChokeAngle,
        Temperature,
        Stiffness,
        LineLoad,
        Pressure,
        Density,
        Duration,
        Acceleration,
        Speed,
        Fraction
    );
    None
}
