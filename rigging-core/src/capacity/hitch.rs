//! What a hitch leaves of the rating of a straight pull.
//!
//! A choke, a basket or a doubled sling is rated only where its tag or the rule set speaks of that hitch; silence is no
//! factor of 1.

use super::case::Case;
use super::marking;
use super::sling::{with_ends, with_share};
use crate::arrangement::Hitch;
use crate::chain::{Acts, Chain, Term};
use crate::error::{Error, Place};
use crate::rules::{AT_LIMIT, Facts, Question};
use crate::source::Source;
use crate::text::Text;

/// Angle of choke above which a choke is taken to sit as it does by itself, deg. The documents that look at the angle rate it in
/// full above this one (OSHA *Guidance on Safe Sling Use*, Tables 1 and 3, for chain; ASME B30.9 as quoted, for webbing and
/// roundslings); for other gear, and under sets that name no angle: common practice, no source.
const BY_ITSELF: f64 = 120.0;
/// Angle from vertical up to which the legs of a basket are plumb where the rule set names none, rad: rounding only.
const PLUMB: f64 = 1e-9;
const DOUBLED: &str = "the rating of a doubled sling, whose bight bends and whose two lengths need not share alike";

/// The rating by what is marked: for the hitch at hand, from which no step leads through a straight pull, else for a straight pull
/// with what the hitch leaves of it. None where nothing is marked.
pub(super) fn by_marking(case: &Case<'_>, title: &Text, source: &Text) -> Result<Option<Chain>, Error> {
    let straight = || marking::straight(case, title, source, case.hitched());
    let of_hitch = marking::for_hitch(case, title, source);
    match (of_hitch, case.hitch()) {
        (Some(chain), Hitch::Choke(_)) => marked_choke(case, chain, title, source).map(Some),
        (Some(chain), Hitch::Basket) => bent_enough(case, marked_basket(case, chain, straight()?)?).map(Some),
        (of_hitch, _) => {
            let straight = straight()?.map(|chain| rated(case, chain)).transpose()?;
            Ok(straight.map(|chain| marking::within(chain, of_hitch)))
        }
    }
}

/// The rating in the hitch at hand of a sling whose straight rating is `chain`.
pub(super) fn rated(case: &Case<'_>, chain: Chain) -> Result<Chain, Error> {
    match case.hitch() {
        Hitch::Straight => Ok(chain),
        Hitch::Choke(_) => choked(case, chain),
        Hitch::Basket => {
            let rated = basket(case, chain)?;
            bent_enough(case, rated.ok_or_else(|| unmarked(case, "in a basket", "wll_basket"))?)
        }
        Hitch::Doubled => doubled(case, chain),
    }
}

/// The rating of a table that is printed for the hitch at hand; none where none is.
pub(super) fn tabulated(case: &Case<'_>, title: &Text) -> Result<Option<Chain>, Error> {
    let of_table =
        |ends| case.said_of_hitch(Question::RatedValue, |facts| with_ends(facts.word("taken from", "table"), ends));
    let Some((term, share)) = case.tabulated(of_table)? else { return Ok(None) };
    let chain = with_share(Chain::start(title.clone(), term), share);
    match case.hitch() {
        Hitch::Choke(_) => by_choke_angle(case, chain).map(Some),
        Hitch::Basket => bent_enough(case, inclined(case, chain)).map(Some),
        Hitch::Straight | Hitch::Doubled => Ok(Some(chain)),
    }
}

/// What is marked for a choke. It holds for the angle that a choke takes by itself: at a smaller one by what the rule set says of
/// that angle, else up to what the rule set makes of a straight pull or prints for a choke, and not at all where it says neither.
fn marked_choke(case: &Case<'_>, marked_for_choke: Chain, title: &Text, source: &Text) -> Result<Chain, Error> {
    let facts = case.hitched();
    if let Some(term) = case.said(Question::ChokeAngleFactor, facts)? {
        return Ok(marked_for_choke.times(term, Acts::OnForce));
    }
    let place = || case.leg().child("hitch").child("choke").child("angle");
    let Hitch::Choke(choke) = case.hitch() else { return Ok(marked_for_choke) };
    let what = format_args!("the choke angle, for which the choked rating of \"{}\" is marked,", case.sling.name);
    let angle = choke.angle.required(what, "\"angle\": \"… deg choke\"", place)?;
    case.heeds("choke angle", Question::ChokeFactor)?;
    // Degrees that were read as radians come back within a rounding.
    if angle.si().to_degrees() > BY_ITSELF + 1e-9 {
        return Ok(marked_for_choke);
    }
    let straight = marking::straight(case, title, source, facts)?;
    let ruled = match straight.map(|chain| by_word(case, chain)).transpose()?.flatten() {
        Some(ruled) => Some(ruled),
        None => tabulated(case, title)?,
    };
    if let Some(ruled) = ruled {
        return Ok(marking::lesser(ruled, &marked_for_choke));
    }
    let what = format!(
        "what an angle of choke of {} leaves of the rating that is marked on \"{}\" for a choke: {} does not say, and such a \
         marking is taken for the angle at which a choke sits by itself, more than {BY_ITSELF} deg (common practice, no source). \
         Let it sit so, or state what the maker says of this angle in a rule file of your own (\"choke angle factor\")",
        angle.text(),
        case.sling.name,
        case.rules.title(),
    );
    Err(Error::unsupported(what, place()))
}

/// By a word of the rule set for a choke, and by the angle of choke where the document lowers the choked rating for it.
fn choked(case: &Case<'_>, chain: Chain) -> Result<Chain, Error> {
    let Some(chain) = by_word(case, chain)? else { return Err(unmarked(case, "choked", "wll_choke")) };
    by_choke_angle(case, chain)
}

/// What the rule set makes of a straight rating for a choke: by a fixed factor, of two the lesser, else by a relation.
fn by_word(case: &Case<'_>, chain: Chain) -> Result<Option<Chain>, Error> {
    let facts = case.hitched();
    let factors = [case.said(Question::ChokeFactor, facts)?, case.said(Question::HitchFactor, facts)?];
    let factor = factors.into_iter().flatten().reduce(lesser);
    Ok(match factor {
        Some(factor) => Some(chain.times(factor, Acts::OnForce)),
        None => by_relation(case, chain.value())?.map(|term| chain.becomes(term, Acts::OnForce)),
    })
}

/// What the angle of choke leaves of a choked rating.
pub(super) fn by_choke_angle(case: &Case<'_>, chain: Chain) -> Result<Chain, Error> {
    Ok(match case.said(Question::ChokeAngleFactor, case.hitched())? {
        Some(term) => chain.times(term, Acts::OnForce),
        None => chain,
    })
}

fn lesser(one: Term, other: Term) -> Term {
    let (least, other) = if one.value <= other.value { (one, other) } else { (other, one) };
    least.instead_of(other.name, other.value, other.source)
}

/// The rating that a relation of the document makes of a straight one, for this hitch.
fn by_relation(case: &Case<'_>, straight: f64) -> Result<Option<Term>, Error> {
    let more = |facts: Facts| facts.word("taken from", "relation").number("single-leg rated value", straight, "N");
    case.said_of_hitch(Question::RatedValue, more)
}

/// What is marked for a basket holds for plumb legs: never more than the rule set makes of a straight pull at the angle at hand,
/// and not at all where it refuses that. Where no straight pull is marked, it is what the factor of plumb legs was taken of.
fn marked_basket(case: &Case<'_>, marked: Chain, straight: Option<Chain>) -> Result<Chain, Error> {
    let straight = match straight {
        Some(straight) => straight,
        None => match plumb_factor(case)? {
            // Of one leg; the factor is of both.
            Some(factor) => marked
                .clone()
                .times(marking::two("two legs of a basket, plumb"), Acts::OnForce)
                .divided_by(factor, Acts::OnForce),
            None if speaks_of_baskets(case) => {
                let what = format!(
                    "what \"{}\" may bear in a straight pull, marked on it, of which {} says what is left in a basket,",
                    case.sling.name,
                    case.rules.title()
                );
                let place = Place::clone(&case.place).child("strength").child("wll");
                return Err(Error::missing(what, "\"wll\": \"… t\"", place));
            }
            None => return Ok(marked),
        },
    };
    Ok(match basket(case, straight)? {
        Some(ruled) => marking::lesser(ruled, &marked),
        None => marked,
    })
}

/// The factor of a basket whose legs are plumb.
fn plumb_factor(case: &Case<'_>) -> Result<Option<Term>, Error> {
    case.said(Question::HitchFactor, &upright(case).number("angle from horizontal", 90.0, "deg"))
}

fn upright(case: &Case<'_>) -> Facts {
    case.hitched().clone().word("hitch", "parallel basket")
}

/// Whether the rule set says anything of what a basket leaves of a straight rating.
fn speaks_of_baskets(case: &Case<'_>) -> bool {
    let plumb = upright(case).number("angle from horizontal", 90.0, "deg");
    case.speaks_of(Question::HitchFactor, &plumb)
        || case.speaks_of(Question::HitchFactor, case.hitched())
        || !matches!(by_relation(case, 1.0), Ok(None))
}

/// What one leg of a basket may bear: a factor or relation printed for the basket as a whole, over its two legs. A band of
/// angles goes before trigonometry where the document prints one. None where the rule set says nothing of baskets.
fn basket(case: &Case<'_>, chain: Chain) -> Result<Option<Chain>, Error> {
    let Some(angle) = case.flattest() else {
        if !speaks_of_baskets(case) {
            return Ok(None);
        }
        let what = "the rating of a basket without a balance that tells the angle of its legs";
        return Err(Error::unsupported(what, case.leg().clone()));
    };
    let plumb = case.said(Question::VerticalLegAngle, &case.straight())?.map_or(PLUMB, |term| term.value);
    if angle > plumb * (1.0 + AT_LIMIT) {
        if let Some(band) = case.said(Question::HitchFactor, case.hitched())? {
            let band = match plumb_factor(case) {
                Ok(Some(term)) => band.instead_of(
                    "by the factor of plumb legs and trigonometry",
                    term.value * angle.cos(),
                    term.source,
                ),
                _ => band,
            };
            return Ok(Some(inclined(case, chain.times(band, Acts::OnForce))));
        }
        if let Some(term) = by_relation(case, chain.value())? {
            return Ok(Some(inclined(case, chain.becomes(term, Acts::OnForce))));
        }
    }
    Ok(match plumb_factor(case)? {
        // The tension of a leg holds its angle, so what a plumb leg may bear is what an inclined one may.
        Some(term) => Some(per_leg(chain.times(term, Acts::OnForce), 0.0)),
        None => by_relation(case, chain.value())?.map(|term| inclined(case, chain.becomes(term, Acts::OnForce))),
    })
}

/// The same at the angle of the legs. What a document prints for the basket as a whole is a weight: the steeper its legs
/// stand, the less tension that is, so the steepest is taken, and plumb where it is not known.
fn inclined(case: &Case<'_>, chain: Chain) -> Chain {
    per_leg(chain, case.steepest().unwrap_or(0.0))
}

/// From what a basket may bear as a whole to the tension of one of its legs.
fn per_leg(chain: Chain, from_vertical: f64) -> Chain {
    let source = Source::mechanics("a basket hangs in two legs, each at this angle");
    let term = Term::new("2 cos β", "two legs of a basket", 2.0 * from_vertical.cos(), "", source)
        .from_input("angle of the legs from vertical", format!("{:.3} deg", from_vertical.to_degrees()));
    chain.divided_by(term, Acts::OnForce)
}

fn doubled(case: &Case<'_>, chain: Chain) -> Result<Chain, Error> {
    let facts = case.straight().word("hitch", "parallel basket").word("configuration", "single basket");
    match case.said(Question::HitchFactor, &facts)? {
        Some(term) => {
            let term = term.from_input("taken", "a doubled sling hangs as a basket with plumb legs does");
            bent_enough(case, chain.times(term, Acts::OnForce))
        }
        None => Err(Error::unsupported(DOUBLED, case.place.clone())),
    }
}

/// The rating of a bight holds only where it bends round enough, if the document says on which bend it is based.
fn bent_enough(case: &Case<'_>, chain: Chain) -> Result<Chain, Error> {
    let question = Question::BasketBendRatio;
    let Some(least) = case.said(question, case.hitched())? else { return Ok(chain) };
    let what = format_args!("the diameter of \"{}\"", case.sling.name);
    let own = case.sling.diameter.required(what, "\"diameter\": \"… mm\"", || case.place.child("diameter"))?.si();
    let doubled = *case.hitch() == Hitch::Doubled;
    for bend in case.bends().iter().filter(|bend| bend.between || doubled) {
        let ratio = bend.diameter.clone()? / own;
        if ratio.is_nan() || ratio < least.value {
            let what = format!(
                "the rating of a sling that bends round \"{}\" over {ratio:.2} of its diameters, where the rating of a bight \
                 is based on {} ({})",
                bend.round, least.value, least.source
            );
            return Err(Error::unsupported(what, case.place.clone()));
        }
    }
    Ok(chain)
}

/// The hitch is rated by neither rule set nor tag.
fn unmarked(case: &Case<'_>, how: &str, key: &str) -> Error {
    let place = Place::clone(&case.place).child("strength").child(key);
    let what = format!(
        "what \"{}\" may bear {how}, marked on it, as {} does not say what that hitch leaves of its straight rating,",
        case.sling.name,
        case.rules.title()
    );
    Error::missing(what, format!("\"{key}\": \"… t\""), place)
}
