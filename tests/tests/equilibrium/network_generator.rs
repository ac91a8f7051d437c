//! Random networks from a counter: case `i` of a seed is always the same network. Only +, −, ×, ÷ and square roots, so
//! that it is the same on every machine.
//!
//! A network is drawn as it would hang, roughly; each member gets the length it has in that drawing, off by a random
//! share; then bodies and joints are moved and turned away from where they were drawn.

use crate::generator::Draw;
use glam::{DQuat, DVec3};
use rigging_core::system::{Body, End, Hook, Joint, Law, Member, System};

/// What kinds of networks there are, for the counts that are printed.
pub const FAMILIES: [&str; 8] = [
    "trees of beams",
    "frames",
    "rings under several hooks",
    "tandem lifts with bars",
    "loads below loads",
    "doubled members",
    "bodies on several hooks",
    "rings below rings",
];

/// A network and what was drawn for it.
#[derive(Debug)]
pub struct Drawn {
    pub system: System,
    pub family: usize,
    pub points: usize,
}

/// What all members and bodies of one network share.
struct Settings {
    /// EA over the weight of everything.
    stiffness: f64,
    /// How different the members are: their EA lies between 1/contrast and contrast times the mean.
    contrast: f64,
    /// Greatest error of a length, as a share.
    error: f64,
    curved: bool,
    /// Greatest displacement, m, and turn, rad, away from the drawing that lengths were taken from.
    moved: f64,
    turned: f64,
    /// Whether everything lies evenly and the loads' centers of gravity on the axes.
    even: bool,
    weight: f64,
}

struct Build {
    draw: Draw,
    set: Settings,
    hooks: Vec<Hook>,
    joints: Vec<Joint>,
    bodies: Vec<Body>,
    members: Vec<Member>,
}

const GRAVITY: f64 = 9.80665;

fn decade(draw: &mut Draw, low: f64, decades: u64) -> f64 {
    (0..draw.below(decades)).fold(low * draw.between(1.0, 10.0), |value, _| 10.0 * value)
}

impl Build {
    fn at(&self, end: End) -> DVec3 {
        match end {
            End::Hook(hook) => self.hooks[hook].position,
            End::Joint(joint) => self.joints[joint].position,
            End::Body { body, point } => self.bodies[body].position + self.bodies[body].points[point],
        }
    }

    fn hook(&mut self, position: DVec3) -> End {
        self.hooks.push(Hook { position });
        End::Hook(self.hooks.len() - 1)
    }

    fn joint(&mut self, position: DVec3) -> End {
        self.joints.push(Joint { position });
        End::Joint(self.joints.len() - 1)
    }

    fn body(&mut self, weight: f64, position: DVec3, center_of_gravity: DVec3, points: Vec<DVec3>) -> usize {
        let mass = weight / GRAVITY;
        self.bodies.push(Body { mass, center_of_gravity, points, position, rotation: DQuat::IDENTITY });
        self.bodies.len() - 1
    }

    /// A random number of either sign, or zero in an even network.
    fn uneven(&mut self, size: f64) -> f64 {
        if self.set.even { 0.0 } else { self.draw.between(-size, size) }
    }

    fn tie(&mut self, a: End, b: End) {
        let apart = (self.at(a) - self.at(b)).length();
        let error = self.uneven(self.set.error);
        let ratio = 1.0 + self.draw.between(0.0, self.set.contrast - 1.0);
        let ea = self.set.stiffness * self.set.weight * if self.draw.below(2) == 0 { ratio } else { 1.0 / ratio };
        let law = match (self.set.curved, self.draw.below(3)) {
            (true, 0) => Law::polynomial(vec![ea, self.draw.between(0.0, 20.0) * ea]),
            (true, 1) => {
                let knee = 0.2 / self.set.stiffness;
                Law::piecewise_linear(vec![[knee, 0.5 * ea * knee], [3.0 * knee, 2.5 * ea * knee]])
            }
            _ => Law::linear(ea),
        };
        self.members.push(Member { a, b, length: apart * (1.0 + error), law: law.unwrap() });
    }

    /// A load whose points stand on its upper side; its center of gravity lies below or above them.
    fn load(&mut self, weight: f64, below: DVec3, points: Vec<DVec3>) -> usize {
        let size = points.iter().map(|p| p.length()).fold(0.3, f64::max);
        let rise = match self.draw.below(10) {
            0 => self.draw.between(0.0, 1.2) * size,
            1..=3 => self.draw.between(-0.2, 0.2) * size,
            _ => self.draw.between(-1.0, 0.0) * size,
        };
        let aside = DVec3::new(self.uneven(0.2) * size, self.uneven(0.2) * size, rise);
        self.body(weight, below, aside, points)
    }

    /// Points on a rectangle or, for more than four, along its two long sides.
    fn grid(&mut self, count: usize, half: DVec3) -> Vec<DVec3> {
        if count <= 3 {
            let corners = [DVec3::new(-1.0, 0.0, 0.0), DVec3::new(1.0, 0.0, 0.0), DVec3::new(0.0, 1.0, 0.0)];
            return corners.iter().take(count).map(|c| *c * half).collect();
        }
        let columns = count.div_ceil(2);
        (0..count)
            .map(|i| {
                let x = 2.0 * (i / 2) as f64 / (columns - 1) as f64 - 1.0;
                let y = if i % 2 == 0 { -1.0 } else { 1.0 };
                DVec3::new(x * half.x, y * half.y, self.uneven(0.05) * half.x)
            })
            .collect()
    }

    /// A beam for `points` points below `from`, and all that hangs from it; what the lowest beams lead to is returned.
    fn beams(&mut self, from: End, points: usize, span: f64, weight: f64, ends: &mut Vec<End>) {
        let top = self.at(from);
        let half = 0.25 * span * points as f64;
        let uneven = self.uneven(0.2);
        let center = top - DVec3::Z * half * self.draw.between(0.7, 2.0);
        let across = self.draw.below(4) == 0;
        let axis = if across { DVec3::Y } else { DVec3::X };
        let lift = self.draw.between(-0.05, 0.15) * half;
        let arm = |side: f64| axis * (side * half * (1.0 + side * uneven));
        let points_of = vec![arm(-1.0) + DVec3::Z * lift.abs(), arm(1.0) + DVec3::Z * lift.abs(), arm(-1.0), arm(1.0)];
        let own = self.draw.between(0.005, 0.05) * weight;
        let beam = self.body(own, center, DVec3::new(0.0, 0.0, lift), points_of);
        for side in 0..2 {
            self.tie(from, End::Body { body: beam, point: side });
            let end = End::Body { body: beam, point: 2 + side };
            if points == 2 {
                ends.push(end);
            } else {
                let below = self.at(end) - DVec3::Z * self.draw.between(0.5, 1.5);
                let ring = self.joint(below);
                self.tie(end, ring);
                self.beams(ring, points / 2, span, 0.5 * weight, ends);
            }
        }
    }

    /// Hangs one load, or one load each, from what is given, by plumb members.
    fn hang(&mut self, ends: &[End], weight: f64) {
        let drop = self.draw.between(0.5, 3.0);
        let low = ends.iter().map(|end| self.at(*end).z).fold(f64::INFINITY, f64::min) - drop;
        let groups = match self.draw.below(4) {
            0 => ends.len(),
            1 => 2.min(ends.len()),
            _ => 1,
        };
        for group in ends.chunks(ends.len().div_ceil(groups)) {
            let mean = group.iter().map(|end| self.at(*end)).sum::<DVec3>() / group.len() as f64;
            let center = DVec3::new(mean.x, mean.y, low);
            let points: Vec<DVec3> = group
                .iter()
                .map(|end| {
                    let at = self.at(*end);
                    DVec3::new(at.x - center.x, at.y - center.y, 0.0)
                })
                .collect();
            let load = self.load(weight / groups as f64, center, points);
            for (point, end) in group.iter().enumerate() {
                self.tie(*end, End::Body { body: load, point });
            }
        }
    }

    fn frame(&mut self, count: usize) {
        let half = DVec3::new(self.draw.between(1.0, 6.0), self.draw.between(0.5, 2.0), 0.0);
        let hook = self.hook(DVec3::ZERO);
        let upper = self.grid(4, half);
        let lower = self.grid(count, half);
        let high = half.x * self.draw.between(0.8, 2.0);
        let points = upper.iter().chain(&lower).copied().collect();
        let own = self.draw.between(0.01, 0.2) * self.set.weight;
        let low = DVec3::Z * self.draw.between(-0.2, 0.1);
        let frame = self.body(own, DVec3::Z * -high, low, points);
        for point in 0..4 {
            self.tie(hook, End::Body { body: frame, point });
        }
        let ends: Vec<End> = (0..count).map(|i| End::Body { body: frame, point: 4 + i }).collect();
        self.hang(&ends, self.set.weight);
    }

    fn several_hooks(&mut self, count: usize, apart: f64) -> Vec<End> {
        (0..count)
            .map(|i| {
                let x = apart * (i as f64 - 0.5 * (count - 1) as f64);
                let y = if count > 2 && i == 1 { apart } else { 0.0 };
                let z = self.uneven(0.3) * apart;
                self.hook(DVec3::new(x, y, z))
            })
            .collect()
    }

    fn rings_under_hooks(&mut self, count: usize) {
        let number = 2 + self.draw.below(3) as usize;
        let apart = self.draw.between(1.0, 6.0);
        let hooks = self.several_hooks(number, apart);
        let below = DVec3::Z * -apart * self.draw.between(0.7, 2.0);
        let ring = self.joint(below);
        for hook in hooks {
            self.tie(hook, ring);
        }
        self.bridle_below(ring, count, self.set.weight);
    }

    /// A load on slanting members below one point.
    fn bridle_below(&mut self, from: End, count: usize, weight: f64) -> usize {
        let half = DVec3::new(self.draw.between(0.5, 4.0), self.draw.between(0.5, 2.0), 0.0);
        let points = self.grid(count, half);
        let below = self.at(from) - DVec3::Z * half.x * self.draw.between(0.8, 2.5);
        let load = self.load(weight, below, points);
        for point in 0..count {
            self.tie(from, End::Body { body: load, point });
        }
        load
    }

    fn tandem(&mut self, points: usize) {
        let number = 2 + self.draw.below(2) as usize;
        let apart = self.draw.between(3.0, 15.0);
        let hooks = self.several_hooks(number, apart);
        let mut ends = Vec::new();
        let each = points.next_power_of_two().max(2);
        for hook in hooks {
            let span = self.draw.between(0.4, 1.0);
            self.beams(hook, each, span, self.set.weight / number as f64, &mut ends);
        }
        self.hang(&ends, self.set.weight);
    }

    fn loads_below_loads(&mut self, count: usize) {
        let hook = self.hook(DVec3::ZERO);
        let tiers = 2 + self.draw.below(3);
        let mut from = hook;
        for _ in 0..tiers {
            let weight = self.set.weight * self.draw.between(0.1, 1.0);
            let load = self.bridle_below(from, count, weight);
            let low = DVec3::new(self.uneven(0.3), self.uneven(0.3), -self.draw.between(0.5, 2.0));
            self.bodies[load].points.push(low);
            let end = End::Body { body: load, point: count };
            let below = self.at(end) - DVec3::Z * self.draw.between(0.5, 2.0);
            from = self.joint(below);
            self.tie(end, from);
        }
        self.bridle_below(from, count, self.set.weight);
    }

    fn body_on_hooks(&mut self, count: usize) {
        let number = 2 + self.draw.below(3) as usize;
        let apart = self.draw.between(1.0, 8.0);
        let hooks = self.several_hooks(number, apart);
        let half = DVec3::new(0.5 * apart * number as f64, 0.3 * apart, 0.0);
        let points = self.grid(count.max(number), half);
        let low = apart * self.draw.between(1.0, 3.0);
        let load = self.load(self.set.weight, DVec3::Z * -low, points);
        for (i, hook) in hooks.iter().enumerate() {
            for point in 0..count.max(number) {
                // Every hook has members, and some points are held by several hooks.
                if point % number == i || self.draw.below(4) == 0 {
                    self.tie(*hook, End::Body { body: load, point });
                }
            }
        }
    }

    fn rings_below_rings(&mut self, points: usize) {
        let hook = self.hook(DVec3::ZERO);
        let below = DVec3::Z * -self.draw.between(0.5, 2.0);
        let top = self.joint(below);
        self.tie(hook, top);
        let half = 0.3 * points as f64;
        let load_at = DVec3::Z * (self.at(top).z - half * self.draw.between(2.0, 4.0));
        let lugs = self.grid(points, DVec3::new(half, 0.3 * half, 0.0));
        let load = self.load(self.set.weight, load_at, lugs.clone());
        let mut level: Vec<(End, DVec3)> =
            (0..points).map(|point| (End::Body { body: load, point }, load_at + lugs[point])).collect();
        while level.len() > 4 {
            let mut upper = Vec::new();
            for group in level.chunks(2 + self.draw.below(3) as usize) {
                let mean = group.iter().map(|(_, at)| *at).sum::<DVec3>() / group.len() as f64;
                let at = mean + (self.at(top) - mean) * self.draw.between(0.2, 0.4);
                let ring = self.joint(at);
                for (end, _) in group {
                    self.tie(ring, *end);
                }
                upper.push((ring, at));
            }
            level = upper;
        }
        for (end, _) in level {
            self.tie(top, end);
        }
    }

    /// Members of which a part runs twice between the same ends.
    fn double(&mut self) {
        for index in 0..self.members.len() {
            if self.draw.below(3) == 0 {
                let Member { a, b, .. } = self.members[index];
                self.tie(a, b);
            }
        }
    }

    fn shake(&mut self) {
        let (moved, turned) = (self.set.moved, self.set.turned);
        let any = |draw: &mut Draw, size: f64| {
            DVec3::new(draw.between(-size, size), draw.between(-size, size), draw.between(-size, size))
        };
        for joint in &mut self.joints {
            joint.position += any(&mut self.draw, moved);
        }
        for body in &mut self.bodies {
            body.position += any(&mut self.draw, moved);
            let half = 0.5 * any(&mut self.draw, turned);
            body.rotation = DQuat::from_xyzw(half.x, half.y, half.z, 1.0).normalize();
        }
    }
}

/// Case `case` of `seed`, with EA/W between 10 and 1e6.
pub fn random_network(seed: u64, case: u64) -> Drawn {
    let mut draw = Draw::new(seed, case);
    let family = draw.below(FAMILIES.len() as u64) as usize;
    // Small networks are the many, large ones the few.
    let points = match draw.below(100) {
        0 => 64,
        1..=3 => 32,
        4..=10 => 16,
        11..=30 => 8,
        31..=70 => 4,
        _ => 2 + draw.below(2) as usize,
    };
    let even = draw.below(8) == 0;
    let shaken = !even && draw.below(3) > 0;
    let set = Settings {
        stiffness: decade(&mut draw, 10.0, 5),
        contrast: if even { 1.0 } else { draw.between(1.0, 3.0) },
        error: [0.0, 0.001, 0.01, 0.03][draw.below(4) as usize],
        curved: draw.below(5) == 0,
        moved: if shaken { draw.between(0.0, 0.3) } else { 0.0 },
        turned: if shaken { draw.between(0.0, 0.2) } else { 0.0 },
        even,
        weight: decade(&mut draw, 1.0e3, 4),
    };
    let mut build = Build { draw, set, hooks: vec![], joints: vec![], bodies: vec![], members: vec![] };
    match family {
        0 | 5 => {
            let hook = build.hook(DVec3::ZERO);
            let (mut ends, span, weight) = (Vec::new(), build.draw.between(0.5, 2.0), build.set.weight);
            build.beams(hook, points.next_power_of_two(), span, weight, &mut ends);
            build.hang(&ends, weight);
        }
        1 => build.frame(points),
        2 => build.rings_under_hooks(points),
        3 => build.tandem(points.min(16)),
        4 => build.loads_below_loads(points.min(8)),
        6 => build.body_on_hooks(points),
        _ => build.rings_below_rings(points),
    }
    if family == 5 {
        build.double();
    }
    build.shake();
    let Build { hooks, joints, bodies, members, .. } = build;
    let system = System::new(GRAVITY, hooks, joints, bodies, members).unwrap();
    Drawn { system, family, points }
}
