//! Many balances near a nominal one: rows of lengths, stiffnesses, centers of gravity and weights that differ from those
//! of one bridle by tolerances.
//!
//! A tolerance changes a lift continuously, so what is meant in every row is the branch of the nominal balance. Rows are
//! calculated side by side, as many as the processor has lanes ([`Level`]), each from its own numbers alone: neither
//! neighbors nor their order nor the number of threads change a bit of it at one level. A row whose balance is not found,
//! or not proven to be the lowest of all, stable and nearly upright, is followed by itself as in [`Bridle::follow`], and
//! hung from the drawing where that is in doubt; the outcome says so.
//!
//! Forces balance in every row to what [`Bridle::solve`] asks, and rows calculated at different levels agree to what that
//! leaves open.

pub(super) mod algebra;
mod beside;
pub(super) mod block;
pub(super) mod branch;
mod follow;
pub(super) mod kernel;
pub(super) mod lane;
mod rows;
mod transpose;

pub use super::dispatch::Level;
pub use follow::Hung;
pub use rows::{Outcomes, Rows};

use super::bridle::{Bridle, Foresight, Outcome, Workspace};
use super::certificate::State;
use super::dispatch::balance_block;
use crate::error::{Error, Place};
use crate::system::Law;
use block::Block;
use kernel::{Constants, NominalLeg};
pub(super) use rows::Share;

/// The most legs of a bridle whose rows are calculated side by side; rows of more are followed one by one.
pub const MOST_LEGS: usize = 8;
/// Rows below this number are not worth a thread of their own.
const ROWS_PER_THREAD: usize = 2048;

/// A bridle and its nominal balance, to which rows are near.
///
/// ```
/// use glam::DVec3;
/// use rigging_core::equilibrium::bridle::Bridle;
/// use rigging_core::equilibrium::nearby::{Nominal, Outcomes, Rows};
/// use rigging_core::system::Law;
/// let points = [[1.0, 1.0], [1.0, -1.0], [-1.0, -1.0], [-1.0, 1.0]].map(|[x, y]| DVec3::new(x, y, 0.0));
/// let laws = vec![Law::linear(2.0e5)?; 4];
/// let bridle = Bridle::new(points.to_vec(), vec![2.0; 4], laws, DVec3::new(0.0, 0.0, -0.5), 1000.0)?;
/// let nominal = Nominal::new(bridle)?;
/// // One leg 5 mm short, about twice the stretch of all: it and the one across take most of the load.
/// let lengths = [2.0, 2.0, 2.0, 2.0, 1.995, 2.0, 2.0, 2.0];
/// let rows = Rows { count: 2, lengths: Some(&lengths), ..Rows::default() };
/// let (mut tension, mut state, mut status) = ([0.0; 8], [0; 2], [0; 2]);
/// nominal.solve(&rows, Outcomes::new(&mut tension, &mut state, &mut status), 1)?;
/// assert_eq!((state, status), ([0; 2], [0; 2]));
/// assert!(tension[4] > 1.3 * tension[0] && tension[5] < 0.7 * tension[0]);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct Nominal {
    bridle: Bridle,
    workspace: Workspace,
    outcome: Outcome,
    level: Level,
    lanes: Option<Lanes>,
}

/// What the lanes share; none where the nominal balance or the laws do not admit them.
#[derive(Debug, Clone)]
struct Lanes {
    legs: Vec<NominalLeg>,
    ea: Vec<f64>,
    hook: [f64; 3],
    /// Sum of tension over distance.
    density: f64,
}

impl Nominal {
    /// Hangs the nominal load.
    ///
    /// # Errors
    /// As [`Bridle::solve`].
    pub fn new(bridle: Bridle) -> Result<Self, Error> {
        let mut workspace = Workspace::default();
        let outcome = bridle.solve(&mut workspace)?;
        Ok(Self::of(bridle, workspace, outcome))
    }

    /// A balance of the bridle that stands in the workspace.
    fn of(bridle: Bridle, workspace: Workspace, outcome: Outcome) -> Self {
        let lanes = Lanes::of(&bridle, &workspace, &outcome);
        Self { bridle, workspace, outcome, level: Level::best(), lanes }
    }

    /// Hangs a load given in plain arrays, as a row of [`batch`](super::batch): lift points (m × 3), lengths and stiffnesses
    /// EA (m values each), center of gravity, weight.
    ///
    /// # Errors
    /// As [`Bridle::new`] and [`Bridle::solve`]; [`Error::Inconsistent`] for arrays that do not fit together.
    pub fn of_arrays(points: &[f64], lengths: &[f64], ea: &[f64], center: &[f64], weight: f64) -> Result<Self, Error> {
        if points.len() != 3 * lengths.len() {
            let what = format!("points has {} values; {} legs need 3 each", points.len(), lengths.len());
            return Err(Error::inconsistent(what, Place::root().child("points")));
        }
        let points = points.chunks_exact(3).map(super::batch::vector).collect::<Result<_, _>>()?;
        let laws = ea.iter().map(|ea| Law::linear(*ea)).collect::<Result<_, _>>()?;
        Self::new(Bridle::new(points, lengths.to_vec(), laws, super::batch::vector(center)?, weight)?)
    }

    /// The same at another level, to compare levels and to have one set of bits on different processors.
    ///
    /// # Errors
    /// [`Error::Unsupported`] for a level that this processor lacks.
    pub fn at_level(self, level: Level) -> Result<Self, Error> {
        if !level.is_available() {
            return Err(Error::unsupported(format!("level {level:?} on this processor"), Place::root()));
        }
        Ok(Self { level, ..self })
    }

    /// The level at which rows are calculated.
    pub const fn level(&self) -> Level {
        self.level
    }

    /// The bridle.
    pub const fn bridle(&self) -> &Bridle {
        &self.bridle
    }

    /// The nominal balance.
    pub const fn outcome(&self) -> &Outcome {
        &self.outcome
    }

    /// Nominal tensions, N.
    pub fn tensions(&self) -> impl ExactSizeIterator<Item = f64> + '_ {
        self.workspace.tensions()
    }

    /// Balances every row on at most `threads` threads (and never more than 256); 0 means as many as the process may use
    /// at once. Few rows are calculated on the caller's own.
    ///
    /// # Errors
    /// Faults of the call as a whole only: [`Error::Inconsistent`] for arrays that do not fit together. Faults of a row
    /// stand in its status.
    pub fn solve(&self, rows: &Rows<'_>, out: Outcomes<'_>, threads: usize) -> Result<(), Error> {
        let legs = self.bridle.lengths().len();
        rows.fit(legs)?;
        out.fit(rows.count, legs, 1)?;
        let count = super::batch::allotted(threads, rows.count, ROWS_PER_THREAD);
        let share = rows.count.div_ceil(count).next_multiple_of(lane::WIDEST).max(ROWS_PER_THREAD);
        let mut rest = Share { rows: *rows, out };
        if share >= rows.count {
            self.share(rest);
            return Ok(());
        }
        std::thread::scope(|scope| {
            while rest.rows.count > 0 {
                let (first, others) = rest.split(share, legs);
                scope.spawn(move || self.share(first));
                rest = others;
            }
        });
        Ok(())
    }

    /// Why a row has a status other than 0: its calculation once more. None for a row that is solved, and for one that is
    /// not there.
    pub fn refusal(&self, rows: &Rows<'_>, row: usize) -> Option<Error> {
        let legs = self.bridle.lengths().len();
        rows.fit(legs).ok()?;
        if row >= rows.count {
            return None;
        }
        Single::new(self).hang(&rows.row(row, legs)).err()
    }

    fn share(&self, mut share: Share<'_>) {
        self.balance(&mut share);
        // A single hook bears the weight; of a row that is no lift nothing is said.
        let (Rows { count, weight, .. }, out) = (share.rows, &mut share.out);
        let legs = self.bridle.lengths().len();
        for row in 0..if out.hook.is_some() { count } else { 0 } {
            let own = weight.map_or(Some(self.bridle.weight()), |weight| weight.get(row).copied());
            let lifts = out.tension.get(row * legs).is_some_and(|tension| !tension.is_nan());
            out.put_hooks(row, [own.filter(|_| lifts).unwrap_or(f64::NAN)].into_iter());
        }
    }

    fn balance(&self, share: &mut Share<'_>) {
        match (&self.lanes, self.bridle.lengths().len()) {
            (Some(lanes), 1) => self.blocks::<1>(lanes, share),
            (Some(lanes), 2) => self.blocks::<2>(lanes, share),
            (Some(lanes), 3) => self.blocks::<3>(lanes, share),
            (Some(lanes), 4) => self.blocks::<4>(lanes, share),
            (Some(lanes), 5) => self.blocks::<5>(lanes, share),
            (Some(lanes), 6) => self.blocks::<6>(lanes, share),
            (Some(lanes), 7) => self.blocks::<7>(lanes, share),
            (Some(lanes), 8) => self.blocks::<8>(lanes, share),
            (_, legs) => {
                let mut single = Single::new(self);
                let Share { rows, out } = share;
                (0..rows.count).for_each(|row| single.write(&rows.row(row, legs), row, out));
            }
        }
    }

    fn blocks<const M: usize>(&self, lanes: &Lanes, share: &mut Share<'_>) {
        let Share { rows, out } = share;
        let mut single = None;
        let constants = lanes.constants::<M>();
        let nominal = lanes.nominal::<M>(&self.bridle);
        let mut block = Block::filled(&nominal);
        let width = self.level.rows();
        for first in (0..rows.count).step_by(width) {
            let valid = block.load(rows, first, width, &nominal);
            balance_block(self.level, &constants, &mut block);
            let certified = valid & block.certified;
            block.store(out, first, certified);
            let mut left = valid_rows(rows.count - first, width) & !certified;
            while left != 0 {
                let row = first + left.trailing_zeros() as usize;
                left &= left - 1;
                single.get_or_insert_with(|| Single::new(self)).write(&rows.row(row, M), row, out);
            }
        }
    }
}

/// A bit for each row of a block that is there.
const fn valid_rows(count: usize, width: usize) -> u32 {
    let count = if count < width { count } else { width };
    (1 << count) - 1
}

impl Lanes {
    fn of(bridle: &Bridle, workspace: &Workspace, outcome: &Outcome) -> Option<Self> {
        if outcome.state != State::Stable || bridle.lengths().len() > MOST_LEGS {
            return None;
        }
        let ea = bridle.laws().iter().map(|law| if let Law::Linear { ea } = law { Some(*ea) } else { None });
        let ea = ea.collect::<Option<Vec<_>>>()?;
        let hook = outcome.hook + bridle.center_of_gravity();
        let legs = bridle.points().iter().map(|point| {
            let arm = hook - *point;
            NominalLeg { arm: arm.to_array(), square: arm.length_squared(), over: 1.0 / arm.length() }
        });
        let legs: Vec<_> = legs.collect();
        let density = legs.iter().zip(workspace.tensions()).map(|(leg, tension)| tension * leg.over).sum();
        // A point at the hook has no direction.
        legs.iter().all(|leg| leg.over.is_finite()).then_some(Self { legs, ea, hook: hook.to_array(), density })
    }

    fn constants<const M: usize>(&self) -> Constants<M> {
        let mut legs = [NominalLeg::default(); M];
        legs.iter_mut().zip(&self.legs).for_each(|(slot, leg)| *slot = *leg);
        Constants { legs, hook: self.hook, density: self.density }
    }

    fn nominal<const M: usize>(&self, bridle: &Bridle) -> transpose::NominalRow<M> {
        let (mut length, mut ea) = ([0.0; M], [0.0; M]);
        length.iter_mut().zip(bridle.lengths()).for_each(|(slot, value)| *slot = *value);
        ea.iter_mut().zip(&self.ea).for_each(|(slot, value)| *slot = *value);
        transpose::NominalRow { length, ea, center: bridle.center_of_gravity().to_array(), weight: bridle.weight() }
    }
}

/// One row after the other, each from the nominal balance.
pub(super) struct Single<'a> {
    nominal: &'a Nominal,
    foresight: Option<Foresight>,
    bridle: Bridle,
    workspace: Workspace,
}

impl<'a> Single<'a> {
    pub(super) fn new(nominal: &'a Nominal) -> Self {
        let foresight = nominal.workspace.foresight(&nominal.outcome);
        Self { nominal, foresight, bridle: nominal.bridle.clone(), workspace: nominal.workspace.clone() }
    }

    /// Hangs a row; bridle and workspace are its own afterwards.
    pub(super) fn hang(&mut self, row: &Rows<'_>) -> Result<Outcome, Error> {
        let nominal = &self.nominal.bridle;
        self.bridle.set_weight(row.weight.and_then(<[f64]>::first).copied().unwrap_or(nominal.weight()))?;
        let center = match row.center {
            Some(center) => super::batch::vector(center)?,
            None => nominal.center_of_gravity(),
        };
        self.bridle.set_center_of_gravity(center)?;
        for (member, length) in row.lengths.into_iter().flatten().enumerate() {
            self.bridle.set_length(member, *length)?;
        }
        for (member, (factor, law)) in row.stiffness.into_iter().flatten().zip(nominal.laws()).enumerate() {
            self.bridle.set_law(member, law.scaled(*factor)?)?;
        }
        self.bridle.follow(&mut self.workspace, self.foresight.as_ref())
    }

    pub(super) const fn bridle(&self) -> &Bridle {
        &self.bridle
    }

    pub(super) const fn workspace(&self) -> &Workspace {
        &self.workspace
    }

    fn write(&mut self, row: &Rows<'_>, index: usize, out: &mut Outcomes<'_>) {
        let found = self.hang(row).map(|outcome| (outcome.state, outcome.up));
        out.put_single(index, found, self.workspace.tensions());
    }
}
