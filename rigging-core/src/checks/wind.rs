//! Wind on the hung load: a steady push on one face, with what the document states and nothing else. Its pressure is stated, or
//! follows from a speed whose height and time of averaging are stated with the factor to a gust at the load.
//!
//! A push through the center of gravity turns the whole lift like a plumb line: every force grows as the resultant of weight and
//! push does, for one hook and but for the stretch of the legs, which is a little more under the resultant. A push that misses it
//! also tilts the load, which is not calculated. The lighter the load, the larger the angle: it is that of the mass as stated, and
//! of a load that may be lighter than that nothing passes.

use super::strengths::bearing;
use super::{Code, Finding, MissingInput, Verdict};
use crate::arrangement::{Lift, MassBasis, Wind};
use crate::chain::{Acts, Chain, Term};
use crate::demand::DesignWeight;
use crate::error::{Error, Place};
use crate::gear::{Cited, Known};
use crate::source::{Citation, Source};

static PLUMB: Citation = Citation::mechanics("a weight and a steady horizontal push in balance on one line");

/// Findings on the push of the wind; none where the document states no wind.
pub(super) fn compare(lift: &Lift, weight: &DesignWeight, findings: &[Finding]) -> Result<Vec<Finding>, Error> {
    let document = lift.document();
    let Known::Value(wind) = &document.environment.wind else { return Ok(Vec::new()) };
    let place = Place::root().child("environment").child("wind");
    let push = match push(wind, &place) {
        Ok(push) => push,
        Err(error) => return Ok(vec![Finding::from_error(Code::Wind, &document.name, error)?]),
    };
    let gravity = document.gravity.value().map_or(f64::NAN, |gravity| gravity.si());
    // What motion, contingency and the rules add would lower the angle; to the forces, which are those of the weight with all of
    // that, the push is set as they are.
    let lightest = Lightest::of(lift, gravity);
    let ratio = push.value() / (weight.static_mass.value() * gravity);
    let off_plumb = off_plumb(lift, wind, &place, &push, &lightest)?;
    let tilted = off_plumb.demand.as_deref().and_then(|angle| tilted(lift, angle, &lightest, findings));
    let mut found = vec![off_plumb];
    found.extend(tilted);
    found.extend(disagreeing(lift, wind, &place)?);
    found.push(raised(lift, wind, &place, [ratio, push.value() / lightest.weight], &lightest, findings)?);
    Ok(found)
}

/// The least weight at rest, in N, as far as the document states it: that of the mass as stated, without what is added.
struct Lightest {
    weight: f64,
    /// Whether the load may weigh less: nothing is known but what it does not exceed.
    may_be_lighter: bool,
}

impl Lightest {
    fn of(lift: &Lift, gravity: f64) -> Self {
        let mass = &lift.document().load.mass;
        let stated = mass.value.value().map_or(f64::NAN, |value| value.si());
        match mass.at_least.value() {
            Some(least) => Self { weight: least.value.si() * gravity, may_be_lighter: false },
            None => Self {
                weight: stated * gravity,
                may_be_lighter: mass.basis.value() != Some(&MassBasis::Weighed)
                    && mass.basis.value() != Some(&MassBasis::Calculated),
            },
        }
    }

    /// The same finding, which passes only where the load cannot be lighter than it was reckoned with.
    fn settles(&self, finding: Finding) -> Finding {
        if !self.may_be_lighter || finding.verdict != Verdict::Pass {
            return finding;
        }
        let what = "what the load weighs at least: the push turns a lighter one farther, and the mass is stated as not to exceed; it";
        let add = "\"at_least\": { \"value\": \"… t\", \"source\": \"…\" }";
        let place = Place::root().child("load").child("mass").child("at_least");
        let missing = MissingInput::new(what, add, place);
        let text = format!("{}: not concluded, since {} is not known", finding.text, missing.what);
        Finding { verdict: Verdict::CannotConclude, text: text.into(), missing: vec![missing], ..finding }
    }
}

/// The tilt of the load with the angle off plumb: hung from one hook, the load turns with its line. None where either is not held
/// against anything.
fn tilted(lift: &Lift, off_plumb: &Chain, lightest: &Lightest, findings: &[Finding]) -> Option<Finding> {
    let document = lift.document();
    if document.hooks.len() != 1 {
        return None;
    }
    let still = findings.iter().find(|finding| finding.code == Code::Tilt)?;
    let (asked, allowed) = (still.demand.as_deref()?, still.capacity.clone()?);
    let name = "angle of the hoist line off plumb in the wind";
    let turned = Term::new("angle", name, off_plumb.value(), "rad", Source::fixed(&PLUMB));
    let chain = Chain { quantity: "tilt away from the attitude as drawn, in the wind".into(), ..asked.clone() };
    let chain = chain.plus(turned, Acts::OnForce);
    let place = still.place.clone();
    Some(lightest.settles(Finding::compared(Code::Tilt, &document.load.name, place, chain, allowed)))
}

/// Two figures for one pressure may differ by this share: either is rounded. Common practice, no source.
const ROUNDED: f64 = 0.01;
static STREAM: Citation =
    Citation::mechanics("pressure of a stream of air brought to rest: half its density times the square of its speed");

/// Pressure times area times drag coefficient.
fn push(wind: &Wind, place: &Place) -> Result<Chain, Error> {
    let add = "\"face\": { \"value\": [\"… m\", \"… m\"], \"source\": \"…\" }";
    let face = wind.face.required("width and height of the face in the wind", add, || place.child("face"))?;
    let add = "\"drag_coefficient\": { \"value\": …, \"source\": \"…\" }";
    let drag = wind.drag_coefficient.required("the drag coefficient", add, || place.child("drag_coefficient"))?;
    let [width, height] = &face.value;
    let area = width.si() * height.si();
    let pressure = pressure(wind, place)?;
    let drag = Term::new("c", "drag coefficient", drag.value, "", cited(drag));
    let steady = Term::new("F", "pressure times area", pressure.value() * area, "N", cited(face))
        .from_input("width", width.text())
        .from_input("height", height.text());
    Ok(pressure.becomes(steady, Acts::OnForce).times(drag, Acts::OnForce))
}

/// The pressure as stated, or from the speed; of both the greater, which stands beside the other.
fn pressure(wind: &Wind, place: &Place) -> Result<Chain, Error> {
    let stated = stated(wind);
    if wind.speed.is_unknown() {
        let add = "\"pressure\": { \"value\": \"… Pa\", \"source\": \"…\" } (or \"speed\" and \"air_density\")";
        return stated.ok_or_else(|| Error::missing("the pressure of the wind", add, place.child("pressure")));
    }
    match (from_speed(wind, place), stated) {
        (Ok(chain), None) => Ok(chain),
        (Err(error), None) => Err(error),
        // What the speed lacks is told beside.
        (Err(_), Some(stated)) => Ok(stated),
        (Ok(chain), Some(stated)) => {
            let mut term = stated.base.as_ref().clone();
            if stated.value() < chain.value() {
                return Ok(chain.greatest_of(term, Acts::OnForce));
            }
            term = term.instead_of("pressure from the speed", chain.value(), Source::fixed(&STREAM));
            Ok(Chain::start(PUSH, term))
        }
    }
}

const PUSH: &str = "push of the wind on the load";

fn stated(wind: &Wind) -> Option<Chain> {
    let pressure = wind.pressure.value()?;
    let term = Term::new("q", "pressure of the wind, gusts included", pressure.value.si(), "Pa", cited(pressure))
        .from_input("as entered", pressure.value.text());
    Some(Chain::start(PUSH, term))
}

/// Half the density of the air times the square of the speed of a gust at the load.
fn from_speed(wind: &Wind, place: &Place) -> Result<Chain, Error> {
    let at = place.child("speed");
    let speed = wind.speed.required("the speed of the wind", "\"speed\": { … }", || at.clone())?;
    let what = "the height that the speed of the wind is stated for";
    let height = speed.height.required(what, "\"height\": \"… m\"", || at.child("height"))?;
    let what = "the time that the speed of the wind is averaged over";
    let time = speed.averaged_over.required(what, "\"averaged_over\": \"… s\"", || at.child("averaged_over"))?;
    let what = "the factor that makes the speed of the wind that of a gust at the load";
    let add = "\"to_gust_at_load\": { \"value\": …, \"source\": \"…\" } (1 where it is that already)";
    let factor = speed.to_gust_at_load.required(what, add, || at.child("to_gust_at_load"))?;
    let add = "\"air_density\": { \"value\": \"… kg/m3\", \"source\": \"…\" }";
    let density = wind.air_density.required("the density of the air", add, || place.child("air_density"))?;
    let base = Term::new("v", "speed of the wind", speed.value.si(), "m/s", Source::stated(&speed.source))
        .from_input("as entered", speed.value.text())
        .from_input("height", height.text())
        .from_input("averaged over", time.text());
    let gust = Term::new("k", "factor to a gust at the height of the load", factor.value, "", cited(factor));
    let chain = Chain::start(PUSH, base).times(gust, Acts::OnForce);
    let pressure = 0.5 * density.value.si() * chain.value() * chain.value();
    let name = "pressure of the wind, from the speed of a gust at the load";
    let term = Term::new("q", name, pressure, "Pa", Source::fixed(&STREAM))
        .from_input("density of the air", format!("{} ({})", density.value.text(), density.source));
    Ok(chain.becomes(term, Acts::OnForce))
}

/// What two figures for one pressure say: nothing where they agree, or where there is only one.
fn disagreeing(lift: &Lift, wind: &Wind, place: &Place) -> Result<Option<Finding>, Error> {
    let name = &lift.document().name;
    let Some(stated) = stated(wind) else { return Ok(None) };
    if wind.speed.is_unknown() {
        return Ok(None);
    }
    let from_speed = match from_speed(wind, place) {
        Ok(chain) => chain.value(),
        Err(error) => return Finding::from_error(Code::Wind, name, error).map(Some),
    };
    let stated = stated.value();
    if (stated - from_speed).abs() <= ROUNDED * stated.max(from_speed) {
        return Ok(None);
    }
    let text = format!(
        "the wind is stated twice and not alike: a pressure of {stated:.1} Pa, and {from_speed:.1} Pa from its speed; the greater \
         is taken"
    );
    let place = place.child("pressure");
    Ok(Some(Finding::new(Code::Wind, Verdict::CannotConclude, name, place, text)))
}

fn cited<T>(value: &Cited<T>) -> Source {
    Source::stated(&value.source)
}

fn off_plumb(lift: &Lift, wind: &Wind, place: &Place, push: &Chain, lightest: &Lightest) -> Result<Finding, Error> {
    let name = &lift.document().name;
    let place = place.child("allowed_off_plumb");
    let weight = lightest.weight;
    let angle = Term::new("angle", "angle off plumb", (push.value() / weight).atan(), "rad", Source::fixed(&PLUMB))
        .from_input("weight of the load at rest, nothing added", format!("{weight} N"));
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
    let limit = Chain::start("the allowed angle off plumb", limit);
    Ok(lightest.settles(Finding::compared(Code::Wind, name, place, asked, limit)))
}

/// What the push adds to hook load and leg forces, as far as it can be told; `ratios` are those of the push to the weight that made
/// the forces and to the least weight.
fn raised(
    lift: &Lift,
    wind: &Wind,
    place: &Place,
    ratios: [f64; 2],
    lightest: &Lightest,
    findings: &[Finding],
) -> Result<Finding, Error> {
    let [counted, ratio] = ratios;
    let document = lift.document();
    let name = &document.name;
    let said = |verdict, text: String| Finding::new(Code::Wind, verdict, name, place.clone(), text);
    let factor = counted.hypot(1.0);
    let tips = |finding: &&Finding| {
        let passes = finding.verdict == Verdict::Pass && bearing(finding).is_some();
        passes && finding.utilization.is_some_and(|utilization| utilization * factor > 1.0)
    };
    // Where the load sticks more than its weight pulls, and the push turns that less.
    let stuck = findings.iter().filter(|finding| finding.code == Code::Snag).find(tips);
    let tipped = findings.iter().filter(|finding| finding.code != Code::Snag).find(tips);
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
    if let Some(finding) = stuck {
        let text = format!(
            "not calculated: the push beside a load that sticks; by the factor {factor:.6} at most, which could take {} over its \
             capacity",
            finding.item
        );
        return Ok(said(Verdict::CannotConclude, text));
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
            Ok(lightest.settles(said(Verdict::Pass, text).after(cited(share))))
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
