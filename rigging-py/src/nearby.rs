//! Many balances near a nominal one. `rigging_py.batch` checks and shapes; here everything is flat.

use crate::batch::{Arrays, Refused, first_refused};
use crate::guard::guard;
use pyo3::buffer::PyBuffer;
use pyo3::prelude::*;
use rigging_core::equilibrium::nearby::{Nominal, Outcomes, Rows};

/// Solves rows near a nominal bridle.
#[pyfunction]
#[allow(clippy::too_many_arguments, reason = "flat arrays, one argument each")]
fn _nearby(
    py: Python<'_>,
    points: PyBuffer<f64>,
    lengths: PyBuffer<f64>,
    ea: PyBuffer<f64>,
    center: PyBuffer<f64>,
    weight: f64,
    row_lengths: Option<PyBuffer<f64>>,
    row_stiffness: Option<PyBuffer<f64>>,
    row_center: Option<PyBuffer<f64>>,
    row_weight: Option<PyBuffer<f64>>,
    tension: PyBuffer<f64>,
    tilt: PyBuffer<f64>,
    status: PyBuffer<i32>,
    state: PyBuffer<i32>,
    alone: PyBuffer<i32>,
    threads: usize,
) -> PyResult<Refused> {
    let mut arrays = Arrays::default();
    let (points, lengths) = (arrays.input(&points)?, arrays.input(&lengths)?);
    let (ea, center) = (arrays.input(&ea)?, arrays.input(&center)?);
    let rows = Rows {
        count: status.item_count(),
        lengths: row_lengths.as_ref().map(|buffer| arrays.input(buffer)).transpose()?,
        stiffness: row_stiffness.as_ref().map(|buffer| arrays.input(buffer)).transpose()?,
        center: row_center.as_ref().map(|buffer| arrays.input(buffer)).transpose()?,
        weight: row_weight.as_ref().map(|buffer| arrays.input(buffer)).transpose()?,
    };
    let (tension, tilt) = (arrays.output(&tension)?, arrays.output(&tilt)?);
    let (status, state) = (arrays.output(&status)?, arrays.output(&state)?);
    let alone = arrays.output(&alone)?;
    let nominal = guard(|| {
        py.detach(|| {
            let nominal = Nominal::of_arrays(points, lengths, ea, center, weight)?;
            let out =
                Outcomes { tension, state, status: &mut *status, tilt: Some(tilt), alone: Some(alone), hook: None };
            nominal.solve(&rows, out, threads)?;
            Ok(nominal)
        })
    })?;
    Ok(first_refused(py, status, |row| nominal.refusal(&rows, row)))
}

/// Adds it to the native module.
pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_function(wrap_pyfunction!(_nearby, module)?)
}
