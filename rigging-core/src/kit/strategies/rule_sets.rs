//! Small rule sets of one's own.

use proptest::prelude::*;
use std::fmt::Write as _;

/// Small rule sets as a firm would write them, in the form that [`RuleSet::from_toml`](crate::rules::RuleSet::from_toml) reads:
/// where they apply, and one to three of contingency, dynamic factor and sharp edges. The figures are invented.
pub fn rule_sets() -> impl Strategy<Value = String> {
    let contingency = (0..=10_u32, 0..=10_u32);
    let dynamic = (1..=20_u32, 1..=20_u32, 0..=20_u32, 0..=20_u32);
    (any::<bool>(), any::<bool>(), contingency, prop::option::of(dynamic), prop::option::of(5..=40_u32)).prop_map(
        |(superseded, at_sea, (weighed, more), dynamic, edge)| {
            let mut text = String::from(HEAD);
            text.push_str(if superseded { "status = \"superseded\"\nsuperseded_by = \"the next edition\"\n" } else { "status = \"in force\"\n" });
            text.push_str(SOURCE);
            let place = if at_sea { "[\"inshore\", \"offshore\"]" } else { "\"onshore\"" };
            _ = write!(
                text,
                "\n[[rule]]\nanswers = \"applies to place\"\nname = \"the yard\"\nwhen = {{ place = {place} }}\nrelation = \"applies\"\nsource = \"instruction\"\nclause = \"1\"\n"
            );
            let hundredths = |percent: u32| f64::from(100 + percent) / 100.0;
            _ = write!(
                text,
                "\n[[rule]]\nanswers = \"weight contingency\"\nsymbol = \"c\"\nname = \"contingency by mass basis\"\nrelation = \"table\"\nrows = \"mass basis\"\ncells = [[\"weighed\", {:?}], [[\"calculated\", \"not to exceed\"], {:?}]]\nsource = \"instruction\"\nclause = \"2\"\n",
                hundredths(weighed),
                hundredths(weighed + more)
            );
            if let Some((light, heavier, factor, less)) = dynamic {
                let (light, heavy) = (light * 500, (light + heavier) * 500);
                _ = write!(
                    text,
                    "\n[[rule]]\nanswers = \"dynamic factor\"\nsymbol = \"k\"\nname = \"dynamic factor of the crane\"\ninput = [{{ fact = \"gross weight\", unit = \"kg\", at_most = {heavy}, policy = \"heavier lifts need a plan of their own\" }}]\nrelation = \"table\"\nrows = \"gross weight\"\nrow_lookup = \"at most\"\ncells = [[{light}, {:?}], [{heavy}, {:?}]]\nsource = \"instruction\"\nclause = \"3\"\n",
                    hundredths(factor + less),
                    hundredths(factor)
                );
            }
            if let Some(tenths) = edge {
                _ = write!(
                    text,
                    "\n[[rule]]\nanswers = \"sharp edge ratio\"\nsymbol = \"R/t\"\nname = \"edge radius in sling thicknesses below which an edge is sharp\"\nrelation = \"constant\"\nvalue = {:?}\nsource = \"instruction\"\nclause = \"4\"\nstanding = \"common practice\"\n",
                    f64::from(tenths) / 10.0
                );
            }
            text
        },
    )
}

const HEAD: &str =
    "format = 1\nname = \"invented-yard\"\ntitle = \"Rigging instruction of an invented yard\"\nedition = \"first\"\n";
const SOURCE: &str = "\n[[source]]\nid = \"instruction\"\ndocument = \"Rigging instruction of an invented yard\"\nedition = \"first\"\nstanding = \"stated\"\n";
