//! Any arrangement: several bodies, joints and hooks, in any number of tiers.
//!
//! Unknown are the displacement of every joint and the displacement and turn of every body. The linear equations of a
//! step are solved by elimination of 3×3 blocks, leaves first, at a cost that grows with the number of members.

mod assembly;
mod blocks;
mod certify;
mod descent;
mod elsewhere;
mod follow;
mod hung;
mod mechanism;
mod metric;
mod model;
mod nominal;
mod order;
mod pose;
mod response;
mod view;

use crate::error::{Error, Place, Reading};
use crate::system::System;
use blocks::Pattern;
use descent::{CAREFUL, HURRIED};
use glam::{DMat3, DQuat, DVec3};
use model::Model;
use pose::{Stance, Stretch};

use super::certificate::State;

pub(super) use hung::Hung;
pub use nominal::Nominal;
pub(super) use nominal::Single;
pub(super) use response::Strand;

/// Cosine of the tilt below which a hurried descent is taken (18°).
const NEARLY_UPRIGHT: f64 = 0.95;
/// The share of the metric below which a mode counts as null.
const NULL_TOLERANCE: f64 = 1.0e-8;
/// The least shift of the Hessian, over the metric.
const LEAST_SHIFT: f64 = 1.0e-9;
/// How many eigenvalues a certificate states of a system with many unknowns.
const STATED_MODES: usize = 8;
/// The most unknowns of which a certificate states eigenvalues: of more they would cost many times the solve.
const STATED_UNKNOWNS: usize = 200;
/// How far an unstable balance is disturbed (relative motion).
const DISTURBANCE: f64 = 0.02;
/// The largest disturbance (relative motion).
const LARGEST_DISTURBANCE: f64 = 0.3;

/// A system made ready to be hung.
#[derive(Debug, Clone)]
pub struct Network {
    system: System,
    model: Model,
    pattern: Pattern,
    places: Vec<assembly::Place>,
}

/// Memory that a solve works in, and what it found; reused, a solve allocates little.
#[derive(Debug, Clone, Default)]
pub struct Workspace {
    stances: Vec<Stance>,
    stretches: Vec<Stretch>,
    gradient: Vec<DVec3>,
    geometric: Vec<DMat3>,
    metric: Vec<DMat3>,
    matrix: Vec<DMat3>,
    floors: Vec<f64>,
    /// What rounding may leave on the diagonal of the Hessian.
    noise: Vec<DVec3>,
    /// Tension that counts as none, because the balance is not known more closely.
    negligible: f64,
    step: Vec<DVec3>,
    trial: Vec<DVec3>,
    /// Stances ahead of a step.
    ahead: Vec<Stance>,
    /// Elongation of each link in the step beyond its linear form.
    curves: Vec<f64>,
}

impl Workspace {
    /// Tensions of the last solve, N, in the order of the members.
    pub fn tensions(&self) -> impl ExactSizeIterator<Item = f64> + '_ {
        self.stretches.iter().map(Stretch::tension)
    }

    /// Unit vectors in the world from end b of each member toward end a.
    pub fn directions(&self) -> impl ExactSizeIterator<Item = DVec3> + '_ {
        self.stretches.iter().map(|stretch| stretch.direction)
    }

    /// Attitude of each body of the network that was solved last: turns its coordinates into world coordinates.
    pub fn attitudes<'a>(&'a self, network: &'a Network) -> impl Iterator<Item = DQuat> + 'a {
        let nodes = network.model.nodes.iter().zip(&self.stances);
        nodes.filter(|(node, _)| node.body).map(|(_, stance)| stance.rotation())
    }

    /// Elongations of the last solve, m, in the order of the members; negative when slack.
    pub fn elongations(&self) -> impl ExactSizeIterator<Item = f64> + '_ {
        self.stretches.iter().map(|stretch| stretch.elongation)
    }
}

/// What a solve of a [`Network`] found. Tensions stand in the [`Workspace`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// Kind of equilibrium.
    pub state: State,
    /// Unbalanced force, moments over the reach of their bodies included, N.
    pub residual: f64,
    /// Number of negative eigenvalues of the Hessian.
    pub negative_modes: usize,
    /// Number of null eigenvalues of the Hessian, free turns about plumb lines included.
    pub null_modes: usize,
    /// Steps taken.
    pub iterations: usize,
}

impl Network {
    /// Makes a system ready: numbers the unknowns and lays out the elimination.
    pub fn new(system: &System) -> Self {
        let model = Model::new(system);
        let pattern = Pattern::new(&model);
        let places = assembly::Place::all(&model, &pattern);
        Self { system: system.clone(), model, pattern, places }
    }

    /// Number of unknowns.
    pub fn unknowns(&self) -> usize {
        3 * self.pattern.count()
    }

    /// Hangs the network: descends from the attitude as drawn, and certifies where the descent ends.
    ///
    /// # Errors
    ///
    /// [`Error::Unconverged`] if the forces at the end do not balance to 1e-10 of the weight (plus the rounding of the
    /// tensions); then no state is returned.
    pub fn solve(&self, workspace: &mut Workspace) -> Result<Outcome, Error> {
        self.load(workspace);
        let hurried = self.certified(workspace, HURRIED);
        if let Ok(outcome) = hurried
            && outcome.state == State::Stable
            && self.upright(workspace) > NEARLY_UPRIGHT
        {
            return hurried;
        }
        self.load(workspace);
        let mut outcome = self.certified(workspace, CAREFUL)?;
        outcome.iterations += hurried.map_or(0, |outcome| outcome.iterations);
        Ok(outcome)
    }

    /// Hangs the network by steps no longer than `longest` (relative motion: of a member's ends against each other over its
    /// length, or a turn in radians): slower than [`Network::solve`], and closer to the path downhill.
    ///
    /// # Errors
    ///
    /// As [`Network::solve`].
    pub fn descend_slowly(&self, workspace: &mut Workspace, longest: f64) -> Result<Outcome, Error> {
        self.load(workspace);
        self.certified(workspace, longest)
    }

    /// Where a load that is out of balance would go: the last solve's pose is disturbed along its most negative mode,
    /// and the descent repeated until no mode is negative.
    fn fall(&self, w: &mut Workspace) -> Result<Outcome, Error> {
        let mut steps = 0;
        let mut size = DISTURBANCE;
        loop {
            self.disturb(w, size);
            let last = size > LARGEST_DISTURBANCE;
            match self.certified(w, CAREFUL) {
                Ok(mut outcome) => {
                    steps += outcome.iterations;
                    if outcome.negative_modes == 0 || last {
                        outcome.iterations = steps;
                        return Ok(outcome);
                    }
                }
                // Close to the limit of stability the way down is all but level; farther out it is steeper.
                Err(error) if last => return Err(error),
                Err(_) => {}
            }
            size *= 2.0;
        }
    }

    /// Sets the workspace to the start.
    fn load(&self, w: &mut Workspace) {
        w.stances = pose::drawn(&self.model);
        self.prepare(w);
    }

    /// Makes room for everything but the stances.
    fn prepare(&self, w: &mut Workspace) {
        w.stretches.clear();
        w.stretches.resize(self.model.links.len(), Stretch::default());
        w.negligible = 0.0;
        w.curves.clear();
        w.curves.resize(self.model.links.len(), 0.0);
        for blocks in [&mut w.geometric, &mut w.metric, &mut w.matrix] {
            blocks.clear();
            blocks.resize(self.pattern.blocks(), DMat3::ZERO);
        }
        for vector in [&mut w.gradient, &mut w.step, &mut w.trial, &mut w.noise] {
            vector.clear();
            vector.resize(self.pattern.count(), DVec3::ZERO);
        }
    }

    fn certified(&self, w: &mut Workspace, longest: f64) -> Result<Outcome, Error> {
        let end = self.descend(w, longest);
        if !end.converged {
            let reading = Reading::new("unbalanced force", end.residual, "N", format!("at most {:e} N", end.allowed));
            return Err(Error::Unconverged { reading, place: Place::root() });
        }
        Ok(self.judge(w, &end))
    }
}

/// Hangs a system of any arrangement and certifies the result.
pub(super) fn solve(system: &System) -> Result<super::Certificate, Error> {
    let network = Network::new(system);
    let mut workspace = Workspace::default();
    let outcome = network.solve(&mut workspace)?;
    let mut certificate = network.conclude(&mut workspace, outcome)?;
    certificate.eigenvalues = eigenvalues(system, &certificate);
    if let Some(destination) = &mut certificate.destination {
        destination.eigenvalues = eigenvalues(system, destination);
    }
    Ok(certificate)
}

impl Network {
    /// The certificate of a descent's end, with where an unstable load would go.
    fn conclude(&self, workspace: &mut Workspace, mut outcome: Outcome) -> Result<super::Certificate, Error> {
        if outcome.state == State::Lost && outcome.negative_modes > 0 {
            // An upside-down balance that only symmetry holds is not where a load ends.
            outcome = self.fall(workspace)?;
            outcome.state = State::Lost;
        }
        let mut certificate = self.certificate(workspace, &outcome);
        if outcome.state == State::Unstable {
            let after = self.fall(workspace)?;
            certificate.iterations += after.iterations;
            certificate.destination = Some(Box::new(self.certificate(workspace, &after)));
        }
        Ok(certificate)
    }
}

/// The eigenvalues that a certificate states; none if the iteration for many unknowns does not settle. The signs in the
/// certificate come from a count of their own and do not hang on it.
fn eigenvalues(system: &System, certificate: &super::Certificate) -> Vec<f64> {
    if 3 * system.joints().len() + 6 * system.bodies().len() > STATED_UNKNOWNS {
        return Vec::new();
    }
    let found = super::mode::of_hung(&Hung::new(system, certificate), STATED_MODES);
    found.map_or_else(|_| Vec::new(), |found| found.modes.into_iter().map(|mode| mode.stiffness).collect())
}
