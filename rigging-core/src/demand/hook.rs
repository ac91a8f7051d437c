//! Load on a hook, whatever its source of forces.

use super::{Asked, DesignWeight, Reach, weight};
use crate::arrangement::Lift;
use crate::chain::{Acts, Chain, Term};
use crate::error::Error;
use crate::source::Source;
use crate::text::Text;

/// The gear's weight and mass in words.
const SLINGS: (&str, &str) = ("weight of slings and fittings", "mass of slings and fittings");

/// A weight that hangs beside the load, with the dynamic factor.
fn hung(of: &DesignWeight, symbol: &'static str, what: (&'static str, &'static str), mass: f64, gravity: f64) -> Term {
    let dynamic = of.dynamic.as_ref().map_or(1.0, |term| term.value);
    let source = Source::mechanics("weight is mass times gravity");
    let term = Term::new(symbol, what.0, mass * gravity * dynamic, "N", source)
        .from_input(what.1, Text::written(format_args!("{mass} kg")));
    match &of.dynamic {
        Some(dynamic) => term.from_input(dynamic.name.clone(), dynamic.value.to_string()),
        None => term,
    }
}

/// Under a single hook: the weight of everything, whatever the legs carry.
///
/// # Errors
/// [`Error::Missing`] for a sling or fitting whose mass is not known.
pub(super) fn single(of: &DesignWeight, name: &str, gravity: f64) -> Result<Asked, Error> {
    let gear = of.gear_mass.clone()?;
    let mut chain = of.chain.clone();
    if of.spreader_mass > 0.0 {
        let what = ("weight of spreaders", "mass of spreaders");
        chain = chain.plus(hung(of, "S", what, of.spreader_mass, gravity), Acts::OnWeight);
    }
    let chain = chain.plus(hung(of, "G", SLINGS, gear, gravity), Acts::OnWeight);
    Ok(Asked { chain: named(chain, name).into(), reach: Reach::Attained })
}

/// Under one of several hooks: the pull of the legs, and the gear that can hang from it.
///
/// # Errors
/// As [`single`].
pub(super) fn of_several(
    pull: Asked,
    of: &DesignWeight,
    lift: &Lift,
    hook: usize,
    name: &str,
    gravity: f64,
) -> Result<Asked, Error> {
    let gear = weight::gear_below(lift, hook)?;
    let term = hung(of, "G", SLINGS, gear, gravity);
    let reach = match pull.reach {
        Reach::Bound(attained) => Reach::Bound(attained + term.value),
        other => other,
    };
    let chain = Chain::clone(&pull.chain).plus(term, Acts::OnForce);
    Ok(Asked { chain: named(chain, name).into(), reach })
}

fn named(chain: Chain, name: &str) -> Chain {
    Chain { quantity: ["load on ", name].into(), ..chain }
}
