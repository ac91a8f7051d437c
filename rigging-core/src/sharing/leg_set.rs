//! One load under one hook, as a sharing rule sees it: weight, center of gravity, and legs from points to the hook.

use crate::arrangement::{Anchor, Hitch, LegView, Lift, Point};
use crate::error::{Error, Place};
use crate::gear::Sling;
use crate::length;
use crate::system::{self, End, Masses, System};
use glam::DVec3;
use std::f64::consts::FRAC_PI_2;
use std::ops::RangeInclusive;
use std::sync::Arc;

/// One leg, from a point of the load to the hook.
#[derive(Debug, Clone, PartialEq)]
pub struct SetLeg {
    /// Name in the document.
    pub name: String,
    /// The point of the load, as drawn, m.
    pub point: DVec3,
    /// Unstretched length, m.
    pub length: f64,
}

/// How far lengths and center of gravity may be off.
#[derive(Debug, Clone, PartialEq)]
pub struct SetTolerances {
    /// Of the length of each leg, m.
    pub lengths: Vec<f64>,
    /// Of the coordinates of the center of gravity, m.
    pub center_of_gravity: [f64; 3],
}

/// The legs of one load under one hook.
///
/// Geometry and weight are there always, because every rule asks for them; the stiffnesses ([`Self::system`]) and the
/// tolerances ([`Self::tolerances`]) only where the lift states them, and who asks for them in vain is told what is missing.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::sharing::LegSet;
/// use rigging_core::system::Masses;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let set = LegSet::of(&lift, Masses::stated(&lift)?)?;
/// assert_eq!((set.legs().len(), set.legs()[1].name.as_str()), (4, "leg B"));
/// // The legs on the side away from the center of gravity are the flattest.
/// assert!((set.flattest()?.to_degrees() - 33.0).abs() < 0.1);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct LegSet {
    weight: f64,
    center_of_gravity: DVec3,
    legs: Vec<SetLeg>,
    slings: Arc<[Sling]>,
    angle: Option<f64>,
    system: Result<System, Error>,
    tolerances: Result<SetTolerances, Error>,
}

impl LegSet {
    /// The set of a lift whose masses are as given.
    ///
    /// # Errors
    /// [`Error::Unsupported`] for several hooks, joints, spreaders, and legs that are not straight, doubled or choked between
    /// the hook and a point of the load; [`Error::Missing`] for gravity, center of gravity or a length that is not known.
    pub fn of(lift: &Lift, masses: Masses) -> Result<Self, Error> {
        let document = lift.document();
        let root = Place::root();
        for (key, several) in [
            ("hooks", document.hooks.len() > 1),
            ("joints", !document.joints.is_empty()),
            ("spreaders", !document.spreaders.is_empty()),
        ] {
            if several {
                return Err(Error::unsupported(only_one_hook(key), root.child(key)));
            }
        }
        let place = || root.child("gravity");
        let add = "\"gravity\": \"9.80665 m/s2\"";
        let gravity = document.gravity.required("the acceleration of gravity", add, place)?;
        let place = || root.child("load").child("center_of_gravity").child("position");
        let add = "\"position\": [\"… m\", \"… m\", \"… m\"]";
        let center = document.load.center_of_gravity.position.required("the center of gravity", add, place)?;
        let legs = lift.legs().map(|leg| leg_of(lift, &leg)).collect::<Result<Vec<_>, _>>()?;
        Ok(Self {
            weight: masses.load.si() * gravity.si(),
            center_of_gravity: vector(center),
            legs,
            slings: lift
                .legs()
                .flat_map(|leg| leg.slings().map(|(_, sling)| sling.clone()).collect::<Vec<_>>())
                .collect(),
            angle: None,
            system: system::from_lift(lift, masses).map(|model| model.system),
            tolerances: tolerances_of(lift),
        })
    }

    /// The set of a system of one body under one hook, as drawn; it states no tolerances.
    ///
    /// # Errors
    /// [`Error::Unsupported`] for any other system.
    pub fn of_system(system: &System) -> Result<Self, Error> {
        let root = Place::root();
        let ([_], [], [body]) = (system.hooks(), system.joints(), system.bodies()) else {
            return Err(Error::unsupported(only_one_hook("bodies, hooks or joints"), root));
        };
        let drawn = |point: DVec3| body.position + body.rotation * point;
        let mut legs = Vec::with_capacity(system.members().len());
        for (index, member) in system.members().iter().enumerate() {
            let end = match (member.a, member.b) {
                (End::Hook(_), End::Body { point, .. }) | (End::Body { point, .. }, End::Hook(_)) => {
                    body.points.get(point)
                }
                _ => None,
            };
            let Some(point) = end else {
                let place = root.child("members").child(index);
                return Err(Error::unsupported(only_one_hook("members between other ends"), place));
            };
            legs.push(SetLeg { name: format!("member {index}"), point: drawn(*point), length: member.length });
        }
        Ok(Self {
            weight: body.mass * system.gravity(),
            center_of_gravity: drawn(body.center_of_gravity),
            legs,
            slings: Arc::new([]),
            angle: None,
            system: Ok(system.clone()),
            tolerances: Err(Error::missing("tolerances of the set of legs", "with_tolerances", Place::root())),
        })
    }

    /// The same set with tolerances.
    ///
    /// # Errors
    /// [`Error::Inconsistent`] unless there is one length a leg; [`Error::OutOfDomain`] for one that is not finite or below
    /// zero.
    pub fn with_tolerances(mut self, tolerances: SetTolerances) -> Result<Self, Error> {
        let place = Place::root().child("tolerances");
        if tolerances.lengths.len() != self.legs.len() {
            return Err(Error::inconsistent("the tolerances are not one a leg", place.child("lengths")));
        }
        let lengths = tolerances.lengths.iter().map(|side| ("lengths", side));
        let center = tolerances.center_of_gravity.iter().map(|side| ("center_of_gravity", side));
        for (key, side) in lengths.chain(center) {
            if !(*side >= 0.0 && side.is_finite()) {
                let allowed = "finite and not below zero";
                return Err(Error::out_of_domain("tolerance", *side, "m", allowed, place.child(key)));
            }
        }
        self.tolerances = Ok(tolerances);
        Ok(self)
    }

    /// The same set with one angle from vertical, rad, stated for every leg; rules by hand then take it in place of the
    /// drawn ones. The solver takes no notice of it.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] unless it is from 0 to below a right angle.
    pub fn with_angle(mut self, from_vertical_rad: f64) -> Result<Self, Error> {
        self.angle = Some(checked_angle(from_vertical_rad)?);
        Ok(self)
    }

    /// The angle from vertical that is stated for every leg, rad; none where the angles are as drawn.
    pub const fn stated_angle(&self) -> Option<f64> {
        self.angle
    }

    /// Weight of the load, N.
    pub const fn weight(&self) -> f64 {
        self.weight
    }

    /// Center of gravity, as drawn, m.
    pub const fn center_of_gravity(&self) -> DVec3 {
        self.center_of_gravity
    }

    /// The legs, in the order of the document.
    pub fn legs(&self) -> &[SetLeg] {
        &self.legs
    }

    /// The slings of all legs; none of a set that was made of a system.
    pub fn slings(&self) -> &[Sling] {
        &self.slings
    }

    /// Angle of each leg from vertical, rad: the one stated, else as drawn, with the hook plumb above the center of gravity
    /// and the leg unstretched.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] at the leg, where a leg does not reach the plumb line through the center of gravity.
    pub fn from_vertical(&self) -> Result<Vec<f64>, Error> {
        if let Some(angle) = self.angle {
            return Ok(vec![angle; self.legs.len()]);
        }
        let angle = |(index, leg): (usize, &SetLeg)| {
            let aside = (leg.point - self.center_of_gravity).truncate().length();
            if aside < leg.length {
                return Ok((aside / leg.length).asin());
            }
            let what = format!("distance of {} from the plumb line through the center of gravity", leg.name);
            let allowed = format!("below its length of {} m", leg.length);
            Err(Error::out_of_domain(what, aside, "m", allowed, Place::root().child("legs").child(index)))
        };
        self.legs.iter().enumerate().map(angle).collect()
    }

    /// The largest of [`Self::from_vertical`], rad.
    ///
    /// # Errors
    /// As that.
    pub fn flattest(&self) -> Result<f64, Error> {
        Ok(self.from_vertical()?.into_iter().fold(0.0, f64::max))
    }

    /// The number of legs.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] where it is not among those allowed.
    pub fn count_within(&self, allowed: RangeInclusive<usize>) -> Result<usize, Error> {
        let count = self.legs.len();
        if allowed.contains(&count) {
            return Ok(count);
        }
        let words = match (allowed.start(), allowed.end()) {
            (least, most) if least == most => least.to_string(),
            (least, &usize::MAX) => format!("{least} or more"),
            (least, most) => format!("{least} to {most}"),
        };
        Err(Error::out_of_domain("number of legs", count as f64, "", words, Place::root().child("legs")))
    }

    /// The model with its stiffnesses.
    ///
    /// # Errors
    /// What statics needs and the lift does not state.
    pub fn system(&self) -> Result<&System, Error> {
        self.system.as_ref().map_err(Clone::clone)
    }

    /// The tolerances.
    ///
    /// # Errors
    /// [`Error::Missing`]: an absent tolerance is unknown, not zero.
    pub fn tolerances(&self) -> Result<&SetTolerances, Error> {
        self.tolerances.as_ref().map_err(Clone::clone)
    }
}

/// Refuses what is no angle of a leg from vertical, rad.
pub(super) fn checked_angle(from_vertical_rad: f64) -> Result<f64, Error> {
    if (0.0..FRAC_PI_2).contains(&from_vertical_rad) {
        return Ok(from_vertical_rad);
    }
    let (allowed, place) = ("from 0 to below a right angle", Place::root().child("angle_from_vertical_rad"));
    Err(Error::out_of_domain("angle from vertical", from_vertical_rad, "rad", allowed, place))
}

fn leg_of(lift: &Lift, leg: &LegView<'_>) -> Result<SetLeg, Error> {
    match leg.leg.hitch {
        Hitch::Straight | Hitch::Doubled | Hitch::Choke(_) => {}
        ref hitch => {
            let what = format!("load sharing by rule of a {} hitch", hitch.word());
            return Err(Error::unsupported(what, leg.place().child("hitch")));
        }
    }
    let choke_point = || leg.passages().find_map(|(_, passage)| passage.position.value());
    let point = match leg.links.stations.as_slice() {
        [Anchor::Hook(_), point @ Anchor::LiftPoint(_)] | [point @ Anchor::LiftPoint(_), Anchor::Hook(_)] => {
            lift.point(*point).map(|point| &point.position)
        }
        [Anchor::Hook(_), Anchor::Place(_)] | [Anchor::Place(_), Anchor::Hook(_)] => choke_point(),
        _ => None,
    };
    let Some(point) = point else {
        return Err(Error::unsupported(only_one_hook("legs between other stations"), leg.place().child("path")));
    };
    let length = length::effective(leg)?.whole;
    Ok(SetLeg { name: leg.leg.name.to_string(), point: vector(point), length })
}

fn tolerances_of(lift: &Lift) -> Result<SetTolerances, Error> {
    let lengths = lift.legs().map(|leg| length::tolerance(&leg)).collect::<Result<Vec<_>, _>>()?;
    Ok(SetTolerances { lengths, center_of_gravity: length::center_of_gravity_tolerance(lift)? })
}

fn vector(point: &Point) -> DVec3 {
    let [x, y, z] = point;
    DVec3::new(x.si(), y.si(), z.si())
}

fn only_one_hook(what: &str) -> String {
    format!("load sharing by rule with {what}: rules speak of one load whose legs lead to one hook")
}
