//! For who writes a sharing rule and wants to know where it is unsafe.
//!
//! An [`Outline`] is one load under one hook in plain numbers: small enough to be drawn, changed and printed.

mod geared;
pub mod invariants;
mod outline;
mod sketch;
#[cfg(feature = "proptest")]
pub mod strategies;

pub use geared::{FiberSling, Geared};
pub use outline::Outline;
pub use sketch::{Sketch, SketchFrame, SketchLeg, Stop};
