//! What is marked on one item against what its papers say of it: no marking is above the breaking load over the design factor
//! of the rule set, where it states one, nor above the proof load; and of a sling none for a choke is above that for a straight
//! pull, and none for a basket above twice that.
//!
//! Such a finding never passes or fails by itself: one of both figures is wrong, and nobody knows which.

use super::alike::Alike;
use super::consistency::{Stated, stated};
use super::{Code, Finding, Verdict};
use crate::arrangement::{Lift, LiftPoint};
use crate::capacity::ROUNDED;
use crate::chain::{Acts, Chain, Term};
use crate::demand::facts_of;
use crate::error::{Error, Place};
use crate::gear::{Rated, Rating, Sling};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::{Citation, Source};
use crate::text::Text;

/// Where the figures of a sling stand, and those of anything else.
static OF_SLING: Citation = Citation::stated("strength in the lift document");
static OF_RATING: Citation = Citation::stated("rating in the lift document");

/// One finding for every marking that does not go with the other figures of its item.
pub(super) fn compare(lift: &Lift, rules: &RuleSet, slings: &Alike) -> Result<Vec<Finding>, Error> {
    let mut findings = Vec::new();
    let factors = slings.each(|facts| design_factor(facts, |question, facts| rules.ask(question, facts)));
    for (index, sling) in lift.legs().flat_map(|leg| leg.slings()) {
        if let Some(factor) = factors.of(index) {
            of_sling(index, sling, stated(factor)?, &mut findings);
        }
    }
    let document = lift.document();
    let root = Place::root();
    let mut others = Others { rules, findings };
    for (index, fitting) in document.fittings.iter().enumerate() {
        let facts = || facts_of(lift).of_fitting(fitting);
        others.compare(&fitting.name, &fitting.rating, || root.child("fittings").child(index), facts)?;
    }
    let called = |construction: &'static str| move || facts_of(lift).word("construction", construction);
    for (index, hook) in document.hooks.iter().enumerate() {
        others.compare(&hook.name, &hook.rating, || root.child("hooks").child(index), called("hook"))?;
    }
    let mut of_points = |points: &[LiftPoint], place: &dyn Fn() -> Place| {
        let mut each = points.iter().enumerate();
        each.try_for_each(|(index, point)| {
            others.compare(&point.name, &point.rating, || place().child(index), called("lift point"))
        })
    };
    of_points(&document.load.lift_points, &|| root.child("load").child("lift_points"))?;
    for (index, spreader) in document.spreaders.iter().enumerate() {
        of_points(&spreader.points, &|| root.child("spreaders").child(index).child("points"))?;
    }
    for (index, spreader) in document.spreaders.iter().enumerate() {
        let place = || root.child("spreaders").child(index);
        others.compare(&spreader.name, &spreader.rating, place, called("spreader"))?;
    }
    Ok(others.findings)
}

/// The markings of a sling, each against its breaking load and against that for a straight pull.
fn of_sling(index: usize, sling: &Sling, factor: Option<&Term>, findings: &mut Vec<Finding>) {
    let strength = &sling.strength;
    let place = Place::root().child("slings").child(index).child("strength");
    let markings = [
        (&strength.wll, "wll", "working load limit as marked", "marked ", "", 1.0),
        (&strength.wll_choke, "wll_choke", "working load limit as marked, choked", "", " marked for a choke", 1.0),
        (
            &strength.wll_basket,
            "wll_basket",
            "working load limit as marked, in a basket",
            "",
            " marked for a basket",
            2.0,
        ),
    ];
    for (wll, key, name, before, after, legs) in markings {
        let Some(wll) = wll.value() else { continue };
        let marking = Marking { item: &sling.name, place: place.child(key), wll, name, source: &OF_SLING };
        let both = |chain: Chain| if legs > 1.0 { chain.times(two_legs(), Acts::OnForce) } else { chain };
        let straight = strength.wll.value().filter(|_| key != "wll").and_then(|straight| {
            let term = || entered("WLL", "working load limit as marked, straight pull", straight, &OF_SLING);
            let most = || both(Chain::start("the marking for a straight pull, for each leg", term()));
            let twice = if legs > 1.0 { "twice " } else { "" };
            let why = || {
                format!(
                    "the {}{after} is more than {twice}the {} marked for a straight pull",
                    wll.text(),
                    straight.text()
                )
            };
            marking.above(legs * straight.force().si(), most, why)
        });
        let broken = || {
            let breaking = strength.breaking_load.value()?;
            let most = || both(over_factor(breaking, factor, &OF_SLING));
            let why = || {
                format!(
                    "the {before}{}{after} is more than the breaking load of {} allows",
                    wll.text(),
                    breaking.text()
                )
            };
            marking.above(legs * allowed(breaking, factor), most, why)
        };
        findings.extend(straight.or_else(broken));
    }
}

/// What bears by a marking and is no sling.
struct Others<'a> {
    rules: &'a RuleSet,
    findings: Vec<Finding>,
}

impl Others<'_> {
    /// The marking of one of them, against its breaking load and its proof load.
    fn compare(
        &mut self,
        name: &Text,
        rating: &Rating,
        place: impl Fn() -> Place,
        facts: impl FnOnce() -> Facts,
    ) -> Result<(), Error> {
        let Some(wll) = rating.wll.value() else { return Ok(()) };
        let marking = |key| Marking {
            item: name,
            place: place().child("rating").child(key),
            wll,
            name: "working load limit as marked",
            source: &OF_RATING,
        };
        if let Some(breaking) = rating.breaking_load.value() {
            let why =
                || format!("the marked {} is more than the breaking load of {} allows", wll.text(), breaking.text());
            let factor = covered_factor(&facts(), self.rules);
            let factor = stated(&factor)?;
            let most = || over_factor(breaking, factor, &OF_RATING);
            self.findings.extend(marking("wll").above(allowed(breaking, factor), most, why));
        }
        if let Some(proof) = rating.proof_load.value() {
            let why = || format!("the marked {} is more than the proof load of {}", wll.text(), proof.text());
            let most = || Chain::start("the proof load", entered("PL", "proof load", proof, &OF_RATING));
            self.findings.extend(marking("proof_load").above(proof.force().si(), most, why));
        }
        Ok(())
    }
}

/// A marking and where it stands.
struct Marking<'a> {
    item: &'a Text,
    place: Place,
    wll: &'a Rated,
    name: &'static str,
    source: &'static Citation,
}

impl Marking<'_> {
    /// A finding where it is above the most that another figure allows, in N; how that came about is told only then.
    fn above(&self, allowed: f64, most: impl FnOnce() -> Chain, why: impl FnOnce() -> String) -> Option<Finding> {
        if self.wll.force().si() <= allowed * ROUNDED {
            return None;
        }
        let (most, why) = (most(), why());
        let asked = Chain::start(self.name, entered("WLL", self.name, self.wll, self.source));
        let text = format!("{why}: one of both is wrong, or quoted for something else");
        let source = most.sources().last().cloned();
        let place = self.place.clone();
        let finding = Finding::new(Code::Consistency, Verdict::CannotConclude, self.item, place, text);
        Some(Finding { demand: Some(asked.into()), capacity: Some(most.into()), source, ..finding })
    }
}

fn entered(symbol: &'static str, name: &'static str, rated: &Rated, source: &'static Citation) -> Term {
    Term::new(symbol, name, rated.force().si(), "N", Source::fixed(source)).from_input("as entered", rated.text())
}

/// The breaking load over the design factor of the rule set, where it states one, or the breaking load itself, in N.
fn allowed(breaking: &Rated, factor: Option<&Term>) -> f64 {
    breaking.force().si() / factor.map_or(1.0, |factor| factor.value)
}

/// The same, and how it came about.
fn over_factor(breaking: &Rated, factor: Option<&Term>, source: &'static Citation) -> Chain {
    let load = entered("MBL", "minimum breaking load", breaking, source);
    let most = Chain::start("breaking load over the design factor", load);
    match factor {
        Some(factor) => most.divided_by(factor.clone(), Acts::OnForce),
        None => most,
    }
}

fn two_legs() -> Term {
    static TWO_LEGS: Citation = Citation::mechanics("a basket hangs in two legs");
    Term::new("2", "two legs of a basket, plumb", 2.0, "", Source::fixed(&TWO_LEGS))
}

/// The design factor of the rule set for such gear in a straight pull.
fn design_factor(facts: &Facts, ask: impl Fn(Question, &Facts) -> Answer) -> Stated {
    let facts = facts.clone().word("hitch", "straight").word("configuration", "single leg").word("persons below", "no");
    match ask(Question::DesignFactor, &facts) {
        Answer::Speaks(ruled) => Ok(ruled.into_term()),
        Answer::Refused(error) => Err(error),
        _ => Ok(None),
    }
}

/// The same, where the rule set covers such gear: a factor that a document prints without naming gear is for the gear that it
/// is written for.
fn covered_factor(facts: &Facts, rules: &RuleSet) -> Stated {
    design_factor(facts, |question, facts| rules.of_item(facts).ask(question, facts))
}
