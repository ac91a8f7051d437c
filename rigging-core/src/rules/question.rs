//! The questions a rule set can be asked, and what any answer to them must satisfy.

use super::unit::Dimension;

/// The range in which an answer or a fact makes sense at all, whatever document it comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Law {
    /// The answer is a word or a list of words.
    Words,
    /// At least 1: a factor that raises a load or lowers a strength by division.
    AtLeastOne,
    /// In (0, 1]: a fraction or a multiplying reduction.
    Fraction,
    /// In [0.5, 1): the greater share of two.
    GreaterShare,
    /// Above zero.
    Positive,
    /// From 0 to a right angle.
    UpToRightAngle,
    /// From 0 to a straight angle.
    UpToStraightAngle,
    /// Zero or above.
    NotNegative,
    /// In [0, 1].
    Share,
}

impl Law {
    /// The allowed range, in words.
    pub(super) const fn allowed(self) -> &'static str {
        match self {
            Self::Words => "a word",
            Self::AtLeastOne => "finite and at least 1",
            Self::Fraction => "above 0 and at most 1",
            Self::GreaterShare => "at least 0.5 and below 1",
            Self::Positive => "finite and above 0",
            Self::UpToRightAngle => "from 0 to a right angle",
            Self::UpToStraightAngle => "from 0 to a straight angle",
            Self::NotNegative => "finite and not negative",
            Self::Share => "from 0 to 1",
        }
    }

    /// Whether a value, in SI, is within the range.
    pub(super) fn admits(self, value: f64) -> bool {
        value.is_finite()
            && match self {
                Self::Words => false,
                Self::AtLeastOne => value >= 1.0,
                Self::Fraction => value > 0.0 && value <= 1.0,
                Self::GreaterShare => (0.5..1.0).contains(&value),
                Self::Positive => value > 0.0,
                Self::UpToRightAngle => (0.0..=std::f64::consts::FRAC_PI_2).contains(&value),
                Self::UpToStraightAngle => (0.0..=std::f64::consts::PI).contains(&value),
                Self::NotNegative => value >= 0.0,
                Self::Share => (0.0..=1.0).contains(&value),
            }
    }
}

/// How the values of a table must run from one printed row to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Trend {
    /// No law.
    Free,
    /// Rising: capacity with size.
    Rising,
    /// Falling or level: dynamic factor with weight, bending factor with the bend ratio.
    Falling,
}

macro_rules! questions {
    ($($(#[doc = $doc:literal])* $variant:ident = $name:literal, $law:ident, $dimension:ident, $trend:ident;)*) => {
        /// A question in plain quantities. Every question has a stable name, which rule files use.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[non_exhaustive]
        pub enum Question {
            $($(#[doc = $doc])* $variant,)*
        }

        impl Question {
            /// Every question, in a fixed order.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// The stable name.
            ///
            /// ```
            /// use rigging_core::rules::Question;
            /// assert_eq!(Question::DynamicFactor.name(), "dynamic factor");
            /// assert_eq!(Question::named("dynamic factor"), Some(Question::DynamicFactor));
            /// ```
            pub const fn name(self) -> &'static str {
                match self { $(Self::$variant => $name,)* }
            }

            pub(super) const fn law(self) -> Law {
                match self { $(Self::$variant => Law::$law,)* }
            }

            /// The dimension of a numerical answer.
            pub const fn dimension(self) -> Dimension {
                match self { $(Self::$variant => Dimension::$dimension,)* }
            }

            pub(super) const fn trend(self) -> Trend {
                match self { $(Self::$variant => Trend::$trend,)* }
            }
        }
    };
}

questions! {
    /// Does the document govern this operation (fact: operation)? The answer's word is "applies".
    AppliesToOperation = "applies to operation", Words, Number, Free;
    /// Does it govern this place (fact: place)?
    AppliesToPlace = "applies to place", Words, Number, Free;
    /// Does it govern the lifting of persons (fact: persons lifted)?
    AppliesToPersons = "applies to persons", Words, Number, Free;
    /// Does it govern this gear (facts: construction, material)?
    AppliesToGear = "applies to gear", Words, Number, Free;
    /// The factor on a mass, by how the mass was found (fact: mass basis).
    WeightContingency = "weight contingency", AtLeastOne, Number, Free;
    /// The weight below which an item is treated as weighing this much in the whole calculation.
    LeastItemWeight = "least item weight", Positive, Mass, Free;
    /// The dynamic amplification factor (facts: place, gross weight, static hook load).
    DynamicFactor = "dynamic factor", AtLeastOne, Number, Falling;
    /// The skew load factor, where the document allows one to be taken by rule.
    SkewFactor = "skew factor", AtLeastOne, Number, Free;
    /// The elastic modulus the document gives for a sling (facts: construction, material, rope lay).
    ElasticModulus = "elastic modulus", Positive, Stress, Free;
    /// The axial stiffness EA of a sling (fact: rope diameter).
    AxialStiffness = "axial stiffness", Positive, Force, Free;
    /// The greater share of two parts of one sling bearing together (fact: part bearing).
    PartShare = "part share", GreaterShare, Number, Free;
    /// The fraction of the quoted breaking load of a grommet that one part is credited with (fact: reeving).
    GrommetPartFraction = "grommet part fraction", Fraction, Number, Free;
    /// What the strength of an item is based on: "marked rating", "table" or "breaking load divided by factor"; several
    /// words stand in the document's order of preference (facts: construction, material).
    RatingBasis = "rating basis", Words, Number, Free;
    /// The rated value of a sling (facts: taken from "table" or "relation", grade, chain size, configuration, hitch,
    /// angle from horizontal).
    RatedValue = "rated value", Positive, Force, Rising;
    /// The load factor (facts: dynamic analysis, environmental share of load).
    LoadFactor = "load factor", AtLeastOne, Number, Free;
    /// The consequence factor (fact: consequence of failure).
    ConsequenceFactor = "consequence factor", AtLeastOne, Number, Free;
    /// The termination factor (facts: construction, termination).
    TerminationFactor = "termination factor", AtLeastOne, Number, Free;
    /// The bending factor (facts: construction, material, bend at, bend ratio).
    BendingFactor = "bending factor", AtLeastOne, Number, Falling;
    /// The reduction factor from termination factor and bending factor.
    ReductionFactor = "reduction factor", AtLeastOne, Number, Free;
    /// The wear and application factor (facts: construction, service).
    WearFactor = "wear factor", AtLeastOne, Number, Free;
    /// The material factor (facts: material, certification).
    MaterialFactor = "material factor", AtLeastOne, Number, Free;
    /// The twist factor (facts: material, twisting possible).
    TwistFactor = "twist factor", AtLeastOne, Number, Free;
    /// The nominal safety factor from the partial factors.
    NominalSafetyFactor = "nominal safety factor", AtLeastOne, Number, Free;
    /// The value below which no safety factor may fall, whatever the partial factors give.
    LeastSafetyFactor = "least safety factor", AtLeastOne, Number, Free;
    /// The static load a shackle may bear (fact: working load limit).
    ShackleStaticLimit = "shackle static limit", Positive, Force, Free;
    /// The dynamic load a shackle may bear (facts: working load limit, dynamic factor, breaking load, proof load).
    ShackleDynamicLimit = "shackle dynamic limit", Positive, Force, Free;
    /// The angle off the shackle's line within which it is rated in full.
    ShackleLineAngle = "shackle line angle", UpToRightAngle, Angle, Free;
    /// The fraction of its working load limit above which a shackle is looked at before each lift.
    ShackleVisualCheck = "shackle visual check", Fraction, Number, Free;
    /// The angle from vertical at or below which a leg counts as vertical.
    VerticalLegAngle = "vertical leg angle", UpToRightAngle, Angle, Free;
    /// The least angle of a leg from horizontal.
    LeastLegAngle = "least leg angle", UpToRightAngle, Angle, Free;
    /// What a choker hitch leaves of the straight rating (facts: construction, choke angle).
    ChokeFactor = "choke factor", Fraction, Number, Free;
    /// The highest temperature at which the full rating holds (facts: construction, material, core).
    HighestTemperature = "highest temperature", Positive, Temperature, Free;
    /// The lowest temperature at which the full rating holds.
    LowestTemperature = "lowest temperature", Positive, Temperature, Free;
    /// The temperature above which an item that was exposed to it is removed from service.
    RemovalTemperature = "removal temperature", Positive, Temperature, Free;
    /// The least bend ratio: diameter of the surface over diameter of the sling (facts: construction, bend at).
    LeastBendRatio = "least bend ratio", Positive, Number, Free;
    /// The bend ratio recommended as least.
    RecommendedBendRatio = "recommended bend ratio", Positive, Number, Free;
    /// The edge radius, as a multiple of the sling's diameter or thickness, below which an edge is sharp.
    SharpEdgeRatio = "sharp edge ratio", Positive, Number, Free;
    /// What an item must be marked with to be used (fact: construction).
    Marking = "marking", Words, Number, Free;
    /// The age beyond which a certificate no longer serves (fact: place).
    CertificateAge = "certificate age", Positive, CalendarTime, Free;
}

impl Question {
    /// The question of this name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|question| question.name() == name)
    }
}
