//! The same lift under several rule sets, side by side.

mod under;

pub use under::{assess_each, assess_under};
