//! One load under one hook in plain numbers, and as a document.

use crate::arrangement::Lift;
use crate::error::{Error, Place};
use crate::quantity::STANDARD_GRAVITY;
use crate::sharing::{LegSet, SetTolerances};
use crate::system::{Body, End, Hook, Law, Masses, Member, System};
use glam::{DQuat, DVec3};
use serde::Serialize;
use std::fmt::Write as _;

/// Standard gravity, m/s².
pub(in crate::kit) const GRAVITY: f64 = STANDARD_GRAVITY.si();

/// One load under one hook, reduced to what its forces follow from: everything in kg, m and N, in the frame of the load as
/// drawn, z up.
///
/// It is what the kit draws, changes and makes smaller; a lift of full detail ([`Outline::of`]) becomes one, and one becomes a
/// lift again ([`Outline::document`]).
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::kit::Outline;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let outline = Outline::of(&lift)?;
/// assert_eq!((outline.mass, outline.stiffnesses[0], outline.length_tolerances[3]), (18_500.0, 6.0e6, 0.03));
/// // The numbers survive the way through a document, bit for bit.
/// assert_eq!(Outline::of(&Lift::from_json(&outline.document(&[]))?)?, outline);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Outline {
    /// Mass of the load, kg.
    pub mass: f64,
    /// Center of gravity, m.
    pub center_of_gravity: [f64; 3],
    /// How far its coordinates may be off to either side, m.
    pub center_tolerance: [f64; 3],
    /// Lift points, one a leg, m.
    pub points: Vec<[f64; 3]>,
    /// Unstretched length of each leg, m.
    pub lengths: Vec<f64>,
    /// How far each length may be off to either side, m.
    pub length_tolerances: Vec<f64>,
    /// Axial stiffness EA of each leg, N.
    pub stiffnesses: Vec<f64>,
}

impl Outline {
    /// The outline of a lift at its stated mass, under standard gravity.
    ///
    /// # Errors
    /// As [`LegSet::of`]; what stiffness and tolerances need and the lift does not state; [`Error::Unsupported`] for a leg whose
    /// tension does not rise in a straight line, and for another gravity than the standard one.
    pub fn of(lift: &Lift) -> Result<Self, Error> {
        let masses = Masses::stated(lift)?;
        let set = LegSet::of(lift, masses)?;
        let tolerances = set.tolerances()?.clone();
        let system = set.system()?;
        if system.gravity() != GRAVITY {
            let what = format!("an outline of a lift under a gravity of {} m/s2", system.gravity());
            return Err(Error::unsupported(what, Place::root().child("gravity")));
        }
        let stiffness = |(index, member): (usize, &Member)| match member.law {
            Law::Linear { ea } => Ok(ea),
            _ => {
                let place = Place::root().child("legs").child(index);
                Err(Error::unsupported("an outline of a leg whose tension does not rise in a straight line", place))
            }
        };
        Ok(Self {
            mass: masses.load.si(),
            center_of_gravity: set.center_of_gravity().to_array(),
            center_tolerance: tolerances.center_of_gravity,
            points: set.legs().iter().map(|leg| leg.point.to_array()).collect(),
            lengths: set.legs().iter().map(|leg| leg.length).collect(),
            length_tolerances: tolerances.lengths,
            stiffnesses: system.members().iter().enumerate().map(stiffness).collect::<Result<_, _>>()?,
        })
    }

    /// Evenly spread points on a circle of 2 m, legs of 4 m, 10 t with the center of gravity 0.5 m below the points, EA 5 MN,
    /// nothing off: a lift that every rule of the trade was made for.
    pub fn ring(legs: usize) -> Self {
        let turn = |leg: usize| std::f64::consts::TAU * (leg as f64 + 0.5) / legs as f64;
        // Rounded to the millimeter, as one would draw it.
        let millimeters = |x: f64| (2000.0 * x).round() / 1000.0;
        Self {
            mass: 1.0e4,
            center_of_gravity: [0.0, 0.0, -0.5],
            center_tolerance: [0.0; 3],
            points: (0..legs).map(turn).map(|turn| [millimeters(turn.cos()), millimeters(turn.sin()), 0.0]).collect(),
            lengths: vec![4.0; legs],
            length_tolerances: vec![0.0; legs],
            stiffnesses: vec![5.0e6; legs],
        }
    }

    /// Weight of the load, N.
    pub fn weight(&self) -> f64 {
        self.mass * GRAVITY
    }

    /// Its system: one body, one hook 0 plumb above the center of gravity, one member a leg.
    ///
    /// # Errors
    /// [`Error::Inconsistent`] unless all lists are as long as that of the points; [`Error::OutOfDomain`] for a number that no
    /// lift can have.
    pub fn system(&self) -> Result<System, Error> {
        let legs = self.points.len();
        let lists = [
            ("lengths", self.lengths.len()),
            ("length_tolerances", self.length_tolerances.len()),
            ("stiffnesses", self.stiffnesses.len()),
        ];
        for (key, entries) in lists {
            if entries != legs {
                let what = format!("{entries} entries for {legs} lift points");
                return Err(Error::inconsistent(what, Place::root().child(key)));
            }
        }
        let members = self.lengths.iter().zip(&self.stiffnesses).enumerate().map(|(point, (length, ea))| {
            Ok(Member { a: End::Hook(0), b: End::Body { body: 0, point }, length: *length, law: Law::linear(*ea)? })
        });
        let members = members.collect::<Result<Vec<_>, Error>>()?;
        let center = DVec3::from_array(self.center_of_gravity);
        let longest = self.lengths.iter().copied().fold(0.0, f64::max);
        let body = Body {
            mass: self.mass,
            center_of_gravity: center,
            points: self.points.iter().copied().map(DVec3::from_array).collect(),
            position: DVec3::ZERO,
            rotation: DQuat::IDENTITY,
        };
        let hook = Hook { position: center + DVec3::Z * longest };
        System::new(GRAVITY, vec![hook], vec![], vec![body], members)
    }

    /// Its set of legs, with tolerances.
    ///
    /// # Errors
    /// As [`Outline::system`]; [`Error::OutOfDomain`] for a tolerance that is not finite or below zero.
    pub fn leg_set(&self) -> Result<LegSet, Error> {
        LegSet::of_system(&self.system()?)?.with_tolerances(SetTolerances {
            lengths: self.length_tolerances.clone(),
            center_of_gravity: self.center_tolerance,
        })
    }

    /// The lift as the text of a document that [`Lift::from_json`] reads, with notes; every number as it is.
    ///
    /// Gear is described no further than forces need it, so that an assessment raises the demand and concludes nothing about
    /// strength.
    pub fn document(&self, notes: &[String]) -> String {
        let mut text = String::from("{\n  \"format\": 1,\n  \"name\": \"outline of one load under one hook\",\n");
        let notes: Vec<String> = notes.iter().map(|note| format!("    {}", serde_json::json!(note))).collect();
        if !notes.is_empty() {
            _ = writeln!(text, "  \"notes\": [\n{}\n  ],", notes.join(",\n"));
        }
        let source = r#""source": "invented""#;
        let lines = |count: usize, line: &dyn Fn(usize) -> String| -> String {
            (0..count).map(line).collect::<Vec<_>>().join(",\n")
        };
        let at = |list: &[f64], leg: usize| list.get(leg).copied().unwrap_or(f64::NAN);
        let points = lines(self.points.len(), &|leg| {
            let point = self.points.get(leg).copied().unwrap_or([f64::NAN; 3]);
            format!("      {{ \"name\": \"point {}\", \"position\": {} }}", letter(leg), meters(point))
        });
        let slings = lines(self.points.len(), &|leg| {
            format!(
                "    {{ \"name\": \"sling {}\", \"construction\": \"roundsling\", \"material\": \"polyester\",\n      \"length\": {{ \"value\": \"{} m\", \"measured\": \"whole_leg\", \"tolerance\": \"{} m\" }},\n      \"stiffness\": {{ \"law\": {{ \"ea\": \"{} N\" }}, \"basis\": \"as_hung\", {source} }} }}",
                letter(leg),
                at(&self.lengths, leg),
                at(&self.length_tolerances, leg),
                at(&self.stiffnesses, leg),
            )
        });
        let legs = lines(self.points.len(), &|leg| {
            let letter = letter(leg);
            format!(
                "    {{ \"name\": \"leg {letter}\", \"hitch\": \"straight\", \"path\": [{{ \"end\": \"hook\" }}, {{ \"end\": \"point {letter}\" }}], \"items\": [\"sling {letter}\"] }}"
            )
        });
        _ = write!(
            text,
            "  \"gravity\": \"{GRAVITY} m/s2\",\n  \"operation\": {{ \"kind\": \"lifting\" }},\n  \"load\": {{\n    \"name\": \"load\",\n    \"mass\": {{ \"value\": \"{} kg\", \"basis\": \"not_to_exceed\", {source} }},\n    \"center_of_gravity\": {{ \"position\": {}, \"tolerance\": {}, {source} }},\n    \"lift_points\": [\n{points}\n    ]\n  }},\n  \"hooks\": [{{ \"name\": \"hook\" }}],\n  \"slings\": [\n{slings}\n  ],\n  \"legs\": [\n{legs}\n  ]\n}}\n",
            self.mass,
            meters(self.center_of_gravity),
            meters(self.center_tolerance),
        );
        text
    }
}

fn meters([x, y, z]: [f64; 3]) -> String {
    format!("[\"{x} m\", \"{y} m\", \"{z} m\"]")
}

/// The letter of a leg; beyond the alphabet its number.
pub(in crate::kit) fn letter(leg: usize) -> String {
    match u8::try_from(leg) {
        Ok(leg) if leg < 26 => char::from(b'A' + leg).to_string(),
        _ => (leg + 1).to_string(),
    }
}
