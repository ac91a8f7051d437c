//! The architecture as a test: who may name whom in rigging-core, where `unsafe` may stand, how many packages the core
//! brings, and what may not be tracked.
//!
//! The sources are parsed, never compiled: [`reading`] collects the modules and every path they mention (nested `use`,
//! globs, renames, re-exports, expressions, types, attributes, macro bodies), [`resolving`] follows each mention to the
//! module where the item is defined, so that a re-export hides nothing, and [`table`] says which arrows are allowed.
//! Test modules (`#[cfg(test)]`) and documentation are exempt: they may name anything.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

mod arrows;
mod injected;
mod packages;
mod reading;
mod resolving;
mod sources;
mod table;
mod tokens;
mod tracked;
mod unsafe_code;
