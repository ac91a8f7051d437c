//! From the balance of a nominal load to those of its tolerances.

use super::{Bridle, NEARLY_UPRIGHT, Outcome, Workspace};
use crate::equilibrium::certificate::State;
use crate::equilibrium::descent;
use crate::error::Error;
use glam::DVec3;

/// How far from the nominal balance another one is followed, over the hook's height above the center of gravity.
const NEARBY: f64 = 0.1;
/// Least eigenvalue of a balance that is followed without proof that it is the lowest, over W/d: a softer one may be
/// about to give way, and then a small change leads far.
const HOLDS: f64 = 0.02;
/// Distance over the hook's height, and over the way from the nominal balance, within which a balance that is followed
/// without proof must be the only one. Of 799 064 vertices of 6000 random bridles that were followed without this bound 340
/// ended in another balance than the descent from the drawing; within either bound none did.
const ALONE: f64 = 0.1;
const ALONE_OVER_WAY: f64 = 4.0;
/// Sine of the angle below which two members are in one line.
const IN_LINE: f64 = 1.0e-6;
/// Cosine below which a direction counts as square to a member, so that the member does not lengthen: beyond the rounding
/// of a cross product of two members that are not in one line.
const SQUARE: f64 = 1.0e-9;

impl Bridle {
    /// Hangs a load that differs from a nominal one by tolerances only: follows the balance that the workspace holds, of
    /// the nominal load or of a vertex of its tolerances, to the present lengths, points and weight.
    ///
    /// A tolerance changes a lift continuously, so what is meant at a vertex is the branch of the `nominal` balance. Newton's
    /// steps lead to it from a balance nearby. Their end is taken if it is stable and nearly upright and either proven to be
    /// the lowest of all, as in [`Bridle::solve`], or near the nominal balance, firm, and with no other balance near it.
    /// Wherever that is in doubt the load is hung from the drawing.
    ///
    /// ```
    /// use glam::DVec3;
    /// use rigging_core::equilibrium::bridle::{Bridle, Workspace};
    /// use rigging_core::system::Law;
    /// let points = vec![DVec3::new(1.0, 0.0, 0.0), DVec3::new(-1.0, 0.0, 0.0)];
    /// let laws = vec![Law::linear(1.0e6)?, Law::linear(1.0e6)?];
    /// let mut bridle = Bridle::new(points, vec![2.0, 2.0], laws, DVec3::new(0.0, 0.0, -0.3), 1000.0)?;
    /// let (mut workspace, mut other) = (Workspace::default(), Workspace::default());
    /// let nominal = bridle.solve(&mut workspace)?;
    /// bridle.set_length(0, 2.01)?;
    /// let found = bridle.follow(&mut workspace, &nominal)?;
    /// assert!((found.up - bridle.solve(&mut other)?.up).length() < 1.0e-9);
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// As [`Bridle::solve`].
    pub fn follow(&self, workspace: &mut Workspace, nominal: &Outcome) -> Result<Outcome, Error> {
        match self.followed(workspace, nominal) {
            Some(outcome) => Ok(outcome),
            None => self.solve(workspace),
        }
    }

    fn followed(&self, workspace: &mut Workspace, nominal: &Outcome) -> Option<Outcome> {
        if nominal.state != State::Stable || workspace.legs.len() != self.points.len() {
            return None;
        }
        workspace.weight = self.weight;
        let members = self.points.iter().zip(&self.lengths).zip(&self.laws);
        for (leg, ((point, length), law)) in workspace.legs.iter_mut().zip(members) {
            leg.vary(*point - self.center_of_gravity, *length, law);
        }
        let start = workspace.hook - self.center_of_gravity;
        let end = descent::follow(&mut workspace.legs, &self.laws, self.weight, start)?;
        let outcome = self.certified(workspace, &end);
        let upright = outcome.state == State::Stable && outcome.up.z > NEARLY_UPRIGHT;
        (upright && (outcome.lowest || alone(workspace, &outcome, nominal))).then_some(outcome)
    }
}

impl Workspace {
    /// Least slope with which the energy rises from the last balance, over the weight, in the directions in which no taut
    /// member lengthens; zero where it does not rise in all of them.
    ///
    /// Energy of the members is convex in the hook's position, and that of the weight bends down by W/d at most. So on the
    /// straight way to another balance, where the slope must come back to zero, it takes at least this share of d: no other
    /// balance of members that hardly stretch is nearer. The cone of those directions is spanned by rays along which two
    /// members keep their length, and a slope is least on a ray.
    fn least_slope(&self) -> f64 {
        let taut = || self.legs.iter().filter(|leg| leg.force > 0.0).map(|leg| leg.direction);
        let mut least = f64::INFINITY;
        for (index, one) in taut().enumerate() {
            for other in taut().take(index) {
                // Two members in one line have no direction of their own that is square to both.
                let square = one.cross(other);
                if square.length_squared() < IN_LINE * IN_LINE {
                    continue;
                }
                let square = square.normalize();
                // Whether no taut member lengthens that way, and the other way.
                let (there, back) = taut().fold((true, true), |(there, back), direction| {
                    let cosine = direction.dot(square);
                    (there & (cosine <= SQUARE), back & (cosine >= -SQUARE))
                });
                let slope = self.up.dot(square);
                if there {
                    least = least.min(-slope);
                }
                if back {
                    least = least.min(slope);
                }
            }
        }
        if least.is_finite() { least } else { 0.0 }
    }
}

/// Whether a balance is near the nominal one, firm, and has no other balance near it.
fn alone(workspace: &Workspace, outcome: &Outcome, nominal: &Outcome) -> bool {
    let height = workspace.height;
    let way = (outcome.hook - nominal.hook).length() / height;
    let mut lowered = workspace.hessian();
    lowered.add_diagonal(-HOLDS * workspace.weight / height);
    way <= NEARBY
        && lowered.solve(DVec3::ZERO, 0.0).is_some()
        && workspace.least_slope() >= ALONE.min(ALONE_OVER_WAY * way)
}
