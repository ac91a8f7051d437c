//! Orders and prints assessments. Computes nothing: every figure was made by an earlier stage.

mod cautions;
mod chains;
mod figures;
pub mod json;
mod matrix;
mod origin;
mod text;

pub use cautions::{CAUTIONS, OUTSIDE_SCOPE};
pub use figures::utilization;
pub use matrix::matrix_text;
pub use origin::{Origin, origin, origin_text};
pub use text::text;
