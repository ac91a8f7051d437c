//! One sling as it hangs, and the questions about it: facts in the hitch at hand and in a straight pull.

use super::reduction::Factors;
use super::speaks;
use crate::arrangement::{Hitch, Operation};
use crate::chain::Term;
use crate::contact::Bend;
use crate::demand::stated_at;
use crate::error::{Error, Place};
use crate::gear::Sling;
use crate::rules::{Answer, Facts, OfItem, Question, RuleSet};
use std::borrow::Cow;
use std::cell::Cell;
use std::f64::consts::FRAC_PI_2;

/// How a sling hangs.
#[derive(Debug, Clone, Copy)]
pub struct Hanging<'a> {
    /// Where its leg stands in the document.
    pub leg: &'a Place,
    /// The hitch.
    pub hitch: &'a Hitch,
    /// The operation.
    pub operation: &'a Operation,
    /// Its bends.
    pub bends: &'a [Bend],
    /// Largest angle of the leg from vertical, rad; none where no balance says it.
    pub from_vertical: Option<f64>,
    /// Smallest angle of the leg from vertical, rad; none where no balance says it.
    pub steepest: Option<f64>,
    /// Lowest and highest temperature of the gear, K; none where it is not known.
    pub temperature: Option<[f64; 2]>,
}

/// A sling of a document, and the facts that it states of itself.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stated<'a> {
    pub(crate) sling: &'a Sling,
    pub(crate) index: usize,
    pub(crate) facts: &'a Facts,
}

/// A sling, how it hangs, and the rules that rate it.
pub(super) struct Case<'a> {
    pub(super) sling: &'a Sling,
    /// Where the sling stands in the document.
    pub(super) place: Place,
    hanging: &'a Hanging<'a>,
    pub(super) rules: &'a RuleSet,
    /// What the sling states of itself, and what rules ask of the operation.
    facts: Cow<'a, Facts>,
    /// The same, and how it hangs.
    hitched: Facts,
    /// The same rules, as they are asked about such gear.
    of_item: OfItem<'a>,
    /// Safety factors of other slings.
    pub(super) factors: &'a Factors,
    /// What has been looked at of how it hangs.
    rests: Cell<Rests>,
}

/// What a rating rests on besides the sling, its hitch and the lift: of legs that hang alike the angles still differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Rests {
    /// On the angle of the leg.
    pub(crate) on_angle: bool,
    /// On the bends of the sling.
    pub(crate) on_bends: bool,
}

/// Ends by ferrule, in the words of the rule sets.
const FERRULES: [&str; 2] = ["aluminum ferrule", "steel ferrule"];

const fn hitch_word(hitch: &Hitch) -> &'static str {
    match hitch {
        Hitch::Straight => "straight",
        Hitch::Doubled => "doubled",
        Hitch::Basket => "basket",
        Hitch::Choke(_) => "choker",
    }
}

impl<'a> Case<'a> {
    pub(super) fn of(
        Stated { sling, index, facts }: Stated<'a>,
        hanging: &'a Hanging<'a>,
        rules: &'a RuleSet,
        factors: &'a Factors,
    ) -> Self {
        let place = Place::root().child("slings").child(index);
        let facts = of_operation(facts, hanging.operation);
        let of_item = rules.of_item(&facts);
        let hitched = hitched(&facts, hanging);
        let rests = Cell::new(Rests { on_angle: rules.looks_at_angle(Question::AppliesToGear), on_bends: false });
        Self { sling, place, hanging, rules, facts, hitched, of_item, factors, rests }
    }

    /// What has been looked at so far of how the sling hangs.
    pub(super) const fn rests(&self) -> Rests {
        self.rests.get()
    }

    pub(super) const fn leg(&self) -> &'a Place {
        self.hanging.leg
    }

    pub(super) const fn hitch(&self) -> &'a Hitch {
        self.hanging.hitch
    }

    pub(super) const fn operation(&self) -> &'a Operation {
        self.hanging.operation
    }

    pub(super) const fn temperature(&self) -> Option<[f64; 2]> {
        self.hanging.temperature
    }

    /// Largest angle of the leg from vertical, rad.
    pub(super) fn flattest(&self) -> Option<f64> {
        self.rests.update(|rests| Rests { on_angle: true, ..rests });
        self.hanging.from_vertical
    }

    /// Smallest angle of the leg from vertical, rad.
    pub(super) fn steepest(&self) -> Option<f64> {
        self.rests.update(|rests| Rests { on_angle: true, ..rests });
        self.hanging.steepest
    }

    pub(super) fn bends(&self) -> &'a [Bend] {
        self.rests.update(|rests| Rests { on_bends: true, ..rests });
        self.hanging.bends
    }

    /// All of how it hangs.
    pub(super) fn hanging(&self) -> &'a Hanging<'a> {
        self.rests.set(Rests { on_angle: true, on_bends: true });
        self.hanging
    }

    /// Asks the rule set, and notes whether the angle of the leg may be in the answer.
    fn ask(&self, question: Question, facts: &Facts) -> Answer {
        self.asks(question);
        self.of_item.ask(question, facts)
    }

    /// Notes that a question is asked of the sling as it hangs.
    pub(super) fn asks(&self, question: Question) {
        if self.rules.looks_at_angle(question) {
            self.rests.update(|rests| Rests { on_angle: true, ..rests });
        }
    }

    /// The sling in a straight pull, plumb.
    pub(super) fn straight(&self) -> Facts {
        Facts::clone(&self.facts).in_hitch("straight", "single leg").inclined(FRAC_PI_2)
    }

    /// The sling as it hangs.
    pub(super) const fn hitched(&self) -> &Facts {
        &self.hitched
    }

    /// The term of an answer; none where the rule set is silent, does not apply, or does not cover such gear and no rule of it names
    /// this: a factor that a document prints without naming gear is for the gear that it is written for. What is missing of the way the sling
    /// hangs is missing at its leg, everything else at the sling.
    pub(super) fn said(&self, question: Question, facts: &Facts) -> Result<Option<Term>, Error> {
        let answer = self.ask(question, facts);
        if let Answer::Missing { fact, needed_by } = &answer
            && let Some(error) = self.lacking_of_leg(fact, question, &format!("{needed_by}"))
        {
            return Err(error);
        }
        speaks(answer, question, &self.place)
    }

    /// Refuses where the answer to a question has a range of this fact and the sling hangs outside it.
    pub(super) fn heeds(&self, fact: &str, question: Question) -> Result<(), Error> {
        match self.ask(question, self.hitched()) {
            Answer::OutsideRange { reading, policy, source } if reading.name == fact => {
                speaks(Answer::OutsideRange { reading, policy, source }, question, &self.place).map(|_| ())
            }
            _ => Ok(()),
        }
    }

    fn lacking_of_leg(&self, fact: &str, question: Question, needed_by: &str) -> Option<Error> {
        let what = format!("the {fact}, which the {} after {needed_by} needs,", question.name());
        match fact {
            "choke angle" => {
                let place = self.hanging.leg.child("hitch").child("choke").child("angle");
                Some(Error::missing(what, "\"angle\": \"… deg choke\"", place))
            }
            "temperature" => {
                let place = Place::root().child("environment").child("temperature");
                Some(Error::missing(what, "\"temperature\": [\"… degC\", \"… degC\"]", place))
            }
            "angle from horizontal" => {
                Some(Error::unsupported(format!("{what} where no balance tells it"), self.hanging.leg.clone()))
            }
            _ => stated_at(fact).map(|(place, add)| Error::missing(what, add, place)),
        }
    }

    /// The same, where the document speaks of this hitch: none where it would say the same of a straight pull by the same
    /// rule, since what does not look at the hitch does not allow for it.
    pub(super) fn said_of_hitch(
        &self,
        question: Question,
        more: impl Fn(Facts) -> Facts,
    ) -> Result<Option<Term>, Error> {
        let hitched = more(self.hitched().clone());
        if self.says_alike(question, &hitched, &more(self.straight())) {
            return Ok(None);
        }
        self.said(question, &hitched)
    }

    /// Whether the rule set has anything to say to a question, if only that it refuses.
    pub(super) fn speaks_of(&self, question: Question, facts: &Facts) -> bool {
        !matches!(self.ask(question, facts), Answer::Silent | Answer::DoesNotApply { .. })
    }

    /// Whether one rule says the same under both facts.
    pub(super) fn says_alike(&self, question: Question, one: &Facts, other: &Facts) -> bool {
        let Answer::Speaks(one) = self.ask(question, one) else { return false };
        let Answer::Speaks(other) = self.ask(question, other) else { return false };
        one.rule == other.rule && one.term().map(|term| term.value) == other.term().map(|term| term.value)
    }

    /// What a table prints for the sling, and what its ends leave of that where it is printed for ends by ferrule: the share is
    /// taken where the table knows nothing of the sling's own ends, or says of them what it says of a ferrule. `ask` asks the
    /// table, with other ends where some are named. None where no table speaks.
    pub(super) fn tabulated(
        &self,
        ask: impl Fn(Option<&'static str>) -> Result<Option<Term>, Error>,
    ) -> Result<Option<(Term, Option<Term>)>, Error> {
        let own = ask(None)?;
        let question = Question::TerminationRatingShare;
        if !self.rules.has_rules_on(question) {
            return Ok(own.map(|term| (term, None)));
        }
        let mut secured = None;
        for ferrule in FERRULES {
            secured = secured.or(ask(Some(ferrule))?);
        }
        let alike = |one: &Term, other: &Term| one.value == other.value && one.source == other.source;
        Ok(match (own, secured) {
            (None, None) => None,
            (Some(own), None) => Some((own, None)),
            (Some(own), Some(secured)) if !alike(&own, &secured) => Some((own, None)),
            (Some(own), Some(_)) => {
                let share = self.said(question, &self.facts)?;
                Some((own, share))
            }
            (None, Some(secured)) => self.said(question, &self.facts)?.map(|share| (secured, Some(share))),
        })
    }

    /// How the rule set rates such a sling, in its order of preference: none where it does not say.
    pub(super) fn bases(&self) -> Result<Option<crate::rules::Ruled>, Error> {
        let question = Question::RatingBasis;
        // A word, such as that gear works on its marking, may be for all gear.
        self.asks(question);
        match self.rules.ask(question, self.hitched()) {
            Answer::Speaks(ruled) => Ok(Some(*ruled)),
            other => speaks(other, question, &self.place).map(|_| None),
        }
    }
}

/// What rules ask of the operation where they rate a sling.
fn of_operation<'a>(facts: &'a Facts, operation: &Operation) -> Cow<'a, Facts> {
    let mut facts = Cow::Borrowed(facts);
    if let Some(region) = operation.region.value() {
        facts = Cow::Owned(facts.into_owned().word("region", region.word()));
    }
    if let Some(below) = operation.persons_below.value() {
        facts = Cow::Owned(facts.into_owned().word("persons below", if *below { "yes" } else { "no" }));
    }
    facts
}

fn hitched(facts: &Facts, hanging: &Hanging<'_>) -> Facts {
    let hitch = hanging.hitch;
    let configuration = if *hitch == Hitch::Basket { "single basket" } else { "single leg" };
    let mut facts = facts.clone().in_hitch(hitch_word(hitch), configuration);
    if let Some(angle) = hanging.from_vertical {
        facts = facts.inclined((FRAC_PI_2 - angle).max(0.0));
    }
    match hitch {
        Hitch::Choke(choke) => match choke.angle.value() {
            Some(angle) => facts.number("choke angle", angle.si(), "rad"),
            None => facts.unknown("choke angle"),
        },
        _ => facts,
    }
}
