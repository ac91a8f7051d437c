//! The facts a question may state, and the words a fact may take.
//!
//! One list for callers and for rule files: a misspelled fact or word in either is an error with the nearest known
//! name, never a rule that silently does not match.

use super::unit::Dimension;

/// What kind of thing a fact is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// One of these words.
    Words(&'static [&'static str]),
    /// A number of this dimension.
    Number(Dimension),
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

const fn number(name: &'static str, dimension: Dimension) -> Known {
    Known { name, kind: Kind::Number(dimension) }
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
        &[
            "inspected before each lift",
            "frequent without inspection",
            "jacket intact",
            "jacket damaged",
            "fabrication yard",
        ],
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
    number("gross weight", Dimension::Mass),
    number("static hook load", Dimension::Mass),
    number("chain size", Dimension::Length),
    number("rope diameter", Dimension::Length),
    number("mass per length", Dimension::MassPerLength),
    number("angle from horizontal", Dimension::Angle),
    number("choke angle", Dimension::Angle),
    number("sling length tolerance in diameters", Dimension::Number),
    number("pair length difference in diameters", Dimension::Number),
    number("utilization with the skew factor", Dimension::Number),
    number("bend ratio", Dimension::Number),
    number("bend diameter to maker's least", Dimension::Number),
    number("environmental share of load", Dimension::Number),
    number("dynamic factor", Dimension::Number),
    number("load factor", Dimension::Number),
    number("consequence factor", Dimension::Number),
    number("termination factor", Dimension::Number),
    number("bending factor", Dimension::Number),
    number("reduction factor", Dimension::Number),
    number("wear factor", Dimension::Number),
    number("material factor", Dimension::Number),
    number("twist factor", Dimension::Number),
    number("maker's least safety factor", Dimension::Number),
    number("elastic modulus", Dimension::Stress),
    number("single-leg rated value", Dimension::Force),
    number("working load limit", Dimension::Force),
    number("breaking load", Dimension::Force),
    number("proof load", Dimension::Force),
];

/// The fact of this name.
pub(super) fn known(name: &str) -> Option<&'static Known> {
    FACTS.iter().find(|fact| fact.name == name)
}

/// The names of all facts.
pub(super) fn names() -> impl Iterator<Item = &'static str> {
    FACTS.iter().map(|fact| fact.name)
}
