//! How the balance depends on every number it is made of.

use super::{Balance, axis};
use crate::equilibrium::sensitivity::{Parameter, Reach, differentiate};
use crate::error::Error;
use serde::Serialize;

/// The leg that would pass from taut to slack or back, and the change of the parameter at which it would, to first order.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct SlackAt {
    /// Name of the leg.
    pub leg: String,
    /// Change of the parameter, in its unit. The derivatives hold up to there and not beyond.
    pub change: f64,
}

/// The derivatives with respect to one number.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Derivative {
    /// What it is: length, axial_stiffness, law_scale, center_of_gravity, mass, hook_position.
    pub parameter: &'static str,
    /// Name of the leg, body or hook that it belongs to.
    pub item: String,
    /// x, y or z, where it is a coordinate.
    pub axis: Option<&'static str>,
    /// Its unit: m, N, kg, or none.
    pub unit: &'static str,
    /// Tension of each leg, N per unit; zero for a slack leg.
    pub tensions: Vec<f64>,
    /// Tilt of each body, rad per unit; none for a body that hangs upright, whose tilt grows to either side.
    pub tilts: Vec<Option<f64>>,
    /// Size of the force on each hook, N per unit.
    pub hooks: Vec<f64>,
    /// The next slack event if the number grows.
    pub increase: Option<SlackAt>,
    /// The next slack event if it shrinks.
    pub decrease: Option<SlackAt>,
}

/// All derivatives of a balance.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Derivatives {
    /// Names of the legs, in the order of the tensions.
    pub legs: Vec<String>,
    /// Names of the bodies, in the order of the tilts.
    pub bodies: Vec<String>,
    /// Names of the hooks, in the order of their forces.
    pub hooks: Vec<String>,
    /// One for each number.
    pub rows: Vec<Derivative>,
}

impl Balance {
    /// Exact derivatives of tensions, tilts and hook loads with respect to lengths, stiffnesses, centers of gravity,
    /// masses and hook positions.
    ///
    /// # Errors
    /// [`Error::Unsupported`] unless the balance is stable; [`Error::OutOfDomain`] if a leg stands just at a slack event,
    /// where each side has a derivative of its own.
    pub fn derivatives(&self) -> Result<Derivatives, Error> {
        self.nothing_runs("derivatives")?;
        let responses = differentiate(&self.model, &self.certificate)?.all()?;
        let slack = |reach: Option<Reach>| {
            reach.map(|reach| SlackAt { leg: self.names.leg(reach.member), change: reach.change })
        };
        let rows = responses.into_iter().map(|response| {
            let (parameter, item, axis, unit) = self.parameter(response.parameter);
            Derivative {
                parameter,
                item,
                axis,
                unit,
                tensions: response.tensions,
                tilts: response.bodies.iter().map(|body| body.tilt).collect(),
                hooks: response.hooks.iter().map(|hook| hook.size).collect(),
                increase: slack(response.increase),
                decrease: slack(response.decrease),
            }
        });
        Ok(Derivatives {
            rows: rows.collect(),
            legs: self.names.legs.clone(),
            bodies: self.names.bodies.clone(),
            hooks: self.names.hooks.clone(),
        })
    }

    fn parameter(&self, parameter: Parameter) -> (&'static str, String, Option<&'static str>, &'static str) {
        match parameter {
            Parameter::Length { member } => ("length", self.names.leg(member), None, "m"),
            Parameter::AxialStiffness { member } => ("axial_stiffness", self.names.leg(member), None, "N"),
            Parameter::LawScale { member } => ("law_scale", self.names.leg(member), None, ""),
            Parameter::CenterOfGravity { body, axis: index } => {
                ("center_of_gravity", self.names.body(body), Some(axis(index)), "m")
            }
            Parameter::Mass { body } => ("mass", self.names.body(body), None, "kg"),
            Parameter::Hook { hook, axis: index } => ("hook_position", self.names.hook(hook), Some(axis(index)), "m"),
        }
    }
}
