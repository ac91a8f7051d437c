//! What slings that pass over stations do: the state of rest, the limits of sliding, and what holds.

use super::{Balance, Path};
use crate::equilibrium::State;
use crate::equilibrium::running::{Hung, Run, Sliding};
use crate::error::Error;
use serde::Serialize;

/// The slings of a balance that pass over stations.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct RunningSlings {
    /// The state without friction, both sides of every station pulling alike; none where friction acts and none was found.
    pub frictionless: Option<State>,
    /// The state with the lengths shared as drawn wherever friction acts.
    pub held: State,
    /// Whether the balance is the held state; otherwise it is that without friction.
    pub rests_held: bool,
    /// Number of limits of sliding, one for each combination of ways; none where nothing is known of the friction.
    pub limits: Option<usize>,
    /// Least share of the greatest friction up to which each limit has a stable balance: below 1 the load turns over before
    /// all of it is used up; none where no limit was tried.
    pub share: Option<f64>,
    /// The legs, in the order of the document.
    pub legs: Vec<RunningLeg>,
}

/// A leg that passes over stations.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct RunningLeg {
    /// Name of the leg.
    pub leg: String,
    /// Whether friction holds it as drawn.
    pub sliding: Sliding,
    /// Its spans, from end to end.
    pub spans: Vec<RunningSpan>,
    /// What it passes over, in order.
    pub stations: Vec<PassedStation>,
}

/// A span of a leg.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct RunningSpan {
    /// Where it begins.
    pub from: String,
    /// Where it ends.
    pub to: String,
    /// Tension in the balance, N.
    pub tension: f64,
    /// Tension without friction, N.
    pub frictionless: Option<f64>,
    /// Tension in the held state, N.
    pub held: f64,
    /// Least tension over the states that friction allows and that were found, N; none where nothing is known of the
    /// friction.
    pub least: Option<f64>,
    /// Largest tension over them, N.
    pub largest: Option<f64>,
}

/// A place that a leg passes over.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PassedStation {
    /// Name of the station, or of the leg with its number on the path.
    pub station: String,
    /// Least and greatest coefficient of friction; zero for a sheave that turns freely; none where nothing is known.
    pub friction: Option<[f64; 2]>,
    /// Angle by which the sling is turned there in the balance, rad.
    pub turn: f64,
    /// What the sling pulls on it in the balance, N: the resultant of both spans.
    pub pull: f64,
    /// Least resultant over the states that friction allows and that were found, N.
    pub least: Option<f64>,
    /// Largest resultant over them, N.
    pub largest: Option<f64>,
}

impl Balance {
    /// What slings that pass over stations do. Tensions and pulls over the limits of sliding are attained, not bounds.
    ///
    /// # Errors
    /// None today; the type leaves room.
    ///
    /// ```
    /// use rigging_core::arrangement::Lift;
    /// let balance = Lift::from_json(include_str!("../../examples/lifts/panel-spreader.json"))?.hang()?;
    /// assert!(balance.running()?.legs.is_empty());
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn running(&self) -> Result<RunningSlings, Error> {
        let Some(run) = &self.run else {
            let state = self.certificate.state;
            let (frictionless, limits) = (Some(state), Some(0));
            return Ok(RunningSlings {
                frictionless,
                held: state,
                rests_held: false,
                limits,
                share: None,
                legs: Vec::new(),
            });
        };
        let limits = run.limits.as_deref();
        let shares = limits.unwrap_or_default().iter().map(|limit| limit.share);
        let legs = self.names.running.iter().enumerate().map(|(sling, path)| leg(run, sling, path));
        Ok(RunningSlings {
            frictionless: run.frictionless.as_ref().map(|hung| hung.certificate.state),
            held: run.held.certificate.state,
            rests_held: run.rests_held(),
            limits: limits.map(<[_]>::len),
            share: shares.reduce(f64::min),
            legs: legs.collect(),
        })
    }

    /// Refuses a question whose answer would take the lengths of running slings for fixed.
    pub(super) fn nothing_runs(&self, question: &str) -> Result<(), Error> {
        match self.names.running.first() {
            None => Ok(()),
            Some(path) => {
                let what = format!("{question} of a lift with a leg that passes over stations, here {}", path.leg);
                Err(Error::unsupported(what, path.place.clone()))
            }
        }
    }
}

fn leg(run: &Run, sling: usize, path: &Path) -> RunningLeg {
    let rest = run.rest();
    let over = rest.slings.get(sling).map(|sling| sling.over.as_slice()).unwrap_or_default();
    let states = run.states();
    let range = |read: &dyn Fn(&Hung) -> f64| -> [Option<f64>; 2] {
        let Some(states) = &states else { return [None; 2] };
        let values = || states.iter().map(|state| read(state));
        [values().reduce(f64::min), values().reduce(f64::max)]
    };
    let pairs = path.stations.iter().zip(path.stations.iter().skip(1)).enumerate();
    let spans = pairs.map(|(span, (from, to))| {
        let [least, largest] = range(&|state| state.tension(sling, span));
        RunningSpan {
            from: from.clone(),
            to: to.clone(),
            tension: rest.tension(sling, span),
            frictionless: run.frictionless.as_ref().map(|hung| hung.tension(sling, span)),
            held: run.held.tension(sling, span),
            least,
            largest,
        }
    });
    let stations = over.iter().zip(path.stations.iter().skip(1)).enumerate().map(|(station, (over, name))| {
        let pull = |state: &Hung| state.resultant(sling, station).length();
        let [least, largest] = range(&pull);
        PassedStation {
            station: name.clone(),
            friction: over.friction,
            turn: rest.turn(sling, station),
            pull: pull(rest),
            least,
            largest,
        }
    });
    RunningLeg {
        leg: path.leg.clone(),
        sliding: run.sliding.get(sling).copied().unwrap_or(Sliding::Unknown),
        spans: spans.collect(),
        stations: stations.collect(),
    }
}
