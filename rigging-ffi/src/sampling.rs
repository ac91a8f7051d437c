//! How likely: samples and small probabilities.

use crate::arrangement::rigging_lift;
use crate::error::{Failure, rigging_error};
use crate::nearby::nominal;
use crate::rules::rigging_rule_set;
use crate::statics::answer::{answered, rigging_answer};
use crate::statics::rigging_balance;
use crate::{document, guard, handle, slice};
use rigging_core::checks::ReliabilityInputs;
use rigging_core::equilibrium::nearby::Outcomes;
use rigging_core::equilibrium::network;
use rigging_core::equilibrium::sampling::{Distribution, Effort, Experiment, Input, exceedance, quantile};
use rigging_core::statics::ExperimentInputs;
use rigging_core::system::System;
use std::ffi::c_char;

/// Unstretched length of a leg, m.
pub const RIGGING_INPUT_LENGTH: i32 = 0;
/// Factor on the stiffness of a leg.
pub const RIGGING_INPUT_STIFFNESS: i32 = 1;
/// A coordinate of the center of gravity, m: the index is 0, 1, 2 for x, y, z of the load, and three more for each body after
/// it.
pub const RIGGING_INPUT_CENTER: i32 = 2;
/// Weight of the load, N; the index is not looked at.
pub const RIGGING_INPUT_WEIGHT: i32 = 3;
/// Height of a hook in the world, m. That of a single hook changes nothing.
pub const RIGGING_INPUT_HOOK: i32 = 4;
/// Weight of a body, N; the load is the first.
pub const RIGGING_INPUT_BODY_WEIGHT: i32 = 5;

/// Two parameters: least, most.
pub const RIGGING_DISTRIBUTION_UNIFORM: i32 = 0;
/// Two parameters: mean, standard deviation.
pub const RIGGING_DISTRIBUTION_NORMAL: i32 = 1;
/// Four parameters: mean and standard deviation before the ends are cut, least, most.
pub const RIGGING_DISTRIBUTION_TRUNCATED_NORMAL: i32 = 2;
/// Three parameters: least, mode, most.
pub const RIGGING_DISTRIBUTION_TRIANGULAR: i32 = 3;
/// Any number of parameters: the values of a sample, each as likely as the others.
pub const RIGGING_DISTRIBUTION_OBSERVED: i32 = 4;

/// A nominal load or arrangement, and what of it is uncertain. It does not change; threads may share it.
#[allow(non_camel_case_types, reason = "the name is that of a C type")]
pub struct rigging_experiment(Experiment);

/// An experiment. The nominal load is given as for `rigging_batch_nearby`. What is uncertain stands in arrays of `inputs`
/// values: `input` is one of `RIGGING_INPUT_…`, `index` that of the leg or axis, `distribution` one of
/// `RIGGING_DISTRIBUTION_…`, `parameter_count` the number of its parameters, which stand one after the other in
/// `parameters`, `parameters_total` of them. The inputs are independent. The seed decides every random number. Free the
/// handle with `rigging_experiment_free`.
///
/// # Safety
/// Inputs have the elements told; `experiment` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments, reason = "arrays of the caller, one argument each")]
pub unsafe extern "C" fn rigging_experiment_new(
    legs: usize,
    points_m: *const f64,
    lengths_m: *const f64,
    ea_n: *const f64,
    center_m: *const f64,
    weight_n: f64,
    inputs: usize,
    input: *const i32,
    index: *const usize,
    distribution: *const i32,
    parameter_count: *const usize,
    parameters_total: usize,
    parameters: *const f64,
    seed: u64,
    experiment: *mut *mut rigging_experiment,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(experiment, "experiment", || {
                let nominal = nominal(legs, points_m, lengths_m, ea_n, center_m, weight_n)?;
                let uncertain =
                    uncertain(inputs, input, index, distribution, parameter_count, parameters_total, parameters)?;
                Ok(rigging_experiment(Experiment::new(nominal, uncertain, seed)?))
            })
        })
    }
}

/// An experiment of any arrangement. `system` is a JSON text of `length` bytes with the keys `gravity`, `hooks`, `joints`,
/// `bodies` and `members`, all in SI; the load is the first body. What is uncertain is told as for `rigging_experiment_new`.
/// Rows are hung one by one, each as what the nominal balance turns into. Free the handle with `rigging_experiment_free`.
///
/// # Safety
/// `system` has `length` bytes; the arrays have the elements told; `experiment` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments, reason = "arrays of the caller, one argument each")]
pub unsafe extern "C" fn rigging_experiment_of_system(
    system: *const c_char,
    length: usize,
    inputs: usize,
    input: *const i32,
    index: *const usize,
    distribution: *const i32,
    parameter_count: *const usize,
    parameters_total: usize,
    parameters: *const f64,
    seed: u64,
    experiment: *mut *mut rigging_experiment,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(experiment, "experiment", || {
                let system = System::from_json(document::read(system, length, "system")?)?;
                let uncertain =
                    uncertain(inputs, input, index, distribution, parameter_count, parameters_total, parameters)?;
                Ok(rigging_experiment(Experiment::new(network::Nominal::new(&system)?, uncertain, seed)?))
            })
        })
    }
}

/// What is uncertain, from arrays.
///
/// # Safety
/// The arrays have the elements told.
unsafe fn uncertain(
    inputs: usize,
    input: *const i32,
    index: *const usize,
    distribution: *const i32,
    parameter_count: *const usize,
    parameters_total: usize,
    parameters: *const f64,
) -> Result<Vec<(Input, Distribution)>, Failure> {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        let input = slice::read(input, inputs, 1, "input")?;
        let index = slice::read(index, inputs, 1, "index")?;
        let distribution = slice::read(distribution, inputs, 1, "distribution")?;
        let counts = slice::read(parameter_count, inputs, 1, "parameter_count")?;
        let mut rest = slice::read(parameters, parameters_total, 1, "parameters")?;
        let mut uncertain = Vec::with_capacity(inputs);
        for ((input, index), (distribution, count)) in input.iter().zip(index).zip(distribution.iter().zip(counts)) {
            let Some((own, others)) = rest.split_at_checked(*count) else {
                return Err(Failure::WrongCount("parameters", rest.len(), *count));
            };
            rest = others;
            uncertain.push((Input::from_code(*input, *index)?, Distribution::from_code(*distribution, own)?));
        }
        if !rest.is_empty() {
            return Err(Failure::WrongCount("parameters", parameters_total, parameters_total - rest.len()));
        }
        Ok(uncertain)
    }
}

/// The experiment in which what the document of a balance gives a tolerance scatters as the caller reads it. `inputs` is a JSON
/// text of `length` bytes: `{"stiffness": […], "mass": …, "read_as": {…}, "seed": …}`, tolerances as for
/// `rigging_balance_worst`, and for each kind of them that is not zero (`lengths`, `center_of_gravity`, `stiffness`, `mass`,
/// `hook_heights`) how it is read about the stated number: `"uniform"`, `"triangular"`, `{"normal": {"deviations": …}}` with the standard deviations in
/// the tolerance, or `{"truncated_normal": {"deviations": …}}`, which is cut at it. `RIGGING_MISSING` where that is not told:
/// nothing is assumed. `RIGGING_UNSUPPORTED` for slings that run over stations. Free the handle with `rigging_experiment_free`.
///
/// # Safety
/// `balance` is a handle; `inputs` has `length` bytes; `experiment` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_experiment(
    balance: *const rigging_balance,
    inputs: *const c_char,
    length: usize,
    experiment: *mut *mut rigging_experiment,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(experiment, "experiment", || {
                let balance = &handle::borrow(balance, "balance")?.balance;
                let inputs = ExperimentInputs::from_json(document::read(inputs, length, "inputs")?)?;
                Ok(rigging_experiment(balance.experiment(&inputs)?))
            })
        })
    }
}

/// The reliability index that the allowed utilization under a rule set stands for in a lift, leg by leg. `inputs` is a JSON
/// text of `length` bytes: `{"experiment": {…}, "strengths": [{"mean": …, "variation": …}, …], "rows": …}`: what scatters, as for
/// `rigging_balance_experiment`; of each leg the mean force at which it fails (N) and its standard deviation over that, lognormal;
/// and the rows that are drawn. `RIGGING_MISSING` for a strength that is `"unknown"`: nothing is assumed. Ends with an answer, as
/// `rigging_balance_derivatives`. Support for, and no replacement of, the judgment of the competent person.
///
/// # Safety
/// `lift` and `rules` are handles; `inputs` has `length` bytes; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_implied_indices(
    lift: *const rigging_lift,
    rules: *const rigging_rule_set,
    inputs: *const c_char,
    length: usize,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            answered(answer, || {
                let (lift, rules) = (handle::borrow(lift, "lift")?, handle::borrow(rules, "rules")?);
                let inputs = ReliabilityInputs::from_json(document::read(inputs, length, "inputs")?)?;
                Ok(lift.0.implied_indices(&rules.rules, &inputs)?)
            })
        })
    }
}

/// Frees an experiment; null is allowed.
///
/// # Safety
/// `experiment` is null or a handle that has not been freed.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_experiment_free(experiment: *mut rigging_experiment) {
    // SAFETY: the caller vouches for the handle.
    unsafe { handle::free(experiment) };
}

/// The number of legs, or members, and of hooks of an experiment.
///
/// # Safety
/// `experiment` is a handle; `legs` and `hooks` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_experiment_forces(
    experiment: *const rigging_experiment,
    legs: *mut usize,
    hooks: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let (legs, hooks) = (out(legs, "legs")?, out(hooks, "hooks")?);
            let experiment = &handle::borrow(experiment, "experiment")?.0;
            (*legs, *hooks) = (experiment.legs(), experiment.hooks());
            Ok(())
        })
    }
}

/// Draws `count` rows from row `first` on. A row is the same in whatever piece it is drawn, so a long sample is drawn in
/// pieces, with time to show progress or to stop between them. Outputs and `threads` are those of `rigging_batch_nearby`,
/// for the `legs` of the experiment.
///
/// # Safety
/// `experiment` is a handle; outputs have the elements told, may be written and overlap no other array; `error` is null or
/// initialized.
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments, reason = "arrays of the caller, one argument each")]
pub unsafe extern "C" fn rigging_experiment_draw(
    experiment: *const rigging_experiment,
    first: u64,
    count: usize,
    threads: usize,
    tension_n: *mut f64,
    tilt_rad: *mut f64,
    status: *mut i32,
    state: *mut i32,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || draw(experiment, first, count, threads, [tension_n, tilt_rad], None, [status, state]))
    }
}

/// The same with the pulls on the hooks: `hook_n` has `count` rows of as many values as the experiment has hooks, NaN where
/// there is no lift.
///
/// # Safety
/// As for `rigging_experiment_draw`.
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments, reason = "arrays of the caller, one argument each")]
pub unsafe extern "C" fn rigging_experiment_draw_with_hooks(
    experiment: *const rigging_experiment,
    first: u64,
    count: usize,
    threads: usize,
    tension_n: *mut f64,
    hook_n: *mut f64,
    tilt_rad: *mut f64,
    status: *mut i32,
    state: *mut i32,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            draw(experiment, first, count, threads, [tension_n, tilt_rad], Some(hook_n), [status, state])
        })
    }
}

/// Draws rows into arrays of the caller: tension and tilt, pulls on the hooks if wanted, status and state.
///
/// # Safety
/// As for `rigging_experiment_draw`.
unsafe fn draw(
    experiment: *const rigging_experiment,
    first: u64,
    count: usize,
    threads: usize,
    [tension_n, tilt_rad]: [*mut f64; 2],
    hook_n: Option<*mut f64>,
    [status, state]: [*mut i32; 2],
) -> Result<(), Failure> {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        let experiment = &handle::borrow(experiment, "experiment")?.0;
        let out = Outcomes {
            tension: slice::write(tension_n, count, experiment.legs(), "tension_n")?,
            state: slice::write(state, count, 1, "state")?,
            status: slice::write(status, count, 1, "status")?,
            tilt: Some(slice::write(tilt_rad, count, 1, "tilt_rad")?),
            alone: None,
            hook: hook_n.map(|hook| slice::write(hook, count, experiment.hooks(), "hook_n")).transpose()?,
        };
        Ok(experiment.draw(first, count, out, threads)?)
    }
}

/// The first-order approximation of the probability that a leg exceeds `limit_n`: the reliability index, negative if the
/// limit is exceeded at the medians, and the probability that belongs to it. From the number of legs on, `leg` is a hook.
/// `RIGGING_UNCONVERGED` if no point of failure is found.
///
/// # Safety
/// `experiment` is a handle; `index` and `probability` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_experiment_first_order(
    experiment: *const rigging_experiment,
    leg: usize,
    limit_n: f64,
    index: *mut f64,
    probability: *mut f64,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let index = out(index, "index")?;
            let probability = out(probability, "probability")?;
            let found = handle::borrow(experiment, "experiment")?.0.first_order(leg, limit_n)?;
            (*index, *probability) = (found.index, found.probability);
            Ok(())
        })
    }
}

/// The probability that any leg exceeds its limit (`limits` values in N, one for each leg, then one for each hook or for none
/// of them; infinite for no limit) or the load turns over, by subset simulation: mean of the `repeats`, its standard error as they scatter, and the reliability index of
/// the mean. `rows` is a multiple of 10, at least 100; 5000 rows and 10 repeats are usual. `RIGGING_UNCONVERGED` if a repeat
/// finds no failure: the probability is below 1e-12, or nothing can fail.
///
/// # Safety
/// `experiment` is a handle; `limits_n` has the elements told; outputs may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments, reason = "one argument each")]
pub unsafe extern "C" fn rigging_experiment_rare(
    experiment: *const rigging_experiment,
    limits: usize,
    limits_n: *const f64,
    rows: usize,
    repeats: usize,
    threads: usize,
    probability: *mut f64,
    standard_error: *mut f64,
    index: *mut f64,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let probability = out(probability, "probability")?;
            let standard_error = out(standard_error, "standard_error")?;
            let index = out(index, "index")?;
            let experiment = &handle::borrow(experiment, "experiment")?.0;
            let (legs, hooks) = (experiment.legs(), experiment.hooks());
            let forces = if limits == legs + hooks { limits } else { legs };
            let limits = slice::each(limits_n, limits, forces, "limits_n")?;
            let found = experiment.rare(limits, Effort { rows, repeats }, threads)?;
            (*probability, *standard_error, *index) = (found.probability, found.standard_error, found.index);
            Ok(())
        })
    }
}

/// The value that another one does not exceed with the probability `p`, and those between which the true quantile lies with
/// the `confidence` asked for, from the order of `count` values alone. NaN among the values stands above every number; a
/// bound for which there are too few values is NaN.
///
/// # Safety
/// `values` has the elements told; outputs may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_sample_quantile(
    count: usize,
    values: *const f64,
    p: f64,
    confidence: f64,
    value: *mut f64,
    least: *mut f64,
    most: *mut f64,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let (value, least, most) = (out(value, "value")?, out(least, "least")?, out(most, "most")?);
            let found = quantile(slice::read(values, count, 1, "values")?, p, confidence)?;
            *value = found.value;
            (*least, *most) = (found.least.unwrap_or(f64::NAN), found.most.unwrap_or(f64::NAN));
            Ok(())
        })
    }
}

/// For each of `legs`, the number of `count` rows of `tension_n` (row after row) in which its tension exceeds its limit
/// (`limits_n`, infinite for none), and the probabilities between which the true share lies with the `confidence` asked
/// for. A row that is no lift (NaN) exceeds every limit.
///
/// # Safety
/// Inputs and outputs have the elements told; `error` is null or initialized.
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments, reason = "arrays of the caller, one argument each")]
pub unsafe extern "C" fn rigging_sample_exceedance(
    legs: usize,
    count: usize,
    tension_n: *const f64,
    limits_n: *const f64,
    confidence: f64,
    exceeding: *mut u64,
    least: *mut f64,
    most: *mut f64,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let tension = slice::read(tension_n, count, legs, "tension_n")?;
            let limits = slice::read(limits_n, legs, 1, "limits_n")?;
            let exceeding = slice::write(exceeding, legs, 1, "exceeding")?;
            let least = slice::write(least, legs, 1, "least")?;
            let most = slice::write(most, legs, 1, "most")?;
            let shares = exceedance(tension, limits, confidence)?;
            for (share, (count, (low, high))) in shares.iter().zip(exceeding.iter_mut().zip(least.iter_mut().zip(most)))
            {
                (*count, *low, *high) = (share.count, share.least, share.most);
            }
            Ok(())
        })
    }
}

/// One number that is written.
///
/// # Safety
/// `slot` is null or may be written.
unsafe fn out<'a, T>(slot: *mut T, name: &'static str) -> Result<&'a mut T, Failure> {
    // SAFETY: the caller vouches for the pointer.
    unsafe { slot.as_mut() }.ok_or(Failure::Null(name))
}
