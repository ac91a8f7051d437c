//! Load on a hook, whatever its source of forces.

use super::{Asked, DesignWeight, Reach, weight};
use crate::arrangement::{CapacityBasis, Hook, Lift};
use crate::chain::{Acts, Chain, Term};
use crate::error::{Error, Place};
use crate::source::{Source, WEIGHT};
use crate::text::Text;

/// The gear's weight and mass in words.
const SLINGS: (&str, &str) = ("weight of slings and fittings", "mass of slings and fittings");

/// A weight that hangs beside the load, with the dynamic factor.
fn hung(of: &DesignWeight, symbol: &'static str, what: (&'static str, &'static str), mass: f64, gravity: f64) -> Term {
    let dynamic = of.dynamic.as_ref().map_or(1.0, |term| term.value);
    let source = Source::fixed(&WEIGHT);
    let term = Term::new(symbol, what.0, mass * gravity * dynamic, "N", source)
        .from_input(what.1, Text::written(format_args!("{mass} kg")));
    match &of.dynamic {
        Some(dynamic) => term.from_input(dynamic.name.clone(), dynamic.value.to_string()),
        None => term,
    }
}

/// Under a single hook: the weight of everything, whatever the legs carry, as far as the hook's rating leaves it to be counted.
///
/// # Errors
/// [`Error::Missing`] for a sling or fitting whose mass is not known, and for the mass of a block that counts; a hook that is not
/// there.
pub(super) fn single(of: &DesignWeight, lift: &Lift, index: usize, name: &str, gravity: f64) -> Result<Asked, Error> {
    let mut chain = of.chain.clone();
    if of.spreader_mass > 0.0 {
        let what = ("weight of spreaders", "mass of spreaders");
        chain = chain.plus(hung(of, "S", what, of.spreader_mass, gravity), Acts::OnWeight);
    }
    let counted = counted(of, lift, index, gravity, || of.gear_mass.clone())?;
    let chain = counted.into_iter().fold(chain, |chain, term| chain.plus(term, Acts::OnWeight));
    Ok(Asked { chain: named(chain, name).into(), reach: Reach::Attained, of_capacity: of.of_capacity().cloned() })
}

/// Under one of several hooks: the pull of the legs, and the gear that can hang from it, as far as the hook's rating leaves it to
/// be counted.
///
/// # Errors
/// As [`single`].
pub(crate) fn of_several(
    pull: Asked,
    of: &DesignWeight,
    lift: &Lift,
    hook: usize,
    name: &str,
    gravity: f64,
) -> Result<Asked, Error> {
    let counted = counted(of, lift, hook, gravity, || weight::gear_below(lift, hook))?;
    let added: f64 = counted.iter().map(|term| term.value).sum();
    let reach = match pull.reach {
        Reach::Bound(attained) => Reach::Bound(attained + added),
        other => other,
    };
    let chain = Chain::clone(&pull.chain);
    let chain = counted.into_iter().fold(chain, |chain, term| chain.plus(term, Acts::OnForce));
    Ok(Asked { chain: named(chain, name).into(), reach, of_capacity: pull.of_capacity })
}

/// What hangs beside the load and counts against the rating: each once. Where nothing is stated the gear counts, as it does on a
/// hook that is rated by itself.
fn counted(
    of: &DesignWeight,
    lift: &Lift,
    index: usize,
    gravity: f64,
    gear: impl FnOnce() -> Result<f64, Error>,
) -> Result<Vec<Term>, Error> {
    let hook = lift.document().hooks.get(index).ok_or_else(|| no_such_hook(index))?;
    let mut counted = Vec::new();
    let basis = hook.capacity_basis.value().copied().unwrap_or(CapacityBasis::NetOfBlock);
    if basis != CapacityBasis::NetOfBlockAndGear {
        counted.push(hung(of, "G", SLINGS, gear()?, gravity));
    }
    if basis == CapacityBasis::Gross {
        let what =
            format_args!("the mass of hook and block of \"{}\", which counts against a gross capacity,", hook.name);
        let mass = hook.mass.required(what, "\"mass\": \"… kg\"", || place(index).child("mass"))?;
        counted.push(hung(of, "B", ("weight of hook and block", "mass of hook and block"), mass.si(), gravity));
    }
    Ok(counted)
}

/// What a hook's rating leaves to be counted must be stated where it could be counted twice or not at all: where a mass of the
/// block is stated, and on cranes, of which there are as many charts as hooks.
///
/// # Errors
/// [`Error::Missing`], with the words to choose from.
pub(crate) fn basis(lift: &Lift, index: usize, hook: &Hook) -> Result<Option<CapacityBasis>, Error> {
    let asked = lift.document().hooks.len() > 1 || !hook.mass.is_unknown();
    if hook.capacity_basis.is_unknown() && asked {
        let what = format!("whether the rating of \"{}\" leaves block and gear to be counted", hook.name);
        let add = "\"capacity_basis\": \"gross\" (or \"net_of_block\", \"net_of_block_and_gear\")";
        return Err(Error::missing(what, add, place(index).child("capacity_basis")));
    }
    Ok(hook.capacity_basis.value().copied())
}

fn place(index: usize) -> Place {
    Place::root().child("hooks").child(index)
}

fn no_such_hook(index: usize) -> Error {
    Error::inconsistent("no load is known of this hook", place(index))
}

fn named(chain: Chain, name: &str) -> Chain {
    Chain { quantity: ["load on ", name].into(), ..chain }
}
