//! The vertices of a box of tolerances as rows: each what the nominal balance turns into, in one set of bits on every
//! machine.

use super::beside::Beside;
use super::{Lanes, Nominal, Rows, Single};
use crate::equilibrium::certificate::{Certificate, State};
use crate::error::Error;
use crate::system::System;
use glam::DVec3;

/// One balance, in the load's frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hung<'a> {
    /// Kind of equilibrium.
    pub state: State,
    /// Hook relative to the center of gravity, m.
    pub hook: &'a DVec3,
    /// Upward direction of the world.
    pub up: &'a DVec3,
    /// Tension in N and unit vector from the load's point to the hook, one pair a leg.
    pub pulls: &'a [(f64, DVec3)],
}

impl Nominal {
    /// The same load with another weight, as what this balance turns into.
    ///
    /// # Errors
    /// As [`Bridle::follow`](crate::equilibrium::bridle::Bridle::follow).
    pub(crate) fn with_weight(&self, weight: f64) -> Result<Self, Error> {
        let mut single = Single::new(self);
        let outcome = single.hang(&Rows { count: 1, weight: Some(&[weight]), ..Rows::default() })?;
        Ok(Self::of(single.bridle, single.workspace, outcome))
    }

    /// The certificate of the nominal balance in its system.
    ///
    /// # Errors
    /// As [`Bridle::solve`](crate::equilibrium::bridle::Bridle::solve).
    pub(crate) fn certificate(&self, system: &System) -> Result<Certificate, Error> {
        crate::equilibrium::certify_bridle(system, &self.bridle, &self.workspace, &self.outcome)
    }

    /// Shows the nominal balance.
    pub(crate) fn show(&self, seen: impl FnOnce(&Hung<'_>)) {
        let pulls: Vec<(f64, DVec3)> = self.workspace.tensions().zip(self.workspace.directions()).collect();
        seen(&Hung { state: self.outcome.state, hook: &self.outcome.hook, up: &self.outcome.up, pulls: &pulls });
    }

    /// Hangs every row as what the nominal balance turns into, and shows one after the other with its number.
    ///
    /// ```
    /// use glam::DVec3;
    /// use rigging_core::equilibrium::bridle::Bridle;
    /// use rigging_core::equilibrium::nearby::{Nominal, Rows};
    /// use rigging_core::system::Law;
    /// let points = vec![DVec3::new(1.0, 0.0, 0.0), DVec3::new(-1.0, 0.0, 0.0)];
    /// let laws = vec![Law::linear(1.0e6)?; 2];
    /// let nominal = Nominal::new(Bridle::new(points, vec![2.0; 2], laws, DVec3::new(0.0, 0.0, -0.3), 1000.0)?)?;
    /// let mut tilts = Vec::new();
    /// let lengths = [2.01, 2.0, 2.0, 2.01];
    /// nominal.follow(&Rows { count: 2, lengths: Some(&lengths), ..Rows::default() }, |_, hung| tilts.push(hung.up.x))?;
    /// // The longer leg's side hangs lower: the two are mirror images.
    /// assert!((tilts[0] + tilts[1]).abs() < 1e-9 && tilts[0].abs() > 1e-3);
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    ///
    /// Rows stand side by side at the level [`Plain`](super::Level::Plain), so that every machine finds the same bits. One whose branch is
    /// in doubt there goes the way of a single load.
    ///
    /// # Errors
    /// As [`Bridle::follow`](crate::equilibrium::bridle::Bridle::follow), for the first row that has one, after those before it
    /// were shown; [`Error::Inconsistent`] for arrays that do not fit together.
    pub fn follow(&self, rows: &Rows<'_>, seen: impl FnMut(usize, &Hung<'_>)) -> Result<(), Error> {
        let legs = self.bridle.lengths().len();
        rows.fit(legs)?;
        match (&self.lanes, legs) {
            (Some(lanes), 1) => self.follow_beside::<1>(lanes, rows, seen),
            (Some(lanes), 2) => self.follow_beside::<2>(lanes, rows, seen),
            (Some(lanes), 3) => self.follow_beside::<3>(lanes, rows, seen),
            (Some(lanes), 4) => self.follow_beside::<4>(lanes, rows, seen),
            (Some(lanes), 5) => self.follow_beside::<5>(lanes, rows, seen),
            (Some(lanes), 6) => self.follow_beside::<6>(lanes, rows, seen),
            (Some(lanes), 7) => self.follow_beside::<7>(lanes, rows, seen),
            (Some(lanes), 8) => self.follow_beside::<8>(lanes, rows, seen),
            _ => self.follow_alone(rows, seen),
        }
    }

    fn follow_alone(&self, rows: &Rows<'_>, mut seen: impl FnMut(usize, &Hung<'_>)) -> Result<(), Error> {
        let mut single = Single::new(self);
        let mut pulls = Vec::new();
        (0..rows.count).try_for_each(|row| single.show(rows, row, &mut pulls, |hung| seen(row, hung)))
    }

    fn follow_beside<const M: usize>(
        &self,
        lanes: &Lanes,
        rows: &Rows<'_>,
        mut seen: impl FnMut(usize, &Hung<'_>),
    ) -> Result<(), Error> {
        let mut single = None;
        let mut pulls = Vec::new();
        Beside::<M>::new(self, lanes).follow(rows, |row, found| match found {
            Some(hung) => {
                seen(row, hung);
                Ok(())
            }
            None => {
                let single = single.get_or_insert_with(|| Single::new(self));
                single.show(rows, row, &mut pulls, |hung| seen(row, hung))
            }
        })
    }
}

impl Single<'_> {
    /// Hangs a row by itself and shows it.
    fn show(
        &mut self,
        rows: &Rows<'_>,
        row: usize,
        pulls: &mut Vec<(f64, DVec3)>,
        seen: impl FnOnce(&Hung<'_>),
    ) -> Result<(), Error> {
        let outcome = self.hang(&rows.row(row, self.bridle.lengths().len()))?;
        pulls.clear();
        pulls.extend(self.workspace.tensions().zip(self.workspace.directions()));
        seen(&Hung { state: outcome.state, hook: &outcome.hook, up: &outcome.up, pulls });
        Ok(())
    }
}
