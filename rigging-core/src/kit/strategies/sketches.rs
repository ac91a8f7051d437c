//! Several hooks, and a frame between hook and load.

use super::{STEP_OF_MASS, centimeters, rounded, stiffness};
use crate::kit::{Sketch, SketchFrame, SketchLeg, Stop};
use proptest::prelude::*;

/// EA over the weight, simplest first.
const RATIOS: [u32; 5] = [100, 50, 200, 500, 2_000];

/// A long load on two hooks, one leg or two to each; the hooks may stand at different heights, the center of gravity
/// anywhere between.
pub fn tandem() -> impl Strategy<Value = Sketch> {
    let place = (200..=2000_i32, 200..=1000_i32, -30..=30_i32);
    let center = (-40..=40_i32, -20..=20_i32, -150..=20_i32);
    let legs = (0..=150_i32, 0..=20_u32, prop::array::uniform4(-10..=10_i32), 0..RATIOS.len());
    (1..=240_u32, place, center, legs).prop_map(
        |(mass, (span, height, higher), (along, aside, z), (width, tolerance, errors, ratio))| {
            let mass = f64::from(mass) * STEP_OF_MASS;
            // Of a single leg to each hook the points lie in line.
            let sides: &[f64] = if width < 30 { &[0.0] } else { &[-1.0, 1.0] };
            let width = if width < 30 { 0.0 } else { centimeters(width) };
            let hooks = vec![[0.0, 0.0, centimeters(height)], [centimeters(span), 0.0, centimeters(height + higher)]];
            let points: Vec<[f64; 3]> =
                hooks.iter().flat_map(|[x, ..]| sides.iter().map(move |side| [*x, side * width + 0.0, 0.0])).collect();
            // Both ends are rigged level: what the hooks stand apart in height tilts the load.
            let length = rounded(centimeters(height).hypot(width));
            let stiffness = stiffness(mass, RATIOS.get(ratio).copied().unwrap_or(100));
            let legs = (0..points.len()).zip(errors).map(|(point, error)| SketchLeg {
                ends: [Stop::Hook(point / sides.len()), Stop::Point(point)],
                length: millimeters(length + f64::from(error) / 1000.0),
                tolerance: f64::from(tolerance) / 1000.0,
                stiffness,
            });
            let along = rounded(centimeters(span) * f64::from(50 + along) / 100.0);
            let center_of_gravity = [along, centimeters(aside), centimeters(z)];
            Sketch { mass, center_of_gravity, legs: legs.collect(), points, hooks, frame: None }
        },
    )
}

/// A load of four points below a frame that hangs from one hook by four legs.
pub fn tier() -> impl Strategy<Value = Sketch> {
    let frame = (50..=400_i32, 0..=60_i32, 0..=150_i32, 1..=20_u32);
    let center = (-30..=30_i32, -30..=30_i32, -100..=60_i32);
    let legs = (50..=500_i32, 0..=20_u32, prop::array::uniform8(-5..=5_i32), 0..RATIOS.len());
    (1..=120_u32, frame, center, legs).prop_map(
        |(mass, (half, narrower, higher, share), (x, y, z), (drop, tolerance, errors, ratio))| {
            let mass = f64::from(mass) * STEP_OF_MASS;
            let (length, across) = (centimeters(half), centimeters(half * (100 - narrower) / 100));
            let height = rounded(length * f64::from(100 + higher) / 100.0);
            let corners = |z: f64| {
                let signs = [[1.0, 1.0], [1.0, -1.0], [-1.0, -1.0], [-1.0, 1.0]];
                signs.map(|[x, y]| [x * length, y * across, z]).to_vec()
            };
            let below = -centimeters(drop);
            let sling = rounded((length * length + across * across + height * height).sqrt());
            let stiffness = stiffness(mass, RATIOS.get(ratio).copied().unwrap_or(100));
            let upper = (0..4).map(|corner| ([Stop::Hook(0), Stop::Frame(corner)], sling));
            let lower = (0..4).map(|corner| ([Stop::Frame(corner), Stop::Point(corner)], -below));
            let legs = upper.chain(lower).zip(errors).map(|((ends, length), error)| SketchLeg {
                ends,
                length: millimeters(length + f64::from(error) / 1000.0),
                tolerance: f64::from(tolerance) / 1000.0,
                stiffness,
            });
            let of = |percent: i32, size: f64| rounded(size * f64::from(percent) / 100.0);
            let frame_mass = (mass * f64::from(share) / 100.0).round();
            let frame = SketchFrame { mass: frame_mass, center_of_gravity: [0.0; 3], corners: corners(0.0) };
            Sketch {
                mass,
                center_of_gravity: [of(x, length), of(y, across), rounded(below + of(z, length))],
                points: corners(below),
                hooks: vec![[0.0, 0.0, height]],
                legs: legs.collect(),
                frame: Some(frame),
            }
        },
    )
}

/// Rounded to the millimeter.
fn millimeters(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}
