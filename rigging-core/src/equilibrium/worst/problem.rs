//! The numbers that may be off, and a load with any of them.

use super::Extreme;
use super::balances::Hangs;
use super::interval::Interval;
use super::target::Target;
use crate::equilibrium::State;
use crate::equilibrium::bridle::{Bridle, Foresight, Outcome, Workspace};
use crate::error::{Error, Place};
use crate::system::Law;
use glam::DVec3;
use serde::Serialize;

/// Tension over the weight below which a leg counts as slack in a climb.
pub(super) const SLACK: f64 = 1.0e-6;

/// The most legs of a bridle whose worst case is bounded.
pub const MOST_LEGS: usize = 8;
/// The most members of any other arrangement whose worst case is bounded.
pub(super) const MOST_MEMBERS: usize = 16;

/// How far the numbers of a bridle may be off to either side.
#[derive(Debug, Clone, PartialEq)]
pub struct Tolerances {
    /// Unstretched length of each leg, m.
    pub lengths: Vec<f64>,
    /// Stiffness of each leg, over its own: of a linear law the axial stiffness EA, of others a factor on the law.
    pub stiffness: Vec<f64>,
    /// Coordinates of the center of gravity, m.
    pub center_of_gravity: [f64; 3],
    /// Weight, over its own.
    pub weight: f64,
    /// Height of each hook, m. Of a single hook it changes nothing, and may be left out.
    pub hook_heights: Vec<f64>,
}

/// What is added to each number of a bridle, in the units of [`Tolerances`].
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Offset {
    /// Unstretched length of each leg, m.
    pub lengths: Vec<f64>,
    /// Stiffness of each leg, over its own.
    pub stiffness: Vec<f64>,
    /// Coordinates of the center of gravity, m, in the frame as drawn.
    pub center_of_gravity: [f64; 3],
    /// Weight, over its own.
    pub weight: f64,
    /// Height of each hook, m; none under a single hook, whose height changes nothing.
    pub hook_heights: Vec<f64>,
}

impl Tolerances {
    /// Nothing is off.
    pub fn none(legs: usize) -> Self {
        Self {
            lengths: vec![0.0; legs],
            stiffness: vec![0.0; legs],
            center_of_gravity: [0.0; 3],
            weight: 0.0,
            hook_heights: Vec::new(),
        }
    }

    /// Refuses what is no tolerance of legs of these lengths.
    pub(crate) fn validate(&self, lengths: &[f64]) -> Result<(), Error> {
        let root = Place::root;
        if self.lengths.len() != lengths.len() || self.stiffness.len() != lengths.len() {
            return Err(Error::inconsistent("one tolerance of length and one of stiffness for each leg", root()));
        }
        for (index, (tolerance, length)) in self.lengths.iter().zip(lengths).enumerate() {
            below(*tolerance, *length, "m", || root().child("lengths").child(index))?;
        }
        for (index, tolerance) in self.stiffness.iter().enumerate() {
            below(*tolerance, 1.0, "", || root().child("stiffness").child(index))?;
        }
        for (axis, tolerance) in self.center_of_gravity.iter().enumerate() {
            below(*tolerance, f64::INFINITY, "m", || root().child("center_of_gravity").child(axis))?;
        }
        for (index, tolerance) in self.hook_heights.iter().enumerate() {
            below(*tolerance, f64::INFINITY, "m", || root().child("hook_heights").child(index))?;
        }
        below(self.weight, 1.0, "", || root().child("weight"))
    }

    /// All but the heights of hooks.
    pub(super) fn sides(&self) -> impl Iterator<Item = f64> + '_ {
        self.lengths.iter().chain(&self.stiffness).chain(&self.center_of_gravity).copied().chain([self.weight])
    }
}

fn below(tolerance: f64, limit: f64, unit: &str, place: impl FnOnce() -> Place) -> Result<(), Error> {
    if (0.0..limit).contains(&tolerance) {
        return Ok(());
    }
    let allowed =
        if limit.is_finite() { format!("from 0 to below {limit}") } else { "finite, not negative".to_owned() };
    Err(Error::out_of_domain("tolerance", tolerance, unit, allowed, place()))
}

/// A bridle in the frame in which it is bounded, its origin at the nominal center of gravity. Its numbers stand in one list:
/// what is added to the lengths, factors on the stiffnesses, what is added to the center of gravity, factor on the weight.
pub(super) struct Problem<'a> {
    pub(super) bridle: &'a Bridle,
    pub(super) points: Vec<DVec3>,
    pub(super) sides: Vec<Interval>,
}

impl<'a> Problem<'a> {
    /// # Errors
    /// What is wrong with the tolerances.
    pub(super) fn new(bridle: &'a Bridle, tolerances: &Tolerances) -> Result<Self, Error> {
        tolerances.validate(bridle.lengths())?;
        let root = Place::root;
        if bridle.lengths().len() > MOST_LEGS {
            let what = format!("the bounded worst case of more than {MOST_LEGS} legs");
            return Err(Error::unsupported(what, root().child("legs")));
        }
        if tolerances.hook_heights.len() > 1 {
            let place = root().child("hook_heights");
            return Err(Error::inconsistent("no more than one tolerance of height under one hook", place));
        }
        let sides = tolerances.sides().map(|side| Interval { lo: -side, hi: side });
        let points = bridle.points().iter().map(|point| *point - bridle.center_of_gravity()).collect();
        Ok(Self { bridle, points, sides: sides.collect() })
    }

    pub(super) fn legs(&self) -> usize {
        self.points.len()
    }

    /// Half of each side.
    pub(super) fn half_sides(&self) -> Vec<f64> {
        self.sides.iter().map(|side| side.hi).collect()
    }

    /// The pull on the hook: in every balance the weight.
    pub(super) fn hook(&self, tolerance: f64) -> Extreme {
        let nominal = self.bridle.weight();
        let attained = nominal * (1.0 + tolerance);
        let heaviest = self
            .sides
            .iter()
            .enumerate()
            .map(|(index, side)| if index + 1 == self.sides.len() { side.hi } else { 0.0 });
        let at = self.offset(&heaviest.collect::<Vec<f64>>());
        Extreme { nominal, attained, at, bound: Some(attained.next_up()) }
    }

    /// The numbers as what is added to each.
    pub(super) fn offset(&self, at: &[f64]) -> Offset {
        let legs = self.legs();
        let mut numbers = at.iter().copied();
        let lengths = numbers.by_ref().take(legs).collect();
        let stiffness = numbers.by_ref().take(legs).collect();
        let mut next = || numbers.next().unwrap_or(0.0);
        Offset {
            lengths,
            stiffness,
            center_of_gravity: [next(), next(), next()],
            weight: next(),
            hook_heights: Vec::new(),
        }
    }
}

/// The load hung with other numbers, one after the other, each followed from the nominal one.
pub(super) struct Hanging<'a> {
    problem: &'a Problem<'a>,
    bridle: Bridle,
    pub(super) workspace: Workspace,
    nominal: Outcome,
    foresight: Option<Foresight>,
    center: DVec3,
    factors: Vec<f64>,
    /// Number of states that were hung.
    pub(super) states: usize,
}

impl<'a> Hanging<'a> {
    /// # Errors
    /// As [`Bridle::solve`].
    pub(super) fn new(problem: &'a Problem<'a>) -> Result<Self, Error> {
        let bridle = problem.bridle.clone();
        let mut workspace = Workspace::default();
        let nominal = bridle.solve(&mut workspace)?;
        let foresight = workspace.foresight(&nominal);
        let (center, factors) = (bridle.center_of_gravity(), vec![1.0; problem.legs()]);
        Ok(Self { problem, bridle, workspace, nominal, foresight, center, factors, states: 1 })
    }

    pub(super) const fn nominal(&self) -> &Outcome {
        &self.nominal
    }

    /// The bridle with the numbers of the last state.
    pub(super) const fn bridle(&self) -> &Bridle {
        &self.bridle
    }

    /// Hangs the load with the given numbers. The hook is found relative to the nominal center of gravity.
    ///
    /// # Errors
    /// As [`Bridle::follow`].
    pub(super) fn at(&mut self, numbers: &[f64]) -> Result<(State, DVec3), Error> {
        let legs = self.problem.legs();
        let number = |index: usize| numbers.get(index).copied().unwrap_or(0.0);
        for (leg, nominal) in self.problem.bridle.lengths().iter().enumerate() {
            self.bridle.set_length(leg, nominal + number(leg))?;
        }
        for (leg, (law, known)) in self.problem.bridle.laws().iter().zip(&mut self.factors).enumerate() {
            let factor = 1.0 + number(legs + leg);
            if factor != *known {
                self.bridle.set_law(leg, scaled(law, factor))?;
                *known = factor;
            }
        }
        let shift = DVec3::new(number(2 * legs), number(2 * legs + 1), number(2 * legs + 2));
        self.bridle.set_center_of_gravity(self.center + shift)?;
        self.bridle.set_weight(self.problem.bridle.weight() * (1.0 + number(2 * legs + 3)))?;
        let outcome = self.bridle.follow(&mut self.workspace, self.foresight.as_ref())?;
        self.states += 1;
        Ok((outcome.state, outcome.hook + shift))
    }

    /// The same; none where no state could be certified.
    ///
    /// # Errors
    /// Every other error of [`Hanging::at`].
    pub(super) fn try_at(&mut self, numbers: &[f64]) -> Result<Option<(State, DVec3)>, Error> {
        match self.at(numbers) {
            Err(Error::Unconverged { .. }) => Ok(None),
            other => other.map(Some),
        }
    }
}

impl Hangs for Hanging<'_> {
    fn hang(&mut self, numbers: &[f64]) -> Result<Option<(State, Vec<f64>)>, Error> {
        Ok(self.try_at(numbers)?.map(|(state, hook)| (state, hook.to_array().to_vec())))
    }

    fn value(&self, target: Target) -> f64 {
        target.of(self.workspace.tensions())
    }

    fn taut(&self) -> u32 {
        let taut = SLACK * self.problem.bridle.weight();
        let legs = self.workspace.tensions().enumerate().filter(|(_, tension)| *tension > taut);
        legs.fold(0, |bits, (leg, _)| bits | 1 << leg)
    }
}

fn scaled(law: &Law, factor: f64) -> Law {
    match law {
        Law::Linear { ea } => Law::Linear { ea: ea * factor },
        Law::Polynomial { coefficients } => {
            Law::Polynomial { coefficients: coefficients.iter().map(|c| c * factor).collect() }
        }
        Law::PiecewiseLinear { points } => Law::PiecewiseLinear {
            points: points.iter().map(|[strain, tension]| [*strain, tension * factor]).collect(),
        },
    }
}
