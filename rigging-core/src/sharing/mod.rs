//! Load sharing in closed form: what a hand calculation gives where geometry alone decides.
//!
//! These are mechanics, not rules: they hold for the conditions stated and say nothing of tolerances. A statically
//! indeterminate lift needs [`crate::equilibrium`].

mod closed;

pub use closed::{basket_tension, equal_leg_tension, horizontal_pull, rows};
