//! Shackles, rings, hooks at a leg's end, and covers.

use super::{AngleShares, Cited, Known, Rating, Tag, TestCertificate};
use crate::quantity::{Angle, Entered, Length, Mass, Pressure, Temperature};
use crate::text::Text;
use serde::{Deserialize, Serialize};

/// Kind of fitting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum FittingKind {
    /// Shackle with a wide bow.
    BowShackle,
    /// Shackle with a narrow body.
    DeeShackle,
    /// Ring or master link.
    Ring,
    /// Hook at the end of a leg.
    LegHook,
    /// Swivel.
    Swivel,
    /// A device that sets the length of a leg.
    LengthAdjuster,
}

impl FittingKind {
    /// The word asked of a rule set and printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::BowShackle | Self::DeeShackle => "shackle",
            Self::Ring => "ring",
            Self::LegHook => "leg hook",
            Self::Swivel => "swivel",
            Self::LengthAdjuster => "length adjuster",
        }
    }
}

/// A fitting.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Fitting {
    /// Unique name.
    pub name: Text,
    /// Kind.
    pub kind: FittingKind,
    /// What it is marked with.
    #[serde(default)]
    pub rating: Rating,
    /// What it adds to the length of its leg, bearing point to bearing point.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub length: Known<Entered<Length>>,
    /// Diameter of the pin.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub pin_diameter: Known<Entered<Length>>,
    /// Diameter of the bow or ring material.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub bow_diameter: Known<Entered<Length>>,
    /// Clear width inside the bow or ring.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub inside_width: Known<Entered<Length>>,
    /// Clear width between the jaws of a shackle, at its pin.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub jaw_width: Known<Entered<Length>>,
    /// Serial or identification number.
    #[serde(default)]
    pub identity: Known<Text>,
    /// The marking as seen.
    #[serde(default)]
    pub tag: Known<Tag>,
    /// Its certificate, as read.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub test_certificate: Known<TestCertificate>,
    /// What the maker leaves of the rating of a shackle that is pulled out of its plane, along its pin.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub side_load: Known<AngleShares>,
    /// The greatest angle between any two slings in it, after its maker.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub greatest_included_angle: Known<Cited<Entered<Angle>>>,
    /// How far off the middle of the pin the load sits, as measured or as a drawing allows.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub offset_on_pin: Known<Cited<Entered<Length>>>,
    /// Thickness of the spacers beside the load on the pin, both sides together, laid so that they keep it in the middle.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub packing: Known<Cited<Entered<Length>>>,
    /// Offset from the middle of the pin up to which the rating holds in full, after its maker.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub greatest_offset_on_pin: Known<Cited<Entered<Length>>>,
    /// Lowest and highest temperature at full rating, after its maker.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub temperature_range: Known<Cited<[Entered<Temperature>; 2]>>,
    /// Chemicals that leave its strength whole, after its maker, in the words in which the lift states them.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub withstands: Known<Cited<Vec<String>>>,
    /// Own mass.
    #[serde(default)]
    pub mass: Known<Entered<Mass>>,
}

/// A cover or sleeve between a sling and what it touches.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Cover {
    /// Unique name.
    pub name: Text,
    /// Pressure it may take, after its maker or a test.
    #[serde(default)]
    pub rated_pressure: Known<Cited<Entered<Pressure>>>,
    /// Thickness.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub thickness: Known<Entered<Length>>,
}
