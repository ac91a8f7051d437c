//! Arrays of the caller, row after row.

use crate::equilibrium::angle::angle_between;
use crate::equilibrium::certificate::State;
use crate::error::{Error, Place};
use glam::DVec3;

/// n rows for a bridle of m legs. What is not given is nominal in every row.
#[derive(Debug, Clone, Copy, Default)]
pub struct Rows<'a> {
    /// Number of rows n.
    pub count: usize,
    /// Unstretched lengths, m; n × m values.
    pub lengths: Option<&'a [f64]>,
    /// Factors on the nominal laws of the legs, and so on their stiffness EA, without unit; n × m values.
    pub stiffness: Option<&'a [f64]>,
    /// Center of gravity in the load's frame, m; n × 3 values.
    pub center: Option<&'a [f64]>,
    /// Weight, N; n values.
    pub weight: Option<&'a [f64]>,
}

/// Where the outcome of each row goes, for m members under k hooks; a bridle hangs from one. A row that could not be solved,
/// and one whose load turns over, has NaN in `tension`, `hook` and `tilt`.
#[derive(Debug)]
pub struct Outcomes<'a> {
    /// Tensions, N; n × m values.
    pub tension: &'a mut [f64],
    /// 0 stable, 1 neutral, 2 unstable, 3 lost, −1 not solved; n values.
    pub state: &'a mut [i32],
    /// 0, or the status of the error that the single calculation gives ([`Error::status`]); n values.
    pub status: &'a mut [i32],
    /// Tilt away from the attitude as drawn, rad; n values, if asked for.
    pub tilt: Option<&'a mut [f64]>,
    /// 0 for a row that was calculated beside others, 1 for one that was followed by itself; n values, if asked for.
    pub alone: Option<&'a mut [i32]>,
    /// Pull on each hook, N; n × k values, if asked for.
    pub hook: Option<&'a mut [f64]>,
}

impl<'a> Outcomes<'a> {
    /// Tensions, states and statuses only.
    pub const fn new(tension: &'a mut [f64], state: &'a mut [i32], status: &'a mut [i32]) -> Self {
        Self { tension, state, status, tilt: None, alone: None, hook: None }
    }

    pub(in crate::equilibrium) fn fit(&self, count: usize, legs: usize, hooks: usize) -> Result<(), Error> {
        fit("tension", Some(self.tension.len()), count, legs)?;
        fit("state", Some(self.state.len()), count, 1)?;
        fit("status", Some(self.status.len()), count, 1)?;
        fit("tilt", self.tilt.as_ref().map(|tilt| tilt.len()), count, 1)?;
        fit("alone", self.alone.as_ref().map(|alone| alone.len()), count, 1)?;
        fit("hook", self.hook.as_ref().map(|hook| hook.len()), count, hooks)
    }

    /// Writes one row but for its hooks: status, state and whether it was followed by itself; upward direction and tensions.
    #[inline]
    pub(in crate::equilibrium) fn put(
        &mut self,
        row: usize,
        (status, state, alone): (i32, i32, bool),
        up: DVec3,
        tensions: impl ExactSizeIterator<Item = f64>,
    ) {
        put_all(self.tension, row, tensions);
        put(self.state, row, state);
        put(self.status, row, status);
        if let Some(slots) = &mut self.alone {
            put(slots, row, i32::from(alone));
        }
        if let Some(slots) = &mut self.tilt {
            put(slots, row, if up.is_nan() { f64::NAN } else { angle_between(up, DVec3::Z) });
        }
    }

    /// Writes one row that was hung by itself, but for its hooks, and says whether it is a lift: figures of a load that turns
    /// over, or hangs by nothing but symmetry, are not those of one.
    pub(in crate::equilibrium) fn put_single(
        &mut self,
        row: usize,
        found: Result<(State, DVec3), Error>,
        tensions: impl ExactSizeIterator<Item = f64>,
    ) -> bool {
        let (status, state, up) = match found {
            Ok((state, up)) => (0, state.code(), up),
            Err(error) => (error.status(), -1, DVec3::NAN),
        };
        let is_lift = status == 0 && state <= State::Neutral.code();
        let up = if is_lift { up } else { DVec3::NAN };
        self.put(row, (status, state, true), up, tensions.map(|t| if is_lift { t } else { f64::NAN }));
        is_lift
    }

    /// Writes the pulls on the hooks of one row, if they are asked for.
    pub(in crate::equilibrium) fn put_hooks(&mut self, row: usize, pulls: impl ExactSizeIterator<Item = f64>) {
        if let Some(slots) = &mut self.hook {
            put_all(slots, row, pulls);
        }
    }

    fn split(self, at: usize, legs: usize) -> (Self, Self) {
        let (tension, tension_rest) = self.tension.split_at_mut(at * legs);
        let (state, state_rest) = self.state.split_at_mut(at);
        let (status, status_rest) = self.status.split_at_mut(at);
        let (tilt, tilt_rest) = self.tilt.map(|tilt| tilt.split_at_mut(at)).unzip();
        let (alone, alone_rest) = self.alone.map(|alone| alone.split_at_mut(at)).unzip();
        let hooks = |hook: &[f64]| hook.len() / (state.len() + state_rest.len()).max(1);
        let (hook, hook_rest) = self.hook.map(|hook| hook.split_at_mut(at * hooks(hook))).unzip();
        (
            Self { tension, state, status, tilt, alone, hook },
            Self {
                tension: tension_rest,
                state: state_rest,
                status: status_rest,
                tilt: tilt_rest,
                alone: alone_rest,
                hook: hook_rest,
            },
        )
    }
}

/// Writes a row of as many values as there are.
#[inline]
fn put_all(slots: &mut [f64], row: usize, values: impl ExactSizeIterator<Item = f64>) {
    let width = values.len();
    if let Some(slots) = slots.get_mut(row * width..(row + 1) * width) {
        slots.iter_mut().zip(values).for_each(|(slot, value)| *slot = value);
    }
}

#[inline]
fn put<T>(slots: &mut [T], row: usize, value: T) {
    if let Some(slot) = slots.get_mut(row) {
        *slot = value;
    }
}

impl<'a> Rows<'a> {
    pub(super) fn fit(&self, legs: usize) -> Result<(), Error> {
        let count = self.count;
        fit("lengths", self.lengths.map(<[f64]>::len), count, legs)?;
        fit("stiffness", self.stiffness.map(<[f64]>::len), count, legs)?;
        fit("center", self.center.map(<[f64]>::len), count, 3)?;
        fit("weight", self.weight.map(<[f64]>::len), count, 1)
    }

    /// One row by itself; arrays and row fit.
    pub(super) fn row(&self, row: usize, legs: usize) -> Self {
        let part = |values: Option<&'a [f64]>, width: usize| values.and_then(|v| v.get(row * width..(row + 1) * width));
        Self {
            count: 1,
            lengths: part(self.lengths, legs),
            stiffness: part(self.stiffness, legs),
            center: part(self.center, 3),
            weight: part(self.weight, 1),
        }
    }

    fn split(self, at: usize, legs: usize) -> (Self, Self) {
        let cut = |values: Option<&'a [f64]>, width: usize| values.map(|v| v.split_at(at * width)).unzip();
        let (lengths, lengths_rest) = cut(self.lengths, legs);
        let (stiffness, stiffness_rest) = cut(self.stiffness, legs);
        let (center, center_rest) = cut(self.center, 3);
        let (weight, weight_rest) = cut(self.weight, 1);
        let rest = self.count - at;
        (
            Self { count: at, lengths, stiffness, center, weight },
            Self {
                count: rest,
                lengths: lengths_rest,
                stiffness: stiffness_rest,
                center: center_rest,
                weight: weight_rest,
            },
        )
    }
}

fn fit(name: &str, found: Option<usize>, count: usize, width: usize) -> Result<(), Error> {
    match found {
        Some(found) if count.checked_mul(width) != Some(found) => {
            let what = format!("{name} has {found} values; {count} rows need {width} each");
            Err(Error::inconsistent(what, Place::root().child(name)))
        }
        _ => Ok(()),
    }
}

/// Rows and where their outcomes go; arrays fit.
pub(in crate::equilibrium) struct Share<'a> {
    pub(super) rows: Rows<'a>,
    pub(super) out: Outcomes<'a>,
}

impl<'a> Share<'a> {
    /// Nominal rows, of which only the outcomes count.
    pub(in crate::equilibrium) fn of(count: usize, out: Outcomes<'a>) -> Self {
        Self { rows: Rows { count, ..Rows::default() }, out }
    }

    /// Number of rows.
    pub(in crate::equilibrium) const fn count(&self) -> usize {
        self.rows.count
    }

    /// Where the outcomes go.
    pub(in crate::equilibrium) fn outcomes(self) -> Outcomes<'a> {
        self.out
    }

    /// The first `at` rows (all if there are no more) and the rest.
    pub(in crate::equilibrium) fn split(self, at: usize, legs: usize) -> (Self, Self) {
        let at = at.min(self.rows.count);
        let (rows, rows_rest) = self.rows.split(at, legs);
        let (out, out_rest) = self.out.split(at, legs);
        (Self { rows, out }, Self { rows: rows_rest, out: out_rest })
    }
}
