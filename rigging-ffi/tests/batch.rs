//! Arrays of the caller: rows that stay their own, statuses, and hostile calls.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::undocumented_unsafe_blocks, reason = "every call passes pointers to what stands in the same test")]

mod calls;

use calls::{failure, ok, repository};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use rigging::batch::*;
use rigging::equilibrium::{RIGGING_STATE_NEUTRAL, RIGGING_STATE_STABLE};
use rigging::error::*;
use rigging::sharing::*;
use serde_json::Value;
use std::ffi::c_char;
use std::ptr::{null, null_mut};

/// Rows of one number of legs, and room for what is found, with a strip behind each output that must stay untouched.
#[derive(Debug, Clone)]
struct Rows {
    legs: usize,
    weight: Vec<f64>,
    center: Vec<f64>,
    points: Vec<f64>,
    lengths: Vec<f64>,
    ea: Vec<f64>,
}

#[derive(Debug, PartialEq)]
struct Found {
    tension: Vec<u64>,
    tilt: Vec<u64>,
    status: Vec<i32>,
    state: Vec<i32>,
}

const STRIP: usize = 8;
const MARK: f64 = -7.25;

impl Rows {
    fn new(legs: usize) -> Self {
        Self { legs, weight: vec![], center: vec![], points: vec![], lengths: vec![], ea: vec![] }
    }

    fn push(&mut self, other: &Self) {
        assert_eq!(self.legs, other.legs);
        self.weight.extend(&other.weight);
        self.center.extend(&other.center);
        self.points.extend(&other.points);
        self.lengths.extend(&other.lengths);
        self.ea.extend(&other.ea);
    }

    fn solve(&self, threads: usize) -> Found {
        let count = self.weight.len();
        let (mut tension, mut tilt) = (vec![MARK; count * self.legs + STRIP], vec![MARK; count + STRIP]);
        let (mut status, mut state) = (vec![-77; count + STRIP], vec![-77; count + STRIP]);
        ok(|error| unsafe {
            rigging_batch_bridle(
                count,
                self.legs,
                self.weight.as_ptr(),
                self.center.as_ptr(),
                self.points.as_ptr(),
                self.lengths.as_ptr(),
                self.ea.as_ptr(),
                threads,
                tension.as_mut_ptr(),
                tilt.as_mut_ptr(),
                status.as_mut_ptr(),
                state.as_mut_ptr(),
                error,
            )
        });
        assert!(tension.drain(count * self.legs..).all(|value| value == MARK));
        assert!(tilt.drain(count..).all(|value| value == MARK));
        assert!(status.drain(count..).chain(state.drain(count..)).all(|value| value == -77));
        let bits = |values: Vec<f64>| values.into_iter().map(f64::to_bits).collect();
        Found { tension: bits(tension), tilt: bits(tilt), status, state }
    }
}

/// A bridle of four legs.
fn four(lift: f64) -> Rows {
    Rows {
        legs: 4,
        weight: vec![180_000.0],
        center: vec![0.45, -0.12, 0.9 - lift],
        points: vec![2.6, 1.05, 0.0, 2.6, -1.05, 0.0, -2.6, -1.05, 0.0, -2.6, 1.05, 0.0],
        lengths: vec![6.0; 4],
        ea: vec![6.0e6; 4],
    }
}

fn numbers(value: &Value) -> Vec<f64> {
    match value {
        Value::Array(values) => values.iter().flat_map(numbers).collect(),
        number => vec![number.as_f64().unwrap()],
    }
}

fn bits(value: &Value) -> u64 {
    u64::from_str_radix(value.as_str().unwrap(), 16).unwrap()
}

#[test]
fn the_reference_cases_have_the_bits_of_the_single_calculation() {
    let text = std::fs::read_to_string(repository().join("tests/reference/batch-bits.json")).unwrap();
    let table: Value = serde_json::from_str(&text).unwrap();
    let rows = table["rows"].as_array().unwrap();
    for row in rows {
        let lengths = numbers(&row["lengths_m"]);
        let found = Rows {
            legs: lengths.len(),
            weight: numbers(&row["weight_n"]),
            center: numbers(&row["center_m"]),
            points: numbers(&row["points_m"]),
            lengths,
            ea: numbers(&row["ea_n"]),
        }
        .solve(1);
        let tension: Vec<u64> = row["tension_n"].as_array().unwrap().iter().map(bits).collect();
        let state = i32::try_from(row["state"].as_i64().unwrap()).unwrap();
        let expected = Found { tension, tilt: vec![bits(&row["tilt_rad"])], status: vec![0], state: vec![state] };
        assert_eq!(found, expected, "{}", row["id"]);
    }
    println!("{} bridles compared, 0 skipped", rows.len());
    assert_eq!(rows.len(), 68);
}

#[test]
fn a_bad_row_has_its_status_and_leaves_its_neighbors_alone() {
    let spoil: [fn(&mut Rows); 9] = [
        |row| row.weight[0] = f64::NAN,
        |row| row.weight[0] = -1.0,
        |row| row.center[2] = f64::INFINITY,
        |row| row.points[7] = f64::NAN,
        |row| row.points[0] = 1e300,
        |row| row.lengths[3] = 0.0,
        |row| row.lengths[0] = -6.0,
        |row| row.ea[1] = f64::NEG_INFINITY,
        |row| row.ea[2] = 0.0,
    ];
    let sound = four(0.0).solve(1);
    assert_eq!((sound.status[0], sound.state[0]), (0, RIGGING_STATE_STABLE));
    for spoil in spoil {
        let mut bad = four(0.0);
        spoil(&mut bad);
        let mut rows = four(0.0);
        rows.push(&bad);
        rows.push(&four(0.0));
        let found = rows.solve(2);
        assert_eq!(found.status, [0, RIGGING_OUT_OF_DOMAIN, 0]);
        assert_eq!(found.state, [RIGGING_STATE_STABLE, RIGGING_STATE_NOT_SOLVED, RIGGING_STATE_STABLE]);
        assert!(found.tension[4..8].iter().chain(&found.tilt[1..2]).all(|value| f64::from_bits(*value).is_nan()));
        assert_eq!((&found.tension[..4], &found.tension[8..]), (&sound.tension[..], &sound.tension[..]));
    }
}

#[test]
fn a_load_that_turns_over_has_no_figures() {
    // Center of gravity far above the lugs and the hook's reach.
    let mut rows = four(0.0);
    rows.center[2] = 40.0;
    let found = rows.solve(1);
    assert!(found.status == [0] && found.state[0] > RIGGING_STATE_NEUTRAL);
    assert!(found.tension.iter().chain(&found.tilt).all(|value| f64::from_bits(*value).is_nan()));
}

#[test]
fn faults_of_the_whole_call() {
    let row = four(0.0);
    let (mut tension, mut tilt, mut status, mut state) = ([MARK; 4], [MARK], [-77], [-77]);
    let inputs = [&row.weight, &row.center, &row.points, &row.lengths, &row.ea].map(|values| values.as_ptr());
    let outputs = (tension.as_mut_ptr(), tilt.as_mut_ptr(), status.as_mut_ptr(), state.as_mut_ptr());
    let call = |count, legs, [w, c, p, l, e]: [*const f64; 5], threads, out: (*mut f64, *mut f64, _, _)| {
        move |error| unsafe {
            rigging_batch_bridle(count, legs, w, c, p, l, e, threads, out.0, out.1, out.2, out.3, error)
        }
    };
    let mut calls = 0;
    let mut refused = |status: i32, call: &dyn Fn(*mut rigging_error) -> i32| {
        let failed = failure(call);
        assert_eq!(failed.code, status, "{}", failed.message);
        assert_eq!(call(null_mut()), status);
        calls += 2;
    };
    for missing in 0..5 {
        let mut inputs = inputs;
        inputs[missing] = null();
        refused(RIGGING_NULL_ARGUMENT, &call(1, 4, inputs, 1, outputs));
        refused(RIGGING_NULL_ARGUMENT, &call(usize::MAX / 2 / 8 / 12, 4, inputs, 1, outputs));
    }
    refused(RIGGING_NULL_ARGUMENT, &call(1, 4, inputs, 1, (null_mut(), outputs.1, outputs.2, outputs.3)));
    refused(RIGGING_NULL_ARGUMENT, &call(1, 4, inputs, 1, (outputs.0, null_mut(), outputs.2, outputs.3)));
    refused(RIGGING_NULL_ARGUMENT, &call(1, 4, inputs, 1, (outputs.0, outputs.1, null_mut(), outputs.3)));
    refused(RIGGING_NULL_ARGUMENT, &call(1, 4, inputs, 1, (outputs.0, outputs.1, outputs.2, null_mut())));
    for legs in [0, 65, usize::MAX, usize::MAX / 3 + 1, usize::MAX / 2 + 1] {
        for count in [0, 1, usize::MAX] {
            for threads in [0, 1, usize::MAX] {
                refused(RIGGING_OUT_OF_DOMAIN, &call(count, legs, inputs, threads, outputs));
            }
        }
    }
    for count in [usize::MAX, usize::MAX / 2, usize::MAX / 2 + 1, usize::MAX / 8, usize::MAX / 96, usize::MAX / 3 + 1] {
        refused(RIGGING_TOO_LARGE, &call(count, 4, inputs, 0, outputs));
    }
    println!("{calls} calls refused");
    assert!(calls > 120);
    for threads in [0, 1, 7, usize::MAX] {
        let out = (null_mut(), null_mut(), null_mut(), null_mut());
        ok(call(0, 4, [null(); 5], threads, out));
        ok(call(0, 64, inputs, threads, outputs));
    }
    assert_eq!((tension, tilt, status, state), ([MARK; 4], [MARK], [-77], [-77]), "nothing was written");
}

/// Doubles as they come, and such as lifts have.
fn hostile() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -10.0..10.0,
        2 => 1.0..1e7,
        1 => any::<u64>().prop_map(f64::from_bits),
        1 => prop::sample::select(vec![0.0, -0.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 5e-324, f64::MAX]),
    ]
}

/// A bridle of up to five legs on a ring.
fn plain(legs: usize) -> Rows {
    let ring = |leg: usize| std::f64::consts::TAU * leg as f64 / legs as f64;
    let points = (0..legs).flat_map(|leg| [ring(leg).cos(), ring(leg).sin(), 1.0]).collect();
    Rows {
        legs,
        weight: vec![1.0e5],
        center: vec![0.1, 0.2, 0.0],
        points,
        lengths: vec![3.0; legs],
        ea: vec![1.0e7; legs],
    }
}

fn any_row(legs: usize) -> impl Strategy<Value = Rows> {
    let values = |count| prop::collection::vec(hostile(), count);
    let parts = (values(1), values(3), values(3 * legs), values(legs), values(legs));
    parts.prop_map(move |(weight, center, points, lengths, ea)| Rows { legs, weight, center, points, lengths, ea })
}

proptest! {
    // One seed: a run can be repeated, and takes the same time.
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, rng_seed: RngSeed::Fixed(1), ..ProptestConfig::default() })]

    /// Whatever the numbers, a batch is what its rows are one by one, in any order and on any number of threads, and every
    /// status has a name.
    #[test]
    fn a_batch_is_its_rows(drawn in (1..6_usize).prop_flat_map(|legs| prop::collection::vec(any_row(legs), 1..6)), turn in 0..600_usize) {
        let legs = drawn[0].legs;
        // Rows of numbers that no lift has can take a thousand times as long as others, so each stands in the batch once,
        // and a plain one makes it long enough for several threads.
        let mut rows = drawn;
        rows.push(plain(legs));
        let singles: Vec<Found> = rows.iter().map(|row| row.solve(1)).collect();
        let mut order = vec![rows.len() - 1; 600];
        (0..rows.len()).for_each(|row| order[(row * 149 + turn) % 600] = row);
        let mut all = Rows::new(legs);
        order.iter().for_each(|row| all.push(&rows[*row]));
        for threads in [1, 2, 7] {
            let found = all.solve(threads);
            for (at, row) in order.iter().enumerate() {
                let single = &singles[*row];
                let legs = all.legs;
                let same = |found: &[u64], single: &[u64]| found.iter().zip(single).all(|(found, single)| {
                    found == single || (f64::from_bits(*found).is_nan() && f64::from_bits(*single).is_nan())
                });
                prop_assert!(same(&found.tension[at * legs..][..legs], &single.tension));
                prop_assert!(same(&found.tilt[at..=at], &single.tilt));
                prop_assert_eq!((found.status[at], found.state[at]), (single.status[0], single.state[0]));
                prop_assert!([RIGGING_OK, RIGGING_OUT_OF_DOMAIN, RIGGING_UNCONVERGED].contains(&found.status[at]));
                let finite = found.tension[at * legs..][..legs].iter().all(|value| f64::from_bits(*value).is_finite());
                prop_assert_eq!(finite, found.status[at] == 0 && found.state[at] <= RIGGING_STATE_NEUTRAL);
            }
        }
    }
}

/// A closed form of two inputs.
type Form = unsafe extern "C" fn(usize, *const f64, *const f64, *mut f64, *mut i32, *mut rigging_error) -> i32;

#[test]
fn closed_forms_over_arrays() {
    let angle = 60.0_f64.to_radians();
    let (weights, legs, angles) = ([1000.0, 1000.0, -1.0, 1000.0], [2.0, 2.5, 2.0, 4.0], [angle, 0.1, 0.1, 2.0]);
    let (mut values, mut status) = ([MARK; 5], [-77; 5]);
    let (at, statuses) = (values.as_mut_ptr(), status.as_mut_ptr());
    ok(|e| unsafe { rigging_leg_tension(4, weights.as_ptr(), legs.as_ptr(), angles.as_ptr(), at, statuses, e) });
    assert!((values[0] - 1000.0).abs() < 1e-9 && values[1..4].iter().all(|value| value.is_nan()), "{values:?}");
    assert_eq!((values[4], status), (MARK, [0, 1, 1, 1, -77]));

    let forms: [(&str, Form, f64); 2] = [
        ("rigging_basket_tension", rigging_basket_tension, 1000.0),
        ("rigging_horizontal_pull", rigging_horizontal_pull, 1000.0 * 3.0_f64.sqrt()),
    ];
    for (name, form, expected) in forms {
        let (mut values, mut status) = ([MARK; 3], [-77; 3]);
        let (weights, angles) = ([1000.0, f64::NAN], [angle; 2]);
        let (w, a, out, st) = (weights.as_ptr(), angles.as_ptr(), values.as_mut_ptr(), status.as_mut_ptr());
        for (w, a, out, st) in
            [(null(), a, out, st), (w, null(), out, st), (w, a, null_mut(), st), (w, a, out, null_mut())]
        {
            assert_eq!(failure(|e| unsafe { form(2, w, a, out, st, e) }).code, RIGGING_NULL_ARGUMENT, "{name}");
        }
        assert_eq!(failure(|e| unsafe { form(usize::MAX, w, a, out, st, e) }).code, RIGGING_TOO_LARGE, "{name}");
        ok(|e| unsafe { form(0, null(), null(), null_mut(), null_mut(), e) });
        assert_eq!((values, status), ([MARK; 3], [-77; 3]), "{name}");
        ok(|e| unsafe { form(2, weights.as_ptr(), angles.as_ptr(), out, st, e) });
        assert!((values[0] - expected).abs() < 1e-9 && values[1].is_nan(), "{name}: {values:?}");
        assert_eq!((values[2], status), (MARK, [0, RIGGING_OUT_OF_DOMAIN, -77]), "{name}");
    }
    let none = |e| unsafe { rigging_leg_tension(0, null(), null(), null(), null_mut(), null_mut(), e) };
    ok(none);
    let (w, l, a) = (weights.as_ptr(), legs.as_ptr(), angles.as_ptr());
    for (w, l, a) in [(null(), l, a), (w, null(), a), (w, l, null())] {
        assert_eq!(
            failure(|e| unsafe { rigging_leg_tension(4, w, l, a, at, statuses, e) }).code,
            RIGGING_NULL_ARGUMENT
        );
    }
}

fn convert(
    quantity: &[u8],
    from: &[u8],
    to: &[u8],
    values: &[f64],
    out: &mut [f64],
    status: &mut [i32],
) -> Result<(), i32> {
    let text = |bytes: &[u8]| (bytes.as_ptr().cast::<c_char>(), bytes.len());
    let ((q, qn), (f, fl), (t, tl)) = (text(quantity), text(from), text(to));
    let status = unsafe {
        let (out, status) = (out.as_mut_ptr(), status.as_mut_ptr());
        rigging_convert(q, qn, f, fl, t, tl, values.len(), values.as_ptr(), out, status, null_mut())
    };
    if status == RIGGING_OK { Ok(()) } else { Err(status) }
}

#[test]
fn conversions_over_arrays() {
    let (mut out, mut status) = ([MARK; 4], [-77; 4]);
    let values = [1.0, -0.0, f64::NAN];
    assert_eq!(convert(b"force", b"kip", b"kN", &values, &mut out, &mut status), Ok(()));
    assert_eq!((out[0], out[1].to_bits(), out[3]), (4.4482216152605, (-0.0_f64).to_bits(), MARK));
    assert!(out[2].is_nan());
    assert_eq!(status, [0, 0, RIGGING_OUT_OF_DOMAIN, -77]);
    let (mut out, mut status) = ([MARK], [-77]);
    for (quantity, from, to, expected) in [
        (&b"weight"[..], &b"N"[..], &b"kN"[..], RIGGING_UNKNOWN_NAME),
        (b"", b"N", b"kN", RIGGING_UNKNOWN_NAME),
        (b"force", b"kg", b"kN", RIGGING_WRONG_UNIT),
        (b"force", b"N", b"", RIGGING_WRONG_UNIT),
        (b"mass", b"ton", b"kg", RIGGING_AMBIGUOUS_UNIT),
        (b"\xFF", b"N", b"kN", RIGGING_NOT_UTF8),
        (b"force", b"\xC3", b"kN", RIGGING_NOT_UTF8),
        (b"force", b"N", b"\xED\xA0\x80", RIGGING_NOT_UTF8),
    ] {
        assert_eq!(
            convert(quantity, from, to, &[1.0], &mut out, &mut status),
            Err(expected),
            "{quantity:?} {from:?} {to:?}"
        );
        assert_eq!((out, status), ([MARK], [-77]));
    }
    assert_eq!(convert(b"temperature", b"degC", b"K", &[-300.0], &mut out, &mut status), Ok(()));
    assert_eq!(status, [RIGGING_OUT_OF_DOMAIN]);
}
