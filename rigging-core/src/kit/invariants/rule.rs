//! What a sharing rule must not see, and what it must bear.
//!
//! A set of legs is turned, mirrored, put in another order or scaled through its system, so a set of which no stiffness
//! is known is refused. Angles that are stated and tolerances go with it.
//!
//! # Tolerances
//!
//! How a rule answers roundings of its input is its own affair, so it is asked: 16 times for sets of which every
//! coordinate, length and stiffness is off by 64 ε, one way or the other. The largest answer of each leg, 16 times, and
//! 64 ε of its force are its tolerance; where the balance of the set is stable, what [`Closeness`] says of it is added,
//! for a rule may solve that balance. Where a rounding makes more than 1e-6 of the largest force, or the rule speaks
//! for some of these sets and refuses others, the set stands at an edge of the rule (a band of angles, the end of a
//! domain), and nothing is concluded.

use super::closeness::Closeness;
use super::image;
use super::violation::{Answer, Broken, Comparing, Invariant, Kept};
use crate::equilibrium::{Certificate, State, solve};
use crate::error::{Error, Place};
use crate::sharing::{LegSet, SetTolerances, SharingRule, share};
use crate::system::{Body, Law, Member, System};
use glam::DVec3;

/// Roundings that every number of a set is off by where a rule is asked what it makes of them.
const OFF: f64 = 64.0 * f64::EPSILON;
/// How often it is asked.
const ASKED: u64 = 16;
/// How much more a rounding may make than was seen.
const UNSEEN: f64 = 16.0;
/// A tolerance beyond this share of the largest force says that the set stands at an edge of the rule.
const EDGE: f64 = 1e-6;

/// The set turned about the vertical, by an angle in rad: the forces stay.
///
/// The box of the center of gravity does not turn with it: where that is not zero in plan, nothing is concluded.
///
/// # Errors
/// [`Broken::Violation`], its place the leg; [`Error::Missing`] for a set without stiffnesses. A rule that refuses must
/// refuse the image with the same code.
///
/// ```
/// use rigging_core::kit::{Outline, invariants};
/// use rigging_core::sharing::LegsCounted;
/// let set = Outline::ring(4).leg_set()?;
/// assert!(invariants::rule::turn(&LegsCounted::two(), &set, 0.7).unwrap().tolerance().unwrap() < 1e-10);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn turn(rule: &dyn SharingRule, set: &LegSet, angle_rad: f64) -> Answer {
    if set.tolerances().is_ok_and(|tolerances| tolerances.center_of_gravity.iter().take(2).any(|side| *side != 0.0)) {
        return Ok(Kept::silent("the box of the center of gravity does not turn"));
    }
    compare(Invariant::Turn, rule, set, &Image::of(set, image::turned(set.system()?, angle_rad)?))
}

/// The set shifted, by so much in m: the forces stay.
///
/// # Errors
/// As [`turn`].
pub fn shift(rule: &dyn SharingRule, set: &LegSet, by: DVec3) -> Answer {
    compare(Invariant::Shift, rule, set, &Image::of(set, image::shifted(set.system()?, by)?))
}

/// The mirror image of the set: the forces stay.
///
/// # Errors
/// As [`turn`].
pub fn mirror(rule: &dyn SharingRule, set: &LegSet) -> Answer {
    compare(Invariant::Mirror, rule, set, &Image::of(set, image::mirrored(set.system()?)?))
}

/// The legs in another order, leg i of the image being leg `order[i]`: so are the forces.
///
/// # Errors
/// As [`turn`]; [`Error::Inconsistent`] unless the order names every leg once.
pub fn relabel(rule: &dyn SharingRule, set: &LegSet, order: &[usize]) -> Answer {
    let image = Image { order: order.to_vec(), ..Image::of(set, image::relabeled(set.system()?, order)?) };
    compare(Invariant::Relabeling, rule, set, &image)
}

/// Mass and stiffness times a factor: so are the forces.
///
/// # Errors
/// As [`turn`].
pub fn scale_of_force(rule: &dyn SharingRule, set: &LegSet, factor: f64) -> Answer {
    let image = Image { force: factor, ..Image::of(set, image::stronger(set.system()?, factor)?) };
    compare(Invariant::ScaleOfForce, rule, set, &image)
}

/// Coordinates, lengths and tolerances times a factor, stiffnesses EA as they are: the forces stay.
///
/// # Errors
/// As [`turn`].
pub fn scale_of_length(rule: &dyn SharingRule, set: &LegSet, factor: f64) -> Answer {
    let image = Image { length: factor, ..Image::of(set, image::larger(set.system()?, factor)?) };
    compare(Invariant::ScaleOfLength, rule, set, &image)
}

/// How the vertical parts of forces add up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Borne {
    /// To the weight.
    Exactly,
    /// To the weight or more.
    AtLeast,
}

/// The vertical parts of the forces, at the angles of [`LegSet::from_vertical`], bear the weight.
///
/// To be asked of rules that speak of these angles: the legs of a load that tilts or stretches stand at others, and by
/// a table of leg factors the angle is inside the factor.
///
/// # Errors
/// [`Broken::Violation`]. Where the rule refuses, nothing is concluded.
pub fn weight_borne(rule: &dyn SharingRule, set: &LegSet, borne: Borne) -> Answer {
    let (forces, angles) = match (share(rule, set), set.from_vertical()) {
        (Ok(forces), Ok(angles)) => (forces, angles),
        (Err(error), _) | (_, Err(error)) => return Ok(Kept::silent(error.to_string())),
    };
    let sum: f64 = forces.iter().zip(&angles).map(|(force, angle)| force * angle.cos()).sum();
    let all: f64 = forces.iter().sum();
    let mut comparing = Comparing::new(Invariant::WeightBorne);
    let found = if borne == Borne::AtLeast { sum.min(set.weight()) } else { sum };
    let what = || ("sum of the vertical parts".to_owned(), Place::root().child("legs"));
    comparing.near([found, set.weight()], OFF * (all + set.weight()), set.weight(), "N", what)?;
    Ok(comparing.kept())
}

/// A rule that claims that no leg carries more than it says says no less than the balance at nominal numbers; what
/// tolerances add is for a search over them. The rule's refusal, a rule without a claim and a balance that is not
/// stable are silence.
///
/// # Errors
/// [`Broken::Violation`], its place the leg; what the solver refuses.
///
/// ```
/// use rigging_core::kit::{Outline, invariants};
/// use rigging_core::sharing::{EqualShare, LegsCounted};
/// let uneven = Outline { center_of_gravity: [1.2, 0.0, -0.5], ..Outline::ring(4) }.leg_set()?;
/// // Three of four legs alike are not enough where two of them carry nearly all.
/// assert!(invariants::rule::claim(&LegsCounted::three(), &uneven).is_err());
/// assert!(!invariants::rule::claim(&EqualShare, &uneven).unwrap().compared());
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn claim(rule: &dyn SharingRule, set: &LegSet) -> Answer {
    if !rule.words().conservative {
        return Ok(Kept::silent("the rule claims nothing"));
    }
    let forces = match share(rule, set) {
        Ok(forces) => forces,
        Err(error) => return Ok(Kept::silent(error.to_string())),
    };
    let system = set.system()?;
    let certificate = solve(system)?;
    let closeness = match Closeness::of(system, &certificate) {
        Ok(closeness) => closeness,
        Err(why) => return Ok(Kept::silent(why)),
    };
    let mut comparing = Comparing::new(Invariant::Claim);
    let largest = certificate.members.iter().fold(0.0_f64, |most, member| most.max(member.tension));
    for (index, ((force, member), off)) in forces.iter().zip(&certificate.members).zip(&closeness.tensions).enumerate()
    {
        let place = Place::root().child("legs").child(index);
        let what = || (format!("force of leg {index} by the rule, which the balance exceeds"), place);
        let allowed = off + OFF * force;
        comparing.near([force.min(member.tension), member.tension], allowed, largest, "N", what)?;
    }
    Ok(comparing.kept())
}

/// An image of a set: leg i is leg `order[i]`, forces and lengths are scaled.
struct Image {
    system: System,
    order: Vec<usize>,
    force: f64,
    length: f64,
}

impl Image {
    fn of(set: &LegSet, system: System) -> Self {
        Self { system, order: (0..set.legs().len()).collect(), force: 1.0, length: 1.0 }
    }

    /// A set of the system, with the angle and the tolerances of another.
    fn set(&self, system: &System, of: &LegSet) -> Result<LegSet, Error> {
        let mut set = LegSet::of_system(system)?;
        if let Some(angle) = of.stated_angle() {
            set = set.with_angle(angle)?;
        }
        let Ok(tolerances) = of.tolerances() else { return Ok(set) };
        let lengths = self.order.iter().filter_map(|leg| tolerances.lengths.get(*leg));
        set.with_tolerances(SetTolerances {
            lengths: lengths.map(|length| length * self.length).collect(),
            center_of_gravity: tolerances.center_of_gravity.map(|side| side * self.length),
        })
    }
}

fn compare(invariant: Invariant, rule: &dyn SharingRule, set: &LegSet, image: &Image) -> Answer {
    let mut comparing = Comparing::new(invariant);
    let asked = share(rule, set);
    let found = share(rule, &image.set(&image.system, set)?);
    let near = match Rounded::of(rule, set)? {
        Ok(near) => near,
        Err(why) => return Ok(Kept::silent(why)),
    };
    let (forces, found) = match (asked, found) {
        (Ok(forces), Ok(found)) => (forces, found),
        (Err(expected), Err(found)) => {
            comparing.same(&found.code(), &expected.code(), || ("refusal".into(), found.place().clone()))?;
            return Ok(comparing.kept());
        }
        (Ok(_), Err(error)) => {
            let what = ("answer of the rule".into(), error.place().clone());
            return Err(comparing.differ(error.to_string(), "forces".into(), what).into());
        }
        (Err(error), Ok(_)) => {
            let what = ("answer of the rule".into(), error.place().clone());
            return Err(comparing.differ("forces".into(), error.to_string(), what).into());
        }
    };
    let largest = forces.iter().copied().fold(0.0, f64::max);
    for (index, (found, original)) in found.iter().zip(&image.order).enumerate() {
        let (Some(expected), Some(near)) = (forces.get(*original), near.get(*original)) else { continue };
        let what = || (format!("force of leg {index}"), Place::root().child("legs").child(index));
        // Both answers may be off.
        comparing.near([found / image.force, *expected], 2.0 * near, largest, "N", what)?;
    }
    Ok::<_, Broken>(comparing.kept())
}

/// What a rule makes of roundings of its input.
struct Rounded;

impl Rounded {
    /// Tolerance of the force of each leg, N; none a leg where the rule refuses. The text says why nothing is
    /// concluded.
    fn of(rule: &dyn SharingRule, set: &LegSet) -> Result<Result<Vec<f64>, String>, Error> {
        let system = set.system()?;
        let asked = share(rule, set);
        let same = Image::of(set, system.clone());
        let mut most: Vec<f64> = Vec::new();
        for which in 0..ASKED {
            let other = share(rule, &same.set(&off(system, which)?, set)?);
            match (&asked, other) {
                (Ok(forces), Ok(others)) => {
                    most.resize(forces.len(), 0.0);
                    for ((most, force), other) in most.iter_mut().zip(forces).zip(others) {
                        *most = most.max((other - force).abs());
                    }
                }
                (Err(_), Err(_)) => {}
                _ => return Ok(Err("the set stands at the end of the rule's domain".to_owned())),
            }
        }
        let Ok(forces) = asked else { return Ok(Ok(Vec::new())) };
        let solved = of_balance(system);
        let largest = forces.iter().copied().fold(0.0, f64::max);
        let near = |(index, (most, force)): (usize, (&f64, &f64))| {
            UNSEEN * most + OFF * force + solved.get(index).copied().unwrap_or(0.0)
        };
        let near: Vec<f64> = most.iter().zip(&forces).enumerate().map(near).collect();
        if near.iter().any(|near| *near > EDGE * largest) {
            return Ok(Err("a rounding makes more than a millionth of the largest force".to_owned()));
        }
        Ok(Ok(near))
    }
}

/// How far the tensions of the balance may be off; nothing where there is none that stands.
fn of_balance(system: &System) -> Vec<f64> {
    let close = |certificate: Certificate| {
        let stable = certificate.state == State::Stable;
        Closeness::of(system, &certificate).ok().filter(|_| stable).map(|closeness| closeness.tensions)
    };
    solve(system).ok().and_then(close).unwrap_or_default()
}

/// The system with every number off by a few roundings, up or down by the bits of a counter.
fn off(system: &System, which: u64) -> Result<System, Error> {
    let mut state = which;
    let mut sign = || {
        // Mixing function of SplitMix64 (Steele, Lea and Flood, 2014).
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (state ^ (state >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        if (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB) >> 63 == 0 { OFF } else { -OFF }
    };
    let size = system.bodies().iter().flat_map(|body| &body.points).map(|point| point.length()).fold(0.0, f64::max);
    let mut moved = |point: DVec3| point + size.max(point.length()) * DVec3::new(sign(), sign(), sign());
    let body = |body: &Body| {
        let center_of_gravity = moved(body.center_of_gravity);
        let points = body.points.iter().map(|point| moved(*point)).collect();
        Body { center_of_gravity, points, ..body.clone() }
    };
    let bodies = system.bodies().iter().map(body).collect();
    let member = |member: &Member| -> Result<Member, Error> {
        let law: Law = member.law.scaled(1.0 + sign())?;
        Ok(Member { length: member.length * (1.0 + sign()), law, ..member.clone() })
    };
    let members = system.members().iter().map(member).collect::<Result<_, _>>()?;
    System::new(system.gravity(), system.hooks().to_vec(), system.joints().to_vec(), bodies, members)
}
