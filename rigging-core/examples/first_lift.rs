//! The lift of the README: read, hung, assessed.

use rigging_core::{arrangement::Lift, checks::Verdict, rules::RuleSet};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let text = std::fs::read_to_string("rigging-core/examples/lifts/generator-skid-round-edge.json")?;
    let lift = Lift::from_json(&text)?;

    let hang = lift.solve()?; // nominal lengths, center of gravity as stated
    let kilonewtons: Vec<String> = hang.members.iter().map(|leg| format!("{:.2}", leg.tension / 1e3)).collect();
    assert_eq!(kilonewtons, ["54.21", "69.12", "47.61", "32.64"]);

    let assessment = lift.assess(&RuleSet::built_in("us-general")?)?; // worst over the tolerances
    assert_eq!(assessment.verdict, Verdict::Pass);
    let governing = assessment.governing().and_then(|finding| finding.utilization);
    assert_eq!(governing.map(|ratio| format!("{ratio:.3}")).as_deref(), Some("0.881"));
    Ok(())
}
