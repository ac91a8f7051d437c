//! From places and shares back to numbers with which the arrangement hangs about there.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of parts, members or hooks")]

use super::super::fitting::fitting;
use super::super::interval::Interval;
use super::super::piece::Piece;
use super::Tiers;
use super::layout::Tied;
use glam::{DQuat, DVec3};

impl Tiers {
    /// Numbers of the box whose balance is near a place of a piece, given by its symbols.
    pub(super) fn numbers_near<const N: usize>(&self, piece: &Piece<N>, symbols: &[f64; N]) -> Vec<f64> {
        let value = |symbol: usize| piece.value(symbol, symbols);
        let three = |first: usize| DVec3::from_array([0, 1, 2].map(|axis| value(first + axis)));
        let middle = |v: &[Interval; 3]| DVec3::from_array(v.map(Interval::middle));
        let higher = |hook: usize| hook.checked_sub(1).map_or(0.0, |other| value(self.higher() + other));
        let hook = |hook: usize, at: &[Interval; 3]| middle(at) + DVec3::Z * higher(hook);
        let mut positions = vec![DVec3::ZERO; self.layout.parts.len()];
        for index in &self.layout.order {
            let part = &self.layout.parts[*index];
            let from = part.from.iter().map(|other| match other {
                Tied::Hook(other) => hook(*other, &self.hook_at(*other)),
                Tied::Part(other) => positions[*other],
            });
            let from = from.sum::<DVec3>() / part.from.len().max(1) as f64;
            positions[*index] = from + three(part.place);
        }
        let turn = |part: usize| {
            let g = DVec3::from_array(self.layout.parts[part].turn.map(|symbol| symbol.map_or(0.0, value)));
            DQuat::from_xyzw(g.x, g.y, g.z, (1.0 - g.length_squared()).max(0.0).sqrt())
        };
        let (mut longer, mut stiffer) = (Vec::new(), Vec::new());
        let weight = self.nominal;
        for (leg, line) in self.lines.iter().enumerate() {
            let [one, other] = line.tips.each_ref().map(|tip| match tip.tied {
                Tied::Hook(index) => hook(index, &tip.at),
                Tied::Part(part) => positions[part] + turn(part) * middle(&tip.at),
            });
            let length = (one - other).length();
            let tension = value(self.shares() + leg) * self.density * length;
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
        let others = three(self.center())
            .to_array()
            .into_iter()
            .chain([value(self.weight()) / self.nominal - 1.0])
            .chain(heights);
        let numbers = longer.into_iter().chain(stiffer).chain(others);
        numbers.zip(&self.sides).map(|(number, side)| side.nearest(number)).collect()
    }
}
