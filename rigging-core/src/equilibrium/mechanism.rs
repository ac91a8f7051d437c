//! Mechanisms: small motions that an equilibrium does not resist, each as a motion that has a name.
//!
//! First come the free turns about plumb lines, then what a single body or joint can do by itself, then what is left:
//! parts that move together. Physics knows no names: [`Motion::words`] takes them from the caller.

use super::certificate::Certificate;
use super::dense::{Dense, dot, extend};
use super::mode::of_hung;
use super::network::Hung;
use super::shape::{Movement, Shape};
use crate::error::{Error, Place, Reading};
use crate::system::{End, System};
use glam::DVec3;
use serde::Serialize;

/// A motion belongs to the null space if no more than this share of it stands outside.
const OUTSIDE: f64 = 1.0e-4;
/// Less than this share of the largest motion is none; so is a smaller offset from an axis, over the reach.
const STILL: f64 = 1.0e-5;

/// A joint or a body, by its index.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// A joint.
    Joint(usize),
    /// A body.
    Body(usize),
}

/// What a motion is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// A turn of all parts together about the vertical through a point.
    Vertical {
        /// The point.
        #[serde(skip)]
        through: End,
    },
    /// A turn of one body about the line through its points of attachment.
    Roll,
    /// A turn of the part that moves most about another axis.
    Turn {
        /// A point of the axis, m, in the world.
        point: DVec3,
        /// Direction of the axis (unit vector).
        axis: DVec3,
        /// Displacement along the axis for each radian, m.
        pitch: f64,
    },
    /// A displacement of the part that moves most.
    Slide {
        /// Direction (unit vector).
        direction: DVec3,
    },
}

/// A motion that nothing resists.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Motion {
    /// What it is.
    pub kind: Kind,
    /// The part that moves most.
    pub leader: Part,
    /// All parts that move, the leader among them.
    pub parts: Vec<Part>,
    /// The motion, of no particular size.
    pub shape: Shape,
}

/// The motions that an equilibrium does not resist.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Mechanisms {
    /// The motions, independent of each other, as many as the certificate has null modes.
    pub motions: Vec<Motion>,
    /// Largest stiffness, in magnitude, among the modes that count as null beyond free turns about plumb lines, N/m.
    pub greatest_null: Option<f64>,
    /// Least stiffness, in magnitude, among the others, N/m.
    pub least_other: Option<f64>,
}

/// Names for parts and points; where one is missing, the number stands in its place.
#[derive(Debug, Clone, Copy, Default)]
pub struct Names<'a> {
    /// Names of the hooks.
    pub hooks: &'a [&'a str],
    /// Names of the joints.
    pub joints: &'a [&'a str],
    /// Names of the bodies.
    pub bodies: &'a [&'a str],
}

/// The motions that nothing resists at an equilibrium.
///
/// # Errors
///
/// [`Error::Inconsistent`] if the certificate is not of this system; [`Error::Unconverged`] if the motions found are not
/// as many as the certificate has null modes, or the modes do not come out (see
/// [`softest_modes`](super::mode::softest_modes)).
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::equilibrium::{mechanism::{Names, mechanisms}, solve};
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
/// // A round bar on two slings, its center of gravity on the line of its lugs.
/// let body = Body {
///     mass: 500.0,
///     center_of_gravity: DVec3::ZERO,
///     points: vec![DVec3::new(-1.0, 0.0, 0.0), DVec3::new(1.0, 0.0, 0.0)],
///     position: DVec3::ZERO,
///     rotation: DQuat::IDENTITY,
/// };
/// let leg = |point| -> Result<Member, rigging_core::error::Error> {
///     Ok(Member { a: End::Hook(0), b: End::Body { body: 0, point }, length: 2.0, law: Law::linear(1.0e6)? })
/// };
/// let hook = Hook { position: DVec3::new(0.0, 0.0, 2.0) };
/// let system = System::new(9.80665, vec![hook], vec![], vec![body], vec![leg(0)?, leg(1)?])?;
/// let found = mechanisms(&system, &solve(&system)?)?;
/// let names = Names { hooks: &["A"], joints: &[], bodies: &["bar B7"] };
/// let words: Vec<String> = found.motions.iter().map(|motion| motion.words(&names)).collect();
/// assert_eq!(words, [
///     "bar B7 free to turn about the vertical through hook A",
///     "bar B7 free to roll about its own axis",
/// ]);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn mechanisms(system: &System, certificate: &Certificate) -> Result<Mechanisms, Error> {
    let hung = Hung::of(system, certificate)?;
    let view = View::new(system, &hung);
    let turns = hung.free_turns();
    let beyond = certificate.null_modes.saturating_sub(turns.len());
    let mut modes = of_hung(&hung, beyond + certificate.negative_modes + 4)?.modes;
    modes.sort_by(|one, other| one.stiffness.abs().total_cmp(&other.stiffness.abs()));
    let others = modes.split_off(beyond.min(modes.len()));
    let mut space: Vec<Vec<f64>> = Vec::new();
    let mut found: Vec<Vec<f64>> = Vec::new();
    let mut motions = Vec::new();
    let joints = system.joints().len();
    for (turn, motion) in turns {
        let motion = hung.shape(&motion);
        extend(&mut space, view.flat(&motion), 1.0e-9);
        // A joint that hangs slack may turn about a plumb line too, but that is not what it does.
        if turn.nodes.iter().all(|node| *node < joints) {
            continue;
        }
        extend(&mut found, view.flat(&motion), 1.0e-9);
        let parts: Vec<Part> = turn.nodes.iter().map(|node| part(*node, joints)).collect();
        let Some(leader) = parts.iter().copied().max_by_key(|part| matches!(part, Part::Body(_))) else { continue };
        motions.push(Motion { kind: Kind::Vertical { through: turn.pivot }, leader, parts, shape: motion });
    }
    for mode in &modes {
        extend(&mut space, view.flat(&mode.shape), 1.0e-9);
    }
    // A roll is told as it is; of all others, what was told before is left out.
    let mut candidates: Vec<(Vec<f64>, bool)> = Vec::new();
    if motions.len() < certificate.null_modes {
        candidates.extend((0..system.bodies().len()).filter_map(|body| Some((view.roll(body)?, true))));
        let alone = view.alone(&hung, &modes, others.first().map(|mode| mode.stiffness.abs()));
        candidates.extend(alone.into_iter().map(|motion| (motion, false)));
    }
    candidates.extend(modes.iter().map(|mode| (view.flat(&mode.shape), false)));
    for (candidate, whole) in candidates {
        let size = dot(&candidate, &candidate).sqrt();
        let outside = extend(&mut space.clone(), candidate.clone(), 2.0);
        if outside > OUTSIDE * size || found.len() >= certificate.null_modes {
            continue;
        }
        let count = found.len();
        extend(&mut found, candidate.clone(), 10.0 * OUTSIDE);
        if let Some(last) = found.get(count) {
            motions.push(view.told(if whole { &candidate } else { last }));
        }
    }
    if motions.len() != certificate.null_modes {
        let allowed = format!("{}, the null modes of the certificate", certificate.null_modes);
        let reading = Reading::new("number of motions without resistance", motions.len() as f64, "", allowed);
        return Err(Error::Unconverged { reading, place: Place::root() });
    }
    let greatest_null = modes.last().map(|mode| mode.stiffness.abs());
    Ok(Mechanisms { motions, greatest_null, least_other: others.first().map(|mode| mode.stiffness.abs()) })
}

const fn part(node: usize, joints: usize) -> Part {
    if node < joints { Part::Joint(node) } else { Part::Body(node - joints) }
}

/// Motions as plain numbers: joints first, then displacement and turn times reach of each body.
struct View<'a> {
    system: &'a System,
    reaches: Vec<f64>,
    /// Centers of gravity in the world.
    centers: Vec<DVec3>,
    /// Points of attachment that members meet, in the world.
    attached: Vec<Vec<DVec3>>,
}

impl<'a> View<'a> {
    fn new(system: &'a System, hung: &Hung) -> Self {
        let stations = hung.stations();
        let bodies = || stations.iter().filter(|station| station.body);
        let mut attached = vec![Vec::new(); system.bodies().len()];
        for (body, list) in attached.iter_mut().enumerate() {
            let Some(own) = system.bodies().get(body) else { continue };
            let Some(rotation) = hung.attitude(system.joints().len() + body) else { continue };
            let center = bodies().nth(body).map_or(DVec3::ZERO, |station| station.position);
            let mut used: Vec<usize> = system
                .members()
                .iter()
                .flat_map(|member| [member.a, member.b])
                .filter_map(|end| match end {
                    End::Body { body: other, point } if other == body => Some(point),
                    _ => None,
                })
                .collect();
            used.sort_unstable();
            used.dedup();
            let points = used.into_iter().filter_map(|point| own.points.get(point));
            list.extend(points.map(|point| center + rotation * (*point - own.center_of_gravity)));
        }
        Self {
            system,
            reaches: bodies().map(|station| station.reach).collect(),
            centers: bodies().map(|station| station.position).collect(),
            attached,
        }
    }

    fn flat(&self, shape: &Shape) -> Vec<f64> {
        let joints = shape.joints.iter().flat_map(|joint| joint.to_array());
        let bodies = shape.bodies.iter().zip(&self.reaches);
        let bodies = bodies.flat_map(|(body, reach)| [body.displacement, *reach * body.turn]);
        joints.chain(bodies.flat_map(|part| part.to_array())).collect()
    }

    fn shape(&self, flat: &[f64]) -> Shape {
        let mut parts = flat.chunks_exact(3).map(DVec3::from_slice);
        let joints = parts.by_ref().take(self.system.joints().len()).collect();
        let mut bodies = Vec::new();
        for reach in &self.reaches {
            let (displacement, turn) = (parts.next().unwrap_or_default(), parts.next().unwrap_or_default());
            bodies.push(Movement { displacement, turn: turn / *reach });
        }
        Shape { joints, bodies }
    }

    /// The line through a body's points of attachment, if they stand on one and are two or more.
    fn axis(&self, body: usize) -> Option<(DVec3, DVec3)> {
        let points = self.attached.get(body)?;
        let first = *points.first()?;
        let far = points.iter().copied().max_by(|a, b| (*a - first).length().total_cmp(&(*b - first).length()))?;
        let length = (far - first).length();
        let axis = (far - first).try_normalize()?;
        let straight = points.iter().all(|point| (*point - first).cross(axis).length() <= STILL * length);
        straight.then_some((first, axis))
    }

    /// A turn of a body about the line through its points of attachment.
    fn roll(&self, body: usize) -> Option<Vec<f64>> {
        let (point, axis) = self.axis(body)?;
        let mut shape = self.shape(&vec![0.0; 3 * self.system.joints().len() + 6 * self.reaches.len()]);
        let center = self.centers.get(body)?;
        *shape.bodies.get_mut(body)? = Movement { displacement: axis.cross(*center - point), turn: axis };
        Some(self.flat(&shape))
    }

    /// What single joints and bodies can do by themselves.
    fn alone(&self, hung: &Hung, null: &[super::mode::Mode], other: Option<f64>) -> Vec<Vec<f64>> {
        let greatest = null.iter().map(|mode| mode.stiffness.abs()).fold(0.0, f64::max);
        // Alone, a part is at least as stiff as the softest mode: what is far below the next mode is null.
        let threshold = other.map_or(2.0 * greatest, |other| (greatest * other).sqrt().max(2.0 * greatest));
        let mut found = Vec::new();
        let mut offset = 0;
        for station in hung.stations() {
            let size = if station.body { 6 } else { 3 };
            let scale = |i: usize| if i < 3 { 1.0 } else { 1.0 / station.reach };
            let columns: Vec<Vec<f64>> = (0..size)
                .map(|i| {
                    let mut unit = vec![DVec3::ZERO; hung.count()];
                    if let Some(entry) = unit.get_mut(station.variable + i / 3) {
                        *entry = scale(i) * DVec3::AXES.get(i % 3).copied().unwrap_or_default();
                    }
                    let forces = hung.times(&unit);
                    let own = forces.iter().skip(station.variable).take(size / 3).flat_map(|part| part.to_array());
                    own.enumerate().map(|(j, force)| force * scale(j)).collect()
                })
                .collect();
            let own = Dense::new(size, |i, j| columns.get(j).and_then(|column| column.get(i)).copied().unwrap_or(0.0));
            for (value, vector) in own.eigen() {
                if value.abs() <= threshold {
                    let total = 3 * self.system.joints().len() + 6 * self.reaches.len();
                    let mut motion = vec![0.0; total];
                    motion.iter_mut().skip(offset).zip(vector).for_each(|(entry, part)| *entry = part);
                    found.push(motion);
                }
            }
            offset += size;
        }
        found
    }

    /// A motion as that of the part that moves most.
    fn told(&self, flat: &[f64]) -> Motion {
        let shape = self.shape(flat);
        let joints = shape.joints.iter().enumerate().map(|(index, joint)| (Part::Joint(index), joint.length()));
        let bodies = shape.bodies.iter().zip(&self.reaches).enumerate().map(|(index, (body, reach))| {
            let size = body.displacement.length_squared() + reach * reach * body.turn.length_squared();
            (Part::Body(index), size.sqrt())
        });
        let sizes: Vec<(Part, f64)> = joints.chain(bodies).collect();
        let (mut leader, mut most) = (Part::Joint(0), 0.0);
        for (part, size) in &sizes {
            if *size > most * (1.0 + STILL) {
                (leader, most) = (*part, *size);
            }
        }
        let parts: Vec<Part> = sizes.iter().filter(|(_, size)| *size > STILL * most).map(|(part, _)| *part).collect();
        let kind = self.kind(&shape, leader, parts.len() == 1);
        Motion { kind, leader, parts, shape }
    }

    fn kind(&self, shape: &Shape, leader: Part, alone: bool) -> Kind {
        let body = match leader {
            Part::Joint(joint) => {
                let direction = shape.joints.get(joint).copied().unwrap_or_default().normalize_or_zero();
                return Kind::Slide { direction };
            }
            Part::Body(body) => body,
        };
        let movement = shape.bodies.get(body).copied().unwrap_or_default();
        let reach = self.reaches.get(body).copied().unwrap_or(1.0);
        let (s, w) = (movement.displacement, movement.turn);
        let square = w.length_squared();
        if reach * square.sqrt() <= STILL * s.length() {
            return Kind::Slide { direction: s.normalize_or_zero() };
        }
        let axis = w / square.sqrt();
        let center = self.centers.get(body).copied().unwrap_or_default();
        let (point, pitch) = (center + w.cross(s) / square, s.dot(w) / square);
        if let Some((own, line)) = self.axis(body)
            && alone
            && pitch.abs() <= STILL * reach
            && axis.cross(line).length() <= STILL
            && (own - point).cross(axis).length() <= STILL * reach
        {
            return Kind::Roll;
        }
        Kind::Turn { point, axis, pitch }
    }
}

impl Names<'_> {
    fn part(&self, part: Part) -> String {
        let (list, word, index) = match part {
            Part::Joint(index) => (self.joints, "joint", index),
            Part::Body(index) => (self.bodies, "body", index),
        };
        list.get(index).map_or_else(|| format!("{word} {index}"), |name| (*name).to_owned())
    }

    fn end(&self, end: End) -> String {
        match end {
            End::Hook(hook) => {
                self.hooks.get(hook).map_or_else(|| format!("hook {hook}"), |name| format!("hook {name}"))
            }
            End::Joint(joint) => self.part(Part::Joint(joint)),
            End::Body { body, point } => format!("point {point} of {}", self.part(Part::Body(body))),
        }
    }
}

impl Motion {
    /// The motion in words.
    pub fn words(&self, names: &Names<'_>) -> String {
        let leader = names.part(self.leader);
        let bodies = self.parts.iter().filter(|part| matches!(part, Part::Body(_)));
        let together = if self.parts.len() == 1 {
            leader.clone()
        } else {
            // Joints go without saying where a body moves.
            let list: Vec<String> = bodies.map(|part| names.part(*part)).collect();
            if list.is_empty() {
                self.parts.iter().map(|part| names.part(*part)).collect::<Vec<_>>().join(", ")
            } else {
                list.join(", ")
            }
        };
        let alone = self.parts.len() == 1;
        match self.kind {
            Kind::Vertical { through } => {
                format!("{together} free to turn about the vertical through {}", names.end(through))
            }
            Kind::Roll => format!("{leader} free to roll about its own axis"),
            Kind::Turn { point, axis, .. } => {
                let line = format!("an axis through {} along {}", triple(point), triple(axis));
                if alone {
                    format!("{leader} free to turn about {line}")
                } else {
                    format!("{together} free to move together: {leader} turns about {line}")
                }
            }
            Kind::Slide { direction } => match (alone, self.leader) {
                (true, Part::Joint(_)) => format!("{leader} free to move along {}", triple(direction)),
                (true, Part::Body(_)) => format!("{leader} free to slide along {}", triple(direction)),
                (false, _) => {
                    format!("{together} free to move together: {leader} moves along {}", triple(direction))
                }
            },
        }
    }
}

fn triple(v: DVec3) -> String {
    // Minus zero is zero.
    let [x, y, z] = v.to_array().map(|part| if part.abs() < 5.0e-4 { 0.0 } else { part });
    format!("({x:.3}, {y:.3}, {z:.3})")
}
