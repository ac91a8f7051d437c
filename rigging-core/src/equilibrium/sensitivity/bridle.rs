//! The derivatives of a bridle's tensions in closed form.
//!
//! With h the hook relative to the center of gravity, d its length, n the upward direction and H the Hessian over h:
//! y = k·H⁻¹·u for each taut leg (k its stiffness, u its direction), M_ij = y_i·u_j, and then
//!
//! - by length: ∂T_i/∂L_j = −(k_j·l_j/L_j)·(δ_ij − M_ij), as the strain l/L − 1 changes by −l/L²;
//! - by stiffness: ∂T_i/∂θ_j = t_j·(δ_ij − M_ij), with t = e/L for the axial stiffness of a linear law and t = T for a
//!   factor on any other law;
//! - by the center of gravity: ∂T_i/∂c = −(W/d)·(y_i − (y_i·n)·n), by the weight: ∂T_i/∂W = y_i·n.
//!
//! Slack legs have neither row nor column.

use crate::equilibrium::bridle::{Bridle, Workspace};
use crate::equilibrium::certificate::State;
use crate::error::{Error, Place};
use crate::system::Law;
use glam::DVec3;

/// The derivatives of a bridle's tensions; reused, no differentiation allocates.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BridleDerivatives {
    count: usize,
    by_length: Vec<f64>,
    by_stiffness: Vec<f64>,
    by_center_of_gravity: Vec<DVec3>,
    by_weight: Vec<f64>,
    /// y of each leg, and the factors of (δ − M) in the columns of length and stiffness.
    answers: Vec<(DVec3, f64, f64)>,
}

impl BridleDerivatives {
    /// By the unstretched lengths, N/m: for each leg (tension) a row, in it one number for each leg (length).
    pub fn by_length(&self) -> impl ExactSizeIterator<Item = &[f64]> {
        self.by_length.chunks_exact(self.count.max(1))
    }

    /// By the axial stiffness EA of a leg with a linear law (N per N), or by a factor on any other law (N): rows as in
    /// [`BridleDerivatives::by_length`].
    pub fn by_stiffness(&self) -> impl ExactSizeIterator<Item = &[f64]> {
        self.by_stiffness.chunks_exact(self.count.max(1))
    }

    /// By the center of gravity, N/m, in the frame of the points: one gradient for each leg.
    pub fn by_center_of_gravity(&self) -> &[DVec3] {
        &self.by_center_of_gravity
    }

    /// By the weight, N per N: one for each leg.
    pub fn by_weight(&self) -> &[f64] {
        &self.by_weight
    }
}

impl Bridle {
    /// Differentiates the tensions of the last solve, which must be of this bridle, as it is now.
    ///
    /// They hold as long as no leg goes slack or tight; [`Outcome::slack_event`](crate::equilibrium::bridle::Outcome)
    /// says how near that is. A leg at the event itself counts as slack if its elongation is not positive: ask
    /// [`differentiate`](super::differentiate) where that matters, it refuses such a balance.
    ///
    /// # Errors
    ///
    /// [`Error::Inconsistent`] if the workspace holds no solution, or one of another number of legs;
    /// [`Error::Unsupported`] unless its state is [`State::Stable`].
    ///
    /// ```
    /// use glam::DVec3;
    /// use rigging_core::equilibrium::bridle::{Bridle, Workspace};
    /// use rigging_core::equilibrium::sensitivity::BridleDerivatives;
    /// use rigging_core::system::Law;
    /// let points = vec![DVec3::new(1.0, 0.0, 0.0), DVec3::new(-1.0, 0.0, 0.0)];
    /// let laws = vec![Law::linear(1.0e9)?, Law::linear(1.0e9)?];
    /// let bridle = Bridle::new(points, vec![2.0, 2.0], laws, DVec3::new(0.0, 0.0, -1.0), 1000.0)?;
    /// let (mut workspace, mut derivatives) = (Workspace::default(), BridleDerivatives::default());
    /// bridle.solve(&mut workspace)?;
    /// bridle.differentiate(&workspace, &mut derivatives)?;
    /// // Two legs at 60° from horizontal: a newton more is 1/(2·sin 60°) more in each.
    /// assert!(derivatives.by_weight().iter().all(|rate| (rate - 1.0 / 3.0_f64.sqrt()).abs() < 1.0e-5));
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn differentiate(&self, workspace: &Workspace, into: &mut BridleDerivatives) -> Result<(), Error> {
        let legs = workspace.legs();
        let root = Place::root;
        let state = workspace.state().ok_or_else(|| Error::inconsistent("the workspace holds no solution", root()))?;
        if legs.len() != self.lengths().len() {
            return Err(Error::inconsistent("the workspace holds the solution of another bridle", root()));
        }
        let (hessian, flexibility) = workspace.flexibility().filter(|_| state == State::Stable).ok_or_else(|| {
            Error::unsupported(format!("derivatives of a state that is {}", state.word()), root().child("state"))
        })?;
        let (softening, up) = workspace.softening();
        into.count = legs.len();
        into.answers.clear();
        into.by_center_of_gravity.clear();
        into.by_weight.clear();
        for (leg, law) in legs.iter().zip(self.laws()) {
            let taut = leg.force > 0.0;
            let y = if taut {
                let pull = leg.stiffness * leg.direction;
                let first = flexibility * pull;
                // Stiff directions are many orders stiffer than the soft one; what the inverse loses in them, and δ − M
                // would bring out, one correction restores.
                first + flexibility * (pull - hessian.times(first))
            } else {
                DVec3::ZERO
            };
            let along = y.dot(up);
            into.by_center_of_gravity.push(softening * (along * up - y));
            into.by_weight.push(along);
            let by_length = if taut { -leg.stiffness * leg.distance / leg.length } else { 0.0 };
            let by_stiffness = match law {
                Law::Linear { .. } => (leg.elongation / leg.length).max(0.0),
                _ => leg.tension(),
            };
            into.answers.push((y, by_length, by_stiffness));
        }
        into.by_length.clear();
        into.by_stiffness.clear();
        for (row, (y, _, _)) in into.answers.iter().enumerate() {
            for (column, (leg, (_, by_length, by_stiffness))) in legs.iter().zip(&into.answers).enumerate() {
                let own = if row == column { 1.0 } else { 0.0 };
                let rest = own - y.dot(leg.direction);
                into.by_length.push(by_length * rest);
                into.by_stiffness.push(by_stiffness * rest);
            }
        }
        Ok(())
    }
}
