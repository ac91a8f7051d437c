//! Calculations over arrays of plain doubles. `rigging_py.batch` checks and broadcasts; here everything is flat.
//!
//! Outputs are arrays of the caller, filled in place: nothing is copied, and the lock of the interpreter is released
//! while the core works.

use crate::error::exception;
use crate::guard::guard;
use pyo3::buffer::{Element, PyBuffer};
use pyo3::exceptions::{PyBufferError, PyValueError};
use pyo3::prelude::*;
use rigging_core::equilibrium::batch::{self, BridleOutcomes, BridleRows};
use rigging_core::error::Error;
use rigging_core::quantity::Conversion;
use rigging_core::sharing;
use std::ops::Range;

/// The first row that could not be calculated, and the exception for it.
pub(crate) type Refused = Option<(usize, Py<PyAny>)>;

/// Marks of the other order of bytes, which `PyBuffer` does not look at.
const FOREIGN_ORDER: &[u8] = if cfg!(target_endian = "little") { b">!" } else { b"<" };

/// The arrays of one call: each is flat and contiguous, and none that is written overlaps another.
#[derive(Default)]
pub(crate) struct Arrays {
    taken: Vec<(Range<usize>, bool)>,
}

impl Arrays {
    /// Notes the addresses of an array and returns the number of its elements.
    fn take<T: Element>(&mut self, buffer: &PyBuffer<T>, written: bool) -> PyResult<usize> {
        if !buffer.is_c_contiguous() || (written && buffer.readonly()) {
            return Err(PyValueError::new_err("an array is not contiguous, or cannot be written"));
        }
        if buffer.format().to_bytes().first().is_some_and(|mark| FOREIGN_ORDER.contains(mark)) {
            return Err(PyBufferError::new_err("an array has its bytes in the other order"));
        }
        let start = buffer.buf_ptr() as usize;
        let range = start..start.saturating_add(buffer.len_bytes());
        let overlaps = |other: &Range<usize>| range.start < other.end && other.start < range.end;
        if self.taken.iter().any(|(other, read_only)| (written || !read_only) && overlaps(other)) {
            return Err(PyValueError::new_err("an output overlaps another array"));
        }
        self.taken.push((range, !written));
        Ok(buffer.item_count())
    }

    pub(crate) fn input<'a>(&mut self, buffer: &'a PyBuffer<f64>) -> PyResult<&'a [f64]> {
        let count = self.take(buffer, false)?;
        if count == 0 {
            return Ok(&[]);
        }
        // SAFETY: `PyBuffer` has checked format and alignment; the array is contiguous and stays as long as the buffer is
        // held, and no output of the call overlaps it. Python code that writes into it meanwhile changes numbers only.
        Ok(unsafe { std::slice::from_raw_parts(buffer.buf_ptr().cast::<f64>(), count) })
    }

    #[allow(clippy::mut_from_ref, reason = "the buffer is a handle; no other slice of its array exists")]
    pub(crate) fn output<'a, T: Element>(&mut self, buffer: &'a PyBuffer<T>) -> PyResult<&'a mut [T]> {
        let count = self.take(buffer, true)?;
        if count == 0 {
            return Ok(&mut []);
        }
        // SAFETY: as above, and it may be written and overlaps no other array of the call.
        Ok(unsafe { std::slice::from_raw_parts_mut(buffer.buf_ptr().cast::<T>(), count) })
    }
}

/// The first row with a status, and its exception.
pub(crate) fn first_refused(py: Python<'_>, status: &[i32], refusal: impl FnOnce(usize) -> Option<Error>) -> Refused {
    let row = status.iter().position(|status| *status != 0)?;
    let error = refusal(row)?;
    Some((row, exception(&error).into_value(py).into_any()))
}

/// Solves rows of bridles.
#[pyfunction]
#[pyo3(signature = (weight, center, points, lengths, ea, tension, tilt, status, state, legs, threads))]
#[allow(clippy::too_many_arguments, reason = "flat arrays, one argument each")]
fn _bridle(
    py: Python<'_>,
    weight: PyBuffer<f64>,
    center: PyBuffer<f64>,
    points: PyBuffer<f64>,
    lengths: PyBuffer<f64>,
    ea: PyBuffer<f64>,
    tension: PyBuffer<f64>,
    tilt: PyBuffer<f64>,
    status: PyBuffer<i32>,
    state: PyBuffer<i32>,
    legs: usize,
    threads: usize,
) -> PyResult<Refused> {
    let mut arrays = Arrays::default();
    let rows = BridleRows {
        legs,
        weight: arrays.input(&weight)?,
        center: arrays.input(&center)?,
        points: arrays.input(&points)?,
        lengths: arrays.input(&lengths)?,
        ea: arrays.input(&ea)?,
    };
    let (tension, tilt) = (arrays.output(&tension)?, arrays.output(&tilt)?);
    let (status, state) = (arrays.output(&status)?, arrays.output(&state)?);
    guard(|| {
        py.detach(|| batch::solve(&rows, BridleOutcomes { tension, tilt, status: &mut *status, state }, threads))
    })?;
    Ok(first_refused(py, status, |row| batch::refusal(&rows, row)))
}

/// Applies a closed form to rows.
fn closed<const N: usize>(
    py: Python<'_>,
    form: impl Fn([f64; N]) -> Result<f64, Error> + Sync + Send,
    inputs: [&PyBuffer<f64>; N],
    values: &PyBuffer<f64>,
    status: &PyBuffer<i32>,
) -> PyResult<Refused> {
    let mut arrays = Arrays::default();
    let mut slices: [&[f64]; N] = [&[]; N];
    for (slice, buffer) in slices.iter_mut().zip(inputs) {
        *slice = arrays.input(buffer)?;
    }
    let (values, status) = (arrays.output(values)?, arrays.output(status)?);
    guard(|| py.detach(|| sharing::rows(&form, slices, values, &mut *status)))?;
    Ok(first_refused(py, status, |row| form(slices.map(|slice| slice.get(row).copied().unwrap_or(f64::NAN))).err()))
}

/// Tensions of equal legs.
#[pyfunction]
fn _leg_tension(
    py: Python<'_>,
    weight: PyBuffer<f64>,
    legs: PyBuffer<f64>,
    angle: PyBuffer<f64>,
    tension: PyBuffer<f64>,
    status: PyBuffer<i32>,
) -> PyResult<Refused> {
    let form = |[weight, legs, angle]: [f64; 3]| sharing::equal_leg_tension(weight, legs, angle);
    closed(py, form, [&weight, &legs, &angle], &tension, &status)
}

/// Tensions of basket hitches.
#[pyfunction]
fn _basket_tension(
    py: Python<'_>,
    weight: PyBuffer<f64>,
    angle: PyBuffer<f64>,
    tension: PyBuffer<f64>,
    status: PyBuffer<i32>,
) -> PyResult<Refused> {
    closed(py, |[weight, angle]: [f64; 2]| sharing::basket_tension(weight, angle), [&weight, &angle], &tension, &status)
}

/// Horizontal pulls of legs.
#[pyfunction]
fn _horizontal_pull(
    py: Python<'_>,
    vertical: PyBuffer<f64>,
    angle: PyBuffer<f64>,
    pull: PyBuffer<f64>,
    status: PyBuffer<i32>,
) -> PyResult<Refused> {
    let form = |[vertical, angle]: [f64; 2]| sharing::horizontal_pull(vertical, angle);
    closed(py, form, [&vertical, &angle], &pull, &status)
}

/// Converts values from one unit of a quantity to another.
#[pyfunction]
fn _convert(
    py: Python<'_>,
    values: PyBuffer<f64>,
    quantity: &str,
    unit_from: &str,
    unit_to: &str,
    converted: PyBuffer<f64>,
    status: PyBuffer<i32>,
) -> PyResult<Refused> {
    let conversion = guard(|| Conversion::new(quantity, unit_from, unit_to))?;
    closed(py, |[value]: [f64; 1]| conversion.apply(value), [&values], &converted, &status)
}

/// Adds them to the native module.
pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_function(wrap_pyfunction!(_bridle, module)?)?;
    module.add_function(wrap_pyfunction!(_leg_tension, module)?)?;
    module.add_function(wrap_pyfunction!(_basket_tension, module)?)?;
    module.add_function(wrap_pyfunction!(_horizontal_pull, module)?)?;
    module.add_function(wrap_pyfunction!(_convert, module)?)
}
