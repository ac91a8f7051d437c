//! Factors of a rule set on shares of the load: they act on what the balance makes of a leg, a place or one of several hooks, and
//! never on the weight of everything under a single hook, which no share changes.

use super::{ToleranceBox, facts_of};
use crate::arrangement::{Anchor, LegView, Lift};
use crate::chain::{Acts, Chain, Term};
use crate::error::{Error, Place};
use crate::length;
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::text::Text;

/// Factors on shares of the load.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ShareFactors {
    /// On every share, for a center of gravity of which the lift states no box; none where it states one.
    pub center_of_gravity: Option<Term>,
    /// For turning about the vertical, of each of two hooks; empty where there are not two, or none is raised.
    pub yaw: Vec<Option<Term>>,
    /// What each leg hangs from, where a load that turns raises anything.
    legs: Vec<Hung>,
    /// What one side of each leg that passes over something bears at least; empty where nothing is said of any.
    sides: Vec<Option<SideShare>>,
}

/// What a rule set says one side of a sling that passes over something bears at least.
#[derive(Debug, Clone, PartialEq)]
pub enum SideShare {
    /// This share of what both sides bear together.
    Of(Term),
    /// Why that is not known.
    Open(Text),
}

/// The stations of a leg, and the hooks it hangs from, be it by other legs.
#[derive(Debug, Clone, PartialEq)]
struct Hung {
    stations: Vec<Anchor>,
    hooks: Vec<usize>,
}

impl ShareFactors {
    /// The factors of a rule set for a lift.
    ///
    /// # Errors
    /// What keeps the rule set from giving the factor for a center of gravity of which no box is stated: [`Error::Missing`],
    /// [`Error::Unsupported`].
    pub fn of(lift: &Lift, rules: &RuleSet) -> Result<Self, Error> {
        let boxed = !lift.document().load.center_of_gravity.tolerance.is_unknown();
        let center_of_gravity = if boxed { None } else { for_center_of_gravity(lift, rules)? };
        let yaw = if lift.document().hooks.len() == 2 {
            [0, 1].map(|hook| turning(lift, rules, hook)).to_vec()
        } else {
            Vec::new()
        };
        let sides = sides(lift, rules);
        if yaw.iter().all(Option::is_none) {
            return Ok(Self { center_of_gravity, sides, ..Self::default() });
        }
        Ok(Self { center_of_gravity, yaw, legs: hung(lift), sides })
    }

    /// Whether nothing is raised.
    pub fn are_none(&self) -> bool {
        self.center_of_gravity.is_none() && self.yaw.is_empty() && self.sides.is_empty()
    }

    /// What one side of a leg that passes over something bears at least; none where the rule set does not speak of it.
    pub fn of_sides(&self, leg: usize) -> Option<&SideShare> {
        self.sides.get(leg)?.as_ref()
    }

    /// The box of tolerances: that of the lift, or, where a factor stands for the center of gravity, with it where it is stated.
    ///
    /// # Errors
    /// As [`ToleranceBox::of`].
    pub(super) fn tolerances(&self, lift: &Lift) -> Result<ToleranceBox, Error> {
        match self.center_of_gravity {
            None => ToleranceBox::of(lift),
            Some(_) => {
                let lengths = lift.legs().map(|leg| length::tolerance(&leg)).collect::<Result<_, _>>()?;
                Ok(ToleranceBox { lengths, center: [0.0; 3] })
            }
        }
    }

    /// The factors on the force of a leg.
    pub fn on_leg(&self, leg: usize) -> Vec<&Term> {
        self.with_yaw(self.legs.get(leg).into_iter().flat_map(|hung| hung.hooks.iter().copied()))
    }

    /// The factors on what bears on one of several hooks.
    pub fn on_hook(&self, hook: usize) -> Vec<&Term> {
        self.with_yaw([hook].into_iter())
    }

    /// The factors on what the legs at a place pull it with together.
    pub fn on_place(&self, place: Anchor) -> Vec<&Term> {
        if let Anchor::Hook(hook) = place {
            return self.on_hook(hook);
        }
        let meeting = self.legs.iter().filter(|hung| hung.stations.contains(&place));
        self.with_yaw(meeting.flat_map(|hung| hung.hooks.iter().copied()))
    }

    /// The factors on a share of which no hook is told: the greatest for turning counts.
    pub fn on_any(&self) -> Vec<&Term> {
        self.with_yaw([0, 1].into_iter())
    }

    /// The factor for the center of gravity, and the greatest for turning among those of some hooks.
    fn with_yaw(&self, hooks: impl Iterator<Item = usize>) -> Vec<&Term> {
        let yaw = hooks.filter_map(|hook| self.yaw.get(hook)?.as_ref());
        let greatest = yaw.max_by(|one, other| one.value.total_cmp(&other.value));
        self.center_of_gravity.iter().chain(greatest).collect()
    }
}

/// A chain with factors on its force.
pub(crate) fn raised<'a>(chain: Chain, factors: impl IntoIterator<Item = &'a Term>) -> Chain {
    factors.into_iter().fold(chain, |chain, factor| chain.times(factor.clone(), Acts::OnForce))
}

/// A force with factors on it, to the bit what [`raised`] makes of it.
pub(crate) fn raised_value<'a>(force: f64, factors: impl IntoIterator<Item = &'a Term>) -> f64 {
    factors.into_iter().fold(force, |force, factor| force * factor.value)
}

/// The answer to the question for a factor for an uncertain center of gravity.
pub(crate) fn ask_center_of_gravity(lift: &Lift, rules: &RuleSet) -> Answer {
    let document = lift.document();
    let words = [
        ("operation", document.operation.kind.value().map(|kind| kind.word())),
        ("place", document.environment.location.value().map(|place| place.word())),
        ("mass basis", document.load.mass.basis.value().map(|basis| basis.word())),
    ];
    let facts = words.into_iter().fold(Facts::new(), |facts, (fact, word)| match word {
        Some(word) => facts.word(fact, word),
        None => facts.unknown(fact),
    });
    rules.ask(Question::CenterOfGravityFactor, &facts)
}

fn for_center_of_gravity(lift: &Lift, rules: &RuleSet) -> Result<Option<Term>, Error> {
    let root = Place::root();
    let at = root.child("load").child("center_of_gravity").child("tolerance");
    let name = Question::CenterOfGravityFactor.name();
    match ask_center_of_gravity(lift, rules) {
        Answer::Speaks(ruled) => Ok(ruled.into_term()),
        Answer::Silent | Answer::DoesNotApply { .. } => Ok(None),
        Answer::Refused(error) => Err(error),
        Answer::Missing { fact, needed_by } => {
            let (place, add) = match &*fact {
                "operation" => (root.child("operation").child("kind"), "\"kind\": \"…\""),
                "place" => (root.child("environment").child("location"), "\"location\": \"…\""),
                "mass basis" => (root.child("load").child("mass").child("basis"), "\"basis\": \"…\""),
                _ => (at, "\"tolerance\": [\"… mm\", \"… mm\", \"… mm\"]"),
            };
            Err(Error::missing(format!("the {fact}, on which the {name} after {needed_by} rests,"), add, place))
        }
        Answer::OutsideRange { reading, policy, source } => {
            Err(Error::unsupported(format!("a {name}: {reading} ({source}: {policy})"), at))
        }
        Answer::Withheld { why, source, .. } => Err(Error::unsupported(format!("a {name}: {why} ({source})"), at)),
    }
}

/// What a rule set is asked with of a lift by two hooks.
pub(crate) fn facts_of_two_hooks(lift: &Lift) -> Facts {
    let operation = &lift.document().operation;
    let facts = match operation.vessels.value() {
        Some(vessels) => Facts::new().word("vessels", vessels.word()),
        None => Facts::new().unknown("vessels"),
    };
    match operation.hooks_synchronized.value() {
        Some(synchronized) => facts.word("hooks synchronized", if *synchronized { "yes" } else { "no" }),
        None => facts.unknown("hooks synchronized"),
    }
}

/// The answer to the question for the factor for turning about the vertical, of one of two hooks.
pub(crate) fn ask_yaw(lift: &Lift, rules: &RuleSet, hook: usize) -> Answer {
    rules.ask(Question::YawFactor, &facts_of_two_hooks(lift).number("legs per hook", slings_on(lift, hook) as f64, ""))
}

/// What keeps the rule set from giving the factor is told by the checks.
fn turning(lift: &Lift, rules: &RuleSet, hook: usize) -> Option<Term> {
    match ask_yaw(lift, rules, hook) {
        Answer::Speaks(ruled) => ruled.into_term(),
        _ => None,
    }
}

/// How many legs a hook holds side by side: those on it, of one that ends in a ring those that hang from the ring.
pub(crate) fn slings_on(lift: &Lift, hook: usize) -> usize {
    lift.legs_side_by_side(Anchor::Hook(hook)).max(1)
}

/// What is said of the sides of every leg; nothing where nothing is said of any.
fn sides(lift: &Lift, rules: &RuleSet) -> Vec<Option<SideShare>> {
    if !rules.has_rules_on(Question::PartShare) || !lift.legs().any(|leg| leg.links.runs()) {
        return Vec::new();
    }
    let said: Vec<Option<SideShare>> = lift.legs().map(|leg| side(lift, rules, &leg)).collect();
    if said.iter().all(Option::is_none) { Vec::new() } else { said }
}

/// What is said of the sides of one leg: of the spans along one body there is nothing to say.
fn side(lift: &Lift, rules: &RuleSet, leg: &LegView<'_>) -> Option<SideShare> {
    let spans = leg.links.spans().filter(|[from, to]| !from.rigid_with(*to)).count();
    let (_, sling) = leg.slings().next()?;
    let facts = facts_of(lift).of_sling(sling);
    if !leg.links.runs() || spans < 2 || !rules.of_item(&facts).is_covered() {
        return None;
    }
    let ask = |bearing: &'static str| rules.ask(Question::PartShare, &facts.clone().word("part bearing", bearing));
    let free = leg.passages().all(|(_, passage)| passage.free_turning.value() == Some(&true));
    let two = ask(if free { "greased sheave" } else { "fixed" });
    let name = &leg.leg.name;
    let open = |why: &dyn std::fmt::Display| Some(SideShare::Open(Text::written(format_args!("{name}: {why}"))));
    let said = match (spans, &two) {
        (_, Answer::Silent | Answer::DoesNotApply { .. }) => return None,
        (2, _) => two,
        _ => ask("more than two"),
    };
    match said {
        Answer::Speaks(ruled) => ruled.into_term().map(SideShare::Of),
        Answer::Silent | Answer::DoesNotApply { .. } => {
            open(&"the rule set says what one of two sides bears at least, and nothing of more than two")
        }
        Answer::Missing { fact, needed_by } => {
            open(&format_args!("what one side bears at least rests on the {fact} ({needed_by})"))
        }
        Answer::OutsideRange { reading, policy, source } => open(&format_args!("{reading} ({source}: {policy})")),
        Answer::Withheld { why, source, .. } => open(&format_args!("{why} ({source})")),
        Answer::Refused(error) => open(&error),
    }
}

/// What each leg hangs from.
fn hung(lift: &Lift) -> Vec<Hung> {
    let below = [0, 1].map(|hook| hung_from(lift, hook));
    let hooks = |leg: usize| {
        let holding = below.iter().enumerate().filter(|(_, legs)| legs.contains(&leg));
        holding.map(|(hook, _)| hook).collect()
    };
    lift.legs().map(|leg| Hung { stations: leg.links.stations.clone(), hooks: hooks(leg.index) }).collect()
}

/// The legs that hang from a hook, be it by joints and spreaders; a leg to another hook is one of that hook.
pub(crate) fn hung_from(lift: &Lift, hook: usize) -> Vec<usize> {
    let of_other = |leg: &LegView<'_>| {
        let hooks = || leg.links.stations.iter().filter(|station| matches!(station, Anchor::Hook(_)));
        hooks().next().is_some() && !hooks().any(|station| *station == Anchor::Hook(hook))
    };
    let same = |one: Anchor, other: Anchor| match (one, other) {
        (Anchor::SpreaderPoint(one, _), Anchor::SpreaderPoint(other, _)) => one == other,
        (Anchor::LiftPoint(_) | Anchor::Place(_), _) => false,
        (one, other) => one == other,
    };
    let (mut found, mut open) = (Vec::new(), vec![Anchor::Hook(hook)]);
    while let Some(anchor) = open.pop() {
        for leg in lift.legs().filter(|leg| !of_other(leg)) {
            let held = leg.links.stations.iter().any(|station| same(*station, anchor));
            if held && !found.contains(&leg.index) {
                found.push(leg.index);
                open.extend(leg.links.stations.iter().copied());
            }
        }
    }
    found
}
