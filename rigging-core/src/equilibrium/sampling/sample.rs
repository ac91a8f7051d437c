//! A plain sample: row after row of tensions.

use super::{Experiment, PLAIN, in_pieces};
use crate::equilibrium::nearby::{Outcomes, Share};
use crate::error::{Error, Place};

/// The most forces of one sample.
const MOST_VALUES: usize = 1 << 31;

/// Rows drawn from an [`Experiment`], from its first one on.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Sample {
    pub(super) legs: usize,
    pub(super) hooks: usize,
    pub(super) tension: Vec<f64>,
    pub(super) hook: Vec<f64>,
    pub(super) tilt: Vec<f64>,
    state: Vec<i32>,
    status: Vec<i32>,
}

impl Experiment {
    /// Draws the rows from `first` on into arrays of the caller, on at most `threads` threads (0: as many as the process may
    /// use at once). A row is the same in whatever piece it is drawn.
    ///
    /// # Errors
    /// [`Error::Inconsistent`] for arrays that do not fit together.
    pub fn draw(&self, first: u64, count: usize, out: Outcomes<'_>, threads: usize) -> Result<(), Error> {
        let legs = self.legs();
        out.fit(count, legs, self.hooks())?;
        let mut rest = Share::of(count, out);
        let mut parts = Vec::new();
        let mut start = 0;
        while start < count {
            let (part, others) = rest.split(self.nominal.piece(), legs);
            let size = part.count();
            parts.push((start, part));
            start += size;
            rest = others;
        }
        let stream = self.stream(PLAIN);
        in_pieces(parts, threads, |start, part| {
            let size = part.count();
            let value = |row: usize, values: &mut [f64]| {
                let index = first.wrapping_add((start + row) as u64);
                for ((pair, values), distributions) in (0..).zip(values.chunks_mut(2)).zip(self.uncertain.chunks(2)) {
                    let numbers = stream.pair(index, pair);
                    for ((value, (_, distribution)), number) in values.iter_mut().zip(distributions).zip(numbers) {
                        *value = distribution.quantile(number);
                    }
                }
            };
            self.nominal.balance(&self.uncertain, size, value, part.outcomes())
        })
    }
}

impl Sample {
    /// Draws `count` rows more, on at most `threads` threads (0: as many as the process may use at once). Drawing in pieces
    /// gives the rows of one draw, bit for bit: between pieces there is time to show progress, or to stop.
    ///
    /// # Errors
    /// [`Error::Inconsistent`] if the sample has rows of an experiment with another number of legs or hooks;
    /// [`Error::TooLarge`] for more than 2³¹ forces.
    pub fn draw(&mut self, experiment: &Experiment, count: usize, threads: usize) -> Result<(), Error> {
        let (legs, hooks) = (experiment.legs(), experiment.hooks());
        let first = self.len();
        for (name, own, other) in [("legs", self.legs, legs), ("hooks", self.hooks, hooks)] {
            if first > 0 && own != other {
                let what = format!("the sample has {own} {name}, the experiment {other}");
                return Err(Error::inconsistent(what, Place::root()));
            }
        }
        let few = |total: &usize| total.checked_mul(legs.max(hooks)).is_some_and(|values| values <= MOST_VALUES);
        let Some(total) = first.checked_add(count).filter(few) else {
            let allowed = format!("at most {}", MOST_VALUES / legs.max(hooks));
            let reading = crate::error::Reading::new("number of rows", first as f64 + count as f64, "", allowed);
            return Err(Error::TooLarge { reading, place: Place::root() });
        };
        (self.legs, self.hooks) = (legs, hooks);
        self.tension.resize(total * legs, f64::NAN);
        self.hook.resize(total * hooks, f64::NAN);
        self.tilt.resize(total, f64::NAN);
        self.state.resize(total, -1);
        self.status.resize(total, -1);
        fn new<T>(values: &mut [T], from: usize) -> &mut [T] {
            values.get_mut(from..).unwrap_or_default()
        }
        let out = Outcomes {
            tension: new(&mut self.tension, first * legs),
            state: new(&mut self.state, first),
            status: new(&mut self.status, first),
            tilt: Some(new(&mut self.tilt, first)),
            alone: None,
            hook: Some(new(&mut self.hook, first * hooks)),
        };
        let result = experiment.draw(first as u64, count, out, threads);
        if result.is_err() {
            // Nothing is left half drawn.
            self.truncate(first);
        }
        result
    }

    fn truncate(&mut self, rows: usize) {
        self.tension.truncate(rows * self.legs);
        self.hook.truncate(rows * self.hooks);
        self.tilt.truncate(rows);
        self.state.truncate(rows);
        self.status.truncate(rows);
    }

    /// Number of rows.
    pub fn len(&self) -> usize {
        self.state.len()
    }

    /// Whether nothing has been drawn.
    pub fn is_empty(&self) -> bool {
        self.state.is_empty()
    }

    /// Number of legs.
    pub const fn legs(&self) -> usize {
        self.legs
    }

    /// Number of hooks.
    pub const fn hooks(&self) -> usize {
        self.hooks
    }

    /// Tensions, N; row after row, one for each leg; NaN where there is no lift.
    pub fn tension(&self) -> &[f64] {
        &self.tension
    }

    /// Pulls on the hooks, N; row after row, one for each hook; NaN where there is no lift.
    pub fn hook(&self) -> &[f64] {
        &self.hook
    }

    /// Tilt of the load away from the attitude as drawn, rad; NaN where there is no lift.
    pub fn tilt(&self) -> &[f64] {
        &self.tilt
    }

    /// 0 stable, 1 neutral, 2 unstable, 3 lost, −1 not solved.
    pub fn state(&self) -> &[i32] {
        &self.state
    }

    /// 0, or the status of the error that the single calculation gives.
    pub fn status(&self) -> &[i32] {
        &self.status
    }

    /// Number of rows that are no lift: the load turns over, or no state could be certified.
    pub fn not_lifted(&self) -> usize {
        self.tilt.iter().filter(|tilt| tilt.is_nan()).count()
    }
}
