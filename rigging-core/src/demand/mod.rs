//! What the lift asks of each item: the largest force over the box of tolerances, from the weight that the rule set
//! makes of the load.
//!
//! Factors on weight act before the equilibrium is solved, because they change stretch and sharing. The largest value
//! is the one attained at a vertex of the box; points inside may exceed it by a little, so it is printed as *attained,
//! not a bound*. Where a user asks for them, bounds that are proven take its place ([`Demand::bounded`]), or the forces of
//! a sharing rule ([`ByRule`]); [`Asks`] is what the three have in common. [`compare`] tells how far each rule falls below
//! the worst case.

mod at_vertices;
mod bounds;
mod by_rule;
mod circumstances;
mod comparison;
mod forces;
mod hook;
mod hook_heights;
mod named;
mod share_factors;
mod snag;
mod sweep;
mod told_once;
mod tolerance;
mod weight;

pub use at_vertices::ElasticAtVertices;
pub use bounds::ElasticBounds;
pub(crate) use bounds::bound;
pub use by_rule::ByRule;
pub(crate) use circumstances::{circumstances, facts_of, stated_at};
pub use comparison::{Compared, Comparison, Ruled, Shortfall, compare, compare_sharing};
pub use forces::{Asked, Asks, ForceSource, Forces, Proof, Reach};
pub(crate) use hook::{basis as hook_basis, of_several as on_hook};
pub(crate) use hook_heights::AtHeights;
pub use named::{sharing_rule, sharing_rules};
pub use share_factors::{ShareFactors, SideShare};
pub(crate) use share_factors::{
    ask_center_of_gravity, ask_yaw, facts_of_two_hooks, hung_from, raised, raised_value, slings_on,
};
pub use snag::{Beside, Stuck};
pub use sweep::{
    CollectorExtremes, Extremes, LegExtremes, PlaceExtremes, SetExtremes, SpansExtremes, SpreaderExtremes, sweep,
};
pub(crate) use told_once::{Told, ToldOnce};
pub use tolerance::{MOST_LEGS_AT_VERTICES, ToleranceBox, Vertex};
pub use weight::{DesignWeight, weigh};
pub(crate) use weight::{dynamic_factor_of_hook, why_no_dynamic_factor};

use crate::arrangement::{Anchor, Lift, SetOfLegs};
use crate::chain::{Acts, Chain, Term};
use crate::equilibrium::Certificate;
use crate::equilibrium::worst::Effort;
use crate::error::{Error, Place};
use crate::rules::{Facts, RuleSet};
use crate::source::{SOLVED, Source};
use crate::system::{self, Masses};
use crate::text::Text;
use std::rc::Rc;
use std::sync::Arc;
use sweep::{Hanging, Swept};
use weight::weigh_amid;

/// What is asked of every item, and the state of the hanging load.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// The weight and how it came about.
    pub weight: DesignWeight,
    /// The box of tolerances.
    pub tolerances: ToleranceBox,
    /// Equilibrium at nominal lengths and center of gravity.
    pub nominal: Certificate,
    /// Tension of each leg in that state, in N; of a leg that passes over stations that of its busiest span.
    pub tensions: Vec<f64>,
    /// Extremes over the box, every factor on weight included.
    pub moving: Extremes,
    /// Extremes over the box without the dynamic factor; absent where there is none.
    pub at_rest: Option<Extremes>,
    /// Factors of the rule set on what the balance makes of a share. Extremes and tensions are without them, what is asked of
    /// an item is with them.
    pub on_share: ShareFactors,
}

/// Raises the demand of a lift under a rule set.
///
/// # Errors
/// [`Error::Missing`] for every input that weight, statics or tolerances need; [`Error::Unsupported`] for what is not
/// calculated.
pub fn raise(lift: &Lift, rules: &RuleSet) -> Result<Demand, Error> {
    raise_amid(lift, &circumstances(lift), rules)
}

/// The same, where it is known already what holds of the lift whatever is asked.
pub(crate) fn raise_amid(lift: &Lift, amid: &Arc<Facts>, rules: &RuleSet) -> Result<Demand, Error> {
    let weight = weigh_amid(lift, amid, rules)?;
    let on_share = ShareFactors::of(lift, rules)?;
    hung(lift, weight, on_share)
}

/// The demand of a weight, hung at rest and moving.
fn hung(lift: &Lift, weight: DesignWeight, on_share: ShareFactors) -> Result<Demand, Error> {
    let tolerances = on_share.tolerances(lift)?;
    let rest = hang(lift, weight.at_rest(), &tolerances)?;
    let Some(masses) = weight.with_dynamic_factor() else {
        return Ok(Demand::of(weight, tolerances, on_share, rest.swept, None));
    };
    let moving = rest.turned_into(lift, masses, &tolerances)?;
    Ok(Demand::of(weight, tolerances, on_share, moving, Some(rest.swept.extremes)))
}

/// Raises the demand of a lift under several rule sets, in their order, each as by [`raise`]. What the sets make of the
/// weight decides how the load hangs, and nothing else of theirs does: it is hung once for every weight among them.
pub fn raise_under(lift: &Lift, sets: &[&RuleSet]) -> Vec<Result<Demand, Error>> {
    let (mut known, amid) = (Known::default(), circumstances(lift));
    sets.iter().map(|rules| raise_among(lift, &amid, rules, &mut known)).collect()
}

/// What was hung for other rule sets, by the masses at rest, and by these and those that move.
#[derive(Default)]
struct Known {
    rest: Listed<Masses, Hanging>,
    moving: Listed<[Masses; 2], Swept>,
}

/// What was hung, under the masses it was hung with.
type Listed<K, T> = Vec<(K, Rc<Result<T, Error>>)>;

/// As [`raise`]; what is known is taken over.
fn raise_among(lift: &Lift, amid: &Arc<Facts>, rules: &RuleSet, known: &mut Known) -> Result<Demand, Error> {
    let weight = weigh_amid(lift, amid, rules)?;
    let on_share = ShareFactors::of(lift, rules)?;
    // Sets that give a factor where no box is stated all take the same box; one that gives none ends here.
    let tolerances = on_share.tolerances(lift)?;
    let masses = weight.at_rest();
    let rest = once(&mut known.rest, masses, || hang(lift, masses, &tolerances));
    let rest = rest.as_ref().as_ref().map_err(Error::clone)?;
    let Some(moving) = weight.with_dynamic_factor() else {
        return Ok(Demand::of(weight, tolerances, on_share, rest.swept.clone(), None));
    };
    let found = once(&mut known.moving, [masses, moving], || rest.turned_into(lift, moving, &tolerances));
    let found = Result::clone(&found)?;
    Ok(Demand::of(weight, tolerances, on_share, found, Some(rest.swept.extremes.clone())))
}

/// What stands in the list under this key, or is made and put there.
fn once<K: PartialEq, T>(
    list: &mut Listed<K, T>,
    key: K,
    make: impl FnOnce() -> Result<T, Error>,
) -> Rc<Result<T, Error>> {
    if let Some((_, found)) = list.iter().find(|(known, _)| *known == key) {
        return Rc::clone(found);
    }
    let made = Rc::new(make());
    list.push((key, Rc::clone(&made)));
    made
}

fn hang(lift: &Lift, masses: Masses, tolerances: &ToleranceBox) -> Result<Hanging, Error> {
    Hanging::of(lift, system::from_lift(lift, masses)?, tolerances)
}

/// What a figure of the solver is called: where it was attained, and as a bound.
struct Called {
    symbol: &'static str,
    attained: &'static str,
    bound: &'static str,
}

/// One figure over the box.
struct Figure<'a> {
    largest: f64,
    attained: &'a Vertex,
    bound: Option<f64>,
}

impl Demand {
    fn of(
        weight: DesignWeight,
        tolerances: ToleranceBox,
        on_share: ShareFactors,
        moving: Swept,
        at_rest: Option<Extremes>,
    ) -> Self {
        let Swept { nominal, tensions, extremes: moving } = moving;
        Self { weight, tolerances, nominal, tensions, moving, at_rest, on_share }
    }

    /// Whether another demand of the same lift asks the same, word for word: what decides how a load hangs is the weight, and
    /// the box of tolerances.
    pub(crate) fn asks_as(&self, other: &Self) -> bool {
        self.weight == other.weight && self.on_share == other.on_share && self.tolerances == other.tolerances
    }

    /// Extremes at rest: without the dynamic factor.
    pub fn extremes_at_rest(&self) -> &Extremes {
        self.at_rest.as_ref().unwrap_or(&self.moving)
    }

    /// The same demand with bounds over the tolerances of lengths and center of gravity, where they can be proven; with a
    /// dynamic factor for both weights. What the search attained inside the box is taken over.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] for an effort whose gap is not positive; every error of the solver. That there is no bound is
    /// no error: [`Extremes::proof`] says why.
    pub fn bounded(mut self, lift: &Lift, effort: &Effort) -> Result<Self, Error> {
        let tolerances = &self.tolerances;
        let all = |extremes: &mut Extremes, masses| {
            bound(extremes, lift, &system::from_lift(lift, masses)?, tolerances, effort)
        };
        all(&mut self.moving, self.weight.moving())?;
        if let Some(at_rest) = &mut self.at_rest {
            all(at_rest, self.weight.at_rest())?;
        }
        Ok(self)
    }

    /// What a set of legs bears: the weight of the load, or the resultant of the legs where something else hangs from their place.
    pub(crate) fn on_set(&self, set: &SetOfLegs, name: &str) -> Asked {
        let Some(seen) = self.moving.sets.iter().find(|seen| seen.anchor == set.at) else {
            let chain = self.weight.chain.clone().into();
            return Asked { chain, reach: Reach::Attained, of_capacity: self.weight.of_capacity().cloned() };
        };
        let called = Called {
            symbol: "R",
            attained: match self.moving.proof {
                Proof::NotAsked => {
                    "largest resultant of the legs of the set over the vertices of the tolerances; attained, not a bound"
                }
                _ => "largest resultant of the legs of the set found within the tolerances; attained, not a bound",
            },
            bound: "resultant of the legs of the set that no balance within the tolerances exceeds; proven, stiffness and \
                    mass as stated",
        };
        let figure = Figure { largest: seen.largest, attained: &seen.attained, bound: seen.bound };
        let factors = if set.whole { Vec::new() } else { self.on_share.on_place(set.at) };
        self.solved(false, ["pull of the legs that hang from ", name].into(), &called, &figure, &factors)
    }

    fn solved(&self, at_rest: bool, quantity: Text, called: &Called, figure: &Figure<'_>, factors: &[&Term]) -> Asked {
        let mut chain = if at_rest { self.weight.chain_at_rest() } else { self.weight.chain.clone() };
        let extremes = if at_rest { self.extremes_at_rest() } else { &self.moving };
        let (term, reach) = match (&extremes.proof, figure.bound) {
            (Proof::Bounded { parts, .. }, Some(bound)) => {
                let source = Source::fixed(&bounds::SOURCE);
                let most = format!("{:.3} kN at {}", figure.largest / 1e3, figure.attained);
                let term = Term::new(called.symbol, called.bound, bound, "N", source)
                    .from_input("attained", most)
                    .from_input("pieces looked at", parts.to_string());
                (term, Reach::Bound(raised_value(figure.largest, factors.iter().copied())))
            }
            (proof, _) => {
                let source = Source::fixed(&SOLVED);
                let term = Term::new(called.symbol, called.attained, figure.largest, "N", source)
                    .from_input("attained at", figure.attained.text())
                    .from_input("states solved", Text::written(format_args!("{}", extremes.states)));
                let reach = match proof {
                    Proof::NotAsked => Reach::Attained,
                    Proof::Bounded { .. } => Reach::Open("none is calculated for this force".into()),
                    Proof::Open { why, .. } => Reach::Open(why.clone()),
                };
                (term, reach)
            }
        };
        chain.quantity = quantity;
        Asked {
            chain: raised(chain.becomes(term, Acts::OnForce), factors.iter().copied()).into(),
            reach,
            of_capacity: self.weight.of_capacity().cloned(),
        }
    }
}

impl Asks for Demand {
    fn weight(&self) -> &DesignWeight {
        &self.weight
    }

    fn leg(&self, leg: usize, name: &str, at_rest: bool) -> Result<Asked, Error> {
        let extremes = if at_rest { self.extremes_at_rest() } else { &self.moving };
        let factors = self.on_share.on_leg(leg);
        let shared = self.on_share.of_sides(leg);
        let Some(leg) = extremes.legs.get(leg) else { return Err(no_such_leg(leg)) };
        let called = Called {
            symbol: "T",
            attained: match (leg.sliding, &extremes.proof) {
                (None, Proof::NotAsked) => {
                    "largest leg tension over the vertices of the tolerances; attained, not a bound"
                }
                (None, _) => "largest leg tension found within the tolerances; attained, not a bound",
                (Some(_), _) => "largest tension of a span over vertices and limits of sliding; attained, not a bound",
            },
            bound: "leg tension that no balance within the tolerances exceeds; proven, stiffness and mass as stated",
        };
        let quantity: Text = ["tension of ", name, if at_rest { " at rest" } else { "" }].into();
        let figure = Figure { largest: leg.largest, attained: &leg.attained, bound: leg.bound };
        let Some((share, together)) = shared.zip(leg.together.as_ref()) else {
            return Ok(self.solved(at_rest, quantity, &called, &figure, &factors));
        };
        match share {
            // What the rule set asks for at least goes beside what the balance makes of either side.
            SideShare::Of(share) if share.value * together.sum > leg.largest => {
                let largest = "largest sum of the tensions of both sides over vertices and limits of sliding; attained, not a bound";
                let called = Called { symbol: "ΣT", attained: largest, bound: largest };
                let figure = Figure { largest: together.sum, attained: &together.attained, bound: None };
                let factors: Vec<&Term> = std::iter::once(share).chain(factors).collect();
                Ok(self.solved(at_rest, quantity, &called, &figure, &factors))
            }
            SideShare::Of(share) => {
                let mut asked = self.solved(at_rest, quantity, &called, &figure, &factors);
                let mut chain = Chain::clone(&asked.chain);
                if let Some(step) = chain.steps.last_mut() {
                    let term = Term::clone(&step.term);
                    step.term =
                        term.instead_of(share.name.clone(), share.value * together.sum, share.source.clone()).into();
                }
                asked.chain = chain.into();
                Ok(asked)
            }
            SideShare::Open(why) => {
                let asked = self.solved(at_rest, quantity, &called, &figure, &factors);
                Ok(Asked { reach: Reach::Open(why.clone()), ..asked })
            }
        }
    }

    fn places(&self) -> Vec<Anchor> {
        self.moving.places.iter().map(|place| place.anchor).collect()
    }

    fn place(&self, anchor: Anchor, name: &str) -> Option<Asked> {
        let place = self.moving.at(anchor)?;
        let called = Called {
            symbol: "R",
            attained: match self.moving.proof {
                Proof::NotAsked => {
                    "largest resultant of all legs there over the vertices of the tolerances; attained, not a bound"
                }
                _ => "largest resultant of all legs there found within the tolerances; attained, not a bound",
            },
            bound: "resultant of all legs there that no balance within the tolerances exceeds; proven, stiffness and mass as \
                    stated",
        };
        let figure = Figure { largest: place.largest, attained: &place.attained, bound: place.bound };
        let quantity = ["resultant pull on ", name].into();
        Some(self.solved(false, quantity, &called, &figure, &self.on_share.on_place(anchor)))
    }

    fn collector(&self, index: usize, name: &str, at_rest: bool) -> Option<Asked> {
        let extremes = if at_rest { self.extremes_at_rest() } else { &self.moving };
        let seen = extremes.collectors.get(index)?;
        let called = Called {
            symbol: "R",
            attained: "largest resultant of the legs on one side over the vertices of the tolerances; attained, not a bound",
            bound: "resultant of the legs on one side that no balance within the tolerances exceeds",
        };
        let quantity = ["pull of the legs on ", name, if at_rest { " at rest" } else { "" }].into();
        let figure = Figure { largest: seen.largest, attained: &seen.attained, bound: None };
        // All legs on a single hook together bear the weight, whatever each one's share is.
        let whole = matches!(seen.anchor, Anchor::Hook(_)) && self.moving.at(seen.anchor).is_none();
        let factors = if whole { Vec::new() } else { self.on_share.on_place(seen.anchor) };
        Some(self.solved(at_rest, quantity, &called, &figure, &factors))
    }

    fn compressions(&self, lift: &Lift) -> Vec<Asked> {
        let called = Called {
            symbol: "C",
            attained: "largest inward pull on one end over the vertices of the tolerances; attained, not a bound",
            bound: "inward pull on one end that no balance within the tolerances exceeds",
        };
        let spreaders = lift.document().spreaders.iter().zip(&self.moving.spreaders);
        let asked = spreaders.map(|(spreader, extremes)| {
            let figure = Figure { largest: extremes.compression, attained: &extremes.attained, bound: None };
            let quantity = ["compression of ", &*spreader.name].into();
            self.solved(false, quantity, &called, &figure, &self.on_share.on_any())
        });
        asked.collect()
    }

    fn hook(&self, lift: &Lift, hook: usize, name: &str, gravity: f64) -> Result<Asked, Error> {
        match self.place(Anchor::Hook(hook), name) {
            Some(pull) => hook::of_several(pull, &self.weight, lift, hook, name, gravity),
            None => hook::single(&self.weight, lift, hook, name, gravity),
        }
    }
}

/// A leg that the lift does not have.
fn no_such_leg(leg: usize) -> Error {
    Error::inconsistent("no force is known of this leg", Place::root().child("legs").child(leg))
}
