//! Closed forms of load sharing, one at a time, over plain floats; `batch` has them over arrays.
//!
//! An array costs some 120 ns to hand over, a float a few: these functions are for loops in Python.

use super::MODULE;
use crate::guard::guard;
use pyo3::prelude::*;
use pyo3::types::{PyFloat, PyInt};
use rigging_core::sharing;

/// Whole numbers up to this size are doubles without rounding.
const EXACT: u64 = 1 << f64::MANTISSA_DIGITS;

/// Reads a parameter as the array functions do: plain real numbers, and nothing that carries a unit.
pub(super) fn number(value: &Bound<'_, PyAny>, name: &str, unit: Option<&str>) -> PyResult<f64> {
    if let Ok(float) = value.cast_exact::<PyFloat>() {
        return Ok(float.value());
    }
    // Here exactly, since a truth value is a whole number to Python.
    if value.is_exact_instance_of::<PyInt>()
        && let Ok(whole) = value.extract::<i64>()
        && whole.unsigned_abs() <= EXACT
    {
        return Ok(whole as f64);
    }
    // NumPy's own doubles are floats to Python.
    if let Ok(float) = value.cast::<PyFloat>() {
        return Ok(float.value());
    }
    // What is left is rare: one place says what is refused and why, for one number and for arrays.
    value.py().import("rigging_py._arrays")?.call_method1("scalar", (value, name, unit))?.extract()
}

/// Reads an angle from vertical.
pub(crate) fn angle(value: &Bound<'_, PyAny>) -> PyResult<f64> {
    number(value, "angle_from_vertical_rad", Some("rad"))
}

/// Tension of each of n equal legs at one angle under a central weight: W/(n·cos β).
///
/// Parameters
/// ----------
/// weight_n : float
///     Weight W, in N, positive.
/// legs : float
///     Number n of legs that share it, a whole number from 1.
/// angle_from_vertical_rad : float
///     Angle β of the legs from vertical, in rad, from 0 to below a right angle.
///
/// Returns
/// -------
/// float
///     Tension of a leg, in N.
///
/// Raises
/// ------
/// OutOfDomainError
///     For a value outside its range, infinity and NaN included; its place names the parameter.
/// TypeError
///     For what is not one plain real number, such as a truth value, a text or a value with a unit.
///
/// Examples
/// --------
/// Two legs at 60 degrees from vertical carry the whole weight each (Spellman and Whiting, Handbook of Mathematics and
/// Statistics for the Environment, Example 11.3).
///
/// >>> from math import radians
/// >>> from rigging_py import sharing
/// >>> round(sharing.leg_tension(weight_n=8896.0, legs=2, angle_from_vertical_rad=radians(60.0)), 3)
/// 8896.0
#[pyfunction]
fn leg_tension(
    weight_n: &Bound<'_, PyAny>,
    legs: &Bound<'_, PyAny>,
    angle_from_vertical_rad: &Bound<'_, PyAny>,
) -> PyResult<f64> {
    let weight = number(weight_n, "weight_n", Some("N"))?;
    let legs = number(legs, "legs", None)?;
    let angle = angle(angle_from_vertical_rad)?;
    guard(|| sharing::equal_leg_tension(weight, legs, angle))
}

/// Tension of each part of a basket hitch without friction under a central weight: W/(2·cos β).
///
/// Parameters
/// ----------
/// weight_n : float
///     Weight W, in N, positive.
/// angle_from_vertical_rad : float
///     Angle β of the parts from vertical, in rad, from 0 to below a right angle.
///
/// Returns
/// -------
/// float
///     Tension of a part, in N.
///
/// Raises
/// ------
/// OutOfDomainError
///     For a value outside its range, infinity and NaN included; its place names the parameter.
/// TypeError
///     For what is not one plain real number, such as a truth value, a text or a value with a unit.
///
/// Examples
/// --------
/// >>> from rigging_py import sharing
/// >>> sharing.basket_tension(weight_n=1000.0, angle_from_vertical_rad=0.0)
/// 500.0
#[pyfunction]
fn basket_tension(weight_n: &Bound<'_, PyAny>, angle_from_vertical_rad: &Bound<'_, PyAny>) -> PyResult<f64> {
    let weight = number(weight_n, "weight_n", Some("N"))?;
    let angle = angle(angle_from_vertical_rad)?;
    guard(|| sharing::basket_tension(weight, angle))
}

/// Horizontal pull of a leg that carries a vertical force: V·tan β.
///
/// At the choke of a pair of choked slings it is what draws the two together.
///
/// Parameters
/// ----------
/// vertical_n : float
///     Vertical force V of the leg, in N, positive.
/// angle_from_vertical_rad : float
///     Angle β of the leg from vertical, in rad, from 0 to below a right angle.
///
/// Returns
/// -------
/// float
///     Horizontal pull, in N.
///
/// Raises
/// ------
/// OutOfDomainError
///     For a value outside its range, infinity and NaN included; its place names the parameter.
/// TypeError
///     For what is not one plain real number, such as a truth value, a text or a value with a unit.
///
/// Examples
/// --------
/// >>> from math import radians
/// >>> from rigging_py import sharing
/// >>> round(sharing.horizontal_pull(vertical_n=1000.0, angle_from_vertical_rad=radians(45.0)), 9)
/// 1000.0
/// >>> sharing.horizontal_pull(vertical_n=1000.0, angle_from_vertical_rad=45.0)
/// Traceback (most recent call last):
/// rigging_py._errors.OutOfDomainError: /angle_from_vertical_rad: angle from vertical is 45 rad; it must be ...
#[pyfunction]
fn horizontal_pull(vertical_n: &Bound<'_, PyAny>, angle_from_vertical_rad: &Bound<'_, PyAny>) -> PyResult<f64> {
    let vertical = number(vertical_n, "vertical_n", Some("N"))?;
    let angle = angle(angle_from_vertical_rad)?;
    guard(|| sharing::horizontal_pull(vertical, angle))
}

/// Adds them to the native module.
pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [
        wrap_pyfunction!(leg_tension, module)?,
        wrap_pyfunction!(basket_tension, module)?,
        wrap_pyfunction!(horizontal_pull, module)?,
    ] {
        function.setattr("__module__", MODULE)?;
        module.add_function(function)?;
    }
    Ok(())
}
