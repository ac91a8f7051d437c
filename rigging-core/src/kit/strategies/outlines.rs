//! One load under one hook.

use super::{STEP_OF_MASS, centimeters, rounded, stiffness};
use crate::kit::Outline;
use proptest::prelude::*;

/// Most legs that are drawn.
const MOST: usize = 8;
/// EA over the weight, simplest first: fiber from soft to stiff.
const FIBER: [u32; 5] = [100, 50, 20, 200, 500];
/// The same where legs hardly stretch: stiff fiber to chain.
const STIFF: [u32; 5] = [1_000, 2_000, 5_000, 20_000, 100_000];

/// Two to eight points round a circle or an oval, at slightly different heights; legs of one length but for errors.
pub fn ring() -> impl Strategy<Value = Outline> {
    let heights = prop::array::uniform8(-10..=10_i32);
    (2..=MOST, 50..=600_i32, 0..=40_i32, heights, numbers([-50..=50, -50..=50, -150..=40], 3, &FIBER)).prop_map(
        |(legs, radius, flatter, heights, numbers)| {
            let turn = |leg: usize| std::f64::consts::TAU * (leg as f64 + 0.5) / legs as f64;
            let across = radius * (100 - flatter) / 100;
            let point = |(leg, height): (usize, &i32)| {
                let (sine, cosine) = turn(leg).sin_cos();
                [rounded(centimeters(radius) * cosine), rounded(centimeters(across) * sine), centimeters(*height)]
            };
            numbers.outline(radius, heights.iter().enumerate().take(legs).map(point).collect())
        },
    )
}

/// Four legs on a rectangle, the center of gravity off the middle and at or above the points.
pub fn skid() -> impl Strategy<Value = Outline> {
    (50..=600_i32, 0..=70_i32, numbers([-30..=30, -20..=20, 0..=60], 10, &FIBER))
        .prop_map(|(half, narrower, numbers)| numbers.outline(half, rectangle(half, half * (100 - narrower) / 100)))
}

/// A narrow base and a center of gravity high above it; many of these topple.
pub fn tall() -> impl Strategy<Value = Outline> {
    (50..=200_i32, 0..=50_i32, numbers([-20..=20, -20..=20, 50..=400], 10, &FIBER)).prop_map(
        |(half, narrower, numbers)| {
            let numbers = Numbers { hook: numbers.hook + 250, ..numbers };
            numbers.outline(half, rectangle(half, half * (100 - narrower) / 100))
        },
    )
}

/// Three or four points within a few centimeters of a line, the center of gravity below them.
pub fn near_line() -> impl Strategy<Value = Outline> {
    let aside = prop::array::uniform4((-3..=3_i32, -3..=3_i32));
    (3..=4_usize, 100..=600_i32, aside, numbers([-40..=40, 0..=0, -100..=-10], 3, &FIBER)).prop_map(
        |(legs, half, aside, numbers)| {
            let point = |(leg, (y, z)): (usize, &(i32, i32))| {
                let along = 2 * half * i32::try_from(leg).unwrap_or(0) / i32::try_from(legs - 1).unwrap_or(1) - half;
                [centimeters(along), centimeters(*y), centimeters(*z)]
            };
            numbers.outline(half, aside.iter().enumerate().take(legs).map(point).collect())
        },
    )
}

/// Four stiff legs on a rectangle with errors of length to 40 mm: most hang on two or three of them.
pub fn slack_prone() -> impl Strategy<Value = Outline> {
    (100..=400_i32, 0..=60_i32, numbers([-20..=20, -20..=20, -80..=40], 40, &STIFF))
        .prop_map(|(half, narrower, numbers)| numbers.outline(half, rectangle(half, half * (100 - narrower) / 100)))
}

/// Any of the families of one load under one hook.
pub fn outlines() -> impl Strategy<Value = Outline> {
    prop_oneof![ring(), skid(), slack_prone(), near_line(), tall()]
}

fn rectangle(half: i32, across: i32) -> Vec<[f64; 3]> {
    let (x, y) = (centimeters(half), centimeters(across));
    vec![[x, y, 0.0], [x, -y, 0.0], [-x, -y, 0.0], [-x, y, 0.0]]
}

/// What is drawn besides the points.
#[derive(Debug, Clone)]
struct Numbers {
    /// Mass in steps.
    mass: u32,
    /// Center of gravity in percent of the size.
    center: [i32; 3],
    /// Height of the hook that the legs were made for, in percent of the size above 150.
    hook: i32,
    /// Error of each length, mm.
    errors: [i32; MOST],
    /// Tolerance of all lengths, mm.
    tolerance: u32,
    /// Box of the center of gravity in plan, cm.
    plan: [u32; 2],
    /// EA over the weight.
    ratio: u32,
}

/// Numbers with the center of gravity in ranges of percent, errors of length up to `error` mm, and EA over the weight.
fn numbers(
    [x, y, z]: [std::ops::RangeInclusive<i32>; 3],
    error: i32,
    ratios: &'static [u32],
) -> impl Strategy<Value = Numbers> {
    let center = (x, y, z).prop_map(<[i32; 3]>::from);
    let errors = prop::array::uniform8(-error..=error);
    let off = (0..=20_u32, prop::array::uniform2(0..=10_u32));
    (1..=120_u32, center, -80..=150_i32, errors, off, 0..ratios.len()).prop_map(
        |(mass, center, hook, errors, (tolerance, plan), ratio)| {
            let ratio = ratios.get(ratio).copied().unwrap_or(100);
            Numbers { mass, center, hook, errors, tolerance, plan, ratio }
        },
    )
}

impl Numbers {
    /// The outline of points within `size` (cm) of the middle.
    fn outline(&self, size: i32, points: Vec<[f64; 3]>) -> Outline {
        let legs = points.len();
        let mass = f64::from(self.mass) * STEP_OF_MASS;
        let height = centimeters(size) * f64::from(150 + self.hook) / 100.0;
        let errors = self.errors.iter().map(|error| f64::from(*error) / 1000.0);
        let lengths = points.iter().zip(errors).map(|([x, y, z], error)| {
            let straight = rounded((x * x + y * y + (height - z) * (height - z)).sqrt());
            // To the millimeter once more: a sum of decimals is no decimal.
            ((straight + error) * 1000.0).round() / 1000.0
        });
        let [x, y] = self.plan.map(|side| f64::from(side) / 100.0);
        Outline {
            mass,
            center_of_gravity: self.center.map(|percent| rounded(centimeters(size) * f64::from(percent) / 100.0)),
            center_tolerance: [x, y, 0.0],
            lengths: lengths.collect(),
            points,
            length_tolerances: vec![f64::from(self.tolerance) / 1000.0; legs],
            stiffnesses: vec![stiffness(mass, self.ratio); legs],
        }
    }
}
