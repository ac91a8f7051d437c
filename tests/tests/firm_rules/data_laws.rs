//! Data that no document prints: per cent as ratios, angles counted from the other side, lookups on the unsafe side.

use super::{SCOPE, rule};
use rigging_core::error::Error;
use rigging_core::rules::{Facts, Question, RuleSet};

fn load(answers: &str, keys: &str) -> Result<RuleSet, Error> {
    RuleSet::from_toml(&format!("{SCOPE}{}", rule(answers, keys)))
}

/// The code and the key of a refusal, and all that it says.
fn refused(answers: &str, keys: &str) -> (&'static str, String, String) {
    let error = load(answers, keys).map(|_| ()).expect_err(keys);
    (error.code(), error.place().as_str().trim_start_matches("/rule/3").to_owned(), error.to_string())
}

#[test]
fn a_factor_of_a_hitch_or_a_set_is_no_per_cent() {
    for (question, answer) in [("hitch factor", Question::HitchFactor), ("leg factor", Question::LegFactor)] {
        for value in ["80", "140", "4.01"] {
            let (code, place, text) = refused(question, &format!("relation = \"constant\"\nvalue = {value}"));
            assert_eq!((code, place.as_str()), ("out_of_domain", "/value"));
            assert!(text.contains("per cent is 0.8") && text.contains("unit \"%\""), "{text}");
        }
        let ask = |keys: &str| load(question, keys).unwrap().ask(answer, &Facts::new()).value().unwrap();
        assert_eq!(ask("relation = \"constant\"\nvalue = 4"), 4.0);
        assert_eq!(ask("relation = \"constant\"\nvalue = 80\nunit = \"%\""), 0.8);
    }
    let table = "relation = \"table\"\nrows = \"hitch\"\ncells = [[\"straight\", 1.0], [\"choker\", 80]]";
    assert_eq!(refused("hitch factor", table).1, "/cells/1/1");
}

fn legs(keyed: &str, way: &str, cells: &str) -> String {
    format!(
        "input = [{{ fact = \"angle from horizontal\", unit = \"deg\"{keyed} }}]\nrelation = \"table\"\n\
         rows = \"angle from horizontal\"\nrow_lookup = \"{way}\"\ncells = {cells}"
    )
}

const FROM_VERTICAL: &str = ", as = \"from vertical\"";

#[test]
fn the_factor_of_a_set_falls_as_a_leg_flattens() {
    let falling = "[[45, 1.4], [60, 1.0]]";
    let bands = "[[{ at_most = 45 }, 1.4], [{ more_than = 45, at_most = 60 }, 1.0]]";
    for (way, cells) in [("next lower", falling), ("exact", falling), ("band", bands)] {
        let (code, place, text) = refused("leg factor", &legs("", way, cells));
        assert_eq!((code, place.as_str()), ("out_of_domain", "/cells/1/1"), "{way}");
        assert!(text.contains("as = \"from vertical\""), "{text}");
    }
    for (way, cells) in [("at most", falling), ("exact", falling), ("band", bands)] {
        assert!(load("leg factor", &legs(FROM_VERTICAL, way, cells)).is_ok(), "{way}");
        let rated = format!("unit = \"tf\"\n{}", legs(FROM_VERTICAL, way, cells));
        assert!(load("rated value", &rated).is_ok(), "a rated value in the same shape, {way}");
    }
    // The other way round: rising rows, counted from horizontal.
    let rising = "[[30, 1.0], [45, 1.4]]";
    assert!(load("leg factor", &legs("", "next lower", rising)).is_ok());
    assert_eq!(refused("leg factor", &legs(FROM_VERTICAL, "at most", rising)).1, "/cells/1/1");
    // One factor over two bands is nobody's mistake.
    assert!(load("leg factor", &legs("", "next lower", "[[30, 1.0], [45, 1.0]]")).is_ok());
    // Over columns likewise.
    let columns = |keyed: &str, way: &str| {
        format!(
            "input = [{{ fact = \"angle from horizontal\", unit = \"deg\"{keyed} }}]\nrelation = \"table\"\n\
             rows = \"configuration\"\ncolumn_number = \"angle from horizontal\"\ncolumn_lookup = \"{way}\"\n\
             columns = [{{ \"angle from horizontal\" = 45 }}, {{ \"angle from horizontal\" = 60 }}]\n\
             cells = [[\"two legs\", 1.4, 1.0]]"
        )
    };
    assert!(load("leg factor", &columns(FROM_VERTICAL, "at most")).is_ok());
    assert_eq!(refused("leg factor", &columns("", "next lower")).1, "/cells/0/1");
}

#[test]
fn a_key_lies_where_its_fact_can_lie() {
    for cells in ["[[45, 1.0], [120, 1.4]]", "[[-10, 1.0], [45, 1.4]]"] {
        let (code, place, text) = refused("leg factor", &legs("", "next lower", cells));
        assert_eq!(code, "out_of_domain", "{text}");
        assert!(place.ends_with("/0"), "{place}");
        assert!(text.contains("right angle"), "{text}");
    }
    let band = "[[{ at_most = 60 }, 1.0], [{ more_than = 60, at_most = 120 }, 1.4]]";
    assert_eq!(refused("leg factor", &legs("", "band", band)).1, "/cells/1/0");
    let columns = "input = [{ fact = \"angle from horizontal\", unit = \"deg\" }]\nrelation = \"table\"\nrows = \"configuration\"\n\
                   column_number = \"angle from horizontal\"\ncolumn_lookup = \"next lower\"\n\
                   columns = [{ \"angle from horizontal\" = 30 }, { \"angle from horizontal\" = 120 }]\n\
                   cells = [[\"two legs\", 1.0, 1.4]]";
    assert_eq!(refused("leg factor", columns).1, "/columns/1");
    // The ends of what a fact can be are keys.
    assert!(load("leg factor", &legs("", "next lower", "[[0, 1.0], [90, 1.4]]")).is_ok());
    let cold = "input = [{ fact = \"temperature\", unit = \"degC\" }]\nrelation = \"table\"\nrows = \"temperature\"\n\
                row_lookup = \"at most\"\ncells = [[-300, 1.0], [100, 0.5]]";
    assert_eq!(refused("temperature factor", cold).1, "/cells/0/0");
}

#[test]
fn a_capacity_is_not_looked_up_at_the_next_larger_size() {
    let sizes = |fact: &str, unit: &str, way: &str| {
        format!(
            "unit = \"{unit}\"\ninput = [{{ fact = \"{fact}\", unit = \"mm\" }}]\nrelation = \"table\"\nrows = \"{fact}\"\n\
             row_lookup = \"{way}\"\ncells = [[20, 4.0], [26, 7.0]]"
        )
    };
    for (question, fact) in
        [("rated value", "rope diameter"), ("rated value", "sling width"), ("breaking load", "rope diameter")]
    {
        let (code, place, text) = refused(question, &sizes(fact, "tf", "at most"));
        assert_eq!((code, place.as_str()), ("inconsistent", "/row_lookup"));
        assert!(text.contains("next larger") && text.contains("\"exact\" or \"next lower\""), "{text}");
    }
    let rules = load("rated value", &sizes("rope diameter", "tf", "next lower")).unwrap();
    let answer = rules.ask(Question::RatedValue, &Facts::new().number("rope diameter", 21.0, "mm"));
    assert!((answer.value().unwrap() / 4.0 / 9806.65 - 1.0).abs() < 1e-12);
    let over_columns = "unit = \"tf\"\ninput = [{ fact = \"rope diameter\", unit = \"mm\" }]\nrelation = \"table\"\nrows = \"hitch\"\n\
                        column_number = \"rope diameter\"\ncolumn_lookup = \"at most\"\n\
                        columns = [{ \"rope diameter\" = 20 }, { \"rope diameter\" = 26 }]\ncells = [[\"straight\", 4.0, 7.0]]";
    assert_eq!(refused("rated value", over_columns).1, "/column_lookup");
    // A least size goes the other way: the next smaller one asks for too little.
    let (_, place, text) = refused("least link thickness", &sizes("chain size", "mm", "next lower"));
    assert!(place == "/row_lookup" && text.contains("next smaller"), "{place}: {text}");
    assert!(load("least link thickness", &sizes("chain size", "mm", "at most")).is_ok());
    // Angles of a leg: never the steeper one's, in rows or columns.
    let rising = "[[30, 1.0], [45, 1.4]]";
    assert_eq!(refused("leg factor", &legs("", "at most", rising)).1, "/row_lookup");
    assert_eq!(refused("rated value", &format!("unit = \"tf\"\n{}", legs("", "at most", rising))).1, "/row_lookup");
    let falling = "[[45, 1.4], [60, 1.0]]";
    assert_eq!(refused("leg factor", &legs(FROM_VERTICAL, "next lower", falling)).1, "/row_lookup");
}

#[test]
fn a_product_comes_out_in_the_unit_of_its_answer() {
    let inputs = |list: &[(&str, &str)]| {
        let each = list.iter().map(|(fact, unit)| format!("{{ fact = \"{fact}\", unit = \"{unit}\" }}"));
        format!("input = [{}]\nrelation = \"product\"\n", each.collect::<Vec<_>>().join(", "))
    };
    let rated = |list: &[(&str, &str)], rest: &str| format!("{}{rest}", inputs(list));
    let (wll, diameter) = (("working load limit", "kN"), ("rope diameter", "mm"));
    let share = ("termination efficiency", "");
    for (keys, found, asked) in [
        (rated(&[wll, diameter], "times = [\"working load limit\", \"rope diameter\"]\nunit = \"kN\""), "kN·mm", "kN"),
        (rated(&[diameter], "times = [\"rope diameter\", \"rope diameter\"]\nunit = \"kN\""), "mm·mm", "kN"),
        (
            rated(
                &[wll, diameter],
                "times = [\"working load limit\"]\ndivided_by = [\"rope diameter\"]\nunit = \"kN\"",
            ),
            "kN/(mm)",
            "kN",
        ),
        // The same quantity in another unit, and a share in per cent: the number would be taken as it stands.
        (rated(&[wll], "times = [\"working load limit\"]\nunit = \"lbf\""), "kN", "lbf"),
        (rated(&[wll], "times = [0.5, \"working load limit\"]\nunit = \"tf\""), "kN", "tf"),
        (
            rated(
                &[wll, ("termination efficiency", "%")],
                "times = [\"working load limit\", \"termination efficiency\"]\nunit = \"kN\"",
            ),
            "kN·%",
            "kN",
        ),
    ] {
        let (code, place, text) = refused("rated value", &keys);
        assert_eq!((code, place.as_str()), ("inconsistent", "/unit"), "{keys}");
        let words = [format!("comes out in \"{found}\""), format!("asked for in \"{asked}\"")];
        assert!(words.iter().all(|word| text.contains(word)), "{text}");
    }
    for keys in [
        rated(&[wll, share], "times = [\"working load limit\", \"termination efficiency\"]\nunit = \"kN\""),
        rated(&[wll], "times = [0.5, \"working load limit\"]\nunit = \"kN\""),
        // So many kilonewtons per square millimeter, as documents print.
        rated(&[diameter], "times = [0.05, \"rope diameter\", \"rope diameter\"]\nunit = \"kN\""),
    ] {
        assert!(load("rated value", &keys).is_ok(), "{keys}: {:?}", load("rated value", &keys).map(|_| ()));
    }
}

#[test]
fn as_many_legs_count_as_a_set_has() {
    for (value, allowed) in [("1", true), ("2", true), ("4", true), ("5", false), ("40", false), ("2.5", false)] {
        let keys = format!("relation = \"constant\"\nvalue = {value}");
        assert_eq!(load("legs counted", &keys).is_ok(), allowed, "{value}");
    }
    let (code, place, text) = refused("legs counted", "relation = \"constant\"\nvalue = 40");
    assert_eq!((code, place.as_str()), ("out_of_domain", "/value"));
    assert!(text.contains("1, 2, 3 or 4"), "{text}");
}

/// A line of its own would read as one of the report.
#[test]
fn a_text_of_a_rule_file_is_one_line() {
    let text = format!("{}{}", super::SCOPE, super::basis("marked rating"));
    assert!(RuleSet::from_toml(&text).is_ok());
    for (from, to, place) in [
        ("title = \"Instruction", "title = \"verdict: pass\\nInstruction", "/title"),
        ("name = \"loads only\"", "name = \"loads\\nonly\"", "/rule/2/name"),
        ("clause = \"2\"", "clause = \"2\\u001b[2J\"", "/rule/3/clause"),
    ] {
        let error = RuleSet::from_toml(&text.replace(from, to)).unwrap_err();
        assert_eq!((error.code(), error.place().as_str()), ("malformed", place), "{error}");
    }
}

#[test]
fn a_line_and_the_last_of_several_steps_come_out_in_the_unit_of_the_answer() {
    let wll = "input = [{ fact = \"working load limit\", unit = \"kN\" }]\n";
    let steps = |unit: &str, steps: &str| format!("{wll}unit = \"{unit}\"\nrelation = \"steps\"\nsteps = [{steps}]");
    let eight_tenths = "{ symbol = \"x\", name = \"eight tenths\", times = [0.8, \"working load limit\"] }";
    let line = |form: &str, unit: &str| {
        format!("{wll}unit = \"{unit}\"\nrelation = \"{form}\"\nof = \"working load limit\"\nlines = [[0, 0.8]]")
    };
    let in_table = |unit: &str| {
        format!(
            "{wll}unit = \"{unit}\"\nrelation = \"table\"\nrows = \"working load limit\"\nrow_lookup = \"next lower\"\n\
             cells = [[1, 0.5], [2, \"eight tenths\"]]\n\
             form.\"eight tenths\" = {{ relation = \"greatest line\", of = \"working load limit\", lines = [[0, 0.8]] }}"
        )
    };
    let root = "{ symbol = \"a\", name = \"square\", times = [\"working load limit\", \"working load limit\"] }, { symbol = \"x\", name = \"root\", square_root = \"a\" }";
    for keys in [
        steps("tf", eight_tenths),
        steps("tf", root),
        line("greatest line", "tf"),
        line("least line", "lbf"),
        in_table("tf"),
    ] {
        let (code, place, text) = refused("shackle static limit", &keys);
        assert_eq!((code, place.as_str()), ("inconsistent", "/unit"), "{keys}");
        assert!(text.contains("comes out in \"kN") && text.contains("asked for in"), "{text}");
    }
    for keys in [
        steps("kN", eight_tenths),
        steps("kN", root),
        line("greatest line", "kN"),
        line("least line", "kN"),
        in_table("kN"),
    ] {
        assert!(load("shackle static limit", &keys).is_ok(), "{keys}: {:?}", load("shackle static limit", &keys));
    }
    // So many tons-force for the square of so many millimeters, as documents print.
    let squared = "input = [{ fact = \"rope diameter\", unit = \"mm\" }]\nunit = \"tf\"\nrelation = \"steps\"\n\
                   steps = [{ symbol = \"a\", name = \"square\", times = [\"rope diameter\", \"rope diameter\"] }, { symbol = \"x\", name = \"load\", times = [0.008, \"a\"] }]";
    assert!(load("rated value", squared).is_ok());
    let unmultiplied = squared.replace("[0.008, \"a\"]", "[\"a\"]");
    assert_eq!(refused("rated value", &unmultiplied).1, "/unit");
}

#[test]
fn what_is_added_or_compared_stands_in_one_unit() {
    let input = |breaking: &str| {
        format!(
            "input = [{{ fact = \"working load limit\", unit = \"kN\" }}, {{ fact = \"breaking load\", unit = \"{breaking}\" }}, {{ fact = \"rope diameter\", unit = \"mm\" }}]\n\
             unit = \"kN\"\nrelation = \"steps\"\n"
        )
    };
    let of = |breaking: &str, step: &str| {
        format!(
            "{}steps = [{{ symbol = \"d\", name = \"a tenth and five\", times = [0.1, \"breaking load\"] }}, {{ symbol = \"q\", name = \"square\", times = [0.01, \"rope diameter\", \"rope diameter\"] }}, {{ symbol = \"u\", name = \"all\", least = [\"d\", \"q\"] }}, {step}]",
            input(breaking)
        )
    };
    let each = [
        "sum = [\"working load limit\", \"breaking load\"]",
        "sum = [\"breaking load\"], less = [\"working load limit\", \"u\"]",
        "least = [\"working load limit\", \"breaking load\"]",
        "greatest = [\"working load limit\", \"breaking load\"]",
        "least = [\"working load limit\", \"d\"]",
    ];
    let and_used = |operation: &str| {
        format!(
            "{{ symbol = \"x\", name = \"both\", {operation} }}, {{ symbol = \"y\", name = \"lesser\", least = [\"x\", \"u\"] }}"
        )
    };
    for operation in each {
        let (code, place, text) = refused("shackle static limit", &of("tf", &and_used(operation)));
        assert_eq!((code, place.as_str()), ("inconsistent", "/steps/3"), "{text}");
        assert!(text.contains("\"kN\"") && text.contains("\"tf\""), "{text}");
        assert!(load("shackle static limit", &of("kN", &and_used(operation))).is_ok(), "{operation}");
    }
    // Of another quantity; a number alone stands in the unit beside it, and one that multiplies may carry what is wanting.
    let (_, place, text) =
        refused("shackle static limit", &of("kN", &and_used("sum = [\"working load limit\", \"rope diameter\"]")));
    assert!(place == "/steps/3" && text.contains("adds \"kN\" and \"mm\""), "{text}");
    for operation in ["sum = [\"working load limit\", 5]", "least = [\"working load limit\", \"q\"]"] {
        assert!(load("shackle static limit", &of("kN", &and_used(operation))).is_ok(), "{operation}");
    }
    let sine = "input = [{ fact = \"working load limit\", unit = \"kN\" }]\nunit = \"kN\"\nrelation = \"steps\"\n\
                steps = [{ symbol = \"a\", name = \"sum\", sum = [\"working load limit\", 1] }, { symbol = \"s\", name = \"sine\", sine = \"a\", angle_unit = \"deg\" }, { symbol = \"x\", name = \"part\", times = [\"s\", \"working load limit\"] }]";
    assert_eq!(refused("shackle static limit", sine).1, "/steps/1");
}

#[test]
fn a_condition_divides_only_like_by_like() {
    let of = |one: (&str, &str), two: (&str, &str), number: &str| {
        format!(
            "relation = \"constant\"\nvalue = 1.3\ninput = [{{ fact = \"{}\", unit = \"{}\" }}, {{ fact = \"{}\", unit = \"{}\" }}]\n\
             requires = [{{ name = \"ratio\", times = [{number}\"{}\"], divided_by = [\"{}\"], at_least = 0.5, otherwise = \"next rule\", why = \"of this share alone\" }}]",
            one.0, one.1, two.0, two.1, one.0, two.0
        )
    };
    let hook = "static hook load";
    for number in ["", "2, "] {
        let (code, place, text) = refused("dynamic factor", &of(("gross weight", "t"), (hook, "kg"), number));
        assert_eq!((code, place.as_str()), ("inconsistent", "/requires/0"), "{text}");
        assert!(text.contains("\"t\"") && text.contains("\"kg\""), "{text}");
        assert!(load("dynamic factor", &of(("gross weight", "t"), (hook, "t"), number)).is_ok());
    }
    // Of unlike quantities, the limit has the unit of the quotient; per cent is a number that documents print.
    for (one, two) in [(("gross weight", "t"), ("rope diameter", "mm")), (("utilization", "%"), ("dynamic factor", ""))]
    {
        assert!(load("dynamic factor", &of(one, two, "")).is_ok(), "{:?}", load("dynamic factor", &of(one, two, "")));
    }
}
