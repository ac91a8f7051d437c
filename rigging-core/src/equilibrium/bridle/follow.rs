//! From the balance of a nominal load to those of its tolerances.

use super::{Bridle, Foresight, MAX_MEMBERS, NEARLY_UPRIGHT, Outcome, Workspace};
use crate::equilibrium::certificate::State;
use crate::equilibrium::descent;
use crate::equilibrium::nearby::algebra::Vector;
use crate::equilibrium::nearby::branch;
use crate::error::Error;
use glam::DVec3;

/// How often the way from the nominal balance is halved before the load is hung from the drawing.
const HALVINGS: u32 = 3;
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
        (upright && workspace.firm && workspace.is_what_was(way, outcome.lowest)).then_some(outcome)
    }
}

impl Workspace {
    /// The least slope of the energy at the last balance, squared, as in [`branch::steepness`].
    pub(super) fn steepness(&self) -> f64 {
        let vector = |v: DVec3| Vector::splat(v.to_array());
        let mut pulls = [(vector(DVec3::ZERO), false); MAX_MEMBERS];
        for (pull, leg) in pulls.iter_mut().zip(&self.legs) {
            *pull = (vector(leg.direction), leg.force > 0.0);
        }
        let pulls = pulls.get(..self.legs.len()).unwrap_or_default();
        branch::steepness::<f64>(pulls, vector(self.up))
    }

    /// Whether the last balance, firm and nearly upright, is beyond doubt another one after it went `way`.
    fn is_what_was(&self, way: f64, lowest: bool) -> bool {
        branch::is_near(way, lowest) || branch::is_alone(way, self.steepness())
    }
}
