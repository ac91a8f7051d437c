//! Orders and prints an assessment. Computes nothing: every figure was made by an earlier stage.

mod cautions;
mod chains;
mod figures;
pub mod json;
mod text;

pub use cautions::{CAUTIONS, OUTSIDE_SCOPE};
pub use figures::utilization;
pub use text::text;
