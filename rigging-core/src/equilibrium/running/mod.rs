//! Slings that run over something between their ends: baskets, doubled slings, slings over a sheave.
//!
//! A running sling is a row of spans, each a member of the [`System`], whose unstretched lengths add up to that of the
//! sling; at each station between two spans length may pass from one to the other. Three states bound what happens:
//!
//! - *frictionless*: length passes until both sides of every station pull alike, the state of least energy;
//! - *sliding* one way or the other: the sides of every station are in the ratio e^(µ·φ) of a rope about to slip on a
//!   drum, with φ the angle by which it is turned there (capstan). Between these two limits every state is possible, and
//!   which one holds hangs on what happened before; the envelope of tensions is what can be said;
//! - *holding*: no length passes after the first span is straight, the lengths being shared as drawn. Whether friction
//!   can hold that is compared with the capstan ratio for the least and the greatest coefficient.
//!
//! A system on which length may pass has less stiffness than one on which it is held. It is stable if the held system is
//! and if passing length raises the energy: the matrix of what passing length at one station does to the difference of
//! pulls at another is positive definite.

mod exponential;

use super::angle::angle_between;
use super::certificate::{Certificate, State};
use super::sensitivity::{Parameter, differentiate};
use super::solve;
use crate::error::{Error, Place, Reading};
use crate::system::{End, System};
use exponential::exponential;
use serde::Serialize;

/// Pulls at a station agree to this share of the larger one.
const TOLERANCE: f64 = 1.0e-10;
/// The most rounds in which lengths are passed on.
const MAX_ROUNDS: usize = 80;
/// The largest share of a span's length that is passed on in one round.
const LARGEST_PASS: f64 = 0.2;
/// What a slack span is left with beyond being just straight: a strain.
const TIGHTENED: f64 = 1.0e-6;

/// A place that a sling runs over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Over {
    /// Where two spans meet.
    pub at: End,
    /// Least and greatest coefficient of friction there.
    pub friction: [f64; 2],
}

/// A sling that runs over something between its ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Running {
    /// Indices of its spans among the members, from end to end. Their unstretched lengths add up to the sling's; the
    /// shares are taken as drawn, and change where the sling slides.
    pub spans: Vec<usize>,
    /// What it runs over, one between each two spans.
    pub over: Vec<Over>,
}

/// Whether friction holds a sling where it lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Sliding {
    /// The least friction is enough.
    Holds,
    /// The least friction is not enough, the greatest is.
    MaySlide,
    /// The greatest friction is not enough.
    Slides,
}

/// What a running sling can carry in one span.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct SpanEnvelope {
    /// Index of the span among the members.
    pub member: usize,
    /// Tension without friction, N.
    pub frictionless: f64,
    /// Smallest tension of all states that were solved, N.
    pub least: f64,
    /// Largest tension of all states that were solved, N.
    pub largest: f64,
}

/// A system with running slings, hung.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Run {
    /// The frictionless state. Its spans have the lengths that were passed on; a state that only friction holds is
    /// unstable here.
    pub frictionless: Certificate,
    /// The system of that state.
    #[serde(skip)]
    pub system: System,
    /// Both limits of sliding, toward the first and toward the last end of every sling; empty without friction.
    pub limits: Vec<Certificate>,
    /// The state in which nothing slides.
    pub held: Certificate,
    /// Whether friction holds that state, for each sling.
    pub sliding: Vec<Sliding>,
    /// Tensions of every span, over all slings.
    pub spans: Vec<SpanEnvelope>,
}

/// Hangs a system with running slings: without friction, at both limits of sliding, and held.
///
/// # Errors
///
/// [`Error::Inconsistent`] for a sling of fewer than two spans, a span that does not begin where the one before ends, a
/// span in two slings, or other than one range of friction for each station; [`Error::OutOfDomain`] for a coefficient
/// that is negative, above 2, or a range that is not ascending; [`Error::Unconverged`] if lengths could not be passed on
/// until the pulls agree; every error of [`solve`].
///
/// # Sources
///
/// Capstan relation T₂ = T₁·e^(µ·φ): Euler, *Remarques sur l'effet du frottement dans l'équilibre*, 1762 (from memory);
/// the tests hold it against its differential equation.
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::equilibrium::running::{Over, Running, hang};
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
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
/// let over = Over { at: End::Body { body: 0, point: 0 }, friction: [0.1, 0.3] };
/// let sling = Running { spans: vec![0, 1], over: vec![over] };
/// let run = hang(&system, &[sling])?;
/// let [left, right] = [0, 1].map(|span| run.frictionless.members[span].tension);
/// assert!((left - right).abs() < 1.0e-6 * left);
/// assert_eq!((run.limits.len(), run.sliding.len()), (2, 1));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn hang(system: &System, slings: &[Running]) -> Result<Run, Error> {
    validate(system, slings)?;
    let held = solve(system)?;
    let (free, mut frictionless, stable) = pass_on(system, slings, Limit::None)?;
    if frictionless.state == State::Stable && !stable {
        // The held system is stable; passing length on lowers the energy.
        frictionless.state = State::Unstable;
    }
    let rough = slings.iter().flat_map(|sling| &sling.over).any(|over| over.friction[1] > 0.0);
    let mut limits = Vec::new();
    if rough {
        for limit in [Limit::Rising, Limit::Falling] {
            limits.push(pass_on(&free, slings, limit)?.1);
        }
    }
    let sliding = slings.iter().map(|sling| verdict(system, sling, &held)).collect();
    let mut spans = Vec::new();
    for member in slings.iter().flat_map(|sling| &sling.spans) {
        let tension = |certificate: &Certificate| certificate.members.get(*member).map_or(0.0, |found| found.tension);
        let without = tension(&frictionless);
        let all = || limits.iter().map(tension).chain([without]);
        spans.push(SpanEnvelope {
            member: *member,
            frictionless: without,
            least: all().fold(f64::INFINITY, f64::min),
            largest: all().fold(0.0, f64::max),
        });
    }
    Ok(Run { frictionless, system: free, limits, held, sliding, spans })
}

/// Which state the pulls at a station are brought to.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Limit {
    /// Both alike.
    None,
    /// The next span pulls more, by the capstan ratio.
    Rising,
    /// The next span pulls less.
    Falling,
}

impl Limit {
    /// Pull of the next span over that of the one before.
    fn ratio(self, friction: f64, turn: f64) -> f64 {
        match self {
            Self::None => 1.0,
            Self::Rising => exponential(friction * turn),
            Self::Falling => exponential(-friction * turn),
        }
    }
}

/// A station between two spans.
#[derive(Debug, Clone, Copy)]
struct Station {
    before: usize,
    after: usize,
    over: Over,
}

fn stations(slings: &[Running]) -> Vec<Station> {
    let stations = slings.iter().flat_map(|sling| {
        let pairs = sling.spans.iter().zip(sling.spans.iter().skip(1)).zip(&sling.over);
        pairs.map(|((before, after), over)| Station { before: *before, after: *after, over: *over })
    });
    stations.collect()
}

/// Passes length on at every station until the pulls stand in the ratio of the limit. Returns the system with the
/// lengths passed on, its certificate, and whether passing length on raises the energy.
fn pass_on(system: &System, slings: &[Running], limit: Limit) -> Result<(System, Certificate, bool), Error> {
    let stations = stations(slings);
    let mut system = system.clone();
    let mut worst = 0.0;
    for _ in 0..MAX_ROUNDS {
        let certificate = solve(&system)?;
        let tension = |member: usize| certificate.members.get(member).map_or(0.0, |found| found.tension);
        // A span that hangs slack hands its slack to a neighbor that is taut.
        if let Some((from, to, slack)) = slack_span(&system, &stations, &certificate) {
            system = system.longer(from, -slack)?.longer(to, slack)?;
            continue;
        }
        let mut ratios = Vec::with_capacity(stations.len());
        for station in &stations {
            let turn = turn(&system, &certificate, station);
            ratios.push(limit.ratio(station.over.friction[1], turn));
        }
        let off: Vec<f64> = stations
            .iter()
            .zip(&ratios)
            .map(|(station, ratio)| tension(station.after) - ratio * tension(station.before))
            .collect();
        let largest = stations.iter().map(|s| tension(s.before).max(tension(s.after))).fold(0.0, f64::max);
        worst = off.iter().fold(0.0, |most: f64, off| most.max(off.abs())) / largest.max(f64::MIN_POSITIVE);
        if certificate.state == State::Neutral {
            let what = "a running sling on a load whose balance is neutral";
            return Err(Error::unsupported(what, Place::root().child("members")));
        }
        if certificate.state != State::Stable {
            // Nothing can be said of a load that does not hang; its state is the answer.
            return Ok((system, certificate, false));
        }
        let derivatives = differentiate(&system, &certificate)?;
        let mut columns = Vec::with_capacity(stations.len());
        for station in &stations {
            // One meter more before the station, one less behind it.
            let [longer, shorter] = [station.before, station.after].map(|member| Parameter::Length { member });
            let (longer, shorter) = (derivatives.of(longer)?, derivatives.of(shorter)?);
            columns.push(longer.tensions.iter().zip(&shorter.tensions).map(|(a, b)| a - b).collect::<Vec<f64>>());
        }
        let entry = |row: &Station, ratio: f64, column: &Vec<f64>| {
            let at = |member: usize| column.get(member).copied().unwrap_or(0.0);
            at(row.after) - ratio * at(row.before)
        };
        let matrix: Vec<Vec<f64>> = stations
            .iter()
            .zip(&ratios)
            .map(|(row, ratio)| columns.iter().map(|column| entry(row, *ratio, column)).collect())
            .collect();
        if worst <= TOLERANCE {
            let even: Vec<Vec<f64>> =
                stations.iter().map(|row| columns.iter().map(|column| entry(row, 1.0, column)).collect()).collect();
            return Ok((system, certificate, positive(even)));
        }
        let Some(step) = eliminate(matrix, off.iter().map(|off| -off).collect()) else { break };
        let mut share: f64 = 1.0;
        for (station, step) in stations.iter().zip(&step) {
            for member in [station.before, station.after] {
                let most = LARGEST_PASS * system.members().get(member).map_or(0.0, |member| member.length);
                share = share.min(most / step.abs().max(f64::MIN_POSITIVE));
            }
        }
        for (station, step) in stations.iter().zip(&step) {
            system = system.longer(station.before, share * step)?.longer(station.after, -share * step)?;
        }
    }
    let allowed = format!("at most {TOLERANCE:e}");
    let reading = Reading::new("difference of the pulls at a station over the larger one", worst, "", allowed);
    Err(Error::Unconverged { reading, place: Place::root().child("members") })
}

/// A slack span, its taut neighbor, and the length to hand over.
fn slack_span(system: &System, stations: &[Station], certificate: &Certificate) -> Option<(usize, usize, f64)> {
    let state = |member: usize| Some((certificate.members.get(member)?, system.members().get(member)?.length));
    for station in stations {
        for (from, to) in [(station.before, station.after), (station.after, station.before)] {
            let ((one, length), (other, _)) = (state(from)?, state(to)?);
            if one.slack && !other.slack {
                return Some((from, to, length - one.length / (1.0 + TIGHTENED)));
            }
        }
    }
    None
}

/// The angle by which a sling is turned at a station, rad.
fn turn(system: &System, certificate: &Certificate, station: &Station) -> f64 {
    let toward = |member: usize| {
        let direction = certificate.members.get(member)?.direction;
        // A member's direction points from its end b to its end a.
        Some(if system.members().get(member)?.a == station.over.at { direction } else { -direction })
    };
    match (toward(station.before), toward(station.after)) {
        (Some(arriving), Some(returning)) => angle_between(arriving, -returning),
        _ => 0.0,
    }
}

/// Whether friction holds a sling in the state in which nothing slides.
fn verdict(system: &System, sling: &Running, held: &Certificate) -> Sliding {
    let mut found = Sliding::Holds;
    for station in stations(std::slice::from_ref(sling)) {
        let tension = |member: usize| held.members.get(member).map_or(0.0, |member| member.tension);
        let (one, other) = (tension(station.before), tension(station.after));
        let (less, more) = (one.min(other), one.max(other));
        let turn = turn(system, held, &station);
        let [least, most] = station.over.friction.map(|friction| less * exponential(friction * turn));
        let here = if more <= least {
            Sliding::Holds
        } else if more <= most {
            Sliding::MaySlide
        } else {
            Sliding::Slides
        };
        found = match (found, here) {
            (Sliding::Slides, _) | (_, Sliding::Slides) => Sliding::Slides,
            (Sliding::MaySlide, _) | (_, Sliding::MaySlide) => Sliding::MaySlide,
            _ => Sliding::Holds,
        };
    }
    found
}

fn validate(system: &System, slings: &[Running]) -> Result<(), Error> {
    let mut seen = std::collections::HashSet::new();
    for (index, sling) in slings.iter().enumerate() {
        let place = Place::root().child("slings").child(index);
        if sling.spans.len() < 2 || sling.over.len() + 1 != sling.spans.len() {
            let what = "a running sling has two spans or more, and runs over something between each two";
            return Err(Error::inconsistent(what, place));
        }
        for member in &sling.spans {
            if *member >= system.members().len() {
                let allowed = format!("below {}", system.members().len());
                return Err(Error::out_of_domain(
                    "index of the span",
                    *member as f64,
                    "",
                    allowed,
                    place.child("spans"),
                ));
            }
            if !seen.insert(*member) {
                return Err(Error::inconsistent("a span belongs to two slings, or twice to one", place.child("spans")));
            }
        }
        for station in stations(std::slice::from_ref(sling)) {
            let [one, other] = [station.before, station.after].map(|member| system.members().get(member));
            let (Some(one), Some(other)) = (one, other) else { continue };
            if ![one, other].iter().all(|span| span.a == station.over.at || span.b == station.over.at) {
                return Err(Error::inconsistent(
                    "two spans do not meet where the sling runs over",
                    place.child("over"),
                ));
            }
            if one.law != other.law {
                return Err(Error::inconsistent("the spans of one sling have different laws", place.child("spans")));
            }
        }
        for (station, over) in sling.over.iter().enumerate() {
            let place = place.child("over").child(station).child("friction");
            let [least, most] = &over.friction;
            if !(0.0..=2.0).contains(least) {
                return Err(Error::out_of_domain("coefficient of friction", *least, "", "from 0 to 2", place));
            }
            if !(*least..=2.0).contains(most) {
                let allowed = format!("from {least} (the least) to 2");
                return Err(Error::out_of_domain("greatest coefficient of friction", *most, "", allowed, place));
            }
        }
    }
    Ok(())
}

/// Solves a small dense system by elimination with row exchange; `None` if it is singular.
fn eliminate(mut matrix: Vec<Vec<f64>>, mut right: Vec<f64>) -> Option<Vec<f64>> {
    let count = right.len();
    for pivot in 0..count {
        let size = |row: &usize| matrix.get(*row).and_then(|row| row.get(pivot)).map_or(0.0, |entry| entry.abs());
        let best = (pivot..count).max_by(|one, other| size(one).total_cmp(&size(other)))?;
        matrix.swap(pivot, best);
        right.swap(pivot, best);
        let row = matrix.get(pivot)?.clone();
        let (lead, value) = (*row.get(pivot)?, *right.get(pivot)?);
        if lead == 0.0 {
            return None;
        }
        for below in pivot + 1..count {
            let factor = *matrix.get(below)?.get(pivot)? / lead;
            for (entry, above) in matrix.get_mut(below)?.iter_mut().zip(&row) {
                *entry -= factor * above;
            }
            *right.get_mut(below)? -= factor * value;
        }
    }
    let mut solution = vec![0.0; count];
    for pivot in (0..count).rev() {
        let row = matrix.get(pivot)?;
        let known: f64 = row.iter().zip(&solution).skip(pivot + 1).map(|(entry, x)| entry * x).sum();
        *solution.get_mut(pivot)? = (right.get(pivot)? - known) / row.get(pivot)?;
    }
    Some(solution)
}

/// Whether a symmetric matrix is positive definite: all pivots of the elimination are positive.
fn positive(mut matrix: Vec<Vec<f64>>) -> bool {
    for pivot in 0..matrix.len() {
        let Some(row) = matrix.get(pivot).cloned() else { return false };
        let lead = row.get(pivot).copied().unwrap_or(0.0);
        if lead <= 0.0 {
            return false;
        }
        for below in matrix.iter_mut().skip(pivot + 1) {
            let factor = below.get(pivot).copied().unwrap_or(0.0) / lead;
            for (entry, above) in below.iter_mut().zip(&row) {
                *entry -= factor * above;
            }
        }
    }
    true
}
