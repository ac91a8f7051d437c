//! Chokes: whether friction holds them where they were put.
//!
//! An inclined leg draws its choke along the load with H/V = tan β. What the turns press on the load and friction makes of
//! it is bounded from both sides. At the least, the tension falls from the standing part on as the capstan relation allows,
//! V·e^(−μφ), and friction along the load sums to μ·∫V·e^(−μφ)dφ = V·(1 − e^(−μθ)). At the most, the turns lie tight at V all
//! round, and it sums to μ·θ·V. The first turn bears on half of the round at least, up to the tangents to the choke point.

use super::{Code, Finding, MissingInput, Verdict};
use crate::arrangement::{Choke, Hitch, LegView, Lift, Passage};
use crate::chain::{Acts, Chain, Term};
use crate::demand::Demand;
use crate::error::Place;
use crate::gear::{Known, Material};
use crate::source::{Citation, SOLVED, Source};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// Where the angle comes from.
/// What friction holds.
static MECHANICS: Citation = Citation::mechanics(
    "capstan relation round the load, along it the friction of what bears; least friction as stated",
);

/// One finding a choke on whether it stays, and one on what is not looked at.
pub(super) fn compare(lift: &Lift, demand: &Demand) -> Vec<Finding> {
    let mut findings = Vec::new();
    for leg in lift.legs() {
        let Hitch::Choke(choke) = &leg.leg.hitch else { continue };
        let Some((index, passage)) = leg.passages().next() else { continue };
        let angle = demand.moving.legs.get(leg.index).map_or(f64::NAN, |leg| leg.from_vertical);
        // A load that tilts turns the leg against it by as much.
        let angle = angle + demand.moving.tilt;
        findings.push(stays(&leg, choke, passage, index, angle));
        let place = leg.place().child("path").child(index);
        let text = "not considered: what the load and its surface may bear under the turns of the choke";
        findings.push(Finding::new(Code::NotConsidered, Verdict::NotCovered, &leg.leg.name, place, text));
    }
    findings
}

fn stays(leg: &LegView<'_>, choke: &Choke, passage: &Passage, index: usize, angle: f64) -> Finding {
    let name = &leg.leg.name;
    let hitch = leg.place().child("hitch").child("choke");
    let lacking = |what: &str, add: &'static str, place: Place| {
        let what = format!("{what} of {name}");
        Finding::lacking(Code::Choke, name, MissingInput::new(what, add, place))
    };
    if choke.angle.is_unknown() {
        let what = "the angle at the choke point, which says where the eye sits,";
        return lacking(what, "\"angle\": \"… deg choke\"", hitch.child("angle"));
    }
    let Known::Value(wraps) = &choke.wraps else {
        return lacking("the number of turns round the load", "\"wraps\": …", hitch.child("wraps"));
    };
    let Known::Value(friction) = &passage.friction else {
        let hmpe = leg.slings().any(|(_, sling)| sling.material == Material::Hmpe);
        let what = match hmpe {
            true => "the least friction of HMPE on the load, which is low and is nowhere to be guessed,",
            false => "the least and greatest friction between sling and load",
        };
        let add = "\"friction\": { \"value\": [ …, … ], \"source\": \"…\" }";
        return lacking(what, add, leg.place().child("path").child(index).child("over").child("friction"));
    };
    let [least, _] = friction.value;
    let place = leg.place().child("path").child(index);
    if angle.is_nan() || angle >= FRAC_PI_2 {
        let text = "the leg is drawn along the load or is slack: nothing presses its choke on the load";
        return Finding::new(Code::Choke, Verdict::Fail, name, place, text);
    }
    let turns = TAU * f64::from(*wraps);
    let held = -(-least * (turns - PI)).exp_m1();
    let asked =
        Term::new("β", "angle of the leg from vertical and tilt of the load", angle, "rad", Source::fixed(&SOLVED));
    let base = Term::new(
        "arctan μ",
        "angle of the least friction as stated",
        least.atan(),
        "rad",
        Source::stated(&friction.source),
    )
    .from_input("μ", least.to_string());
    let words = "angle up to which friction holds at the least: arctan of the share 1 − e^(−μθ)";
    let term = Term::new("β held", words, held.atan(), "rad", Source::fixed(&MECHANICS))
        .from_input("turns round the load", wraps.to_string())
        .from_input("angle of contact θ at the least, less half of the first turn", format!("{:.3} rad", turns - PI))
        .from_input("share of the pull that friction holds", format!("{held:.4}"));
    let holds = Chain::start("the angle up to which friction holds", base).becomes(term, Acts::OnForce);
    let asked = Chain::start("angle at which the choke is drawn along the load", asked);
    let tight = least * turns;
    let finding = Finding::compared(Code::Choke, name, place, asked, holds);
    match finding.verdict {
        // Where turns that lie tight would hold it, it is not known to slide, nor to stay.
        Verdict::Fail if angle.tan() <= tight => {
            let text = format!(
                "the least friction holds {held:.3} of the pull where the turns lie loose and up to {tight:.3} where they lie \
                 tight, and {:.3} is asked: whether the choke slides along the load is not certain",
                angle.tan()
            );
            Finding { verdict: Verdict::CannotConclude, text: text.into(), utilization: None, ..finding }
        }
        Verdict::Fail => {
            let text = format!(
                "the choke slides along the load with its least friction: even turns that lie tight hold {tight:.3} of the \
                 pull, and {:.3} is asked",
                angle.tan()
            );
            Finding { text: text.into(), ..finding }
        }
        _ => finding,
    }
}
