//! What must not change a balance, and how it must change: two systems that are images of each other.

use super::closeness::Closeness;
use super::image;
use super::violation::{Answer, Broken, Comparing, Invariant, Kept};
use crate::equilibrium::{Certificate, State, solve};
use crate::error::Place;
use crate::system::System;
use glam::{DQuat, DVec3};

/// Everything turned about the vertical, by an angle in rad: the tensions and the tilt stay.
///
/// # Errors
/// [`Broken::Violation`], the place a JSON pointer into the image; what the solver refuses, and an image that is no
/// system.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::kit::invariants;
/// let balance = Lift::from_json(include_str!("../../../examples/lifts/generator-skid.json"))?.hang()?;
/// let kept = invariants::turn(balance.model(), 0.7).unwrap();
/// assert!(kept.compared() && kept.tolerance().unwrap() < 1e-9);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn turn(system: &System, angle_rad: f64) -> Answer {
    Relation::new(Invariant::Turn, system)?.to(&image::turned(system, angle_rad)?)
}

/// Everything shifted, by so much in m: the tensions and the tilt stay.
///
/// # Errors
/// As [`turn`].
pub fn shift(system: &System, by: DVec3) -> Answer {
    Relation::new(Invariant::Shift, system)?.to(&image::shifted(system, by)?)
}

/// Every body described in another frame: the tensions and the tilt stay.
///
/// # Errors
/// As [`turn`].
pub fn frame(system: &System, turn: DQuat) -> Answer {
    let back = turn.normalize().conjugate();
    let relation = Relation { up: Box::new(move |up| back * up), ..Relation::new(Invariant::Frame, system)? };
    relation.to(&image::reframed(system, turn)?)
}

/// The mirror image: the tensions stay, and the pose is mirrored.
///
/// # Errors
/// As [`turn`].
pub fn mirror(system: &System) -> Answer {
    let relation = Relation { up: Box::new(image::mirror), ..Relation::new(Invariant::Mirror, system)? };
    relation.to(&image::mirrored(system)?)
}

/// The members in another order, member i of the image being member `order[i]`: so are the tensions, and the pose
/// stays.
///
/// # Errors
/// As [`turn`]; [`Error::Inconsistent`](crate::error::Error::Inconsistent) unless the order names every member once.
pub fn relabel(system: &System, order: &[usize]) -> Answer {
    let relation = Relation { order: order.to_vec(), ..Relation::new(Invariant::Relabeling, system)? };
    relation.to(&image::relabeled(system, order)?)
}

/// Masses and laws times one factor: so are the tensions, and the pose stays.
///
/// # Errors
/// As [`turn`].
pub fn scale_of_force(system: &System, factor: f64) -> Answer {
    let relation = Relation { force: factor, ..Relation::new(Invariant::ScaleOfForce, system)? };
    relation.to(&image::stronger(system, factor)?)
}

/// Coordinates and lengths times one factor, laws as they are: the tensions and the tilt stay.
///
/// # Errors
/// As [`turn`].
pub fn scale_of_length(system: &System, factor: f64) -> Answer {
    Relation::new(Invariant::ScaleOfLength, system)?.to(&image::larger(system, factor)?)
}

/// A system, and how that of an image answers to it.
struct Relation<'a> {
    invariant: Invariant,
    system: &'a System,
    certificate: Certificate,
    /// Member i of the image is this member of the system.
    order: Vec<usize>,
    /// Forces of the image over those of the system.
    force: f64,
    /// The upward direction in a body, as the image has it.
    up: Box<dyn Fn(DVec3) -> DVec3>,
}

impl<'a> Relation<'a> {
    fn new(invariant: Invariant, system: &'a System) -> Result<Self, Broken> {
        let order = (0..system.members().len()).collect();
        let certificate = solve(system)?;
        Ok(Self { invariant, system, certificate, order, force: 1.0, up: Box::new(|up| up) })
    }

    fn to(&self, image: &System) -> Answer {
        let found = solve(image)?;
        let close = [Closeness::of(self.system, &self.certificate), Closeness::of(image, &found)];
        let mut comparing = Comparing::new(self.invariant);
        if self.certificate.state != found.state {
            // From a balance that nothing but symmetry holds, rounding decides where the image goes.
            if [&self.certificate, &found].iter().any(|certificate| certificate.state == State::Unstable) {
                return Ok(Kept::silent("the balance is unstable"));
            }
            // What stands softly may be either; what stands firmly is so in every image.
            if let [Err(why), Err(_)] = &close {
                return Ok(Kept::silent(why.clone()));
            }
            let (found, expected) = (found.state.word().to_owned(), self.certificate.state.word().to_owned());
            return Err(comparing.differ(found, expected, ("state".into(), Place::root().child("state"))).into());
        }
        let [close, close_image] = match close {
            [Ok(close), Ok(image)] => [close, image],
            [Err(why), _] | [_, Err(why)] => return Ok(Kept::silent(why)),
        };
        self.tensions(&mut comparing, &found, [&close, &close_image])?;
        self.poses(&mut comparing, &found, [&close, &close_image])?;
        Ok(comparing.kept())
    }

    fn tensions(
        &self,
        comparing: &mut Comparing,
        found: &Certificate,
        [close, close_image]: [&Closeness; 2],
    ) -> Result<(), Broken> {
        let largest = self.certificate.members.iter().fold(0.0_f64, |most, member| most.max(member.tension));
        for (index, (image, off)) in found.members.iter().zip(&close_image.tensions).enumerate() {
            let place = || Place::root().child("members").child(index);
            let original = self.order.get(index).copied().unwrap_or(index);
            let (Some(member), Some(of_original)) =
                (self.certificate.members.get(original), close.tensions.get(original))
            else {
                continue;
            };
            let allowed = of_original + off / self.force;
            let pair = [image.tension / self.force, member.tension];
            comparing.near(pair, allowed, largest, "N", || (format!("tension of member {index}"), place()))?;
        }
        Ok(())
    }

    fn poses(
        &self,
        comparing: &mut Comparing,
        found: &Certificate,
        [close, close_image]: [&Closeness; 2],
    ) -> Result<(), Broken> {
        let turns = close.turns.iter().zip(&close_image.turns).map(|(one, other)| one + other);
        let poses = self.certificate.bodies.iter().zip(&found.bodies).zip(turns);
        for (index, ((pose, image), allowed)) in poses.enumerate() {
            let what = |what: &str| (format!("{what} of body {index}"), Place::root().child("bodies").child(index));
            comparing.near([image.tilt, pose.tilt], 2.0 * allowed, 1.0, "rad", || what("tilt"))?;
            let aside = (image.up_in_body - (self.up)(pose.up_in_body)).length();
            comparing.near([aside, 0.0], allowed, 1.0, "rad", || what("upward direction"))?;
        }
        Ok(())
    }
}
