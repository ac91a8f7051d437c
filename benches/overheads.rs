//! Overheads of the boundaries: `cargo bench -p rigging-benches --bench overheads`; `overheads.py` beside it times the
//! same from Python, the same rows included.
//!
//! Each line is the median over the rounds, and the least. With the argument `turns` it answers each line of its input, a
//! number of threads, with the time of one batch in ns: `overheads.py` takes turns with it.

use rigging::equilibrium::{
    rigging_certificate, rigging_certificate_figures, rigging_certificate_free, rigging_certificate_tell,
};
use rigging::error::{RIGGING_OK, rigging_error};
use rigging::sharing::rigging_leg_tension;
use rigging_core::arrangement::Lift;
use rigging_core::demand;
use rigging_core::equilibrium::batch::{BridleOutcomes, BridleRows, solve};
use rigging_core::error::Error;
use rigging_core::rules::RuleSet;
use rigging_core::sharing::equal_leg_tension;
use rigging_core::system;
use std::hint::black_box;
use std::io::{BufRead, Write};
use std::ptr::null_mut;
use std::time::Instant;

const ROUNDS: usize = 41;
const ROWS: usize = 100_000;
const LEGS: usize = 4;
const DEMO: &str = include_str!("../rigging-core/examples/lifts/generator-skid.json");

/// Time of one of `calls` calls, in ns: the median of the rounds, and the least, which a busy machine disturbs less.
fn time(calls: usize, rounds: usize, mut call: impl FnMut()) -> [f64; 2] {
    let mut times: Vec<f64> = (0..rounds)
        .map(|_| {
            let start = Instant::now();
            (0..calls).for_each(|_| call());
            start.elapsed().as_nanos() as f64 / calls as f64
        })
        .collect();
    times.sort_by(f64::total_cmp);
    [rounds / 2, 0].map(|at| times.get(at).copied().unwrap_or(f64::NAN))
}

fn print(label: &str, [median, least]: [f64; 2]) {
    println!("{label:<64} {median:>11.1} ns, least {least:>11.1} ns");
}

/// One of 101 numbers from −1 to 1, by integers alone so that another language has the same.
fn spread(index: usize) -> f64 {
    (index % 101) as f64 / 50.0 - 1.0
}

/// Rows of four legs, every one another.
struct Rows {
    weight: Vec<f64>,
    center: Vec<f64>,
    points: Vec<f64>,
    lengths: Vec<f64>,
    ea: Vec<f64>,
}

impl Rows {
    fn new() -> Self {
        let corners = [2.6, 1.05, 0.0, 2.6, -1.05, 0.0, -2.6, -1.05, 0.0, -2.6, 1.05, 0.0];
        Self {
            weight: (0..ROWS).map(|row| 180_000.0 + 20_000.0 * spread(row * 7)).collect(),
            center: (0..ROWS).flat_map(|row| [0.4 * spread(row * 3), 0.2 * spread(row * 5), 0.5]).collect(),
            points: corners.repeat(ROWS),
            lengths: (0..ROWS * LEGS).map(|leg| 6.0 + 0.03 * spread(leg * 11)).collect(),
            ea: vec![6.0e6; ROWS * LEGS],
        }
    }

    /// The tensions, with everything else that a batch gives freed again.
    fn solve(&self, threads: usize) -> Result<Vec<f64>, Error> {
        let (mut tension, mut tilt) = (vec![0.0; ROWS * LEGS], vec![0.0; ROWS]);
        let (mut status, mut state) = (vec![0; ROWS], vec![0; ROWS]);
        let out = BridleOutcomes { tension: &mut tension, tilt: &mut tilt, status: &mut status, state: &mut state };
        let (weight, center, points) = (&self.weight, &self.center, &self.points);
        let rows = BridleRows { legs: LEGS, weight, center, points, lengths: &self.lengths, ea: &self.ea };
        solve(&rows, out, threads)?;
        black_box((&tilt, &status, &state));
        Ok(tension)
    }
}

type Form =
    unsafe extern "C" fn(usize, *const f64, *const f64, *const f64, *mut f64, *mut i32, *mut rigging_error) -> i32;
type Tell =
    unsafe extern "C" fn(*const rigging_certificate, *mut rigging_certificate_figures, *mut rigging_error) -> i32;

fn time_boundary() {
    // By pointers that nobody sees through, as a C program calls.
    let (weight, legs, angle) = ([1000.0], [2.0], [0.5]);
    let (mut tension, mut status) = ([0.0], [0]);
    let form: Form = black_box(rigging_leg_tension);
    let bare = time(100_000, ROUNDS, || {
        black_box(equal_leg_tension(black_box(1000.0), black_box(2.0), black_box(0.5)).is_ok());
    });
    print("Rust, equal_leg_tension", bare);
    let through = time(100_000, ROUNDS, || {
        // SAFETY: the arrays stand above, one element each.
        let found = unsafe {
            let (weight, legs, angle) = (weight.as_ptr(), legs.as_ptr(), angle.as_ptr());
            form(black_box(1), weight, legs, angle, tension.as_mut_ptr(), status.as_mut_ptr(), null_mut())
        };
        assert_eq!(black_box(found), RIGGING_OK);
    });
    print("C, rigging_leg_tension, one row", through);
    print("C, overhead of a call: the difference", [through[0] - bare[0], through[1] - bare[1]]);

    let mut handle = null_mut();
    let mut certificate = null_mut();
    // SAFETY: the text and the slots stand above; the handles are freed below.
    let made = unsafe {
        rigging::arrangement::rigging_lift_from_json(DEMO.as_ptr().cast(), DEMO.len(), &mut handle, null_mut())
            + rigging::equilibrium::rigging_lift_solve(handle, &mut certificate, null_mut())
    };
    assert_eq!(made, RIGGING_OK);
    // SAFETY: plain numbers, for which zeros are values.
    let mut figures: rigging_certificate_figures = unsafe { std::mem::zeroed() };
    figures.struct_size = u32::try_from(size_of::<rigging_certificate_figures>()).unwrap_or(0);
    let tell: Tell = black_box(rigging_certificate_tell);
    let told = time(100_000, ROUNDS, || {
        // SAFETY: the handle is alive and the struct knows its size.
        assert_eq!(black_box(unsafe { tell(certificate, &mut figures, null_mut()) }), RIGGING_OK);
    });
    print("C, rigging_certificate_tell, a struct of 16 fields", told);
    // SAFETY: made above, used no more.
    unsafe {
        rigging_certificate_free(certificate);
        rigging::arrangement::rigging_lift_free(handle);
    }
}

fn time_batch() -> Result<(), Error> {
    let rows = Rows::new();
    println!("rows of {LEGS} legs: {ROWS}, sum of all tensions {:.6} N", rows.solve(1)?.iter().sum::<f64>());
    for (label, threads) in [("one thread", 1), ("two threads", 2), ("as many as there are", 0)] {
        let each = time(1, 9, || assert!(black_box(rows.solve(threads)).is_ok())).map(|whole| whole / ROWS as f64);
        print(&format!("Rust, batch of {ROWS}, a row, {label}"), each);
    }
    Ok(())
}

/// One batch for each line read, results allocated and freed as in the batch of the other program.
fn take_turns() -> std::io::Result<()> {
    let rows = Rows::new();
    for line in std::io::stdin().lock().lines() {
        let threads = line?.trim().parse().map_err(std::io::Error::other)?;
        let start = Instant::now();
        rows.solve(threads).map_err(std::io::Error::other)?;
        let taken = start.elapsed().as_nanos();
        writeln!(std::io::stdout(), "{taken}")?;
        std::io::stdout().flush()?;
    }
    Ok(())
}

fn time_assessment(lift: &Lift) -> Result<(), Error> {
    for name in RuleSet::built_in_names() {
        let rules = RuleSet::built_in(name)?;
        let assessment = lift.assess(&rules)?;
        let each = time(50, ROUNDS, || {
            black_box(black_box(lift).assess(&rules).is_ok());
        });
        print(&format!("Rust, assessment of the skid under {name}"), each);
        let both = time(20, ROUNDS, || {
            black_box(black_box(lift).assess(&rules).and_then(|found| found.remedy(lift)).is_ok());
        });
        print(&format!("Rust, the same and what would change it, {name}"), both);
        let Some(demand) = &assessment.demand else { continue };
        let model = system::from_lift(lift, demand.weight.moving())?;
        let sweeps = 1 + usize::from(demand.at_rest.is_some());
        let one = time(50, ROUNDS, || {
            black_box(demand::sweep(black_box(lift), &model, &demand.tolerances).is_ok());
        });
        let solves = one.map(|sweep| sweep * sweeps as f64);
        let label = format!("Rust, of it the {} solves of {sweeps} sweep(s), {name}", sweeps * demand.moving.states);
        print(&label, solves);
        print(&format!("Rust, of it everything else, {name}"), [each[0] - solves[0], each[1] - solves[1]]);
    }
    Ok(())
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    if std::env::args().any(|argument| argument == "turns") {
        return Ok(take_turns()?);
    }
    let lift = Lift::from_json(DEMO)?;
    time_boundary();
    time_batch()?;
    Ok(time_assessment(&lift)?)
}
