//! For who writes a sharing rule and wants to know where it is unsafe.

pub mod invariants;
