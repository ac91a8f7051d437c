//! Any other arrangement: several hooks, spreaders, tiers. What is attained is looked for, and bounded.

use super::attained::{SAMPLES, spread, vertices};
use super::balances::Hangs;
use super::interval::Interval;
use super::problem::SLACK;
use super::target::{Best, Target};
use super::tiers::{self, Layout, Stance, Tiers};
use super::{Effort, Extreme, Offset, Open, Proof, Reason, Shared, Tolerances, Worst, prove};
use crate::equilibrium::network::{Network, Workspace};
use crate::equilibrium::{State, bridle_of};
use crate::error::{Error, Place};
use crate::system::{End, Number, System};
use glam::{DQuat, DVec3};

/// What forms are linear in, and how many there may be: arithmetic of fewer is faster.
const SYMBOLS: usize = 24;
const MORE_SYMBOLS: usize = 40;
const MOST_SYMBOLS: usize = 60;
/// States after which the ascent for one force ends.
const MOST_STATES: usize = 400;
/// The shares of a side by which an ascent steps, at first and at last.
const FIRST: f64 = 0.5;
const LAST: f64 = 1.0e-3;

/// The worst case of any system over a box of tolerances: what was attained, at vertices (up to 12 open sides), inside and by
/// ascent number by number. Lengths and stiffnesses are those of the members, center of gravity and weight those of the first
/// body, hook heights those of all hooks. With up to sixteen members, four hooks and about four bodies and four joints there are
/// bounds as well (see [the proof](super)); where there are none, [`Worst::open`] says why.
///
/// # Errors
///
/// As [`worst`](super::worst()), for any number of members; [`Error::Inconsistent`] unless there is a tolerance of height for
/// each hook.
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::equilibrium::worst::{Effort, Tolerances, worst_of_system};
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
/// let points = vec![DVec3::new(0.0, 0.0, 0.0), DVec3::new(24.0, 0.0, 0.0)];
/// let hooks = points.iter().map(|p| Hook { position: *p + DVec3::new(0.0, 0.0, 9.0) }).collect();
/// let body = Body {
///     mass: 96.0e3,
///     center_of_gravity: DVec3::new(10.4, 0.0, -1.1),
///     points,
///     position: DVec3::ZERO,
///     rotation: DQuat::IDENTITY,
/// };
/// let leg = |point| -> Result<Member, rigging_core::error::Error> {
///     Ok(Member { a: End::Hook(point), b: End::Body { body: 0, point }, length: 9.0, law: Law::linear(200.0e6)? })
/// };
/// let system = System::new(9.80665, hooks, vec![], vec![body], vec![leg(0)?, leg(1)?])?;
/// let tolerances = Tolerances { center_of_gravity: [0.4, 0.0, 0.0], hook_heights: vec![0.0; 2], ..Tolerances::none(2) };
/// let worst = worst_of_system(&system, &tolerances, &Effort::default())?;
/// // 0.4 m of 24 m toward the first hook.
/// assert!((worst.hooks[0].attained / 9.80665 - 56.0e3).abs() < 50.0);
/// assert!(worst.hooks.iter().all(|hook| hook.gap().is_some_and(|gap| (0.0..=0.01).contains(&gap))));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn worst_of_system(system: &System, tolerances: &Tolerances, effort: &Effort) -> Result<Worst, Error> {
    effort.validate()?;
    validate(system, tolerances)?;
    let sides: Vec<f64> = tolerances.sides().chain(tolerances.hook_heights.iter().copied()).collect();
    let forces = forces(system);
    let mut hanging = Hanging::new(system);
    let none = vec![0.0; sides.len()];
    hanging.start(&none)?;
    let nominal: Vec<f64> = forces.iter().map(|force| hanging.pull(force)).collect();
    let (stances, layout) = (hanging.stances(), hanging.layout());
    let place =
        layout.place(system, stances.clone(), &system.hooks().iter().map(|hook| hook.position).collect::<Vec<_>>());
    let best = nominal.iter().map(|value| Best { value: *value, at: none.clone() }).collect();
    let mut search = Search { hanging: &mut hanging, forces: &forces, best, places: Vec::new() };
    let mut not_stable = None;
    for numbers in std::iter::once(none.clone()).chain(vertices(&sides)).chain(spread(&sides, SAMPLES)) {
        if !search.look(&numbers)? && not_stable.is_none() {
            not_stable = Some(numbers);
        }
    }
    for force in 0..forces.len() {
        search.ascend(force, &sides)?;
    }
    let Search { mut best, places, .. } = search;
    let unproven = |reason, at| Proof::open(reason, at, forces.len());
    let proof = match not_stable {
        Some(at) => unproven(Reason::NotStable, at),
        None if !tiers::are_few(system, MOST_SYMBOLS) => unproven(Reason::ManyLegs, none),
        None => match Tiers::new(system, layout, &sides, &stances) {
            Some(lift) => {
                let targets: Vec<Target> = forces.iter().map(|force| Target::of_pulls(force)).collect();
                let (hanging, best) = (&mut hanging, &mut best);
                if tiers::are_few(system, SYMBOLS) {
                    prove::<SYMBOLS>(&lift, hanging, &place, &places, &targets, best, effort)?
                } else if tiers::are_few(system, MORE_SYMBOLS) {
                    prove::<MORE_SYMBOLS>(&lift, hanging, &place, &places, &targets, best, effort)?
                } else {
                    prove::<MOST_SYMBOLS>(&lift, hanging, &place, &places, &targets, best, effort)?
                }
            }
            None => unproven(Reason::NotEnclosed, none),
        },
    };
    let extremes = nominal.into_iter().zip(best.into_iter().zip(proof.bounds));
    let mut extremes = extremes.map(|(nominal, (best, bound))| Extreme {
        nominal,
        attained: best.value,
        at: offset(system, &best.at),
        bound,
    });
    let legs = extremes.by_ref().take(system.members().len()).collect();
    let hooks = extremes.by_ref().take(system.hooks().len()).collect();
    let shared = forces.iter().skip(system.members().len() + system.hooks().len());
    let points = shared.zip(extremes);
    let points = points.map(|(pulls, pull)| Shared { legs: pulls.iter().map(|(leg, _)| *leg).collect(), pull });
    let open = proof.open.map(|(reason, at)| Open { reason, at: offset(system, &at) });
    Ok(Worst { legs, points: points.collect(), hooks, open, parts: proof.parts, states: hanging.states })
}

/// The worst case of a system: [`worst`](super::worst()) of one load under one hook, else [`worst_of_system`].
///
/// # Errors
/// As those.
pub(crate) fn worst_of(system: &System, tolerances: &Tolerances, effort: &Effort) -> Result<Worst, Error> {
    match bridle_of(system) {
        Ok(bridle) => super::worst(&bridle, tolerances, effort),
        Err(_) => worst_of_system(system, tolerances, effort),
    }
}

/// Members whose pulls are added up, each with the sign of its direction.
type Pulls = Vec<(usize, f64)>;

/// Each member, each hook, and each point of a body at which several members meet.
fn forces(system: &System) -> Vec<Pulls> {
    let at = |end: End| -> Pulls {
        let members = system.members().iter().enumerate();
        let pulls = members.flat_map(|(index, member)| [(member.a, index, 1.0), (member.b, index, -1.0)]);
        pulls.filter(|(own, ..)| *own == end).map(|(_, index, sign)| (index, sign)).collect()
    };
    let members = (0..system.members().len()).map(|member| vec![(member, 1.0)]);
    let hooks = (0..system.hooks().len()).map(|hook| at(End::Hook(hook)));
    let bodies = system.bodies().iter().enumerate();
    let points = bodies.flat_map(|(body, found)| (0..found.points.len()).map(move |point| End::Body { body, point }));
    members.chain(hooks).chain(points.map(at).filter(|pulls| pulls.len() > 1)).collect()
}

pub(super) struct Hanging<'a> {
    system: &'a System,
    workspace: Workspace,
    /// Pulls of the members in the last state, from end b toward end a.
    pulls: Vec<DVec3>,
    /// By which places are told, of the nominal state.
    layout: Layout,
    states: usize,
}

impl<'a> Hanging<'a> {
    pub(super) fn new(system: &'a System) -> Self {
        let layout = Layout::new(system, &[]);
        Self { system, workspace: Workspace::default(), pulls: Vec::new(), layout, states: 0 }
    }

    /// Hangs the system with nominal numbers, in which it must be stable.
    pub(super) fn start(&mut self, nominal: &[f64]) -> Result<(), Error> {
        match self.at(nominal)? {
            Some((State::Stable, _)) => {
                self.layout = self.layout();
                Ok(())
            }
            Some((state, _)) => {
                let what = format!("the worst case of a state that is {}", state.word());
                Err(Error::unsupported(what, Place::root().child("state")))
            }
            None => Err(Error::unsupported("the worst case of a state that is not certified", Place::root())),
        }
    }

    /// Hangs the system with other numbers; none where no state could be certified.
    fn at(&mut self, numbers: &[f64]) -> Result<Option<(State, Vec<f64>)>, Error> {
        let moved = moved(self.system, numbers)?;
        let network = Network::new(&moved);
        self.states += 1;
        let outcome = match network.solve(&mut self.workspace) {
            Err(Error::Unconverged { .. }) => return Ok(None),
            other => other?,
        };
        self.pulls.clear();
        let pulls = self.workspace.tensions().zip(self.workspace.directions()).map(|(tension, u)| tension * u);
        self.pulls.extend(pulls);
        let first = |system: &System| system.bodies().first().map_or(DVec3::ZERO, |body| body.center_of_gravity);
        let mut stances = self.stances();
        if let Some((position, attitude)) = stances.get_mut(self.system.joints().len()) {
            *position -= *attitude * (first(&moved) - first(self.system));
        }
        let hooks: Vec<DVec3> = moved.hooks().iter().map(|hook| hook.position).collect();
        Ok(Some((outcome.state, self.layout.place(self.system, stances, &hooks))))
    }

    /// Where all parts hang in the last state, joints first.
    pub(super) fn stances(&self) -> Vec<Stance> {
        let count = self.system.joints().len() + self.system.bodies().len();
        (0..count).map(|part| self.workspace.stance(part).unwrap_or((DVec3::ZERO, DQuat::IDENTITY))).collect()
    }

    /// A layout around the last state.
    pub(super) fn layout(&self) -> Layout {
        let attitudes: Vec<DQuat> = self.stances().into_iter().map(|(_, attitude)| attitude).collect();
        Layout::new(self.system, &attitudes)
    }

    /// Elongation of a member in the last state, m.
    #[cfg(test)]
    pub(super) fn elongation(&self, member: usize) -> f64 {
        self.workspace.elongations().nth(member).unwrap_or(f64::NAN)
    }

    /// A force in the last state.
    fn pull(&self, force: &Pulls) -> f64 {
        let sum: DVec3 = force.iter().filter_map(|(leg, sign)| Some(*self.pulls.get(*leg)? * *sign)).sum();
        sum.length()
    }
}

impl Hangs for Hanging<'_> {
    fn hang(&mut self, numbers: &[f64]) -> Result<Option<(State, Vec<f64>)>, Error> {
        self.at(numbers)
    }

    fn value(&self, target: Target) -> f64 {
        self.pull(&target.signed().collect())
    }

    fn taut(&self) -> u32 {
        let weight: f64 = self.system.bodies().iter().map(|body| body.mass * self.system.gravity()).sum();
        let legs = self.pulls.iter().enumerate().filter(|(_, pull)| pull.length() > SLACK * weight);
        legs.fold(0, |bits, (leg, _)| bits | 1 << leg)
    }
}

/// What was found.
struct Search<'a, 'b> {
    hanging: &'a mut Hanging<'b>,
    forces: &'a [Pulls],
    best: Vec<Best>,
    /// The least box that holds the places of all stable states.
    places: Vec<Interval>,
}

impl Search<'_, '_> {
    /// Whether the state is stable; it then counts for every force.
    fn look(&mut self, numbers: &[f64]) -> Result<bool, Error> {
        let Some((State::Stable, place)) = self.hanging.at(numbers)? else { return Ok(false) };
        self.places = match self.places.as_slice() {
            [] => place.into_iter().map(Interval::point).collect(),
            known => known.iter().zip(place).map(|(side, at)| side.hull(Interval::point(at))).collect(),
        };
        for (best, force) in self.best.iter_mut().zip(self.forces) {
            let value = self.hanging.pull(force);
            if value > best.value {
                *best = Best { value, at: numbers.to_vec() };
            }
        }
        Ok(true)
    }

    /// Changes one number after the other, up and down, as long as a force rises; by half as much where none helps.
    fn ascend(&mut self, force: usize, sides: &[f64]) -> Result<(), Error> {
        let (mut share, mut looks) = (FIRST, 0);
        while share > LAST && looks < MOST_STATES {
            let mut risen = false;
            for (number, side) in sides.iter().enumerate().filter(|(_, side)| **side > 0.0) {
                for sign in [-1.0, 1.0] {
                    let Some(Best { value, at }) = self.best.get(force).cloned() else { return Ok(()) };
                    let mut moved = at.clone();
                    if let Some(slot) = moved.get_mut(number) {
                        *slot = (*slot + sign * share * side).clamp(-side, *side);
                    }
                    if moved != at {
                        self.look(&moved)?;
                        looks += 1;
                        risen |= self.best.get(force).is_some_and(|best| best.value > value);
                    }
                }
            }
            if !risen {
                share *= 0.5;
            }
        }
        Ok(())
    }
}

/// The system with other numbers: lengths, stiffnesses, center of gravity, weight, hook heights.
fn moved(system: &System, numbers: &[f64]) -> Result<System, Error> {
    let members = system.members().len();
    let (of_members, of_load) = numbers.split_at_checked(2 * members).unwrap_or_default();
    let (center, rest) = of_load.split_at_checked(3).unwrap_or_default();
    let (heavier, higher) = rest.split_at_checked(1).unwrap_or_default();
    let mut all = system.numbers();
    let mut change = |number: Number, by: &dyn Fn(f64) -> f64| {
        if let Some(slot) = system.place_of(number).and_then(|place| all.get_mut(place)) {
            *slot = by(*slot);
        }
    };
    for (index, more) in of_members.iter().enumerate() {
        let number = if index < members { Number::Length(index) } else { Number::Stiffness(index - members) };
        change(number, &|value| value + more);
    }
    for (axis, more) in center.iter().enumerate() {
        change(Number::Center { body: 0, axis }, &|value| value + more);
    }
    heavier.iter().for_each(|more| change(Number::Mass(0), &|mass| mass * (1.0 + more)));
    for (hook, more) in higher.iter().enumerate() {
        change(Number::Height(hook), &|height| height + more);
    }
    system.with_numbers(&all)
}

fn offset(system: &System, numbers: &[f64]) -> Offset {
    let members = system.members().len();
    let mut numbers = numbers.iter().copied();
    let lengths = numbers.by_ref().take(members).collect();
    let stiffness = numbers.by_ref().take(members).collect();
    let mut next = || numbers.next().unwrap_or(0.0);
    let (center_of_gravity, weight) = ([next(), next(), next()], next());
    Offset { lengths, stiffness, center_of_gravity, weight, hook_heights: numbers.collect() }
}

fn validate(system: &System, tolerances: &Tolerances) -> Result<(), Error> {
    if tolerances.hook_heights.len() != system.hooks().len() {
        let place = Place::root().child("hook_heights");
        return Err(Error::inconsistent("one tolerance of height for each hook", place));
    }
    tolerances.validate(&system.members().iter().map(|member| member.length).collect::<Vec<_>>())
}
