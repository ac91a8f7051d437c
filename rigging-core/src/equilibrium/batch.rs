//! Many bridles at once: rows of plain doubles in, rows of plain doubles out, a status a row.
//!
//! Every row is solved from its own numbers alone, by the same steps as a single bridle: neither neighbors nor their
//! order nor the number of threads change a bit of it. Threads live for the call and no longer, so a process may fork
//! before and after.

use super::bridle::{Bridle, MAX_MEMBERS, Workspace};
use super::certificate::State;
use crate::error::{Error, Place};
use crate::system::Law;
use glam::DVec3;

/// Rows below this number are not worth a thread of their own.
const ROWS_PER_THREAD: usize = 256;
/// Whatever the caller asks for, a call starts no more threads than this.
const MOST_THREADS: usize = 256;
/// A threshold of validity: nothing real is left out, and no square overflows.
const FARTHEST: f64 = 1e9;

/// n bridles of m legs each with linear stretch, row after row.
#[derive(Debug, Clone, Copy)]
pub struct BridleRows<'a> {
    /// Number of legs m, the same in every row.
    pub legs: usize,
    /// Weight, N; n values.
    pub weight: &'a [f64],
    /// Center of gravity in the load's frame, m; n × 3 values.
    pub center: &'a [f64],
    /// Lift points in the load's frame, m; n × m × 3 values.
    pub points: &'a [f64],
    /// Unstretched lengths, m; n × m values.
    pub lengths: &'a [f64],
    /// Axial stiffness EA, N; n × m values.
    pub ea: &'a [f64],
}

/// Where the outcome of each row goes. A row that could not be solved, and one whose load turns over, has NaN in
/// `tension` and `tilt`.
#[derive(Debug)]
pub struct BridleOutcomes<'a> {
    /// Tensions, N; n × m values.
    pub tension: &'a mut [f64],
    /// Tilt away from the attitude as drawn, rad; n values.
    pub tilt: &'a mut [f64],
    /// 0, or the status of the error that the single calculation gives ([`Error::status`]); n values.
    pub status: &'a mut [i32],
    /// 0 stable, 1 neutral, 2 unstable, 3 lost, −1 not solved; n values.
    pub state: &'a mut [i32],
}

/// Solves every row on at most `threads` threads (and never more than 256); 0 means as many as the process may use at
/// once. Small batches are solved on the caller's own.
///
/// # Errors
/// Faults of the call as a whole only: [`Error::Inconsistent`] for lists that do not fit together, [`Error::OutOfDomain`]
/// for a number of legs outside 1 to 64. Faults of a row stand in its status.
///
/// ```
/// use rigging_core::equilibrium::batch::{BridleOutcomes, BridleRows, solve};
/// let rows = BridleRows {
///     legs: 2,
///     weight: &[1000.0, f64::NAN],
///     center: &[0.0, 0.0, -0.3, 0.0, 0.0, -0.3],
///     points: &[1.0, 0.0, 0.0, -1.0, 0.0, 0.0, 1.0, 0.0, 0.0, -1.0, 0.0, 0.0],
///     lengths: &[2.0; 4],
///     ea: &[1e9; 4],
/// };
/// let (mut tension, mut tilt, mut status, mut state) = ([0.0; 4], [0.0; 2], [0; 2], [0; 2]);
/// let out = BridleOutcomes { tension: &mut tension, tilt: &mut tilt, status: &mut status, state: &mut state };
/// solve(&rows, out, 2)?;
/// assert_eq!((status, state), ([0, 1], [0, -1]));
/// assert!((tension[0] - 1000.0 / 3.0_f64.sqrt()).abs() < 0.01 && tension[2].is_nan());
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn solve(rows: &BridleRows<'_>, out: BridleOutcomes<'_>, threads: usize) -> Result<(), Error> {
    let count = rows.weight.len();
    let legs = rows.legs;
    if !(1..=MAX_MEMBERS).contains(&legs) {
        let allowed = format!("1 to {MAX_MEMBERS}");
        return Err(Error::out_of_domain("number of legs", legs as f64, "", allowed, Place::root().child("legs")));
    }
    for (name, found, width) in [
        ("center", rows.center.len(), 3),
        ("points", rows.points.len(), 3 * legs),
        ("lengths", rows.lengths.len(), legs),
        ("ea", rows.ea.len(), legs),
        ("tension", out.tension.len(), legs),
        ("tilt", out.tilt.len(), 1),
        ("status", out.status.len(), 1),
        ("state", out.state.len(), 1),
    ] {
        if count.checked_mul(width) != Some(found) {
            let what = format!("{name} has {found} values; {count} rows of {legs} legs need {width} each");
            return Err(Error::inconsistent(what, Place::root().child(name)));
        }
    }
    let share = count.div_ceil(allotted(threads, count, ROWS_PER_THREAD)).max(ROWS_PER_THREAD);
    if share >= count {
        solve_share(rows, out);
        return Ok(());
    }
    let inputs = rows
        .weight
        .chunks(share)
        .zip(rows.center.chunks(3 * share))
        .zip(rows.points.chunks(3 * legs * share))
        .zip(rows.lengths.chunks(legs * share).zip(rows.ea.chunks(legs * share)));
    let outputs = out
        .tension
        .chunks_mut(legs * share)
        .zip(out.tilt.chunks_mut(share))
        .zip(out.status.chunks_mut(share).zip(out.state.chunks_mut(share)));
    std::thread::scope(|scope| {
        for ((((weight, center), points), (lengths, ea)), ((tension, tilt), (status, state))) in inputs.zip(outputs) {
            let rows = BridleRows { legs, weight, center, points, lengths, ea };
            scope.spawn(move || solve_share(&rows, BridleOutcomes { tension, tilt, status, state }));
        }
    });
    Ok(())
}

/// Number of threads for so many rows, of which one thread takes `least` or more.
pub(super) fn allotted(threads: usize, count: usize, least: usize) -> usize {
    match threads {
        // Asking the system takes longer than a few rows.
        _ if count <= least => 1,
        0 => std::thread::available_parallelism().map_or(1, std::num::NonZero::get).min(MOST_THREADS),
        _ => threads.min(MOST_THREADS),
    }
}

/// Why a row has a status other than 0, at the root: its calculation once more. None for a row that is solved, and for
/// one that is not there.
///
/// ```
/// use rigging_core::equilibrium::batch::{BridleRows, refusal};
/// let rows = BridleRows {
///     legs: 1,
///     weight: &[1000.0, -1.0],
///     center: &[0.0, 0.0, -0.3, 0.0, 0.0, -0.3],
///     points: &[0.0; 6],
///     lengths: &[2.0; 2],
///     ea: &[1e9; 2],
/// };
/// assert!(refusal(&rows, 0).is_none());
/// assert!(refusal(&rows, 1).is_some_and(|error| error.code() == "out_of_domain" && error.reason().contains("weight")));
/// ```
pub fn refusal(rows: &BridleRows<'_>, row: usize) -> Option<Error> {
    fn part(values: &[f64], width: usize, row: usize) -> Option<&[f64]> {
        let start = row.checked_mul(width)?;
        values.get(start..start.checked_add(width)?)
    }
    let weight = *rows.weight.get(row)?;
    let center = part(rows.center, 3, row)?;
    let points = part(rows.points, rows.legs.checked_mul(3)?, row)?;
    let lengths = part(rows.lengths, rows.legs, row)?;
    let ea = part(rows.ea, rows.legs, row)?;
    Solver::default().row(weight, center, points, lengths, ea).err()
}

fn solve_share(rows: &BridleRows<'_>, out: BridleOutcomes<'_>) {
    let legs = rows.legs;
    let mut solver = Solver::default();
    let inputs = rows
        .weight
        .iter()
        .zip(rows.center.chunks_exact(3))
        .zip(rows.points.chunks_exact(3 * legs))
        .zip(rows.lengths.chunks_exact(legs).zip(rows.ea.chunks_exact(legs)));
    let outputs = out
        .tension
        .chunks_exact_mut(legs)
        .zip(out.tilt.iter_mut())
        .zip(out.status.iter_mut().zip(out.state.iter_mut()));
    for ((((weight, center), points), (lengths, ea)), ((tension, tilt), (status, state))) in inputs.zip(outputs) {
        (*status, *state) = match solver.row(*weight, center, points, lengths, ea) {
            Ok(found) => (0, found.code()),
            Err(error) => (error.status(), -1),
        };
        // Figures of a load that turns over are not those of a lift.
        if *status == 0 && *state <= State::Neutral.code() {
            tension.iter_mut().zip(solver.workspace.tensions()).for_each(|(slot, value)| *slot = value);
            *tilt = solver.tilt;
        } else {
            tension.fill(f64::NAN);
            *tilt = f64::NAN;
        }
    }
}

impl State {
    /// 0 stable, 1 neutral, 2 unstable, 3 lost: the number in arrays and in the C interface.
    pub const fn code(self) -> i32 {
        match self {
            Self::Stable => 0,
            Self::Neutral => 1,
            Self::Unstable => 2,
            Self::Lost => 3,
        }
    }
}

/// One bridle and its memory, filled anew for each row.
#[derive(Default)]
struct Solver {
    bridle: Option<Bridle>,
    workspace: Workspace,
    tilt: f64,
}

impl Solver {
    fn row(
        &mut self,
        weight: f64,
        center: &[f64],
        points: &[f64],
        lengths: &[f64],
        ea: &[f64],
    ) -> Result<State, Error> {
        let center = vector(center)?;
        if self.bridle.is_none() {
            // Any sound bridle serves to begin with; every value of it is replaced below.
            let legs = lengths.len();
            let laws = vec![Law::linear(1.0)?; legs];
            self.bridle = Some(Bridle::new(vec![DVec3::ZERO; legs], vec![1.0; legs], laws, DVec3::ZERO, 1.0)?);
        }
        let Some(bridle) = &mut self.bridle else { return Err(Error::unsupported("an empty row", Place::root())) };
        bridle.set_weight(weight)?;
        bridle.set_center_of_gravity(DVec3::ZERO)?;
        let legs = points.chunks_exact(3).zip(lengths).zip(ea).enumerate();
        for (member, ((point, length), ea)) in legs {
            // Relative to the center of gravity first, as for a single lift.
            bridle.set_point(member, vector(point)? - center)?;
            bridle.set_length(member, *length)?;
            bridle.set_law(member, Law::linear(*ea)?)?;
        }
        let outcome = bridle.solve(&mut self.workspace)?;
        self.tilt = super::angle::angle_between(outcome.up, DVec3::Z);
        Ok(outcome.state)
    }
}

pub(super) fn vector(values: &[f64]) -> Result<DVec3, Error> {
    let [x, y, z] = values else { return Err(Error::malformed("a point has three coordinates", Place::root())) };
    for value in [x, y, z] {
        if !(-FARTHEST..=FARTHEST).contains(value) {
            let allowed = format!("within {FARTHEST} m of the origin");
            return Err(Error::out_of_domain("coordinate", *value, "m", allowed, Place::root()));
        }
    }
    Ok(DVec3::new(*x, *y, *z))
}
