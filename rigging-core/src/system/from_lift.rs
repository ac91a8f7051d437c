//! The mechanical model of a lift: names become indices, gear becomes members with laws.

use super::{Body, End, Hook, Joint, Law, Member, System};
use crate::arrangement::{Anchor, Hitch, LegView, Lift, LiftPoint, Point};
use crate::error::{Error, Place};
use crate::gear::StretchLaw;
use crate::length;
use crate::quantity::Mass;
use glam::{DQuat, DVec3};

/// The masses that hang: what the rule set makes of the load's, and what it puts on the gear's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Masses {
    /// Mass of the load.
    pub load: Mass,
    /// Factor on the mass of spreaders.
    pub on_spreaders: f64,
}

impl Masses {
    /// The load's mass as given, spreaders as stated.
    pub const fn of_load(load: Mass) -> Self {
        Self { load, on_spreaders: 1.0 }
    }
}

/// The nominal model of a lift. Member j is leg j; body 0 is the load, body i + 1 is spreader i, with their points in the
/// order of the document; hooks and joints are those of the document.
///
/// # Errors
/// [`Error::Missing`] for every input that statics needs and the document does not give; [`Error::Unsupported`] for
/// hitches that are not calculated yet.
pub fn from_lift(lift: &Lift, masses: Masses) -> Result<System, Error> {
    let document = lift.document();
    let root = Place::root();
    let gravity = document
        .gravity
        .required("the acceleration of gravity", "\"gravity\": \"9.80665 m/s2\"", || root.child("gravity"))?;
    let place = || root.child("load").child("center_of_gravity").child("position");
    let add = "\"position\": [\"… m\", \"… m\", \"… m\"]";
    let center = vector(document.load.center_of_gravity.position.required("the center of gravity", add, place)?);
    let members = lift.legs().map(|leg| member(&leg)).collect::<Result<Vec<_>, _>>()?;
    let several = document.hooks.len() > 1;
    let hooks = document
        .hooks
        .iter()
        .enumerate()
        .map(|(index, hook)| match hook.position.value() {
            Some(position) => Ok(Hook { position: vector(position) }),
            // A single hook follows the center of gravity; any position above it serves.
            None if !several => Ok(Hook { position: center + DVec3::Z * longest(&members) }),
            None => {
                let place = root.child("hooks").child(index).child("position");
                Err(Error::missing("the position of one of several hooks", add, place))
            }
        })
        .collect::<Result<Vec<_>, _>>()?;
    let joints = document.joints.iter().map(|joint| Joint { position: vector(&joint.position) }).collect();
    let mut bodies = vec![body(masses.load.si(), center, &document.load.lift_points)];
    for (index, spreader) in document.spreaders.iter().enumerate() {
        let place = root.child("spreaders").child(index);
        let what = format!("the mass of \"{}\"", spreader.name);
        let mass = spreader.mass.required(&what, "\"mass\": \"… t\"", || place.child("mass"))?;
        let what = format!("the center of gravity of \"{}\"", spreader.name);
        let key = "center_of_gravity";
        let add = "\"center_of_gravity\": [\"… m\", \"… m\", \"… m\"]";
        let center = vector(spreader.center_of_gravity.required(&what, add, || place.child(key))?);
        bodies.push(body(mass.si() * masses.on_spreaders, center, &spreader.points));
    }
    System::new(gravity.si(), hooks, joints, bodies, members).map_err(|error| in_document(error, lift))
}

/// A body in the world's frame, as drawn.
fn body(mass: f64, center_of_gravity: DVec3, points: &[LiftPoint]) -> Body {
    let points = points.iter().map(|point| vector(&point.position)).collect();
    Body { mass, center_of_gravity, points, position: DVec3::ZERO, rotation: DQuat::IDENTITY }
}

fn member(leg: &LegView<'_>) -> Result<Member, Error> {
    let place = leg.place();
    if leg.leg.hitch != Hitch::Straight {
        let what = format!("the equilibrium of a {} hitch", leg.leg.hitch.word());
        return Err(Error::unsupported(what, place.child("hitch")));
    }
    if leg.leg.path.len() > 2 {
        return Err(Error::unsupported("a leg that runs over something between its ends", place.child("path")));
    }
    let [from, to] = leg.links.ends.as_slice() else {
        return Err(Error::inconsistent("a path needs two ends", place.child("path")));
    };
    let effective = length::effective(leg)?;
    // End b is the load's, and end a the hook's, whichever way the path is written: the member's direction is then the
    // pull on what hangs.
    let (from, to) = if leg.links.upward() { (to, from) } else { (from, to) };
    Ok(Member { a: end(*from), b: end(*to), length: effective.whole, law: law(leg, &effective)? })
}

const fn end(anchor: Anchor) -> End {
    match anchor {
        Anchor::Hook(index) => End::Hook(index),
        Anchor::Joint(index) => End::Joint(index),
        Anchor::LiftPoint(point) => End::Body { body: 0, point },
        Anchor::SpreaderPoint(spreader, point) => End::Body { body: spreader + 1, point },
    }
}

/// The law of a whole leg, whose strain is counted over the whole length while only the slings stretch.
fn law(leg: &LegView<'_>, effective: &length::EffectiveLength) -> Result<Law, Error> {
    let mut compliance = 0.0;
    let mut single = None;
    for ((index, sling), (_, own)) in leg.slings().zip(&effective.slings) {
        let place = || Place::root().child("slings").child(index).child("stiffness");
        let what = format_args!("the stiffness of \"{}\"", sling.name);
        let add = "\"stiffness\": {\"law\": {\"ea\": \"… MN\"}, \"condition\": \"bedded\", \"source\": \"…\"}";
        let stiffness = sling.stiffness.required(what, add, place)?;
        let ratio = own / effective.whole;
        match &stiffness.law {
            // A single sling keeps its figure to the last bit; slings in series add their compliances.
            StretchLaw::Ea(ea) if effective.slings.len() == 1 => {
                single = Some((Law::linear(ea.si() / ratio), place().child("law")))
            }
            StretchLaw::Ea(ea) => compliance += ratio / ea.si(),
            StretchLaw::Polynomial(coefficients) => {
                // T = Σ c·(e/ratio)^n, because e over the whole leg is ratio times the strain of the sling.
                let mut scale = 1.0;
                let scaled = coefficients.iter().map(|coefficient| {
                    scale /= ratio;
                    coefficient.si() * scale
                });
                single = Some((Law::polynomial(scaled.collect()), place().child("law").child("polynomial")));
            }
            StretchLaw::Points(points) => {
                let scaled = points.iter().map(|(strain, tension)| [strain.si() * ratio, tension.si()]).collect();
                single = Some((Law::piecewise_linear(scaled), place().child("law").child("points")));
            }
        }
    }
    match (single, effective.slings.len()) {
        (None, _) => Law::linear(1.0 / compliance).map_err(|error| error.at(leg.place().child("items"))),
        (Some((law, place)), 1) => law.map_err(|error| error.at(place)),
        (Some((_, place)), _) => {
            Err(Error::unsupported("several slings in one leg of which one has a curved stretch law", place))
        }
    }
}

fn vector(point: &Point) -> DVec3 {
    let [x, y, z] = point;
    DVec3::new(x.si(), y.si(), z.si())
}

fn longest(members: &[Member]) -> f64 {
    members.iter().map(|member| member.length).fold(0.0, f64::max)
}

/// A complaint about the model, told at the place of the document that the model was made from.
fn in_document(error: Error, lift: &Lift) -> Error {
    let pointer = error.place().as_str().to_owned();
    let mut parts = pointer.split('/').skip(1);
    let root = Place::root();
    let place = match (parts.next(), parts.next().and_then(|index| index.parse::<usize>().ok())) {
        (Some("members"), Some(index)) => lift.legs().nth(index).map_or(root.child("legs"), |leg| leg.place()),
        (Some("bodies"), Some(index)) if index > 0 => root.child("spreaders").child(index - 1),
        (Some("bodies"), _) => root.child("load"),
        (Some("joints"), Some(index)) => root.child("joints").child(index),
        _ => Place::pointer(pointer.clone()),
    };
    error.at(place)
}
