//! Small rule sets of one's own.

use proptest::prelude::*;

const HEAD: &str = r#"format = 1
name = "invented-yard"
title = "Rigging instruction of an invented yard"
edition = "first"
"#;
const IN_FORCE: &str = "status = \"in force\"\n";
const SUPERSEDED: &str = "status = \"superseded\"\nsuperseded_by = \"the next edition\"\n";
const SOURCE: &str = r#"
[[source]]
id = "instruction"
document = "Rigging instruction of an invented yard"
edition = "first"
standing = "stated"
"#;
const PLACE: &str = r#"
[[rule]]
answers = "applies to place"
name = "the yard"
when = { place = PLACE }
relation = "applies"
source = "instruction"
clause = "1"
"#;
const CONTINGENCY: &str = r#"
[[rule]]
answers = "weight contingency"
symbol = "c"
name = "contingency by mass basis"
relation = "table"
rows = "mass basis"
cells = [["weighed", WEIGHED], [["calculated", "not to exceed"], OTHER]]
source = "instruction"
clause = "2"
"#;
const DYNAMIC: &str = r#"
[[rule]]
answers = "dynamic factor"
symbol = "k"
name = "dynamic factor of the crane"
input = [{ fact = "gross weight", unit = "kg", at_most = HEAVY, policy = "heavier lifts need a plan of their own" }]
relation = "table"
rows = "gross weight"
row_lookup = "at most"
cells = [[LIGHT, GREATER], [HEAVY, LESS]]
source = "instruction"
clause = "3"
"#;
const EDGE: &str = r#"
[[rule]]
answers = "sharp edge ratio"
symbol = "R/t"
name = "edge radius in sling thicknesses below which an edge is sharp"
relation = "constant"
value = RATIO
source = "instruction"
clause = "4"
standing = "common practice"
"#;

/// Small rule sets as a firm would write them, in the form that
/// [`RuleSet::from_toml`](crate::rules::RuleSet::from_toml) reads: where they apply, a contingency, and with or without a
/// dynamic factor and a limit of sharp edges. The figures are invented.
pub fn rule_sets() -> impl Strategy<Value = String> {
    let contingency = (0..=10_u32, 0..=10_u32);
    let dynamic = (1..=20_u32, 1..=20_u32, 0..=20_u32, 0..=20_u32);
    let optional = (prop::option::of(dynamic), prop::option::of(5..=40_u32));
    (any::<bool>(), any::<bool>(), contingency, optional).prop_map(
        |(superseded, at_sea, (weighed, more), (dynamic, edge))| {
            let status = if superseded { SUPERSEDED } else { IN_FORCE };
            let place = if at_sea { r#"["inshore", "offshore"]"# } else { r#""onshore""# };
            let mut text = format!("{HEAD}{status}{SOURCE}");
            text.push_str(&PLACE.replace("PLACE", place));
            let filled = CONTINGENCY.replace("WEIGHED", &hundredths(weighed));
            text.push_str(&filled.replace("OTHER", &hundredths(weighed + more)));
            if let Some((light, heavier, factor, less)) = dynamic {
                let masses = DYNAMIC.replace("LIGHT", &(light * 500).to_string());
                let masses = masses.replace("HEAVY", &((light + heavier) * 500).to_string());
                let greater = masses.replace("GREATER", &hundredths(factor + less));
                text.push_str(&greater.replace("LESS", &hundredths(factor)));
            }
            if let Some(tenths) = edge {
                text.push_str(&EDGE.replace("RATIO", &format!("{:?}", f64::from(tenths) / 10.0)));
            }
            text
        },
    )
}

/// A factor of so many percent more than one, with a decimal point.
fn hundredths(percent: u32) -> String {
    format!("{:?}", f64::from(100 + percent) / 100.0)
}
