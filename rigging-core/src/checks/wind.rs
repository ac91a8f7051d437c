//! Wind on the hung load: a steady push on one face, with what the document states and nothing else.
//!
//! A push through the center of gravity turns the whole lift like a plumb line: every force grows as the resultant of weight and
//! push does, for one hook and but for the stretch of the legs, which is a little more under the resultant. A push that misses it
//! also tilts the load, which is not calculated.

use super::{Code, Finding, Verdict};
use crate::arrangement::{Lift, Wind};
use crate::chain::{Acts, Chain, Term};
use crate::demand::DesignWeight;
use crate::error::{Error, Place};
use crate::gear::{Cited, Known};
use crate::source::Source;

const PLUMB: &str = "a weight and a steady horizontal push in balance on one line";

/// Findings on the push of the wind; none where the document states no wind.
pub(super) fn compare(lift: &Lift, weight: &DesignWeight, findings: &[Finding]) -> Result<Vec<Finding>, Error> {
    let document = lift.document();
    let Known::Value(wind) = &document.environment.wind else { return Ok(Vec::new()) };
    let place = Place::root().child("environment").child("wind");
    let push = match push(wind, &place) {
        Ok(push) => push,
        Err(error) => return Ok(vec![Finding::from_error(Code::Wind, &document.name, error)?]),
    };
    // Motion that raises the weight would lower the angle: the push is set against the weight at rest.
    let gravity = document.gravity.value().map_or(f64::NAN, |gravity| gravity.si());
    let at_rest = weight.static_mass.value() * gravity;
    let ratio = push.value() / at_rest;
    let mut found = vec![off_plumb(lift, wind, &place, &push, at_rest)?];
    found.push(raised(lift, wind, &place, ratio, findings)?);
    Ok(found)
}

/// Pressure times area times drag coefficient.
fn push(wind: &Wind, place: &Place) -> Result<Chain, Error> {
    let add = "\"face\": { \"value\": [\"… m\", \"… m\"], \"source\": \"…\" }";
    let face = wind.face.required("width and height of the face in the wind", add, || place.child("face"))?;
    let add = "\"drag_coefficient\": { \"value\": …, \"source\": \"…\" }";
    let drag = wind.drag_coefficient.required("the drag coefficient", add, || place.child("drag_coefficient"))?;
    let add = "\"pressure\": { \"value\": \"… Pa\", \"source\": \"…\" }";
    let pressure = wind.pressure.required("the pressure of the wind", add, || place.child("pressure"))?;
    let [width, height] = &face.value;
    let area = width.si() * height.si();
    let pressure = Term::new("q", "pressure of the wind, gusts included", pressure.value.si(), "Pa", cited(pressure))
        .from_input("as entered", pressure.value.text());
    let drag = Term::new("c", "drag coefficient", drag.value, "", cited(drag));
    let steady = Term::new("F", "pressure times area", pressure.value * area, "N", cited(face))
        .from_input("width", width.text())
        .from_input("height", height.text());
    let chain = Chain::start("push of the wind on the load", pressure).becomes(steady, Acts::OnForce);
    Ok(chain.times(drag, Acts::OnForce))
}

fn cited<T>(value: &Cited<T>) -> Source {
    Source::stated(&value.source)
}

fn off_plumb(lift: &Lift, wind: &Wind, place: &Place, push: &Chain, weight: f64) -> Result<Finding, Error> {
    let name = &lift.document().name;
    let place = place.child("allowed_off_plumb");
    let angle = Term::new("angle", "angle off plumb", (push.value() / weight).atan(), "rad", Source::mechanics(PLUMB))
        .from_input("weight of the load at rest", format!("{weight} N"));
    let chain = Chain { quantity: "angle of the hoist line off plumb in the wind".into(), ..push.clone() };
    let asked = chain.becomes(angle, Acts::OnForce);
    let Known::Value(allowed) = &wind.allowed_off_plumb else {
        let text = format!("the wind pushes with {:.3} kN", push.value() / 1e3);
        let missing = Error::missing(
            "the angle off plumb that the crane allows",
            "\"allowed_off_plumb\": { \"value\": \"… deg\", \"source\": \"…\" }",
            place,
        );
        let finding = Finding::from_error(Code::Wind, name, missing)?;
        let text = format!("{}; {text}", finding.text).into();
        return Ok(Finding { demand: Some(asked.into()), text, ..finding });
    };
    let limit = Term::new("limit", "allowed angle off plumb", allowed.value.si(), "rad", cited(allowed))
        .from_input("as entered", allowed.value.text());
    Ok(Finding::compared(Code::Wind, name, place, asked, Chain::start("the allowed angle off plumb", limit)))
}

/// What the push adds to hook load and leg forces, as far as it can be told.
fn raised(lift: &Lift, wind: &Wind, place: &Place, ratio: f64, findings: &[Finding]) -> Result<Finding, Error> {
    let document = lift.document();
    let name = &document.name;
    let said = |verdict, text: String| Finding::new(Code::Wind, verdict, name, place.clone(), text);
    let factor = ratio.hypot(1.0);
    let forces = [
        Code::HookLoad,
        Code::CraneShare,
        Code::SlingStrength,
        Code::FittingStrength,
        Code::LiftPointStrength,
        Code::SpreaderCompression,
    ];
    let tipped = findings.iter().find(|finding| {
        let passes = finding.verdict == Verdict::Pass && forces.contains(&finding.code);
        passes && finding.utilization.is_some_and(|utilization| utilization * factor > 1.0)
    });
    let through_center = wind.above_center_of_gravity.value().is_some_and(|height| height.si() == 0.0);
    if document.hooks.len() > 1 || !document.spreaders.is_empty() {
        let text =
            format!("not calculated: what a push of {ratio:.4} of the weight does under several hooks or a spreader");
        return Ok(said(Verdict::CannotConclude, text));
    }
    if let Some(finding) = tipped {
        let text = format!(
            "the push raises every force by the factor {factor:.6} at least, and that takes {} over its capacity",
            finding.item
        );
        return Ok(said(Verdict::Fail, text));
    }
    if through_center {
        let text = format!(
            "quasi-static, through the center of gravity, tag lines not counted: every force is raised by the factor {factor:.6}, \
             which takes nothing over its capacity"
        );
        return Ok(said(Verdict::Pass, text));
    }
    match wind.negligible_share.value() {
        Some(share) if ratio <= share.value.si() => {
            let text = format!(
                "the push is {ratio:.4} of the weight, which is stated to be negligible up to {}; its moment about the center of \
                 gravity is left out of the leg forces",
                share.value.text()
            );
            Ok(said(Verdict::Pass, text).after(cited(share)))
        }
        Some(share) => {
            let text = format!(
                "not calculated: effect on leg forces of a push of {ratio:.4} of the weight that misses the center of gravity; \
                 stated to be negligible up to {}",
                share.value.text()
            );
            Ok(said(Verdict::CannotConclude, text))
        }
        None => {
            let what = "the share of the weight up to which the moment of the wind may be left out";
            let add = "\"negligible_share\": { \"value\": \"… %\", \"source\": \"…\" }";
            Finding::from_error(Code::Wind, name, Error::missing(what, add, place.child("negligible_share")))
        }
    }
}
