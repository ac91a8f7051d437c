//! Fiber slings, and lifts with gear that is rated.

use super::{STEP_OF_MASS, outlines};
use crate::gear::{Construction, Material};
use crate::kit::{FiberSling, Geared};
use proptest::prelude::*;

/// Fiber, with EA over the working load limit from and to. No source: the built-in rule sets give no stiffness of
/// fiber, so these are wide ranges in the order in which fibers are known to stretch.
const FIBERS: [(Material, [u32; 2]); 4] = [
    (Material::Polyester, [30, 80]),
    (Material::Hmpe, [150, 400]),
    (Material::Aramid, [150, 300]),
    (Material::Polyamide, [10, 30]),
];
/// How slings are made, simplest first.
const MADE: [Construction; 3] = [Construction::Roundsling, Construction::Web, Construction::Grommet];

/// Fiber slings: kind, working load limit from half a tonne, and breaking load and stiffness over it within ranges of
/// the fiber.
pub fn slings() -> impl Strategy<Value = FiberSling> {
    (0..MADE.len(), 0..FIBERS.len(), 1..=80_u32, 0..=3_u32, 0..=10_u32).prop_map(|(made, fiber, wll, factor, tenth)| {
        let (material, [softest, stiffest]) = FIBERS.get(fiber).copied().unwrap_or((Material::Polyester, [30, 80]));
        FiberSling {
            construction: MADE.get(made).copied().unwrap_or(Construction::Roundsling),
            material,
            wll: f64::from(wll) * 500.0,
            factor: f64::from(4 + factor),
            stiffness: f64::from(softest + (stiffest - softest) * tenth / 10),
        }
    })
}

/// Lifts of one load under one hook with slings, lift points and a hook that are rated. Some are
/// overloaded.
pub fn geared() -> impl Strategy<Value = Geared> {
    (outlines(), slings(), 1..=80_u32, 1..=160_u32).prop_map(|(mut outline, sling, points, hook)| {
        let legs = outline.points.len();
        // Slings overloaded by more than half are no lift that anybody would try.
        let most = (1.5 * sling.wll * legs as f64 / STEP_OF_MASS).floor() * STEP_OF_MASS;
        outline.mass = outline.mass.min(most);
        outline.stiffnesses = vec![sling.ea(); legs];
        Geared { outline, sling, points: f64::from(points) * 500.0, hook: f64::from(hook) * 500.0 }
    })
}
