//! What the own weight of slings and fittings adds to the pull at the ends of the legs.

use super::Balance;
use crate::arrangement::{Item, LegView, Lift};
use crate::equilibrium::State;
use crate::equilibrium::own_weight::{MemberMass, weigh};
use crate::error::{Error, Place};
use serde::Serialize;

/// A leg with its own weight.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct WeighedLeg {
    /// Name of the leg.
    pub leg: String,
    /// Weight of its slings and fittings, N.
    pub weight: f64,
    /// Tension along the chord, N.
    pub tension: f64,
    /// Pull at its upper end, N: chord and own weight together.
    pub upper: f64,
    /// Pull at its lower end, N.
    pub lower: f64,
    /// What the sag shortens it by, m; none where its slings weigh more than half of the tension.
    pub shortening: Option<f64>,
    /// What the sag of all legs adds to the pull at its upper end, N, and what `upper` therefore leaves out; none where a leg
    /// hangs rather than pulls.
    pub sag: Option<f64>,
}

/// A balance with the own weight of its gear.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct OwnWeight {
    /// Kind of the balance.
    pub state: State,
    /// Tilt of each body, rad, the load first.
    pub tilts: Vec<f64>,
    /// The legs, in the order of the document.
    pub legs: Vec<WeighedLeg>,
    /// Pull on each hook, N, with the gear that hangs from it.
    pub hooks: Vec<f64>,
}

impl Balance {
    /// The balance hung once more with the own weight of slings and fittings: half of each sling at either end of its leg,
    /// fittings at the end they stand at. What that leaves out, the sag, is told with it.
    ///
    /// # Errors
    /// [`Error::Missing`] for a mass of the gear that is not known; [`Error::Unsupported`] for a leg that ends at a joint or
    /// passes over something; every error of the solver.
    ///
    /// ```
    /// use rigging_core::arrangement::Lift;
    /// let balance = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?.hang()?;
    /// let found = balance.own_weight()?;
    /// // Four slings of 9 kg and shackles of 8 kg beside 18.5 t: all of it hangs from the hook.
    /// assert!((found.hooks[0] - (18_500.0 + 68.0) * 9.80665).abs() < 1e-3);
    /// assert!(found.legs.iter().all(|leg| leg.upper > leg.tension && leg.tension > leg.lower));
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn own_weight(&self) -> Result<OwnWeight, Error> {
        self.nothing_runs("own weight")?;
        let masses = self.gear.clone()?;
        let found = weigh(&self.model, &masses).map_err(|error| self.in_document(error))?;
        let legs = found.members.iter().zip(&found.certificate.members).enumerate().map(|(index, (member, state))| {
            let [a, b] = member.ends;
            let [gain_a, gain_b] = member.change.map_or([None; 2], |change| change.map(Some));
            // The member's direction leads from b to a.
            let (upper, lower, sag) = if state.direction.z >= 0.0 { (a, b, gain_a) } else { (b, a, gain_b) };
            WeighedLeg {
                leg: self.names.leg(index),
                weight: member.weight,
                tension: member.tension,
                upper,
                lower,
                shortening: member.shortening,
                sag,
            }
        });
        Ok(OwnWeight {
            state: found.certificate.state,
            tilts: found.certificate.bodies.iter().map(|body| body.tilt).collect(),
            legs: legs.collect(),
            hooks: found.hooks,
        })
    }

    /// A complaint about a member, told at the leg it was made from.
    fn in_document(&self, error: Error) -> Error {
        let pointer = error.place().as_str().to_owned();
        match pointer.strip_prefix("/members/").and_then(|index| index.parse::<usize>().ok()) {
            Some(leg) => error.at(Place::root().child("legs").child(leg)),
            None => error,
        }
    }
}

/// The masses of the members of a lift, or the first that is not known.
pub(super) fn gear(lift: &Lift) -> Result<Vec<MemberMass>, Error> {
    lift.legs().map(|leg| mass_of(lift, &leg)).collect()
}

fn mass_of(lift: &Lift, leg: &LegView<'_>) -> Result<MemberMass, Error> {
    let (document, items) = (lift.document(), &leg.links.items);
    let sling = |item: &Item| matches!(item, Item::Sling(_));
    let first = items.iter().position(sling).unwrap_or(0);
    let last = items.iter().rposition(sling).unwrap_or(0);
    let mut found = MemberMass::default();
    // In the order of the path: before the first sling, among the slings, behind the last.
    let mut ends = [0.0, 0.0];
    for (position, item) in items.iter().enumerate() {
        let (key, index, name, mass) = match item {
            Item::Sling(index) => {
                let Some(sling) = document.slings.get(*index) else { continue };
                ("slings", index, &sling.name, &sling.mass)
            }
            Item::Fitting(index) => {
                let Some(fitting) = document.fittings.get(*index) else { continue };
                ("fittings", index, &fitting.name, &fitting.mass)
            }
        };
        let place = || Place::root().child(key).child(index).child("mass");
        let mass = mass.required(format_args!("the mass of \"{name}\""), "\"mass\": \"… kg\"", place)?.si();
        match item {
            Item::Fitting(_) if position < first => ends[0] += mass,
            Item::Fitting(_) if position > last => ends[1] += mass,
            _ => found.along += mass,
        }
    }
    // End a of the member is the upper one, whichever way the path is written.
    found.ends = if leg.links.upward() { [ends[1], ends[0]] } else { ends };
    Ok(found)
}
