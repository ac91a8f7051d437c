//! The mechanical model of a lift: names become indices, gear becomes members with laws.

use super::path::{self, Drawing, vector};
use super::{Body, Hook, Joint, Member, Running, System, stretch, validate_running};
use crate::arrangement::{Hitch, LegView, Lift, LiftPoint, Spreader};
use crate::error::{Error, Place};
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

    /// The masses that the document states.
    ///
    /// # Errors
    /// [`Error::Missing`] for a load whose mass is not known.
    pub fn stated(lift: &Lift) -> Result<Self, Error> {
        let place = || Place::root().child("load").child("mass").child("value");
        let mass = &lift.document().load.mass.value;
        let mass = mass.required("the mass of the load", "\"value\": \"… t\"", place)?;
        Ok(Self::of_load(Mass::kilograms(mass.si())))
    }
}

/// What a leg of a lift is in the model.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Strand {
    /// A member, by its index: a leg from end to end.
    Member(usize),
    /// A running sling, by its index: a leg that passes over stations.
    Running(usize),
}

/// The mechanical model of a lift.
#[derive(Debug, Clone, PartialEq)]
pub struct Model {
    /// Bodies, joints, hooks and members. Body 0 is the load, body i + 1 is spreader i, with their points in the order of
    /// the document, those of the load followed by the places that slings pass over and that are no lift points; hooks
    /// and joints are those of the document.
    pub system: System,
    /// The legs that pass over stations.
    pub running: Vec<Running>,
    /// One a leg. Without running slings member j is leg j.
    pub strands: Vec<Strand>,
}

/// Names of the members, in their order: a leg from end to end has its own, the spans of one that passes over stations
/// that of the leg and their number on the path. A span between two places of one body is no member.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::system::member_names;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// assert_eq!(member_names(&lift), ["leg A", "leg B", "leg C", "leg D"]);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn member_names(lift: &Lift) -> Vec<String> {
    let mut names = Vec::new();
    for leg in lift.legs() {
        for number in members_of(&leg) {
            names.push(match leg.links.runs() {
                true => format!("{}, span {number}", leg.leg.name),
                false => leg.leg.name.to_string(),
            });
        }
    }
    names
}

/// The numbers, from 1, of the stretches of a leg that are members.
fn members_of<'a>(leg: &LegView<'a>) -> impl Iterator<Item = usize> + use<'a> {
    let spans = leg.links.spans().enumerate();
    spans.filter(|(_, [from, to])| !from.rigid_with(*to)).map(|(index, _)| index + 1)
}

/// The nominal model of a lift.
///
/// # Errors
/// [`Error::Missing`] for every input that statics needs and the document does not give; [`Error::Unsupported`] for
/// hitches that are not calculated yet.
pub fn from_lift(lift: &Lift, masses: Masses) -> Result<Model, Error> {
    let document = lift.document();
    let root = Place::root();
    let gravity = document
        .gravity
        .required("the acceleration of gravity", "\"gravity\": \"9.80665 m/s2\"", || root.child("gravity"))?;
    let place = || root.child("load").child("center_of_gravity").child("position");
    let add = "\"position\": [\"… m\", \"… m\", \"… m\"]";
    let center = vector(document.load.center_of_gravity.position.required("the center of gravity", add, place)?);
    let drawing = Drawing::of(lift, center);
    let (mut members, mut running, mut strands) = (Vec::new(), Vec::new(), Vec::new());
    for leg in lift.legs() {
        calculated(&leg)?;
        if leg.links.runs() {
            let (spans, sling) = path::running(&leg, &drawing, members.len())?;
            strands.push(Strand::Running(running.len()));
            members.extend(spans);
            running.push(sling);
        } else {
            strands.push(Strand::Member(members.len()));
            members.push(member(&leg, &drawing)?);
        }
    }
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
    let mut load = body(masses.load.si(), center, &document.load.lift_points);
    load.points.extend(drawing.places());
    let mut bodies = vec![load];
    for (index, spreader) in document.spreaders.iter().enumerate() {
        let place = root.child("spreaders").child(index);
        let mass = mass_of(spreader, masses, &place)?;
        let what = format!("the center of gravity of \"{}\"", spreader.name);
        let key = "center_of_gravity";
        let add = "\"center_of_gravity\": [\"… m\", \"… m\", \"… m\"]";
        let center = vector(spreader.center_of_gravity.required(&what, add, || place.child(key))?);
        bodies.push(body(mass, center, &spreader.points));
    }
    let system = System::new(gravity.si(), hooks, joints, bodies, members);
    let system = system.map_err(|error| in_document(error, lift))?;
    validate_running(&system, &running).map_err(|error| in_document(error, lift))?;
    Ok(Model { system, running, strands })
}

impl Model {
    /// The same lift with other masses: as [`from_lift`] makes it, without reading everything else anew.
    ///
    /// # Errors
    /// As [`from_lift`], for the masses.
    pub(crate) fn reweighed(&self, lift: &Lift, masses: Masses) -> Result<Self, Error> {
        let Self { system, running, strands } = self.clone();
        let spreaders = lift.document().spreaders.iter().enumerate().map(|(index, spreader)| {
            let place = Place::root().child("spreaders").child(index);
            mass_of(spreader, masses, &place)
        });
        let bodies = std::iter::once(Ok(masses.load.si())).chain(spreaders).collect::<Result<Vec<_>, _>>()?;
        let system = system.reweighed(bodies.into_iter()).map_err(|error| in_document(error, lift))?;
        Ok(Self { system, running, strands })
    }
}

/// What a spreader weighs in the model, in kg.
fn mass_of(spreader: &Spreader, masses: Masses, place: &Place) -> Result<f64, Error> {
    let what = format_args!("the mass of \"{}\"", spreader.name);
    let mass = spreader.mass.required(what, "\"mass\": \"… t\"", || place.child("mass"))?;
    Ok(mass.si() * masses.on_spreaders)
}

/// A body in the world's frame, as drawn.
fn body(mass: f64, center_of_gravity: DVec3, points: &[LiftPoint]) -> Body {
    let points = points.iter().map(|point| vector(&point.position)).collect();
    Body { mass, center_of_gravity, points, position: DVec3::ZERO, rotation: DQuat::IDENTITY }
}

/// A leg from end to end.
fn member(leg: &LegView<'_>, drawing: &Drawing<'_>) -> Result<Member, Error> {
    let [from, to] = leg.links.ends.as_slice() else {
        return Err(Error::inconsistent("a path needs two ends", leg.place().child("path")));
    };
    let effective = length::effective(leg)?;
    Ok(drawing.member(*from, *to, effective.whole, stretch::law(leg, &effective)?))
}

fn calculated(leg: &LegView<'_>) -> Result<(), Error> {
    // A basket that passes over nothing needs what this model does not have. A choke hangs from its choke point, which
    // stays where it is drawn: whether friction holds it there is a check of its own.
    match (&leg.leg.hitch, leg.links.runs()) {
        (Hitch::Straight | Hitch::Doubled, _) | (Hitch::Basket, true) => Ok(()),
        (Hitch::Choke(_), false) if leg.passages().count() == 1 => Ok(()),
        (Hitch::Choke(_), false) => {
            let add = "\"over\": { \"position\": [\"… m\", \"… m\", \"… m\"], \"friction\": { \"value\": [ … ], \"source\": \"…\" } }";
            let what = format!("the choke point of {}, at the end of its path,", leg.leg.name);
            Err(Error::missing(what, add, leg.place().child("path")))
        }
        (hitch, _) => {
            let what = format!("the equilibrium of a {} hitch", hitch.word());
            Err(Error::unsupported(what, leg.place().child("hitch")))
        }
    }
}

fn longest(members: &[Member]) -> f64 {
    members.iter().map(|member| member.length).fold(0.0, f64::max)
}

/// A complaint about the model, told at the place of the document that the model was made from.
fn in_document(error: Error, lift: &Lift) -> Error {
    let pointer = error.place().as_str().to_owned();
    let mut parts = pointer.split('/').skip(1);
    let root = Place::root();
    let mut next = || (parts.next(), parts.next().and_then(|index| index.parse::<usize>().ok()));
    let place = match next() {
        (Some("members"), Some(index)) => {
            let mut legs = lift.legs().flat_map(|leg| members_of(&leg).map(move |_| leg.index));
            legs.nth(index).map_or(root.child("legs"), |leg| root.child("legs").child(leg))
        }
        (Some("bodies"), Some(index)) if index > 0 => root.child("spreaders").child(index - 1),
        (Some("bodies"), _) => root.child("load"),
        (Some("joints"), Some(index)) => root.child("joints").child(index),
        (Some("slings"), Some(index)) => {
            let leg =
                lift.legs().filter(|leg| leg.links.runs()).nth(index).map_or(root.child("legs"), |leg| leg.place());
            match next() {
                // What is passed over first stands second on the path.
                (Some("over"), Some(station)) => {
                    leg.child("path").child(station + 1).child("over").child("friction").child("value")
                }
                _ => leg.child("path"),
            }
        }
        _ => Place::pointer(pointer.clone()),
    };
    error.at(place)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn with_other_masses_a_model_is_as_if_read_anew() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/lifts");
        let mut spreaders = 0;
        for file in std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            let Some("json") = file.extension().and_then(|end| end.to_str()) else { continue };
            let lift = Lift::from_json(&std::fs::read_to_string(&file).unwrap()).unwrap();
            spreaders += lift.document().spreaders.len();
            let masses = Masses { load: Mass::tonnes(7.3), on_spreaders: 1.1 };
            let (stated, anew) = (from_lift(&lift, Masses::stated(&lift).unwrap()), from_lift(&lift, masses));
            assert_eq!(stated.and_then(|model| model.reweighed(&lift, masses)), anew, "{}", file.display());
            let none = Masses { load: Mass::tonnes(0.0), on_spreaders: 1.0 };
            let model = anew.unwrap();
            assert_eq!(model.reweighed(&lift, none), from_lift(&lift, none), "{}", file.display());
            let light = Masses { load: Mass::tonnes(1.0), on_spreaders: 0.0 };
            assert_eq!(model.reweighed(&lift, light), from_lift(&lift, light), "{}", file.display());
        }
        assert!(spreaders > 0);
    }
}
