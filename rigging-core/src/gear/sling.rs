//! Slings of every family in one description.

use super::{Cited, Known, Rated, Stiffness, Tag, TestCertificate};
use crate::quantity::{Entered, Fraction, Length, Mass, Temperature};
use crate::text::Text;
use serde::{Deserialize, Serialize};

/// How a sling is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Construction {
    /// Laid rope with an eye at each end.
    LaidRope,
    /// Braided rope with an eye at each end.
    BraidedRope,
    /// Rope closed upon itself by a splice.
    EndlessRope,
    /// Strand or fiber laid up upon itself into a ring.
    Grommet,
    /// Endless load-bearing yarn in a cover.
    Roundsling,
    /// Flat woven webbing.
    Web,
    /// Single-laid wire rope with terminations.
    WireRope,
    /// Cable-laid wire rope with terminations.
    CableLaidWireRope,
    /// Link chain.
    Chain,
    /// Wire rope laid up upon itself into a ring.
    CableLaidGrommet,
}

impl Construction {
    /// The word asked of a rule set and printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::LaidRope => "laid rope",
            Self::BraidedRope => "braided rope",
            Self::EndlessRope => "endless rope",
            Self::Grommet => "grommet",
            Self::Roundsling => "roundsling",
            Self::Web => "web",
            Self::WireRope => "wire rope",
            Self::CableLaidWireRope => "cable-laid wire rope",
            Self::Chain => "chain",
            Self::CableLaidGrommet => "cable-laid grommet",
        }
    }
}

/// What bears the load.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub enum Material {
    /// High-modulus polyethylene.
    #[serde(rename = "HMPE")]
    Hmpe,
    /// Polyester.
    #[serde(rename = "polyester")]
    Polyester,
    /// Polyamide.
    #[serde(rename = "polyamide")]
    Polyamide,
    /// Polypropylene.
    #[serde(rename = "polypropylene")]
    Polypropylene,
    /// Aramid.
    #[serde(rename = "aramid")]
    Aramid,
    /// Natural fiber.
    #[serde(rename = "natural fiber")]
    NaturalFiber,
    /// Manila, a natural fiber.
    #[serde(rename = "manila")]
    Manila,
    /// Steel.
    #[serde(rename = "steel")]
    Steel,
    /// Alloy steel of a chain grade.
    #[serde(rename = "alloy steel")]
    AlloySteel,
}

impl Material {
    /// The word asked of a rule set and printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hmpe => "HMPE",
            Self::Polyester => "polyester",
            Self::Polyamide => "polyamide",
            Self::Polypropylene => "polypropylene",
            Self::Aramid => "aramid",
            Self::NaturalFiber => "natural fiber",
            Self::Manila => "manila",
            Self::Steel => "steel",
            Self::AlloySteel => "alloy steel",
        }
    }
}

/// How the ends are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Termination {
    /// No ends: roundsling, grommet, endless rope.
    Endless,
    /// Splice made by hand.
    HandSplice,
    /// Steel ferrule.
    SteelFerrule,
    /// Aluminum ferrule.
    AluminumFerrule,
    /// Resin socket.
    ResinSocket,
    /// Swage fitting.
    Swage,
    /// Splice made by machine: the eye is laid back into the rope and secured by a pressed sleeve.
    MechanicalSplice,
    /// Sewn eye.
    SewnEye,
    /// Connecting link.
    Link,
}

impl Termination {
    /// The word asked of a rule set and printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Endless => "endless",
            Self::HandSplice => "hand splice",
            Self::SteelFerrule => "steel ferrule",
            Self::AluminumFerrule => "aluminum ferrule",
            Self::ResinSocket => "resin socket",
            Self::Swage => "swage",
            Self::MechanicalSplice => "mechanical splice",
            Self::SewnEye => "sewn eye",
            Self::Link => "link",
        }
    }
}

/// What a wire rope is laid around.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Core {
    /// Fiber.
    Fiber,
    /// A strand or another core of steel wires.
    Steel,
    /// An independent wire rope.
    #[serde(rename = "IWRC")]
    WireRope,
}

impl Core {
    /// The word printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fiber => "fiber",
            Self::Steel => "steel",
            Self::WireRope => "IWRC",
        }
    }
}

/// The surface of steel wires.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Finish {
    /// Bright.
    Uncoated,
    /// Zinc-coated.
    Galvanized,
}

impl Finish {
    /// The word printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Uncoated => "uncoated",
            Self::Galvanized => "galvanized",
        }
    }
}

/// How a sling is used and looked after.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Service {
    /// Steel, looked at before each lift.
    InspectedBeforeEachLift,
    /// Used often without an examination each time.
    FrequentWithoutInspection,
    /// Fiber, in an undamaged jacket.
    JacketIntact,
    /// In daily use in a yard.
    FabricationYard,
}

impl Service {
    /// The words printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::InspectedBeforeEachLift => "inspected before each lift",
            Self::FrequentWithoutInspection => "frequent without inspection",
            Self::JacketIntact => "jacket intact",
            Self::FabricationYard => "fabrication yard",
        }
    }
}

/// Whether moisture can have reached what bears.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Moisture {
    /// Dry, and kept so.
    Dry,
    /// Wet, or may become so.
    Wet,
}

impl Moisture {
    /// The word asked of a rule set and printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Dry => "dry",
            Self::Wet => "wet",
        }
    }
}

/// How the strength of a sling is certified.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Certification {
    /// By a certificate.
    Certified,
    /// By a certificate, and the sling is as new.
    AsNew,
}

impl Certification {
    /// The word asked of a rule set and printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Certified => "certified",
            Self::AsNew => "as new",
        }
    }
}

/// What a strength is quoted for: taking one for the other is a factor of two.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Portion {
    /// The sling as it is used: both parts of an endless one.
    Whole,
    /// One part of an endless sling or grommet.
    Part,
}

/// Breaking load and marked rating, with what they are quoted for.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Strength {
    /// Working load limit as marked, in a straight pull.
    #[serde(default)]
    pub wll: Known<Rated>,
    /// Working load limit as marked, choked.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub wll_choke: Known<Rated>,
    /// Working load limit as marked, in a basket with plumb legs: both legs together.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub wll_basket: Known<Rated>,
    /// Minimum breaking load.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub breaking_load: Known<Rated>,
    /// What all of them are quoted for.
    #[serde(default)]
    pub basis: Known<Portion>,
    /// The tag or certificate that states them.
    #[serde(default)]
    pub source: Known<Text>,
}

impl Strength {
    /// Whether any working load limit is marked.
    pub(crate) fn is_marked(&self) -> bool {
        ![&self.wll, &self.wll_choke, &self.wll_basket].into_iter().all(Known::is_unknown)
    }
}

/// Between which points a length was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Measured {
    /// Over the whole leg, from bearing point to bearing point of its stations, fittings included.
    WholeLeg,
    /// Over the sling alone, bearing point to bearing point.
    BearingToBearing,
    /// Inside the pulled-out sling, without pins.
    Inside,
    /// Round the closed sling.
    Circumference,
}

impl Measured {
    /// The words for reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::WholeLeg => "over the whole leg, fittings included",
            Self::BearingToBearing => "bearing to bearing",
            Self::Inside => "inside",
            Self::Circumference => "circumference",
        }
    }
}

/// A length, how it was measured and within which tolerance.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SlingLength {
    /// Unstretched length.
    #[serde(default)]
    pub value: Known<Entered<Length>>,
    /// Between which points.
    #[serde(default)]
    pub measured: Known<Measured>,
    /// The length may be this much longer or shorter.
    #[serde(default)]
    pub tolerance: Known<Entered<Length>>,
}

/// A sling.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Sling {
    /// Unique name.
    pub name: Text,
    /// How it is made.
    pub construction: Construction,
    /// What bears the load.
    pub material: Material,
    /// Chain grade as marked (4, 8, 10, 80, 100).
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub grade: Known<u32>,
    /// Breaking load and marked rating.
    #[serde(default)]
    pub strength: Strength,
    /// Load-bearing parts side by side between its ends in a straight pull, where its construction does not tell.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub parts: Known<u32>,
    /// How it stretches.
    #[serde(default)]
    pub stiffness: Known<Stiffness>,
    /// Rope, part or chain link diameter.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub diameter: Known<Entered<Length>>,
    /// Flat width under load.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub width: Known<Entered<Length>>,
    /// Compressed thickness under load.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub thickness: Known<Entered<Length>>,
    /// Length.
    #[serde(default)]
    pub length: SlingLength,
    /// Rope left clear between the splices, sleeves or end fittings of its two ends.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub clear_length: Known<Entered<Length>>,
    /// Length round a closed sling, along the middle of its body.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub circumference: Known<Entered<Length>>,
    /// Length of one lay of the rope or cable that it is made of.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub lay_length: Known<Entered<Length>>,
    /// Reference number of the rope, by which standards of fiber rope count sizes.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub reference_number: Known<u32>,
    /// How the ends are made.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub termination: Known<Termination>,
    /// What a wire rope is laid around.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub core: Known<Core>,
    /// The surface of its steel wires.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub finish: Known<Finish>,
    /// Least safety factor on its breaking load, after its maker.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub least_safety_factor: Known<Cited<f64>>,
    /// Least radius of an edge it may pass over uncovered, after its maker.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub least_edge_radius: Known<Cited<Entered<Length>>>,
    /// Least diameter it may bend round at full rating, after its maker.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub least_bend_diameter: Known<Cited<Entered<Length>>>,
    /// Lowest and highest temperature at full rating, after its maker.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub temperature_range: Known<Cited<[Entered<Temperature>; 2]>>,
    /// Whether it is dry or may be wet.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub moisture: Known<Moisture>,
    /// How it is used and looked after.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub service: Known<Service>,
    /// How its strength is certified.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub certification: Known<Certification>,
    /// Whether it can twist or untwist under load.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub twisting_possible: Known<bool>,
    /// Serial or identification number.
    #[serde(default)]
    pub identity: Known<Text>,
    /// The tag as seen.
    #[serde(default)]
    pub tag: Known<Tag>,
    /// Its certificate, as read.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub test_certificate: Known<TestCertificate>,
    /// Load that the fittings it is made with bear without permanent set, after its maker.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub end_fitting_strength: Known<Cited<Rated>>,
    /// What sunlight and age leave of its strength until it is discarded, after its maker.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub sunlight: Known<Cited<Entered<Fraction>>>,
    /// What a load that lasts as long as this lift adds to its length, over the length, after its maker.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub creep: Known<Cited<Entered<Fraction>>>,
    /// Chemicals that leave its strength whole, after its maker, in the words in which the lift states them.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub withstands: Known<Cited<Vec<String>>>,
    /// Own mass.
    #[serde(default)]
    pub mass: Known<Entered<Mass>>,
}

impl Sling {
    /// Whether it is closed upon itself, so that between its ends at least two parts bear side by side; none where that is
    /// not known.
    pub fn endless(&self) -> Option<bool> {
        match (self.construction, self.termination.value()) {
            (
                Construction::EndlessRope
                | Construction::Grommet
                | Construction::CableLaidGrommet
                | Construction::Roundsling,
                _,
            )
            | (_, Some(Termination::Endless)) => Some(true),
            // Webbing is sewn into a loop as often as it is given eyes.
            (Construction::Web, None) => None,
            _ => Some(false),
        }
    }

    /// Load-bearing parts side by side between its ends in a straight pull: as stated, or as the construction tells.
    pub fn parts_side_by_side(&self) -> Option<u32> {
        let told = self.endless().map(|endless| if endless { 2 } else { 1 });
        self.parts.value().copied().or(told)
    }
}
