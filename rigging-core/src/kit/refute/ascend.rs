//! From a point of the domain upward, along exact derivatives of the tension.

use super::trial::{Point, Seen, Spoken, Trials};
use crate::equilibrium::sensitivity::BridleDerivatives;
use crate::error::Error;
use crate::kit::Number;
use crate::kit::outline::GRAVITY;

/// The share of the ranges by which a first step goes, how often it is halved, and how many steps are taken.
const FIRST: f64 = 0.5;
const HALVINGS: usize = 6;
const STEPS: usize = 12;
/// The share of its range by which a number is changed to see what the rule makes of it.
const NUDGE: f64 = 1.0e-4;
/// A step must raise the shortfall by this.
const GAIN: f64 = 1.0e-4;

/// Climbs from a point until nothing rises any more, or `limit` states have been hung: first within the tolerances of the lift
/// as it is, where the rule need not be asked again, then with all that is free.
pub(super) fn ascend(
    trials: &mut Trials<'_>,
    mut point: Point,
    mut found: (Spoken, Seen),
    limit: usize,
) -> Result<(Point, (Spoken, Seen)), Error> {
    for all in [false, true] {
        for _ in 0..STEPS {
            let Some(slopes) = slopes(trials, &point, &found, all)? else { break };
            let steepest = slopes.iter().fold(0.0, |most: f64, slope| most.max(slope.abs()));
            if !(steepest > 0.0 && steepest.is_finite()) {
                break;
            }
            let mut better = None;
            let mut step = FIRST;
            for _ in 0..HALVINGS {
                if trials.hung >= limit {
                    return Ok((point, found));
                }
                let next = moved(trials, &point, &slopes, step / steepest);
                let seen = match all {
                    true => trials.at(&next)?,
                    false => trials.state(&found.0, &next.state)?.map(|seen| (found.0.clone(), seen)),
                };
                match seen {
                    Some(seen) if seen.1.short > found.1.short + GAIN => {
                        better = Some((next, seen));
                        break;
                    }
                    _ => step *= 0.5,
                }
            }
            let Some((next, seen)) = better else { break };
            (point, found) = (next, seen);
        }
    }
    Ok((point, found))
}

/// How the logarithm of tension over force rises with each free number, over its range, and with each part of the state, from
/// the middle to an end. None where the state cannot be hung again or has no derivatives.
fn slopes(
    trials: &mut Trials<'_>,
    point: &Point,
    (spoken, seen): &(Spoken, Seen),
    all: bool,
) -> Result<Option<Vec<f64>>, Error> {
    if trials.state(spoken, &point.state)?.is_none() {
        return Ok(None);
    }
    let mut derivatives = BridleDerivatives::default();
    let Some(bridle) = &trials.bridle else { return Ok(None) };
    if bridle.differentiate(&trials.workspace, &mut derivatives).is_err() {
        return Ok(None);
    }
    let at = Answers { derivatives: &derivatives, trials, leg: seen.leg, state: &point.state };
    let tension = seen.tensions.get(seen.leg).copied().unwrap_or(f64::INFINITY);
    let outline = &spoken.outline;
    let by_state: Vec<f64> = {
        let lengths = outline.length_tolerances.iter().enumerate().map(|(leg, side)| side * at.length(leg));
        let center = outline.center_tolerance.iter().enumerate().map(|(axis, side)| side * at.center(axis));
        lengths.chain(center).map(|slope| slope / tension).collect()
    };
    let ranges: Vec<(Number, f64, f64)> =
        trials.domain.free().iter().map(|free| (free.number, free.least, free.most)).collect();
    let mut slopes: Vec<f64> =
        ranges.iter().map(|(number, least, most)| (most - least) * at.number(*number) / tension).collect();
    if all {
        let own = spoken.forces.get(seen.leg).copied().unwrap_or(0.0);
        for (slope, (number, least, most)) in slopes.iter_mut().zip(&ranges) {
            let Some(value) = number.of(outline) else {
                *slope = 0.0;
                continue;
            };
            // Away from the nearer end.
            let nudge = NUDGE * (most - least) * if value + NUDGE * (most - least) > *most { -1.0 } else { 1.0 };
            let mut other = outline.clone();
            number.set(&mut other, value + nudge)?;
            let force = trials.forces(&other)?.and_then(|forces| forces.get(seen.leg).copied());
            if let Some(force) = force.filter(|force| *force > 0.0 && own > 0.0 && nudge != 0.0) {
                *slope -= (force / own).ln() * (most - least) / nudge;
            }
        }
    } else {
        slopes.fill(0.0);
    }
    slopes.extend(by_state);
    Ok(Some(slopes))
}

/// The point moved along the slopes, kept within its ranges.
fn moved(trials: &Trials<'_>, point: &Point, slopes: &[f64], step: f64) -> Point {
    let mut next = point.clone();
    let mut slopes = slopes.iter();
    let numbers = next.values.iter_mut().zip(trials.domain.free());
    for ((value, free), slope) in numbers.zip(slopes.by_ref()) {
        let now = value.or_else(|| free.number.of(trials.domain.base()));
        if let Some(now) = now.filter(|_| *slope != 0.0) {
            *value = Some((now + step * slope * (free.most - free.least)).clamp(free.least, free.most));
        }
    }
    for (at, slope) in next.state.iter_mut().zip(slopes) {
        *at = (*at + 2.0 * step * slope).clamp(-1.0, 1.0);
    }
    next
}

/// Derivatives of the tension of one leg, in a state.
struct Answers<'a> {
    derivatives: &'a BridleDerivatives,
    trials: &'a Trials<'a>,
    leg: usize,
    state: &'a [f64],
}

impl Answers<'_> {
    fn length(&self, leg: usize) -> f64 {
        entry(self.derivatives.by_length(), self.leg, leg)
    }

    fn center(&self, axis: usize) -> f64 {
        let gradient = self.derivatives.by_center_of_gravity().get(self.leg);
        gradient.and_then(|gradient| gradient.to_array().get(axis).copied()).unwrap_or(0.0)
    }

    fn stiffness(&self, leg: usize) -> f64 {
        entry(self.derivatives.by_stiffness(), self.leg, leg)
    }

    fn number(&self, number: Number) -> f64 {
        let legs = 0..self.trials.workspace.tensions().len();
        let at = |index: usize| self.state.get(index).copied().unwrap_or(0.0);
        match number {
            Number::Mass => self.derivatives.by_weight().get(self.leg).copied().unwrap_or(0.0) * GRAVITY,
            Number::CenterOfGravity { axis } => self.center(axis),
            Number::CenterTolerance { axis } => self.center(axis) * at(legs.end + axis),
            Number::Point { leg, axis } => {
                let gradient = self.derivatives.by_point(&self.trials.workspace, self.leg, leg);
                gradient.and_then(|gradient| gradient.to_array().get(axis).copied()).unwrap_or(0.0)
            }
            Number::Length { leg } => self.length(leg),
            Number::Lengths => legs.map(|leg| self.length(leg)).sum(),
            Number::LengthTolerances => legs.map(|leg| self.length(leg) * at(leg)).sum(),
            Number::Stiffness { leg } => self.stiffness(leg),
            Number::Stiffnesses => legs.map(|leg| self.stiffness(leg)).sum(),
        }
    }
}

fn entry<'a>(mut rows: impl Iterator<Item = &'a [f64]>, row: usize, column: usize) -> f64 {
    rows.nth(row).and_then(|row| row.get(column)).copied().unwrap_or(0.0)
}
