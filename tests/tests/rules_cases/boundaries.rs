//! Limits at, below and above, exact points of the relations, and the answers that are no number.

use super::marine::matched_pairs;
use super::{Check, Expected, Proof, TRANSCRIBED, si};
use rigging_core::rules::{Facts, Question};

fn value(si: f64) -> Expected {
    Expected::Value { si, tolerance: TRANSCRIBED * si.abs() }
}

fn check(id: &str, question: Question, facts: Facts, expected: Expected) -> Check {
    Check::new(id, Proof::Boundary, question, facts, expected)
}

fn lift(place: &str, gross_t: f64, hook_t: f64) -> Facts {
    let facts = Facts::new().word("place", place).word("vessels", "one");
    facts.number("gross weight", gross_t, "t").number("static hook load", hook_t, "t")
}

/// Table 5-1 once more, as bands: the value at an upper limit is the band's, just above it the next band's.
fn dynamic_bands() -> Vec<Check> {
    let mut checks = Vec::new();
    // Limit, then the factor at or below it and the factor above it.
    let bands: [(&str, f64, f64, f64); 12] = [
        ("onshore", 100.0, 1.10, 1.05),
        ("onshore", 300.0, 1.05, 1.05),
        ("onshore", 1000.0, 1.05, 1.03),
        ("onshore", 2500.0, 1.03, 1.03),
        ("inshore", 100.0, 1.12, 1.12),
        ("inshore", 300.0, 1.12, 1.10),
        ("inshore", 1000.0, 1.10, 1.08),
        ("inshore", 2500.0, 1.08, 1.05),
        ("offshore", 100.0, 1.25, 1.25),
        ("offshore", 300.0, 1.25, 1.20),
        ("offshore", 1000.0, 1.20, 1.15),
        ("offshore", 2500.0, 1.15, 1.10),
    ];
    for (place, limit, at, above) in bands {
        // In the lowest band the relation stands in the hook load; 100 t gives the value of the band's end.
        let hook = |gross: f64| if gross <= 100.0 { 100.0 } else { gross };
        for (gross, expected) in [
            (limit, at),
            (limit * (1.0 - 1e-15), at),
            (limit * 0.995, at),
            (limit * (1.0 + 2e-9), above),
            (limit * 1.005, above),
        ] {
            let id = format!("{place}, gross weight {gross} t");
            let facts = lift(place, gross, hook(gross));
            checks.push(check(&id, Question::DynamicFactor, facts, value(expected)));
        }
        // The same limit stated in kilograms and in pounds belongs to the same band.
        let here = || Facts::new().word("place", place).word("vessels", "one");
        let kilograms = here().number("gross weight", limit * 1000.0, "kg");
        let pounds = here().number("gross weight", limit * 1000.0 / 0.453_592_37, "lb");
        for (unit, facts) in [("kg", kilograms), ("lb", pounds)] {
            let facts = facts.number("static hook load", 100.0, "t");
            checks.push(check(&format!("{place}, {limit} t in {unit}"), Question::DynamicFactor, facts, value(at)));
        }
    }
    checks
}

fn least_weight() -> Vec<Check> {
    // 1 + 0.25·√(100/3) and 1.07 + 0.05·√(100/3), worked with √3 = 1.732 050 807 568 877 2.
    let offshore = 1.0 + 2.5 / 1.732_050_807_568_877_2;
    let inshore = 1.07 + 0.5 / 1.732_050_807_568_877_2;
    let held = |si: f64, facts: &[&str]| Expected::Held {
        si,
        tolerance: TRANSCRIBED,
        held: facts.iter().map(|fact| ((*fact).to_owned(), 3.0)).collect(),
    };
    let both = ["gross weight", "static hook load"];
    let ask = |id: &str, facts: Facts, expected| check(id, Question::DynamicFactor, facts, expected);
    vec![
        ask("3 t is not held", lift("offshore", 3.0, 3.0), value(offshore)),
        ask("3 t is not held, inshore", lift("inshore", 3.0, 3.0), value(inshore)),
        ask("2.99 t is held at 3 t", lift("offshore", 2.99, 2.99), held(offshore, &both)),
        ask("2 t is held at 3 t, inshore", lift("inshore", 2.0, 2.0), held(inshore, &both)),
        ask("a light item under heavy rigging", lift("offshore", 2.99, 25.0), held(1.5, &both[..1])),
        ask("3.01 t is taken as it is", lift("offshore", 3.01, 25.0), value(1.5)),
    ]
}

fn skew() -> Vec<Check> {
    let ask = |id: &str, facts: Facts, expected| check(id, Question::SkewFactor, facts, expected);
    let speaks = || value(1.25);
    let sling =
        |mass: f64| matched_pairs().number("mass per length", mass, "kg/m").number("rope diameter", 100.0, "mm");
    vec![
        ask("all conditions met at their limits", matched_pairs(), speaks()),
        ask(
            "length tolerance 2.01 d",
            matched_pairs().number("sling length tolerance in diameters", 2.01, ""),
            Expected::DoesNotApply,
        ),
        ask(
            "pair difference 1.005 d",
            matched_pairs().number("pair length difference in diameters", 1.005, ""),
            Expected::DoesNotApply,
        ),
        ask("230·W/d² = 0.995", sling(0.995 * 1e4 / 230.0), speaks()),
        ask("230·W/d² = 1 is not below 1", sling(1e4 / 230.0), Expected::DoesNotApply),
        ask(
            "utilization 0.6 is not above 0.6",
            matched_pairs().number("utilization with the skew factor", 0.6, ""),
            Expected::DoesNotApply,
        ),
        ask("utilization 0.603", matched_pairs().number("utilization with the skew factor", 0.603, ""), speaks()),
        ask("fiber", matched_pairs().word("material", "HMPE"), Expected::DoesNotApply),
        ask("fiber, nothing else known", Facts::new().word("material", "polyester"), Expected::DoesNotApply),
        ask("unequal lengths", matched_pairs().word("sling pairing", "unequal lengths"), Expected::DoesNotApply),
        ask("cable-laid", matched_pairs().word("rope lay", "cable-laid"), Expected::DoesNotApply),
        ask(
            "longer slings on one diagonal",
            matched_pairs().word("longer slings on one diagonal", "yes"),
            Expected::DoesNotApply,
        ),
        ask("three legs", matched_pairs().word("configuration", "three legs"), Expected::Silent),
        ask("determinate", matched_pairs().word("statically determinate", "yes"), Expected::Silent),
        ask(
            "utilization unknown",
            matched_pairs().unknown("utilization with the skew factor"),
            Expected::Missing("utilization with the skew factor".to_owned()),
        ),
        ask("pairing unknown", matched_pairs().unknown("sling pairing"), Expected::Missing("sling pairing".to_owned())),
    ]
}

/// Points where a relation is exact, worked by hand.
fn exact_points() -> Vec<Check> {
    let number = |name: &str, x: f64| Facts::new().number(name, x, "");
    let share = |x: f64| number("environmental share of load", x).word("dynamic analysis", "detailed");
    let bend = |x: f64| number("bend ratio", x).word("material", "steel").word("taken from", "relation");
    let shackle = |wll: f64, daf: f64, mbl: f64, proof: f64| {
        Facts::new()
            .number("working load limit", wll, "kN")
            .number("dynamic factor", daf, "")
            .number("breaking load", mbl, "kN")
            .number("proof load", proof, "kN")
    };
    let reduction = |s: f64, b: f64| number("termination factor", s).number("bending factor", b, "");
    vec![
        check("25 t offshore", Question::DynamicFactor, lift("offshore", 25.0, 25.0), value(1.5)),
        check("25 t inshore", Question::DynamicFactor, lift("inshore", 25.0, 25.0), value(1.17)),
        check("no environmental load", Question::LoadFactor, share(0.0), value(1.3)),
        check("environmental share 0.2", Question::LoadFactor, share(0.2), value(1.18)),
        check("where the lines meet", Question::LoadFactor, share(1.0 / 3.0), value(1.1)),
        check("all environmental", Question::LoadFactor, share(1.0), value(1.3)),
        check("body on 1 d", Question::BendingFactor, bend(1.0).word("bend at", "body"), value(2.0)),
        check("body on 4 d", Question::BendingFactor, bend(4.0).word("bend at", "body"), value(4.0 / 3.0)),
        check(
            "body on 0.995 d",
            Question::BendingFactor,
            bend(0.995).word("bend at", "body"),
            Expected::OutsideRange("7.8.5".into()),
        ),
        check("eye on 0.64 d", Question::BendingFactor, bend(0.64).word("bend at", "eye"), value(1.0 / 0.375)),
        check(
            "eye on 0.25 d",
            Question::BendingFactor,
            bend(0.25).word("bend at", "eye"),
            Expected::OutsideRange("no value".into()),
        ),
        check(
            "eye on 0.2 d",
            Question::BendingFactor,
            bend(0.2).word("bend at", "eye"),
            Expected::OutsideRange("no value".into()),
        ),
        check(
            "table below 1 d",
            Question::BendingFactor,
            bend(0.995).word("taken from", "table"),
            Expected::OutsideRange("7.8.5".into()),
        ),
        check(
            "table between rows",
            Question::BendingFactor,
            bend(2.5).word("taken from", "table"),
            Expected::OutsideRange("prints no value".into()),
        ),
        check(
            "neither table nor relation chosen",
            Question::BendingFactor,
            bend(2.0).unknown("taken from").word("bend at", "body"),
            Expected::Missing("taken from".into()),
        ),
        check(
            "fiber at its least diameter",
            Question::BendingFactor,
            number("bend diameter to maker's least", 1.0).word("material", "HMPE"),
            value(1.0),
        ),
        check(
            "fiber below its least diameter",
            Question::BendingFactor,
            number("bend diameter to maker's least", 0.995).word("material", "HMPE"),
            Expected::OutsideRange("does not serve for fiber".into()),
        ),
        check(
            "fiber by the wire relation",
            Question::BendingFactor,
            bend(4.0).word("material", "HMPE").word("bend at", "body"),
            Expected::Missing("bend diameter to maker's least".into()),
        ),
        check("termination governs", Question::ReductionFactor, reduction(1.25, 1.2), value(1.25)),
        check("bending governs", Question::ReductionFactor, reduction(1.25, 1.41), value(1.41)),
        check("shackle by WLL × DAF", Question::ShackleDynamicLimit, shackle(100.0, 1.2, 600.0, 200.0), value(120e3)),
        check("shackle by MBL / 3", Question::ShackleDynamicLimit, shackle(100.0, 2.5, 600.0, 240.0), value(200e3)),
        check("shackle by proof load", Question::ShackleDynamicLimit, shackle(100.0, 2.5, 900.0, 180.0), value(180e3)),
        check("shackle static", Question::ShackleStaticLimit, shackle(100.0, 2.5, 900.0, 180.0), value(100e3)),
        check(
            "shackle proof load unknown",
            Question::ShackleDynamicLimit,
            shackle(1.0, 1.0, 9.0, 2.0).unknown("proof load"),
            Expected::Missing("proof load".into()),
        ),
        check(
            "maker asks for more than 2.3",
            Question::LeastSafetyFactor,
            number("maker's least safety factor", 5.0)
                .word("material", "HMPE")
                .word("maker states a least safety factor", "yes"),
            value(5.0),
        ),
        check(
            "maker asks for less than 2.3",
            Question::LeastSafetyFactor,
            number("maker's least safety factor", 2.0)
                .word("material", "HMPE")
                .word("maker states a least safety factor", "yes"),
            value(2.3),
        ),
        check(
            "maker's wish unknown",
            Question::LeastSafetyFactor,
            Facts::new().word("material", "HMPE"),
            Expected::Missing("maker states a least safety factor".into()),
        ),
        check("floor 2.3 governs", Question::NominalSafetyFactor, floor(), value(2.3 * 1.25 * 1.1)),
        check(
            "floor 2.3 governs with twist",
            Question::NominalSafetyFactor,
            floor().word("twisting possible", "yes").number("twist factor", 1.2, ""),
            value(2.3 * 1.25 * 1.1 * 1.2),
        ),
    ]
}

fn floor() -> Facts {
    Facts::new()
        .word("twisting possible", "no")
        .number("load factor", 1.1, "")
        .number("consequence factor", 1.0, "")
        .number("reduction factor", 1.25, "")
        .number("wear factor", 1.1, "")
        .number("material factor", 1.35, "")
}

/// Silence, exclusion and missing facts are told apart.
fn marine_words() -> Vec<Check> {
    let word = |name: &str, word: &str| Facts::new().word(name, word);
    let made = |construction: &str, material: &str| word("construction", construction).word("material", material);
    let applies = || Expected::Word("applies".into());
    vec![
        check("lifting", Question::AppliesToOperation, word("operation", "lifting"), applies()),
        check("two hooks", Question::AppliesToOperation, word("operation", "two-hook lift"), Expected::Withheld(None)),
        check("towing", Question::AppliesToOperation, word("operation", "towing"), Expected::Silent),
        check("operation unknown", Question::AppliesToOperation, Facts::new(), Expected::Missing("operation".into())),
        check("offshore", Question::AppliesToPlace, word("place", "offshore"), applies()),
        check("subsea", Question::AppliesToPlace, word("place", "subsea"), Expected::Silent),
        check("dynamic factor subsea", Question::DynamicFactor, lift("subsea", 50.0, 50.0), Expected::Silent),
        check(
            "dynamic factor, place unknown",
            Question::DynamicFactor,
            lift("subsea", 50.0, 50.0).unknown("place"),
            Expected::Missing("place".into()),
        ),
        check(
            "dynamic factor, hook load unknown",
            Question::DynamicFactor,
            lift("offshore", 50.0, 50.0).unknown("static hook load"),
            Expected::Missing("static hook load".into()),
        ),
        check("persons", Question::AppliesToPersons, word("persons lifted", "yes"), Expected::Silent),
        check("HMPE rope", Question::AppliesToGear, made("fiber rope", "HMPE"), applies()),
        check("wire rope", Question::AppliesToGear, made("wire rope", "steel"), applies()),
        check("chain", Question::AppliesToGear, made("chain", "steel"), Expected::Silent),
        check("shackle", Question::AppliesToGear, made("shackle", "steel"), applies()),
        check(
            "HMPE rope rating",
            Question::RatingBasis,
            made("fiber rope", "HMPE"),
            Expected::Word("breaking load divided by factor".into()),
        ),
        check(
            "shackle rating",
            Question::RatingBasis,
            made("shackle", "steel"),
            Expected::Word("marked rating".into()),
        ),
        check("chain rating", Question::RatingBasis, made("chain", "steel"), Expected::Silent),
        check("contingency", Question::WeightContingency, word("mass basis", "weighed"), Expected::Withheld(None)),
        check("twist by test", Question::TwistFactor, word("twisting possible", "yes"), Expected::Withheld(None)),
        check("no twist", Question::TwistFactor, word("twisting possible", "no"), Expected::DoesNotApply),
        check(
            "tolerable consequence",
            Question::ConsequenceFactor,
            word("consequence of failure", "tolerable"),
            Expected::Withheld(None),
        ),
        check(
            "damaged jacket",
            Question::WearFactor,
            made("fiber rope", "HMPE").word("service", "jacket damaged"),
            Expected::DoesNotApply,
        ),
        check(
            "sewn ends",
            Question::TerminationFactor,
            made("fiber rope", "polyester").word("termination", "sewn fiber"),
            Expected::Silent,
        ),
        check("sharp edge", Question::SharpEdgeRatio, Facts::new(), Expected::Silent),
        check("temperature", Question::HighestTemperature, made("fiber rope", "HMPE"), Expected::Silent),
        check("certificate onshore", Question::CertificateAge, word("place", "onshore"), Expected::Silent),
    ]
}

pub fn marine() -> Vec<Check> {
    [dynamic_bands(), least_weight(), skew(), exact_points(), marine_words()].concat()
}

fn chain(hitch: &str, grade: &str, configuration: &str, size: f64, angle: f64) -> Facts {
    Facts::new()
        .word("taken from", "table")
        .word("construction", "chain")
        .word("material", "steel")
        .word("grade", grade)
        .word("hitch", hitch)
        .word("configuration", configuration)
        .number("chain size", size, "in")
        .number("angle from horizontal", angle, "deg")
        .number("choke angle", 135.0, "deg")
}

/// Between printed angles the next lower one is read; below the last one nothing is.
fn chain_angles() -> Vec<Check> {
    let lbf = |load: f64| value(si(load, "lbf"));
    let below = || Expected::OutsideRange("below 30 degrees".into());
    let ask = |facts: Facts, expected| {
        let id = format!("{facts:?}");
        check(&id, Question::RatedValue, facts, expected)
    };
    let mut checks = Vec::new();
    // Hitch, grade, size, then the printed loads at 60, 45 and 30 degrees of two legs and of three or four.
    let rows: [(&str, &str, f64, &str, [f64; 3]); 5] = [
        ("straight", "80", 1.0, "two legs", [82_600.0, 67_400.0, 47_700.0]),
        ("straight", "80", 1.0, "four legs", [123_900.0, 101_200.0, 71_500.0]),
        ("straight", "100", 0.625, "two legs", [39_100.0, 32_000.0, 22_600.0]),
        ("straight", "100", 0.5, "three legs", [39_000.0, 31_800.0, 22_500.0]),
        ("choker", "80", 0.21875, "two legs", [2_900.0, 2_400.0, 1_700.0]),
    ];
    for (hitch, grade, size, configuration, [at_60, at_45, at_30]) in rows {
        let at = |angle| chain(hitch, grade, configuration, size, angle);
        for (angle, load, column) in [
            (90.0, at_60, "60 deg"),
            (60.0, at_60, "60 deg"),
            (59.7, at_45, "45 deg"),
            (45.0, at_45, "45 deg"),
            (44.8, at_30, "30 deg"),
            (30.0, at_30, "30 deg"),
        ] {
            let si = si(load, "lbf");
            let expected = Expected::InColumn { si, tolerance: TRANSCRIBED * si, column: column.to_owned() };
            checks.push(ask(at(angle), expected));
        }
        checks.push(ask(at(29.9), below()));
    }
    checks.push(ask(chain("choker", "80", "four legs", 0.21875, 60.0), lbf(4_400.0)));
    checks.push(ask(chain("choker", "80", "four legs", 0.21875, 59.7), Expected::Withheld(None)));
    checks.push(ask(chain("choker", "80", "four legs", 0.21875, 30.0), Expected::Withheld(None)));
    for (hitch, grade, size, load) in
        [("straight", "80", 1.25, 72_300.0), ("straight", "100", 0.875, 42_700.0), ("choker", "80", 0.5, 9_600.0)]
    {
        checks.push(ask(chain(hitch, grade, "single leg", size, 90.0), lbf(load)));
        let unprinted = Expected::OutsideRange("prints no value".into());
        checks.push(ask(chain(hitch, grade, "single leg", size, 89.5), unprinted));
        checks
            .push(ask(chain(hitch, grade, "two legs", 0.4375, 60.0), Expected::OutsideRange("prints no value".into())));
    }
    checks.push(ask(chain("basket", "80", "single basket", 1.0, 60.0), lbf(82_600.0)));
    checks.push(ask(chain("basket", "80", "double basket", 1.0, 60.0), lbf(123_900.0)));
    checks.push(ask(chain("choker", "100", "two legs", 0.5, 60.0), Expected::Silent));
    let choke = |angle: f64| chain("choker", "80", "two legs", 0.5, 60.0).number("choke angle", angle, "deg");
    checks.push(ask(choke(120.0), Expected::OutsideRange("at or below 120".into())));
    checks.push(ask(choke(120.6), lbf(16_600.0)));
    for (angle, expected) in [(120.0, Expected::OutsideRange("at or below 120".into())), (120.6, value(0.8))] {
        checks.push(check(&format!("choke at {angle}"), Question::ChokeFactor, choke(angle), expected));
    }
    // The relation, at a single-leg rating of 10 000 lbf: exact at 30 and 90 degrees.
    let by_relation = |configuration: &str, angle: f64| {
        chain("straight", "80", configuration, 0.5, angle).word("taken from", "relation").number(
            "single-leg rated value",
            10_000.0,
            "lbf",
        )
    };
    for (configuration, angle, load) in [
        ("single leg", 90.0, 10_000.0),
        ("two legs", 30.0, 10_000.0),
        ("two legs", 90.0, 20_000.0),
        ("three legs", 30.0, 15_000.0),
        ("four legs", 90.0, 30_000.0),
    ] {
        checks.push(ask(by_relation(configuration, angle), lbf(load)));
    }
    checks.push(ask(by_relation("two legs", 29.9), below()));
    checks.push(ask(by_relation("four legs", 29.9), below()));
    checks
}

fn us_words() -> Vec<Check> {
    let word = |name: &str, word: &str| Facts::new().word(name, word);
    let made = |construction: &str, material: &str| word("construction", construction).word("material", material);
    let applies = || Expected::Word("applies".into());
    let marked = || Expected::Word("marked rating".into());
    vec![
        check("lifting", Question::AppliesToOperation, word("operation", "lifting"), applies()),
        check("lashing", Question::AppliesToOperation, word("operation", "lashing"), Expected::DoesNotApply),
        check("upending", Question::AppliesToOperation, word("operation", "upending"), Expected::Silent),
        check("onshore", Question::AppliesToPlace, word("place", "onshore"), applies()),
        check("offshore", Question::AppliesToPlace, word("place", "offshore"), Expected::Silent),
        check("persons", Question::AppliesToPersons, word("persons lifted", "yes"), Expected::DoesNotApply),
        check("no persons", Question::AppliesToPersons, word("persons lifted", "no"), applies()),
        check("persons unknown", Question::AppliesToPersons, Facts::new(), Expected::Missing("persons lifted".into())),
        check(
            "persons exclude every question",
            Question::VerticalLegAngle,
            word("persons lifted", "yes"),
            Expected::DoesNotApply,
        ),
        check("chain", Question::AppliesToGear, made("chain", "steel"), applies()),
        check(
            "manila rope",
            Question::AppliesToGear,
            made("fiber rope", "manila").word("fiber rope lay", "laid"),
            applies(),
        ),
        check(
            "braided rope",
            Question::AppliesToGear,
            made("fiber rope", "manila").word("fiber rope lay", "braided"),
            Expected::Silent,
        ),
        check("polyester web", Question::AppliesToGear, made("web", "polyester"), applies()),
        check("polyester roundsling", Question::AppliesToGear, made("roundsling", "polyester"), applies()),
        check("HMPE roundsling", Question::AppliesToGear, made("roundsling", "HMPE"), Expected::Silent),
        check("HMPE rope", Question::AppliesToGear, made("fiber rope", "HMPE"), Expected::Silent),
        check("shackle", Question::AppliesToGear, made("shackle", "steel"), applies()),
        check("HMPE rope by its tag", Question::RatingBasis, made("fiber rope", "HMPE"), marked()),
        check("web by its tag", Question::RatingBasis, made("web", "polyester"), marked()),
        check("chain by its tag", Question::RatingBasis, made("chain", "steel"), marked()),
        check("no dynamic factor", Question::DynamicFactor, lift("onshore", 10.0, 10.0), Expected::Silent),
        check("no contingency", Question::WeightContingency, word("mass basis", "weighed"), Expected::Silent),
        check("no skew factor", Question::SkewFactor, matched_pairs(), Expected::Silent),
        check("no sharp edge in numbers", Question::SharpEdgeRatio, made("web", "polyester"), Expected::Silent),
        check("no bend ratio for HMPE", Question::LeastBendRatio, made("fiber rope", "HMPE"), Expected::Silent),
        check("no temperature for HMPE", Question::HighestTemperature, made("fiber rope", "HMPE"), Expected::Silent),
        check("no choke factor for webs", Question::ChokeFactor, made("web", "polyester"), Expected::Silent),
        check(
            "core unknown",
            Question::HighestTemperature,
            made("wire rope", "steel"),
            Expected::Missing("core".into()),
        ),
        check("wire rope tag", Question::Marking, made("wire rope", "steel"), Expected::Word("size".into())),
        check(
            "web tag",
            Question::Marking,
            made("web", "nylon"),
            Expected::Word("maker's identification marking".into()),
        ),
    ]
}

pub fn us() -> Vec<Check> {
    [chain_angles(), us_words()].concat()
}
