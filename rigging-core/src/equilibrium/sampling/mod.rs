//! How likely: lengths, stiffnesses, center of gravity and weight scatter, and the tensions with them.
//!
//! An [`Experiment`] is a nominal bridle and the distributions of what is uncertain, each independent of the others. It is
//! asked in three ways: a [`Sample`] of as many loads as wanted (quantiles, shares and which leg governs, each with bounds of
//! confidence), the [`FirstOrder`] approximation of the probability that a leg exceeds a limit, and [`Experiment::rare`],
//! subset simulation, for probabilities down to 1e-6 and below.
//!
//! Random numbers are a function of seed, row and column ([`philox`]), and every row is calculated from its own numbers
//! alone, so that neither threads nor the pieces in which a sample is drawn change a bit of it at one level of
//! [`nearby`](super::nearby).
//!
//! A row whose load turns over or cannot be certified is no lift. It counts as exceeding every limit, and stands above every
//! tension.
//!
//! What comes out is as good as the distributions that go in; nobody has measured most of them.
//!
//! # Sources
//! First order: Hasofer, Lind, "Exact and invariant second-moment code format" (1974); Rackwitz, Fiessler, "Structural
//! reliability under combined random load sequences" (1978). Subset simulation: Au, Beck, "Estimation of small failure
//! probabilities in high dimensions by subset simulation" (2001); conditional sampling as in Papaioannou, Betz, Zwirglmaier,
//! Straub, "MCMC algorithms for subset simulation" (2015). Bounds of a share: Clopper, Pearson, "The use of confidence or
//! fiducial limits illustrated in the case of the binomial" (1934). All cited from memory; the tests rely on none of them.

mod distribution;
mod first_order;
mod random;
mod sample;
mod special;
mod statistics;
mod subset;

pub use distribution::Distribution;
pub use first_order::{FirstOrder, reliability_index};
pub use random::philox;
pub use sample::Sample;
pub use special::{normal_probability, normal_quantile};
pub use statistics::{Governing, Quantile, Response, Share, any_exceedance, exceedance, governing, quantile};
pub use subset::{Effort, Rare};

use super::nearby::{Nominal, Rows};
use crate::error::{Error, Place};
use random::Stream;

/// Rows that a thread draws and balances at a time.
const PIECE: usize = 4096;
/// The purposes of random numbers: plain sampling, and subset simulation from here on.
const PLAIN: u32 = 0;
const SUBSET: u32 = 1;

/// What may be uncertain of a bridle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Input {
    /// Unstretched length of a leg, m.
    Length(usize),
    /// Factor on the law of a leg, and so on its stiffness EA, without unit.
    Stiffness(usize),
    /// A coordinate of the center of gravity in the load's frame, m; 0, 1, 2 for x, y, z.
    Center(usize),
    /// Weight, N.
    Weight,
}

impl Input {
    /// An input by its number in arrays and in the C interface: 0 length, 1 stiffness, 2 center of gravity, 3 weight.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] for another number.
    pub fn from_code(code: i32, index: usize) -> Result<Self, Error> {
        match code {
            0 => Ok(Self::Length(index)),
            1 => Ok(Self::Stiffness(index)),
            2 => Ok(Self::Center(index)),
            3 => Ok(Self::Weight),
            _ => {
                let place = Place::root().child("uncertain");
                Err(Error::out_of_domain("number of the input", f64::from(code), "", "from 0 to 3", place))
            }
        }
    }
}

/// A nominal bridle, and what of it is uncertain.
///
/// ```
/// use glam::DVec3;
/// use rigging_core::equilibrium::bridle::Bridle;
/// use rigging_core::equilibrium::nearby::Nominal;
/// use rigging_core::equilibrium::sampling::{Distribution, Experiment, Input, Response, Sample};
/// use rigging_core::system::Law;
/// let points = [[1.0, 1.0], [1.0, -1.0], [-1.0, -1.0], [-1.0, 1.0]].map(|[x, y]| DVec3::new(x, y, 0.0));
/// let laws = vec![Law::linear(2.0e5)?; 4];
/// let bridle = Bridle::new(points.to_vec(), vec![2.0; 4], laws, DVec3::new(0.0, 0.0, -0.5), 1000.0)?;
/// let lengths = (0..4).map(|leg| Ok((Input::Length(leg), Distribution::uniform(1.995, 2.005)?)));
/// let experiment = Experiment::new(Nominal::new(bridle)?, lengths.collect::<Result<Vec<_>, _>>()?, 2024)?;
/// let mut sample = Sample::default();
/// sample.draw(&experiment, 10_000, 2)?;
/// let largest = sample.quantile(Response::Largest, 0.99, 0.95)?;
/// assert!(largest.value > 500.0 && largest.most.is_some_and(|most| most < 720.0));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct Experiment {
    nominal: Nominal,
    uncertain: Vec<(Input, Distribution)>,
    seed: u64,
}

impl Experiment {
    /// An experiment. The seed decides all of its random numbers.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] for a leg or axis that is not there; [`Error::Inconsistent`] for an input that is named twice;
    /// [`Error::Missing`] if nothing is uncertain.
    pub fn new(nominal: Nominal, uncertain: Vec<(Input, Distribution)>, seed: u64) -> Result<Self, Error> {
        let legs = nominal.bridle().lengths().len();
        let place = |index: usize| Place::root().child("uncertain").child(index);
        if uncertain.is_empty() {
            return Err(Error::missing("an input that is uncertain", "uncertain", Place::root()));
        }
        for (index, (input, _)) in uncertain.iter().enumerate() {
            let (name, value, count) = match input {
                Input::Length(leg) | Input::Stiffness(leg) => ("index of the leg", *leg, legs),
                Input::Center(axis) => ("index of the axis", *axis, 3),
                Input::Weight => continue,
            };
            if value >= count {
                let allowed = format!("below {count}");
                return Err(Error::out_of_domain(name, value as f64, "", allowed, place(index)));
            }
        }
        for (index, (input, _)) in uncertain.iter().enumerate() {
            if uncertain.iter().take(index).any(|(other, _)| other == input) {
                return Err(Error::inconsistent(format!("{input:?} is named twice"), place(index)));
            }
        }
        Ok(Self { nominal, uncertain, seed })
    }

    /// The nominal bridle.
    pub const fn nominal(&self) -> &Nominal {
        &self.nominal
    }

    /// What is uncertain.
    pub fn uncertain(&self) -> &[(Input, Distribution)] {
        &self.uncertain
    }

    /// Number of legs.
    pub fn legs(&self) -> usize {
        self.nominal.bridle().lengths().len()
    }

    const fn stream(&self, purpose: u32) -> Stream {
        Stream::new(self.seed, purpose)
    }

    /// The values of the inputs in a row of the plain sample, in the order of [`Experiment::uncertain`].
    pub fn inputs(&self, row: u64) -> Vec<f64> {
        let stream = self.stream(PLAIN);
        let columns = (0..).zip(&self.uncertain);
        columns.map(|(column, (_, distribution))| distribution.quantile(stream.at(row, column))).collect()
    }

    /// Refuses limits that are not one for each leg, and positive.
    fn check_limits(&self, limits: &[f64]) -> Result<(), Error> {
        check_limits(limits, self.legs())
    }
}

fn check_limits(limits: &[f64], legs: usize) -> Result<(), Error> {
    let place = || Place::root().child("limits");
    if limits.len() != legs {
        let what = format!("{} limits for {legs} legs", limits.len());
        return Err(Error::inconsistent(what, place()));
    }
    match limits.iter().enumerate().find(|(_, limit)| limit.is_nan() || **limit <= 0.0) {
        Some((leg, limit)) => {
            let allowed = "positive; infinite for a leg without one";
            Err(Error::out_of_domain("limit", *limit, "N", allowed, place().child(leg)))
        }
        None => Ok(()),
    }
}

/// Arrays of the inputs of a piece of rows; what is not uncertain is left to the nominal load.
#[derive(Default)]
struct Piece {
    lengths: Vec<f64>,
    stiffness: Vec<f64>,
    center: Vec<f64>,
    weight: Vec<f64>,
}

impl Piece {
    /// Fills the arrays for `count` rows, with `value(row, column)` for the uncertain inputs.
    fn fill(&mut self, experiment: &Experiment, count: usize, mut value: impl FnMut(usize, &mut [f64])) {
        let bridle = experiment.nominal.bridle();
        let legs = bridle.lengths().len();
        let mut kinds = [false; 4];
        let [lengths, stiffness, center, weight] = &mut kinds;
        for (input, _) in &experiment.uncertain {
            match input {
                Input::Length(_) => *lengths = true,
                Input::Stiffness(_) => *stiffness = true,
                Input::Center(_) => *center = true,
                Input::Weight => *weight = true,
            }
        }
        let set = |values: &mut Vec<f64>, needed: bool, row: &[f64]| {
            values.clear();
            if needed {
                values.extend(std::iter::repeat_n(row, count).flatten());
            }
        };
        set(&mut self.lengths, *lengths, bridle.lengths());
        set(&mut self.stiffness, *stiffness, &vec![1.0; legs]);
        set(&mut self.center, *center, &bridle.center_of_gravity().to_array());
        set(&mut self.weight, *weight, &[bridle.weight()]);
        let mut values = vec![0.0; experiment.uncertain.len()];
        for row in 0..count {
            value(row, &mut values);
            for ((input, _), value) in experiment.uncertain.iter().zip(&values) {
                let slot = match input {
                    Input::Length(leg) => self.lengths.get_mut(row * legs + leg),
                    Input::Stiffness(leg) => self.stiffness.get_mut(row * legs + leg),
                    Input::Center(axis) => self.center.get_mut(row * 3 + axis),
                    Input::Weight => self.weight.get_mut(row),
                };
                if let Some(slot) = slot {
                    *slot = *value;
                }
            }
        }
    }

    fn rows(&self, count: usize) -> Rows<'_> {
        fn given(values: &[f64]) -> Option<&[f64]> {
            (!values.is_empty()).then_some(values)
        }
        Rows {
            count,
            lengths: given(&self.lengths),
            stiffness: given(&self.stiffness),
            center: given(&self.center),
            weight: given(&self.weight),
        }
    }
}

/// Calls `work` for consecutive pieces of `count` rows on at most `threads` threads; `parts` are the outputs of each piece.
fn in_pieces<P: Send>(
    parts: Vec<(usize, P)>,
    threads: usize,
    work: impl Fn(usize, P) -> Result<(), Error> + Sync,
) -> Result<(), Error> {
    let count = super::batch::allotted(threads, parts.len(), 1).min(parts.len().max(1));
    if count <= 1 {
        return parts.into_iter().try_for_each(|(first, part)| work(first, part));
    }
    let share = parts.len().div_ceil(count);
    let mut rest = parts;
    std::thread::scope(|scope| {
        let mut running = Vec::new();
        while !rest.is_empty() {
            let others = rest.split_off(share.min(rest.len()));
            let mine = std::mem::replace(&mut rest, others);
            let work = &work;
            running.push(scope.spawn(move || mine.into_iter().try_for_each(|(first, part)| work(first, part))));
        }
        running.into_iter().try_for_each(|thread| match thread.join() {
            Ok(result) => result,
            Err(panic) => std::panic::resume_unwind(panic),
        })
    })
}
