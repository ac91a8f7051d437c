//! The limits of sliding: every combination of ways in which the stations of running slings are about to slip.

use super::not_found;
use super::pass::pass_on;
use super::state::Hung;
use crate::equilibrium::certificate::State;
use crate::error::{Error, Place};

/// The most stations with friction of which every combination of ways is tried.
const MOST_STATIONS: u32 = 6;
/// Halvings in which a limit that has no balance is approached.
const HALVINGS: usize = 5;

/// A limit of sliding.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// For each station with friction, whether the span after it pulls more; in the order of slings and stations.
    pub rising: Vec<bool>,
    /// The share of the greatest friction up to which a stable balance was found: 1 unless the load turns over before all
    /// of it is used up.
    pub share: f64,
    /// The state there.
    pub hung: Hung,
}

/// Every limit, from the stable state `start`; none where nothing is known of the friction at some station.
pub(super) fn all(start: &Hung) -> Result<Option<Vec<Limit>>, Error> {
    let over = start.slings.iter().flat_map(|sling| &sling.over);
    let Some(greatest) = over.map(|over| Some(over.friction?[1])).collect::<Option<Vec<f64>>>() else {
        return Ok(None);
    };
    let rough = greatest.iter().filter(|friction| **friction > 0.0).count();
    if rough > MOST_STATIONS as usize {
        let what = format!("the limits of sliding at {rough} stations with friction; the most is {MOST_STATIONS}");
        return Err(Error::unsupported(what, Place::root().child("slings")));
    }
    if rough == 0 {
        return Ok(Some(Vec::new()));
    }
    // All rising first, all falling last.
    let limits = (0..1_u32 << rough).map(|ways| {
        let rising = (0..rough).map(|station| ways >> station & 1 == 0).collect();
        approach(start, &greatest, rising)
    });
    limits.collect::<Result<Vec<_>, _>>().map(Some)
}

/// The limit itself, or where it has no stable balance the last stable state on the way to it.
fn approach(start: &Hung, greatest: &[f64], rising: Vec<bool>) -> Result<Limit, Error> {
    let reach = |share: f64| -> Result<Option<Hung>, Error> {
        let mut ways = rising.iter();
        let asked = greatest.iter().map(|friction| {
            let sign = if *friction > 0.0 && ways.next() == Some(&false) { -1.0 } else { 1.0 };
            Some(sign * share * friction)
        });
        match pass_on(&start.system, &start.slings, &asked.collect::<Vec<_>>()) {
            Ok(found) => Ok(Some(found).filter(|found| found.certificate.state == State::Stable)),
            Err(error) if not_found(&error) => Ok(None),
            Err(error) => Err(error),
        }
    };
    if let Some(hung) = reach(1.0)? {
        return Ok(Limit { rising, share: 1.0, hung });
    }
    let (mut low, mut high, mut last) = (0.0, 1.0, start.clone());
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        match reach(middle)? {
            Some(found) => (low, last) = (middle, found),
            None => high = middle,
        }
    }
    Ok(Limit { rising, share: low, hung: last })
}
