//! How close a certified balance is to the exact one: where every tolerance of this module comes from.

use crate::equilibrium::{Certificate, State};
use crate::system::{End, Member, System};

/// Roundings of a coordinate that stand in an elongation: of points and lengths when a system is made, turned or read,
/// and of the elongation itself.
pub(super) const ROUNDINGS: f64 = 32.0;
/// Roundings of the tensions that stand in their sum; what a certificate may leave unbalanced on top of 1e-10 of the
/// weight.
const OF_SUM: f64 = 64.0;
/// A slope of a law this much different just below and just above stands at a corner.
const CORNER: f64 = 1e-6;

/// How far the numbers of a certificate may be from those of the exact balance next to it, residual and rounding
/// together.
///
/// # Derivation
///
/// A balance is a zero of the gradient g of the potential energy over unknowns that are lengths: the position of the
/// hook for one body under one hook, else displacements and turns times a reach ([`Certificate::eigenvalues`]). With
/// the Hessian H, its smallest eigenvalue λ, the rows b of the elongations and the stiffnesses k of the taut members on
/// the diagonal of K,
///
/// H = BᵀKB + G, where G, what the tensions and the weight do to the pose, is not below −N. One body under one hook has
/// N = W/d, d the height of the hook above the center of gravity; of others, the pulls T of the members on arms a of a
/// body give at most 2·ΣTa over the square of its reach. With s = N/λ it follows that K½BH⁻¹BᵀK½ lies between 0 and 1 +
/// s. Then
///
/// - an unbalanced gradient g moves the pose by no more than |g|/λ, and the tension of a member by √(k(1 + s)/λ)·|g|;
/// - an error δ of the elongations (coordinates, lengths) moves the pose by √((1 + s)/λ)·|K½δ| and a tension by
///   √k·max(1, s)·|K½δ|.
///
/// g is the residual of the certificate, with that of the moment over the reach, and 64 ε of the sum of the tensions; δ
/// is 32 ε of the largest coordinate and the length. Both bounds are doubled, which covers what H changes on the way as
/// long as that is less than half of λ: then there is exactly one balance within twice the first motion (Newton and
/// Kantorovich; see Ortega and Rheinboldt, Iterative Solution of Nonlinear Equations in Several Variables, chapter 12:
/// from memory). Where it is more, or where a member stands so near to going slack that it may do so within that
/// motion, nothing is concluded.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::kit::invariants::Closeness;
/// let balance = Lift::from_json(include_str!("../../../examples/lifts/generator-skid.json"))?.hang()?;
/// let closeness = Closeness::of(balance.model(), balance.certificate()).unwrap();
/// assert!(closeness.tensions.iter().all(|tension| *tension < 1e-9 * 18_500.0 * 9.8));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Closeness {
    /// Of the tension of each member, N.
    pub tensions: Vec<f64>,
    /// Of the pose, m.
    pub motion: f64,
    /// Of the upward direction in each body, rad.
    pub turns: Vec<f64>,
}

impl Closeness {
    /// The closeness of a certified balance.
    ///
    /// # Errors
    /// Why nothing can be said, in words: the balance is not stable, stands too softly for its residual, or has a
    /// member between taut and slack or at a corner of its law; or its softest mode is not known (more than 200
    /// unknowns).
    pub fn of(system: &System, certificate: &Certificate) -> Result<Self, String> {
        if certificate.state != State::Stable {
            return Err(format!("the balance is {}", certificate.state.word()));
        }
        let Some(softest) = certificate.eigenvalues.first().copied().filter(|softest| *softest > 0.0) else {
            return Err("the softest mode is not known".to_owned());
        };
        let scene = Scene::of(system, certificate);
        let opposing = scene.opposing / softest;
        let (mut tensions, mut springs) = (Vec::new(), Vec::new());
        let (mut stirred, mut bending) = (0.0, scene.bending);
        for (member, state) in system.members().iter().zip(&certificate.members) {
            let spring = spring(member, state.strain)?;
            let spring = if state.slack { 0.0 } else { spring };
            stirred += spring * rounding(scene.size, member).powi(2);
            let turns_over = state.length.min(scene.nearest);
            bending += 4.0 * scene.lever * (spring / turns_over + state.tension / turns_over.powi(2));
            springs.push(spring);
        }
        let (stirred, left) = (stirred.sqrt(), scene.unbalanced(certificate));
        let motion = 2.0 * (left / softest + ((1.0 + opposing) / softest).sqrt() * stirred);
        let changes = 2.0 * bending * motion;
        if changes > softest || changes.is_nan() {
            return Err("the balance stands too softly for what is left unbalanced".to_owned());
        }
        for ((member, state), spring) in system.members().iter().zip(&certificate.members).zip(springs) {
            let elongation = (state.strain * member.length).abs();
            if elongation <= scene.lever.sqrt() * motion + rounding(scene.size, member) {
                return Err("a member stands between taut and slack".to_owned());
            }
            let by_left = (spring * (1.0 + opposing) / softest).sqrt() * left;
            let by_rounding = spring.sqrt() * opposing.max(1.0) * stirred;
            tensions.push(2.0 * (by_left + by_rounding) + 8.0 * f64::EPSILON * state.tension);
        }
        let turns = scene.arms.iter().map(|arm| 2.0 * motion / arm + 16.0 * f64::EPSILON).collect();
        Ok(Self { tensions, motion, turns })
    }
}

/// Rounding of an elongation, m.
fn rounding(size: f64, member: &Member) -> f64 {
    ROUNDINGS * f64::EPSILON * (size + member.length)
}

/// The largest coordinate or length as drawn, m.
pub(super) fn size(system: &System) -> f64 {
    let own =
        system.bodies().iter().flat_map(|body| body.points.iter().chain([&body.center_of_gravity, &body.position]));
    let placed =
        system.hooks().iter().map(|hook| &hook.position).chain(system.joints().iter().map(|joint| &joint.position));
    let coordinates = own.chain(placed).map(|point| point.length());
    coordinates.chain(system.members().iter().map(|member| member.length)).fold(0.0, f64::max)
}

/// Stiffness of a member, N/m.
fn spring(member: &Member, strain: f64) -> Result<f64, String> {
    let [below, above] = [1.0 - CORNER, 1.0 + CORNER].map(|factor| member.law.slope(strain * factor));
    // A smooth law changes its slope by about as much as the strain was changed.
    if strain > 0.0 && (above - below).abs() > 100.0 * CORNER * below {
        return Err("a member stands at a corner of its law".to_owned());
    }
    Ok(above.max(below) / member.length)
}

/// What the bounds are made of besides the members.
struct Scene {
    /// The largest coordinate, m.
    size: f64,
    /// How far the pose may be from positive where the members hold it: N, N/m.
    opposing: f64,
    /// What the weight adds to the change of the Hessian along a motion, N/m².
    bending: f64,
    /// Square of the most that an end of a member moves, over the motion.
    lever: f64,
    /// The least arm of a body; infinite where turns are no unknowns, m.
    nearest: f64,
    /// Arm of the motion at each body, m.
    arms: Vec<f64>,
}

impl Scene {
    fn of(system: &System, certificate: &Certificate) -> Self {
        let bodies = system.bodies().iter().zip(&certificate.bodies);
        let own = system.bodies().iter().flat_map(|body| body.points.iter().chain([&body.center_of_gravity]));
        let own = own.map(|point| point.length()).fold(0.0, f64::max);
        let bridle = system.hooks().len() == 1 && system.joints().is_empty() && system.bodies().len() == 1;
        let weight = system.bodies().iter().map(|body| body.mass).sum::<f64>() * system.gravity();
        if bridle {
            let heights = bodies.map(|(body, pose)| (pose.hook_in_body - body.center_of_gravity).length());
            let arms: Vec<f64> = heights.collect();
            let height = arms.first().copied().unwrap_or(f64::NAN);
            let (opposing, bending) = (weight / height, 4.0 * weight / (height * height));
            // Where the hook is drawn has no say.
            return Self { size: own, opposing, bending, lever: 1.0, nearest: f64::INFINITY, arms };
        }
        let hooks = system.hooks().iter().map(|hook| hook.position);
        let placed =
            hooks.chain(certificate.joints.iter().copied()).chain(certificate.bodies.iter().map(|pose| pose.position));
        let size = own + placed.map(|point| point.length()).fold(0.0, f64::max);
        let mean = system.members().iter().map(|member| member.length).sum::<f64>() / system.members().len() as f64;
        let mut arms = Vec::new();
        let mut opposing: f64 = 0.0;
        for (index, body) in system.bodies().iter().enumerate() {
            let arm = |point: &glam::DVec3| (*point - body.center_of_gravity).length();
            let farthest = body.points.iter().map(arm).fold(0.0, f64::max);
            let reach = if farthest > 0.0 { farthest } else { mean };
            let mut turning = 0.0;
            for (member, state) in system.members().iter().zip(&certificate.members) {
                for end in [member.a, member.b] {
                    if let End::Body { body: found, point } = end
                        && found == index
                    {
                        turning += 2.0 * state.tension * body.points.get(point).map_or(reach, arm);
                    }
                }
            }
            opposing = opposing.max(turning / (reach * reach));
            arms.push(reach);
        }
        let least = arms.iter().copied().fold(f64::INFINITY, f64::min);
        let bending = if least.is_finite() { 4.0 * opposing / least } else { 0.0 };
        // An end of a member moves by the displacement of its body and by its turn, √2 of both at most; two ends of it by 2.
        Self { size, opposing, bending, lever: 4.0, nearest: least, arms }
    }

    /// Size of the gradient that is left, N.
    fn unbalanced(&self, certificate: &Certificate) -> f64 {
        let sum: f64 = certificate.members.iter().map(|member| member.tension).sum();
        // The bridle's unknowns leave no moment: the pose is made of the hook's position.
        let moment = certificate.residual_moment / self.nearest;
        certificate.residual.hypot(moment) + OF_SUM * f64::EPSILON * sum
    }
}
