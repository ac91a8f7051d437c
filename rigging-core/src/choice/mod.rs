//! One lift under several rule sets: what each says, and the first clause where they part.
//!
//! Documents contradict each other, and a lift may pass under one and fail under the next. A [`Matrix`] sets the verdicts
//! side by side, check by check; a [`Parting`] names the term, with its source, at which two calculations first differ.
//! Nothing is averaged and none is preferred: which documents govern is for the competent person to say.

mod align;
mod matrix;
mod parting;
mod under;

pub use matrix::{Cell, Column, Governing, Matrix, Parted, Row, matrix};
pub use parting::{Part, Parting, Said, Side, partings};
pub use under::{assess_each, assess_under};
