//! The calculation as plain text: verdict first, then figures, then where each comes from.

use super::cautions::{CAUTIONS, OUTSIDE_SCOPE};
use super::chains;
use super::figures::{millimeters_down, shown, tonnes_up, utilization};
use crate::chain::Chain;
use crate::checks::{Assessment, Category, Finding, LegFigures, Remedy, Verdict};
use crate::demand::ForceSource;
use std::fmt::{self, Write};

/// The report of an assessment. The same assessment gives the same text, byte for byte.
///
/// ```
/// use rigging_core::{arrangement::Lift, report, rules::RuleSet};
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid-round-edge.json"))?;
/// let assessment = lift.assess(&RuleSet::built_in("us-general")?)?;
/// let text = report::text(&assessment, &assessment.remedy(&lift)?);
/// assert!(text.starts_with("verdict: pass"));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn text(assessment: &Assessment, remedy: &Remedy) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail; the type of `write!` says otherwise.
    let written = write(&mut out, assessment, remedy);
    debug_assert!(written.is_ok());
    out
}

fn write(out: &mut String, assessment: &Assessment, remedy: &Remedy) -> fmt::Result {
    let rules = &assessment.rules;
    writeln!(out, "verdict: {} — {}, rule set {}", assessment.verdict.words(), assessment.lift, rules.name)?;
    writeln!(out, "governed by: {}", governing(assessment))?;
    writeln!(out, "what would change it: {}", change(remedy))?;
    if let Some(source) = source_of_forces(&assessment.forces) {
        writeln!(out, "forces: {source}")?;
    }
    writeln!(out)?;
    legs(out, &assessment.legs, &assessment.forces)?;
    findings(out, &assessment.findings)?;
    all_chains(out, &assessment.findings)?;
    category(out, assessment.category.as_ref())?;
    writeln!(out, "Assumptions")?;
    for assumption in &assessment.assumptions {
        writeln!(out, "  - {}", assumption.text)?;
    }
    writeln!(out, "\nRule set")?;
    writeln!(out, "  {}: {}, {}; {}", rules.name, rules.title, rules.edition, rules.status)?;
    writeln!(out, "  content hash {}", rules.hash)?;
    if let Some(note) = &rules.note {
        writeln!(out, "  {note}")?;
    }
    for document in &rules.documents {
        writeln!(
            out,
            "  includes {}: {}; edition: {}; {}",
            document.name, document.title, document.edition, document.status
        )?;
        writeln!(out, "    content hash {}", document.hash)?;
    }
    writeln!(out, "\nLift document\n  content hash {}", assessment.lift_hash)?;
    writeln!(out, "\nCautions")?;
    for (_, caution) in CAUTIONS {
        writeln!(out, "  - {caution}")?;
    }
    writeln!(out, "\nOutside the scope of this calculation")?;
    for item in OUTSIDE_SCOPE {
        writeln!(out, "  - {item}")?;
    }
    Ok(())
}

fn category(out: &mut String, category: Option<&Category>) -> fmt::Result {
    let Some(Category { word, triggers }) = category else { return Ok(()) };
    writeln!(out, "Category of the lift: {}", word.as_deref().unwrap_or("not told"))?;
    for trigger in triggers {
        let state = trigger.state.words();
        writeln!(out, "  {state:<8} {} (leads to \"{}\"; {})", trigger.name, trigger.leads_to, trigger.source)?;
    }
    writeln!(out, "  A category asks for planning and persons; it switches no check off.\n")
}

fn governing(assessment: &Assessment) -> String {
    let Some(finding) = assessment.governing() else { return "nothing was checked".to_owned() };
    let clause = finding.source.as_ref().map(|source| format!("; {source}")).unwrap_or_default();
    match figures(finding) {
        Some(figures) => format!("{}: {}, {figures}{clause}", finding.item, finding.text),
        None => format!("{}: {}{clause}", finding.item, finding.text),
    }
}

fn figures(finding: &Finding) -> Option<String> {
    let (demand, capacity, ratio) = (finding.demand.as_ref()?, finding.capacity.as_ref()?, finding.utilization?);
    let (demand, capacity) = (shown(demand.value(), demand.unit()), shown(capacity.value(), capacity.unit()));
    Some(format!("{demand} of {capacity}, utilization {}", utilization(ratio)))
}

fn change(remedy: &Remedy) -> String {
    match remedy {
        Remedy::Add(missing) => {
            let mut items: Vec<String> =
                missing.iter().map(|input| format!("add {} at {}", input.add, input.place)).collect();
            items.dedup();
            items.join("; ")
        }
        Remedy::Passes { length_tolerance: Some(tolerance), capacity } => format!(
            "passes if every length is within {}, or with a WLL of {}",
            millimeters_down(*tolerance),
            tonnes_up(*capacity)
        ),
        Remedy::Passes { length_tolerance: None, capacity } => format!("passes with a WLL of {}", tonnes_up(*capacity)),
        Remedy::Holds { length_tolerance: Some(tolerance), capacity } => format!(
            "passes up to {} on every length, or down to a WLL of {}",
            millimeters_down(*tolerance),
            tonnes_up(*capacity)
        ),
        Remedy::Holds { length_tolerance: None, capacity } => {
            format!("passes down to a WLL of {}", tonnes_up(*capacity))
        }
        Remedy::Other(text) => text.clone(),
    }
}

/// Where the forces were taken from, unless from what was attained at the vertices.
fn source_of_forces(forces: &ForceSource) -> Option<String> {
    match forces {
        ForceSource::AtVertices => None,
        ForceSource::Bounds { gap, parts } => {
            let gap = gap * 100.0;
            Some(format!("bounds over the tolerances, looked for to a gap of {gap} % with at most {parts} pieces"))
        }
        ForceSource::Rule { rule } => {
            let claim = if rule.conservative { "claims" } else { "does not claim" };
            Some(format!("the rule \"{}\" ({}), which {claim} that no leg carries more", rule.name, rule.source))
        }
    }
}

fn legs(out: &mut String, legs: &[LegFigures], forces: &ForceSource) -> fmt::Result {
    if legs.is_empty() {
        return writeln!(out, "No leg forces: the equilibrium could not be set up.\n");
    }
    let width = legs.iter().map(|leg| leg.name.chars().count()).fold(3, usize::max);
    let taken = match forces {
        ForceSource::AtVertices => legs.iter().any(|leg| leg.taken.is_some()).then_some("taken kN"),
        ForceSource::Bounds { .. } => Some("bound kN"),
        ForceSource::Rule { .. } => Some("by rule kN"),
    };
    let column = |text: &str| if taken.is_some() { format!("  {text:>10}") } else { String::new() };
    writeln!(
        out,
        "{:<width$}  {:>10}  {:>10}{}  {:>10}  {:>11}  {:>13}  {:>15}",
        "leg",
        "nominal kN",
        "worst kN",
        column(taken.unwrap_or_default()),
        "allowed kN",
        "utilization",
        "from vertical",
        "from horizontal"
    )?;
    let kilonewtons = |value: f64| format!("{:.2}", value / 1e3);
    let unknown = || "unknown".to_owned();
    for leg in legs {
        let vertical = leg.angle_from_vertical.to_degrees();
        writeln!(
            out,
            "{:<width$}  {:>10}  {:>10}{}  {:>10}  {:>11}  {:>9.2} deg  {:>11.2} deg",
            leg.name,
            kilonewtons(leg.nominal),
            kilonewtons(leg.worst),
            column(&leg.taken.map_or_else(|| "none".to_owned(), kilonewtons)),
            leg.allowed.map_or_else(unknown, kilonewtons),
            leg.utilization.map_or_else(unknown, utilization),
            vertical,
            90.0 - vertical
        )?;
    }
    match forces {
        ForceSource::AtVertices if taken.is_some() => writeln!(
            out,
            "worst: the largest attained at a vertex of the tolerances, not a bound; taken: what stands against the allowed in its \
             place (at rest, of all legs at a point, or with factors on shares); angles: the flattest.\n"
        ),
        ForceSource::AtVertices => {
            writeln!(
                out,
                "worst: the largest attained at a vertex of the tolerances, not a bound; angles: the flattest.\n"
            )
        }
        ForceSource::Bounds { .. } => writeln!(
            out,
            "worst: the largest found within the tolerances; bound: proven not to be exceeded, at stiffness and mass as \
             stated; angles: the flattest at a vertex.\n"
        ),
        ForceSource::Rule { .. } => writeln!(
            out,
            "worst: the largest attained at a vertex of the tolerances, not a bound; by rule: what checks of strength take; \
             angles: the flattest.\n"
        ),
    }
}

fn findings(out: &mut String, findings: &[Finding]) -> fmt::Result {
    writeln!(out, "Findings")?;
    for verdict in [Verdict::Fail, Verdict::CannotConclude, Verdict::Pass, Verdict::NotCovered] {
        for finding in findings.iter().filter(|finding| finding.verdict == verdict) {
            write!(out, "  {:<15} {:<20} {}: ", verdict.words(), finding.code.text(), finding.item)?;
            match figures(finding) {
                Some(figures) => writeln!(out, "{}, {figures}", finding.text)?,
                None => writeln!(out, "{}", finding.text)?,
            }
            if let Some(source) = &finding.source {
                writeln!(out, "{:38} {source}", "")?;
            }
            for input in &finding.missing {
                writeln!(out, "{:38} add {} at {}", "", input.add, input.place)?;
            }
        }
    }
    writeln!(out)
}

/// Each chain once: legs share one demand, and items of one kind may share a capacity.
fn all_chains(out: &mut String, findings: &[Finding]) -> fmt::Result {
    let mut seen: Vec<&Chain> = Vec::new();
    writeln!(out, "Chains")?;
    for chain in findings.iter().flat_map(|finding| finding.demand.iter().chain(&finding.capacity).map(AsRef::as_ref)) {
        if !seen.contains(&chain) {
            seen.push(chain);
            chains::write(out, chain)?;
        }
    }
    writeln!(out)
}
