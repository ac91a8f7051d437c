//! One rigid load under one hook: the case that is solved again and again.
//!
//! The center of gravity hangs plumb below the hook, so the pose follows from the hook's position in the load's frame:
//! three unknowns, large rotations and the free turn about the plumb line included.

mod branch;
mod follow;
mod foresight;
mod valley;
mod workspace;

pub use foresight::Foresight;
pub use workspace::Workspace;

use super::certificate::State;
use super::descent::{self, CAREFUL, End, HURRIED, Leg};
use crate::error::{Error, Place};
use crate::system::Law;
use glam::DVec3;

/// The most members of a bridle.
pub const MAX_MEMBERS: usize = 64;
/// Cosine of the tilt below which a hurried descent that ends in the lowest of all balances is taken (18°).
const NEARLY_UPRIGHT: f64 = 0.95;
/// Least stiffness of the softest mode, over W/d, of a balance that holds firmly. A softer one may have another in the same
/// valley, or be about to give way.
pub(super) const FIRM: f64 = 0.1;
/// How far an unstable balance is disturbed, over the hook's height above the center of gravity.
const DISTURBANCE: f64 = 0.02;

/// A rigid load hung from one hook by members, in the load's frame with z upward as drawn.
///
/// ```
/// use glam::DVec3;
/// use rigging_core::equilibrium::State;
/// use rigging_core::equilibrium::bridle::{Bridle, Workspace};
/// use rigging_core::system::Law;
/// let points = vec![DVec3::new(1.0, 0.0, 0.0), DVec3::new(-1.0, 0.0, 0.0)];
/// let laws = vec![Law::linear(1.0e9)?, Law::linear(1.0e9)?];
/// let bridle = Bridle::new(points, vec![2.0, 2.0], laws, DVec3::new(0.0, 0.0, -0.3), 1000.0)?;
/// let mut workspace = Workspace::default();
/// let outcome = bridle.solve(&mut workspace)?;
/// assert_eq!(outcome.state, State::Stable);
/// // Two legs at 60° from horizontal: W/(2·sin 60°).
/// let expected = 1000.0 / 3.0_f64.sqrt();
/// assert!(workspace.tensions().all(|tension| (tension - expected).abs() < 0.01));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Bridle {
    points: Vec<DVec3>,
    lengths: Vec<f64>,
    laws: Vec<Law>,
    center_of_gravity: DVec3,
    weight: f64,
}

/// What a solve of a [`Bridle`] found. Tensions and strains stand in the [`Workspace`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// Kind of equilibrium. For [`State::Lost`] the other fields describe where the load ends.
    pub state: State,
    /// Hook relative to the center of gravity, in the load's frame, m.
    pub hook: DVec3,
    /// Upward direction of the world in the load's frame.
    pub up: DVec3,
    /// Unbalanced force, N.
    pub residual: f64,
    /// Least distance of a member's length from its unstretched length, m.
    pub slack_event: f64,
    /// Whether no other pose has a lower potential energy, proven.
    pub lowest: bool,
    /// Steps taken.
    pub iterations: usize,
}

impl Bridle {
    /// A bridle: points of the load and its center of gravity in one frame, m; unstretched lengths, m; laws; weight, N.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] for a value that is not finite or not positive where it must be;
    /// [`Error::Inconsistent`] if the lists differ in length; [`Error::Unsupported`] without a member or with more than
    /// [`MAX_MEMBERS`].
    pub fn new(
        points: Vec<DVec3>,
        lengths: Vec<f64>,
        laws: Vec<Law>,
        center_of_gravity: DVec3,
        weight: f64,
    ) -> Result<Self, Error> {
        let root = Place::root();
        if points.len() != lengths.len() || points.len() != laws.len() {
            return Err(Error::inconsistent("points, lengths and laws differ in number", root));
        }
        if points.is_empty() {
            return Err(Error::unsupported("a load without members falls", root.child("points")));
        }
        if points.len() > MAX_MEMBERS {
            let what = format!("{} members; the most is {MAX_MEMBERS}", points.len());
            return Err(Error::unsupported(what, root.child("points")));
        }
        for (index, length) in lengths.iter().enumerate() {
            positive("length", *length, "m", || root.child("lengths").child(index))?;
        }
        for (index, law) in laws.iter().enumerate() {
            law.validate(|| root.child("laws").child(index))?;
        }
        for (index, point) in points.iter().enumerate() {
            finite(*point, || root.child("points").child(index))?;
        }
        finite(center_of_gravity, || root.child("center_of_gravity"))?;
        positive("weight", weight, "N", || root.child("weight"))?;
        Ok(Self { points, lengths, laws, center_of_gravity, weight })
    }

    /// A bridle of what a system has validated already; points are relative to the center of gravity.
    pub(super) const fn of_valid(points: Vec<DVec3>, lengths: Vec<f64>, laws: Vec<Law>, weight: f64) -> Self {
        Self { points, lengths, laws, center_of_gravity: DVec3::ZERO, weight }
    }

    /// Changes one unstretched length, m.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] if there is no such member or the length is not positive and finite.
    pub fn set_length(&mut self, member: usize, length: f64) -> Result<(), Error> {
        let place = || Place::root().child("lengths").child(member);
        positive("length", length, "m", place)?;
        put(&mut self.lengths, member, length, place)
    }

    /// Changes one point of the load, m.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] if there is no such member or the point is not finite.
    pub fn set_point(&mut self, member: usize, point: DVec3) -> Result<(), Error> {
        let place = || Place::root().child("points").child(member);
        finite(point, place)?;
        put(&mut self.points, member, point, place)
    }

    /// Changes one law.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] if there is no such member; what is wrong with the law.
    pub fn set_law(&mut self, member: usize, law: Law) -> Result<(), Error> {
        let place = || Place::root().child("laws").child(member);
        law.validate(place)?;
        put(&mut self.laws, member, law, place)
    }

    /// Moves the center of gravity, m, in the frame of the points.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] unless it is finite.
    pub fn set_center_of_gravity(&mut self, center_of_gravity: DVec3) -> Result<(), Error> {
        finite(center_of_gravity, || Place::root().child("center_of_gravity"))?;
        self.center_of_gravity = center_of_gravity;
        Ok(())
    }

    /// Changes the weight, N.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] unless it is positive and finite.
    pub fn set_weight(&mut self, weight: f64) -> Result<(), Error> {
        positive("weight", weight, "N", || Place::root().child("weight"))?;
        self.weight = weight;
        Ok(())
    }

    /// Unstretched lengths, m.
    pub fn lengths(&self) -> &[f64] {
        &self.lengths
    }

    /// Points of the load, m.
    pub fn points(&self) -> &[DVec3] {
        &self.points
    }

    /// Center of gravity in the frame of the points, m.
    pub const fn center_of_gravity(&self) -> DVec3 {
        self.center_of_gravity
    }

    /// Laws.
    pub fn laws(&self) -> &[Law] {
        &self.laws
    }

    /// Weight, N.
    pub const fn weight(&self) -> f64 {
        self.weight
    }

    /// Hangs the load: descends from the attitude as drawn, and certifies where the descent ends.
    ///
    /// A hurried descent comes first, unless the center of gravity lies above every point. Its end is taken if it is
    /// nearly upright, firm and proven to be the lowest balance of all; otherwise the descent is made in short steps
    /// that keep to the path of steepest descent, and must end where an integration of that path ends.
    ///
    /// # Errors
    ///
    /// [`Error::Unconverged`] if the forces at the end do not balance to 1e-10 of the weight (plus the rounding of the
    /// tensions), or if the branch is not decided: two branches part so closely that even fine descents end apart. Then
    /// no state is returned.
    pub fn solve(&self, workspace: &mut Workspace) -> Result<Outcome, Error> {
        self.load(workspace);
        let start = DVec3::new(0.0, 0.0, self.start());
        let mut hurry = 0;
        if !self.stands_on_its_points() {
            let hurried = self.descend(workspace, start, HURRIED);
            if let Ok(outcome) = hurried
                && outcome.state == State::Stable
                && outcome.lowest
                && outcome.up.z > NEARLY_UPRIGHT
                && workspace.firm
            {
                return hurried;
            }
            hurry = hurried.map_or(0, |outcome| outcome.iterations);
        }
        // Several balances may exist: only the path of steepest descent tells which one is meant.
        let mut outcome = self.decide(workspace, start)?;
        outcome.iterations += hurry;
        if outcome.state == State::Lost && workspace.on_saddle() {
            // An upside-down balance that only symmetry holds is not where a load ends.
            let steps = outcome.iterations;
            outcome = self.disturb(workspace, &outcome)?;
            outcome.state = State::Lost;
            workspace.state = Some(State::Lost);
            outcome.iterations += steps;
        }
        Ok(outcome)
    }

    /// Disturbs the balance that the last solve found along its most negative mode, and descends again, until no mode
    /// is negative.
    ///
    /// # Errors
    ///
    /// As [`Bridle::solve`].
    pub(super) fn disturb(&self, workspace: &mut Workspace, from: &Outcome) -> Result<Outcome, Error> {
        let mut outcome = *from;
        let mut steps = 0;
        for attempt in 1..=4 {
            let [(_, mode), _, _] = workspace.hessian().eigen();
            // A mode has no sign; its largest component is made positive so that the answer is one and the same.
            let largest =
                mode.to_array().into_iter().fold(0.0, |most: f64, c| if c.abs() > most.abs() { c } else { most });
            let push = f64::from(attempt) * DISTURBANCE * workspace.height * largest.signum() * mode;
            outcome = self.descend(workspace, outcome.hook + push, CAREFUL)?;
            steps += outcome.iterations;
            if !workspace.on_saddle() {
                break;
            }
        }
        outcome.iterations = steps;
        Ok(outcome)
    }

    /// Descends from a hook position relative to the center of gravity, in short steps.
    ///
    /// # Errors
    ///
    /// As [`Bridle::solve`].
    pub(super) fn settle(&self, workspace: &mut Workspace, start: DVec3) -> Result<Outcome, Error> {
        self.load(workspace);
        self.descend(workspace, start, CAREFUL)
    }

    /// Gradient of the energy at a hook position relative to the center of gravity, N, and the modes there.
    pub(super) fn stand(&self, workspace: &mut Workspace, hook: DVec3) -> (DVec3, [(f64, DVec3); 3]) {
        self.load(workspace);
        workspace.height = hook.length();
        workspace.up = hook.normalize_or(DVec3::Z);
        let mut gradient = -self.weight * workspace.up;
        for (leg, law) in workspace.legs.iter_mut().zip(&self.laws) {
            leg.stand(hook, law);
            gradient += leg.tension() * leg.direction;
        }
        (gradient, workspace.hessian().eigen())
    }

    /// Potential energy at a hook position relative to the center of gravity, J.
    pub(super) fn energy(&self, hook: DVec3) -> f64 {
        let strained: f64 = self
            .legs()
            .map(|(point, length, law)| length * law.energy(((hook - point).length() - length) / length))
            .sum();
        strained - self.weight * hook.length()
    }

    /// Distance from the center of gravity to the hook in a direction at which the energy is least, m: its slope rises
    /// along the way, so the zero is bracketed and halved.
    pub(super) fn reach(&self, direction: DVec3) -> f64 {
        let slope = |distance: f64| {
            let pull: f64 = self
                .legs()
                .map(|(point, length, law)| {
                    let arm = distance * direction - point;
                    let l = arm.length();
                    if l > length { law.tension((l - length) / length) * arm.dot(direction) / l } else { 0.0 }
                })
                .sum();
            pull - self.weight
        };
        let (mut low, mut high) =
            (0.0, self.legs().map(|(point, length, _)| point.length() + length).fold(0.0, f64::max));
        while slope(high) < 0.0 && high < 1.0e300 {
            low = high;
            high *= 2.0;
        }
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if slope(middle) < 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }

    /// Points relative to the center of gravity, lengths and laws.
    fn legs(&self) -> impl Iterator<Item = (DVec3, f64, &Law)> {
        let points = self.points.iter().map(|point| *point - self.center_of_gravity);
        points.zip(&self.lengths).zip(&self.laws).map(|((point, length), law)| (point, *length, law))
    }

    fn load(&self, workspace: &mut Workspace) {
        workspace.legs.clear();
        workspace.state = None;
        workspace.weight = self.weight;
        let members = self.points.iter().zip(&self.lengths).zip(&self.laws);
        workspace
            .legs
            .extend(members.map(|((point, length), law)| Leg::new(*point - self.center_of_gravity, *length, law)));
    }

    /// Height of the hook above the center of gravity, in the attitude as drawn, at which the first member is just
    /// straight; if none can be, half the mean length.
    fn start(&self) -> f64 {
        let (mut least, mut sum) = (f64::INFINITY, 0.0);
        for (point, length) in self.points.iter().zip(&self.lengths) {
            let p = *point - self.center_of_gravity;
            let rise = length * length - (p.x * p.x + p.y * p.y);
            sum += length;
            if rise > 0.0 {
                let height = p.z + rise.sqrt();
                if height > 0.0 {
                    least = least.min(height);
                }
            }
        }
        if least.is_finite() { least } else { 0.5 * sum / self.points.len() as f64 }
    }

    /// Whether the softest mode of the last balance is stiffer than `share` of W/d.
    fn softest_above(&self, workspace: &Workspace, share: f64) -> bool {
        workspace.hessian().exceeds(share * self.weight / workspace.height)
    }

    /// Whether the center of gravity lies above every point, as drawn. Then Σ T/l falls short of W/d in any balance that
    /// is not tilted much, the proof that it is the lowest fails, and a hurried descent would be in vain.
    fn stands_on_its_points(&self) -> bool {
        self.points.iter().all(|point| point.z < self.center_of_gravity.z)
    }

    fn descend(&self, workspace: &mut Workspace, start: DVec3, longest: f64) -> Result<Outcome, Error> {
        let end = descent::descend(&mut workspace.legs, &self.laws, self.weight, start, longest);
        self.certify(workspace, &end)
    }

    /// The state at the end of a descent.
    fn certify(&self, workspace: &mut Workspace, end: &End) -> Result<Outcome, Error> {
        workspace.state = None;
        if end.converged && end.height > 0.0 {
            return Ok(self.certified(workspace, end));
        }
        let allowed = format!("at most {:e} N", end.allowed);
        let reading = crate::error::Reading::new("unbalanced force", end.residual, "N", allowed);
        Err(Error::Unconverged { reading, place: Place::root() })
    }

    /// What kind of balance the legs ended in.
    fn certified(&self, workspace: &mut Workspace, end: &End) -> Outcome {
        workspace.hook = end.hook + self.center_of_gravity;
        workspace.up = end.up;
        workspace.height = end.height;
        let hessian = workspace.hessian();
        let threshold = workspace.null_threshold();
        let firm = FIRM * self.weight / end.height;
        workspace.firm = firm > threshold && hessian.exceeds(firm);
        let state = if end.up.z <= 0.0 {
            State::Lost
        } else if workspace.firm || hessian.exceeds(threshold) {
            State::Stable
        } else {
            let [(least, _), _, _] = hessian.eigen();
            if least < -threshold {
                State::Unstable
            } else if least <= threshold {
                State::Neutral
            } else {
                State::Stable
            }
        };
        workspace.state = Some(state);
        // U_j and −W·d are both convex in the square of the distance for laws whose secant stiffens, so a balance with
        // Σ T/l ≥ W/d is the lowest of all poses.
        let linear = workspace.legs.iter().all(|leg| leg.linear >= 0.0);
        let sum: f64 = workspace.legs.iter().map(|leg| leg.tension() / leg.distance).sum();
        let slack_event = workspace.legs.iter().fold(f64::INFINITY, |least, leg| least.min(leg.elongation.abs()));
        Outcome {
            state,
            hook: end.hook,
            up: end.up,
            residual: end.residual,
            slack_event,
            lowest: linear && sum >= self.weight / end.height,
            iterations: end.steps,
        }
    }
}

fn put<T>(list: &mut [T], member: usize, value: T, place: impl Fn() -> Place) -> Result<(), Error> {
    let count = list.len();
    let Some(slot) = list.get_mut(member) else {
        let allowed = format!("below {count}");
        return Err(Error::out_of_domain("index of the member", member as f64, "", allowed, place()));
    };
    *slot = value;
    Ok(())
}

fn positive(name: &str, value: f64, unit: &str, place: impl FnOnce() -> Place) -> Result<(), Error> {
    if value > 0.0 && value.is_finite() {
        return Ok(());
    }
    Err(Error::out_of_domain(name, value, unit, "positive and finite", place()))
}

fn finite(point: DVec3, place: impl FnOnce() -> Place) -> Result<(), Error> {
    match point.to_array().into_iter().enumerate().find(|(_, value)| !value.is_finite()) {
        Some((axis, value)) => Err(Error::out_of_domain("coordinate", value, "m", "finite", place().child(axis))),
        None => Ok(()),
    }
}
