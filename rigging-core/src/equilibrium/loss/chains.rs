//! The proved bound of a tension, from energy alone.
//!
//! Each body is tied to a hook by a chain of members, with arms of bodies between them, so that
//! z ≥ z_hook − (arms + unstretched lengths + elongations). With w_i the weight that passes through member i by the
//! chains chosen, the energy at any instant is at least
//!
//!   Σ_b W_b·(z_hook − arms − lengths) + Σ_i (U_i(e_i) − w_i·e_i),
//!
//! and it is at most what it was at the start. The terms of all members but one are at their least where T_i(e_i) = w_i;
//! what is left over, B, bounds the one: U(e) − w·e ≤ B. Any choice of chains gives a valid bound; two are tried for
//! each member, the shortest ones and those that prefer the member itself, and the smaller bound is kept.

use crate::equilibrium::certificate::Certificate;
use crate::system::{End, Member, System};
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// Halvings of an interval: more than a double has digits.
const HALVINGS: usize = 200;

/// One choice of chains: for each member the weight it passes on, and the lowest the bodies can be with every member at
/// its unstretched length, as energy.
struct Choice {
    carried: Vec<f64>,
    lowest: f64,
}

/// The chains of a system.
pub(super) struct Chains<'a> {
    system: &'a System,
    /// For each hook, joint and body in turn, the members that meet it, each with its other end.
    around: Vec<Vec<(usize, End, End)>>,
}

/// How a hook, a joint or a body is reached from above.
#[derive(Debug, Clone, Copy)]
struct Reached {
    /// Where the chain arrives.
    at: End,
    /// Length that decides between chains, m, to that end.
    way: f64,
    /// The same to the thing's own place: the center of gravity of a body.
    whole: f64,
    /// Height of that end below which it cannot hang with all members at their unstretched lengths, m.
    floor: f64,
    /// The member it comes by, and that member's upper end.
    by: Option<(usize, End)>,
}

/// A way not yet taken; the shortest comes first, of equal ones that by the first member.
struct Candidate(Reached);

impl Candidate {
    fn key(&self) -> (f64, usize) {
        (self.0.whole, self.0.by.map_or(0, |(member, _)| member + 1))
    }
}

impl Ord for Candidate {
    fn cmp(&self, other: &Self) -> Ordering {
        let ((way, member), (other_way, other_member)) = (self.key(), other.key());
        other_way.total_cmp(&way).then(other_member.cmp(&member))
    }
}

impl PartialOrd for Candidate {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Candidate {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Candidate {}

impl<'a> Chains<'a> {
    pub(super) fn new(system: &'a System) -> Self {
        let count = system.hooks().len() + system.joints().len() + system.bodies().len();
        let mut chains = Self { system, around: vec![Vec::new(); count] };
        for (index, member) in system.members().iter().enumerate() {
            for (from, to) in [(member.a, member.b), (member.b, member.a)] {
                let thing = chains.thing(from);
                chains.around.get_mut(thing).into_iter().for_each(|list| list.push((index, from, to)));
            }
        }
        chains
    }

    /// The number of the hook, joint or body that an end belongs to.
    fn thing(&self, end: End) -> usize {
        let (hooks, joints) = (self.system.hooks().len(), self.system.joints().len());
        match end {
            End::Hook(hook) => hook,
            End::Joint(joint) => hooks + joint,
            End::Body { body, .. } => hooks + joints + body,
        }
    }

    /// How far two ends of one thing are apart, m.
    fn apart(&self, one: End, other: End) -> f64 {
        match (one, other) {
            (End::Body { body, point }, End::Body { point: to, .. }) => self
                .system
                .bodies()
                .get(body)
                .and_then(|body| Some((*body.points.get(point)? - *body.points.get(to)?).length()))
                .unwrap_or(0.0),
            _ => 0.0,
        }
    }

    /// From an end to its thing's own place, m: the arm of a body, nothing else.
    fn arm(&self, end: End) -> f64 {
        let End::Body { body, point } = end else { return 0.0 };
        let body = self.system.bodies().get(body);
        body.and_then(|body| Some((*body.points.get(point)? - body.center_of_gravity).length())).unwrap_or(0.0)
    }

    /// The tension that each member cannot exceed when the system starts at rest in `pose` with `strained` J in its
    /// members.
    pub(super) fn bounds(&self, pose: &Certificate, strained: f64) -> Vec<f64> {
        let gravity = self.system.gravity();
        let start = self
            .system
            .bodies()
            .iter()
            .zip(&pose.bodies)
            .fold(strained, |sum, (body, pose)| sum + body.mass * gravity * pose.center_of_gravity.z);
        let shortest = self.choose(None);
        let members = self.system.members().iter().enumerate();
        members
            .map(|(index, member)| {
                let own = self.choose(Some(index));
                self.bound(&shortest, start, index, member).min(self.bound(&own, start, index, member))
            })
            .collect()
    }

    fn bound(&self, choice: &Choice, start: f64, index: usize, member: &Member) -> f64 {
        let carried = |index: usize| choice.carried.get(index).copied().unwrap_or(0.0);
        let others = self.system.members().iter().enumerate().filter(|(other, _)| *other != index);
        let left = others.fold(start - choice.lowest, |sum, (other, found)| sum + most(found, carried(other)));
        let strain = strain_where(|strain| {
            member.length * (member.law.energy(strain) - carried(index) * strain) > left
                && member.law.tension(strain) > carried(index)
        });
        member.law.tension(strain)
    }

    /// Chooses a chain to each thing: the shortest, where the length of the member `preferred` does not count. Each
    /// thing is reached once, from one that was reached before it.
    fn choose(&self, preferred: Option<usize>) -> Choice {
        let mut reached: Vec<Option<Reached>> = vec![None; self.around.len()];
        let hooks = self.system.hooks().iter().enumerate();
        let mut open: BinaryHeap<Candidate> = hooks
            .map(|(hook, found)| {
                Candidate(Reached { at: End::Hook(hook), way: 0.0, whole: 0.0, floor: found.position.z, by: None })
            })
            .collect();
        while let Some(Candidate(next)) = open.pop() {
            let thing = self.thing(next.at);
            let Some(slot) = reached.get_mut(thing).filter(|slot| slot.is_none()) else { continue };
            *slot = Some(next);
            for (index, from, to) in self.around.get(thing).into_iter().flatten() {
                let Some(member) = self.system.members().get(*index) else { continue };
                let across = self.apart(next.at, *from);
                let counted = if preferred == Some(*index) { 0.0 } else { member.length };
                let way = next.way + across + counted;
                open.push(Candidate(Reached {
                    at: *to,
                    way,
                    whole: way + self.arm(*to),
                    floor: next.floor - across - member.length,
                    by: Some((*index, *from)),
                }));
            }
        }
        self.weigh(&reached)
    }

    /// The weights that the chains pass on.
    fn weigh(&self, reached: &[Option<Reached>]) -> Choice {
        let mut choice = Choice { carried: vec![0.0; self.system.members().len()], lowest: 0.0 };
        for (index, body) in self.system.bodies().iter().enumerate() {
            let weight = body.mass * self.system.gravity();
            let mut place = Some(End::Body { body: index, point: 0 });
            let found = |place: Option<End>| reached.get(self.thing(place?)).copied().flatten();
            if let Some(Reached { at, floor, .. }) = found(place) {
                choice.lowest += weight * (floor - self.arm(at));
            }
            while let Some((member, upper)) = found(place).and_then(|found| found.by) {
                if let Some(carried) = choice.carried.get_mut(member) {
                    *carried += weight;
                }
                place = Some(upper);
            }
        }
        choice
    }
}

/// The most that `weight` can gain on the stretch of a member over its strain energy, J.
fn most(member: &Member, weight: f64) -> f64 {
    if weight <= 0.0 {
        return 0.0;
    }
    let strain = strain_where(|strain| member.law.tension(strain) > weight);
    member.length * (weight * strain - member.law.energy(strain))
}

/// The least strain from which on a condition holds that holds for all larger ones, from above.
fn strain_where(holds: impl Fn(f64) -> bool) -> f64 {
    let mut high = 1.0e-9;
    while !holds(high) && high < 1.0e12 {
        high *= 2.0;
    }
    let mut low = 0.0;
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if holds(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}
