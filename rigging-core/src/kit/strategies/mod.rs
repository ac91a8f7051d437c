//! Strategies of lifts that can exist, for property tests with the package proptest (feature `proptest`).
//!
//! Every value loads: an [`Outline`] is a system, a set of legs and a document, a [`Sketch`] and a [`Geared`] are
//! documents. Most hang stably; not all, for a rule must also be asked of lifts that topple. Numbers are whole steps of
//! what one would draw (half a tonne, centimeters of a place, millimeters of an error), and grow simpler when a test
//! fails: fewer legs, no error, no tolerance, all evenly spread, the center of gravity in the middle.
//!
//! | Strategy | What |
//! |---|---|
//! | [`ring`] | points evenly round a circle or an oval |
//! | [`skid`] | four legs on a rectangle, the center of gravity off the middle and above the points |
//! | [`tall`] | the center of gravity high above a narrow base |
//! | [`near_line`] | points that all but lie on a line |
//! | [`slack_prone`] | stiff legs with errors of length, of which some go slack |
//! | [`outlines`] | any of these |
//! | [`tandem`] | two hooks |
//! | [`tier`] | a frame between hook and load |
//! | [`slings`], [`geared`] | fiber slings, and outlines with gear that is rated |
//! | [`rule_sets`] | small rule sets of one's own, as TOML |
//! | [`invalid`] | documents with one thing broken, and the error that must come |
//!
//! ```
//! use proptest::strategy::{Strategy, ValueTree};
//! use proptest::test_runner::TestRunner;
//! use rigging_core::kit::{invariants, strategies};
//! let mut runner = TestRunner::deterministic();
//! for _ in 0..20 {
//!     let outline = strategies::ring().new_tree(&mut runner).unwrap().current();
//!     invariants::balance(&outline.system().unwrap()).unwrap();
//! }
//! ```
//!
//! Ranges are invented, to cover what occurs; no source.

mod gear;
mod invalid;
mod outlines;
mod rule_sets;
mod sketches;

pub use gear::{geared, slings};
pub use invalid::{Invalid, invalid};
pub use outlines::{near_line, outlines, ring, skid, slack_prone, tall};
pub use rule_sets::rule_sets;
pub use sketches::{tandem, tier};

#[allow(unused_imports, reason = "named by the documentation")]
use super::{Geared, Outline, Sketch};
use crate::quantity::STANDARD_GRAVITY;

/// Kilograms of a step of mass.
const STEP_OF_MASS: f64 = 500.0;

/// EA of a leg: `ratio` times the weight, to two digits, N.
fn stiffness(mass: f64, ratio: u32) -> f64 {
    let mut tens = 1.0;
    let newtons = mass * STANDARD_GRAVITY.si() * f64::from(ratio);
    while newtons / tens >= 100.0 {
        tens *= 10.0;
    }
    (newtons / tens).ceil() * tens
}

/// Centimeters as meters.
fn centimeters(value: i32) -> f64 {
    f64::from(value) / 100.0
}

/// Rounded to the centimeter.
fn rounded(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}
