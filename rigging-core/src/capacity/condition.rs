//! What temperature, moisture, sunlight and age leave of a rating.

use super::case::Case;
use crate::chain::{Acts, Chain, Term};
use crate::error::Error;
use crate::rules::Question;
use crate::source::Source;

/// The rating at the temperature and in the state of the gear: lowered where the rule set says so.
///
/// # Errors
/// [`Error::Missing`] for a temperature or a state that a rule needs; [`Error::Unsupported`] where the document gives no
/// rating at that temperature, or allows none.
pub(super) fn lowered(case: &Case<'_>, chain: Chain) -> Result<Chain, Error> {
    let chain = match by_temperature(case)? {
        Some(term) => chain.times(term, Acts::OnForce),
        None => chain,
    };
    let chain = match case.said(Question::WetFactor, case.hitched())? {
        Some(term) => chain.times(term, Acts::OnForce),
        None => chain,
    };
    Ok(match case.sling.sunlight.value() {
        Some(left) => {
            let name = "what sunlight and age leave of the strength, after its maker";
            let term = Term::new("s", name, left.value.si(), "", Source::stated(&left.source));
            chain.times(term.from_input("as entered", left.value.text()), Acts::OnForce)
        }
        None => chain,
    })
}

/// The lesser of what the lowest and the highest temperature leave.
fn by_temperature(case: &Case<'_>) -> Result<Option<Term>, Error> {
    let question = Question::TemperatureFactor;
    if !case.rules.has_rules_on(question) {
        return Ok(None);
    }
    let facts = case.hitched().clone().word("exposure", "at temperature");
    let Some(range) = case.temperature() else { return case.said(question, &facts) };
    // What says nothing where the temperature is not known says nothing at any.
    if !case.speaks_of(question, &facts) {
        return Ok(None);
    }
    let mut least: Option<Term> = None;
    for kelvin in range {
        let Some(term) = case.said(question, &facts.clone().at_temperature(kelvin))? else { continue };
        if term.value <= 0.0 {
            let what = format!("a rating at {:.0} °C, at which {} allows no use", kelvin - 273.15, term.source);
            return Err(Error::unsupported(what, case.place.clone()));
        }
        least = match least {
            Some(other) if other.value <= term.value => Some(other),
            _ => Some(term),
        };
    }
    // What leaves the whole rating is no step.
    Ok(least.filter(|term| term.value < 1.0))
}
