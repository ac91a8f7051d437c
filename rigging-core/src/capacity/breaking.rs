//! Rating by the breaking load: divided by a design factor, or by partial factors.

use super::case::Case;
use super::marking::{self, two, within};
use super::{hitch, marked, reduction};
use crate::arrangement::Hitch;
use crate::chain::{Acts, Chain, Term};
use crate::error::Error;
use crate::gear::Portion;
use crate::rules::{Facts, Question};
use crate::source::{Citation, Source};
use crate::text::Text;

const MARKING: Text = Text::fixed("the marking");
const DOUBLED: &str = "the rating of a doubled sling from its breaking load, whose two lengths need not share alike";

/// The rating by the breaking load, in the hitch at hand, and never more than is marked for it: no document that was read lets a
/// sling bear more, and who marked it may have taken a greater factor.
pub(super) fn by_breaking_load(case: &Case<'_>, title: Text, source: &Text) -> Result<Chain, Error> {
    let facts = case.hitched();
    let design = case.said(Question::DesignFactor, facts)?;
    if design.is_none() && *case.hitch() == Hitch::Doubled {
        return Err(Error::unsupported(DOUBLED, case.place.clone()));
    }
    let of_hitch = marking::for_hitch(case, &MARKING, source);
    let straight = || marking::straight(case, &MARKING, source, facts);
    let chain = of_parts(case, title, source, facts)?;
    match design {
        Some(factor) => {
            let chain = match worse_of_ends(case, facts)? {
                Some(term) => chain.times(term, Acts::OnForce),
                None => chain,
            };
            let chain = within(chain.divided_by(factor, Acts::OnForce), straight()?);
            Ok(within(hitch::rated(case, chain)?, of_hitch))
        }
        None => {
            let factor = reduction::safety_factor(case)?;
            let marked = straight()?;
            let marked = match case.hitch() {
                Hitch::Doubled => marked.map(|chain| chain.times(two("two lengths of a doubled sling"), Acts::OnForce)),
                _ => marked,
            };
            let chain = within(chain.divided_by(factor, Acts::OnForce), marked);
            let chain = match case.hitch() {
                // Partial factors hold the bends, and the forces hold what a basket does to its two sides.
                Hitch::Straight | Hitch::Doubled | Hitch::Basket => chain,
                Hitch::Choke(_) => hitch::rated(case, chain)?,
            };
            Ok(within(chain, of_hitch))
        }
    }
}

/// The breaking load of the sling as it is used, from what it is quoted for.
fn of_parts(case: &Case<'_>, title: Text, source: &Text, facts: &Facts) -> Result<Chain, Error> {
    let (sling, strength) = (case.sling, case.place.child("strength"));
    let what =
        format_args!("the minimum breaking load of \"{}\", from which {} rates it,", sling.name, case.rules.title());
    let load = sling
        .strength
        .breaking_load
        .required(what, "\"breaking_load\": \"… t\"", || strength.child("breaking_load"))?;
    let what =
        format_args!("whether the breaking load of \"{}\" is quoted for the whole sling or for one part", sling.name);
    let basis = sling
        .strength
        .basis
        .required(what, "\"basis\": \"part\" or \"whole\", whichever it is", || strength.child("basis"))?;
    let chain = Chain::start(title, marked("MBL", "minimum breaking load", load, source));
    let turned = turns(case);
    let reeving = if turned { "doubled" } else { "straight pull" };
    let facts = facts.clone().word("reeving", reeving).word("part bearing", "fixed");
    let fraction = case.said(Question::GrommetPartFraction, &facts)?;
    let share = case.said(Question::PartShare, &facts)?;
    let parts = sling.parts_side_by_side();
    if (fraction.is_some() || share.is_some()) && parts.map_or(1, |parts| parts) > if turned { 1 } else { 2 } {
        return Err(of_more_than_two(case, &facts, fraction.as_ref()));
    }
    if fraction.is_some() && parts != Some(2) {
        let what = "the rating by its parts of a sling that has not two of them side by side";
        return Err(Error::unsupported(what, case.place.child("parts")));
    }
    // A sling of two parts is judged by them: what one is credited with, over the share that the busier one bears.
    let fraction = match (fraction, &share) {
        (Some(fraction), _) => Some(fraction.from_input("taken", "hung singly, on bearings that do not turn")),
        (None, Some(_)) if parts == Some(2) => Some(one_of_two()),
        (None, _) => None,
    };
    if let Some(fraction) = fraction {
        let chain = match basis {
            Portion::Whole => chain.times(fraction, Acts::OnForce),
            Portion::Part => chain,
        };
        return Ok(match share {
            Some(share) => chain.divided_by(share, Acts::OnForce),
            None => chain,
        });
    }
    if *basis == Portion::Part {
        let what = "a breaking load quoted for one part of a sling that the rule set does not treat by parts";
        return Err(Error::unsupported(what, strength.child("basis")));
    }
    Ok(chain)
}

/// Whether a sling turns round something between its ends, so that both its sides bear one load; what a choke goes round is no such
/// thing.
fn turns(case: &Case<'_>) -> bool {
    let speaks = |question| case.rules.has_rules_on(question);
    match case.hitch() {
        Hitch::Basket => true,
        Hitch::Straight if speaks(Question::PartShare) || speaks(Question::GrommetPartFraction) => {
            case.bends().iter().any(|bend| bend.between)
        }
        Hitch::Straight | Hitch::Doubled | Hitch::Choke(_) => false,
    }
}

fn one_of_two() -> Term {
    static HALF: Citation = Citation::mechanics("of what is quoted for both parts together, one is half");
    Term::new("1/2", "one of two parts side by side", 0.5, "", Source::fixed(&HALF))
}

/// Why a sling of which more than two parts bear has no rating by its parts: what the rule set says of such, and of a grommet what it
/// credits one part with.
fn of_more_than_two(case: &Case<'_>, facts: &Facts, fraction: Option<&Term>) -> Error {
    let credited = fraction.map_or_else(String::new, |fraction| {
        format!(", each credited with {} of the breaking load that is quoted ({})", fraction.value, fraction.source)
    });
    let what = format!("the rating of a sling of which more than two parts bear{credited}");
    let place = case.place.child("parts");
    match case.said(Question::PartShare, &facts.clone().word("part bearing", "more than two")) {
        Err(Error::Unsupported { what: why, .. }) => Error::unsupported(format!("{what}: {why}"), place),
        Err(other) => other,
        Ok(_) => Error::unsupported(what, place),
    }
}

/// What ends and bends leave of the breaking load: the worse of both, never their product.
fn worse_of_ends(case: &Case<'_>, facts: &Facts) -> Result<Option<Term>, Error> {
    let ends = case.said(Question::TerminationEfficiency, facts)?;
    let bending = facts.clone().word("taken from", "relation");
    let bending = reduction::worst_bend(case, &bending)?;
    let bending = bending.map(|term| {
        let source = Source::mechanics("1 over the bending factor");
        let left = Term::new("1/γb", "what the bend leaves", 1.0 / term.value, "", source);
        left.from_input(term.name, format!("{} ({})", term.value, term.source))
    });
    Ok(match (ends, bending) {
        (Some(ends), Some(bending)) if bending.value < ends.value => {
            Some(bending.instead_of(ends.name, ends.value, ends.source))
        }
        (Some(ends), Some(bending)) => Some(ends.instead_of(bending.name, bending.value, bending.source)),
        (ends, bending) => ends.or(bending),
    })
}
