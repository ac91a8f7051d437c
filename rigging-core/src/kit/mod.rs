//! For who writes a sharing rule and wants to know where it is unsafe.
//!
//! An [`Outline`] is one load under one hook in plain numbers: small enough to be drawn, changed and printed. A [`Domain`] is an
//! outline with ranges for some of its numbers; [`refute`] searches it for a lift in which a leg bears more than a
//! [`SharingRule`](crate::sharing::SharingRule) says, and makes what it finds smaller.
//!
//! It supports, and never replaces, the judgment of the competent person: that nothing was found proves nothing.

mod domain;
mod geared;
mod inputs;
pub mod invariants;
mod number;
mod outline;
mod refute;
mod sketch;
#[cfg(feature = "proptest")]
pub mod strategies;
mod survey;

pub use domain::{Domain, Free};
pub use geared::{FiberSling, Geared};
pub use inputs::{RefuteInputs, SurveyInputs};
pub use number::Number;
pub use outline::Outline;
pub use refute::{Case, Changed, Looked, Search, Searched, refute, refute_while};
pub use sketch::{Sketch, SketchFrame, SketchLeg, Stop};
pub use survey::{Axis, MOST_CELLS, Survey, survey, survey_while};
