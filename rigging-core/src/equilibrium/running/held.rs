//! The state in which nothing slides where friction acts, and whether friction can hold it.
//!
//! A span between two corners of one load is not loaded by the load but by what the sling beside it passes on over the
//! corners as it stretches. That is no sliding of the sling: the load does not move by it. Such spans and the stations at
//! them are therefore taken together; friction at all of them holds the two members beside them against each other.

use super::Sliding;
use super::exponential::exponential;
use super::pass::pass_on;
use super::state::Hung;
use crate::error::{Error, Place, Reading};
use crate::system::{Law, Running, Span, System};

/// Lengths are settled to this share of a sling's length.
const SETTLED: f64 = 1.0e-12;
/// The most rounds until fixed spans are stretched as the members beside them ask.
const MAX_ROUNDS: usize = 100;

/// Stations in a row with nothing but fixed spans between them.
#[derive(Debug, Clone, Copy)]
struct Row {
    sling: usize,
    /// The first station, and how many there are: the spans `first` to `first` + `count` begin and end it.
    first: usize,
    count: usize,
}

impl Row {
    fn stations(self) -> std::ops::Range<usize> {
        self.first..self.first + self.count
    }

    /// The members before and after the row; none at an end of the sling that is fixed.
    fn members(self, sling: &Running) -> [Option<usize>; 2] {
        [self.first, self.first + self.count]
            .map(|span| sling.spans.get(span).is_some_and(|span| matches!(span, Span::Member(_))).then_some(span))
    }

    /// The fixed spans of the row, those at an end of the sling too.
    fn fixed(self, sling: &Running) -> impl Iterator<Item = usize> {
        let spans = sling.spans.iter().enumerate().skip(self.first).take(self.count + 1);
        spans.filter(|(_, span)| matches!(span, Span::Fixed { .. })).map(|(index, _)| index)
    }
}

fn rows(slings: &[Running]) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for (sling, running) in slings.iter().enumerate() {
        let mut joined = false;
        for (station, _) in running.over.iter().enumerate() {
            match rows.last_mut() {
                Some(row) if joined => row.count += 1,
                _ => rows.push(Row { sling, first: station, count: 1 }),
            }
            joined = running.spans.get(station + 1).is_some_and(|span| matches!(span, Span::Fixed { .. }));
        }
    }
    rows
}

/// Whether friction acts, or may act, somewhere in the row.
fn rough(row: Row, slings: &[Running]) -> bool {
    let over = slings.get(row.sling).map(|sling| sling.over.as_slice()).unwrap_or_default();
    row.stations().any(|station| over.get(station).is_some_and(|over| !over.free()))
}

/// Hangs the system with the lengths shared as drawn wherever friction acts.
pub(super) fn hold(system: &System, slings: &[Running]) -> Result<Hung, Error> {
    let rows = rows(slings);
    let asked = rows.iter().flat_map(|row| row.stations().map(|_| (!rough(*row, slings)).then_some(0.0)));
    let asked: Vec<Option<f64>> = asked.collect();
    let mut hung = pass_on(system, slings, &asked)?;
    let mut moved = 0.0;
    for _ in 0..MAX_ROUNDS {
        moved = 0.0;
        for row in rows.iter().filter(|row| rough(**row, slings)) {
            moved = f64::max(moved, settle(&mut hung, *row)?);
        }
        if moved <= SETTLED {
            return Ok(hung);
        }
        hung = pass_on(&hung.system, &hung.slings, &asked)?;
    }
    let allowed = format!("at most {SETTLED:e}");
    let reading = Reading::new("stretch of a sling between fixed places over its length", moved, "", allowed);
    Err(Error::Unconverged { reading, place: Place::root().child("slings") })
}

/// Stretches the fixed spans of a row as the members beside them ask, with what is used of the friction the same at every
/// station, and hands what they give to those members in equal parts. Returns that over the length of the sling.
fn settle(hung: &mut Hung, row: Row) -> Result<f64, Error> {
    let Some(sling) = hung.slings.get(row.sling).cloned() else { return Ok(0.0) };
    let Some(law) = sling.law(&hung.system).cloned() else { return Ok(0.0) };
    let members = row.members(&sling);
    let sides = members.map(|member| member.map(|span| hung.tension(row.sling, span)));
    let (Some(before), Some(after)) = (sides[0].or(sides[1]), sides[1].or(sides[0])) else { return Ok(0.0) };
    let weights: Vec<f64> = row.stations().map(|station| weight(hung, &sling, row.sling, station)).collect();
    let all: f64 = weights.iter().sum();
    let mut given = 0.0;
    for span in row.fixed(&sling) {
        let passed: f64 = weights.iter().take(span - row.first).sum();
        let share = if all > 0.0 { passed / all } else { 0.5 };
        let tension = between(before, after, share);
        let Some((length, distance)) = hung.lengths(row.sling, span) else { continue };
        let give = length - distance / (1.0 + strain(&law, tension));
        hung.lengthen(row.sling, span, -give)?;
        given += give;
    }
    let receivers: Vec<usize> = members.into_iter().flatten().collect();
    for span in &receivers {
        hung.lengthen(row.sling, *span, given / receivers.len() as f64)?;
    }
    let whole: f64 =
        (0..sling.spans.len()).filter_map(|span| hung.lengths(row.sling, span)).map(|(length, _)| length).sum();
    Ok(given.abs() / whole)
}

/// What a station weighs in the share of friction that is used: its greatest friction times its turn.
fn weight(hung: &Hung, sling: &Running, index: usize, station: usize) -> f64 {
    let friction = sling.over.get(station).map_or(0.0, |over| over.friction.map_or(1.0, |[_, greatest]| greatest));
    friction * hung.turn(index, station)
}

/// The tension at a share of the way from one to another, even in its logarithm; zero if one of them is.
fn between(before: f64, after: f64, share: f64) -> f64 {
    if before <= 0.0 || after <= 0.0 {
        return 0.0;
    }
    // a·(b/a)^s by halving the interval: only square roots, which are the same on every machine.
    let (mut low, mut high, mut from, mut to) = (before, after, 0.0, 1.0);
    for _ in 0..60 {
        let (middle, at) = ((low * high).sqrt(), 0.5 * (from + to));
        if share > at { (low, from) = (middle, at) } else { (high, to) = (middle, at) }
    }
    if share > 0.5 { high } else { low }
}

/// The strain at which a law gives a tension.
fn strain(law: &Law, tension: f64) -> f64 {
    if let Law::Linear { ea } = law {
        return tension / ea;
    }
    let mut high = 1.0e-6;
    while law.tension(high) < tension {
        high *= 2.0;
    }
    let mut low = 0.0;
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if law.tension(middle) < tension { low = middle } else { high = middle }
    }
    high
}

/// Whether friction holds a sling in the held state.
pub(super) fn verdict(index: usize, sling: &Running, held: &Hung) -> Sliding {
    if sling.over.iter().any(|over| over.friction.is_none()) {
        return Sliding::Unknown;
    }
    let rows = rows(&held.slings).into_iter().filter(|row| row.sling == index && rough(*row, &held.slings));
    rows.map(|row| held_in(row, sling, held)).max().unwrap_or(Sliding::Free)
}

fn held_in(row: Row, sling: &Running, held: &Hung) -> Sliding {
    let [Some(before), Some(after)] = row.members(sling).map(|span| span.map(|span| held.tension(row.sling, span)))
    else {
        // An end that is fixed cannot slide away.
        return Sliding::Holds;
    };
    let (less, more) = (before.min(after), before.max(after));
    // The logarithms of the least and the greatest ratio that friction holds, over all stations of the row.
    let mut exponents = [0.0, 0.0];
    for station in row.stations() {
        let friction = sling.over.get(station).and_then(|over| over.friction).unwrap_or_default();
        let turn = held.turn(row.sling, station);
        for (sum, friction) in exponents.iter_mut().zip(friction) {
            *sum += friction * turn;
        }
    }
    let [least, most] = exponents.map(|exponent| less * exponential(exponent));
    if more <= least {
        Sliding::Holds
    } else if more <= most {
        Sliding::MaySlide
    } else {
        Sliding::Slides
    }
}
