//! What the loss of a leg, or of a point with all its legs, does to the rest.

use super::Balance;
use crate::equilibrium::State;
use crate::equilibrium::loss::{Aftermath, lose};
use crate::error::{Error, Place};
use serde::Serialize;

/// What is lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum LossKind {
    /// One leg, or an item of it.
    Leg,
    /// A point of the load or of a spreader, with every leg on it.
    Point,
}

/// A leg that remains.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct RemainingLeg {
    /// Name of the leg.
    pub leg: String,
    /// Tension before, N.
    pub before: f64,
    /// Tension in the new equilibrium, N.
    pub after: f64,
    /// `after` over `before`; none if the leg was slack.
    pub ratio: Option<f64>,
    /// `after` over what the leg may bear, where that was given.
    pub utilization: Option<f64>,
    /// Estimate of the largest tension on the way, N; none where the new equilibrium is not a minimum.
    pub peak: Option<f64>,
    /// Tension that is not exceeded on the way, N, proved.
    pub bound: f64,
}

/// The loss of one part.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Loss {
    /// What is lost.
    pub kind: LossKind,
    /// Name of the leg or point.
    pub item: String,
    /// Names of the legs that are lost with it.
    pub legs_lost: Vec<String>,
    /// Strain energy that stood in them, J: what their recoil can release.
    pub recoil: f64,
    /// State of the new equilibrium; none if a body falls. *Lost* is a load that turns over.
    pub state: Option<State>,
    /// Bodies that are no longer tied to a hook.
    pub falls: Vec<String>,
    /// Largest tilt of a body in the new equilibrium, rad.
    pub tilt: Option<f64>,
    /// Energy released on the way there, J.
    pub released: Option<f64>,
    /// The legs that remain; empty if a body falls.
    pub legs: Vec<RemainingLeg>,
}

impl Balance {
    /// Each leg, and each point at which several legs meet, lost in turn. `allowed` is what each leg may bear, N, in the
    /// order of the legs (as an assessment states it); empty where utilizations are not asked for.
    ///
    /// # Errors
    /// [`Error::Unsupported`] unless the balance is stable or neutral; [`Error::Inconsistent`] if `allowed` is neither empty
    /// nor one for each leg; [`Error::OutOfDomain`] if one of them is not positive and finite; every error of the solver.
    pub fn losses(&self, allowed: &[Option<f64>]) -> Result<Vec<Loss>, Error> {
        self.nothing_runs("the losses")?;
        self.validate(allowed)?;
        let mut losses = Vec::new();
        for (member, name) in self.names.legs.iter().enumerate() {
            losses.push(self.loss(LossKind::Leg, name, &[member], allowed)?);
        }
        for (body, points) in self.names.points.iter().enumerate() {
            for (point, name) in points.iter().enumerate() {
                let on: Vec<usize> = self
                    .names
                    .attached
                    .iter()
                    .enumerate()
                    .filter(|(_, points)| points.contains(&(body, point)))
                    .map(|(member, _)| member)
                    .collect();
                if on.len() > 1 {
                    losses.push(self.loss(LossKind::Point, name, &on, allowed)?);
                }
            }
        }
        Ok(losses)
    }

    fn validate(&self, allowed: &[Option<f64>]) -> Result<(), Error> {
        let place = Place::root().child("allowed");
        if !allowed.is_empty() && allowed.len() != self.names.legs.len() {
            let what = format!("{} allowed values for {} legs", allowed.len(), self.names.legs.len());
            return Err(Error::inconsistent(what, place));
        }
        let told = allowed.iter().enumerate().filter_map(|(leg, most)| most.map(|most| (leg, most)));
        match told.into_iter().find(|(_, most)| !(*most > 0.0 && most.is_finite())) {
            Some((leg, most)) => {
                Err(Error::out_of_domain("allowed force", most, "N", "positive and finite", place.child(leg)))
            }
            None => Ok(()),
        }
    }

    fn loss(&self, kind: LossKind, item: &str, members: &[usize], allowed: &[Option<f64>]) -> Result<Loss, Error> {
        let found = lose(&self.model, &self.certificate, members)?;
        let mut loss = Loss {
            kind,
            item: item.to_owned(),
            legs_lost: found.lost.iter().map(|member| self.names.leg(*member)).collect(),
            recoil: found.recoil.iter().sum(),
            state: None,
            falls: Vec::new(),
            tilt: None,
            released: None,
            legs: Vec::new(),
        };
        match found.aftermath {
            Aftermath::Falls(bodies) => loss.falls = bodies.iter().map(|body| self.names.body(*body)).collect(),
            Aftermath::Hangs(rest) => {
                loss.state = Some(rest.certificate.state);
                loss.tilt = Some(rest.certificate.bodies.iter().map(|body| body.tilt).fold(0.0, f64::max));
                loss.released = Some(rest.released);
                loss.legs = rest
                    .members
                    .iter()
                    .map(|remaining| RemainingLeg {
                        leg: self.names.leg(remaining.member),
                        before: remaining.before,
                        after: remaining.after,
                        ratio: remaining.ratio,
                        utilization: allowed
                            .get(remaining.member)
                            .copied()
                            .flatten()
                            .map(|most| remaining.after / most),
                        peak: remaining.peak,
                        bound: remaining.bound,
                    })
                    .collect();
            }
        }
        Ok(loss)
    }
}
