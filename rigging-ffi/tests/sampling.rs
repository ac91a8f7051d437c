//! Rows near a nominal load and samples of it, through the C interface: the bits of the core, and hostile calls.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

mod calls;

use calls::{failure, ok};
use rigging::error::*;
use rigging::nearby::*;
use rigging::sampling::*;
use rigging_core::equilibrium::nearby::{Nominal, Outcomes, Rows};
use rigging_core::equilibrium::network;
use rigging_core::equilibrium::sampling::{Distribution, Effort, Experiment, Input, Sample};
use rigging_core::system::System;
use std::ptr::{null, null_mut};

const LENGTH: f64 = 2.8;
const POINTS: [f64; 12] = [1.0, 1.0, 0.0, 1.0, -1.0, 0.0, -1.0, -1.0, 0.0, -1.0, 1.0, 0.0];
const CENTER: [f64; 3] = [0.02, -0.01, -0.7];
const WEIGHT: f64 = 1.0e5;

fn core() -> Nominal {
    Nominal::of_arrays(&POINTS, &[LENGTH; 4], &[5.0e6; 4], &CENTER, WEIGHT).unwrap()
}

struct Owned(*mut rigging_experiment);
impl Drop for Owned {
    fn drop(&mut self) {
        unsafe { rigging_experiment_free(self.0) };
    }
}

struct Inputs {
    input: Vec<i32>,
    index: Vec<usize>,
    distribution: Vec<i32>,
    counts: Vec<usize>,
    parameters: Vec<f64>,
}

impl Inputs {
    fn sound() -> Self {
        Self {
            input: vec![
                RIGGING_INPUT_LENGTH,
                RIGGING_INPUT_STIFFNESS,
                RIGGING_INPUT_CENTER,
                RIGGING_INPUT_WEIGHT,
                RIGGING_INPUT_LENGTH,
            ],
            index: vec![0, 1, 2, 0, 3],
            distribution: vec![
                RIGGING_DISTRIBUTION_UNIFORM,
                RIGGING_DISTRIBUTION_NORMAL,
                RIGGING_DISTRIBUTION_TRIANGULAR,
                RIGGING_DISTRIBUTION_TRUNCATED_NORMAL,
                RIGGING_DISTRIBUTION_OBSERVED,
            ],
            counts: vec![2, 2, 3, 4, 3],
            parameters: vec![2.79, 2.81, 1.0, 0.03, -0.8, -0.7, -0.65, 1.0e5, 1.0e3, 9.7e4, 1.03e5, 2.79, 2.8, 2.812],
        }
    }

    fn make(&self, slot: *mut *mut rigging_experiment, error: *mut rigging_error) -> i32 {
        unsafe {
            rigging_experiment_new(
                4,
                POINTS.as_ptr(),
                [LENGTH; 4].as_ptr(),
                [5.0e6; 4].as_ptr(),
                CENTER.as_ptr(),
                WEIGHT,
                self.input.len(),
                self.input.as_ptr(),
                self.index.as_ptr(),
                self.distribution.as_ptr(),
                self.counts.as_ptr(),
                self.parameters.len(),
                self.parameters.as_ptr(),
                77,
                slot,
                error,
            )
        }
    }

    fn made(&self) -> Owned {
        let mut slot = null_mut();
        ok(|error| self.make(&mut slot, error));
        Owned(slot)
    }
}

fn experiment() -> Experiment {
    let uncertain = vec![
        (Input::Length(0), Distribution::uniform(2.79, 2.81).unwrap()),
        (Input::Stiffness(1), Distribution::normal(1.0, 0.03).unwrap()),
        (Input::Center(2), Distribution::triangular(-0.8, -0.7, -0.65).unwrap()),
        (Input::Weight, Distribution::truncated_normal(1.0e5, 1.0e3, 9.7e4, 1.03e5).unwrap()),
        (Input::Length(3), Distribution::observed(vec![2.79, 2.8, 2.812]).unwrap()),
    ];
    Experiment::new(core(), uncertain, 77).unwrap()
}

#[test]
fn rows_have_the_bits_of_the_core() {
    let lengths: Vec<f64> = (0..40).map(|i| LENGTH + 0.001 * f64::from(i % 7)).collect();
    let (mut tension, mut tilt) = (vec![0.0; 40], vec![0.0; 10]);
    let (mut status, mut state, mut alone) = (vec![9; 10], vec![9; 10], vec![9; 10]);
    ok(|error| unsafe {
        rigging_batch_nearby(
            4,
            POINTS.as_ptr(),
            [LENGTH; 4].as_ptr(),
            [5.0e6; 4].as_ptr(),
            CENTER.as_ptr(),
            WEIGHT,
            10,
            lengths.as_ptr(),
            null(),
            null(),
            null(),
            2,
            tension.as_mut_ptr(),
            status.as_mut_ptr(),
            state.as_mut_ptr(),
            tilt.as_mut_ptr(),
            alone.as_mut_ptr(),
            error,
        )
    });
    let (mut t, mut s, mut st) = (vec![0.0; 40], vec![0; 10], vec![0; 10]);
    let rows = Rows { count: 10, lengths: Some(&lengths), ..Rows::default() };
    core().solve(&rows, Outcomes::new(&mut t, &mut s, &mut st), 1).unwrap();
    assert_eq!((&tension, &state, &status), (&t, &s, &st));
    assert_eq!(alone, [0; 10]);
    // Without tilt and alone, and without a row.
    for count in [0, 10] {
        ok(|error| unsafe {
            rigging_batch_nearby(
                4,
                POINTS.as_ptr(),
                [LENGTH; 4].as_ptr(),
                [5.0e6; 4].as_ptr(),
                CENTER.as_ptr(),
                WEIGHT,
                count,
                null(),
                null(),
                null(),
                null(),
                0,
                tension.as_mut_ptr(),
                status.as_mut_ptr(),
                state.as_mut_ptr(),
                null_mut(),
                null_mut(),
                error,
            )
        });
    }
    for (legs, points, expected) in [
        (0, POINTS.as_ptr(), RIGGING_UNSUPPORTED),
        (4, null(), RIGGING_NULL_ARGUMENT),
        (usize::MAX, POINTS.as_ptr(), RIGGING_UNSUPPORTED),
    ] {
        let failed = failure(|error| unsafe {
            rigging_batch_nearby(
                legs,
                points,
                [LENGTH; 4].as_ptr(),
                [5.0e6; 4].as_ptr(),
                CENTER.as_ptr(),
                WEIGHT,
                1,
                null(),
                null(),
                null(),
                null(),
                1,
                tension.as_mut_ptr(),
                status.as_mut_ptr(),
                state.as_mut_ptr(),
                null_mut(),
                null_mut(),
                error,
            )
        });
        assert_eq!(failed.code, expected, "{}", failed.message);
    }
}

#[test]
fn samples_have_the_bits_of_the_core_in_any_pieces() {
    let handle = Inputs::sound().made();
    let (mut tension, mut tilt, mut status, mut state) =
        (vec![0.0; 4000], vec![0.0; 1000], vec![9; 1000], vec![9; 1000]);
    let mut first = 0;
    for size in [1, 499, 500] {
        let at = first as usize;
        ok(|error| unsafe {
            rigging_experiment_draw(
                handle.0,
                first,
                size,
                2,
                tension[4 * at..].as_mut_ptr(),
                tilt[at..].as_mut_ptr(),
                status[at..].as_mut_ptr(),
                state[at..].as_mut_ptr(),
                error,
            )
        });
        first += size as u64;
    }
    let mut sample = Sample::default();
    sample.draw(&experiment(), 1000, 1).unwrap();
    assert_eq!(
        (&tension[..], &tilt[..], &status[..], &state[..]),
        (sample.tension(), sample.tilt(), sample.status(), sample.state())
    );

    let (mut value, mut least, mut most) = (0.0, 0.0, 0.0);
    ok(|error| unsafe {
        rigging_sample_quantile(4000, tension.as_ptr(), 0.9, 0.95, &mut value, &mut least, &mut most, error)
    });
    let found = rigging_core::equilibrium::sampling::quantile(&tension, 0.9, 0.95).unwrap();
    assert_eq!((value, Some(least), Some(most)), (found.value, found.least, found.most));

    let limits = [4.0e4, 5.0e4, f64::INFINITY, 4.5e4];
    let (mut over, mut low, mut high) = ([0; 4], [0.0; 4], [0.0; 4]);
    ok(|error| unsafe {
        rigging_sample_exceedance(
            4,
            1000,
            tension.as_ptr(),
            limits.as_ptr(),
            0.9,
            over.as_mut_ptr(),
            low.as_mut_ptr(),
            high.as_mut_ptr(),
            error,
        )
    });
    for (leg, share) in sample.exceedance(&limits, 0.9).unwrap().into_iter().enumerate() {
        assert_eq!((over[leg], low[leg], high[leg]), (share.count, share.least, share.most));
    }

    let limits = [3.7e4; 4];
    let (mut probability, mut error_of, mut index) = (0.0, 0.0, 0.0);
    ok(|error| unsafe {
        rigging_experiment_rare(
            handle.0,
            4,
            limits.as_ptr(),
            500,
            3,
            2,
            &mut probability,
            &mut error_of,
            &mut index,
            error,
        )
    });
    let rare = experiment().rare(&limits, Effort { rows: 500, repeats: 3 }, 1).unwrap();
    assert_eq!((probability, error_of, index), (rare.probability, rare.standard_error, rare.index));
    ok(|error| unsafe { rigging_experiment_first_order(handle.0, 0, 3.2e4, &mut index, &mut probability, error) });
    let first = experiment().first_order(0, 3.2e4).unwrap();
    assert_eq!((index, probability), (first.index, first.probability));
}

#[test]
fn hostile_calls_get_their_status() {
    type Spoil = fn(&mut Inputs);
    let faults: [(i32, Spoil); 8] = [
        (RIGGING_OUT_OF_DOMAIN, |i| i.input[0] = 6),
        (RIGGING_OUT_OF_DOMAIN, |i| i.index[0] = 4),
        (RIGGING_OUT_OF_DOMAIN, |i| i.distribution[0] = -1),
        (RIGGING_OUT_OF_DOMAIN, |i| i.parameters[0] = f64::NAN),
        (RIGGING_INCONSISTENT, |i| i.distribution[0] = RIGGING_DISTRIBUTION_TRIANGULAR),
        (RIGGING_WRONG_COUNT, |i| i.counts[0] = 30),
        (RIGGING_WRONG_COUNT, |i| i.parameters.push(0.0)),
        (RIGGING_INCONSISTENT, |i| i.index[4] = 0),
    ];
    for (status, spoil) in faults {
        let mut inputs = Inputs::sound();
        spoil(&mut inputs);
        let mut slot = null_mut();
        let failed = failure(|error| inputs.make(&mut slot, error));
        assert_eq!(failed.code, status, "{}", failed.message);
        assert!(slot.is_null());
    }
    let mut none = Inputs::sound();
    none.input.clear();
    none.parameters.clear();
    let mut slot = null_mut();
    assert_eq!(failure(|error| none.make(&mut slot, error)).code, RIGGING_MISSING);
    assert_eq!(failure(|error| Inputs::sound().make(null_mut(), error)).code, RIGGING_NULL_ARGUMENT);
    unsafe { rigging_experiment_free(null_mut()) };

    let handle = Inputs::sound().made();
    let (mut a, mut b, mut c) = (1.5, 1.5, 1.5);
    let rare = |limits: usize, rows, repeats, out: *mut f64, error| unsafe {
        rigging_experiment_rare(handle.0, limits, [1.0e9; 4].as_ptr(), rows, repeats, 1, out, &mut b, &mut c, error)
    };
    let mut rare = rare;
    assert_eq!(failure(|error| rare(3, 500, 2, &mut a, error)).code, RIGGING_WRONG_COUNT);
    assert_eq!(failure(|error| rare(4, 501, 2, &mut a, error)).code, RIGGING_OUT_OF_DOMAIN);
    assert_eq!(failure(|error| rare(4, 500, 1, &mut a, error)).code, RIGGING_OUT_OF_DOMAIN);
    assert_eq!(failure(|error| rare(4, 100, 2, &mut a, error)).code, RIGGING_UNCONVERGED);
    assert_eq!(failure(|error| rare(4, 100, 2, null_mut(), error)).code, RIGGING_NULL_ARGUMENT);
    assert_eq!((a, b, c), (1.5, 1.5, 1.5), "outputs are written on success only");
    let failed = failure(|error| unsafe { rigging_experiment_first_order(null(), 0, 1.0, &mut a, &mut b, error) });
    assert_eq!(failed.code, RIGGING_NULL_ARGUMENT);
    let failed = failure(|error| unsafe { rigging_experiment_first_order(handle.0, 9, 1.0, &mut a, &mut b, error) });
    assert_eq!(failed.code, RIGGING_OUT_OF_DOMAIN);
    let failed =
        failure(|error| unsafe { rigging_sample_quantile(0, null(), 0.5, 0.5, &mut a, &mut b, &mut c, error) });
    assert_eq!(failed.code, RIGGING_MISSING);
    let failed = failure(|error| unsafe {
        rigging_sample_quantile(usize::MAX, [0.0].as_ptr(), 0.5, 0.5, &mut a, &mut b, &mut c, error)
    });
    assert_eq!(failed.code, RIGGING_TOO_LARGE);
}

const TWO_HOOKS: &str = r#"{"gravity": 9.80665, "hooks": [{"position": [0, 0, 9]}, {"position": [24, 0, 9]}], "joints": [],
    "bodies": [{"mass": 96e3, "center_of_gravity": [10.4, 0, -1.1], "points": [[0, 0, 0], [24, 0, 0]],
        "position": [0, 0, 0], "rotation": [0, 0, 0, 1]}],
    "members": [{"a": {"hook": 0}, "b": {"body": {"body": 0, "point": 0}}, "length": 9, "law": {"linear": {"ea": 2e8}}},
        {"a": {"hook": 1}, "b": {"body": {"body": 0, "point": 1}}, "length": 9, "law": {"linear": {"ea": 2e8}}}]}"#;

/// A system with the center of gravity and the height of a hook normal.
fn of_system(text: &str, slot: *mut *mut rigging_experiment, error: *mut rigging_error) -> i32 {
    let (input, index) = ([RIGGING_INPUT_CENTER, RIGGING_INPUT_HOOK, RIGGING_INPUT_BODY_WEIGHT], [0, 1, 0]);
    let distribution = [RIGGING_DISTRIBUTION_NORMAL, RIGGING_DISTRIBUTION_UNIFORM, RIGGING_DISTRIBUTION_UNIFORM];
    let parameters = [10.4, 0.1, 8.95, 9.05, 9.2e5, 9.6e5];
    unsafe {
        rigging_experiment_of_system(
            text.as_ptr().cast(),
            text.len(),
            3,
            input.as_ptr(),
            index.as_ptr(),
            distribution.as_ptr(),
            [2; 3].as_ptr(),
            6,
            parameters.as_ptr(),
            11,
            slot,
            error,
        )
    }
}

#[test]
fn a_system_is_sampled_with_the_bits_of_the_core() {
    let mut slot = null_mut();
    ok(|error| of_system(TWO_HOOKS, &mut slot, error));
    let handle = Owned(slot);
    let (mut legs, mut hooks) = (0, 0);
    ok(|error| unsafe { rigging_experiment_forces(handle.0, &mut legs, &mut hooks, error) });
    assert_eq!((legs, hooks), (2, 2));
    let nominal = network::Nominal::new(&System::from_json(TWO_HOOKS).unwrap()).unwrap();
    let uncertain = vec![
        (Input::Center(0), Distribution::normal(10.4, 0.1).unwrap()),
        (Input::Hook(1), Distribution::uniform(8.95, 9.05).unwrap()),
        (Input::BodyWeight(0), Distribution::uniform(9.2e5, 9.6e5).unwrap()),
    ];
    let core = Experiment::new(nominal, uncertain, 11).unwrap();
    let mut sample = Sample::default();
    sample.draw(&core, 100, 1).unwrap();
    let (mut tension, mut hook, mut tilt) = ([0.0; 200], [0.0; 200], [0.0; 100]);
    let (mut status, mut state) = ([9; 100], [9; 100]);
    ok(|error| unsafe {
        rigging_experiment_draw_with_hooks(
            handle.0,
            0,
            100,
            2,
            tension.as_mut_ptr(),
            hook.as_mut_ptr(),
            tilt.as_mut_ptr(),
            status.as_mut_ptr(),
            state.as_mut_ptr(),
            error,
        )
    });
    assert_eq!((&tension[..], &hook[..], &tilt[..]), (sample.tension(), sample.hook(), sample.tilt()));
    assert_eq!((&status[..], &state[..]), (sample.status(), sample.state()));
    // Limits of the hooks follow those of the legs.
    let limits = [f64::INFINITY, f64::INFINITY, 5.5e5, f64::INFINITY];
    let mut found = (0.0, 0.0, 0.0);
    ok(|error| unsafe {
        let (probability, spread, index) = (&mut found.0, &mut found.1, &mut found.2);
        rigging_experiment_rare(handle.0, 4, limits.as_ptr(), 200, 2, 2, probability, spread, index, error)
    });
    let effort = Effort { rows: 200, repeats: 2 };
    assert_eq!(found.0, core.rare(&limits, effort, 1).unwrap().probability);
    let wrong = failure(|error| unsafe {
        let (probability, spread, index) = (&mut found.0, &mut found.1, &mut found.2);
        rigging_experiment_rare(handle.0, 3, limits.as_ptr(), 200, 2, 2, probability, spread, index, error)
    });
    assert_eq!(wrong.code, RIGGING_WRONG_COUNT);
    let (mut index, mut probability) = (0.0, 0.0);
    ok(|error| unsafe { rigging_experiment_first_order(handle.0, 2, 5.5e5, &mut index, &mut probability, error) });
    assert_eq!(index, core.first_order(2, 5.5e5).unwrap().index);
    // What is wrong with the text has its place.
    let wrong =
        failure(|error| of_system(&TWO_HOOKS.replace("\"mass\": 96e3", "\"mass\": -1"), &mut null_mut(), error));
    assert_eq!(wrong.code, RIGGING_OUT_OF_DOMAIN);
}
