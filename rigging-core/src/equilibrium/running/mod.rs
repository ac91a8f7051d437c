//! Slings that run over something between their ends: baskets, doubled slings, slings over a sheave.
//!
//! A [`Running`] sling is a row of spans whose unstretched lengths add up to that of the sling; at each station between
//! two spans length may pass from one to the other. Three states bound what happens:
//!
//! - *frictionless*: length passes until both sides of every station pull alike, the state of least energy;
//! - *limits of sliding*: the sides of a station are in the ratio e^(µ·φ) of a rope about to slip on a drum one way or the
//!   other, with φ the angle by which it is turned there (capstan). With several stations every combination of ways is a
//!   limit. Between them every state is possible, and which one holds hangs on what happened before; the envelope of
//!   tensions is what can be said;
//! - *held*: no length passes where friction acts after the first span is straight, the lengths being shared as drawn.
//!   Whether friction can hold that is compared with the capstan ratio for the least and the greatest coefficient. A span
//!   between two places of one body stretches as the spans beside it ask.
//!
//! A system on which length may pass has less stiffness than one on which it is held. It is stable if the held system is
//! and if passing length raises the energy: the matrix of what passing length at one station does to the difference of
//! pulls at another is positive definite.

mod exponential;
mod held;
mod limit;
mod linear;
mod pass;
mod state;

pub use limit::Limit;
pub use state::Hung;

use super::certificate::State;
use crate::error::Error;
use crate::system::{Running, System, validate_running};
use pass::pass_on;
use serde::Serialize;

/// Whether friction holds a sling where it lies; what is worse stands later.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Sliding {
    /// No friction acts: it runs until both sides pull alike.
    Free,
    /// The least friction is enough to hold it as drawn.
    Holds,
    /// The least friction is not enough, the greatest is.
    MaySlide,
    /// The greatest friction is not enough.
    Slides,
    /// Nothing is known of the friction.
    Unknown,
}

impl Sliding {
    /// The word printed in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Free => "free",
            Self::Holds => "holds",
            Self::MaySlide => "may slide",
            Self::Slides => "slides",
            Self::Unknown => "unknown",
        }
    }
}

/// A system with running slings, hung.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// The state in which both sides of every station pull alike; none where friction acts and no such state was found. A
    /// state that only friction holds is unstable here.
    pub frictionless: Option<Hung>,
    /// The state in which nothing slides where friction acts.
    pub held: Hung,
    /// Whether friction holds that state, for each sling.
    pub sliding: Vec<Sliding>,
    /// The limits of sliding, one for each combination of ways; empty where no friction acts, none where nothing is known
    /// of it.
    pub limits: Option<Vec<Limit>>,
}

/// Hangs a system with running slings: without friction, at the limits of sliding, and held.
///
/// # Errors
///
/// Those of [`validate_running`]; [`Error::Unconverged`] if lengths could not be passed on until the pulls agree, where
/// the state of rest depends on it; [`Error::Unsupported`] for more stations with friction than their limits are tried
/// for, and for a neutral balance; every error of [`solve`](super::solve).
///
/// # Sources
///
/// Capstan relation T₂ = T₁·e^(µ·φ): Euler, *Remarques sur l'effet du frottement dans l'équilibre*, 1762 (from memory);
/// the tests hold it against its differential equation.
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::equilibrium::running::hang;
/// use rigging_core::system::{Body, End, Hook, Law, Member, Over, Running, Span, System};
/// // A load on the bight of a sling between two hooks of one height: without friction both sides pull alike.
/// let body = Body {
///     mass: 1000.0,
///     center_of_gravity: DVec3::new(0.0, 0.0, -0.5),
///     points: vec![DVec3::ZERO],
///     position: DVec3::new(0.5, 0.0, -3.0),
///     rotation: DQuat::IDENTITY,
/// };
/// let hooks = vec![Hook { position: DVec3::new(-2.0, 0.0, 0.0) }, Hook { position: DVec3::new(2.0, 0.0, 0.0) }];
/// let span = |hook, length| -> Result<Member, rigging_core::error::Error> {
///     Ok(Member { a: End::Hook(hook), b: End::Body { body: 0, point: 0 }, length, law: Law::linear(1.0e7)? })
/// };
/// let system = System::new(9.80665, hooks, vec![], vec![body], vec![span(0, 4.2)?, span(1, 3.8)?])?;
/// let over = Over { at: End::Body { body: 0, point: 0 }, friction: Some([0.1, 0.3]) };
/// let sling = Running { spans: vec![Span::Member(0), Span::Member(1)], over: vec![over] };
/// let run = hang(&system, &[sling])?;
/// let even = run.frictionless.as_ref().unwrap();
/// assert!((even.tension(0, 0) - even.tension(0, 1)).abs() < 1.0e-6 * even.tension(0, 0));
/// assert_eq!((run.limits.as_ref().unwrap().len(), run.sliding.len()), (2, 1));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn hang(system: &System, slings: &[Running]) -> Result<Run, Error> {
    validate_running(system, slings)?;
    let held = held::hold(system, slings)?;
    let sliding = slings.iter().enumerate().map(|(index, sling)| held::verdict(index, sling, &held)).collect();
    let even: Vec<Option<f64>> = slings.iter().flat_map(|sling| &sling.over).map(|_| Some(0.0)).collect();
    let mut run = Run { frictionless: None, held, sliding, limits: None };
    if run.sliding.iter().all(|sliding| *sliding == Sliding::Free) {
        run.frictionless = Some(run.held.clone());
        run.limits = Some(Vec::new());
        return Ok(run);
    }
    match pass_on(system, slings, &even) {
        Ok(found) => run.frictionless = Some(found),
        Err(error) if not_found(&error) && run.rests_held() => {}
        Err(error) => return Err(error),
    }
    let stable = run.frictionless.as_ref().filter(|found| found.certificate.state == State::Stable);
    run.limits = limit::all(stable.unwrap_or(&run.held))?;
    Ok(run)
}

/// Whether an error says that there is no state of this kind, rather than that the question is wrong.
fn not_found(error: &Error) -> bool {
    matches!(error, Error::Unconverged { .. } | Error::Unsupported { .. })
}

impl Run {
    /// The state that the load comes to rest in: the held one where friction holds every sling as drawn, else the one
    /// without friction.
    pub fn rest(&self) -> &Hung {
        match &self.frictionless {
            Some(found) if !self.rests_held() => found,
            _ => &self.held,
        }
    }

    /// Whether friction holds every sling as drawn, those on which none acts aside.
    pub fn rests_held(&self) -> bool {
        let rests = self.sliding.iter().all(|sliding| matches!(sliding, Sliding::Free | Sliding::Holds));
        rests && self.sliding.contains(&Sliding::Holds)
    }

    /// Whether friction alone keeps the balance: the load is held, and without friction no stable state was found.
    pub fn by_friction(&self) -> bool {
        let stable = |hung: &Hung| hung.certificate.state == State::Stable;
        stable(self.rest()) && !self.frictionless.as_ref().is_some_and(stable)
    }

    /// The states that friction allows and that were found: rest, the limits of sliding, and the stable ones of those
    /// without friction and held. None where nothing is known of the friction.
    pub fn states(&self) -> Option<Vec<&Hung>> {
        let limits = self.limits.as_ref()?;
        let mut states = vec![self.rest()];
        if limits.is_empty() {
            // Nothing but free sheaves: there is one state.
            return Some(states);
        }
        let other = match self.rests_held() {
            true => self.frictionless.as_ref(),
            false => Some(&self.held).filter(|_| !self.sliding.contains(&Sliding::Slides)),
        };
        let others = other.into_iter().chain(limits.iter().map(|limit| &limit.hung));
        states.extend(others.filter(|other| other.certificate.state == State::Stable));
        Some(states)
    }

    /// Least and largest tension of a span over [`states`](Self::states), N.
    pub fn range(&self, sling: usize, span: usize) -> Option<[f64; 2]> {
        let tensions = self.states()?.into_iter().map(|state| state.tension(sling, span));
        Some(tensions.fold([f64::INFINITY, 0.0], |[least, most], one| [least.min(one), most.max(one)]))
    }
}
