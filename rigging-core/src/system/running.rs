//! Running slings: members that pass over something between their ends.

use super::{End, Law, System};
use crate::error::{Error, Place};
use std::collections::HashSet;

/// Greatest coefficient of friction that is taken.
const ROUGHEST: f64 = 2.0;

/// A stretch of a running sling between two of the places it touches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Span {
    /// A member of the system, by its index.
    Member(usize),
    /// Between two places whose distance is fixed: two corners of one body, two hooks. It pulls on both and moves
    /// neither, so it is no member, but what it stretches belongs to the sling.
    Fixed {
        /// Where it begins, in the order of the sling.
        a: End,
        /// Where it ends.
        b: End,
        /// Its share of the unstretched length, m.
        length: f64,
    },
}

/// A place that a sling runs over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Over {
    /// Where two spans meet.
    pub at: End,
    /// Least and greatest coefficient of friction there; zero where it runs freely, none where nothing is known.
    pub friction: Option<[f64; 2]>,
}

impl Over {
    /// Whether no friction acts, which is not the same as that nothing is known of it.
    pub fn free(&self) -> bool {
        self.friction.is_some_and(|[_, greatest]| greatest == 0.0)
    }
}

/// A sling that runs over something between its ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Running {
    /// Its spans, from end to end. Their unstretched lengths add up to the sling's; the shares are taken as drawn, and
    /// change where the sling slides.
    pub spans: Vec<Span>,
    /// What it runs over, one between each two spans.
    pub over: Vec<Over>,
}

impl Running {
    /// The law of its spans; none before it was validated.
    pub(crate) fn law<'a>(&self, system: &'a System) -> Option<&'a Law> {
        self.members().find_map(|member| Some(&system.members().get(member)?.law))
    }

    /// Its spans that are members, by their indices.
    pub fn members(&self) -> impl Iterator<Item = usize> + '_ {
        self.spans.iter().filter_map(|span| match span {
            Span::Member(member) => Some(*member),
            Span::Fixed { .. } => None,
        })
    }

    /// The ends of a span; none for a member that is not there.
    pub(crate) fn ends(system: &System, span: &Span) -> Option<[End; 2]> {
        match span {
            Span::Member(member) => system.members().get(*member).map(|member| [member.a, member.b]),
            Span::Fixed { a, b, .. } => Some([*a, *b]),
        }
    }
}

/// Refuses running slings that could not mean anything in the system.
///
/// # Errors
/// [`Error::Inconsistent`] for a sling of fewer than two spans or without a member, a span that does not begin where the
/// one before ends, a member in two slings, other than one place between each two spans, spans of different laws;
/// [`Error::OutOfDomain`] for an index that refers to nothing, a length that is not positive, and a coefficient that is
/// negative, above 2, or a range that is not ascending. The place is a JSON pointer such as `/slings/0/over/1/friction`.
pub fn validate_running(system: &System, slings: &[Running]) -> Result<(), Error> {
    let mut seen = HashSet::new();
    for (index, sling) in slings.iter().enumerate() {
        let place = Place::root().child("slings").child(index);
        if sling.spans.len() < 2 || sling.over.len() + 1 != sling.spans.len() {
            let what = "a running sling has two spans or more, and runs over something between each two";
            return Err(Error::inconsistent(what, place));
        }
        spans(system, sling, &mut seen, &place.child("spans"))?;
        meetings(system, sling, &place)?;
        for (station, over) in sling.over.iter().enumerate() {
            friction(over, &place.child("over").child(station).child("friction"))?;
        }
    }
    Ok(())
}

fn spans(system: &System, sling: &Running, seen: &mut HashSet<usize>, place: &Place) -> Result<(), Error> {
    for span in &sling.spans {
        match span {
            Span::Member(member) => {
                let count = system.members().len();
                if *member >= count {
                    let allowed = format!("below {count}");
                    let place = place.clone();
                    return Err(Error::out_of_domain("index of the span", *member as f64, "", allowed, place));
                }
                if !seen.insert(*member) {
                    let what = "a span belongs to two slings, or twice to one";
                    return Err(Error::inconsistent(what, place.clone()));
                }
            }
            Span::Fixed { a, b, length } => {
                super::validate::length(*length, || place.clone())?;
                if system.fixed_distance(*a, *b).is_none_or(|distance| distance <= 0.0) {
                    let what = "a fixed span is between two hooks, or two places of one body";
                    return Err(Error::inconsistent(what, place.clone()));
                }
            }
        }
    }
    if sling.law(system).is_none() {
        return Err(Error::inconsistent("nothing hangs from a sling of which no span is a member", place.clone()));
    }
    Ok(())
}

/// Neighboring spans meet where the sling runs over, and all spans are of one law.
fn meetings(system: &System, sling: &Running, place: &Place) -> Result<(), Error> {
    for ((one, other), over) in sling.spans.iter().zip(sling.spans.iter().skip(1)).zip(&sling.over) {
        let meet = [one, other]
            .into_iter()
            .all(|span| Running::ends(system, span).is_some_and(|ends| ends.contains(&over.at)));
        if !meet {
            return Err(Error::inconsistent("two spans do not meet where the sling runs over", place.child("over")));
        }
    }
    let mut laws = sling.members().filter_map(|member| system.members().get(member)).map(|member| &member.law);
    let first = laws.next();
    if laws.any(|law| Some(law) != first) {
        return Err(Error::inconsistent("the spans of one sling have different laws", place.child("spans")));
    }
    Ok(())
}

fn friction(over: &Over, place: &Place) -> Result<(), Error> {
    let Some([least, greatest]) = over.friction else { return Ok(()) };
    let place = place.clone();
    if !(0.0..=ROUGHEST).contains(&least) {
        return Err(Error::out_of_domain("coefficient of friction", least, "", "from 0 to 2", place));
    }
    if !(least..=ROUGHEST).contains(&greatest) {
        let allowed = format!("from {least} (the least) to 2");
        return Err(Error::out_of_domain("greatest coefficient of friction", greatest, "", allowed, place));
    }
    Ok(())
}
