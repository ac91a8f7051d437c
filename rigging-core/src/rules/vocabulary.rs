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
}

impl PartialEq for Known {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self, other)
    }
}

const YES_NO: &[&str] = &["yes", "no"];

macro_rules! facts {
    ($($fact:ident = $name:literal, $kind:expr;)*) => {
        $(pub(super) static $fact: Known = Known { name: $name, kind: $kind };)*

        /// Every fact.
        pub(super) static FACTS: &[&Known] = &[$(&$fact,)*];
    };
}

facts! {
    OPERATION = "operation", Kind::Words(&["lifting", "lowering", "two-hook lift", "multi-crane lift", "upending", "towing", "lashing"]);
    PLACE = "place", Kind::Words(&["onshore", "inshore", "offshore", "subsea"]);
    PERSONS_LIFTED = "persons lifted", Kind::Words(YES_NO);
    CONSTRUCTION = "construction", Kind::Words(&["chain", "wire rope", "wire rope grommet", "cable-laid rope", "cable-laid grommet", "metal mesh", "fiber rope", "fiber rope grommet", "web", "roundsling", "shackle", "hook", "link", "swivel", "lift point", "spreader"]);
    MATERIAL = "material", Kind::Words(&["steel", "polyester", "nylon", "polypropylene", "HMPE", "aramid", "manila", "other fiber"]);
    CORE = "core", Kind::Words(&["fiber", "steel"]);
    COATING = "coating", Kind::Words(&["none", "PVC or neoprene"]);
    GRADE = "grade", Kind::Words(&["80", "100"]);
    CONFIGURATION = "configuration", Kind::Words(&["single leg", "two legs", "three legs", "four legs", "single basket", "double basket"]);
    HITCH = "hitch", Kind::Words(&["straight", "doubled", "choker", "basket"]);
    TAKEN_FROM = "taken from", Kind::Words(&["table", "relation"]);
    MASS_BASIS = "mass basis", Kind::Words(&["weighed", "calculated", "estimated", "not to exceed"]);
    DYNAMIC_ANALYSIS = "dynamic analysis", Kind::Words(&["none", "detailed"]);
    CONSEQUENCE_OF_FAILURE = "consequence of failure", Kind::Words(&["total loss", "tolerable"]);
    TERMINATION = "termination", Kind::Words(&["hand splice", "steel ferrule", "aluminum ferrule", "resin socket", "swaged fitting", "spliced fiber", "sewn fiber", "endless"]);
    BEND_AT = "bend at", Kind::Words(&["body", "eye"]);
    SERVICE = "service", Kind::Words(&["inspected", "frequent without inspection", "jacket intact", "jacket damaged", "fabrication yard"]);
    CERTIFICATION = "certification", Kind::Words(&["certified", "as new", "robust process"]);
    PART_BEARING = "part bearing", Kind::Words(&["fixed", "sliding", "greased sheave"]);
    REEVING = "reeving", Kind::Words(&["straight pull", "doubled"]);
    SLING_PAIRING = "sling pairing", Kind::Words(&["matched pairs", "unequal lengths"]);
    ROPE_LAY = "rope lay", Kind::Words(&["single-laid", "cable-laid"]);
    LONGER_SLINGS_ON_ONE_DIAGONAL = "longer slings on one diagonal", Kind::Words(YES_NO);
    STATICALLY_DETERMINATE = "statically determinate", Kind::Words(YES_NO);
    TWISTING_POSSIBLE = "twisting possible", Kind::Words(YES_NO);
    MAKER_STATES_A_LEAST_SAFETY_FACTOR = "maker states a least safety factor", Kind::Words(YES_NO);
    GROSS_WEIGHT = "gross weight", Kind::Number(Dimension::Mass, Law::Positive);
    STATIC_HOOK_LOAD = "static hook load", Kind::Number(Dimension::Mass, Law::Positive);
    CHAIN_SIZE = "chain size", Kind::Number(Dimension::Length, Law::Positive);
    ROPE_DIAMETER = "rope diameter", Kind::Number(Dimension::Length, Law::Positive);
    MASS_PER_LENGTH = "mass per length", Kind::Number(Dimension::MassPerLength, Law::Positive);
    ANGLE_FROM_HORIZONTAL = "angle from horizontal", Kind::Number(Dimension::Angle, Law::UpToRightAngle);
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
}

/// A word that a fact may take, by its position among them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Word(u8);

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
    FACTS.iter().copied().find(|fact| fact.name == name)
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
            assert!(fact.words().len() <= 32, "a set of words has room for 32: {}", fact.name);
            for text in fact.words() {
                let word = fact.word(text).unwrap();
                assert_eq!(fact.text(word), *text);
                assert!(WordSet::default().with(word).contains(word) && !WordSet::default().contains(word));
            }
        }
    }
}
