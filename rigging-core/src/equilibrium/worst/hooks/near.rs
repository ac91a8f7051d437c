//! From a place and shares back to numbers with which the body hangs about there.

use super::super::fitting::fitting;
use super::super::interval::Interval;
use super::super::piece::Piece;
use super::{CENTER, HEIGHTS, Hooks, SYMBOLS, TURN, WEIGHT};
use glam::{DQuat, DVec3};

impl Hooks {
    /// Numbers of the box whose balance is near a place of a piece, given by its symbols.
    pub(super) fn numbers_near(&self, piece: &Piece<SYMBOLS>, symbols: &[f64; SYMBOLS]) -> Vec<f64> {
        let value = |symbol: usize| piece.value(symbol, symbols);
        let three = |first: usize| DVec3::from_array([0, 1, 2].map(|axis| value(first + axis)));
        let (position, turn) = (three(0), three(TURN));
        let turn = DQuat::from_xyzw(turn.x, turn.y, turn.z, (1.0 - turn.length_squared()).max(0.0).sqrt());
        let middle = |v: [Interval; 3]| DVec3::from_array(v.map(Interval::middle));
        let weight = value(WEIGHT);
        let higher = |hook: usize| hook.checked_sub(1).map_or(0.0, |other| value(HEIGHTS + other));
        let first = self.shares();
        let (mut longer, mut stiffer) = (Vec::new(), Vec::new());
        for (leg, line) in self.lines.iter().enumerate() {
            let hook = middle(line.from) + DVec3::Z * higher(line.hook);
            let length = (hook - position - turn * middle(line.point)).length();
            let tension = value(first + leg) * weight / self.height * length;
            let side = self.sides.get(leg).copied();
            let [more, factor] = fitting(&line.sling.law, line.nominal, side, length, tension, weight);
            longer.push(more);
            stiffer.push(factor);
        }
        // The first hook is as high as lets all others stay within what they may be off.
        let ends =
            self.heights.iter().enumerate().map(|(hook, height)| [-height - higher(hook), height - higher(hook)]);
        let [low, high] =
            ends.fold([f64::NEG_INFINITY, f64::INFINITY], |[a, b], [low, high]| [a.max(low), b.min(high)]);
        let raised = 0.5 * (low + high);
        let heights = (0..self.heights.len()).map(|hook| raised + higher(hook));
        let others = three(CENTER).to_array().into_iter().chain([weight / self.nominal - 1.0]).chain(heights);
        let numbers = longer.into_iter().chain(stiffer).chain(others);
        numbers.zip(&self.sides).map(|(number, side)| side.nearest(number)).collect()
    }
}
