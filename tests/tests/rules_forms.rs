//! The forms in which a rule file may print a value, each evaluated against numbers worked by hand, and each refused with
//! code and place where it cannot be used.
//!
//! Origin of the check: independent (arithmetic by hand; the figures are invented).

use rigging_core::quantity::{Force, ForceUnit};
use rigging_core::rules::{Answer, Facts, Question, RuleSet, Severer};

/// A set with one rule, all of whose keys but source and clause are given.
fn set(rule: &str) -> Result<RuleSet, (&'static str, String)> {
    let head = "format = 1\nname = \"x\"\ntitle = \"x\"\nedition = \"1\"\nstatus = \"in force\"\n[[source]]\nid = \"s\"\n\
                document = \"shop instruction\"\nstanding = \"stated\"\nnote = \"invented\"\n[[rule]]\nname = \"x\"\n\
                source = \"s\"\nclause = \"1\"\n";
    RuleSet::from_toml(&format!("{head}{rule}")).map_err(|error| (error.code(), error.place().as_str().to_owned()))
}

fn refused(rule: &str, code: &'static str, place: &str) {
    assert_eq!(set(rule).map(|_| ()), Err((code, format!("/rule/0{place}"))), "{rule}");
}

fn near(answer: &Answer, expected: f64) {
    let value = answer.value().unwrap_or_else(|| panic!("{answer:?}; expected {expected}"));
    assert!((value - expected).abs() <= 1e-12 * expected.abs(), "{value} against {expected}");
}

const CHOKE: &str = "answers = \"choke angle factor\"\ninput = [{ fact = \"choke angle\", unit = \"deg\", policy = \"ask the maker\" }]\n\
                     relation = \"table\"\nrows = \"choke angle\"\nrow_lookup = \"band\"\n";

#[test]
fn a_band_holds_the_ends_it_says() {
    let cells = "cells = [[{ at_least = 0, less_than = 30 }, 0.4], [{ at_least = 60, at_most = 120 }, 0.8], \
                 [{ more_than = 120, at_most = 180 }, 1.0]]";
    let rules = set(&format!("{CHOKE}{cells}")).unwrap();
    let at = |degrees: f64| rules.ask(Question::ChokeAngleFactor, &Facts::new().number("choke angle", degrees, "deg"));
    // Further than what is taken for the limit itself.
    let part = |number: f64, sign: f64| number * (1.0 + sign * 2e-9);
    for (degrees, factor) in
        [(0.0, 0.4), (part(30.0, -1.0), 0.4), (60.0, 0.8), (120.0, 0.8), (part(120.0, 1.0), 1.0), (180.0, 1.0)]
    {
        assert_eq!(at(degrees).value(), Some(factor), "{degrees}");
    }
    for degrees in [30.0, 45.0, part(60.0, -1.0)] {
        let Answer::OutsideRange { reading, policy, .. } = at(degrees) else { panic!("{degrees}: {:?}", at(degrees)) };
        assert_eq!((reading.value, policy.as_str()), (degrees, "ask the maker"));
        assert_eq!(
            reading.allowed,
            "at least 0 and less than 30, or at least 60 and at most 120, or more than 120 and at most 180"
        );
    }
    let row =
        at(130.0).ruled().unwrap().inputs().iter().find(|input| input.name == "printed row").unwrap().value.clone();
    assert_eq!(row, "more than 120 and at most 180");
    assert!(matches!(rules.ask(Question::ChokeAngleFactor, &Facts::new()), Answer::Missing { .. }));
}

#[test]
fn bands_are_refused_that_overlap_or_fall() {
    let with = |cells: &str| format!("{CHOKE}cells = {cells}");
    refused(&with("[[{ at_most = 60 }, 0.4], [{ at_least = 60 }, 0.8]]"), "inconsistent", "/cells/1/0");
    refused(&with("[[{ at_most = 60 }, 0.4], [{ more_than = 59 }, 0.8]]"), "inconsistent", "/cells/1/0");
    refused(&with("[[{ at_least = 60 }, 0.4], [{ at_most = 60 }, 0.8]]"), "inconsistent", "/cells/1/0");
    refused(&with("[[{ at_least = 60, less_than = 60 }, 0.4]]"), "inconsistent", "/cells/0/0");
    refused(&with("[[{}, 0.4]]"), "missing", "/cells/0/0");
    refused(&with("[[60, 0.4]]"), "malformed", "/cells/0/0");
    refused(&with("[[{ to = 60 }, 0.4]]"), "unknown_key", "/cells/0/0/to");
    refused(&with("[[{ at_most = 60 }, 0.9], [{ more_than = 60 }, 0.8]]"), "out_of_domain", "/cells/1/1");
    set(&with("[[{ at_most = 60 }, 0.8], [{ more_than = 60 }, 0.8]]")).unwrap();
    let columns = "answers = \"temperature factor\"\ninput = [{ fact = \"temperature\", unit = \"degC\" }]\nrelation = \"table\"\n\
                   rows = \"exposure\"\ncolumn_number = \"temperature\"\ncolumn_lookup = \"band\"\ncolumns = [{ temperature = 100 }]\n\
                   cells = [[\"at temperature\", 1]]";
    refused(columns, "inconsistent", "/column_lookup");
}

const HOT: &str = "answers = \"temperature factor\"\ninput = [{ fact = \"temperature\", unit = \"degF\", at_least = 400 }]\n\
                   relation = \"table\"\nrows = \"temperature\"\nrow_lookup = \"exact\"\nunit = \"%\"\n";

#[test]
fn a_reduction_is_taken_off() {
    let rules = set(&format!("{HOT}prints = \"reduction\"\ncells = [[400, 10], [600, 20], [1000, 100]]")).unwrap();
    let at =
        |degrees: f64| rules.ask(Question::TemperatureFactor, &Facts::new().number("temperature", degrees, "degF"));
    near(&at(400.0), 0.9);
    near(&at(600.0), 0.8);
    assert_eq!(at(1000.0).value(), Some(0.0));
    let answer = at(400.0);
    let rigging_core::rules::Said::Value { printed, printed_unit, .. } = &answer.ruled().unwrap().said else {
        panic!()
    };
    assert_eq!((*printed, printed_unit.as_str()), (10.0, "%"));
    let as_printed = answer.term().unwrap().inputs.iter().find(|input| input.name == "printed as taken off").unwrap();
    assert_eq!(as_printed.value, "10 %");
    let plain = set(&format!("{HOT}cells = [[400, 10], [600, 5]]")).unwrap();
    near(&plain.ask(Question::TemperatureFactor, &Facts::new().number("temperature", 400.0, "degF")), 0.1);
}

#[test]
fn reductions_obey_the_law_of_what_is_left() {
    let with = |prints: &str, cells: &str| format!("{HOT}prints = \"{prints}\"\ncells = {cells}");
    refused(&with("reduction", "[[400, 10], [600, 5]]"), "out_of_domain", "/cells/1/1");
    refused(&with("reduction", "[[400, 101]]"), "out_of_domain", "/cells/0/1");
    refused(&with("reduction", "[[400, -1]]"), "out_of_domain", "/cells/0/1");
    refused(&with("loss", "[[400, 10]]"), "unknown_name", "/prints");
    refused(&format!("{HOT}cells = [[400, 10], [600, 20]]"), "out_of_domain", "/cells/1/1");
    let force = "answers = \"proof load\"\nrelation = \"constant\"\nvalue = 5\nunit = \"kN\"\nprints = \"reduction\"";
    refused(force, "inconsistent", "/prints");
    refused("answers = \"marking\"\nrelation = \"applies\"\nprints = \"reduction\"", "inconsistent", "/prints");
    near(
        &set("answers = \"wet factor\"\nrelation = \"constant\"\nvalue = 0.15\nprints = \"reduction\"")
            .unwrap()
            .ask(Question::WetFactor, &Facts::new()),
        0.85,
    );
}

#[test]
fn a_row_beside_those_keyed_is_withheld() {
    const SIZES: &str = "answers = \"rated value\"\nunit = \"kgf\"\nrelation = \"table\"\nrows = \"chain size\"\n\
                         input = [{ fact = \"chain size\", unit = \"mm\" }]\ncells = [[8, 2000], [13, 5300]]\n";
    let ask = |keys: &str, size: f64| {
        let rules = set(&format!("{SIZES}{keys}")).unwrap();
        rules.ask(Question::RatedValue, &Facts::new().number("chain size", size, "mm"))
    };
    let some = "row_lookup = \"exact\"\nother_rows = \"not seen\"";
    near(&ask(some, 13.0), Force::new(5300.0, ForceUnit::KilogramForce).si());
    let Answer::Withheld { why, printed: None, .. } = ask(some, 10.0) else { panic!("{:?}", ask(some, 10.0)) };
    assert_eq!(
        why,
        "the row 10 mm of the table \"x\", if it is printed, was not seen; the rows that were read are 8, 13 mm"
    );
    assert!(matches!(ask("row_lookup = \"exact\"", 10.0), Answer::OutsideRange { .. }));
    let reading = |answer: Answer| match answer {
        Answer::OutsideRange { reading, .. } => reading.to_string(),
        other => panic!("{other:?}"),
    };
    let exact = reading(ask("row_lookup = \"exact\"", 10.0));
    assert!(exact.contains("it must be one of the printed values 8, 13"), "{exact}");
    let below = reading(ask("row_lookup = \"next lower\"", 7.0));
    assert!(below.contains("it must be within the reach of the printed values 8, 13"), "{below}");
    // A value that a conversion rounded is told as it was entered.
    let open = "answers = \"choke factor\"\ninput = [{ fact = \"choke angle\", unit = \"deg\", more_than = 120 }]\n\
                relation = \"constant\"\nvalue = 0.75\n";
    let choke = Facts::new().number("choke angle", 120_f64.to_radians(), "rad");
    let told = reading(set(open).unwrap().ask(Question::ChokeFactor, &choke));
    assert!(told.contains(" 120 deg;"), "{told}");
    let with = |keys: &str| format!("{SIZES}{keys}");
    refused(&with("row_lookup = \"next lower\"\nother_rows = \"not seen\""), "inconsistent", "/other_rows");
    refused(&with("row_lookup = \"exact\"\nother_rows = \"none\""), "unknown_name", "/other_rows");
}

/// Rated values with a plumb column of words only, and bands of the angle from vertical beside it.
const LEGS: &str = "answers = \"rated value\"\nunit = \"kgf\"\nrelation = \"table\"\nrows = \"chain size\"\nrow_lookup = \"exact\"\n\
     input = [{ fact = \"chain size\", unit = \"mm\" }, { fact = \"angle from horizontal\", unit = \"deg\", as = \"from vertical\", at_most = 60, policy = \"flatter legs are not allowed\" }]\n\
     column_number = \"angle from horizontal\"\ncolumn_lookup = \"at most\"\n";
const COLUMNS: &str = "columns = [{ configuration = \"single leg\" }, { configuration = \"two legs\", \"angle from horizontal\" = 45 }, { configuration = \"two legs\", \"angle from horizontal\" = 60 }]\n";

#[test]
fn an_angle_is_read_from_vertical() {
    let rules = set(&format!("{LEGS}{COLUMNS}cells = [[8, 2000, 2800, 2000], [10, 3150, 4250, 3150]]")).unwrap();
    let ask = |configuration: &str, horizontal: Option<f64>| {
        let facts = Facts::new().word("configuration", configuration).number("chain size", 8.0, "mm");
        let facts = match horizontal {
            Some(degrees) => facts.number("angle from horizontal", degrees, "deg"),
            None => facts,
        };
        rules.ask(Question::RatedValue, &facts)
    };
    let kgf = |number: f64| Force::new(number, ForceUnit::KilogramForce).si();
    near(&ask("two legs", Some(90.0)), kgf(2800.0));
    near(&ask("two legs", Some(45.0)), kgf(2800.0));
    near(&ask("two legs", Some(45.0 - 1e-7)), kgf(2000.0));
    near(&ask("two legs", Some(30.0)), kgf(2000.0));
    near(&ask("single leg", None), kgf(2000.0));
    let Answer::OutsideRange { reading, policy, .. } = ask("two legs", Some(29.0)) else { panic!() };
    assert_eq!(
        (reading.name.as_str(), reading.value, reading.allowed.as_str()),
        ("angle from vertical", 61.0, "at most 60")
    );
    assert_eq!(policy, "flatter legs are not allowed");
    let Answer::Missing { fact, .. } = ask("two legs", None) else { panic!() };
    assert_eq!(fact, "angle from horizontal");
    let answer = ask("two legs", Some(60.0));
    let inputs: Vec<(&str, &str)> =
        answer.ruled().unwrap().inputs().iter().map(|input| (input.name.as_str(), input.value.as_str())).collect();
    assert!(
        inputs.contains(&("angle from horizontal", "60 deg")) && inputs.contains(&("angle from vertical", "30 deg")),
        "{inputs:?}"
    );
    assert!(inputs.contains(&("printed column", "45 deg")), "{inputs:?}");
    // A plumb leg is plumb in radians as well.
    let plumb = Facts::new().word("configuration", "two legs").number("chain size", 8.0, "mm");
    near(
        &rules.ask(Question::RatedValue, &plumb.number("angle from horizontal", std::f64::consts::FRAC_PI_2, "rad")),
        kgf(2800.0),
    );
}

#[test]
fn columns_and_angles_that_cannot_be_used_are_refused() {
    let with = |columns: &str, cells: &str| format!("{LEGS}columns = {columns}\ncells = {cells}");
    // From vertical, the greater number is the flatter leg and must hold less.
    refused(&format!("{LEGS}{COLUMNS}cells = [[8, 2000, 2000, 2800]]"), "out_of_domain", "/cells/0/3");
    refused(&with("[{}]", "[[8, 2000]]"), "missing", "/columns/0");
    let met = "[{ hitch = \"straight\" }, { configuration = \"two legs\", \"angle from horizontal\" = 45 }]";
    refused(&with(met, "[[8, 2000, 2800]]"), "inconsistent", "/columns/1");
    let both = "[{ hitch = \"straight\" }, { hitch = [\"straight\", \"choker\"] }]";
    refused(&with(both, "[[8, 2000, 2800]]"), "inconsistent", "/columns/1");
    let twice = "[{ hitch = \"straight\" }, { hitch = \"straight\" }]";
    refused(&with(twice, "[[8, 2000, 2800]]"), "inconsistent", "/columns/1");
    let taken = |fact: &str, unit: &str, taken: &str| {
        format!(
            "answers = \"choke factor\"\nrelation = \"constant\"\nvalue = 0.8\ninput = [{{ fact = \"{fact}\", unit = \"{unit}\", as = \"{taken}\" }}]"
        )
    };
    refused(&taken("choke angle", "deg", "from vertical"), "malformed", "/input/0/as");
    refused(&taken("rope diameter", "mm", "sine"), "malformed", "/input/0/as");
    refused(&taken("choke angle", "deg", "cosine"), "unknown_name", "/input/0/as");
    set(&taken("choke angle", "deg", "sine")).unwrap();
}

#[test]
fn the_least_of_lines() {
    let width = "answers = \"least width for sling\"\nunit = \"mm\"\ninput = [{ fact = \"rope diameter\", unit = \"mm\" }]\n\
                 relation = \"least line\"\nof = \"rope diameter\"\n";
    let rules = set(&format!("{width}lines = [[0, 1.3], [25, 1.25]]")).unwrap();
    let at = |mm: f64| rules.ask(Question::LeastWidthForSling, &Facts::new().number("rope diameter", mm, "mm"));
    near(&at(100.0), 0.130);
    near(&at(500.0), 0.650);
    near(&at(600.0), 0.775);
    refused(&format!("{width}lines = []"), "malformed", "/lines");
    refused(&format!("{width}lines = [[1]]"), "malformed", "/lines/0");
    refused(width, "missing", "/lines");
}

#[test]
fn a_cell_has_a_clause_of_its_own() {
    let rules = set(
        "answers = \"wear factor\"\nrelation = \"table\"\nrows = \"service\"\n\
         cells = [[\"inspected\", { value = 1.0, clause = \"1.4\" }], [\"fabrication yard\", 1.2], [\"jacket intact\", { value = 1.1, suspect = \"a blot\", clause = \"1.5\", standing = \"secondary\" }]]",
    )
    .unwrap();
    let ask = |word: &str| rules.ask(Question::WearFactor, &Facts::new().word("service", word));
    let inspected = ask("inspected");
    assert_eq!(inspected.ruled().unwrap().source.clause, "1.4");
    assert_eq!(inspected.term().unwrap().source.clause, "1.4");
    assert_eq!(ask("fabrication yard").ruled().unwrap().source.clause, "1");
    let Answer::Withheld { source, printed, .. } = ask("jacket intact") else { panic!() };
    assert_eq!((source.clause.as_str(), source.standing.word(), printed), ("1.5", "secondary", Some(1.1)));
    let clause = "answers = \"wear factor\"\nrelation = \"table\"\nrows = \"service\"\ncells = [[\"inspected\", { value = 1.0, clause = \"\" }]]";
    refused(clause, "malformed", "/cells/0/1/clause");
}

/// Pin hole: the least of pin + 6 and the greater of pin + 2 and 1.03 pin.
const HOLE: &str = "answers = \"pin hole diameter\"\nsymbol = \"d_h\"\nunit = \"mm\"\nrelation = \"steps\"\n\
     input = [{ fact = \"pin diameter\", unit = \"mm\" }]\n";
const HOLE_STEPS: &str = "{ symbol = \"p1\", name = \"pin and 2\", sum = [\"pin diameter\", 2] }, \
     { symbol = \"p2\", name = \"3 % more\", times = [1.03, \"pin diameter\"] }, \
     { symbol = \"p3\", name = \"the greater\", greatest = [\"p1\", \"p2\"] }, \
     { symbol = \"p4\", name = \"pin and 6\", sum = [\"pin diameter\", 6] }, ";

#[test]
fn steps_lead_to_the_value() {
    let rules = set(&format!(
        "{HOLE}steps = [{HOLE_STEPS}{{ symbol = \"hole\", name = \"pin hole\", least = [\"p3\", \"p4\"] }}]"
    ))
    .unwrap();
    let at = |mm: f64| rules.ask(Question::PinHoleDiameter, &Facts::new().number("pin diameter", mm, "mm"));
    near(&at(35.0), 0.037);
    near(&at(100.0), 0.103);
    near(&at(300.0), 0.306);
    let answer = at(100.0);
    let inputs: Vec<(&str, &str)> =
        answer.term().unwrap().inputs.iter().map(|input| (input.name.as_str(), input.value.as_str())).collect();
    assert_eq!(
        inputs,
        [
            ("pin diameter", "100 mm"),
            ("p1, pin and 2", "102"),
            ("p2, 3 % more", "103"),
            ("p3, the greater", "103"),
            ("p4, pin and 6", "106"),
            ("hole, pin hole", "103"),
        ]
    );
    let Answer::Missing { fact, .. } = rules.ask(Question::PinHoleDiameter, &Facts::new()) else { panic!() };
    assert_eq!(fact, "pin diameter");
}

#[test]
fn steps_of_angles_and_roots() {
    let tilt = set(
        "answers = \"tilt from elevation\"\nunit = \"deg\"\nrelation = \"steps\"\n\
         input = [{ fact = \"hook spacing\", unit = \"m\" }, { fact = \"hook elevation difference\", unit = \"m\" }]\n\
         steps = [{ symbol = \"r\", name = \"rise\", times = [\"hook elevation difference\"], divided_by = [\"hook spacing\"] }, \
         { symbol = \"t\", name = \"tilt\", arcsine = \"r\", angle_unit = \"deg\" }]",
    )
    .unwrap();
    let at = |rise: f64| {
        let facts = Facts::new().number("hook spacing", 25.0, "m").number("hook elevation difference", rise, "m");
        tilt.ask(Question::TiltFromElevation, &facts)
    };
    // arcsin 0.04 = 0.04 + 0.04³/6 + 3·0.04⁵/40 + … rad
    near(&at(1.0), 0.04 + 0.04f64.powi(3) / 6.0 + 3.0 * 0.04f64.powi(5) / 40.0 + 15.0 * 0.04f64.powi(7) / 336.0);
    near(&at(12.5), std::f64::consts::FRAC_PI_6);
    let Answer::OutsideRange { reading, .. } = at(26.0) else { panic!("{:?}", at(26.0)) };
    assert_eq!(reading.name, "tilt");
    let share = set(
        "answers = \"hook share\"\nrelation = \"steps\"\ninput = [{ fact = \"tilt\", unit = \"deg\" }]\n\
         steps = [{ symbol = \"s\", name = \"sine\", sine = \"tilt\", angle_unit = \"deg\" }, \
         { symbol = \"c\", name = \"cosine\", cosine = \"tilt\", angle_unit = \"deg\" }, \
         { symbol = \"q\", name = \"square\", times = [\"s\", \"s\"] }, { symbol = \"a\", name = \"root\", square_root = \"q\" }, \
         { symbol = \"d\", name = \"difference\", sum = [1], less = [\"c\", \"a\"] }, \
         { symbol = \"b\", name = \"half\", times = [\"d\"], divided_by = [-0.5] }]",
    )
    .unwrap();
    // 1 less cos 60° less sin 60°, times −2
    near(&share.ask(Question::HookShare, &Facts::new().number("tilt", 60.0, "deg")), -2.0 * (0.5 - 3f64.sqrt() / 2.0));
}

#[test]
fn steps_that_cannot_be_used_are_refused() {
    let with = |steps: &str| format!("{HOLE}steps = [{steps}]");
    let first = "{ symbol = \"a\", name = \"a\", sum = [\"pin diameter\", 2] }";
    let then = |step: &str| with(&format!("{first}, {step}"));
    refused(&with(""), "malformed", "/steps");
    refused(HOLE, "missing", "/steps");
    refused(&then("{ symbol = \"a\", name = \"b\", sum = [\"a\"] }"), "duplicate_name", "/steps/1/symbol");
    refused(&then("{ symbol = \"pin diameter\", name = \"b\", sum = [\"a\"] }"), "duplicate_name", "/steps/1/symbol");
    refused(&then("{ symbol = \"b\", name = \"b\", sum = [\"b\"] }"), "unknown_name", "/steps/1/sum/0");
    refused(&then("{ symbol = \"b\", name = \"b\", sum = [\"hole diameter\"] }"), "unknown_name", "/steps/1/sum/0");
    refused(&then("{ symbol = \"b\", name = \"b\", sum = [2] }"), "inconsistent", "/steps/0");
    refused(&then("{ symbol = \"b\", name = \"b\" }"), "malformed", "/steps/1");
    refused(&then("{ symbol = \"b\", name = \"b\", sum = [\"a\"], times = [2] }"), "malformed", "/steps/1");
    refused(&then("{ symbol = \"b\", name = \"b\", times = [\"a\"], less = [2] }"), "inconsistent", "/steps/1/less");
    refused(
        &then("{ symbol = \"b\", name = \"b\", sum = [\"a\"], divided_by = [2] }"),
        "inconsistent",
        "/steps/1/divided_by",
    );
    refused(&then("{ symbol = \"b\", name = \"b\", sine = \"a\" }"), "missing", "/steps/1/angle_unit");
    refused(
        &then("{ symbol = \"b\", name = \"b\", sine = \"a\", angle_unit = \"mm\" }"),
        "wrong_unit",
        "/steps/1/angle_unit",
    );
    refused(
        &then("{ symbol = \"b\", name = \"b\", sum = [\"a\"], angle_unit = \"deg\" }"),
        "inconsistent",
        "/steps/1/angle_unit",
    );
    refused(
        &then("{ symbol = \"b\", name = \"b\", sine = \"pin diameter\", angle_unit = \"deg\" }"),
        "inconsistent",
        "/steps/1/sine",
    );
    refused(&then("{ symbol = \"b\", name = \"b\", sums = [\"a\"] }"), "unknown_key", "/steps/1/sums");
    refused(&then("{ name = \"b\", sum = [\"a\"] }"), "missing", "/steps/1/symbol");
    let radians = "answers = \"hook share\"\nrelation = \"steps\"\ninput = [{ fact = \"tilt\", unit = \"rad\" }]\n\
                   steps = [{ symbol = \"s\", name = \"sine\", sine = \"tilt\", angle_unit = \"deg\" }]";
    refused(radians, "inconsistent", "/steps/0/sine");
    // A step without a value is no answer, even where the last one would have one.
    let rules = set(&with(
        "{ symbol = \"n\", name = \"below zero\", sum = [1], less = [\"pin diameter\"] }, \
         { symbol = \"r\", name = \"root\", square_root = \"n\" }, { symbol = \"g\", name = \"g\", greatest = [5, \"r\"] }",
    ))
    .unwrap();
    let answer = rules.ask(Question::PinHoleDiameter, &Facts::new().number("pin diameter", 9.0, "mm"));
    let Answer::OutsideRange { reading, .. } = answer else { panic!("{answer:?}") };
    assert_eq!(reading.name, "root");
}

#[test]
fn units_of_the_trade() {
    let force = |unit: &str| {
        let rules =
            set(&format!("answers = \"proof load\"\nrelation = \"constant\"\nvalue = 3\nunit = \"{unit}\"")).unwrap();
        rules.ask(Question::ProofLoad, &Facts::new()).value().unwrap()
    };
    let pound = 0.453_592_37 * 9.806_65;
    for (unit, newtons) in [
        ("kgf", 9.806_65),
        ("tf", 9806.65),
        ("lbf", pound),
        ("kip", 1000.0 * pound),
        ("short tonf", 2000.0 * pound),
        ("long tonf", 2240.0 * pound),
    ] {
        assert!((force(unit) / (3.0 * newtons) - 1.0).abs() < 4e-16, "{unit}: {}", force(unit));
    }
    let stress = "answers = \"elastic modulus\"\nrelation = \"constant\"\nvalue = 36\nunit = \"ksi\"";
    let found = set(stress).unwrap().ask(Question::ElasticModulus, &Facts::new()).value().unwrap();
    assert!((found / (36_000.0 * pound / (0.0254 * 0.0254)) - 1.0).abs() < 4e-16, "{found}");
    for unit in ["ton", "tons", "cwt", "T"] {
        refused(
            &format!("answers = \"proof load\"\nrelation = \"constant\"\nvalue = 3\nunit = \"{unit}\""),
            "wrong_unit",
            "/unit",
        );
    }
}

#[test]
fn a_rule_for_a_kind_holds_for_what_is_of_it() {
    let factor = |when: &str| {
        set(&format!("answers = \"wear factor\"\nrelation = \"constant\"\nvalue = 1.1\nwhen = {{ {when} }}")).unwrap()
    };
    let speaks = |rules: &RuleSet, fact: &str, word: &str| {
        rules.ask(Question::WearFactor, &Facts::new().word(fact, word)).value().is_some()
    };
    for (fact, named, stated, holds) in [
        ("grade", "80", "8", true),
        ("grade", "8", "80", true),
        ("grade", "10", "100", true),
        ("grade", "80", "10", false),
        ("grade", "80", "4", false),
        ("core", "steel", "IWRC", true),
        ("core", "IWRC", "steel", false),
        ("termination", "mechanical splice", "steel ferrule", true),
        ("termination", "mechanical splice", "aluminum ferrule", true),
        ("termination", "aluminum ferrule", "mechanical splice", false),
        ("termination", "mechanical splice", "hand splice", false),
        ("termination", "mechanical splice", "swaged fitting", false),
        ("material", "natural fiber", "manila", true),
        ("material", "manila", "natural fiber", false),
        ("material", "other fiber", "natural fiber", true),
        ("material", "other fiber", "polyester", false),
    ] {
        assert_eq!(speaks(&factor(&format!("{fact} = \"{named}\"")), fact, stated), holds, "{fact}: {named}, {stated}");
    }
    let answer = factor("grade = \"80\"").ask(Question::WearFactor, &Facts::new().word("grade", "8"));
    assert_eq!(answer.ruled().unwrap().inputs()[0].value, "8", "as stated");
    let rows = |first: &str, second: &str| {
        format!(
            "answers = \"wear factor\"\nrelation = \"table\"\nrows = \"material\"\ncells = [[\"{first}\", 1.1], [\"{second}\", 1.2]]"
        )
    };
    refused(&rows("natural fiber", "manila"), "duplicate_name", "/cells/1/0");
    refused(&rows("manila", "natural fiber"), "duplicate_name", "/cells/1/0");
    set(&rows("manila", "nylon")).unwrap();
}

#[test]
fn a_kind_of_load_can_exclude_the_set() {
    let rules = set(
        "answers = \"applies to load\"\nwhen = { \"load kind\" = \"offshore container\" }\nrelation = \"does not apply\"\nwhy = \"no\"\n\
         [[rule]]\nname = \"y\"\nsource = \"s\"\nclause = \"2\"\nanswers = \"wear factor\"\nrelation = \"constant\"\nvalue = 1.1",
    )
    .unwrap();
    let ask = |kind: &str| rules.ask(Question::WearFactor, &Facts::new().word("load kind", kind));
    assert_eq!(ask("general").value(), Some(1.1));
    assert!(matches!(ask("offshore container"), Answer::DoesNotApply { .. }));
}

#[test]
fn every_source_keeps_its_note() {
    let rules = set("answers = \"marking\"\nrelation = \"applies\"").unwrap();
    let notes: Vec<Option<&str>> = rules.source_notes().map(|note| note.map(|note| note.as_str())).collect();
    assert_eq!(notes, [Some("invented")]);
}

#[test]
fn the_severer_side_follows_the_meaning() {
    let of = |side: Severer| Question::ALL.iter().filter(move |question| question.severer() == side);
    for question in Question::ALL {
        let name = question.name();
        // A least or greatest allowed value is severer the nearer it comes to the other.
        let expected = match name.split(' ').next().unwrap() {
            "least" | "lowest" => Some(Severer::Greatest),
            "greatest" | "highest" => Some(Severer::Least),
            _ => None,
        };
        assert!(expected.is_none_or(|expected| question.severer() == expected), "{name}");
    }
    println!(
        "severer: {} least, {} greatest, {} neither",
        of(Severer::Least).count(),
        of(Severer::Greatest).count(),
        of(Severer::Neither).count()
    );
    let names: std::collections::BTreeSet<_> = Question::ALL.iter().map(|question| question.name()).collect();
    assert_eq!(names.len(), Question::ALL.len(), "every question has a name of its own");
}
