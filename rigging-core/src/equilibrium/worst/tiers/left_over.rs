//! What rounding leaves of the forces in the nominal state as it was found.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of parts")]

use super::super::affine::{Affine, Affine3};
use super::super::interval::Interval;
use super::super::law;
use super::layout::{Layout, Stance, Tied};
use super::posture::{Posture, norm};
use super::{Line, minus, minus3};

/// The most that may be left over, over the weight: of forces, and of moments over the longest member.
const LEFT_OVER: f64 = 1.0e-8;
/// What holds turns that are free may bear more moment than is left over, by less than this: see the proof.
const HELD: f64 = 64.0;

/// The sums of the sizes of forces and of moments that are left over at all parts, over the density. Conditions are widened by
/// that, so that they hold from where these are added, and the nominal state as it was found is a balance, to where none is.
pub(super) struct LeftOver {
    /// m.
    pub(super) force: f64,
    /// About joints and nominal centers of gravity, m².
    moment: f64,
}

impl LeftOver {
    /// At nominal numbers, with stances as they were found. None if it is too much.
    pub(super) fn of(
        layout: &Layout,
        lines: &[Line],
        weights: &[Interval],
        stances: &[Stance],
        density: f64,
        longest: f64,
    ) -> Option<Self> {
        let mut forces: Vec<[Interval; 3]> =
            weights.iter().map(|weight| [Interval::ZERO, Interval::ZERO, -*weight]).collect();
        let mut moments = vec![[Interval::ZERO; 3]; weights.len()];
        let relative: Vec<[Interval; 3]> =
            stances.iter().map(|(position, _)| minus3(*position, layout.middle)).collect();
        for line in lines {
            let tips = line.tips.each_ref().map(|tip| match tip.tied {
                Tied::Hook(_) => tip.at,
                Tied::Part(part) => [0, 1, 2].map(|axis| relative[part][axis] + tip.at[axis]),
            });
            let arm: Affine3<4> = minus(&tips[0].map(Affine::within), &tips[1].map(Affine::within));
            let length = norm(&arm)?.range();
            let strain = length / Interval::point(line.nominal) - Interval::ONE;
            let share = law::tension(&line.sling.law, strain) / length / Interval::point(density);
            let pull = arm.map(|component| component.range() * share);
            for (tip, sign) in line.tips.iter().zip([-1.0, 1.0]) {
                let Tied::Part(part) = tip.tied else { continue };
                let [fx, fy, fz] = pull.map(|component| component * sign);
                let [px, py, pz] = tip.at;
                let turning = [py * fz - pz * fy, pz * fx - px * fz, px * fy - py * fx];
                for axis in 0..3 {
                    forces[part][axis] = forces[part][axis] + [fx, fy, fz][axis];
                    moments[part][axis] = moments[part][axis] + turning[axis];
                }
            }
        }
        let size = |all: &[[Interval; 3]]| all.iter().flatten().map(|part| 2.0 * part.magnitude()).sum::<f64>();
        let weight: f64 = weights.iter().map(|weight| weight.lo).sum();
        let found = Self { force: size(&forces), moment: size(&moments) };
        (found.force < LEFT_OVER * weight && found.moment < LEFT_OVER * weight * longest).then_some(found)
    }

    /// The most moment that may be left over about any point of a posture.
    pub(super) fn moment<const N: usize>(&self, posture: &Posture<N>) -> f64 {
        let places = posture.parts.iter().chain(posture.tips.iter().flatten());
        let farthest = places.flatten().map(|form| form.range().magnitude()).fold(0.0, f64::max);
        HELD * (self.moment + 4.0 * farthest * self.force)
    }
}
