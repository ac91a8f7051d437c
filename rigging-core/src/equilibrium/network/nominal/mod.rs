//! Many balances near a nominal one: the same arrangement with numbers that differ by tolerances.
//!
//! A tolerance changes a lift continuously, so what is meant in every row is the branch of the nominal balance, as for a
//! bridle ([`nearby`](crate::equilibrium::nearby)). A row starts at the nominal pose with the nominal tensions, and Newton's
//! steps lead to it ([`follow`](super::follow)). Their end is taken if it is stable and beyond doubt what the nominal balance
//! turns into: no step was long, each at most half as long as the one before, and the linearized members stable at every
//! one. Where that is in doubt the way is gone by halves, five times at most: to what half the change makes of the nominal
//! balance, and on from there; where it stays so, the row is hung from the drawing, as [`Network::solve`] does.
//!
//! Of a bridle there is more to go by: the lowest balance of all is known, and how far off any other must be. Of several
//! bodies and hooks neither is; what stands in its place is that steps which halve lead no farther than twice the first, and
//! the length of that is bounded. The tests compare with a change of the numbers little by little.
//!
//! A row is calculated from its own numbers and the nominal balance alone: neither its neighbors nor threads change a bit.

use super::follow::Footing;
use super::model::Model;
use super::{Network, Outcome, Workspace};
use crate::equilibrium::certificate::{Certificate, State};
use crate::error::Error;
use crate::system::{End, System};
use glam::DVec3;

#[cfg(test)]
mod tests;

/// How often the way from the nominal balance is halved before the row is hung from the drawing.
const HALVINGS: u32 = 5;

/// A system and its nominal balance, to which rows are near.
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::equilibrium::{State, network};
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
/// let points = vec![DVec3::ZERO, DVec3::new(24.0, 0.0, 0.0)];
/// let hooks = points.iter().map(|point| Hook { position: *point + DVec3::new(0.0, 0.0, 9.0) }).collect();
/// let center_of_gravity = DVec3::new(10.0, 0.0, -1.0);
/// let body = Body { mass: 96.0e3, center_of_gravity, points, position: DVec3::ZERO, rotation: DQuat::IDENTITY };
/// let leg = |point| -> Result<Member, rigging_core::error::Error> {
///     Ok(Member { a: End::Hook(point), b: End::Body { body: 0, point }, length: 9.0, law: Law::linear(200.0e6)? })
/// };
/// let system = System::new(9.80665, hooks, vec![], vec![body], vec![leg(0)?, leg(1)?])?;
/// let nominal = network::Nominal::new(&system)?;
/// assert_eq!(nominal.outcome().state, State::Stable);
/// // 14 m of 24 m from the other hook.
/// assert!((nominal.tensions().next().unwrap_or_default() / 9.80665 - 56.0e3).abs() < 50.0);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct Nominal {
    network: Network,
    workspace: Workspace,
    outcome: Outcome,
    numbers: Vec<f64>,
    /// None unless the nominal balance is stable; then there is no branch to follow.
    footing: Option<Footing>,
}

impl Nominal {
    /// Hangs the nominal system.
    ///
    /// # Errors
    /// As [`Network::solve`].
    pub fn new(system: &System) -> Result<Self, Error> {
        let network = Network::new(system);
        let mut workspace = Workspace::default();
        let outcome = network.solve(&mut workspace)?;
        let footing = (outcome.state == State::Stable).then(|| network.footing(&mut workspace, system.numbers()));
        Ok(Self { network, workspace, outcome, numbers: system.numbers(), footing })
    }

    /// The nominal system.
    pub const fn system(&self) -> &System {
        &self.network.system
    }

    /// The nominal balance.
    pub const fn outcome(&self) -> &Outcome {
        &self.outcome
    }

    /// Nominal tensions, N, in the order of the members.
    pub fn tensions(&self) -> impl ExactSizeIterator<Item = f64> + '_ {
        self.workspace.tensions()
    }

    /// The numbers of the nominal system.
    pub(in crate::equilibrium) fn numbers(&self) -> &[f64] {
        &self.numbers
    }
}

/// One row after the other, each from the nominal balance.
pub(in crate::equilibrium) struct Single<'a> {
    nominal: &'a Nominal,
    network: Network,
    workspace: Workspace,
}

impl<'a> Single<'a> {
    pub(in crate::equilibrium) fn new(nominal: &'a Nominal) -> Self {
        Self { nominal, network: nominal.network.clone(), workspace: nominal.workspace.clone() }
    }

    /// Hangs the arrangement with other numbers, as what the nominal balance turns into.
    pub(in crate::equilibrium) fn hang(&mut self, numbers: &[f64]) -> Result<Outcome, Error> {
        if let Some(footing) = &self.nominal.footing
            && let Some(outcome) = self.reached(footing, numbers, HALVINGS)?
        {
            return Ok(outcome);
        }
        self.take(numbers)?;
        self.network.solve(&mut self.workspace)
    }

    /// The balance that another one turns into, if that is beyond doubt at once or, `halvings` times, by halves.
    fn reached(&mut self, from: &Footing, numbers: &[f64], halvings: u32) -> Result<Option<Outcome>, Error> {
        self.take(numbers)?;
        if let Some(outcome) = self.network.followed(&mut self.workspace, from) {
            return Ok(Some(outcome));
        }
        let Some(halvings) = halvings.checked_sub(1) else { return Ok(None) };
        let middle = from.middle(numbers);
        if self.reached(from, &middle, halvings)?.is_none() {
            return Ok(None);
        }
        let half_way = self.network.half_way(&self.workspace, middle, from);
        self.reached(&half_way, numbers, halvings)
    }

    fn take(&mut self, numbers: &[f64]) -> Result<(), Error> {
        self.network.renumber(self.nominal.network.system.with_numbers(numbers)?);
        Ok(())
    }

    /// What rows are near to.
    pub(in crate::equilibrium) const fn nominal(&self) -> &'a Nominal {
        self.nominal
    }

    /// The system of the last row.
    pub(in crate::equilibrium) const fn system(&self) -> &System {
        &self.network.system
    }

    /// Tensions of the last row, N.
    pub(in crate::equilibrium) fn tensions(&self) -> impl ExactSizeIterator<Item = f64> + '_ {
        self.workspace.tensions()
    }

    /// The pull on each hook in the last row, N.
    pub(in crate::equilibrium) fn pulls(&self) -> impl ExactSizeIterator<Item = f64> {
        self.network.hook_forces(&self.workspace).into_iter().map(DVec3::length)
    }

    /// Where the first body's upward direction as drawn points, in its attitude as drawn, in the last row.
    pub(in crate::equilibrium) fn up(&self) -> DVec3 {
        let system = &self.network.system;
        let attitude = self.workspace.stance(system.joints().len()).map(|(_, attitude)| attitude);
        match (system.bodies().first(), attitude) {
            (Some(body), Some(attitude)) => body.rotation * (attitude.conjugate() * DVec3::Z),
            _ => DVec3::NAN,
        }
    }

    /// The certificate of the last row.
    pub(in crate::equilibrium) fn certificate(&self, outcome: &Outcome) -> Certificate {
        self.network.certificate(&self.workspace, outcome)
    }
}

impl Network {
    /// Takes other numbers; the elimination stays as it is laid out, for it knows only what is tied to what.
    fn renumber(&mut self, system: System) {
        self.model = Model::new(&system);
        self.system = system;
    }

    /// The force on each hook, N.
    pub(super) fn hook_forces(&self, w: &Workspace) -> Vec<DVec3> {
        let mut hooks = vec![DVec3::ZERO; self.system.hooks().len()];
        for (member, stretch) in self.system.members().iter().zip(&w.stretches) {
            let pull = stretch.tension() * stretch.direction;
            for (end, force) in [(member.a, -pull), (member.b, pull)] {
                if let End::Hook(hook) = end
                    && let Some(sum) = hooks.get_mut(hook)
                {
                    *sum += force;
                }
            }
        }
        hooks
    }
}
