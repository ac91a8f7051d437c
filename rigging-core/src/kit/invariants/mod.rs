//! Invariants of lifts and of sharing rules, as functions.
//!
//! Each takes a system, a set of legs, a rule or a document, and answers with an [`Answer`]: what was compared and
//! within which tolerance ([`Kept::Compared`]), why it says nothing of this one ([`Kept::Silent`]), or what differs,
//! where, and by how much beyond which tolerance ([`Violation`]). So it serves a property test, a plain test and Python
//! alike:
//!
//! ```
//! use rigging_core::arrangement::Lift;
//! use rigging_core::kit::invariants;
//! let balance = Lift::from_json(include_str!("../../../examples/lifts/generator-skid.json"))?.hang()?;
//! let system = balance.model();
//! for kept in [
//!     invariants::balance(system),
//!     invariants::mirror(system),
//!     invariants::relabel(system, &[2, 0, 3, 1]),
//!     invariants::scale_of_force(system, 3.0),
//! ] {
//!     assert!(kept.unwrap().tolerance().unwrap() < 1e-9);
//! }
//! # Ok::<(), rigging_core::error::Error>(())
//! ```
//!
//! # Tolerances
//!
//! None is guessed. That of a balance follows from the reported residual and from rounding ([`balanced`]); that of two
//! balances that are images of each other from how close each is to the exact one ([`Closeness`]: residual, rounding,
//! stiffness and the softest mode); that of a sharing rule from what the rule itself makes of roundings of its input. A
//! tolerance that has grown large cannot be failed: [`Kept::tolerance`] says how large it was, to be tested in its
//! turn.

mod ask;
mod balance;
mod batch;
mod closeness;
mod documents;
pub mod image;
mod more_mass;
mod relations;
mod rigid;
pub mod rule;
mod strength;
mod texts;
mod violation;

pub use ask::{Asked, Told, ask, batch_of};
pub use balance::{balance, balanced};
pub use batch::batch_rows;
pub use closeness::Closeness;
pub use documents::{round_trip, units};
pub use more_mass::more_mass;
pub use relations::{frame, mirror, relabel, scale_of_force, scale_of_length, shift, turn};
pub use rigid::rigid_limit;
pub use strength::{RatedItems, more_strength};
pub use violation::{Answer, Broken, Difference, Invariant, Kept, Violation};
