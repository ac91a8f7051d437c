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

/// A fact by name.
#[derive(Debug, Clone, Copy)]
pub(super) struct Known {
    pub(super) name: &'static str,
    pub(super) kind: Kind,
}

const fn words(name: &'static str, words: &'static [&'static str]) -> Known {
    Known { name, kind: Kind::Words(words) }
}

const fn number(name: &'static str, dimension: Dimension, law: Law) -> Known {
    Known { name, kind: Kind::Number(dimension, law) }
}

const YES_NO: &[&str] = &["yes", "no"];

/// Every fact.
pub(super) const FACTS: &[Known] = &[
    words("operation", &["lifting", "lowering", "two-hook lift", "multi-crane lift", "upending", "towing", "lashing"]),
    words("place", &["onshore", "inshore", "offshore", "subsea"]),
    words("persons lifted", YES_NO),
    words(
        "construction",
        &[
            "chain",
            "wire rope",
            "wire rope grommet",
            "cable-laid rope",
            "cable-laid grommet",
            "metal mesh",
            "fiber rope",
            "fiber rope grommet",
            "web",
            "roundsling",
            "shackle",
            "hook",
            "link",
            "swivel",
            "lift point",
            "spreader",
        ],
    ),
    words("material", &["steel", "polyester", "nylon", "polypropylene", "HMPE", "aramid", "manila", "other fiber"]),
    words("core", &["fiber", "steel"]),
    words("coating", &["none", "PVC or neoprene"]),
    words("grade", &["80", "100"]),
    words("configuration", &["single leg", "two legs", "three legs", "four legs", "single basket", "double basket"]),
    words("hitch", &["straight", "choker", "basket"]),
    words("taken from", &["table", "relation"]),
    words("mass basis", &["weighed", "calculated", "estimated", "not to exceed"]),
    words("dynamic analysis", &["none", "detailed"]),
    words("consequence of failure", &["total loss", "tolerable"]),
    words(
        "termination",
        &[
            "hand splice",
            "steel ferrule",
            "aluminum ferrule",
            "resin socket",
            "swaged fitting",
            "spliced fiber",
            "sewn fiber",
            "endless",
        ],
    ),
    words("bend at", &["body", "eye"]),
    words(
        "service",
        &["inspected", "frequent without inspection", "jacket intact", "jacket damaged", "fabrication yard"],
    ),
    words("certification", &["certified", "as new", "robust process"]),
    words("part bearing", &["fixed", "sliding", "greased sheave"]),
    words("reeving", &["straight pull", "doubled"]),
    words("sling pairing", &["matched pairs", "unequal lengths"]),
    words("rope lay", &["single-laid", "cable-laid"]),
    words("longer slings on one diagonal", YES_NO),
    words("statically determinate", YES_NO),
    words("twisting possible", YES_NO),
    words("maker states a least safety factor", YES_NO),
    number("gross weight", Dimension::Mass, Law::Positive),
    number("static hook load", Dimension::Mass, Law::Positive),
    number("chain size", Dimension::Length, Law::Positive),
    number("rope diameter", Dimension::Length, Law::Positive),
    number("mass per length", Dimension::MassPerLength, Law::Positive),
    number("angle from horizontal", Dimension::Angle, Law::UpToRightAngle),
    number("choke angle", Dimension::Angle, Law::UpToStraightAngle),
    number("sling length tolerance in diameters", Dimension::Number, Law::NotNegative),
    number("pair length difference in diameters", Dimension::Number, Law::NotNegative),
    number("utilization with the skew factor", Dimension::Number, Law::NotNegative),
    number("bend ratio", Dimension::Number, Law::Positive),
    number("bend diameter to maker's least", Dimension::Number, Law::Positive),
    number("environmental share of load", Dimension::Number, Law::Share),
    number("dynamic factor", Dimension::Number, Law::AtLeastOne),
    number("load factor", Dimension::Number, Law::AtLeastOne),
    number("consequence factor", Dimension::Number, Law::AtLeastOne),
    number("termination factor", Dimension::Number, Law::AtLeastOne),
    number("bending factor", Dimension::Number, Law::AtLeastOne),
    number("reduction factor", Dimension::Number, Law::AtLeastOne),
    number("wear factor", Dimension::Number, Law::AtLeastOne),
    number("material factor", Dimension::Number, Law::AtLeastOne),
    number("twist factor", Dimension::Number, Law::AtLeastOne),
    number("maker's least safety factor", Dimension::Number, Law::AtLeastOne),
    number("elastic modulus", Dimension::Stress, Law::Positive),
    number("single-leg rated value", Dimension::Force, Law::Positive),
    number("working load limit", Dimension::Force, Law::Positive),
    number("breaking load", Dimension::Force, Law::Positive),
    number("proof load", Dimension::Force, Law::Positive),
];

/// The fact of this name.
pub(super) fn known(name: &str) -> Option<&'static Known> {
    FACTS.iter().find(|fact| fact.name == name)
}

/// The names of all facts.
pub(super) fn names() -> impl Iterator<Item = &'static str> {
    FACTS.iter().map(|fact| fact.name)
}
