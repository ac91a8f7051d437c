//! For who writes a sharing rule and wants to know where it is unsafe.
//!
//! An [`Outline`] is one load under one hook in plain numbers: small enough to be drawn, changed and printed. A
//! [`Domain`] is an outline with ranges for some of its numbers; [`refute`] searches it for a lift in which a leg bears
//! more than a [`SharingRule`](crate::sharing::SharingRule) says, and makes what it finds smaller.
//!
//! [`invariants`] are what balances, rules, documents and verdicts must keep, as functions; strategies of lifts for
//! property tests come with the feature `proptest`, in the module `strategies`. A [`Sketch`] is a lift on several hooks
//! or with a frame, a [`Geared`] one with gear that is rated. [`chapters`] tell how to write a rule and how to test it.
//!
//! It supports, and never replaces, the judgment of the competent person: that nothing was found proves nothing.

pub mod chapters;
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
