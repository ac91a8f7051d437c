//! What is marked on a sling: the one way to it for what is rated by its marking, and for what is rated otherwise and never bears
//! more.

use super::case::Case;
use super::marked;
use crate::arrangement::Hitch;
use crate::chain::{Acts, Chain, Term};
use crate::error::{Error, Place};
use crate::gear::{Portion, Rated, Sling};
use crate::rules::{Facts, Question};
use crate::source::{Citation, Source};
use crate::text::Text;

/// How much a figure may be above another that bounds it for being rounded: half a percent is no contradiction.
pub(crate) const ROUNDED: f64 = 1.005;

/// The source of the figures of its strength.
pub(super) fn source(case: &Case<'_>) -> Result<Text, Error> {
    let place = || case.place.child("strength").child("source");
    let what = format_args!("the source of the strength of \"{}\"", case.sling.name);
    case.sling.strength.source.required(what, "\"source\": \"tag and test certificate …\"", place).cloned()
}

/// The same where its strength has figures; one without a source bounds nothing, nor may it be left out of account. What the tag
/// alone shows has the tag for its source.
pub(super) fn source_of_stated(case: &Case<'_>) -> Result<Text, Error> {
    let strength = &case.sling.strength;
    if strength.is_marked() || strength.breaking_load.value().is_some() { source(case) } else { Ok(Text::fixed("tag")) }
}

/// Whether anything is marked on it: by its strength or by its tag.
pub(super) fn is_any(sling: &Sling) -> bool {
    sling.strength.is_marked() || of_tag(sling).is_some()
}

fn of_tag(sling: &Sling) -> Option<&Rated> {
    sling.tag.value().and_then(|tag| tag.wll.value())
}

/// A marked rating is for the sling as used; one quoted for a part would be out by a factor of two.
pub(super) fn whole_only(sling: &Sling, place: &Place) -> Result<(), Error> {
    let place = || place.child("strength").child("basis");
    let what = format_args!("whether the strength of \"{}\" is quoted for the whole sling or for one part", sling.name);
    match sling.strength.basis.required(what, "\"basis\": \"part\" or \"whole\", whichever it is", place)? {
        Portion::Whole => Ok(()),
        Portion::Part => {
            let what = "a working load limit quoted for one part of a sling; state the one for the whole sling";
            Err(Error::unsupported(what, place()))
        }
    }
}

/// What is marked for a straight pull, as the tag shows it where the strength does not say; of a part it is brought to the whole
/// as the breaking load is.
pub(super) fn straight(case: &Case<'_>, title: &Text, source: &Text, facts: &Facts) -> Result<Option<Chain>, Error> {
    static OF_TAG: Citation = Citation::stated("tag in the lift document");
    const NAME: &str = "working load limit as marked, straight pull";
    let sling = case.sling;
    let term = match (sling.strength.wll.value(), of_tag(sling)) {
        (Some(wll), _) => marked("WLL", NAME, wll, source),
        (None, Some(shown)) => {
            let term = Term::new("WLL", NAME, shown.force().si(), "N", Source::fixed(&OF_TAG));
            term.from_input("as marked", shown.text())
        }
        (None, None) => return Ok(None),
    };
    let chain = Chain::start(title.clone(), term);
    if sling.strength.basis.value() != Some(&Portion::Part) {
        return Ok(Some(chain));
    }
    let facts = facts.clone().word("part bearing", "fixed");
    Ok(Some(match case.said(Question::PartShare, &facts)? {
        Some(share) => chain.divided_by(share, Acts::OnForce),
        None => chain,
    }))
}

/// What is marked for a hitch other than a straight pull: of a basket for each of its legs, plumb.
pub(super) fn for_hitch(case: &Case<'_>, title: &Text, source: &Text) -> Option<Chain> {
    let strength = &case.sling.strength;
    let start = |name: &'static str, wll: &Rated| Chain::start(title.clone(), marked("WLL", name, wll, source));
    let basket =
        || strength.wll_basket.value().map(|wll| start("working load limit as marked, in a basket, legs plumb", wll));
    match case.hitch() {
        Hitch::Straight => None,
        Hitch::Choke(_) => strength.wll_choke.value().map(|wll| start("working load limit as marked, choked", wll)),
        Hitch::Doubled => basket(),
        Hitch::Basket => basket().map(|chain| chain.divided_by(two("two legs of a basket, plumb"), Acts::OnForce)),
    }
}

pub(super) fn two(name: &'static str) -> Term {
    static TWO: Citation = Citation::mechanics("both sides of a bight bear alike");
    Term::new("2", name, 2.0, "", Source::fixed(&TWO))
}

/// A rating, or the marking where that is lower.
pub(super) fn within(chain: Chain, marked: Option<Chain>) -> Chain {
    match marked {
        Some(marked) if marked.value() < chain.value() => lesser(chain, &marked),
        _ => chain,
    }
}

/// The lesser of a rating and that by marking, as a step.
pub(super) fn lesser(chain: Chain, marked: &Chain) -> Chain {
    let mut term = (*marked.base).clone();
    if !marked.steps.is_empty() {
        let straight = format!("{:.3} kN", term.value / 1e3);
        let name = term.name.clone();
        term = term.from_input(name, straight);
        term.name = "working load limit as marked, in the hitch at hand".into();
        term.value = marked.value();
    }
    chain.least_of(term, Acts::OnForce)
}

/// Refuses a figure for a straight pull, in N, that is above what the breaking load stated of the sling allows: one of both is wrong,
/// and nobody knows which.
pub(super) fn heeds_breaking_load(case: &Case<'_>, rated: f64, by: &str) -> Result<(), Error> {
    let sling = case.sling;
    let Some(breaking) = sling.strength.breaking_load.value() else { return Ok(()) };
    let parts = match sling.strength.basis.value() {
        Some(Portion::Part) => f64::from(sling.parts_side_by_side().unwrap_or(1)),
        _ => 1.0,
    };
    let factor = case.said(Question::DesignFactor, &case.straight().word("persons below", "no"))?;
    let allowed = parts * breaking.force().si() / factor.as_ref().map_or(1.0, |factor| factor.value);
    if rated <= allowed * ROUNDED {
        return Ok(());
    }
    let over = factor.map_or_else(String::new, |factor| format!(" over {} ({})", factor.value, factor.source));
    let what = format!(
        "the rating of \"{}\" by {by}, {:.3} kN in a straight pull, where its breaking load of {}{over} allows {:.3} kN: one of both is \
         wrong, or quoted for something else; state which gear it is after its certificate",
        sling.name,
        rated / 1e3,
        breaking.text(),
        allowed / 1e3,
    );
    Err(Error::unsupported(what, case.place.child("strength").child("breaking_load")))
}
