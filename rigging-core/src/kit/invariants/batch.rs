//! Rows of a batch against single calculations.

use super::violation::{Answer, Comparing, Invariant};
use crate::equilibrium::batch::{self, BridleOutcomes, BridleRows};
use crate::equilibrium::{State, bridle_of, solve};
use crate::error::{Error, Place};
use crate::system::{Law, System};

/// Every row of a batch is what its lift gives alone, bit for bit: in the order given and in the reverse, on one thread
/// and on several.
///
/// # Errors
/// [`Broken::Violation`](super::Broken::Violation), its place the row; [`Error::Unsupported`] for systems that are no
/// rows of one batch: not one body under one hook, other numbers of legs, laws that are not linear.
///
/// ```
/// use rigging_core::kit::{Outline, invariants};
/// let systems = [Outline::ring(4).system()?, Outline { mass: 2.0e4, ..Outline::ring(4) }.system()?];
/// assert!(invariants::batch_rows(&systems).unwrap().compared());
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn batch_rows(systems: &[System]) -> Answer {
    let mut comparing = Comparing::new(Invariant::BatchRow);
    let straight: Vec<usize> = (0..systems.len()).collect();
    let reversed = straight.iter().rev().copied().collect();
    for order in [straight, reversed] {
        let rows = Rows::of(systems, &order)?;
        for threads in [1, 3] {
            rows.compare(&mut comparing, systems, &order, threads)?;
        }
    }
    Ok(comparing.kept())
}

/// The arrays of a batch.
#[derive(Default)]
struct Rows {
    legs: usize,
    weight: Vec<f64>,
    points: Vec<f64>,
    lengths: Vec<f64>,
    ea: Vec<f64>,
}

impl Rows {
    fn of(systems: &[System], order: &[usize]) -> Result<Self, Error> {
        let mut rows = Self::default();
        for (row, system) in order.iter().filter_map(|row| Some((*row, systems.get(*row)?))) {
            let place = Place::root().child("rows").child(row);
            let bridle = bridle_of(system)?;
            let legs = bridle.lengths().len();
            if rows.weight.is_empty() {
                rows.legs = legs;
            } else if rows.legs != legs {
                return Err(Error::unsupported("rows with different numbers of legs in one batch", place));
            }
            for law in bridle.laws() {
                let Law::Linear { ea } = law else {
                    return Err(Error::unsupported("a law that is not linear in a batch", place));
                };
                rows.ea.push(*ea);
            }
            rows.weight.push(bridle.weight());
            rows.lengths.extend(bridle.lengths());
            rows.points.extend(bridle.points().iter().flat_map(|point| point.to_array()));
        }
        Ok(rows)
    }

    fn compare(
        &self,
        comparing: &mut Comparing,
        systems: &[System],
        order: &[usize],
        threads: usize,
    ) -> Result<(), super::Broken> {
        let count = self.weight.len();
        // The points of a bridle are relative to the center of gravity already.
        let center = vec![0.0; 3 * count];
        let (weight, points, lengths, ea) = (&self.weight, &self.points, &self.lengths, &self.ea);
        let rows = BridleRows { legs: self.legs, weight, center: &center, points, lengths, ea };
        let (mut tension, mut tilt) = (vec![0.0; count * self.legs], vec![0.0; count]);
        let (mut status, mut state) = (vec![0; count], vec![0; count]);
        let out = BridleOutcomes { tension: &mut tension, tilt: &mut tilt, status: &mut status, state: &mut state };
        batch::solve(&rows, out, threads)?;
        let found = order.iter().zip(tension.chunks(self.legs.max(1))).zip(status.iter().zip(&state));
        for ((row, tensions), (status, state)) in found {
            let Some(system) = systems.get(*row) else { continue };
            let what =
                || (format!("row {row} of a batch on {threads} threads"), Place::root().child("rows").child(*row));
            let alone = match solve(system) {
                Ok(certificate) => {
                    let lift = matches!(certificate.state, State::Stable | State::Neutral);
                    let bits = |tension: f64| if lift { tension.to_bits() } else { f64::NAN.to_bits() };
                    let tensions: Vec<u64> = certificate.members.iter().map(|member| bits(member.tension)).collect();
                    (0, certificate.state.code(), tensions)
                }
                Err(error) => (error.status(), -1, vec![f64::NAN.to_bits(); self.legs]),
            };
            let found: Vec<u64> = tensions.iter().map(|tension| tension.to_bits()).collect();
            comparing.same(&(*status, *state, found), &alone, what)?;
        }
        Ok(())
    }
}
