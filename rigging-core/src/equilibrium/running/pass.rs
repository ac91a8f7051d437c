//! Length passed on at stations until the pulls on both sides stand in a given ratio.

use super::exponential::exponential;
use super::linear::{eliminate, positive};
use super::state::Hung;
use crate::equilibrium::certificate::State;
use crate::equilibrium::sensitivity::{Parameter, differentiate};
use crate::equilibrium::solve;
use crate::error::{Error, Place, Reading};
use crate::system::{Running, Span, System};

/// Pulls at a station agree to this share of the larger one.
const TOLERANCE: f64 = 1.0e-10;
/// The most rounds in which lengths are passed on.
const MAX_ROUNDS: usize = 80;
/// The largest share of a span's length that is passed on in one round.
const LARGEST_PASS: f64 = 0.2;
/// What a slack span is left with beyond being just straight: a strain.
const TIGHTENED: f64 = 1.0e-6;

/// A station at which length may pass.
#[derive(Debug, Clone, Copy)]
struct Station {
    sling: usize,
    /// The span before it; the next one follows it.
    before: usize,
    /// Logarithm of the ratio of the pulls after and before, for each radian of turn.
    exponent: f64,
}

/// What is asked at each station, sling after sling: `None` where nothing slides, else the logarithm of the ratio of the
/// pulls after and before it, for each radian by which the sling is turned there.
///
/// A state in which an even pull is asked for and passing length on lowers the energy is told as unstable.
///
/// # Errors
/// [`Error::Unconverged`] if lengths could not be passed on until the ratios hold; every error of [`solve`].
pub(super) fn pass_on(system: &System, slings: &[Running], asked: &[Option<f64>]) -> Result<Hung, Error> {
    let places = slings.iter().enumerate().flat_map(|(sling, found)| (0..found.over.len()).map(move |at| (sling, at)));
    let sliding = places.zip(asked).filter_map(|((sling, before), asked)| {
        let exponent = (*asked)?;
        Some(Station { sling, before, exponent })
    });
    let sliding: Vec<Station> = sliding.collect();
    let certificate = solve(system)?;
    let mut hung = Hung { system: system.clone(), slings: slings.to_vec(), certificate };
    let mut worst = 0.0;
    for _ in 0..MAX_ROUNDS {
        // Where both sides hang slack there is nothing to pass on.
        let slack = |station: &Station| is_slack(&hung, station, 0) && is_slack(&hung, station, 1);
        let active: Vec<Station> = sliding.iter().filter(|station| !slack(station)).copied().collect();
        if active.is_empty() || !matches!(hung.certificate.state, State::Stable | State::Neutral) {
            // Nothing can be said of a load that does not hang; its state is the answer.
            return Ok(hung);
        }
        if !tighten(&mut hung, &active)? {
            let (off, share) = off(&hung, &active);
            worst = share;
            if hung.certificate.state == State::Neutral {
                let what = "a running sling on a load whose balance is neutral";
                return Err(Error::unsupported(what, Place::root().child("members")));
            }
            let gains = gains(&hung, &active)?;
            if worst <= TOLERANCE {
                let even = active.iter().all(|station| station.exponent == 0.0);
                if even && !positive(matrix(&hung, &active, &gains)) {
                    hung.certificate.state = State::Unstable;
                }
                return Ok(hung);
            }
            let right = off.iter().map(|off| -off).collect();
            let Some(step) = eliminate(matrix(&hung, &active, &gains), right) else { break };
            advance(&mut hung, &active, &step)?;
        }
        hung.certificate = solve(&hung.system)?;
    }
    let allowed = format!("at most {TOLERANCE:e}");
    let reading = Reading::new("difference of the pulls at a station over the larger one", worst, "", allowed);
    Err(Error::Unconverged { reading, place: Place::root().child("members") })
}

fn is_slack(hung: &Hung, station: &Station, side: usize) -> bool {
    hung.tension(station.sling, station.before + side) == 0.0
}

/// A span that hangs slack hands its slack to a neighbor that is taut. Returns whether one did.
fn tighten(hung: &mut Hung, stations: &[Station]) -> Result<bool, Error> {
    for station in stations {
        for (from, to) in [(0, 1), (1, 0)] {
            if is_slack(hung, station, from) && !is_slack(hung, station, to) {
                let Some((length, distance)) = hung.lengths(station.sling, station.before + from) else { continue };
                let slack = length - distance / (1.0 + TIGHTENED);
                hung.lengthen(station.sling, station.before + from, -slack)?;
                hung.lengthen(station.sling, station.before + to, slack)?;
                return Ok(true);
            }
        }
    }
    Ok(false)
}

/// Pull after the station over the pull before it, as asked.
fn ratio(hung: &Hung, station: &Station) -> f64 {
    exponential(station.exponent * hung.turn(station.sling, station.before))
}

/// By how much each pull is off what is asked, N, and the largest of it over the largest pull.
fn off(hung: &Hung, stations: &[Station]) -> (Vec<f64>, f64) {
    let pulls = |station: &Station| [0, 1].map(|side| hung.tension(station.sling, station.before + side));
    let off = stations.iter().map(|station| {
        let [before, after] = pulls(station);
        after - ratio(hung, station) * before
    });
    let off: Vec<f64> = off.collect();
    let largest = stations.iter().flat_map(pulls).fold(f64::MIN_POSITIVE, f64::max);
    let share = off.iter().fold(0.0, |most: f64, off| most.max(off.abs())) / largest;
    (off, share)
}

/// What the tensions of the spans beside the stations gain for each meter that is passed on at each station, from behind
/// it to before it: for each station that passes, for each station that is looked at, before and after it.
fn gains(hung: &Hung, stations: &[Station]) -> Result<Vec<Vec<[f64; 2]>>, Error> {
    // A round that ends on a slack event, or on a corner of a law, has no derivative to go on with: no wrong question.
    let derivatives = differentiate(&hung.system, &hung.certificate).map_err(|error| match error {
        Error::OutOfDomain { reading, place } => Error::Unconverged { reading, place },
        other => other,
    })?;
    let span = |sling: usize, span: usize| hung.slings.get(sling).and_then(|sling| sling.spans.get(span));
    let mut table = Vec::with_capacity(stations.len());
    for passing in stations {
        let mut responses = Vec::new();
        for (side, sign) in [(0, 1.0), (1, -1.0)] {
            if let Some(Span::Member(member)) = span(passing.sling, passing.before + side) {
                responses.push((sign, derivatives.of(Parameter::Length { member: *member })?.tensions));
            }
        }
        let gain = |sling: usize, index: usize| match span(sling, index) {
            Some(Span::Member(member)) => {
                responses.iter().map(|(sign, tensions)| sign * tensions.get(*member).copied().unwrap_or(0.0)).sum()
            }
            // The distance is fixed: only its own length changes its tension.
            Some(Span::Fixed { .. }) if sling == passing.sling => {
                let own = hung.fixed(sling, index).map_or(0.0, |(_, gain)| gain);
                match index.checked_sub(passing.before) {
                    Some(0) => own,
                    Some(1) => -own,
                    _ => 0.0,
                }
            }
            _ => 0.0,
        };
        table.push(stations.iter().map(|at| [0, 1].map(|side| gain(at.sling, at.before + side))).collect());
    }
    Ok(table)
}

/// Derivatives of what [`off`] gives: row after row the stations looked at, columns the stations that pass.
fn matrix(hung: &Hung, stations: &[Station], gains: &[Vec<[f64; 2]>]) -> Vec<Vec<f64>> {
    let rows = stations.iter().enumerate().map(|(row, station)| {
        let ratio = ratio(hung, station);
        let entry = |column: &Vec<[f64; 2]>| column.get(row).map_or(0.0, |[before, after]| after - ratio * before);
        gains.iter().map(entry).collect()
    });
    rows.collect()
}

/// Passes lengths on, all in proportion, so that no span changes by too much.
fn advance(hung: &mut Hung, stations: &[Station], step: &[f64]) -> Result<(), Error> {
    let mut share: f64 = 1.0;
    for (station, step) in stations.iter().zip(step) {
        for side in [0, 1] {
            let length = hung.lengths(station.sling, station.before + side).map_or(0.0, |(length, _)| length);
            share = share.min(LARGEST_PASS * length / step.abs().max(f64::MIN_POSITIVE));
        }
    }
    for (station, step) in stations.iter().zip(step) {
        hung.lengthen(station.sling, station.before, share * step)?;
        hung.lengthen(station.sling, station.before + 1, -share * step)?;
    }
    Ok(())
}
