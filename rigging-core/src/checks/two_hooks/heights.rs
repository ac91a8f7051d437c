//! Loads with the hooks at heights that differ, solved.

use super::super::{Code, Finding, strength};
use super::borne::{Bearer, Borne, carries};
use super::gravity;
use super::own_factor::with_own_factor;
use crate::arrangement::Lift;
use crate::capacity::Motion;
use crate::chain::{Chain, Term};
use crate::demand::{self, Asked, AtHeights, Demand};
use crate::error::{Error, Place};

/// Loads on hooks and legs with the hooks at heights that differ.
pub(super) fn solved(
    lift: &Lift,
    demand: &Demand,
    difference: &Term,
    borne: &[Borne<'_>],
    moves: &[Option<Term>],
) -> Result<Vec<Finding>, Error> {
    let document = lift.document();
    let at = match AtHeights::of(lift, demand, demand.weight.moving(), difference.value) {
        Ok(at) => at,
        Err(error) => return Ok(vec![Finding::from_error(Code::HookHeights, &document.name, error)?]),
    };
    let mut found = Vec::new();
    for (index, hook) in document.hooks.iter().enumerate() {
        let place = Place::root().child("hooks").child(index);
        found.push(match at.hook(lift, demand, index, gravity(lift), &demand.on_share.on_hook(index)) {
            Ok(asked) => {
                let quantity = ["load on ", &*hook.name, " with the hooks at different heights"].into();
                let asked = Asked { chain: Chain { quantity, ..Chain::clone(&asked.chain) }.into(), ..asked };
                let asked = with_own_factor(asked, moves.get(index).and_then(Option::as_ref));
                let rated = strength::rate_hook(lift, index, hook);
                strength::held_against(Code::HookHeights, &hook.name, place, asked, rated)?
                    .after(difference.source.clone())
            }
            Err(error) => Finding::from_error(Code::HookHeights, &hook.name, error)?,
        });
    }
    let hung: Vec<Vec<usize>> = (0..moves.len()).map(|hook| demand::hung_from(lift, hook)).collect();
    let rest = match borne.iter().any(|one| one.motion == Motion::AtRest) {
        true => match AtHeights::of(lift, demand, demand.weight.at_rest(), difference.value) {
            Ok(rest) => Some(rest),
            Err(error) => return Ok(vec![Finding::from_error(Code::HookHeights, &document.name, error)?]),
        },
        false => None,
    };
    // What bears one force in one state of the load: the least capacity decides, and one finding tells it.
    let mut told: Vec<(Bearer, Motion)> = Vec::new();
    for Borne { bearer, motion, .. } in borne {
        if told.contains(&(*bearer, *motion)) {
            continue;
        }
        told.push((*bearer, *motion));
        let alike = borne.iter().filter(|other| (other.bearer, other.motion) == (*bearer, *motion));
        let Some(least) = alike.min_by(|one, other| one.capacity.total_cmp(&other.capacity)) else { continue };
        let (at, own) = match motion {
            Motion::AtRest => (rest.as_ref(), 1.0),
            Motion::Moving => {
                let own = moves.iter().zip(&hung).filter(|(_, legs)| bearer.hangs_by(lift, legs));
                let own = own.filter_map(|(own, _)| own.as_ref()).map(|own| own.value);
                (Some(&at), own.fold(1.0, f64::max))
            }
        };
        found.extend(at.and_then(|at| carries(lift, demand, at, least, difference, own)));
    }
    Ok(found)
}
