//! Rating by the breaking load: divided by a design factor, or by partial factors.

use super::case::Case;
use super::marking::{self, two, within};
use super::{hitch, marked, reduction};
use crate::arrangement::Hitch;
use crate::chain::{Acts, Chain, Term};
use crate::error::Error;
use crate::gear::Portion;
use crate::rules::{Facts, Question};
use crate::source::Source;
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
    let facts = facts.clone().word("reeving", "straight pull").word("part bearing", "fixed");
    if let Some(fraction) = case.said(Question::GrommetPartFraction, &facts)? {
        if sling.parts_side_by_side() != Some(2) {
            let what = "the rating by its parts of a sling that has not two of them side by side";
            return Err(Error::unsupported(what, case.place.child("parts")));
        }
        // A grommet is judged by its parts: what one is credited with, over the share that the busier one bears.
        let fraction = fraction.from_input("taken", "hung singly, on bearings that do not turn");
        let chain = match basis {
            Portion::Whole => chain.times(fraction, Acts::OnForce),
            Portion::Part => chain,
        };
        return Ok(match case.said(Question::PartShare, &facts)? {
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
