//! The facts a question may state, and the words a fact may take.
//!
//! One list for callers and for rule files: a misspelled fact or word in either is an error with the nearest known
//! name, never a rule that silently does not match.

use super::question::Law;
use super::unit::Dimension;

/// What kind of thing a fact is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// One of these words.
    Words(&'static [&'static str]),
    /// A number of this dimension, within this range whatever the document.
    Number(Dimension, Law),
}

/// A fact by name. There is one of each, so two references are to the same fact when they are to the same place.
#[derive(Debug)]
pub(super) struct Known {
    pub(super) name: &'static str,
    pub(super) kind: Kind,
    /// Its position in the list.
    pub(super) index: usize,
}

impl PartialEq for Known {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self, other)
    }
}

const YES_NO: &[&str] = &["yes", "no"];

macro_rules! facts {
    ($($fact:ident = $name:literal, $kind:expr;)*) => {
        #[allow(non_camel_case_types, clippy::upper_case_acronyms, reason = "they count the facts, by the same names")]
        enum Index { $($fact,)* }

        $(pub(super) static $fact: Known = Known { name: $name, kind: $kind, index: Index::$fact as usize };)*

        /// Every fact.
        pub(super) static FACTS: &[&Known] = &[$(&$fact,)*];

        /// How many there are.
        pub(super) const COUNT: usize = [$($name,)*].len();

        /// The lengths of their names, side by side: a name is looked for often, and few are of one length.
        static LENGTHS: [usize; COUNT] = [$($name.len(),)*];
    };
}

facts! {
    OPERATION = "operation", Kind::Words(&["lifting", "lowering", "two-hook lift", "multi-crane lift", "upending", "towing", "lashing"]);
    PLACE = "place", Kind::Words(&["onshore", "inshore", "offshore", "subsea"]);
    PERSONS_LIFTED = "persons lifted", Kind::Words(YES_NO);
    CONSTRUCTION = "construction", Kind::Words(&["chain", "wire rope", "wire rope grommet", "cable-laid rope", "cable-laid grommet", "metal mesh", "fiber rope", "fiber rope grommet", "web", "roundsling", "shackle", "hook", "link", "swivel", "lift point", "spreader", "eyebolt", "ring", "padeye", "clip", "braided wire rope", "block", "fiber chain", "other"]);
    MATERIAL = "material", Kind::Words(&["steel", "polyester", "nylon", "polypropylene", "HMPE", "aramid", "manila", "other fiber", "natural fiber"]);
    CORE = "core", Kind::Words(&["fiber", "steel", "IWRC"]);
    COATING = "coating", Kind::Words(&["none", "PVC or neoprene"]);
    GRADE = "grade", Kind::Words(&["80", "100", "2", "4", "8", "10", "A", "B"]);
    CONFIGURATION = "configuration", Kind::Words(&["single leg", "two legs", "three legs", "four legs", "single basket", "double basket", "endless"]);
    HITCH = "hitch", Kind::Words(&["straight", "doubled", "choker", "basket", "parallel basket"]);
    TAKEN_FROM = "taken from", Kind::Words(&["table", "relation"]);
    MASS_BASIS = "mass basis", Kind::Words(&["weighed", "calculated", "estimated", "not to exceed"]);
    DYNAMIC_ANALYSIS = "dynamic analysis", Kind::Words(&["none", "detailed"]);
    CONSEQUENCE_OF_FAILURE = "consequence of failure", Kind::Words(&["total loss", "tolerable"]);
    TERMINATION = "termination", Kind::Words(&["hand splice", "steel ferrule", "aluminum ferrule", "resin socket", "swaged fitting", "spliced fiber", "sewn fiber", "endless", "mechanical splice"]);
    BEND_AT = "bend at", Kind::Words(&["body", "eye", "thimble"]);
    SERVICE = "service", Kind::Words(&["inspected", "frequent without inspection", "jacket intact", "jacket damaged", "fabrication yard"]);
    CERTIFICATION = "certification", Kind::Words(&["certified", "as new", "robust process"]);
    PART_BEARING = "part bearing", Kind::Words(&["fixed", "sliding", "greased sheave", "more than two"]);
    REEVING = "reeving", Kind::Words(&["straight pull", "doubled"]);
    SLING_PAIRING = "sling pairing", Kind::Words(&["matched pairs", "unequal lengths"]);
    ROPE_LAY = "rope lay", Kind::Words(&["single-laid", "cable-laid"]);
    LONGER_SLINGS_ON_ONE_DIAGONAL = "longer slings on one diagonal", Kind::Words(YES_NO);
    STATICALLY_DETERMINATE = "statically determinate", Kind::Words(YES_NO);
    TWISTING_POSSIBLE = "twisting possible", Kind::Words(YES_NO);
    MAKER_STATES_A_LEAST_SAFETY_FACTOR = "maker states a least safety factor", Kind::Words(YES_NO);
    FINISH = "finish", Kind::Words(&["uncoated", "galvanized"]);
    EXPOSURE = "exposure", Kind::Words(&["at temperature", "after exposure"]);
    STATE = "state", Kind::Words(&["dry", "wet"]);
    PERSONS_BELOW = "persons below", Kind::Words(YES_NO);
    REGION = "region", Kind::Words(&["EU", "UK", "US", "Australia", "elsewhere"]);
    LIFT_CATEGORY = "lift category", Kind::Words(&["ordinary", "critical"]);
    LOAD_KIND = "load kind", Kind::Words(&["general", "offshore container", "portable offshore unit"]);
    STRENGTH_BASIS = "strength basis", Kind::Words(&["breaking", "yield"]);
    CLIP_KIND = "clip kind", Kind::Words(&["drop-forged", "other"]);
    SPLICE_KIND = "splice kind", Kind::Words(&["eye", "short"]);
    STEEL = "steel", Kind::Words(&["mild", "higher tensile"]);
    DIMENSION = "dimension", Kind::Words(&["jaw", "length", "body diameter", "pin diameter"]);
    EDGE_SHAPE = "edge shape", Kind::Words(&["straight", "curved"]);
    VESSELS = "vessels", Kind::Words(&["one", "several"]);
    HOOKS_SYNCHRONIZED = "hooks synchronized", Kind::Words(YES_NO);
    SHEAVES = "sheaves", Kind::Words(&["one", "several"]);
    DISCARD_SIGN = "discard sign", Kind::Words(&["wear", "deformation", "abrasion", "edge cut", "warp damage", "broken wires", "broken wires in one strand", "loss of strength", "elongation", "cut yarns"]);
    GROSS_WEIGHT = "gross weight", Kind::Number(Dimension::Mass, Law::Positive);
    STATIC_HOOK_LOAD = "static hook load", Kind::Number(Dimension::Mass, Law::Positive);
    CHAIN_SIZE = "chain size", Kind::Number(Dimension::Length, Law::Positive);
    ROPE_DIAMETER = "rope diameter", Kind::Number(Dimension::Length, Law::Positive);
    MASS_PER_LENGTH = "mass per length", Kind::Number(Dimension::MassPerLength, Law::Positive);
    ANGLE_FROM_HORIZONTAL = "angle from horizontal", Kind::Number(Dimension::Angle, Law::UpToRightAngle);
    STEEPEST_LEG_ANGLE = "steepest leg angle from horizontal", Kind::Number(Dimension::Angle, Law::UpToRightAngle);
    CHOKE_ANGLE = "choke angle", Kind::Number(Dimension::Angle, Law::UpToStraightAngle);
    SLING_LENGTH_TOLERANCE_IN_DIAMETERS = "sling length tolerance in diameters", Kind::Number(Dimension::Number, Law::NotNegative);
    PAIR_LENGTH_DIFFERENCE_IN_DIAMETERS = "pair length difference in diameters", Kind::Number(Dimension::Number, Law::NotNegative);
    UTILIZATION_WITH_THE_SKEW_FACTOR = "utilization with the skew factor", Kind::Number(Dimension::Number, Law::NotNegative);
    BEND_RATIO = "bend ratio", Kind::Number(Dimension::Number, Law::Positive);
    BEND_DIAMETER_TO_MAKERS_LEAST = "bend diameter to maker's least", Kind::Number(Dimension::Number, Law::Positive);
    ENVIRONMENTAL_SHARE_OF_LOAD = "environmental share of load", Kind::Number(Dimension::Number, Law::Share);
    DYNAMIC_FACTOR = "dynamic factor", Kind::Number(Dimension::Number, Law::AtLeastOne);
    LOAD_FACTOR = "load factor", Kind::Number(Dimension::Number, Law::AtLeastOne);
    CONSEQUENCE_FACTOR = "consequence factor", Kind::Number(Dimension::Number, Law::AtLeastOne);
    TERMINATION_FACTOR = "termination factor", Kind::Number(Dimension::Number, Law::AtLeastOne);
    BENDING_FACTOR = "bending factor", Kind::Number(Dimension::Number, Law::AtLeastOne);
    REDUCTION_FACTOR = "reduction factor", Kind::Number(Dimension::Number, Law::AtLeastOne);
    WEAR_FACTOR = "wear factor", Kind::Number(Dimension::Number, Law::AtLeastOne);
    MATERIAL_FACTOR = "material factor", Kind::Number(Dimension::Number, Law::AtLeastOne);
    TWIST_FACTOR = "twist factor", Kind::Number(Dimension::Number, Law::AtLeastOne);
    MAKERS_LEAST_SAFETY_FACTOR = "maker's least safety factor", Kind::Number(Dimension::Number, Law::AtLeastOne);
    ELASTIC_MODULUS = "elastic modulus", Kind::Number(Dimension::Stress, Law::Positive);
    SINGLE_LEG_RATED_VALUE = "single-leg rated value", Kind::Number(Dimension::Force, Law::Positive);
    WORKING_LOAD_LIMIT = "working load limit", Kind::Number(Dimension::Force, Law::Positive);
    BREAKING_LOAD = "breaking load", Kind::Number(Dimension::Force, Law::Positive);
    PROOF_LOAD = "proof load", Kind::Number(Dimension::Force, Law::Positive);
    TEMPERATURE = "temperature", Kind::Number(Dimension::Temperature, Law::Positive);
    UTILIZATION = "utilization", Kind::Number(Dimension::Number, Law::NotNegative);
    SLING_CLASS = "sling class", Kind::Number(Dimension::Number, Law::Positive);
    REFERENCE_NUMBER = "reference number", Kind::Number(Dimension::Number, Law::Positive);
    DESIGN_FACTOR = "design factor", Kind::Number(Dimension::Number, Law::AtLeastOne);
    NOMINAL_DESIGN_FACTOR = "nominal design factor", Kind::Number(Dimension::Number, Law::AtLeastOne);
    TERMINATION_EFFICIENCY = "termination efficiency", Kind::Number(Dimension::Number, Law::Fraction);
    ROPE_CIRCUMFERENCE = "rope circumference", Kind::Number(Dimension::Length, Law::Positive);
    SLING_WIDTH = "sling width", Kind::Number(Dimension::Length, Law::Positive);
    LEG_LENGTH = "leg length", Kind::Number(Dimension::Length, Law::Positive);
    LOAD_LENGTH = "load length", Kind::Number(Dimension::Length, Law::Positive);
    LEGS_PER_HOOK = "legs per hook", Kind::Number(Dimension::Number, Law::AtLeastOne);
    NUMBER_OF_CRANES = "number of cranes", Kind::Number(Dimension::Number, Law::AtLeastOne);
    HOOK_SPACING = "hook spacing", Kind::Number(Dimension::Length, Law::Positive);
    HOOK_ELEVATION_DIFFERENCE = "hook elevation difference", Kind::Number(Dimension::Length, Law::NotNegative);
    TILT = "tilt", Kind::Number(Dimension::Angle, Law::UpToRightAngle);
    DISTANCE_ALONG_TO_FIRST_LIFT_POINT = "distance along to first lift point", Kind::Number(Dimension::Length, Law::NotNegative);
    DISTANCE_ALONG_TO_SECOND_LIFT_POINT = "distance along to second lift point", Kind::Number(Dimension::Length, Law::NotNegative);
    DISTANCE_UP_TO_FIRST_LIFT_POINT = "distance up to first lift point", Kind::Number(Dimension::Length, Law::NotNegative);
    DISTANCE_UP_TO_SECOND_LIFT_POINT = "distance up to second lift point", Kind::Number(Dimension::Length, Law::NotNegative);
    CENTER_OF_GRAVITY_SHIFT_ALONG = "center of gravity shift along", Kind::Number(Dimension::Length, Law::NotNegative);
    CENTER_OF_GRAVITY_SHIFT_UP = "center of gravity shift up", Kind::Number(Dimension::Length, Law::NotNegative);
    SIDE_LOAD_ANGLE = "side load angle", Kind::Number(Dimension::Angle, Law::UpToRightAngle);
    BODY_DIAMETER = "body diameter", Kind::Number(Dimension::Length, Law::Positive);
    PIN_DIAMETER = "pin diameter", Kind::Number(Dimension::Length, Law::Positive);
    HOLE_DIAMETER = "hole diameter", Kind::Number(Dimension::Length, Law::Positive);
    PLATE_THICKNESS = "plate thickness", Kind::Number(Dimension::Length, Law::Positive);
    EDGE_DISTANCE_ALONG = "edge distance along", Kind::Number(Dimension::Length, Law::Positive);
    EDGE_DISTANCE_ACROSS = "edge distance across", Kind::Number(Dimension::Length, Law::Positive);
    OUTER_RADIUS = "outer radius", Kind::Number(Dimension::Length, Law::Positive);
    YIELD_STRENGTH = "yield strength", Kind::Number(Dimension::Stress, Law::Positive);
    TENSILE_STRENGTH = "tensile strength", Kind::Number(Dimension::Stress, Law::Positive);
    STIFFNESS_STATE = "stiffness state", Kind::Words(&["quasi-static", "dynamic"]);
    CRANE_UTILIZATION = "crane utilization", Kind::Number(Dimension::Number, Law::NotNegative);
    GEAR_UTILIZATION = "gear utilization", Kind::Number(Dimension::Number, Law::NotNegative);
    WEIGHT_KNOWN = "weight known", Kind::Words(YES_NO);
    CENTER_OF_GRAVITY_KNOWN = "center of gravity known", Kind::Words(YES_NO);
    STEEL_ERECTION = "steel erection", Kind::Words(YES_NO);
    HAZARDOUS_LOAD = "hazardous load", Kind::Words(YES_NO);
    LOAD_OUT_OF_VIEW = "load out of view", Kind::Words(YES_NO);
    CENTER_OF_GRAVITY_CAN_MOVE = "center of gravity can move", Kind::Words(YES_NO);
    TRAVEL_WITH_LOAD = "travel with load", Kind::Words(YES_NO);
    NEAR_POWER_LINE = "near power line", Kind::Words(YES_NO);
    PIN_OFFSET_RATIO = "pin offset ratio", Kind::Number(Dimension::Number, Law::NotNegative);
    LOAD_MAY_STICK = "load may stick", Kind::Words(YES_NO);
    FIBER_ROPE_LAY = "fiber rope lay", Kind::Words(&["laid", "braided"]);
    WET_AND_FROZEN = "wet and frozen", Kind::Words(YES_NO);
}

/// Words that are of the kind another word names: a rule for the one holds for the other. Grades are marked either way;
/// the lift document has one kind of fitting for rings and master links, and documents either word. A mechanical splice is an eye
/// secured by a pressed sleeve: by a ferrule of either metal.
static KINDS: &[(&Known, &str, &[&str])] = &[
    (&GRADE, "80", &["8"]),
    (&GRADE, "8", &["80"]),
    (&GRADE, "100", &["10"]),
    (&GRADE, "10", &["100"]),
    (&CORE, "steel", &["IWRC"]),
    (&CONSTRUCTION, "link", &["ring"]),
    (&TERMINATION, "mechanical splice", &["steel ferrule", "aluminum ferrule"]),
    (&MATERIAL, "natural fiber", &["manila"]),
    (&MATERIAL, "other fiber", &["natural fiber", "manila"]),
];

/// Words that documents use and no lift states: the lift document has no such operation, gear, grade, mass, service or paper, and a
/// rating is asked about at the temperature and not after it.
static NEVER_STATED: &[(&Known, &[&str])] = &[
    (&OPERATION, &["towing", "lashing"]),
    (&CONSTRUCTION, &["metal mesh", "eyebolt", "clip", "block"]),
    (&GRADE, &["A", "B"]),
    (&MASS_BASIS, &["estimated"]),
    (&SERVICE, &["jacket damaged"]),
    (&CERTIFICATION, &["robust process"]),
    (&EXPOSURE, &["after exposure"]),
];

/// A word that a fact may take, by its position among them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Word(u8);

/// How one fact is stated, in a byte: facts are copied and compared far more often than they are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Fact(u8);

impl Fact {
    pub(super) const ABSENT: Self = Self(0);
    pub(super) const UNKNOWN: Self = Self(1);
    /// What it is, stands among the numbers.
    pub(super) const NUMBER: Self = Self(2);
    const WORDS: u8 = 3;

    /// A word; there are no more than a set of words has room for.
    pub(super) const fn word(word: Word) -> Self {
        Self(Self::WORDS + word.0)
    }

    /// The byte: an array of bytes is compared at once, one of anything else piece by piece.
    pub(super) const fn byte(self) -> u8 {
        self.0
    }

    /// The word it is stated by.
    pub(super) const fn as_word(self) -> Option<Word> {
        match self.0.checked_sub(Self::WORDS) {
            Some(position) => Some(Word(position)),
            None => None,
        }
    }
}

/// Some of the words that a fact may take.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct WordSet(u32);

impl Known {
    /// The words of the fact; none for a number.
    pub(super) const fn words(&self) -> &'static [&'static str] {
        match self.kind {
            Kind::Words(words) => words,
            Kind::Number(..) => &[],
        }
    }

    /// The word of this text.
    pub(super) fn word(&self, text: &str) -> Option<Word> {
        self.words().iter().position(|known| *known == text).and_then(|position| u8::try_from(position).ok()).map(Word)
    }

    /// The words under which a rule that names `text` speaks: that one, and those of its kind.
    pub(super) fn words_named(&'static self, text: &str) -> Option<WordSet> {
        let named = WordSet::default().with(self.word(text)?);
        let kinds = KINDS.iter().filter(|(fact, word, _)| *fact == self && *word == text).flat_map(|(_, _, of)| *of);
        Some(kinds.filter_map(|of| self.word(of)).fold(named, WordSet::with))
    }

    /// Those of its words that no lift states.
    pub(super) fn never_stated(&'static self) -> WordSet {
        let listed = NEVER_STATED.iter().filter(|(fact, _)| *fact == self).flat_map(|(_, words)| *words);
        listed.filter_map(|word| self.word(word)).fold(WordSet::default(), WordSet::with)
    }

    /// The text of a word.
    pub(super) fn text(&self, word: Word) -> &'static str {
        self.words().get(usize::from(word.0)).copied().unwrap_or_default()
    }
}

impl WordSet {
    /// The set with one word more.
    pub(super) const fn with(self, word: Word) -> Self {
        Self(self.0 | 1 << word.0)
    }

    /// The words of both sets.
    pub(super) const fn and(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Whether a word is in the set.
    pub(super) const fn contains(self, word: Word) -> bool {
        self.0 >> word.0 & 1 == 1
    }

    /// Whether every word of `other` is in the set.
    pub(super) const fn covers(self, other: Self) -> bool {
        other.0 & !self.0 == 0
    }

    /// Whether no word is in both.
    pub(super) const fn is_apart_from(self, other: Self) -> bool {
        self.0 & other.0 == 0
    }
}

/// The fact of this name.
pub(super) fn known(name: &str) -> Option<&'static Known> {
    let alike = LENGTHS.iter().zip(FACTS).filter(|(length, _)| **length == name.len());
    alike.map(|(_, fact)| *fact).find(|fact| fact.name == name)
}

/// The names of all facts.
pub(super) fn names() -> impl Iterator<Item = &'static str> {
    FACTS.iter().map(|fact| fact.name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_and_word_is_found_again() {
        for fact in FACTS.iter().copied() {
            assert_eq!(known(fact.name), Some(fact));
            assert_eq!(FACTS.get(fact.index).copied(), Some(fact));
            assert!(fact.words().len() <= 32, "a set of words has room for 32: {}", fact.name);
            for text in fact.words() {
                let word = fact.word(text).unwrap();
                assert_eq!(fact.text(word), *text);
                assert!(WordSet::default().with(word).contains(word) && !WordSet::default().contains(word));
            }
        }
    }

    #[test]
    fn what_no_lift_states_is_a_word() {
        for (fact, words) in NEVER_STATED {
            for word in *words {
                assert!(fact.never_stated().contains(fact.word(word).unwrap()), "{}: {word}", fact.name);
            }
            assert!(words.len() < fact.words().len(), "of {} some word is stated", fact.name);
        }
    }

    #[test]
    fn a_rule_for_a_kind_holds_for_what_is_of_it() {
        for (fact, word, kinds) in KINDS {
            let named = fact.words_named(word).unwrap();
            for text in kinds.iter().chain([word]) {
                assert!(named.contains(fact.word(text).unwrap()), "{word} names {text}");
            }
            let others = fact.words().iter().filter(|text| !kinds.contains(text) && *text != word);
            assert!(others.map(|text| fact.word(text).unwrap()).all(|other| !named.contains(other)), "{word}");
        }
        let manila = MATERIAL.words_named("manila").unwrap();
        assert!(!manila.contains(MATERIAL.word("natural fiber").unwrap()), "a kind is narrower than what names it");
    }
}
