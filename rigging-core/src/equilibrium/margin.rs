//! Margins: how far a number of the system may change before a member goes slack or the load is no longer stable.
//!
//! The change is followed in steps from the certified state, each step hung and certified anew by
//! [`solve`]: every state is the one that hoisting from the drawing with the changed number ends in. A
//! step ends just beyond the change at which the exact derivatives let the next taut member go slack, and nowhere
//! further than a share of the range; it is halved if, seen from its far end, a member went slack and came back in
//! between. A state that is not decided, because two branches all but meet, is looked for a little to the side. Both events are then enclosed by halving, with a certified state on either side. Steps are finite: a window of
//! instability narrower than a step, with stable states on both sides of it, can be passed over.

use super::certificate::{Certificate, State};
use super::sensitivity::{Parameter, Reach, differentiate};
use super::{network, solve};
use crate::error::{Error, Place};
use crate::system::System;
use glam::DVec3;
use serde::Serialize;

/// The range that is searched, when none is given: for a center of gravity as a share of the size of the system.
const CENTER_RANGE: f64 = 1.0;
/// The same for the length of a member, as a share of its unstretched length.
const LENGTH_RANGE: f64 = 0.25;
/// The width of a bracket, when none is given, over the range.
const WIDTH: f64 = 1.0e-6;
/// Steps in which the range is covered at the least.
const STEPS: f64 = 32.0;
/// The shortest step, over the range; events are enclosed more closely afterwards.
const SHORTEST: f64 = 1.0 / 2048.0;
/// How far beyond the foreseen event a step goes: a share of itself.
const BEYOND: f64 = 1.0e-3;
/// Where else a state is looked for that is not decided: this much to either side, over the interval.
const ASIDE: [f64; 5] = [1.0 / 16.0, 1.0 / 8.0, 3.0 / 16.0, 5.0 / 16.0, 7.0 / 16.0];
/// The farthest that can be searched, m.
const FARTHEST: f64 = 1.0e9;
/// The most solutions for one margin.
const MAX_SOLVES: usize = 4000;

/// What changes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Change {
    /// The center of gravity of a body moves; its points of attachment do not.
    CenterOfGravity {
        /// Index of the body.
        body: usize,
        /// Direction in the drawn frame, of any length but zero: +z raises the center of gravity of a body as drawn.
        toward: DVec3,
    },
    /// The unstretched length of a member grows.
    Longer {
        /// Index of the member.
        member: usize,
    },
    /// The unstretched length of a member shrinks.
    Shorter {
        /// Index of the member.
        member: usize,
    },
}

/// How far to search, and how closely.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Search {
    /// The largest change, m. By default the size of the system (its longest member or longest arm of a body) for a
    /// center of gravity, and a quarter of its unstretched length for a member.
    pub range: Option<f64>,
    /// The width of the bracket around an event, m. By default a millionth of the range.
    pub width: Option<f64>,
}

/// Where an event happens: between two changes, both of which were hung and certified. They lie as close as was asked, or
/// enclose changes of which it is not decided, because two branches all but meet, on which of them the load ends.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bracket {
    /// The change up to which the event has not happened, m: the margin.
    pub before: f64,
    /// A change at which it has, m.
    pub after: f64,
    /// The state at `after`.
    pub state: State,
    /// The members that were taut at the start and at `before`, and are slack at `after`.
    pub slack: Vec<usize>,
}

/// The events of one change.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Margin {
    /// What changes.
    pub change: Change,
    /// How far was searched, m.
    pub range: f64,
    /// The first change at which a member that was taut at the start is slack. None within the range, or none before
    /// the load is no longer stable.
    pub slack: Option<Bracket>,
    /// The first change at which the load is no longer stable: its state is unstable, neutral or lost.
    pub instability: Option<Bracket>,
}

impl Margin {
    /// The event that comes first; none within the range.
    pub const fn first(&self) -> Option<&Bracket> {
        // A slack member is only looked for as long as the load is stable.
        match &self.slack {
            Some(slack) => Some(slack),
            None => self.instability.as_ref(),
        }
    }
}

/// Follows a change from the certified state to the first slack member and to the end of stability.
///
/// # Errors
///
/// [`Error::OutOfDomain`] for an index that refers to nothing, a direction without length, a range or width that is not
/// positive; [`Error::Inconsistent`] if the certificate is not that of the system; [`Error::Unsupported`] unless its
/// state is [`State::Stable`]; [`Error::TooLarge`] if the search needs more than 4000 solutions;
/// [`Error::Unconverged`] as [`solve`].
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::equilibrium::margin::{Change, Search, follow};
/// use rigging_core::equilibrium::solve;
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
/// // Two stiff legs: a load on a line of two points is a pendulum, and topples across the line once its center of gravity
/// // is above it.
/// let body = Body {
///     mass: 1000.0,
///     center_of_gravity: DVec3::new(0.0, 0.0, -0.5),
///     points: vec![DVec3::new(1.0, 0.0, 0.0), DVec3::new(-1.0, 0.0, 0.0)],
///     position: DVec3::ZERO,
///     rotation: DQuat::IDENTITY,
/// };
/// let leg = |point| -> Result<Member, rigging_core::error::Error> {
///     Ok(Member { a: End::Hook(0), b: End::Body { body: 0, point }, length: 2.0, law: Law::linear(1.0e8)? })
/// };
/// let hook = Hook { position: DVec3::new(0.0, 0.0, 2.0) };
/// let system = System::new(9.80665, vec![hook], vec![], vec![body], vec![leg(0)?, leg(1)?])?;
/// let certificate = solve(&system)?;
/// let raised = Change::CenterOfGravity { body: 0, toward: DVec3::Z };
/// let margin = follow(&system, &certificate, raised, Search::default())?;
/// let end = margin.instability.unwrap();
/// assert!((end.before - 0.5).abs() < 1.0e-5 && end.after > end.before);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn follow(system: &System, certificate: &Certificate, change: Change, search: Search) -> Result<Margin, Error> {
    network::Hung::matched(system, certificate)?;
    if certificate.state != State::Stable {
        let what = format!("the margin of a load that is {}", certificate.state.word());
        return Err(Error::unsupported(what, Place::root().child("state")));
    }
    let path = Path::new(system, certificate, change, search)?;
    path.follow()
}

/// The changes that a stable lift is asked for: for each body its center of gravity up, and to either side along x and
/// y of the drawn frame; for each member longer and shorter.
pub fn changes(system: &System) -> Vec<Change> {
    let directions = [DVec3::Z, DVec3::X, -DVec3::X, DVec3::Y, -DVec3::Y];
    let bodies = 0..system.bodies().len();
    let mut all: Vec<Change> =
        bodies.flat_map(|body| directions.map(|toward| Change::CenterOfGravity { body, toward })).collect();
    all.extend((0..system.members().len()).flat_map(|member| [Change::Longer { member }, Change::Shorter { member }]));
    all
}

/// A change on its way.
struct Path<'a> {
    system: &'a System,
    change: Change,
    /// Direction of the center of gravity in the body's frame (unit vector).
    direction: DVec3,
    range: f64,
    width: f64,
    /// Whether each member was taut at the start.
    taut: Vec<bool>,
    start: &'a Certificate,
}

/// A state on the way.
struct Station {
    at: f64,
    system: System,
    certificate: Certificate,
}

/// An event that is looked for.
#[derive(Clone, Copy)]
enum Event {
    Slack,
    Instability,
}

impl<'a> Path<'a> {
    fn new(system: &'a System, start: &'a Certificate, change: Change, search: Search) -> Result<Self, Error> {
        let root = Place::root();
        let exists = |list: &str, index: usize, count: usize| {
            let place = || root.child(list).child(index);
            if index < count {
                return Ok(());
            }
            Err(Error::out_of_domain("index", index as f64, "", format!("below {count}"), place()))
        };
        let mut direction = DVec3::ZERO;
        let mut most = FARTHEST;
        let usual = match change {
            Change::CenterOfGravity { body, toward } => {
                exists("bodies", body, system.bodies().len())?;
                let length = toward.length();
                if !(length > 0.0 && length.is_finite()) {
                    let allowed = "positive and finite";
                    return Err(Error::out_of_domain(
                        "length of the direction",
                        length,
                        "",
                        allowed,
                        root.child("toward"),
                    ));
                }
                if let Some(found) = system.bodies().get(body) {
                    direction = found.rotation.conjugate() * (toward * (1.0 / length));
                }
                CENTER_RANGE * size(system)
            }
            Change::Longer { member } | Change::Shorter { member } => {
                exists("members", member, system.members().len())?;
                let length = system.members().get(member).map_or(0.0, |found| found.length);
                if matches!(change, Change::Shorter { .. }) {
                    most = length;
                }
                LENGTH_RANGE * length
            }
        };
        let range = search.range.unwrap_or(usual);
        let width = search.width.unwrap_or(WIDTH * range);
        // A member cannot lose all of its length, a bracket cannot be as wide as the range.
        for (name, value, limit) in [("range", range, most), ("width", width, range)] {
            if !(value > 0.0 && value < limit) {
                let allowed = format!("positive and below {limit} m");
                return Err(Error::out_of_domain(name, value, "m", allowed, root.child(name)));
            }
        }
        let taut = start.members.iter().map(|member| !member.slack).collect();
        Ok(Self { system, change, direction, range, width, taut, start })
    }

    fn follow(&self) -> Result<Margin, Error> {
        let mut margin = Margin { change: self.change, range: self.range, slack: None, instability: None };
        let mut here = Station { at: 0.0, system: self.system.clone(), certificate: self.start.clone() };
        let mut solves = 0;
        while here.at < self.range {
            let end = self.step(&here);
            let mut there = self.station_near(here.at, end, end)?;
            // Seen from the far end, a member may have gone slack and come back.
            while there.at - here.at > self.width && self.passed_over(&here, &there) {
                there = self.station_near(here.at, 0.5 * (here.at + there.at), there.at)?;
                solves += 1;
            }
            solves += 1;
            if solves > MAX_SOLVES {
                let allowed = format!("at most {MAX_SOLVES}");
                let reading = crate::error::Reading::new("solutions", solves as f64, "", allowed);
                return Err(Error::TooLarge { reading, place: Place::root().child("range") });
            }
            if margin.slack.is_none() && self.happened(Event::Slack, &there) {
                let bracket = self.enclose(Event::Slack, &here, &there)?;
                if bracket.state == State::Stable {
                    margin.slack = Some(bracket);
                } else {
                    // Slack on a load that is no longer stable is not an event of its own.
                    there = self.station(bracket.after)?;
                }
            }
            if self.happened(Event::Instability, &there) {
                margin.instability = Some(self.enclose(Event::Instability, &here, &there)?);
                return Ok(margin);
            }
            here = there;
        }
        Ok(margin)
    }

    /// The system hung with a change of about `wanted`, above `low` and at most `high`. Where two branches all but meet, it may
    /// not be decided which one a change ends on, while changes a little to either side are: then one of these is taken.
    fn station_near(&self, low: f64, wanted: f64, high: f64) -> Result<Station, Error> {
        let first = self.station(wanted);
        if high - low <= self.width || !matches!(first, Err(Error::Unconverged { .. })) {
            return first;
        }
        let others = ASIDE.iter().flat_map(|share| [-share, *share]).map(|share| wanted + share * (high - low));
        let mut within = others.filter(|at| *at > low && *at < high);
        within.find_map(|at| self.station(at).ok()).map_or(first, Ok)
    }

    /// The system with the change, hung.
    fn station(&self, at: f64) -> Result<Station, Error> {
        let mut bodies = self.system.bodies().to_vec();
        let mut members = self.system.members().to_vec();
        match self.change {
            Change::CenterOfGravity { body, .. } => {
                bodies.get_mut(body).into_iter().for_each(|body| body.center_of_gravity += at * self.direction);
            }
            Change::Longer { member } => members.get_mut(member).into_iter().for_each(|member| member.length += at),
            Change::Shorter { member } => members.get_mut(member).into_iter().for_each(|member| member.length -= at),
        }
        let system = self.system;
        let changed =
            System::new(system.gravity(), system.hooks().to_vec(), system.joints().to_vec(), bodies, members)?;
        let certificate = solve(&changed)?;
        Ok(Station { at, system: changed, certificate })
    }

    /// The end of the next step: just beyond the next slack event that the derivatives foresee.
    fn step(&self, here: &Station) -> f64 {
        let longest = self.range / STEPS;
        let [ahead, _] = self.reaches(here);
        let foreseen = ahead.map_or(longest, |reach| (1.0 + BEYOND) * reach.change);
        (here.at + foreseen.clamp(SHORTEST * self.range, longest)).min(self.range)
    }

    /// Whether, to first order from `there`, a member that is taut (or slack) at both ends was not so in between.
    fn passed_over(&self, here: &Station, there: &Station) -> bool {
        if there.certificate.state != State::Stable {
            return false;
        }
        let [_, behind] = self.reaches(there);
        behind.is_some_and(|reach| {
            let slack = |at: &Station| at.certificate.members.get(reach.member).is_some_and(|member| member.slack);
            reach.change > here.at - there.at && slack(here) == slack(there)
        })
    }

    /// The slack events ahead and behind (negative), as changes; none where the derivatives do not exist.
    fn reaches(&self, at: &Station) -> [Option<Reach>; 2] {
        let Ok(derivatives) = differentiate(&at.system, &at.certificate) else { return [None, None] };
        let by_length = |member| match derivatives.of(Parameter::Length { member }) {
            Ok(response) => [response.increase, response.decrease],
            Err(_) => [None, None],
        };
        match self.change {
            Change::CenterOfGravity { body, .. } => derivatives.reaches_toward(body, self.direction),
            Change::Longer { member } => by_length(member),
            Change::Shorter { member } => {
                let [increase, decrease] = by_length(member);
                let turned = |reach: Option<Reach>| reach.map(|reach| Reach { change: -reach.change, ..reach });
                [turned(decrease), turned(increase)]
            }
        }
    }

    fn happened(&self, event: Event, at: &Station) -> bool {
        match event {
            Event::Slack => !self.slack(at).is_empty(),
            Event::Instability => at.certificate.state != State::Stable,
        }
    }

    /// The members that were taut at the start and are slack now.
    fn slack(&self, at: &Station) -> Vec<usize> {
        let members = self.taut.iter().zip(&at.certificate.members).enumerate();
        members.filter(|(_, (taut, member))| **taut && member.slack).map(|(index, _)| index).collect()
    }

    /// Halves until the event is enclosed: it has not happened at `low`, and has at `high`.
    fn enclose(&self, event: Event, low: &Station, high: &Station) -> Result<Bracket, Error> {
        let mut low = low.at;
        let (mut after, mut state, mut slack) = (high.at, high.certificate.state, self.slack(high));
        while after - low > self.width {
            let middle = 0.5 * (low + after);
            if middle <= low || middle >= after {
                break;
            }
            // Where the states between are not decided, even aside, the bracket encloses them all and stays as wide.
            let found = match self.station_near(low, middle, after) {
                Err(Error::Unconverged { .. }) => break,
                found => found?,
            };
            let middle = found.at;
            if self.happened(event, &found) {
                (after, state, slack) = (middle, found.certificate.state, self.slack(&found));
            } else {
                low = middle;
            }
        }
        Ok(Bracket { before: low, after, state, slack })
    }
}

/// The longest member or arm, m.
fn size(system: &System) -> f64 {
    let lengths = system.members().iter().map(|member| member.length);
    let arms = system
        .bodies()
        .iter()
        .flat_map(|body| body.points.iter().map(|point| (*point - body.center_of_gravity).length()));
    lengths.chain(arms).fold(0.0, f64::max)
}
