//! For who writes a sharing rule and wants to know where it is unsafe.
//!
//! An [`Outline`] is one load under one hook in plain numbers: small enough to be drawn, changed and printed.

pub mod invariants;
mod outline;

pub use outline::Outline;
