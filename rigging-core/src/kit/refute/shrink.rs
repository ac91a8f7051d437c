//! A counter-example made smaller: fewer numbers that differ from the outline to start from, and rounder ones.

use super::trial::{Point, Seen, Spoken, Trials};
use crate::error::Error;

/// The digits that numbers are rounded to, the fewest first.
const DIGITS: [i32; 3] = [1, 2, 3];
/// How often everything is tried again.
const ROUNDS: usize = 8;
/// The most open sides of a box of tolerances whose vertices are all tried.
const MOST_SIDES: usize = 10;

/// Changes a point as long as the rule falls short by `least` of a leg's tension.
pub(super) fn shrink(
    trials: &mut Trials<'_>,
    mut point: Point,
    mut found: (Spoken, Seen),
    least: f64,
) -> Result<(Point, (Spoken, Seen)), Error> {
    let as_it_was = Point { values: vec![None; point.values.len()], state: point.state.clone() };
    take(trials, as_it_was, least, &mut point, &mut found)?;
    for _ in 0..ROUNDS {
        let before = point.clone();
        for index in 0..point.state.len() {
            for to in [0.0, 1.0, -1.0] {
                let mut next = point.clone();
                let Some(slot) = next.state.get_mut(index) else { continue };
                // An end is simpler than a place between, and the middle simpler than an end.
                if *slot == 0.0 || (slot.abs() == 1.0 && to != 0.0) {
                    continue;
                }
                *slot = to;
                take(trials, next, least, &mut point, &mut found)?;
            }
        }
        for index in 0..point.values.len() {
            for to in simpler(trials, &point, index) {
                let mut next = point.clone();
                let Some(slot) = next.values.get_mut(index) else { continue };
                *slot = to;
                if take(trials, next, least, &mut point, &mut found)? {
                    break;
                }
            }
        }
        if point == before {
            break;
        }
    }
    Ok((point, found))
}

/// Values to try in place of a number, the simplest first: as it was to start from, half of the way there, rounded.
fn simpler(trials: &Trials<'_>, point: &Point, index: usize) -> Vec<Option<f64>> {
    let (Some(Some(value)), Some(free)) = (point.values.get(index), trials.domain.free().get(index)) else {
        return Vec::new();
    };
    let half = free.number.of(trials.domain.base()).map(|base| rounded(base + 0.5 * (value - base), 2));
    let rounded = DIGITS.map(|digits| rounded(*value, digits));
    let within = half.into_iter().chain(rounded).filter(|to| to != value && (free.least..=free.most).contains(to));
    std::iter::once(None).chain(within.map(Some)).collect()
}

fn rounded(value: f64, digits: i32) -> f64 {
    if value == 0.0 {
        return value;
    }
    // Through decimal text, so that what is printed is what is meant.
    format!("{value:.*e}", usize::try_from(digits - 1).unwrap_or(0)).parse().unwrap_or(value)
}

/// Takes a point if the rule still falls short there; where it does not in that state of the lift, in the vertex of its
/// tolerances at which it falls shortest.
fn take(
    trials: &mut Trials<'_>,
    mut next: Point,
    least: f64,
    point: &mut Point,
    found: &mut (Spoken, Seen),
) -> Result<bool, Error> {
    let Some(spoken) = trials.lift(&next.values)? else { return Ok(false) };
    let mut best = trials.state(&spoken, &next.state)?.filter(|seen| seen.short >= least);
    if best.is_none() && next.values != point.values {
        for state in vertices(&spoken, next.state.len()) {
            let seen = trials.state(&spoken, &state)?.filter(|seen| seen.short >= least);
            if let Some(seen) = seen.filter(|seen| best.as_ref().is_none_or(|best| seen.short > best.short)) {
                (next.state, best) = (state, Some(seen));
            }
        }
    }
    let Some(seen) = best else { return Ok(false) };
    (*point, *found) = (next, (spoken, seen));
    Ok(true)
}

/// Every vertex of the tolerances of a lift; none where they are too many.
fn vertices(spoken: &Spoken, places: usize) -> impl Iterator<Item = Vec<f64>> {
    let outline = &spoken.outline;
    let sides = outline.length_tolerances.iter().chain(&outline.center_tolerance).enumerate();
    let open: Vec<usize> = sides.filter(|(_, side)| **side > 0.0).map(|(place, _)| place).collect();
    let count = if open.len() <= MOST_SIDES { 1_u32 << open.len() } else { 0 };
    (0..count).map(move |number| {
        let mut state = vec![0.0; places];
        for (bit, place) in open.iter().enumerate() {
            if let Some(slot) = state.get_mut(*place) {
                *slot = if number >> bit & 1 == 0 { -1.0 } else { 1.0 };
            }
        }
        state
    })
}

#[cfg(test)]
mod tests {
    use super::rounded;

    #[test]
    fn rounding_is_decimal() {
        assert_eq!([rounded(9_612_345.0, 1), rounded(9_612_345.0, 2), rounded(-0.449, 1)], [1e7, 9.6e6, -0.4]);
        assert_eq!(rounded(0.0, 2), 0.0);
    }
}
