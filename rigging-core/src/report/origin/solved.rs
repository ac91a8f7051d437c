//! Numbers that the solver or a search makes: figures of legs, of the certificate, of the remedy.

use super::chain::{utilization, whole};
use super::{Origin, same};
use crate::arrangement::Lift;
use crate::chain::{Input, Operation};
use crate::checks::{self, Assessment, LegFigures};
use crate::demand::Asks;
use crate::error::Error;
use crate::source::{SOLVED, Source};
use crate::text::Text;
use serde::Serialize;
use serde_json::Value;

/// A figure of a leg.
pub(super) fn of_leg(assessment: &Assessment, lift: &Lift, index: &str, figure: &str) -> Result<Option<Origin>, Error> {
    let index = index.parse::<usize>().ok();
    let (Some(at), Some(figures)) = (index, index.and_then(|index| assessment.legs.get(index))) else {
        return Ok(None);
    };
    let solved = |value: f64, unit: &'static str, what: &str| {
        solved(assessment, value, unit, [what, " of ", &*figures.name].into())
    };
    Ok(match figure {
        "nominal" => Some(solved(figures.nominal, "N", "tension at nominal lengths and center of gravity")),
        "worst" => {
            let origin = solved(figures.worst, "N", "largest tension attained within the tolerances");
            let extremes = assessment.demand.as_ref().and_then(|demand| demand.moving.legs.get(at));
            let attained = extremes.map(|extremes| input("attained at", extremes.attained.to_string()));
            Some(with(origin, attained))
        }
        "least" => Some(solved(figures.least, "N", "least tension over the vertices of the tolerances")),
        "angle_from_vertical" => Some(solved(
            figures.angle_from_vertical,
            "rad",
            "largest angle from vertical over the vertices of the tolerances",
        )),
        "taken" => match taken(assessment, at, figures)? {
            None => figures.taken.and_then(|taken| {
                let along = strengths(assessment, lift, at);
                let asked = along.iter().filter_map(|finding| finding.demand.as_deref());
                asked.map(whole).find(|origin| same(origin.value, taken))
            }),
            told => told,
        },
        "allowed" => figures.allowed.and_then(|allowed| {
            let along = strengths(assessment, lift, at);
            let capacities = along.iter().filter_map(|finding| finding.capacity.as_deref());
            capacities.map(whole).find(|origin| same(origin.value, allowed))
        }),
        "utilization" => figures.utilization.and_then(|ratio| {
            let along = strengths(assessment, lift, at);
            along.into_iter().filter_map(utilization).find(|origin| same(origin.value, ratio))
        }),
        _ => None,
    })
}

fn strengths<'a>(assessment: &'a Assessment, lift: &Lift, leg: usize) -> Vec<&'a checks::Finding> {
    lift.legs().nth(leg).map(|leg| checks::along(lift, &leg, &assessment.findings)).unwrap_or_default()
}

/// What checks take in place of the worst: a bound, or the force by a sharing rule; none of another force, such as that at rest.
fn taken(assessment: &Assessment, leg: usize, figures: &LegFigures) -> Result<Option<Origin>, Error> {
    let Some(taken) = figures.taken else { return Ok(None) };
    let asks: Option<&dyn Asks> = match (&assessment.by_rule, &assessment.demand) {
        (Some(by_rule), _) => Some(by_rule),
        (None, Some(demand)) => Some(demand),
        (None, None) => None,
    };
    let Some(asks) = asks else { return Ok(None) };
    Ok(Some(whole(&asks.leg(leg, &figures.name, false)?.chain)).filter(|origin| same(origin.value, taken)))
}

/// A number of the nominal certificate.
pub(super) fn of_certificate(assessment: &Assessment, pointer: &str) -> Option<Origin> {
    let certificate = &assessment.demand.as_ref()?.nominal;
    let below = pointer.strip_prefix("/certificate")?;
    let value = number(certificate, below)?;
    Some(solved(assessment, value, unit_of(below), words(below)))
}

/// How far bounds were to be looked for, or what a rule says of itself.
pub(super) fn of_forces(assessment: &Assessment, pointer: &str) -> Option<Origin> {
    let below = pointer.strip_prefix("/forces")?;
    let value = number(&assessment.forces, below)?;
    let source = Source::new("the call of the assessment", "", "", crate::source::Standing::Stated);
    Some(leaf(words(below), value, "", source))
}

/// A figure of what would change the verdict.
pub(super) fn of_remedy(assessment: &Assessment, lift: &Lift, pointer: &str) -> Result<Option<Origin>, Error> {
    let Some(below) = pointer.strip_prefix("/remedy") else { return Ok(None) };
    let Some(value) = number(&assessment.remedy(lift)?, below) else { return Ok(None) };
    let unit = if below.ends_with("length_tolerance") { "m" } else { "N" };
    let source = Source::mechanics("the assessment made again until its verdict turns");
    let from: Vec<Origin> = assessment.governing().and_then(utilization).into_iter().collect();
    Ok(Some(Origin {
        by: Some(Operation::Becomes).filter(|_| !from.is_empty()),
        from,
        ..leaf(words(below), value, unit, source)
    }))
}

/// A number that the equilibrium makes of the weight and of the lift as its document describes it.
fn solved(assessment: &Assessment, value: f64, unit: &'static str, what: Text) -> Origin {
    let weight = assessment.demand.as_ref().map(|demand| whole(&demand.weight.chain));
    let from: Vec<Origin> = weight.into_iter().collect();
    let origin = Origin {
        by: Some(Operation::Becomes).filter(|_| !from.is_empty()),
        from,
        ..leaf(what, value, unit, Source::fixed(&SOLVED))
    };
    let document = format!("\"{}\", content hash {}", assessment.lift, assessment.lift_hash);
    with(origin, Some(input("lengths, stiffness, places and tolerances", document)))
}

fn leaf(what: Text, value: f64, unit: &'static str, source: Source) -> Origin {
    Origin {
        what,
        symbol: Text::default(),
        value,
        unit: unit.into(),
        source,
        by: None,
        from: Vec::new(),
        inputs: Vec::new(),
        not_taken: Vec::new(),
    }
}

fn input(name: &'static str, value: String) -> Input {
    Input { name: name.into(), value: value.into() }
}

fn with(mut origin: Origin, input: Option<Input>) -> Origin {
    origin.inputs.extend(input);
    origin
}

/// The number at a pointer of a record.
fn number(record: &impl Serialize, pointer: &str) -> Option<f64> {
    serde_json::to_value(record).ok()?.pointer(pointer).and_then(Value::as_f64)
}

/// The keys of a pointer as words: "members 0 tension".
fn words(pointer: &str) -> Text {
    pointer.trim_start_matches('/').replace(['/', '_'], " ").into()
}

/// Unit of a number of a certificate, by the last key that is a name.
fn unit_of(pointer: &str) -> &'static str {
    let mut names = pointer.split('/').rev().filter(|key| key.parse::<usize>().is_err());
    match names.next().unwrap_or_default() {
        "tension" | "hooks" | "residual" => "N",
        "length" | "distance" | "center_of_gravity" | "position" | "joints" | "hook_in_body" => "m",
        "tilt" => "rad",
        "residual_moment" => "N·m",
        "complementarity" => "J",
        "eigenvalues" => "N/m",
        _ => "",
    }
}
