//! Rated capacity of a sling in the hitch at hand.

use super::{Capacity, derated, lacking, marked, reduction, speaks};
use crate::arrangement::Hitch;
use crate::chain::{Acts, Chain};
use crate::contact::Bend;
use crate::error::{Error, Place};
use crate::gear::{Known, Portion, Sling};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::text::Text;

/// Rated capacity of the sling at `index` of the document, in `hitch`, bent as stated at its two ends. `None` where the
/// rule set does not say how such a sling is rated and nothing is marked on it.
///
/// # Errors
/// [`Error::Missing`] for what the way of rating needs and the document does not give.
pub fn rate_sling(
    sling: &Sling,
    index: usize,
    hitch: &Hitch,
    bends: &[Bend],
    rules: &RuleSet,
) -> Result<Option<Capacity>, Error> {
    let place = Place::root().child("slings").child(index);
    let facts = Facts::new().of_sling(sling).word("hitch", hitch_word(hitch));
    let ruled = match rules.ask(Question::RatingBasis, &facts) {
        Answer::Speaks(ruled) => Some(ruled),
        Answer::Silent | Answer::DoesNotApply { .. } => None,
        Answer::Missing { fact, needed_by } => return Err(lacking(&fact, Question::RatingBasis, &needed_by, &place)),
        Answer::Refused(error) => return Err(error),
        other => return Err(Error::unsupported(format!("how the sling is rated: {other:?}"), place)),
    };
    let by_itself = [Text::fixed(MARKED)];
    let bases = ruled.as_ref().map_or(&by_itself[..], |ruled| ruled.words());
    let mut refusal = None;
    for basis in bases {
        let rated = match basis.as_str() {
            // A marked rating and a table stand for the straight hitch; partial factors leave the hitch to the forces.
            MARKED => by_marking(sling, &place)
                .and_then(|chain| chain.map(|chain| in_hitch(chain, hitch, &facts, rules, &place)).transpose()),
            TABLE => by_table(sling, &facts, rules, &place)
                .and_then(|chain| chain.map(|chain| in_hitch(chain, hitch, &facts, rules, &place)).transpose()),
            BREAKING_LOAD => by_breaking_load(sling, hitch, bends, &facts, rules, &place).map(Some),
            other => Err(Error::unsupported(format!("a sling rated by {other}"), place.clone())),
        };
        match rated {
            Ok(Some(chain)) => return Ok(Some(Capacity { chain, rule: ruled.map(|ruled| ruled.source) })),
            Ok(None) => {}
            Err(error) => refusal = refusal.or(Some(error)),
        }
    }
    refusal.map_or(Ok(None), Err)
}

const DOUBLED: &str = "the rating of a doubled sling, whose bight bends and whose two lengths need not share alike";
const MARKED: &str = "marked rating";
const TABLE: &str = "table";
const BREAKING_LOAD: &str = "breaking load divided by factor";

const fn hitch_word(hitch: &Hitch) -> &'static str {
    match hitch {
        Hitch::Straight => "straight",
        Hitch::Doubled => "doubled",
        Hitch::Basket => "basket",
        Hitch::Choke(_) => "choker",
    }
}

fn source(sling: &Sling, place: &Place) -> Result<Text, Error> {
    let place = || place.child("strength").child("source");
    let what = format_args!("the source of the strength of \"{}\"", sling.name);
    sling.strength.source.required(what, "\"source\": \"tag and test certificate …\"", place).cloned()
}

fn title(sling: &Sling) -> Text {
    ["rated capacity of ", &*sling.name].into()
}

fn by_marking(sling: &Sling, place: &Place) -> Result<Option<Chain>, Error> {
    let Known::Value(wll) = &sling.strength.wll else { return Ok(None) };
    whole_only(sling, place)?;
    let term = marked("WLL", "working load limit as marked, straight pull", wll, &source(sling, place)?);
    Ok(Some(Chain::start(title(sling), term)))
}

/// A marked rating is for the sling as used; one quoted for a part would be out by a factor of two.
fn whole_only(sling: &Sling, place: &Place) -> Result<(), Error> {
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

fn by_table(sling: &Sling, facts: &Facts, rules: &RuleSet, place: &Place) -> Result<Option<Chain>, Error> {
    let facts = facts.clone().word("taken from", "table").word("configuration", "single leg").number(
        "angle from horizontal",
        90.0,
        "deg",
    );
    let term = speaks(rules.ask(Question::RatedValue, &facts), Question::RatedValue, place)?;
    let Some(term) = term else { return Ok(None) };
    // The table is for new gear of that size; a lower marking on the sling itself goes before it.
    let chain = Chain::start(title(sling), term);
    Ok(Some(match (sling.strength.wll.value(), source(sling, place)) {
        (Some(wll), Ok(source)) => {
            chain.least_of(marked("WLL", "working load limit as marked, straight pull", wll, &source), Acts::OnForce)
        }
        _ => chain,
    }))
}

fn by_breaking_load(
    sling: &Sling,
    hitch: &Hitch,
    bends: &[Bend],
    facts: &Facts,
    rules: &RuleSet,
    place: &Place,
) -> Result<Chain, Error> {
    let strength = place.child("strength");
    if *hitch == Hitch::Doubled {
        return Err(Error::unsupported(DOUBLED, place.clone()));
    }
    let what = format_args!("the minimum breaking load of \"{}\", from which {} rates it,", sling.name, rules.title());
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
    let term = marked("MBL", "minimum breaking load", load, &source(sling, place)?);
    let mut chain = Chain::start(title(sling), term);
    let question = Question::GrommetPartFraction;
    let facts = facts.clone().word("reeving", "straight pull").word("part bearing", "fixed");
    if let Some(fraction) = speaks(rules.ask(question, &facts), question, place)? {
        if sling.parts_side_by_side() != Some(2) {
            let what = "the rating by its parts of a sling that has not two of them side by side";
            return Err(Error::unsupported(what, place.child("parts")));
        }
        // A grommet is judged by its parts: what one is credited with, over the share that the busier one bears.
        let fraction = fraction.from_input("taken", "hung singly, on bearings that do not turn");
        chain = match basis {
            Portion::Whole => chain.times(fraction, Acts::OnForce),
            Portion::Part => chain,
        };
        if let Some(share) = speaks(rules.ask(Question::PartShare, &facts), Question::PartShare, place)? {
            chain = chain.divided_by(share, Acts::OnForce);
        }
    } else if *basis == Portion::Part {
        let what = "a breaking load quoted for one part of a sling that the rule set does not treat by parts";
        return Err(Error::unsupported(what, strength.child("basis")));
    }
    Ok(chain.divided_by(reduction::safety_factor(sling, bends, &facts, rules, place)?, Acts::OnForce))
}

fn in_hitch(chain: Chain, hitch: &Hitch, facts: &Facts, rules: &RuleSet, place: &Place) -> Result<Chain, Error> {
    match hitch {
        Hitch::Straight => Ok(chain),
        Hitch::Basket => Err(Error::unsupported("the rating of a basket hitch", place.clone())),
        Hitch::Doubled => Err(Error::unsupported(DOUBLED, place.clone())),
        Hitch::Choke(choke) => {
            let facts = match choke.angle.value() {
                Some(angle) => facts.clone().number("choke angle", angle.si(), "rad"),
                None => facts.clone().unknown("choke angle"),
            };
            derated(chain, rules, Question::ChokeFactor, &facts, place)
        }
    }
}
