//! What the lift asks of each item: the largest force over the box of tolerances, from the weight that the rule set
//! makes of the load.
//!
//! Factors on weight act before the equilibrium is solved, because they change stretch and sharing. The largest value
//! is the one attained at a vertex of the box; points inside may exceed it by a little, so it is printed as *attained,
//! not a bound*.
//!
//! A sharing rule takes the place of the worst case where a user asks for it ([`by_rule`]), and [`compare`] tells how far
//! each rule falls below it.

mod at_vertices;
mod bounds;
mod by_rule;
mod comparison;
mod sweep;
mod tolerance;
mod weight;

pub use at_vertices::ElasticAtVertices;
pub use bounds::ElasticBounds;
pub use by_rule::by_rule;
pub use comparison::{Compared, Comparison, Ruled, Shortfall, compare, compare_sharing};
pub use sweep::{Extremes, LegExtremes, PlaceExtremes, SpreaderExtremes, sweep};
pub use tolerance::{MOST_LEGS_AT_VERTICES, ToleranceBox, Vertex};
pub use weight::{DesignWeight, weigh};

use crate::arrangement::{Anchor, Lift};
use crate::chain::{Acts, Chain, Term};
use crate::equilibrium::Certificate;
use crate::error::Error;
use crate::rules::RuleSet;
use crate::source::Source;
use crate::system;
use crate::text::Text;
use sweep::Swept;

/// The gear's weight and mass in words.
const SLINGS: (&str, &str) = ("weight of slings and fittings", "mass of slings and fittings");

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
}

/// Raises the demand of a lift under a rule set.
///
/// # Errors
/// [`Error::Missing`] for every input that weight, statics or tolerances need; [`Error::Unsupported`] for what is not
/// calculated.
pub fn raise(lift: &Lift, rules: &RuleSet) -> Result<Demand, Error> {
    let weight = weigh(lift, rules)?;
    let tolerances = ToleranceBox::of(lift)?;
    let model = system::from_lift(lift, weight.moving())?;
    let Swept { nominal, tensions, extremes: moving } = sweep::swept(lift, &model, &tolerances)?;
    let at_rest = match &weight.dynamic {
        None => None,
        Some(_) => Some(sweep(lift, &system::from_lift(lift, weight.at_rest())?, &tolerances)?),
    };
    Ok(Demand { weight, tolerances, nominal, tensions, moving, at_rest })
}

impl Demand {
    /// Extremes at rest: without the dynamic factor.
    pub fn extremes_at_rest(&self) -> &Extremes {
        self.at_rest.as_ref().unwrap_or(&self.moving)
    }

    /// Largest tension of a leg as a chain from the weight of the load; `at_rest` leaves the dynamic factor out.
    pub fn leg(&self, leg: &LegExtremes, name: &str, at_rest: bool) -> Chain {
        let text = match leg.sliding {
            None => "largest leg tension over the vertices of the tolerances; attained, not a bound",
            Some(_) => "largest tension of a span over vertices and limits of sliding; attained, not a bound",
        };
        let quantity = ["tension of ", name, if at_rest { " at rest" } else { "" }];
        self.solved(at_rest, quantity.into(), "T", text, leg.largest, &leg.attained)
    }

    /// Largest resultant of several legs at one place, as a chain from the weight of the load.
    pub fn place(&self, place: &PlaceExtremes, name: &str) -> Chain {
        let text = "largest resultant of all legs there over the vertices of the tolerances; attained, not a bound";
        self.solved(false, ["resultant pull on ", name].into(), "R", text, place.largest, &place.attained)
    }

    /// Largest compression of a spreader, as a chain from the weight of the load.
    pub fn compression(&self, spreader: &SpreaderExtremes, name: &str) -> Chain {
        let text = "largest inward pull on one end over the vertices of the tolerances; attained, not a bound";
        let quantity = ["compression of ", name].into();
        self.solved(false, quantity, "C", text, spreader.compression, &spreader.attained)
    }

    fn solved(
        &self,
        at_rest: bool,
        quantity: Text,
        symbol: &'static str,
        text: &'static str,
        value: f64,
        attained: &Vertex,
    ) -> Chain {
        let mut chain = self.weight.chain.clone();
        if at_rest && self.at_rest.is_some() {
            chain.steps.pop();
        }
        let extremes = if at_rest { self.extremes_at_rest() } else { &self.moving };
        let source = Source::mechanics("equilibrium of the hanging load, solved and certified");
        let term = Term::new(symbol, text, value, "N", source)
            .from_input("attained at", attained.to_string())
            .from_input("states solved", extremes.states.to_string());
        chain.quantity = quantity;
        chain.becomes(term, Acts::OnForce)
    }

    /// Load on a hook with the gear that can hang from it. Under a single hook that is the weight of everything; under
    /// several it is the largest pull over the box and the weight of every leg that does not hang from another hook.
    ///
    /// # Errors
    /// [`Error::Missing`] for a sling or fitting whose mass is not known.
    pub fn hook(&self, lift: &Lift, hook: usize, name: &str, gravity: f64) -> Result<Chain, Error> {
        let dynamic = self.weight.dynamic.as_ref().map_or(1.0, |term| term.value);
        let hung = |symbol, what: &'static str, of: &'static str, mass: f64| {
            let source = Source::mechanics("weight is mass times gravity");
            let term =
                Term::new(symbol, what, mass * gravity * dynamic, "N", source).from_input(of, format!("{mass} kg"));
            match &self.weight.dynamic {
                Some(dynamic) => term.from_input(dynamic.name.clone(), dynamic.value.to_string()),
                None => term,
            }
        };
        let mut chain = match self.moving.at(Anchor::Hook(hook)) {
            Some(place) => {
                let gear = weight::gear_below(lift, hook)?;
                self.place(place, name).plus(hung("G", SLINGS.0, SLINGS.1, gear), Acts::OnForce)
            }
            None => {
                let gear = self.weight.gear_mass.clone()?;
                let mut chain = self.weight.chain.clone();
                if self.weight.spreader_mass > 0.0 {
                    let spreaders = hung("S", "weight of spreaders", "mass of spreaders", self.weight.spreader_mass);
                    chain = chain.plus(spreaders, Acts::OnWeight);
                }
                chain.plus(hung("G", SLINGS.0, SLINGS.1, gear), Acts::OnWeight)
            }
        };
        chain.quantity = ["load on ", name].into();
        Ok(chain)
    }
}
