//! The lift document as it is written: types of the JSON text, format 1.
//!
//! World z is up and right-handed; the load's frame is the world as drawn. Every dimensional value is a text with its
//! unit. A value that is not known is absent or the word `"unknown"`.

use super::circumstances::{CapacityBasis, Circumstances, Consequence, DynamicAnalysis, LoadKind, Region, Vessels};
use super::snag::Snag;
use super::wind::Wind;
use crate::gear::{AngleShares, Cited, Cover, Fitting, Known, PinPlate, Rating, Sling};
use crate::quantity::{Acceleration, Angle, ChokeAngle, Entered, Fraction, Length, Mass, Temperature};
use crate::text::Text;
use serde::{Deserialize, Serialize};

/// Newest format that this library reads.
pub const FORMAT: u64 = 1;

/// A point in the load's frame.
pub type Point = [Entered<Length>; 3];

/// A whole lift document.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Document {
    /// Format of the document.
    pub format: u64,
    /// What is lifted, where.
    pub name: Text,
    /// Remarks for the reader; not used in any calculation.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
    /// Acceleration of gravity at the place.
    #[serde(default)]
    pub gravity: Known<Entered<Acceleration>>,
    /// What kind of operation it is.
    #[serde(default)]
    pub operation: Operation,
    /// Where it is done.
    #[serde(default)]
    pub environment: Environment,
    /// The load.
    pub load: Load,
    /// Hooks of the crane or cranes.
    pub hooks: Vec<Hook>,
    /// Massless joints between legs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub joints: Vec<Joint>,
    /// Spreader bars, beams and frames.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub spreaders: Vec<Spreader>,
    /// Slings.
    #[serde(default)]
    pub slings: Vec<Sling>,
    /// Shackles, rings and other fittings.
    #[serde(default)]
    pub fittings: Vec<Fitting>,
    /// Covers and sleeves.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub covers: Vec<Cover>,
    /// Legs.
    pub legs: Vec<Leg>,
}

/// Kind of operation.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Operation {
    /// What is done.
    #[serde(default)]
    pub kind: Known<OperationKind>,
    /// Whether persons are lifted.
    #[serde(default)]
    pub persons_lifted: Known<bool>,
    /// How the motion of the load was looked at.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub dynamic_analysis: Known<DynamicAnalysis>,
    /// What the failure of a sling means.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub consequence_of_failure: Known<Consequence>,
    /// How many vessels carry the hooks.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub vessels: Known<Vessels>,
    /// Whether the two hooks of a sheerleg that cannot slew are kept level by what drives them.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub hooks_synchronized: Known<bool>,
    /// What makes the lift out of the ordinary.
    #[serde(default, skip_serializing_if = "Circumstances::are_unknown")]
    pub circumstances: Circumstances,
    /// Whether persons can be below the load.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub persons_below: Known<bool>,
    /// Where it is done, as far as rules part one part of the world from another.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub region: Known<Region>,
    /// What is to be reckoned with where the load sticks.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub snag: Known<Snag>,
}

/// What is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum OperationKind {
    /// Lifting with one hook.
    Lifting,
    /// Lowering with one hook.
    Lowering,
    /// Lifting with two hooks of one crane.
    TwoHookLift,
    /// Lifting with two or more cranes.
    MultiCraneLift,
    /// Turning a load from lying to standing.
    Upending,
}

impl OperationKind {
    /// The word asked of a rule set and printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Lifting => "lifting",
            Self::Lowering => "lowering",
            Self::TwoHookLift => "two-hook lift",
            Self::MultiCraneLift => "multi-crane lift",
            Self::Upending => "upending",
        }
    }
}

/// Where the lift is done.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Environment {
    /// On land, in sheltered water, at sea or under water.
    #[serde(default)]
    pub location: Known<Location>,
    /// Lowest and highest temperature of the gear.
    #[serde(default)]
    pub temperature: Known<[Entered<Temperature>; 2]>,
    /// Chemicals that can reach the gear; an empty list says there are none.
    #[serde(default)]
    pub chemicals: Known<Vec<String>>,
    /// Wind on the hung load.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub wind: Known<Wind>,
}

/// On land, in sheltered water, at sea or under water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Location {
    /// On land.
    Onshore,
    /// In sheltered water.
    Inshore,
    /// At sea.
    Offshore,
    /// Under water.
    Subsea,
}

impl Location {
    /// The word asked of a rule set and printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Onshore => "onshore",
            Self::Inshore => "inshore",
            Self::Offshore => "offshore",
            Self::Subsea => "subsea",
        }
    }
}

/// The load.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Load {
    /// Unique name.
    pub name: Text,
    /// What kind of load it is, as far as rules ask.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub kind: Known<LoadKind>,
    /// Its greatest length, lying as it hangs.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub length: Known<Entered<Length>>,
    /// Mass, its basis and its contingency.
    #[serde(default)]
    pub mass: LoadMass,
    /// Center of gravity and its box.
    #[serde(default)]
    pub center_of_gravity: CenterOfGravity,
    /// Largest tilt away from the attitude as drawn that is allowed.
    #[serde(default)]
    pub allowed_tilt: Known<Cited<Entered<Angle>>>,
    /// Lift points.
    pub lift_points: Vec<LiftPoint>,
}

/// Mass, its basis and its contingency.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LoadMass {
    /// The mass.
    #[serde(default)]
    pub value: Known<Entered<Mass>>,
    /// How it is known.
    #[serde(default)]
    pub basis: Known<MassBasis>,
    /// What is added for error; required unless the mass is not to be exceeded.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub contingency: Known<Entered<Fraction>>,
    /// What it is at least, where a lighter load is the worse one: in wind.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub at_least: Known<Cited<Entered<Mass>>>,
    /// The paper that states it.
    #[serde(default)]
    pub source: Known<Text>,
}

/// How a mass is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum MassBasis {
    /// Weighed.
    Weighed,
    /// Calculated or taken from drawings.
    Calculated,
    /// A limit that the load is kept under by other means: nothing is added.
    NotToExceed,
}

impl MassBasis {
    /// The word asked of a rule set and printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Weighed => "weighed",
            Self::Calculated => "calculated",
            Self::NotToExceed => "not to exceed",
        }
    }
}

/// Center of gravity in the load's frame, and the box it may lie in.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CenterOfGravity {
    /// Nominal position.
    #[serde(default)]
    pub position: Known<Point>,
    /// It may lie this much to either side in x, y and z.
    #[serde(default)]
    pub tolerance: Known<Point>,
    /// The weighing or drawing that states it.
    #[serde(default)]
    pub source: Known<Text>,
}

/// A point of the load to which gear is attached.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LiftPoint {
    /// Unique name.
    pub name: Text,
    /// Position.
    pub position: Point,
    /// What it is marked or designed for.
    #[serde(default)]
    pub rating: Rating,
    /// Direction in which the rating holds.
    #[serde(default)]
    pub allowed_direction: Known<AllowedDirection>,
    /// Diameter of the hole.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub hole_diameter: Known<Entered<Length>>,
    /// Diameter of the surface that a sling without a fitting bears on: a trunnion, a post.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub bearing_diameter: Known<Entered<Length>>,
    /// Clear width of that surface, along its axis.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub bearing_width: Known<Entered<Length>>,
    /// Thickness of the plate.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub thickness: Known<Entered<Length>>,
    /// Direction of the axis of the hole in the load's frame, any length but zero: a shackle turns about its pin, and what
    /// pulls along the pin pulls it sideways.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub hole_axis: Known<[f64; 3]>,
    /// The plate round the hole.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub pin_plate: Known<PinPlate>,
    /// Name of the fitting that collects all legs here, where it is part of none of them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fitting: Option<Text>,
}

/// A cone of directions in the load's frame.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct AllowedDirection {
    /// Axis of the cone; any length but zero.
    pub axis: [f64; 3],
    /// Largest angle between the pull and the axis.
    pub within: Entered<Angle>,
    /// The drawing or data sheet that states it.
    #[serde(default)]
    pub source: Known<Text>,
    /// What is left of the rating where the pull is off the axis; the whole within the cone where it is absent.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub shares: Known<AngleShares>,
}

/// A hook of a crane.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Hook {
    /// Unique name.
    pub name: Text,
    /// Position as drawn. A single hook follows the center of gravity, and its position does not matter.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub position: Known<Point>,
    /// What may hang from it.
    #[serde(default)]
    pub rating: Rating,
    /// Diameter of the surface that slings bear on.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub bearing_diameter: Known<Entered<Length>>,
    /// Own mass, with its block.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub mass: Known<Entered<Mass>>,
    /// Name of the fitting that collects all legs on it, such as a master link; it is part of none of them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fitting: Option<Text>,
    /// What the rating leaves to be counted.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub capacity_basis: Known<CapacityBasis>,
    /// Name of the crane it belongs to; hooks of one crane state the same.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub crane: Known<Text>,
}

/// A massless joint between legs, such as a ring.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Joint {
    /// Unique name.
    pub name: Text,
    /// Position as drawn.
    pub position: Point,
    /// Name of the fitting that it is: a ring, or a shackle that collects slings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fitting: Option<Text>,
}

/// A spreader bar, beam or frame: a rigid body of its own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Spreader {
    /// Unique name.
    pub name: Text,
    /// Own mass.
    #[serde(default)]
    pub mass: Known<Entered<Mass>>,
    /// Center of gravity.
    #[serde(default)]
    pub center_of_gravity: Known<Point>,
    /// Points to which gear is attached.
    pub points: Vec<LiftPoint>,
    /// Compression it may bear.
    #[serde(default)]
    pub rating: Rating,
}

/// A leg: a hitch, the path it takes and the items it is made of.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Leg {
    /// Unique name.
    pub name: Text,
    /// How the sling holds.
    pub hitch: Hitch,
    /// Stations from end to end.
    pub path: Vec<Station>,
    /// Names of the slings and fittings, from the first station to the last.
    pub items: Vec<Text>,
    /// What the sling touches on its way.
    #[serde(default)]
    pub contacts: Known<Vec<Contact>>,
}

/// How a sling holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Hitch {
    /// From end to end.
    Straight,
    /// From end to end twice: its bight at one end of the leg, both its own ends at the other. Its length is that of the
    /// whole leg as it hangs.
    Doubled,
    /// Under the load and back.
    Basket,
    /// Round the load and through its own eye. The path ends at the choke point: a place that the sling is "over", with
    /// the friction and the diameter of what it goes round. Its length is that of the leg down to the choke point.
    Choke(Choke),
}

impl Hitch {
    /// The word asked of a rule set and printed.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Straight => "straight",
            Self::Doubled => "doubled",
            Self::Basket => "basket",
            Self::Choke(_) => "choke",
        }
    }
}

/// Particulars of a choke hitch.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Choke {
    /// Angle between the standing part and the part that goes round; it says where the eye sits.
    #[serde(default)]
    pub angle: Known<Entered<ChokeAngle>>,
    /// Full turns round the load: 1 for a single wrap, 2 for a double one.
    #[serde(default)]
    pub wraps: Known<u32>,
}

/// A station on a leg's path.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Station {
    /// An end of the leg: the name of a hook, a lift point, a joint, or "spreader/point".
    End(Text),
    /// A place that the sling passes over and may slide on; at the end of a choke, what it goes round.
    Over(Box<Passage>),
}

/// A place that a sling passes over: a station with a name, or a position on the load; one of the two.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Passage {
    /// Position in the load's frame: a place on the load that the sling lies against.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub position: Known<Point>,
    /// The name of a hook, a lift point, a joint, or "spreader/point".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub station: Option<Text>,
    /// Least and greatest coefficient of friction between the sling and what it passes over.
    #[serde(default)]
    pub friction: Known<Cited<[f64; 2]>>,
    /// Whether the sling lies in a sheave that turns freely, so that no friction acts.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub free_turning: Known<bool>,
    /// Diameter of the surface that the sling bends round there.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub bearing_diameter: Known<Entered<Length>>,
}

impl Passage {
    /// Least and greatest coefficient of friction: zero where a sheave turns freely, none where nothing is known.
    pub fn coefficients(&self) -> Option<[f64; 2]> {
        if self.free_turning.value() == Some(&true) {
            return Some([0.0, 0.0]);
        }
        self.friction.value().map(|friction| friction.value)
    }
}

/// A place where a sling touches something.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Contact {
    /// What is touched.
    pub name: Text,
    /// Radius of the edge.
    #[serde(default)]
    pub edge_radius: Known<Entered<Length>>,
    /// Angle through which the sling is turned.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub wrap: Known<Entered<Angle>>,
    /// Name of the cover between.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cover: Option<Text>,
}
