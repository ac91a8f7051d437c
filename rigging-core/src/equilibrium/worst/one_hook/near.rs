//! From a hook and shares back to numbers with which the load hangs about there.

use super::super::piece::Piece;
use super::{CENTER, OneHook, SHARES, SYMBOLS, WEIGHT};
use crate::equilibrium::worst::fitting::fitting;
use glam::DVec3;

impl OneHook<'_> {
    /// Numbers of the box whose balance is near a place of a piece, given by its symbols.
    pub(super) fn numbers_near(&self, piece: &Piece<SYMBOLS>, symbols: &[f64; SYMBOLS]) -> Vec<f64> {
        let problem = self.problem;
        let three = |first: usize| DVec3::from_array([0, 1, 2].map(|axis| piece.value(first + axis, symbols)));
        let (hook, center, weight) = (three(0), three(CENTER), piece.value(WEIGHT, symbols));
        let height = (hook - center).length();
        let (mut longer, mut stiffer) = (Vec::new(), Vec::new());
        let nominals = problem.points.iter().zip(problem.bridle.lengths()).zip(problem.bridle.laws()).enumerate();
        for (leg, ((point, nominal), law)) in nominals {
            let length = (hook - *point).length();
            let tension = piece.value(SHARES + leg, symbols) * weight / height * length;
            let side = problem.sides.get(leg).copied();
            let [more, factor] = fitting(law, *nominal, side, length, tension, weight);
            longer.push(more);
            stiffer.push(factor);
        }
        let others = center.to_array().into_iter().chain([weight / problem.bridle.weight() - 1.0]);
        let numbers = longer.into_iter().chain(stiffer).chain(others);
        numbers.zip(&problem.sides).map(|(number, side)| side.nearest(number)).collect()
    }
}
