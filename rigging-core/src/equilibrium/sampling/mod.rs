//! How likely: lengths, stiffnesses, center of gravity and weight scatter, and the tensions with them.
//!
//! An [`Experiment`] is a nominal arrangement (a bridle, or any system of bodies, joints, members and hooks) and the
//! distributions of what is uncertain, each independent of the others. It is
//! asked in three ways: a [`Sample`] of as many loads as wanted (quantiles, shares and which leg governs, each with bounds of
//! confidence), the [`FirstOrder`] approximation of the probability that a leg exceeds a limit, and [`Experiment::rare`],
//! subset simulation, for probabilities down to 1e-6 and below.
//!
//! Random numbers are a function of seed, row and column ([`philox`]), and every row is calculated from its own numbers
//! alone, so that neither threads nor the pieces in which a sample is drawn change a bit of it, of a bridle at one level of
//! [`nearby`](super::nearby). A row is what the nominal balance turns into ([`nearby`](super::nearby) and
//! [`network::Nominal`](super::network::Nominal) say how that is seen to), and is hung from the drawing where that is in doubt.
//! Nothing marks such a row: of 173 rows of random systems that were hung so, 4 were not what a slow change of the numbers led to.
//!
//! A row whose load turns over, is unstable or cannot be certified is no lift. It counts as exceeding every limit, and stands above every
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

mod arrangement;
mod bridle;
mod distribution;
mod first_order;
mod network;
mod random;
mod sample;
mod special;
mod statistics;
mod subset;

pub use arrangement::Arrangement;
pub use distribution::Distribution;
pub use first_order::{FirstOrder, reliability_index};
pub use random::philox;
pub use sample::Sample;
pub use special::{normal_probability, normal_quantile};
pub use statistics::{Governing, Quantile, Response, Share, any_exceedance, exceedance, governing, quantile};
pub use subset::{Effort, Rare};

use crate::error::{Error, Place};
use crate::system::Number;
use random::Stream;

/// Rows of a bridle that a thread draws and balances at a time.
const PIECE: usize = 4096;
/// The purposes of random numbers: plain sampling, and subset simulation from here on.
const PLAIN: u32 = 0;
const SUBSET: u32 = 1;

/// What may be uncertain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Input {
    /// Unstretched length of a leg, or member, m.
    Length(usize),
    /// Factor on the law of a leg, or member, and so on its stiffness EA, without unit.
    Stiffness(usize),
    /// A coordinate of a center of gravity in its body's frame, m; 0, 1, 2 for x, y, z of the load, which is the first body,
    /// and three more for each body after it.
    Center(usize),
    /// Weight of the load, N.
    Weight,
    /// Height of a hook in the world, m. That of a single hook changes nothing.
    Hook(usize),
    /// Weight of a body, N; the load is the first.
    BodyWeight(usize),
}

impl Input {
    /// An input by its number in arrays and in the C interface: 0 length, 1 stiffness, 2 center of gravity, 3 weight of the
    /// load, 4 height of a hook, 5 weight of a body.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] for another number.
    pub fn from_code(code: i32, index: usize) -> Result<Self, Error> {
        match code {
            0 => Ok(Self::Length(index)),
            1 => Ok(Self::Stiffness(index)),
            2 => Ok(Self::Center(index)),
            3 => Ok(Self::Weight),
            4 => Ok(Self::Hook(index)),
            5 => Ok(Self::BodyWeight(index)),
            _ => {
                let place = Place::root().child("uncertain");
                Err(Error::out_of_domain("number of the input", f64::from(code), "", "from 0 to 5", place))
            }
        }
    }

    /// The number of a system that it stands for; a weight for a mass.
    const fn number(self) -> Number {
        match self {
            Self::Length(member) => Number::Length(member),
            Self::Stiffness(member) => Number::Stiffness(member),
            Self::Center(index) => Number::Center { body: index / 3, axis: index % 3 },
            Self::Weight => Number::Mass(0),
            Self::Hook(hook) => Number::Height(hook),
            Self::BodyWeight(body) => Number::Mass(body),
        }
    }
}

/// A nominal arrangement, and what of it is uncertain.
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
///
/// Two hooks, whose shares follow from the center of gravity alone:
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::equilibrium::network;
/// use rigging_core::equilibrium::sampling::{Distribution, Experiment, Input, Response, Sample};
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
/// let points = vec![DVec3::ZERO, DVec3::new(24.0, 0.0, 0.0)];
/// let hooks = points.iter().map(|point| Hook { position: *point + DVec3::new(0.0, 0.0, 9.0) }).collect();
/// let center_of_gravity = DVec3::new(10.0, 0.0, -1.0);
/// let body = Body { mass: 96.0e3, center_of_gravity, points, position: DVec3::ZERO, rotation: DQuat::IDENTITY };
/// let leg = |point| -> Result<Member, rigging_core::error::Error> {
///     Ok(Member { a: End::Hook(point), b: End::Body { body: 0, point }, length: 9.0, law: Law::linear(200.0e6)? })
/// };
/// let system = System::new(9.80665, hooks, vec![], vec![body], vec![leg(0)?, leg(1)?])?;
/// let scatter = vec![(Input::Center(0), Distribution::uniform(9.6, 10.4)?)];
/// let experiment = Experiment::new(network::Nominal::new(&system)?, scatter, 2024)?;
/// let mut sample = Sample::default();
/// sample.draw(&experiment, 200, 2)?;
/// // 13.6 m to 14.4 m of 24 m from the other hook.
/// let most = sample.quantile(Response::Hook(0), 0.99, 0.95)?;
/// assert!((57.0..=57.7).contains(&(most.value / 9806.65)));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct Experiment {
    nominal: Arrangement,
    uncertain: Vec<(Input, Distribution)>,
    seed: u64,
}

impl Experiment {
    /// An experiment. The seed decides all of its random numbers.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] for a leg, axis, hook or body that is not there; [`Error::Inconsistent`] for an input that is
    /// named twice; [`Error::Missing`] if nothing is uncertain.
    pub fn new(
        nominal: impl Into<Arrangement>,
        uncertain: Vec<(Input, Distribution)>,
        seed: u64,
    ) -> Result<Self, Error> {
        let nominal = nominal.into();
        let place = |index: usize| Place::root().child("uncertain").child(index);
        if uncertain.is_empty() {
            return Err(Error::missing("an input that is uncertain", "uncertain", Place::root()));
        }
        for (index, (input, _)) in uncertain.iter().enumerate() {
            let (name, value, count) = match input {
                Input::Length(leg) | Input::Stiffness(leg) => ("index of the leg", *leg, nominal.legs()),
                Input::Center(axis) => ("index of the axis", *axis, 3 * nominal.bodies()),
                Input::Hook(hook) => ("index of the hook", *hook, nominal.hooks()),
                Input::BodyWeight(body) => ("index of the body", *body, nominal.bodies()),
                Input::Weight => continue,
            };
            if value >= count {
                let allowed = format!("below {count}");
                return Err(Error::out_of_domain(name, value as f64, "", allowed, place(index)));
            }
        }
        for (index, (input, _)) in uncertain.iter().enumerate() {
            if uncertain.iter().take(index).any(|(other, _)| other.number() == input.number()) {
                return Err(Error::inconsistent(format!("{input:?} is named twice"), place(index)));
            }
        }
        Ok(Self { nominal, uncertain, seed })
    }

    /// The nominal arrangement.
    pub const fn nominal(&self) -> &Arrangement {
        &self.nominal
    }

    /// What is uncertain.
    pub fn uncertain(&self) -> &[(Input, Distribution)] {
        &self.uncertain
    }

    /// Number of legs, or members.
    pub fn legs(&self) -> usize {
        self.nominal.legs()
    }

    /// Number of hooks.
    pub fn hooks(&self) -> usize {
        self.nominal.hooks()
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

    /// Refuses limits that are not one for each leg, or each leg and hook, and positive.
    fn check_limits(&self, limits: &[f64]) -> Result<(), Error> {
        check_limits(limits, self.legs(), self.hooks())
    }
}

fn check_limits(limits: &[f64], legs: usize, hooks: usize) -> Result<(), Error> {
    let place = || Place::root().child("limits");
    if limits.len() != legs && limits.len() != legs + hooks {
        let what = format!("{} limits for {legs} legs and {hooks} hooks", limits.len());
        return Err(Error::inconsistent(what, place()));
    }
    match limits.iter().enumerate().find(|(_, limit)| limit.is_nan() || **limit <= 0.0) {
        Some((force, limit)) => {
            let allowed = "positive; infinite for a leg or hook without one";
            Err(Error::out_of_domain("limit", *limit, "N", allowed, place().child(force)))
        }
        None => Ok(()),
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
