//! Whether what hangs is in balance, from the pose alone.

use super::closeness::ROUNDINGS;
use super::image::at;
use super::violation::{Answer, Comparing, Invariant, Violation};
use crate::equilibrium::{Certificate, MemberState, solve};
use crate::error::{Error, Place};
use crate::system::{End, Member, System};
use glam::DVec3;

/// What a certificate may leave unbalanced, over the weight.
const RESIDUAL: f64 = 1e-10;
/// What it may leave on top, over the sum of the tensions: so many roundings.
const OF_SUM: f64 = 64.0;

/// The system hangs in balance: [`balanced`], of what the solver makes of it.
///
/// # Errors
/// [`Broken::Violation`](super::Broken::Violation), the place a JSON pointer into the system; what the solver refuses.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::kit::invariants;
/// let balance = Lift::from_json(include_str!("../../../examples/lifts/frame-tall-item.json"))?.hang()?;
/// let kept = invariants::balance(balance.model()).unwrap();
/// assert!(kept.tolerance().unwrap() < 1e-9);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn balance(system: &System) -> Answer {
    balanced(system, &solve(system)?)
}

/// The numbers of a certificate are a balance: distances follow from the pose, tensions from the laws, none pushes, a
/// slack member is not longer than unstretched and carries nothing, and forces and moments on every body and joint add
/// up to zero.
///
/// Nothing of the solver is asked. A distance may be off by 32 ε of its coordinates, a tension by what that is in the
/// member's stiffness, the sum of the forces by the reported residual and the rounding of the directions; the residual
/// itself may not exceed 1e-10 of the weight and 64 ε of the sum of the tensions, which is what the certificate
/// promises.
///
/// # Errors
/// As [`balance`]; [`Error::Inconsistent`] for a certificate of another system.
pub fn balanced(system: &System, certificate: &Certificate) -> Answer {
    let counts = (system.members().len(), system.bodies().len(), system.joints().len(), system.hooks().len());
    let found =
        (certificate.members.len(), certificate.bodies.len(), certificate.joints.len(), certificate.hooks.len());
    if counts != found {
        return Err(Error::inconsistent("the certificate is not of this system", Place::root()).into());
    }
    let mut scene = Scene {
        system,
        certificate,
        comparing: Comparing::new(Invariant::Balance),
        largest: certificate.members.iter().fold(0.0, |most, member| most.max(member.tension)),
    };
    for (index, (member, state)) in system.members().iter().zip(&certificate.members).enumerate() {
        scene.member(index, member, state)?;
    }
    scene.residual()?;
    for (index, body) in system.bodies().iter().enumerate() {
        scene.body(index, body.mass * system.gravity())?;
    }
    for index in 0..system.joints().len() {
        let place = Place::root().child("joints").child(index);
        let (sum, allowed) = scene.forces(|end| end == End::Joint(index));
        scene.vanishes(sum, allowed, "N", "force on a joint", place)?;
    }
    scene.hooks()?;
    Ok(scene.comparing.kept())
}

struct Scene<'a> {
    system: &'a System,
    certificate: &'a Certificate,
    comparing: Comparing,
    /// The largest tension, N.
    largest: f64,
}

impl Scene<'_> {
    /// Where the ends of a member are, and a rounding of that.
    fn ends(&self, member: &Member) -> (DVec3, f64) {
        let (Some(a), Some(b)) =
            (at(self.system, self.certificate, member.a), at(self.system, self.certificate, member.b))
        else {
            return (DVec3::NAN, f64::NAN);
        };
        let arm = |end: End| match end {
            End::Body { body, point } => self
                .system
                .bodies()
                .get(body)
                .and_then(|body| body.points.get(point))
                .map_or(0.0, |point| point.length()),
            End::Hook(_) | End::Joint(_) => 0.0,
        };
        let size = a.length() + b.length() + 2.0 * (arm(member.a) + arm(member.b));
        (a - b, ROUNDINGS * f64::EPSILON * (size + member.length))
    }

    fn member(&mut self, index: usize, member: &Member, state: &MemberState) -> Result<(), Violation> {
        let what = |what: &str| (format!("{what} of member {index}"), Place::root().child("members").child(index));
        let (along, rounding) = self.ends(member);
        let distance = along.length();
        self.comparing.near([state.length, distance], rounding, member.length, "m", || what("distance of the ends"))?;
        let strain = (distance - member.length) / member.length;
        let off =
            member.law.slope(strain.max(state.strain)) * rounding / member.length + 8.0 * f64::EPSILON * state.tension;
        let expected = member.law.tension(strain);
        self.comparing.near([state.tension, expected], off, self.largest, "N", || what("tension"))?;
        if state.tension < 0.0 || state.tension.is_nan() {
            let found = format!("{} N", state.tension);
            return Err(self.comparing.differ(found, "no less than zero".into(), what("tension")));
        }
        if state.slack && !(state.tension == 0.0 && state.strain <= 0.0) {
            let found = format!("{} N at a strain of {}", state.tension, state.strain);
            return Err(self.comparing.differ(
                found,
                "nothing, unstretched".into(),
                what("tension of a slack member, that"),
            ));
        }
        if state.slack != (state.strain <= 0.0) {
            let found = format!("slack is {} at a strain of {}", state.slack, state.strain);
            return Err(self.comparing.differ(found, "slack where not stretched".into(), what("state")));
        }
        if !state.slack {
            let aside = (state.direction * distance - along).length();
            self.comparing
                .near([aside, 0.0], 2.0 * rounding, member.length, "m", || what("direction, times the distance,"))?;
        }
        Ok(())
    }

    fn residual(&mut self) -> Result<(), Violation> {
        let weight = self.system.bodies().iter().map(|body| body.mass).sum::<f64>() * self.system.gravity();
        let allowed = RESIDUAL * weight + OF_SUM * f64::EPSILON * self.sum();
        let what = || ("residual".to_owned(), Place::root().child("residual"));
        self.comparing.near([self.certificate.residual, 0.0], allowed, self.largest, "N", what)
    }

    fn sum(&self) -> f64 {
        self.certificate.members.iter().map(|member| member.tension).sum()
    }

    /// Sum of the pulls on some ends, and how far it may be off.
    fn forces(&self, on: impl Fn(End) -> bool) -> (DVec3, f64) {
        let (mut sum, mut off) = (DVec3::ZERO, self.certificate.residual);
        for (member, state) in self.system.members().iter().zip(&self.certificate.members) {
            let (along, rounding) = self.ends(member);
            for (end, sign) in [(member.a, -1.0), (member.b, 1.0)] {
                if on(end) && !state.slack {
                    sum += sign * state.tension * along.normalize();
                    off += state.tension * (2.0 * rounding / along.length() + OF_SUM * f64::EPSILON);
                }
            }
        }
        (sum, off)
    }

    fn body(&mut self, index: usize, weight: f64) -> Result<(), Violation> {
        let place = || Place::root().child("bodies").child(index);
        let on = |end: End| matches!(end, End::Body { body, .. } if body == index);
        let (sum, allowed) = self.forces(on);
        let allowed = allowed + OF_SUM * f64::EPSILON * weight;
        self.vanishes(sum - DVec3::Z * weight, allowed, "N", "force on a body", place())?;
        let (mut moment, mut off, mut reach) = (DVec3::ZERO, self.certificate.residual_moment, 0.0_f64);
        let center = self.certificate.bodies.get(index).map_or(DVec3::NAN, |pose| pose.center_of_gravity);
        for (member, state) in self.system.members().iter().zip(&self.certificate.members) {
            let (along, rounding) = self.ends(member);
            for (end, sign) in [(member.a, -1.0), (member.b, 1.0)] {
                if on(end) && !state.slack {
                    let arm = at(self.system, self.certificate, end).map_or(DVec3::NAN, |end| end - center);
                    let pull = sign * state.tension * along.normalize();
                    moment += arm.cross(pull);
                    off += state.tension * rounding * (1.0 + 2.0 * arm.length() / along.length());
                    reach = reach.max(arm.length());
                }
            }
        }
        self.vanishes(moment, off + allowed * reach, "N·m", "moment on a body", place())
    }

    /// All hooks together bear the weight.
    fn hooks(&mut self) -> Result<(), Violation> {
        let weight = self.system.bodies().iter().map(|body| body.mass).sum::<f64>() * self.system.gravity();
        let sum: DVec3 = self.certificate.hooks.iter().sum();
        let (_, allowed) = self.forces(|_| true);
        let (bodies, joints) = (self.system.bodies().len() as f64, self.system.joints().len() as f64);
        let allowed = allowed + (bodies + joints) * self.certificate.residual;
        self.vanishes(
            sum + DVec3::Z * weight,
            allowed,
            "N",
            "force on the hooks less the weight",
            Place::root().child("hooks"),
        )
    }

    fn vanishes(
        &mut self,
        sum: DVec3,
        allowed: f64,
        unit: &'static str,
        what: &str,
        place: Place,
    ) -> Result<(), Violation> {
        self.comparing.near([sum.length(), 0.0], allowed, self.largest, unit, || (what.to_owned(), place))
    }
}
