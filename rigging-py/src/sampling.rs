//! How likely: samples and small probabilities. `rigging_py.sampling` checks and shapes; here everything is flat.

use crate::arrangement::Lift;
use crate::batch::Arrays;
use crate::guard::guard;
use crate::rules::RuleSet;
use crate::statics::Balance;
use pyo3::buffer::PyBuffer;
use pyo3::prelude::*;
use rigging_core::checks::ReliabilityInputs;
use rigging_core::equilibrium::nearby::{Nominal, Outcomes};
use rigging_core::equilibrium::network;
use rigging_core::equilibrium::sampling::{
    self, Distribution, Effort, Experiment, Input, normal_probability, reliability_index,
};
use rigging_core::error::Error;
use rigging_core::report::json;
use rigging_core::statics::ExperimentInputs;
use rigging_core::system::System;

/// A nominal load, and what of it is uncertain.
#[pyclass(frozen, name = "_Experiment", module = "rigging_py._native")]
struct PyExperiment(Experiment);

/// An uncertain input: its number and index, the number of its distribution and the parameters.
type Uncertain = (i32, usize, i32, Vec<f64>);
/// A first-order approximation: index, probability, inputs, importance, steps.
type FirstOrder = (f64, f64, Vec<f64>, Vec<f64>, usize);
/// A small probability: mean, standard error, index, repeats, rows.
type Rare = (f64, f64, f64, Vec<f64>, usize);
/// For each leg: count, share, lower and upper bound.
type Shares = Vec<(u64, f64, f64, f64)>;

fn read(uncertain: &[Uncertain]) -> Result<Vec<(Input, Distribution)>, Error> {
    let each = uncertain.iter().map(|(input, index, distribution, parameters)| {
        Ok((Input::from_code(*input, *index)?, Distribution::from_code(*distribution, parameters)?))
    });
    each.collect()
}

#[pymethods]
impl PyExperiment {
    #[new]
    #[allow(clippy::too_many_arguments, reason = "flat arrays, one argument each")]
    fn new(
        points: PyBuffer<f64>,
        lengths: PyBuffer<f64>,
        ea: PyBuffer<f64>,
        center: PyBuffer<f64>,
        weight: f64,
        uncertain: Vec<Uncertain>,
        seed: u64,
    ) -> PyResult<Self> {
        let mut arrays = Arrays::default();
        let (points, lengths) = (arrays.input(&points)?, arrays.input(&lengths)?);
        let (ea, center) = (arrays.input(&ea)?, arrays.input(&center)?);
        guard(|| {
            let nominal = Nominal::of_arrays(points, lengths, ea, center, weight)?;
            Ok(Self(Experiment::new(nominal, read(&uncertain)?, seed)?))
        })
    }

    /// An experiment of any arrangement, which is told as a JSON text.
    #[staticmethod]
    fn of_system(py: Python<'_>, system: &str, uncertain: Vec<Uncertain>, seed: u64) -> PyResult<Self> {
        guard(|| {
            let system = System::from_json(system)?;
            let nominal = py.detach(|| network::Nominal::new(&system))?;
            Ok(Self(Experiment::new(nominal, read(&uncertain)?, seed)?))
        })
    }

    /// The experiment in which the tolerances of a lift scatter as told by a JSON text.
    #[staticmethod]
    fn of_balance(balance: &Bound<'_, PyAny>, inputs: &str) -> PyResult<Self> {
        let balance = balance.cast::<Balance>()?.get();
        guard(|| Ok(Self(balance.core.experiment(&ExperimentInputs::from_json(inputs)?)?)))
    }

    /// Number of legs.
    fn legs(&self) -> usize {
        self.0.legs()
    }

    /// Number of hooks.
    fn hooks(&self) -> usize {
        self.0.hooks()
    }

    /// Whether rows are hung side by side, as those of a load under one hook are.
    fn beside(&self) -> bool {
        self.0.nominal().bridle().is_some()
    }

    /// Tensions of the nominal load.
    fn nominal(&self) -> Vec<f64> {
        self.0.nominal().tensions()
    }

    #[allow(clippy::too_many_arguments, reason = "flat arrays, one argument each")]
    fn draw(
        &self,
        py: Python<'_>,
        first: u64,
        tension: PyBuffer<f64>,
        hook: PyBuffer<f64>,
        tilt: PyBuffer<f64>,
        status: PyBuffer<i32>,
        state: PyBuffer<i32>,
        threads: usize,
    ) -> PyResult<()> {
        let mut arrays = Arrays::default();
        let (tension, hook, tilt) = (arrays.output(&tension)?, arrays.output(&hook)?, arrays.output(&tilt)?);
        let (status, state) = (arrays.output(&status)?, arrays.output(&state)?);
        let count = tilt.len();
        let out = Outcomes { tension, state, status, tilt: Some(tilt), alone: None, hook: Some(hook) };
        guard(|| py.detach(|| self.0.draw(first, count, out, threads)))
    }

    fn inputs(&self, row: u64) -> PyResult<Vec<f64>> {
        guard(|| Ok(self.0.inputs(row)))
    }

    fn first_order(&self, py: Python<'_>, leg: usize, limit: f64) -> PyResult<FirstOrder> {
        let found = guard(|| py.detach(|| self.0.first_order(leg, limit)))?;
        Ok((found.index, found.probability, found.inputs, found.importance, found.steps))
    }

    fn rare(&self, py: Python<'_>, limits: Vec<f64>, rows: usize, repeats: usize, threads: usize) -> PyResult<Rare> {
        // Signals are looked at between steps of the chains, a tenth of a level each.
        let mut stopped = None;
        let goes_on = |_| Python::attach(|py| py.check_signals()).map_err(|error| stopped = Some(error)).is_ok();
        let found = guard(|| py.detach(|| self.0.rare_while(&limits, Effort { rows, repeats }, threads, goes_on)))?;
        if let Some(error) = stopped {
            return Err(error);
        }
        let found = found.ok_or_else(|| pyo3::exceptions::PyRuntimeError::new_err("stopped"))?;
        Ok((found.probability, found.standard_error, found.index, found.repeats, found.rows))
    }
}

/// A quantile with its bounds.
#[pyfunction]
fn _quantile(values: PyBuffer<f64>, p: f64, confidence: f64) -> PyResult<(f64, Option<f64>, Option<f64>)> {
    let mut arrays = Arrays::default();
    let values = arrays.input(&values)?;
    let found = guard(|| sampling::quantile(values, p, confidence))?;
    Ok((found.value, found.least, found.most))
}

/// Shares of rows over limits.
#[pyfunction]
fn _exceedance(tension: PyBuffer<f64>, limits: Vec<f64>, confidence: f64) -> PyResult<(Shares, (u64, f64, f64, f64))> {
    let mut arrays = Arrays::default();
    let tension = arrays.input(&tension)?;
    guard(|| {
        let plain = |share: sampling::Share| (share.count, share.share, share.least, share.most);
        let legs = sampling::exceedance(tension, &limits, confidence)?;
        let any = sampling::any_exceedance(tension, &limits, confidence)?;
        Ok((legs.into_iter().map(plain).collect(), plain(any)))
    })
}

/// How often each leg governs, and rows that are no lift.
#[pyfunction]
fn _governing(tension: PyBuffer<f64>, limits: Vec<f64>) -> PyResult<(Vec<u64>, u64)> {
    let mut arrays = Arrays::default();
    let tension = arrays.input(&tension)?;
    let found = guard(|| sampling::governing(tension, &limits))?;
    Ok((found.legs, found.not_lifted))
}

/// The reliability index of a probability.
#[pyfunction]
fn _reliability_index(probability: f64) -> f64 {
    reliability_index(probability)
}

/// Probability of a standard normal value below z.
#[pyfunction]
fn _normal_probability(z: f64) -> f64 {
    normal_probability(z)
}

/// The reliability index that the allowed utilization under a rule set stands for, as a JSON text.
#[pyfunction]
fn _implied_indices(
    py: Python<'_>,
    lift: &Bound<'_, Lift>,
    rules: &Bound<'_, RuleSet>,
    inputs: &str,
) -> PyResult<String> {
    let (lift, rules) = (lift.get(), rules.get());
    guard(|| {
        let inputs = ReliabilityInputs::from_json(inputs)?;
        py.detach(|| json::answer(&lift.0.implied_indices(&rules.core, &inputs)?))
    })
}

/// Adds them to the native module.
pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<PyExperiment>()?;
    module.add_function(wrap_pyfunction!(_quantile, module)?)?;
    module.add_function(wrap_pyfunction!(_exceedance, module)?)?;
    module.add_function(wrap_pyfunction!(_governing, module)?)?;
    module.add_function(wrap_pyfunction!(_implied_indices, module)?)?;
    module.add_function(wrap_pyfunction!(_reliability_index, module)?)?;
    module.add_function(wrap_pyfunction!(_normal_probability, module)?)
}
