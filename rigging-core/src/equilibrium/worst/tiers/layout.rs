//! How an arrangement is told: an order of its parts, where each is counted from, and which turn freely.
#![expect(clippy::indexing_slicing, reason = "every index is that of a part, which the system has")]

use crate::equilibrium::worst::turn::between;
use crate::system::{End, System};
use glam::{DQuat, DVec3};

/// Where a part was found: its joint or center of gravity, and its attitude.
pub(in super::super) type Stance = (DVec3, DQuat);

/// What an end of a member is fixed to: a hook, or a part, a joint or a body, by its index. Joints come first, as in the solver.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tied {
    Hook(usize),
    Part(usize),
}

/// A joint or a body.
#[derive(Debug)]
pub(super) struct Part {
    /// The body; none for a joint.
    pub(super) body: Option<usize>,
    /// Nominal attitude.
    pub(super) attitude: DQuat,
    /// What its place is counted from: the mean of these, nearer to the hooks.
    pub(super) from: Vec<Tied>,
    /// First of the three symbols of its place.
    pub(super) place: usize,
    /// Symbols of its turn about three axes; none about which it does not turn, or freely.
    pub(super) turn: [Option<usize>; 3],
    /// It and all that would fall with it: parts that reach no hook but by it.
    pub(super) carries: Vec<usize>,
}

/// Parts that hang from one place alone: as a whole they turn freely about the plumb line through it.
#[derive(Debug)]
pub(super) struct Hanging {
    /// The place.
    pub(super) from: End,
    pub(super) parts: Vec<usize>,
    /// The members from there.
    pub(super) members: Vec<usize>,
}

/// The order in which an arrangement is told.
#[derive(Debug)]
pub(in super::super) struct Layout {
    pub(super) parts: Vec<Part>,
    /// From the hooks on.
    pub(super) order: Vec<usize>,
    /// What turns freely, larger groups first, each with the body by whose turn it is held.
    pub(super) spins: Vec<(Hanging, usize)>,
    /// All that hangs from one place alone.
    pub(super) hanging: Vec<Hanging>,
    /// Number of symbols of the place.
    pub(super) places: usize,
    /// The mean of the hooks.
    pub(super) middle: DVec3,
    joints: usize,
}

impl Layout {
    /// The layout of a system whose parts were found to hang nominally with these attitudes, joints first.
    pub(in super::super) fn new(system: &System, attitudes: &[DQuat]) -> Self {
        let joints = system.joints().len();
        let count = joints + system.bodies().len();
        let tied = |end: End| tied(end, joints);
        let ends: Vec<[Tied; 2]> = system.members().iter().map(|member| [tied(member.a), tied(member.b)]).collect();
        let levels = levels(&ends, count);
        let mut order: Vec<usize> = (0..count).collect();
        order.sort_by_key(|part| levels[*part]);
        let level = |one: Tied| match one {
            Tied::Hook(_) => 0,
            Tied::Part(part) => levels[part],
        };
        let hanging = hanging(system, &ends, count);
        let spins = spins(&hanging, joints);
        let mut places = 0;
        let mut parts: Vec<Part> = (0..count)
            .map(|part| {
                let mut from: Vec<Tied> = Vec::new();
                for other in beside(&ends, part) {
                    if level(other) < levels[part] && !from.contains(&other) {
                        from.push(other);
                    }
                }
                let carries: Vec<usize> = {
                    let held = held(&ends, count, Some(part));
                    std::iter::once(part).chain((0..count).filter(|one| *one != part && !held[*one])).collect()
                };
                let attitude = attitudes.get(part).copied().unwrap_or(DQuat::IDENTITY);
                Part { body: part.checked_sub(joints), attitude, from, place: 0, turn: [None; 3], carries }
            })
            .collect();
        for part in &order {
            let free = spins.iter().any(|(_, by)| by == part);
            let own = &mut parts[*part];
            own.place = places;
            places += 3;
            if own.body.is_some() {
                // Of what turns freely the turn about the vertical is held.
                for axis in 0..if free { 2 } else { 3 } {
                    own.turn[axis] = Some(places);
                    places += 1;
                }
            }
        }
        let sum: DVec3 = system.hooks().iter().map(|hook| hook.position).sum();
        let middle = sum / system.hooks().len().max(1) as f64;
        Self { parts, order, spins, hanging, places, middle, joints }
    }

    pub(super) fn tied(&self, end: End) -> Tied {
        tied(end, self.joints)
    }

    /// The part that is the load.
    pub(super) const fn load(&self) -> usize {
        self.joints
    }

    /// The place of parts that were found in the world, with hooks where `hooks` says: what turns freely is turned back. The
    /// stances are of nominal centers of gravity.
    pub(in super::super) fn place(&self, system: &System, mut stances: Vec<Stance>, hooks: &[DVec3]) -> Vec<f64> {
        let raised = hooks.first().zip(system.hooks().first());
        let raised = raised.map_or(0.0, |(now, drawn)| now.z - drawn.position.z);
        for (group, by) in &self.spins {
            let at = match group.from {
                End::Hook(hook) => hooks[hook],
                End::Joint(joint) => stances[joint].0,
                End::Body { body, point } => {
                    let (own, (center, turn)) = (&system.bodies()[body], stances[self.joints + body]);
                    center + turn * (own.points[point] - own.center_of_gravity)
                }
            };
            let turned = stances[*by].1 * self.parts[*by].attitude.conjugate();
            let back = DQuat::from_xyzw(0.0, 0.0, -turned.z, turned.w).normalize();
            for part in &group.parts {
                let (position, attitude) = &mut stances[*part];
                *position = at + back * (*position - at);
                *attitude = back * *attitude;
            }
        }
        let frame = self.middle + DVec3::Z * raised;
        let mut place = vec![0.0; self.places];
        for (part, (position, attitude)) in self.parts.iter().zip(&stances) {
            let from = part.from.iter().map(|from| match from {
                Tied::Hook(hook) => hooks[*hook] - frame,
                Tied::Part(other) => stances[*other].0 - frame,
            });
            let from = from.sum::<DVec3>() / part.from.len().max(1) as f64;
            place[part.place..part.place + 3].copy_from_slice(&(*position - frame - from).to_array());
            for (symbol, along) in part.turn.iter().zip(between(part.attitude, *attitude)) {
                if let Some(symbol) = symbol {
                    place[*symbol] = along;
                }
            }
        }
        place
    }
}

fn tied(end: End, joints: usize) -> Tied {
    match end {
        End::Hook(hook) => Tied::Hook(hook),
        End::Joint(joint) => Tied::Part(joint),
        End::Body { body, .. } => Tied::Part(joints + body),
    }
}

/// What is at the other end of each member of a part.
fn beside(ends: &[[Tied; 2]], part: usize) -> impl Iterator<Item = Tied> {
    let from = ends.iter().flat_map(|[a, b]| [(*a, *b), (*b, *a)]);
    from.filter(move |(own, _)| *own == Tied::Part(part)).map(|(_, other)| other)
}

/// How many members each part is from a hook.
fn levels(ends: &[[Tied; 2]], count: usize) -> Vec<usize> {
    let mut levels = vec![usize::MAX; count];
    for _ in 0..count {
        for part in 0..count {
            let above = beside(ends, part).map(|other| match other {
                Tied::Hook(_) => 0,
                Tied::Part(other) => levels[other],
            });
            if let Some(least) = above.min().filter(|least| *least < usize::MAX) {
                levels[part] = levels[part].min(least + 1);
            }
        }
    }
    levels
}

/// Which parts reach a hook, one of them taken away.
fn held(ends: &[[Tied; 2]], count: usize, without: Option<usize>) -> Vec<bool> {
    let mut held = vec![false; count];
    for _ in 0..count {
        for part in (0..count).filter(|part| Some(*part) != without) {
            let reaches = beside(ends, part).any(|other| match other {
                Tied::Hook(_) => true,
                Tied::Part(other) => held[other],
            });
            held[part] = held[part] || reaches;
        }
    }
    held
}

/// For every place at which members end, the groups of parts that reach a hook by that place alone.
fn hanging(system: &System, ends: &[[Tied; 2]], count: usize) -> Vec<Hanging> {
    let joints = system.joints().len();
    let mut found: Vec<Hanging> = Vec::new();
    let mut places: Vec<End> = Vec::new();
    for end in system.members().iter().flat_map(|member| [member.a, member.b]) {
        if !places.contains(&end) {
            places.push(end);
        }
    }
    for place in places {
        // Members that end there lead nowhere, and a joint is nothing but the place.
        let here: Vec<bool> = system.members().iter().map(|member| [member.a, member.b].contains(&place)).collect();
        let others: Vec<[Tied; 2]> =
            ends.iter().zip(&here).filter(|(_, here)| !**here).map(|(ends, _)| *ends).collect();
        let joint = if let End::Joint(joint) = place { Some(joint) } else { None };
        let reaching = held(&others, count, joint);
        let mut seen = vec![false; count];
        for start in (0..count).filter(|start| !reaching[*start] && Some(*start) != joint) {
            if seen[start] {
                continue;
            }
            let mut parts = vec![start];
            seen[start] = true;
            let mut next = 0;
            while let Some(part) = parts.get(next).copied() {
                next += 1;
                for other in beside(&others, part) {
                    if let Tied::Part(other) = other
                        && !seen[other]
                    {
                        seen[other] = true;
                        parts.push(other);
                    }
                }
            }
            let own = |end: Tied| matches!(end, Tied::Part(part) if parts.contains(&part));
            let inward = |member: &usize| {
                let (ends, model) = (ends[*member], &system.members()[*member]);
                (model.a == place && own(ends[1])) || (model.b == place && own(ends[0]))
            };
            let members: Vec<usize> = (0..ends.len()).filter(|member| here[*member]).filter(inward).collect();
            // A body does not turn about a point of its own.
            let itself = matches!(tied(place, joints), Tied::Part(part) if parts.contains(&part));
            if !members.is_empty() && !itself {
                parts.sort_unstable();
                found.push(Hanging { from: place, parts, members });
            }
        }
    }
    found
}

/// The groups that turn freely, larger ones first, each with a body that no smaller one holds; by its turn the group is held.
/// Of groups of the same bodies, such as those above and below a ring, there is one turn.
fn spins(hanging: &[Hanging], joints: usize) -> Vec<(Hanging, usize)> {
    let bodies =
        |group: &Hanging| -> Vec<usize> { group.parts.iter().copied().filter(|part| *part >= joints).collect() };
    let mut groups: Vec<&Hanging> = hanging.iter().collect();
    groups.sort_by_key(|group| std::cmp::Reverse(group.parts.len()));
    let mut found: Vec<(Hanging, usize)> = Vec::new();
    for (index, group) in groups.iter().enumerate() {
        let smaller = || groups.iter().skip(index + 1).filter(|other| other.parts.len() < group.parts.len());
        let own = bodies(group);
        let alone = own.iter().find(|body| !smaller().any(|other| other.parts.contains(body)));
        if let Some(body) = alone
            && !found.iter().any(|(known, by)| by == body || bodies(known) == own)
        {
            let copy = Hanging { from: group.from, parts: group.parts.clone(), members: group.members.clone() };
            found.push((copy, *body));
        }
    }
    found
}
