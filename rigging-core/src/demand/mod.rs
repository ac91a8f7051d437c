//! What the lift asks of each item: the largest force over the box of tolerances, from the weight that the rule set
//! makes of the load.
//!
//! Factors on weight act before the equilibrium is solved, because they change stretch and sharing. The largest value
//! is the one attained at a vertex of the box; points inside may exceed it by a little, so it is printed as *attained,
//! not a bound*.

mod sweep;
mod tolerance;
mod weight;

pub use sweep::{Extremes, LegExtremes, sweep};
pub use tolerance::{MOST_LEGS_AT_VERTICES, ToleranceBox, Vertex};
pub use weight::{DesignWeight, weigh};

use crate::arrangement::Lift;
use crate::chain::{Acts, Chain, Term};
use crate::equilibrium::{self, Certificate};
use crate::error::Error;
use crate::rules::RuleSet;
use crate::source::Source;
use crate::system;

/// What is asked of every item, and the state of the hanging load.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// The weight and how it came about.
    pub weight: DesignWeight,
    /// The box of tolerances.
    pub tolerances: ToleranceBox,
    /// Equilibrium at nominal lengths and center of gravity.
    pub nominal: Certificate,
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
    let nominal = equilibrium::solve(&model)?;
    let moving = sweep(lift, &model, &tolerances)?;
    let at_rest = match &weight.dynamic {
        None => None,
        Some(_) => Some(sweep(lift, &system::from_lift(lift, weight.at_rest())?, &tolerances)?),
    };
    Ok(Demand { weight, tolerances, nominal, moving, at_rest })
}

impl Demand {
    /// Extremes at rest: without the dynamic factor.
    pub fn extremes_at_rest(&self) -> &Extremes {
        self.at_rest.as_ref().unwrap_or(&self.moving)
    }

    /// Largest tension of a leg as a chain from the weight of the load; `at_rest` leaves the dynamic factor out.
    pub fn leg(&self, leg: &LegExtremes, name: &str, at_rest: bool) -> Chain {
        let mut chain = self.weight.chain.clone();
        if at_rest && self.at_rest.is_some() {
            chain.steps.pop();
        }
        let extremes = if at_rest { self.extremes_at_rest() } else { &self.moving };
        let term = Term::new(
            "T",
            "largest leg tension over the vertices of the tolerances; attained, not a bound",
            leg.largest,
            "N",
            Source::mechanics("equilibrium of the hanging load, solved and certified"),
        )
        .from_input("attained at", leg.attained.to_string())
        .from_input("states solved", extremes.states.to_string());
        chain.quantity = format!("tension of {name}{}", if at_rest { " at rest" } else { "" }).into();
        chain.becomes(term, Acts::OnForce)
    }

    /// Load on a single hook: weight of the load with its factors, and of the gear with the dynamic factor.
    ///
    /// # Errors
    /// [`Error::Missing`] for a sling or fitting whose mass is not known.
    pub fn hook(&self, name: &str, gravity: f64) -> Result<Chain, Error> {
        let gear = self.weight.gear_mass.clone()?;
        let dynamic = self.weight.dynamic.as_ref().map_or(1.0, |term| term.value);
        let source = Source::mechanics("weight is mass times gravity");
        let mut term = Term::new("G", "weight of slings and fittings", gear * gravity * dynamic, "N", source)
            .from_input("mass of slings and fittings", format!("{gear} kg"));
        if let Some(dynamic) = &self.weight.dynamic {
            term = term.from_input(dynamic.name.clone(), dynamic.value.to_string());
        }
        let mut chain = self.weight.chain.clone().plus(term, Acts::OnWeight);
        chain.quantity = format!("load on {name}").into();
        Ok(chain)
    }
}
