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
    /// In (0, 4]: what several parts side by side bear over what one bears. Four legs hung plumb, or a double basket, are all that
    /// a document counts.
    UpToFour,
    /// A whole number from 1 to 4: legs of a set.
    LegsOfASet,
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
            Self::UpToFour => {
                "above 0 and at most 4, the factor of four legs hung plumb or a double basket (80 per cent is 0.8, or 80 with the \
                 unit \"%\")"
            }
            Self::LegsOfASet => "1, 2, 3 or 4",
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
                Self::UpToFour => value > 0.0 && value <= 4.0,
                Self::LegsOfASet => [1.0, 2.0, 3.0, 4.0].contains(&value),
            }
    }

    /// The least and the greatest of the range, where it has them, whether or not they belong to it.
    pub(super) const fn ends(self) -> (Option<f64>, Option<f64>) {
        match self {
            Self::Words => (None, None),
            Self::AtLeastOne => (Some(1.0), None),
            Self::Fraction | Self::Share => (Some(0.0), Some(1.0)),
            Self::GreaterShare => (Some(0.5), Some(1.0)),
            Self::Positive | Self::NotNegative => (Some(0.0), None),
            Self::UpToRightAngle => (Some(0.0), Some(std::f64::consts::FRAC_PI_2)),
            Self::UpToStraightAngle => (Some(0.0), Some(std::f64::consts::PI)),
            Self::UpToFour => (Some(0.0), Some(4.0)),
            Self::LegsOfASet => (Some(1.0), Some(4.0)),
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
    /// Rising or level: a number of clips with the diameter of the rope.
    NotFalling,
}

/// Which of two answers to one question asks more or allows less.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Severer {
    /// The lesser: a rating, a reduction.
    Least,
    /// The greater: a factor on a load, a least size.
    Greatest,
    /// None can be named: words, and numbers that are right or wrong.
    Neither,
}

macro_rules! questions {
    ($($(#[doc = $doc:literal])* $variant:ident = $name:literal, $law:ident, $dimension:ident, $trend:ident, $severer:ident;)*) => {
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

            /// Which of two numerical answers to this question is the severer one.
            ///
            /// ```
            /// use rigging_core::rules::{Question, Severer};
            /// assert_eq!(Question::RatedValue.severer(), Severer::Least);
            /// assert_eq!(Question::DynamicFactor.severer(), Severer::Greatest);
            /// ```
            pub const fn severer(self) -> Severer {
                match self { $(Self::$variant => Severer::$severer,)* }
            }
        }
    };
}

questions! {
    /// Does the document govern this operation (fact: operation)? The answer's word is "applies".
    AppliesToOperation = "applies to operation", Words, Number, Free, Neither;
    /// Does it govern this place (fact: place)?
    AppliesToPlace = "applies to place", Words, Number, Free, Neither;
    /// Does it govern the lifting of persons (fact: persons lifted)?
    AppliesToPersons = "applies to persons", Words, Number, Free, Neither;
    /// Does it govern this gear (facts: construction, material)?
    AppliesToGear = "applies to gear", Words, Number, Free, Neither;
    /// The factor on a mass, by how the mass was found (fact: mass basis).
    WeightContingency = "weight contingency", AtLeastOne, Number, Free, Greatest;
    /// The weight below which an item is treated as weighing this much in the whole calculation.
    LeastItemWeight = "least item weight", Positive, Mass, Free, Greatest;
    /// The dynamic amplification factor (facts: place, vessels, gross weight, static hook load).
    DynamicFactor = "dynamic factor", AtLeastOne, Number, Falling, Greatest;
    /// The skew load factor, where the document allows one to be taken by rule.
    SkewFactor = "skew factor", AtLeastOne, Number, Free, Greatest;
    /// The elastic modulus the document gives for a sling (facts: construction, material, rope lay).
    ElasticModulus = "elastic modulus", Positive, Stress, Free, Neither;
    /// The axial stiffness EA of a sling (fact: rope diameter).
    AxialStiffness = "axial stiffness", Positive, Force, Free, Neither;
    /// The greater share of two parts of one sling bearing together (fact: part bearing).
    PartShare = "part share", GreaterShare, Number, Free, Greatest;
    /// The fraction of the quoted breaking load of a grommet that one part is credited with (fact: reeving).
    GrommetPartFraction = "grommet part fraction", Fraction, Number, Free, Least;
    /// What the strength of an item is based on: "marked rating", "table" or "breaking load divided by factor"; several
    /// words stand in the document's order of preference (facts: construction, material).
    RatingBasis = "rating basis", Words, Number, Free, Neither;
    /// The rated value of a sling (facts: taken from "table" or "relation", grade, chain size, configuration, hitch,
    /// angle from horizontal).
    RatedValue = "rated value", Positive, Force, Rising, Least;
    /// The load factor (facts: dynamic analysis, environmental share of load).
    LoadFactor = "load factor", AtLeastOne, Number, Free, Greatest;
    /// The consequence factor (fact: consequence of failure).
    ConsequenceFactor = "consequence factor", AtLeastOne, Number, Free, Greatest;
    /// The termination factor (facts: construction, termination).
    TerminationFactor = "termination factor", AtLeastOne, Number, Free, Greatest;
    /// The bending factor (facts: construction, material, bend at, bend ratio).
    BendingFactor = "bending factor", AtLeastOne, Number, Falling, Greatest;
    /// The reduction factor from termination factor and bending factor.
    ReductionFactor = "reduction factor", AtLeastOne, Number, Free, Greatest;
    /// The wear and application factor (facts: construction, service).
    WearFactor = "wear factor", AtLeastOne, Number, Free, Greatest;
    /// The material factor (facts: material, certification).
    MaterialFactor = "material factor", AtLeastOne, Number, Free, Greatest;
    /// The twist factor (facts: material, twisting possible).
    TwistFactor = "twist factor", AtLeastOne, Number, Free, Greatest;
    /// The nominal safety factor from the partial factors.
    NominalSafetyFactor = "nominal safety factor", AtLeastOne, Number, Free, Greatest;
    /// The value below which no safety factor may fall, whatever the partial factors give.
    LeastSafetyFactor = "least safety factor", AtLeastOne, Number, Free, Greatest;
    /// The static load a shackle may bear (fact: working load limit).
    ShackleStaticLimit = "shackle static limit", Positive, Force, Free, Least;
    /// The dynamic load a shackle may bear (facts: working load limit, dynamic factor, breaking load, proof load).
    ShackleDynamicLimit = "shackle dynamic limit", Positive, Force, Free, Least;
    /// The angle off the shackle's line within which it is rated in full.
    ShackleLineAngle = "shackle line angle", UpToRightAngle, Angle, Free, Least;
    /// The fraction of its working load limit above which a shackle is looked at before each lift.
    ShackleVisualCheck = "shackle visual check", Fraction, Number, Free, Least;
    /// The angle from vertical at or below which a leg counts as vertical.
    VerticalLegAngle = "vertical leg angle", UpToRightAngle, Angle, Free, Least;
    /// The least angle of a leg from horizontal.
    LeastLegAngle = "least leg angle", UpToRightAngle, Angle, Free, Greatest;
    /// What a choker hitch leaves of the straight rating (facts: construction, choke angle).
    ChokeFactor = "choke factor", Fraction, Number, Free, Least;
    /// The highest temperature at which the full rating holds (facts: construction, material, core).
    HighestTemperature = "highest temperature", Positive, Temperature, Free, Least;
    /// The lowest temperature at which the full rating holds.
    LowestTemperature = "lowest temperature", Positive, Temperature, Free, Greatest;
    /// The temperature above which an item that was exposed to it is removed from service.
    RemovalTemperature = "removal temperature", Positive, Temperature, Free, Least;
    /// The least bend ratio: diameter of the surface over diameter of the sling (facts: construction, bend at).
    LeastBendRatio = "least bend ratio", Positive, Number, Free, Greatest;
    /// The bend ratio recommended as least.
    RecommendedBendRatio = "recommended bend ratio", Positive, Number, Free, Greatest;
    /// The edge radius, as a multiple of the sling's diameter or thickness, below which an edge is sharp.
    SharpEdgeRatio = "sharp edge ratio", Positive, Number, Free, Greatest;
    /// What an item must be marked with to be used (fact: construction).
    Marking = "marking", Words, Number, Free, Neither;
    /// The age beyond which a certificate no longer serves (fact: place).
    CertificateAge = "certificate age", Positive, CalendarTime, Free, Least;
    /// What a breaking load is divided by for the rated value (facts: construction, region, persons below).
    DesignFactor = "design factor", AtLeastOne, Number, Free, Greatest;
    /// The design factor recommended; of a range, its low end.
    RecommendedDesignFactor = "recommended design factor", AtLeastOne, Number, Free, Greatest;
    /// The high end of the range of design factors recommended.
    GreatestRecommendedDesignFactor = "greatest recommended design factor", AtLeastOne, Number, Free, Least;
    /// The breaking load of a rope or fitting (facts: rope diameter, finish).
    BreakingLoad = "breaking load", Positive, Force, Rising, Least;
    /// What a termination leaves of the breaking load (facts: termination, rope diameter, core).
    TerminationEfficiency = "termination efficiency", Fraction, Number, Free, Least;
    /// What a termination leaves of the rating of the same sling secured by a ferrule (fact: termination).
    TerminationRatingShare = "termination rating share", Fraction, Number, Free, Least;
    /// Rated value in a hitch over the rated value in a straight pull (fact: hitch).
    HitchFactor = "hitch factor", UpToFour, Number, Free, Least;
    /// Rated value of a set of legs over that of one leg hung plumb (facts: configuration, angle from horizontal).
    LegFactor = "leg factor", UpToFour, Number, Free, Least;
    /// How many legs of a set may be counted as bearing (fact: configuration).
    LegsCounted = "legs counted", LegsOfASet, Number, Free, Least;
    /// What an angle of choke leaves of the rating of a choker hitch (fact: choke angle).
    ChokeAngleFactor = "choke angle factor", Fraction, Number, NotFalling, Least;
    /// What a temperature leaves of the rating; 0 where the item must not be used (facts: temperature, exposure).
    TemperatureFactor = "temperature factor", Share, Number, Falling, Least;
    /// What moisture leaves of the strength (facts: material, state).
    WetFactor = "wet factor", Fraction, Number, Free, Least;
    /// The bend ratio for which the rating of a basket hitch holds (fact: termination).
    BasketBendRatio = "basket bend ratio", Positive, Number, Free, Greatest;
    /// The least plausible axial stiffness over breaking load (fact: material).
    LeastStiffnessRatio = "least stiffness ratio", Positive, Number, Free, Greatest;
    /// The greatest plausible axial stiffness over breaking load (fact: material).
    GreatestStiffnessRatio = "greatest stiffness ratio", Positive, Number, Free, Least;
    /// The tilt to be assumed of a load under two hooks (facts: vessels, hooks synchronized).
    HookTilt = "hook tilt", UpToRightAngle, Angle, Free, Greatest;
    /// The difference in height of two hooks to be assumed.
    HookElevationDifference = "hook elevation difference", NotNegative, Length, Free, Greatest;
    /// What the tilt may be multiplied by (fact: hooks synchronized).
    TiltReduction = "tilt reduction", Fraction, Number, Free, Greatest;
    /// The factor for turning about the vertical under two hooks (fact: legs per hook).
    YawFactor = "yaw factor", AtLeastOne, Number, Free, Greatest;
    /// The share of the weight on one of two hooks.
    HookShare = "hook share", Share, Number, Free, Greatest;
    /// The tilt that a difference in height of two hooks makes (facts: hook spacing, hook elevation difference).
    TiltFromElevation = "tilt from elevation", UpToRightAngle, Angle, Free, Greatest;
    /// The factor on the calculated share of a crane (fact: number of cranes).
    CraneMargin = "crane margin", AtLeastOne, Number, NotFalling, Greatest;
    /// The category that a lift falls under, in a word.
    LiftCategory = "lift category", Words, Number, Free, Neither;
    /// The length of load above which two slings are required.
    DoubleSlingsFromLength = "double slings from length", Positive, Length, Free, Least;
    /// The difference in length that a skew factor stands for.
    SkewLengthDifference = "skew length difference", Positive, Length, Free, Least;
    /// Does the document govern this kind of load (fact: load kind)?
    AppliesToLoad = "applies to load", Words, Number, Free, Neither;
    /// What a load off the line of a fitting leaves of its rating (fact: side load angle).
    SideLoadFactor = "side load factor", Share, Number, Falling, Least;
    /// The upper end of the band of side load angles that begins at the line.
    SideLoadBandEnd = "side load band end", UpToRightAngle, Angle, Free, Least;
    /// The least number of wire rope clips (facts: rope diameter, clip kind).
    LeastClips = "least clips", AtLeastOne, Number, NotFalling, Greatest;
    /// The least spacing of wire rope clips (fact: rope diameter).
    ClipSpacing = "clip spacing", Positive, Length, NotFalling, Greatest;
    /// The least engagement of a thread, as a multiple of its diameter.
    LeastThreadEngagement = "least thread engagement", Positive, Number, Free, Greatest;
    /// The least strength of a fitting over that of its sling.
    FittingStrengthFactor = "fitting strength factor", Positive, Number, Free, Greatest;
    /// The diameter of the hole for a pin (fact: pin diameter).
    PinHoleDiameter = "pin hole diameter", Positive, Length, NotFalling, Neither;
    /// The least outer radius of a padeye over the diameter of its hole.
    LeastPadeyeRadiusRatio = "least padeye radius ratio", Positive, Number, Free, Greatest;
    /// The greatest thickness of a cheek plate over that of the main plate.
    GreatestCheekRatio = "greatest cheek ratio", Positive, Number, Free, Least;
    /// The least width of a lift point for a sling (fact: rope diameter).
    LeastWidthForSling = "least width for sling", Positive, Length, NotFalling, Greatest;
    /// The load of a pin plate limited by tension beside the hole.
    PinPlateTension = "pin plate tension", Positive, Force, Free, Least;
    /// The load of a pin plate limited by fracture beyond the hole.
    PinPlateFracture = "pin plate fracture", Positive, Force, Free, Least;
    /// The load of a pin plate limited by shear beyond the hole.
    PinPlateShear = "pin plate shear", Positive, Force, Free, Least;
    /// The load of a pin plate limited by bearing.
    PinPlateBearing = "pin plate bearing", Positive, Force, Free, Least;
    /// The effective width of a pin plate beside the hole.
    EffectiveWidth = "effective width", Positive, Length, Free, Least;
    /// What the clearance of a pin in its hole leaves of a strength (facts: pin diameter, hole diameter).
    PinFitFactor = "pin fit factor", Fraction, Number, Free, Least;
    /// The angle of the planes along which a pin plate shears (facts: pin diameter, hole diameter).
    ShearPlaneAngle = "shear plane angle", UpToRightAngle, Angle, Free, Neither;
    /// A dimension of a shackle (facts: dimension, steel, working load limit).
    ShackleDimension = "shackle dimension", Positive, Length, NotFalling, Neither;
    /// The greatest angle at which an eye may be opened.
    GreatestEyeAngle = "greatest eye angle", UpToStraightAngle, Angle, Free, Least;
    /// The least length between the ends of two terminations, in diameters.
    LeastClearLength = "least clear length", Positive, Number, Free, Greatest;
    /// The least circumference of an endless sling, in diameters of its body.
    LeastCircumference = "least circumference", Positive, Number, Free, Greatest;
    /// The least circumference of an endless sling, in lay lengths.
    LeastCircumferenceInLays = "least circumference in lays", Positive, Number, Free, Greatest;
    /// The least number of full tucks of a splice (facts: material, splice kind).
    LeastSpliceTucks = "least splice tucks", AtLeastOne, Number, Free, Greatest;
    /// The least tail of a splice, in diameters.
    LeastSpliceTail = "least splice tail", Positive, Number, Free, Greatest;
    /// The greatest pitch of a lifting chain, in diameters of its link.
    GreatestChainPitch = "greatest chain pitch", Positive, Number, Free, Least;
    /// The load above which gear must be marked.
    MarkingThreshold = "marking threshold", Positive, Force, Free, Least;
    /// The mass above which gear must be marked with it.
    MassMarkingThreshold = "mass marking threshold", Positive, Mass, Free, Least;
    /// How much longer than ordered a chain sling may be, in links.
    UpperLengthTolerance = "upper length tolerance", NotNegative, Number, Free, Least;
    /// The greatest difference in length between the legs of a sling (fact: leg length).
    GreatestLegDifference = "greatest leg difference", NotNegative, Length, NotFalling, Least;
    /// The proof load of an item (facts: construction, working load limit).
    ProofLoad = "proof load", Positive, Force, NotFalling, Greatest;
    /// The least proof load over the rated value.
    LeastProofFactor = "least proof factor", Positive, Number, Free, Greatest;
    /// The greatest proof load over the rated value.
    GreatestProofFactor = "greatest proof factor", Positive, Number, Free, Least;
    /// The longest time between two inspections.
    InspectionInterval = "inspection interval", Positive, CalendarTime, Free, Least;
    /// The wear, stretch or damage at which an item is removed from service: a share of its size, or a count
    /// (facts: construction, discard sign).
    DiscardLimit = "discard limit", Positive, Number, Free, Least;
    /// The least thickness of a worn chain link (fact: chain size).
    LeastLinkThickness = "least link thickness", Positive, Length, Rising, Greatest;
    /// Whether a value is taken from a table or a relation, where the document has both: "table" or "relation".
    TakenFrom = "taken from", Words, Number, Free, Neither;
    /// The axial stiffness over breaking load of a rope that was measured (facts: material, stiffness state).
    StiffnessRatio = "stiffness ratio", Positive, Number, Free, Neither;
    /// The factor on a share of the load for an uncertain center of gravity, where no box is stated for it (facts: operation,
    /// place, mass basis).
    CenterOfGravityFactor = "center of gravity factor", AtLeastOne, Number, Free, Greatest;
    /// The greatest offset of a load from the middle of a pin, over the width of the jaws, at which the rating holds in full.
    GreatestPinOffsetRatio = "greatest pin offset ratio", NotNegative, Number, Free, Least;
    /// What a load off the middle of a pin leaves of a rating (fact: pin offset ratio).
    PinOffsetFactor = "pin offset factor", Fraction, Number, Falling, Least;
}

/// The ways to rate an item, as a rating basis names them.
pub(crate) const MARKED: &str = "marked rating";
pub(crate) const TABLE: &str = "table";
pub(crate) const BREAKING_LOAD: &str = "breaking load divided by factor";

/// Asked where a breaking load is divided by partial factors, and no design factor is given; bends are asked about beside.
pub(crate) const PARTIAL_FACTORS: [Question; 9] = [
    Question::LoadFactor,
    Question::ConsequenceFactor,
    Question::TerminationFactor,
    Question::ReductionFactor,
    Question::WearFactor,
    Question::MaterialFactor,
    Question::TwistFactor,
    Question::NominalSafetyFactor,
    Question::LeastSafetyFactor,
];

/// Questions that no check, capacity or demand asks: what a rule says to them can be asked by itself, and stands as data. The list
/// with the reasons is that of the test `vocabulary`.
pub(super) const ONLY_DATA: &[Question] = &[
    Question::ElasticModulus,
    Question::AxialStiffness,
    Question::StiffnessRatio,
    Question::CertificateAge,
    Question::InspectionInterval,
    Question::RecommendedDesignFactor,
    Question::GreatestRecommendedDesignFactor,
    Question::BreakingLoad,
    Question::SkewLengthDifference,
    Question::SideLoadBandEnd,
    Question::LeastClips,
    Question::ClipSpacing,
    Question::LeastThreadEngagement,
    Question::EffectiveWidth,
    Question::PinFitFactor,
    Question::ShearPlaneAngle,
    Question::ShackleDimension,
    Question::GreatestEyeAngle,
    Question::LeastSpliceTucks,
    Question::LeastSpliceTail,
    Question::GreatestChainPitch,
    Question::MarkingThreshold,
    Question::MassMarkingThreshold,
    Question::UpperLengthTolerance,
    Question::GreatestLegDifference,
    Question::DiscardLimit,
    Question::LeastLinkThickness,
    Question::TakenFrom,
];

impl Question {
    /// The words with which it can be answered, where not every word will do: another one would be read by nothing.
    pub(super) const fn words(self) -> Option<&'static [&'static str]> {
        match self {
            Self::RatingBasis => Some(&[MARKED, TABLE, BREAKING_LOAD]),
            Self::TakenFrom => Some(&["table", "relation"]),
            _ => None,
        }
    }

    /// Whether it asks what a document governs at all, and not for a figure of it.
    pub(super) const fn is_scope(self) -> bool {
        matches!(
            self,
            Self::AppliesToOperation
                | Self::AppliesToPlace
                | Self::AppliesToPersons
                | Self::AppliesToGear
                | Self::AppliesToLoad
        )
    }

    /// The question of this name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|question| question.name() == name)
    }
}
