//! Exact derivatives at an equilibrium.
//!
//! At a balance the gradient of the potential energy vanishes, g(q, θ) = 0. With a parameter θ the pose follows by
//! H·dq/dθ = −∂g/∂θ, where H is the Hessian, and each tension by dT/dθ = k·(m·dq/dθ) and what θ does to the member
//! itself (k: slope dT/dl, m: elongation per unit of each unknown). Nothing is a difference of two solutions.
//!
//! A slack member takes no part: its row is zero, and so are the columns of its own length and stiffness. Derivatives
//! therefore hold up to the next event at which a member goes slack or tight. Each [`Response`] says at which change of
//! its parameter, to first order, the nearest member gets there, in either direction; nothing may be extrapolated beyond.
//!
//! Refused are states other than [`State::Stable`] (an unstable balance is no lift, a neutral pose is one of many), and a
//! balance in which a member stands at the event itself, or at a corner of its piecewise linear law: there are two
//! derivatives then, one for each side. A free turn about a plumb line is no obstacle: no parameter pushes along it.
//!
//! For one body under one hook, [`Bridle::differentiate`](super::bridle::Bridle::differentiate) gives the derivatives of
//! the tensions in closed form, without allocating.

mod bridle;
mod parameter;

pub use bridle::BridleDerivatives;
pub use parameter::Parameter;

use super::certificate::{Certificate, SlackEvent, State};
use super::network::{Hung, Strand};
use crate::error::{Error, Place};
use crate::system::{End, Law, System};
use glam::{DMat3, DVec3};
use serde::Serialize;

/// A force within this share of the weight and the sum of the tensions is no more than what a certificate leaves open.
const EVENT_FORCE: f64 = 1.0e-9;
/// A strain this near to a corner of a law, over the strain there, stands at the corner.
const CORNER: f64 = 1.0e-9;
/// Sine of the tilt below which a body stands upright: the tilt then grows with any change, and has no derivative.
const UPRIGHT: f64 = 1.0e-9;

/// The change of a parameter at which, to first order, a member passes from taut to slack or back.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Reach {
    /// Index of the member.
    pub member: usize,
    /// Change of the parameter, in its unit.
    pub change: f64,
}

/// How a body's attitude answers.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BodyResponse {
    /// Derivative of the world's upward direction in the body's frame.
    pub up: DVec3,
    /// Derivative of the tilt, rad per unit of the parameter. None where the body stands upright: the tilt then grows
    /// to either side, by the length of the derivative of `up`.
    pub tilt: Option<f64>,
}

/// How the force on a hook answers.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HookResponse {
    /// Derivative of the force, N per unit of the parameter, in the world.
    pub force: DVec3,
    /// Derivative of its size.
    pub size: f64,
}

/// The derivatives of everything with respect to one parameter.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Response {
    /// The parameter.
    pub parameter: Parameter,
    /// Derivative of each tension, N per unit of the parameter; zero for slack members.
    pub tensions: Vec<f64>,
    /// Derivative of each member's elongation (distance less unstretched length), m per unit, slack members included.
    pub elongations: Vec<f64>,
    /// One for each body.
    pub bodies: Vec<BodyResponse>,
    /// One for each hook.
    pub hooks: Vec<HookResponse>,
    /// The least positive change of the parameter at which a member would reach its unstretched length.
    pub increase: Option<Reach>,
    /// The same for a negative change; the one nearest to zero.
    pub decrease: Option<Reach>,
}

/// A balance made ready to be asked for derivatives; each question costs one solution of linear equations.
#[derive(Debug, Clone)]
pub struct Derivatives<'a> {
    system: &'a System,
    certificate: &'a Certificate,
    hung: Hung,
    strands: Vec<Strand>,
    factors: Vec<DMat3>,
}

/// Makes the balance of a certificate ready to be asked for derivatives.
///
/// # Errors
///
/// [`Error::Inconsistent`] if the certificate is not that of the system; [`Error::Unsupported`] unless the state is
/// [`State::Stable`]; [`Error::OutOfDomain`] if a member stands at a slack event or at a corner of its law, so that there
/// is one derivative for each side. The place is that of the member.
///
/// # Sources
///
/// The implicit function theorem; no document.
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::equilibrium::sensitivity::{Parameter, differentiate};
/// use rigging_core::equilibrium::solve;
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
/// let body = Body {
///     mass: 1000.0,
///     center_of_gravity: DVec3::new(0.0, 0.0, -1.0),
///     points: vec![DVec3::new(1.0, 0.0, 0.0), DVec3::new(-1.0, 0.0, 0.0)],
///     position: DVec3::ZERO,
///     rotation: DQuat::IDENTITY,
/// };
/// let leg = |point| -> Result<Member, rigging_core::error::Error> {
///     Ok(Member { a: End::Hook(0), b: End::Body { body: 0, point }, length: 2.0, law: Law::linear(1.0e9)? })
/// };
/// let hook = Hook { position: DVec3::new(0.0, 0.0, 5.0) };
/// let system = System::new(9.80665, vec![hook], vec![], vec![body], vec![leg(0)?, leg(1)?])?;
/// let certificate = solve(&system)?;
/// let derivatives = differentiate(&system, &certificate)?;
/// // Two legs at 60° from horizontal: a kilogram more is g/(2·sin 60°) more in each.
/// let heavier = derivatives.of(Parameter::Mass { body: 0 })?;
/// assert!((heavier.tensions[0] - 9.80665 / 3.0_f64.sqrt()).abs() < 1.0e-3);
/// assert!((heavier.hooks[0].size - 9.80665).abs() < 1.0e-9);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn differentiate<'a>(system: &'a System, certificate: &'a Certificate) -> Result<Derivatives<'a>, Error> {
    let mut hung = Hung::matched(system, certificate)?;
    let refused = || {
        let what = format!("derivatives of a state that is {}", certificate.state.word());
        Error::unsupported(what, Place::root().child("state"))
    };
    if certificate.state != State::Stable {
        return Err(refused());
    }
    hung.refine().ok_or_else(refused)?;
    let strands: Vec<Strand> = hung.strands().collect();
    one_sided(system, certificate, &strands, hung.weight())?;
    let factors = hung.regular().ok_or_else(refused)?;
    Ok(Derivatives { system, certificate, hung, strands, factors })
}

/// Refuses a balance at which the derivatives of the two sides differ.
fn one_sided(system: &System, certificate: &Certificate, strands: &[Strand], weight: f64) -> Result<(), Error> {
    let sum: f64 = strands.iter().map(|strand| strand.tension).sum();
    let least = EVENT_FORCE * weight + 640.0 * f64::EPSILON * sum;
    for (index, (strand, (member, state))) in
        strands.iter().zip(system.members().iter().zip(&certificate.members)).enumerate()
    {
        let place = || Place::root().child("members").child(index);
        if strand.stiffness * strand.elongation.abs() <= least {
            let allowed =
                format!("more than {:e} m away from zero, where the member goes slack", least / strand.stiffness);
            return Err(Error::out_of_domain("elongation", strand.elongation, "m", allowed, place()));
        }
        if let Law::PiecewiseLinear { points } = &member.law
            && let Some((_, before)) = points.split_last()
            && let Some([corner, _]) =
                before.iter().find(|[corner, _]| (state.strain - corner).abs() <= CORNER * corner)
        {
            let allowed = format!("away from {corner}, where the slope of the law changes");
            return Err(Error::out_of_domain("strain", state.strain, "", allowed, place()));
        }
    }
    Ok(())
}

impl Derivatives<'_> {
    /// Every parameter of the system: for each member its length and its stiffness, for each body its center of gravity
    /// and its mass, for each hook its position.
    pub fn parameters(&self) -> Vec<Parameter> {
        Parameter::all(self.system)
    }

    /// The member nearest to a slack event, and how far its length is from its unstretched length.
    pub const fn nearest_slack_event(&self) -> Option<SlackEvent> {
        self.certificate.nearest_slack_event
    }

    /// The derivatives with respect to one parameter.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] if the parameter refers to nothing; [`Error::Unsupported`] for the axial stiffness of a
    /// member whose law is not linear.
    pub fn of(&self, parameter: Parameter) -> Result<Response, Error> {
        parameter.validate(self.system)?;
        let mut step = self.hung.nothing();
        self.push(parameter, &mut step);
        self.hung.answer(&self.factors, &mut step);
        Ok(self.response(parameter, &step))
    }

    /// The derivatives with respect to every parameter, in the order of [`Derivatives::parameters`]: as many tensions
    /// as there are members, for each of them.
    ///
    /// # Errors
    ///
    /// As [`Derivatives::of`].
    pub fn all(&self) -> Result<Vec<Response>, Error> {
        self.parameters().into_iter().map(|parameter| self.of(parameter)).collect()
    }

    /// The nearest slack events as the center of gravity of a body moves along a direction of the body's frame.
    pub(super) fn reaches_toward(&self, body: usize, direction: DVec3) -> [Option<Reach>; 2] {
        let mut step = self.hung.nothing();
        self.push_center(body, direction, &mut step);
        self.hung.answer(&self.factors, &mut step);
        let strands = self.strands.iter().enumerate();
        let rates: Vec<f64> =
            strands.map(|(index, strand)| strand.direction.dot(self.hung.parting(index, &step))).collect();
        self.reaches(&rates)
    }

    /// Adds −∂g/∂θ.
    fn push(&self, parameter: Parameter, right: &mut [DVec3]) {
        match parameter {
            Parameter::Length { member } | Parameter::AxialStiffness { member } | Parameter::LawScale { member } => {
                if let Some(strand) = self.strands.get(member) {
                    self.hung.press(right, member, -self.own_tension(parameter, member) * strand.direction);
                }
            }
            Parameter::CenterOfGravity { body, axis } => self.push_center(body, unit(axis), right),
            Parameter::Mass { body } => {
                let weight = DVec3::new(0.0, 0.0, -self.system.gravity());
                self.hung.load_body(right, body, weight, DVec3::ZERO);
            }
            Parameter::Hook { hook, axis } => {
                for (index, strand) in self.strands.iter().enumerate().filter(|(_, strand)| strand.taut()) {
                    let moved = self.own_parting(hook, axis, index);
                    let across = moved - strand.direction.dot(moved) * strand.direction;
                    let along = strand.stiffness * strand.direction.dot(moved);
                    let force = along * strand.direction + (strand.tension / strand.distance) * across;
                    self.hung.press(right, index, -force);
                }
            }
        }
    }

    /// With the points of the body held where they are, its center of gravity moves, and the weight turns the body.
    fn push_center(&self, body: usize, direction: DVec3, right: &mut [DVec3]) {
        if let Some(found) = self.system.bodies().get(body) {
            let weight = DVec3::new(0.0, 0.0, -found.mass * self.system.gravity());
            self.hung.load_body(right, body, DVec3::ZERO, (self.hung.rotation(body) * direction).cross(weight));
        }
    }

    /// What the parameter does to the tension of a member whose ends stand still.
    fn own_tension(&self, parameter: Parameter, member: usize) -> f64 {
        let (Some(strand), Some(found)) = (self.strands.get(member), self.system.members().get(member)) else {
            return 0.0;
        };
        match parameter {
            Parameter::Length { member: changed } if changed == member && strand.taut() => {
                // The strain l/L − 1 changes by −l/L².
                -strand.stiffness * (found.length + strand.elongation) / found.length
            }
            Parameter::AxialStiffness { member: changed } if changed == member && strand.taut() => {
                strand.elongation / found.length
            }
            Parameter::LawScale { member: changed } if changed == member => strand.tension,
            _ => 0.0,
        }
    }

    /// How far end a of a member moves against end b when a hook moves and nothing else does.
    fn own_parting(&self, hook: usize, axis: usize, member: usize) -> DVec3 {
        match self.system.members().get(member).map(|found| (found.a, found.b)) {
            Some((End::Hook(found), _)) if found == hook => unit(axis),
            Some((_, End::Hook(found))) if found == hook => -unit(axis),
            _ => DVec3::ZERO,
        }
    }

    fn response(&self, parameter: Parameter, step: &[DVec3]) -> Response {
        let count = self.strands.len();
        let (mut tensions, mut elongations) = (Vec::with_capacity(count), Vec::with_capacity(count));
        let mut forces = vec![DVec3::ZERO; self.system.hooks().len()];
        for (index, (strand, member)) in self.strands.iter().zip(self.system.members()).enumerate() {
            let mut parting = self.hung.parting(index, step);
            if let Parameter::Hook { hook, axis } = parameter {
                parting += self.own_parting(hook, axis, index);
            }
            let stretch = strand.direction.dot(parting);
            let lengthened = matches!(parameter, Parameter::Length { member } if member == index);
            elongations.push(if lengthened { stretch - 1.0 } else { stretch });
            if !strand.taut() {
                tensions.push(0.0);
                continue;
            }
            let tension = strand.stiffness * stretch + self.own_tension(parameter, index);
            tensions.push(tension);
            let across = (parting - stretch * strand.direction) * (strand.tension / strand.distance);
            let pull = tension * strand.direction + across;
            for (end, force) in [(member.a, -pull), (member.b, pull)] {
                if let End::Hook(hook) = end
                    && let Some(sum) = forces.get_mut(hook)
                {
                    *sum += force;
                }
            }
        }
        let [increase, decrease] = self.reaches(&elongations);
        Response {
            parameter,
            tensions,
            elongations,
            bodies: self.bodies(step),
            hooks: forces.into_iter().zip(&self.certificate.hooks).map(|(force, pull)| size(force, *pull)).collect(),
            increase,
            decrease,
        }
    }

    /// The nearest slack event in either direction.
    fn reaches(&self, elongations: &[f64]) -> [Option<Reach>; 2] {
        let (mut increase, mut decrease): (Option<Reach>, Option<Reach>) = (None, None);
        for (member, (strand, rate)) in self.strands.iter().zip(elongations).enumerate() {
            let change = -strand.elongation / rate;
            if !change.is_finite() {
                continue;
            }
            let nearest = if change > 0.0 { &mut increase } else { &mut decrease };
            if nearest.is_none_or(|found| change.abs() < found.change.abs()) {
                *nearest = Some(Reach { member, change });
            }
        }
        [increase, decrease]
    }

    fn bodies(&self, step: &[DVec3]) -> Vec<BodyResponse> {
        let bodies = self.system.bodies().iter().enumerate();
        bodies
            .map(|(index, body)| {
                let back = self.hung.rotation(index).conjugate();
                let up = back * DVec3::Z.cross(self.hung.turned(index, step));
                let (now, change) = (body.rotation * (back * DVec3::Z), body.rotation * up);
                let sine = (now.x * now.x + now.y * now.y).sqrt();
                let tilt = (sine > UPRIGHT).then(|| {
                    let rate = (now.x * change.x + now.y * change.y) / sine;
                    now.z * rate - sine * change.z
                });
                BodyResponse { up, tilt }
            })
            .collect()
    }
}

/// The derivative of a force with that of its size; a hook that carries nothing goes on carrying nothing.
fn size(force: DVec3, pull: DVec3) -> HookResponse {
    let length = pull.length();
    HookResponse { force, size: if length > 0.0 { force.dot(pull) / length } else { 0.0 } }
}

fn unit(axis: usize) -> DVec3 {
    match axis {
        0 => DVec3::X,
        1 => DVec3::Y,
        _ => DVec3::Z,
    }
}
