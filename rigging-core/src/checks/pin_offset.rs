//! A load off the middle of the pin it hangs on: packing, a thin plate in wide jaws, and what maker or rule set leave of the
//! rating.

use super::strength::held_against;
use super::surroundings::in_words;
use super::{Code, Finding, MissingInput, Verdict, pin_plate};
use crate::arrangement::{Anchor, Lift, LiftPoint};
use crate::capacity::{self, Capacity, Motion};
use crate::chain::{Chain, Term};
use crate::contact;
use crate::demand::{Asked, Asks, facts_of};
use crate::error::{Error, Place};
use crate::gear::{Fitting, FittingKind, Known};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::{DIMENSIONS, Source};

/// What two texts of one length in different units may differ by, m.
const SAME: f64 = 1e-6;

/// A shackle whose pin lies in the hole of a point, and what pulls it.
struct Pinned<'a> {
    fitting: &'a Fitting,
    index: usize,
    point: &'a LiftPoint,
    pulled: Pulled,
}

/// Where the pull on a shackle comes from: a leg, or all legs that it collects.
enum Pulled {
    Leg(usize),
    Collected(usize),
}

/// Checks every shackle on a point, once; those of which nothing is known are told together.
pub(super) fn compare(lift: &Lift, rules: &RuleSet, asks: &dyn Asks, findings: &mut Vec<Finding>) -> Result<(), Error> {
    let mut untold: Vec<&str> = Vec::new();
    for pinned in pinned(lift) {
        let found = pinned.checked(lift, rules, asks)?;
        if found.is_empty() {
            untold.push(&pinned.fitting.name);
        }
        findings.extend(found);
    }
    if !untold.is_empty() {
        let text = format!(
            "not considered: how far off the middle of their pins the loads on {} sit; neither the lift nor the rule set says, \
             and ratings hold for the middle",
            untold.join(", ")
        );
        let place = Place::root().child("fittings");
        findings.push(Finding::new(Code::PinOffset, Verdict::NotCovered, &lift.document().name, place, text));
    }
    Ok(())
}

fn pinned(lift: &Lift) -> Vec<Pinned<'_>> {
    let of = |anchor: Anchor, index: usize, pulled: Pulled| {
        let (fitting, point) = (lift.document().fittings.get(index)?, lift.point(anchor)?);
        let shackle = matches!(fitting.kind, FittingKind::BowShackle | FittingKind::DeeShackle);
        shackle.then_some(Pinned { fitting, index, point, pulled })
    };
    let mut found = Vec::new();
    for leg in lift.legs() {
        for anchor in leg.links.ends.iter().copied() {
            if let Some(index) = pin_plate::at_end(&leg, anchor) {
                found.extend(of(anchor, index, Pulled::Leg(leg.index)));
            }
        }
    }
    let collectors = lift.collectors().enumerate();
    found.extend(collectors.filter_map(|(number, (anchor, index, _))| of(anchor, index, Pulled::Collected(number))));
    found
}

/// How far off the middle the load may sit.
struct Offset {
    term: Term,
    /// Whether somebody says so, and it does not only follow from the room beside the load.
    stated: bool,
}

impl Pinned<'_> {
    fn place(&self) -> Place {
        Place::root().child("fittings").child(self.index)
    }

    fn said(&self, verdict: Verdict, text: String) -> Finding {
        Finding::new(Code::PinOffset, verdict, &self.fitting.name, self.place(), text)
    }

    fn checked(&self, lift: &Lift, rules: &RuleSet, asks: &dyn Asks) -> Result<Vec<Finding>, Error> {
        let offset = match self.offset() {
            Ok(offset) => offset,
            Err(contradiction) => return Ok(vec![*contradiction]),
        };
        if let Known::Value(limit) = &self.fitting.greatest_offset_on_pin {
            let Some(offset) = offset else { return Ok(vec![self.lacking()]) };
            let name = "offset up to which the rating holds in full, after its maker";
            let limit = Term::new("e", name, limit.value.si(), "m", Source::stated(&limit.source))
                .from_input("as entered", limit.value.text());
            return Ok(vec![self.within(offset.term, limit)]);
        }
        self.by_rule(lift, rules, asks, offset)
    }

    /// Room beside the load on both sides together, and what it is made of; none where a dimension is not known.
    fn room(&self) -> Option<f64> {
        Some(self.fitting.jaw_width.value()?.si() - contact::between_jaws(self.point)?)
    }

    /// As stated, else half of the room that packing leaves; none where neither is known.
    fn offset(&self) -> Result<Option<Offset>, Box<Finding>> {
        let (room, packing) = (self.room(), self.fitting.packing.value());
        let open = |key: &str, text: String| {
            let finding = self.said(Verdict::CannotConclude, text);
            Box::new(Finding { place: self.place().child(key), ..finding })
        };
        // What does not go between the jaws sits nowhere on the pin.
        if let Some(room) = room.filter(|room| *room < -SAME) {
            let text = format!("the load on the pin is {:.1} mm thicker than the jaws are wide", -room * 1e3);
            return Err(open("jaw_width", text));
        }
        let filled = packing.map_or(0.0, |packing| packing.value.si());
        if let Some(room) = room.filter(|room| packing.is_some() && filled > room + SAME) {
            let [filled, room] = [filled, room].map(|length| length * 1e3);
            let text =
                format!("packing of {filled:.1} mm is more than the {room:.1} mm left beside the load on the pin");
            return Err(open("packing", text));
        }
        let play = room.map(|room| (0.5 * (room - filled)).max(0.0));
        if let Some(stated) = self.fitting.offset_on_pin.value() {
            if let Some(play) = play.filter(|play| stated.value.si() > play + SAME) {
                let text = format!(
                    "an offset of {} is stated, and the room beside the load allows {:.1} mm",
                    stated.value.text(),
                    play * 1e3
                );
                return Err(open("offset_on_pin", text));
            }
            let term = Term::new(
                "e",
                "offset from the middle of the pin",
                stated.value.si(),
                "m",
                Source::stated(&stated.source),
            )
            .from_input("as entered", stated.value.text());
            return Ok(Some(Offset { term, stated: true }));
        }
        let Some(play) = play else { return Ok(None) };
        let name = "half of the room beside the load on the pin";
        let term = Term::new("e", name, play, "m", Source::fixed(&DIMENSIONS))
            .from_input("room", format!("{} m", room.unwrap_or_default()))
            .from_input("packing", format!("{filled} m"));
        Ok(Some(Offset { term, stated: false }))
    }

    fn within(&self, offset: Term, limit: Term) -> Finding {
        let source = limit.source.clone();
        let (asked, limit) =
            (Chain::start("offset from the middle of the pin", offset), Chain::start("the greatest offset", limit));
        // A load in the very middle is within a limit of nothing.
        let within = asked.value() <= limit.value();
        let finding = Finding::compared(Code::PinOffset, &self.fitting.name, self.place(), asked, limit).after(source);
        let verdict = if within { Verdict::Pass } else { Verdict::Fail };
        let utilization = finding.utilization.filter(|utilization| utilization.is_finite());
        Finding { verdict, utilization, ..finding }
    }

    fn lacking(&self) -> Finding {
        let what = format!("how far off the middle of its pin the load on \"{}\" sits", self.fitting.name);
        let add = "\"offset_on_pin\": { \"value\": \"… mm\", \"source\": \"…\" } (or \"jaw_width\" and the \"thickness\" of the plate)";
        let place = self.place().child("offset_on_pin");
        Finding::lacking(Code::PinOffset, &self.fitting.name, MissingInput::new(what, add, place))
    }

    /// By a rule for all makers; where there is none, what is open is told.
    fn by_rule(
        &self,
        lift: &Lift,
        rules: &RuleSet,
        asks: &dyn Asks,
        offset: Option<Offset>,
    ) -> Result<Vec<Finding>, Error> {
        let questions = [Question::GreatestPinOffsetRatio, Question::PinOffsetFactor];
        if !questions.into_iter().any(|question| rules.has_rules_on(question)) {
            return Ok(self.without_rule(offset));
        }
        let facts = facts_of(lift).of_fitting(self.fitting);
        let silent = |facts: &Facts| {
            questions
                .iter()
                .all(|question| matches!(rules.ask(*question, facts), Answer::Silent | Answer::DoesNotApply { .. }))
        };
        if silent(&facts) {
            return Ok(self.without_rule(offset));
        }
        let (Some(offset), Known::Value(jaws)) = (offset, &self.fitting.jaw_width) else {
            return Ok(vec![self.lacking()]);
        };
        let facts = facts.number("pin offset ratio", offset.term.value / jaws.si(), "");
        match rules.ask(Question::GreatestPinOffsetRatio, &facts) {
            Answer::Speaks(ruled) => {
                if let Some(ratio) = ruled.into_term() {
                    let name = "offset up to which the rating holds in full";
                    let source = ratio.source.clone();
                    let limit = Term::new("e", name, ratio.value * jaws.si(), "m", source)
                        .from_input(ratio.name.clone(), ratio.value.to_string())
                        .from_input("width of the jaws", jaws.text());
                    let finding = self.within(offset.term.clone(), limit);
                    let beyond = finding.verdict == Verdict::Fail;
                    let factor = rules.ask(Question::PinOffsetFactor, &facts);
                    // Beyond the full rating a factor decides, where there is one.
                    if !beyond || matches!(factor, Answer::Silent | Answer::DoesNotApply { .. }) {
                        return Ok(vec![finding]);
                    }
                }
            }
            Answer::Refused(error) => return Err(error),
            Answer::Silent | Answer::DoesNotApply { .. } => {}
            other => return Ok(vec![self.open(&other)]),
        }
        match rules.ask(Question::PinOffsetFactor, &facts) {
            Answer::Speaks(ruled) => match ruled.into_term() {
                Some(share) => self.lowered(lift, rules, asks, &offset.term, share),
                None => Ok(self.without_rule(Some(offset))),
            },
            Answer::Refused(error) => Err(error),
            Answer::Silent | Answer::DoesNotApply { .. } => Ok(self.without_rule(Some(offset))),
            other => Ok(vec![self.open(&other)]),
        }
    }

    fn open(&self, answer: &Answer) -> Finding {
        let text = format!("what is left of its rating off the middle of its pin is not settled: {}", in_words(answer));
        self.said(Verdict::CannotConclude, text)
    }

    fn without_rule(&self, offset: Option<Offset>) -> Vec<Finding> {
        let Some(Offset { term, stated }) = offset else { return Vec::new() };
        let millimeters = term.value * 1e3;
        if term.value == 0.0 {
            let text = "the load sits in the middle of the pin".to_owned();
            return vec![self.said(Verdict::Pass, text).after(term.source)];
        }
        if stated {
            let what = format!(
                "what the maker of \"{}\" allows of a load {millimeters:.1} mm off the middle of its pin, of which the rule set \
                 says nothing,",
                self.fitting.name
            );
            let add = "\"greatest_offset_on_pin\": { \"value\": \"… mm\", \"source\": \"…\" }".to_owned();
            let place = self.place().child("greatest_offset_on_pin");
            return vec![Finding::lacking(Code::PinOffset, &self.fitting.name, MissingInput::new(what, add, place))];
        }
        let text = format!(
            "not considered: the load may sit up to {millimeters:.1} mm off the middle of the pin; neither the rule set nor its \
             maker says what that leaves of the rating: keep it in the middle by packing, or ask its maker"
        );
        vec![self.said(Verdict::NotCovered, text)]
    }

    /// The rating that is left, against what is asked.
    fn lowered(
        &self,
        lift: &Lift,
        rules: &RuleSet,
        asks: &dyn Asks,
        offset: &Term,
        share: Term,
    ) -> Result<Vec<Finding>, Error> {
        let share = share.from_input(offset.name.clone(), format!("{} m ({})", offset.value, offset.source));
        let limits = match capacity::rate_fitting(lift, self.fitting, self.index, asks.weight().dynamic.as_ref(), rules)
        {
            Ok(limits) => limits,
            Err(error) => return Ok(vec![Finding::from_error(Code::PinOffset, &self.fitting.name, error)?]),
        };
        let mut findings = Vec::new();
        for (motion, limit) in limits {
            let Some(asked) = self.asked(lift, asks, motion)? else { continue };
            let rule = Some(share.source.clone());
            let rated = Ok(Some(Capacity { rule, ..limit.times(share.clone()) }));
            let finding = held_against(Code::PinOffset, &self.fitting.name, self.place(), asked, rated)?;
            // Of the findings of this code it alone rests on a force: on what any pull off the line rests on, unless a rule shares.
            let by_rule = !finding.assumptions.is_empty();
            let rests = if by_rule { finding.assumptions.clone() } else { Code::SideLoad.assumptions().into() };
            findings.push(Finding { assumptions: rests, ..finding });
        }
        Ok(findings)
    }

    fn asked(&self, lift: &Lift, asks: &dyn Asks, motion: Motion) -> Result<Option<Asked>, Error> {
        let at_rest = motion == Motion::AtRest;
        match self.pulled {
            Pulled::Collected(number) => Ok(asks.collector(number, &self.fitting.name, at_rest)),
            Pulled::Leg(leg) => match lift.legs().nth(leg) {
                Some(view) => asks.leg(leg, &view.leg.name, at_rest).map(Some),
                None => Ok(None),
            },
        }
    }
}
