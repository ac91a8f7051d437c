//! Slings: how tightly a bend is recommended, rope left clear between the ends, and the size of closed ones.

use super::super::by_itself::ByItself;
use super::super::{Code, Finding, MissingInput, Severity, Verdict};
use super::{Limit, at_least, dimension, limit, silent};
use crate::chain::{Acts, Chain, Term};
use crate::contact::Bend;
use crate::error::{Error, Place};
use crate::gear::{Construction, Measured, Sling};
use crate::quantity::{Entered, Length};
use crate::rules::{Answer, Question, RuleSet};
use crate::source::{DIMENSIONS, Source};
use crate::text::Text;

/// Checks every sling of every leg.
pub(super) fn compare(own: &ByItself<'_>, rules: &RuleSet, findings: &mut Vec<Finding>) -> Result<(), Error> {
    let questions = [
        Question::RecommendedBendRatio,
        Question::LeastClearLength,
        Question::LeastCircumference,
        Question::LeastCircumferenceInLays,
    ];
    if !questions.into_iter().any(|question| rules.has_rules_on(question)) {
        return Ok(());
    }
    let ByItself { lift, slings, bends, .. } = own;
    let ratios = slings.ask(rules, Question::RecommendedBendRatio);
    let between = slings.each(|facts| rules.ask(Question::RecommendedBendRatio, &facts.clone().bent_between()));
    let sizes = [Question::LeastClearLength, Question::LeastCircumference, Question::LeastCircumferenceInLays];
    let sizes = sizes.map(|question| (question, slings.ask(rules, question)));
    let mut bends = bends.iter();
    for leg in lift.legs() {
        for ((index, sling), bends) in leg.slings().zip(bends.by_ref()) {
            if let (Some(at_end), Some(between)) = (ratios.of(index), between.of(index))
                && !(silent(at_end) && silent(between))
            {
                recommended_bends(index, sling, bends, [at_end, between], findings)?;
            }
            let place = Place::root().child("slings").child(index);
            for (question, said) in &sizes {
                let Some(answer) = said.of(index).filter(|answer| !silent(answer)) else { continue };
                findings.extend(match question {
                    Question::LeastClearLength => clear_length(sling, &place, answer)?,
                    _ => round(sling, &place, *question, answer)?,
                });
            }
        }
    }
    Ok(())
}

/// Each bend against what is recommended, which decides nothing: where it is not met, or not known, that is told.
fn recommended_bends(
    index: usize,
    sling: &Sling,
    bends: &[Bend],
    [at_end, between]: [&Answer; 2],
    findings: &mut Vec<Finding>,
) -> Result<(), Error> {
    let place = Place::root().child("slings").child(index);
    let told = |finding: Finding| Finding {
        verdict: Verdict::NotCovered,
        severity: Severity::Notice,
        text: [&*finding.text, "; a recommendation, which decides nothing"].into(),
        // What decides nothing is no input to add.
        missing: Vec::new(),
        ..finding
    };
    let diameter = diameter(sling, &place);
    let mut lacking: Option<Finding> = None;
    for bend in bends {
        let item = Text::from([&*sling.name, " round ", &*bend.round]);
        let answer = if bend.between { between } else { at_end };
        let ratio = match limit(answer, Question::RecommendedBendRatio, &item, &place)? {
            Limit::None => continue,
            Limit::Open(finding) => {
                findings.push(told(finding));
                continue;
            }
            Limit::Set(term) => term,
        };
        findings.push(match (&diameter, &bend.diameter) {
            (Ok(diameter), Ok(bend)) => {
                let clause = ratio.source.clone();
                let needed = dimension("d", "diameter of the sling", diameter);
                let needed = Chain::start("recommended bend diameter", needed).times(ratio.clone(), Acts::OnForce);
                let there = Term::new("D", "diameter of the bend", *bend, "m", Source::fixed(&DIMENSIONS));
                let there = Chain::start("the diameter of the bend", there);
                match at_least(&item, &place, needed, there, &clause) {
                    finding if finding.verdict == Verdict::Pass => finding,
                    finding => told(finding),
                }
            }
            // The same at each of its bends.
            (Err(error), _) => match &lacking {
                Some(lacking) => lacking.alike(item, lacking.place.clone()),
                None => {
                    let found = told(Finding::from_error(Code::Geometry, item, error.clone())?);
                    lacking.insert(found).clone()
                }
            },
            (_, Err(error)) => told(Finding::from_error(Code::Geometry, item, error.clone())?),
        });
    }
    Ok(())
}

/// Rope left clear between the ends, a multiple of the diameter of the rope that the sling is made of.
fn clear_length(sling: &Sling, place: &Place, said: &Answer) -> Result<Option<Finding>, Error> {
    let item = Text::from([&*sling.name, ", clear length"]);
    let at = place.child("clear_length");
    let ratio = match limit(said, Question::LeastClearLength, &item, &at)? {
        Limit::None => return Ok(None),
        Limit::Open(finding) => return Ok(Some(finding)),
        Limit::Set(term) => term.clone(),
    };
    let what = format_args!("the rope left clear between the ends of \"{}\"", sling.name);
    let clear = sling.clear_length.required(what, "\"clear_length\": \"… m\"", || at.clone());
    let (diameter, clear) = match (diameter(sling, place), clear) {
        (Ok(diameter), Ok(clear)) => (diameter, clear),
        (Err(error), _) | (_, Err(error)) => return Finding::from_error(Code::Geometry, item, error).map(Some),
    };
    let clause = ratio.source.clone();
    let needed = Chain::start("least clear length", dimension("d", "diameter of the sling", diameter))
        .times(ratio, Acts::OnForce);
    let there = Chain::start("the clear length", dimension("l", "clear length between the ends", clear));
    let finding = at_least(&item, &at, needed, there, &clause);
    // The ropes that a cable is laid of or a braid is made of are thinner than it: what is enough for it is enough for them.
    let composed = matches!(sling.construction, Construction::CableLaidWireRope | Construction::BraidedRope);
    Ok(Some(if composed && finding.verdict == Verdict::Fail {
        let text = match sling.construction {
            Construction::BraidedRope => {
                "too short for the diameter of the braid; that of the ropes it is made of, which counts, is not in the document"
            }
            _ => {
                "too short for the diameter of the cable; that of the ropes it is laid of, which counts, is not in the document"
            }
        };
        Finding { verdict: Verdict::CannotConclude, text: text.into(), ..finding }
    } else {
        finding
    }))
}

/// Length round a closed sling, in diameters of its body or in lays.
fn round(sling: &Sling, place: &Place, question: Question, said: &Answer) -> Result<Option<Finding>, Error> {
    let item = Text::from([&*sling.name, ", ", question.name()]);
    let at = place.child("circumference");
    let ratio = match limit(said, question, &item, &at)? {
        Limit::None => return Ok(None),
        Limit::Open(finding) => return Ok(Some(finding)),
        Limit::Set(term) => term.clone(),
    };
    let base = match question {
        Question::LeastCircumferenceInLays => {
            let what = format_args!("the length of one lay of \"{}\"", sling.name);
            let lay = sling.lay_length.required(what, "\"lay_length\": \"… mm\"", || place.child("lay_length"));
            lay.map(|lay| dimension("p", "length of one lay", lay))
        }
        _ => diameter(sling, place).map(|across| dimension("d", "diameter of the body", across)),
    };
    let base = match base {
        Ok(base) => base,
        Err(error) => return Finding::from_error(Code::Geometry, item, error).map(Some),
    };
    let clause = ratio.source.clone();
    let needed = Chain::start("least circumference", base).times(ratio, Acts::OnForce);
    let what = format!("the length round \"{}\"", sling.name);
    let missing = MissingInput::new(what, "\"circumference\": \"… m\"", at.clone());
    Ok(Some(match circumference(sling) {
        Some((there, whole)) => {
            let finding = at_least(&item, &at, needed, Chain::start("the circumference", there), &clause);
            if whole || finding.verdict == Verdict::Pass {
                finding
            } else {
                let text = "twice its length alone is not enough, and how much more it measures round is not known";
                let verdict = Verdict::CannotConclude;
                Finding { verdict, text: text.into(), missing: vec![missing], ..finding }
            }
        }
        None => Finding { demand: Some(needed.into()), ..Finding::lacking(Code::Geometry, item, missing) },
    }))
}

/// The length round a closed sling, and whether it is that or only what it exceeds. Pulled straight between two pins it reaches
/// round both: it measures more than twice its length.
fn circumference(sling: &Sling) -> Option<(Term, bool)> {
    let name = "length round the sling";
    if let Some(stated) = sling.circumference.value() {
        return Some((dimension("C", name, stated), true));
    }
    let length = sling.length.value.value()?;
    match sling.length.measured.value()? {
        Measured::Circumference => Some((dimension("C", name, length), true)),
        Measured::Inside | Measured::BearingToBearing => {
            let term =
                dimension("2·L", "twice the length pulled straight, which is less than the length round", length);
            Some((Term { value: 2.0 * length.si(), ..term }, false))
        }
        Measured::WholeLeg => None,
    }
}

fn diameter<'a>(sling: &'a Sling, place: &Place) -> Result<&'a Entered<Length>, Error> {
    let what = format_args!("the diameter of \"{}\"", sling.name);
    sling.diameter.required(what, "\"diameter\": \"… mm\"", || place.child("diameter"))
}
