//! What the proof asks of an arrangement. Region, pieces, bounds and climbs are the same for all.

use super::affine::Affine;
use super::forms::Forms;
use super::interval::Interval;
use super::piece::Piece;
use super::target::Target;
use crate::equilibrium::State;
use crate::error::Error;

/// The balances of an arrangement, with any numbers of the box, told by N symbols: first the place, then numbers of the box,
/// last the shares.
pub(super) trait Balances<const N: usize> {
    /// Number of legs.
    fn legs(&self) -> usize;

    /// The numbers of the box.
    fn sides(&self) -> &[Interval];

    /// How far beyond the places that were found a region reaches, at least; there is one for each symbol of the place.
    fn margins(&self) -> &[f64];

    /// The first of the symbols behind the place that are made narrower with it. The others, numbers of the box that the place
    /// says little about, stand in between.
    fn told(&self) -> usize;

    /// All that may hold a balance in a box of places; none if a leg may point downward.
    fn all(&self, place: &[Interval]) -> Option<Piece<N>>;

    /// The forms over a piece; none where they have none. Says also which legs can only be taut or slack.
    fn forms(&self, piece: &mut Piece<N>) -> Option<Forms<N>>;

    /// No less than the target at every balance of a piece.
    fn target(&self, piece: &Piece<N>, forms: &Forms<N>, target: Target) -> Affine<N>;

    /// Whether every balance of a piece is stable, or there is none.
    fn is_stable(&self, piece: &Piece<N>, forms: &Forms<N>) -> bool;

    /// Numbers of the box whose balance is near a place of a piece, given by its symbols.
    fn near(&self, piece: &Piece<N>, symbols: &[f64; N]) -> Vec<f64>;
}

/// Hangs an arrangement with one set of numbers after the other.
pub(super) trait Hangs {
    /// State and place with the given numbers; none where no state could be certified.
    ///
    /// # Errors
    /// Every other error of the solver.
    fn hang(&mut self, numbers: &[f64]) -> Result<Option<(State, Vec<f64>)>, Error>;

    /// A target in the last state.
    fn value(&self, target: Target) -> f64;

    /// Which legs carry load in the last state.
    fn taut(&self) -> u32;
}
