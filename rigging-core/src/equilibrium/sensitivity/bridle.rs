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
//! - by the point of leg j: ∂T_i/∂p_j = q·y_i + (k_j − q)·(y_i·u_j)·u_j − δ_ij·k_j·u_j, with q = T_j/l_j.
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
    /// y of each leg.
    answers: Vec<DVec3>,
    columns: Columns,
}

/// What a column of the matrices needs of its leg, number by number, so that a row is made with all lanes of a processor.
#[derive(Debug, Clone, Default, PartialEq)]
struct Columns {
    /// Directions.
    u: [Vec<f64>; 3],
    /// The factors of (δ − M) in the columns of length and of stiffness.
    factors: [Vec<f64>; 2],
}

impl Columns {
    fn clear(&mut self) {
        self.u.iter_mut().chain(&mut self.factors).for_each(Vec::clear);
    }

    fn push(&mut self, u: DVec3, factors: [f64; 2]) {
        self.u.iter_mut().zip(u.to_array()).for_each(|(list, entry)| list.push(entry));
        self.factors.iter_mut().zip(factors).for_each(|(list, entry)| list.push(entry));
    }

    /// The row of a leg in both matrices.
    #[inline]
    fn row(&self, index: usize, y: DVec3, [by_length, by_stiffness]: [&mut [f64]; 2]) {
        let [x, across, up] = &self.u;
        let [of_length, of_stiffness] = &self.factors;
        let entries = by_length.iter_mut().zip(by_stiffness.iter_mut());
        let legs = x.iter().zip(across).zip(up).zip(of_length.iter().zip(of_stiffness));
        for ((length, stiffness), (((ux, uy), uz), (by_length, by_stiffness))) in entries.zip(legs) {
            let rest = 0.0 - (y.x * ux + y.y * uy + y.z * uz);
            *length = by_length * rest;
            *stiffness = by_stiffness * rest;
        }
        let own = [x, across, up].map(|list| list.get(index).copied().unwrap_or_default());
        let rest = 1.0 - y.dot(DVec3::from_array(own));
        for (row, factors) in [(by_length, of_length), (by_stiffness, of_stiffness)] {
            if let (Some(entry), Some(factor)) = (row.get_mut(index), factors.get(index)) {
                *entry = factor * rest;
            }
        }
    }
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

    /// The tension of a leg by the point of the load that another, or itself, is attached to, N/m, in the frame of the points; the
    /// workspace is the one that was differentiated. None for a leg that is not there.
    pub fn by_point(&self, workspace: &Workspace, tension: usize, point: usize) -> Option<DVec3> {
        let (answer, end) = (*self.answers.get(tension)?, workspace.legs().get(point)?);
        if end.force <= 0.0 {
            return Some(DVec3::ZERO);
        }
        // The end pulls the hook along by the stiffness of its leg, and shortens that leg.
        let across = end.force / end.distance;
        let along = (end.stiffness - across) * end.direction.dot(answer);
        let own = if tension == point { end.stiffness } else { 0.0 };
        Some(across * answer + (along - own) * end.direction)
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
        into.columns.clear();
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
            into.answers.push(y);
            into.columns.push(leg.direction, [by_length, by_stiffness]);
        }
        let BridleDerivatives { count, by_length, by_stiffness, answers, columns, .. } = into;
        for matrix in [&mut *by_length, &mut *by_stiffness] {
            matrix.resize(*count * *count, 0.0);
        }
        let rows = by_length.chunks_exact_mut((*count).max(1)).zip(by_stiffness.chunks_exact_mut((*count).max(1)));
        for ((index, y), (lengths, stiffnesses)) in answers.iter().enumerate().zip(rows) {
            columns.row(index, *y, [lengths, stiffnesses]);
        }
        Ok(())
    }
}
