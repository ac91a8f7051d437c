//! From the balance of a nominal load to those of its tolerances.

use super::{Bridle, Foresight, NEARLY_UPRIGHT, Outcome, Workspace};
use crate::equilibrium::certificate::State;
use crate::equilibrium::descent;
use crate::error::Error;

/// How far from the balance before the lowest one of all is taken for it, over the hook's height.
const NEARBY: f64 = 0.1;
/// Distance over the way from the balance before, within which a balance that is followed without proof must be the only
/// one. Without this bound 340 of 799 064 vertices of 6000 random bridles ended in another balance than the nominal one
/// turns into; with it, and the way gone by halves, none of 2.6 million.
const ALONE_OVER_WAY: f64 = 4.0;
/// How often the way from the nominal balance is halved before the load is hung from the drawing.
const HALVINGS: u32 = 3;
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
    /// the lowest of all, as in [`Bridle::solve`], or firm and much nearer to the nominal balance than to any other. Where
    /// that is in doubt, the way is gone by halves; where it stays so, the load is hung from the drawing.
    ///
    /// ```
    /// use glam::DVec3;
    /// use rigging_core::equilibrium::bridle::{Bridle, Workspace};
    /// use rigging_core::system::Law;
    /// let points = vec![DVec3::new(1.0, 0.0, 0.0), DVec3::new(-1.0, 0.0, 0.0)];
    /// let laws = vec![Law::linear(1.0e6)?, Law::linear(1.0e6)?];
    /// let mut bridle = Bridle::new(points, vec![2.0, 2.0], laws, DVec3::new(0.0, 0.0, -0.3), 1000.0)?;
    /// let (mut workspace, mut other) = (Workspace::default(), Workspace::default());
    /// let outcome = bridle.solve(&mut workspace)?;
    /// let nominal = workspace.foresight(&outcome);
    /// bridle.set_length(0, 2.01)?;
    /// let found = bridle.follow(&mut workspace, nominal.as_ref())?;
    /// assert!((found.up - bridle.solve(&mut other)?.up).length() < 1.0e-9);
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// As [`Bridle::solve`].
    pub fn follow(&self, workspace: &mut Workspace, nominal: Option<&Foresight>) -> Result<Outcome, Error> {
        match nominal.and_then(|nominal| self.reached(workspace, nominal, HALVINGS)) {
            Some(outcome) => Ok(outcome),
            None => self.solve(workspace),
        }
    }

    /// The balance that another one turns into, if that is beyond doubt on the straight way or, `halvings` times, by halves.
    fn reached(&self, workspace: &mut Workspace, from: &Foresight, halvings: u32) -> Option<Outcome> {
        self.followed(workspace, from).or_else(|| {
            let halvings = halvings.checked_sub(1)?;
            let middle = self.middle(from)?;
            let outcome = middle.reached(workspace, from, halvings)?;
            let half_way = workspace.foresight(&outcome)?;
            self.reached(workspace, &half_way, halvings)
        })
    }

    fn followed(&self, workspace: &mut Workspace, from: &Foresight) -> Option<Outcome> {
        self.foresee(workspace, from)?;
        workspace.weight = self.weight;
        let members = self.points.iter().zip(&self.lengths).zip(&self.laws);
        for (leg, ((point, length), law)) in workspace.legs.iter_mut().zip(members) {
            leg.vary(*point - self.center_of_gravity, *length, law);
        }
        let start = workspace.hook - self.center_of_gravity;
        let end = descent::follow(&mut workspace.legs, &self.laws, self.weight, start)?;
        let outcome = self.certified(workspace, &end);
        let upright = outcome.state == State::Stable && outcome.up.z > NEARLY_UPRIGHT;
        let way = (outcome.hook - from.hook()).length() / workspace.height;
        // Even the lowest of all may be another than the one that is followed.
        let near = || outcome.lowest && way <= NEARBY || workspace.rises(ALONE_OVER_WAY * way);
        (upright && workspace.firm && near()).then_some(outcome)
    }
}

impl Workspace {
    /// Whether the energy rises from the last balance with a slope of at least `least`, over the weight, in all directions
    /// in which no taut member lengthens.
    ///
    /// Energy of the members is convex in the hook's position, and that of the weight bends down by W/d at most. So on the
    /// straight way to another balance, where the slope must come back to zero, it takes at least this share of d: no other
    /// balance of members that hardly stretch is nearer. The cone of those directions is spanned by rays along which two
    /// members keep their length, and a slope is least on a ray.
    fn rises(&self, least: f64) -> bool {
        let taut = || self.legs.iter().filter(|leg| leg.force > 0.0).map(|leg| leg.direction);
        let mut rays = 0;
        for (index, one) in taut().enumerate() {
            for other in taut().take(index) {
                // Lengths of rays stay as they are, and what is compared is squared: this is asked at every vertex.
                let ray = one.cross(other);
                let size = ray.length_squared();
                // Two members in one line have no direction of their own that is square to both.
                if size < IN_LINE * IN_LINE {
                    continue;
                }
                // Whether no taut member lengthens that way, and the other way.
                let square = SQUARE * SQUARE * size;
                let (there, back) = taut().fold((true, true), |(there, back), direction| {
                    let cosine = direction.dot(ray);
                    let lengthens = cosine * cosine > square;
                    (there & !(lengthens & (cosine > 0.0)), back & !(lengthens & (cosine < 0.0)))
                });
                let slope = self.up.dot(ray);
                let steep = slope * slope >= least * least * size;
                if (there && !(steep && slope <= 0.0)) || (back && !(steep && slope >= 0.0)) {
                    return false;
                }
                rays += usize::from(there) + usize::from(back);
            }
        }
        rays > 0 || least <= 0.0
    }
}
