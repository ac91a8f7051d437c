//! Where everything is over a piece, as forms.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of parts, members or hooks")]
#![expect(clippy::neg_cmp_op_on_partial_ord, reason = "what is not a number fails too")]

use super::super::affine::{Affine, Affine3};
use super::super::interval::Interval;
use super::super::piece::Piece;
use super::super::turn::{Matrix, turning};
use super::layout::Tied;
use super::{Tiers, add, minus};

/// The longest turn that is looked at: the square of the sine of half its angle.
const MOST_TURN: f64 = 0.36;

/// Parts and ends of members, from the mean of the hooks.
pub(super) struct Posture<const N: usize> {
    /// Joints and nominal centers of gravity.
    pub(super) parts: Vec<Affine3<N>>,
    /// Centers of gravity.
    pub(super) centers: Vec<Affine3<N>>,
    /// From the nominal center of gravity of the load to its own.
    pub(super) shift: Affine3<N>,
    /// Turns of bodies, as they are told.
    pub(super) turns: Vec<Option<Affine3<N>>>,
    /// Both ends of each member, and each from the part it is fixed to.
    pub(super) tips: Vec<[Affine3<N>; 2]>,
    pub(super) offsets: Vec<[Affine3<N>; 2]>,
}

impl<const N: usize> Posture<N> {
    /// From the second end of a member to the first.
    pub(super) fn arm(&self, member: usize) -> Affine3<N> {
        minus(&self.tips[member][0], &self.tips[member][1])
    }
}

impl Tiers {
    /// None where a body may be turned too far.
    pub(super) fn posture<const N: usize>(&self, piece: &Piece<N>) -> Option<Posture<N>> {
        let layout = &self.layout;
        let hook = |hook: usize, at: &[Interval; 3]| {
            let mut position = at.map(Affine::within);
            if let Some(other) = hook.checked_sub(1) {
                position[2] = position[2] + piece.side(self.higher() + other);
            }
            position
        };
        let count = layout.parts.len();
        let mut parts = vec![[Affine::ZERO; 3]; count];
        let mut turns: Vec<Option<Affine3<N>>> = vec![None; count];
        let mut matrices: Vec<Option<Matrix<Affine<N>>>> = vec![None; count];
        for index in &layout.order {
            let part = &layout.parts[*index];
            let mut from = [Affine::ZERO; 3];
            for other in &part.from {
                match other {
                    Tied::Hook(other) => add(&mut from, &hook(*other, &self.hook_at(*other))),
                    Tied::Part(other) => add(&mut from, &parts[*other]),
                }
            }
            let share = Interval::ONE / Interval::point(part.from.len().max(1) as f64);
            if part.from.len() > 1 {
                from = from.map(|component| component * share);
            }
            parts[*index] = [0, 1, 2].map(|axis| from[axis] + piece.side(part.place + axis));
            if part.body.is_some() {
                let g = part.turn.map(|symbol| symbol.map_or(Affine::ZERO, |symbol| piece.side(symbol)));
                let sine: f64 = g.iter().map(|along| along.range().magnitude().powi(2)).sum();
                if !(sine < MOST_TURN) {
                    return None;
                }
                (turns[*index], matrices[*index]) = (Some(g), Some(turning(&g)?));
            }
        }
        let apply =
            |matrix: &Matrix<Affine<N>>, v: &[Interval; 3]| matrix.map(|[a, b, c]| a * v[0] + b * v[1] + c * v[2]);
        let (mut tips, mut offsets) = (Vec::with_capacity(self.lines.len()), Vec::with_capacity(self.lines.len()));
        for line in &self.lines {
            let offset = line.tips.each_ref().map(|tip| match tip.tied {
                Tied::Part(part) => matrices[part].as_ref().map_or([Affine::ZERO; 3], |matrix| apply(matrix, &tip.at)),
                Tied::Hook(_) => [Affine::ZERO; 3],
            });
            let ends = [0, 1].map(|end| match line.tips[end].tied {
                Tied::Hook(index) => hook(index, &line.tips[end].at),
                Tied::Part(part) => {
                    let mut at = parts[part];
                    add(&mut at, &offset[end]);
                    at
                }
            });
            tips.push(ends);
            offsets.push(offset);
        }
        let mut centers = parts.clone();
        let shift: Affine3<N> = [0, 1, 2].map(|axis| piece.side(self.center() + axis));
        let shift = self.attitude.map(|[a, b, c]| shift[0] * a + shift[1] * b + shift[2] * c);
        let load = layout.load();
        let shift = matrices[load].as_ref()?.map(|[a, b, c]| a * shift[0] + b * shift[1] + c * shift[2]);
        add(&mut centers[load], &shift);
        Some(Posture { parts, centers, shift, turns, tips, offsets })
    }

    /// A hook, from the mean of all as drawn.
    pub(super) fn hook_at(&self, hook: usize) -> [Interval; 3] {
        let tips = self.lines.iter().flat_map(|line| &line.tips);
        let mut own = tips.filter(|tip| tip.tied == Tied::Hook(hook)).map(|tip| tip.at);
        own.next().unwrap_or([Interval::ZERO; 3])
    }
}

/// How long an arm is; none where it may vanish. Beyond its tangent along a unit vector u lies |a| − u·a =
/// |a×u|²/(|a| + u·a), which is no more than |a×u|²/(2·u·a).
pub(super) fn norm<const N: usize>(arm: &Affine3<N>) -> Option<Affine<N>> {
    let [x, y, z] = arm.each_ref().map(|component| component.middle);
    let length = (x * x + y * y + z * z).sqrt();
    let [u, v, w] = [x / length, y / length, z / length];
    let along = arm[0] * u + arm[1] * v + arm[2] * w;
    let least = along.range().lo;
    if !(least > 0.0) {
        return None;
    }
    let across = [arm[1] * w - arm[2] * v, arm[2] * u - arm[0] * w, arm[0] * v - arm[1] * u];
    let square = across.iter().map(|part| part.range()).fold(Interval::ZERO, |sum, part| {
        let most = Interval::point(part.magnitude());
        sum + most * most
    });
    // The vector is a unit one but for some units in the last place.
    let rounding = 16.0 * f64::EPSILON;
    let beyond = (square / Interval::point(2.0 * least)).hi * (1.0 + rounding);
    let beyond = Interval { lo: 0.0, hi: beyond };
    let size = along.range().magnitude() * rounding;
    Some((along + Affine::within(beyond)).widened(size))
}
