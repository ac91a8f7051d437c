//! From a hook and shares back to numbers with which the load hangs about there.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of numbers, or three")]

use super::conditions::{CENTER, Piece, SHARES, SYMBOLS, WEIGHT};
use super::interval::Interval;
use super::problem::Problem;
use crate::system::Law;
use glam::DVec3;

/// Tension over the weight below which a leg is taken to be slack.
const SLACK: f64 = 1.0e-9;
/// Halvings in the search for a strain.
const HALVINGS: usize = 50;

/// Numbers of the box whose balance is near a place of a piece, given by its symbols.
pub(super) fn numbers_near(problem: &Problem, piece: &Piece, place: &[f64; SYMBOLS]) -> Vec<f64> {
    let at = |range: Interval, symbol: usize| range.middle() + range.radius() * place[symbol];
    let hook = DVec3::from_array(std::array::from_fn(|axis| at(piece.hook[axis], axis)));
    let center: [f64; 3] = std::array::from_fn(|axis| at(piece.center[axis], CENTER + axis));
    let weight = at(piece.weight, WEIGHT);
    let height = (hook - DVec3::from_array(center)).length();
    let legs = problem.legs();
    let mut found = vec![0.0; problem.sides.len()];
    for leg in 0..legs {
        let length = (hook - problem.points[leg]).length();
        let tension = at(piece.shares[leg], SHARES + leg) * weight / height * length;
        let (nominal, law) = (problem.bridle.lengths()[leg], &problem.bridle.laws()[leg]);
        // The sling that has this tension at this length; the longest where it is slack.
        let fitting =
            if tension > SLACK * weight { length / (1.0 + strain(law, tension)) - nominal } else { f64::INFINITY };
        found[leg] = fitting;
        let here = length / (nominal + clamped(problem, leg, fitting)) - 1.0;
        let force = law.tension(here);
        found[legs + leg] = if force > 0.0 { tension / force - 1.0 } else { 0.0 };
    }
    found[2 * legs..2 * legs + 3].copy_from_slice(&center);
    found[2 * legs + 3] = weight / problem.bridle.weight() - 1.0;
    (0..found.len()).map(|index| clamped(problem, index, found[index])).collect()
}

fn clamped(problem: &Problem, index: usize, number: f64) -> f64 {
    let side = problem.sides[index];
    if number.is_nan() { side.middle() } else { number.clamp(side.lo, side.hi) }
}

/// The strain at which a law has a tension.
fn strain(law: &Law, tension: f64) -> f64 {
    if let Law::Linear { ea } = law {
        return tension / ea;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if law.tension(middle) < tension { low = middle } else { high = middle }
    }
    high
}
