//! C interface of rigging-core.
//!
//! Every function that can fail returns a status ([`error::RIGGING_OK`] or another) and takes a
//! [`error::rigging_error`] last, which may be null and is written only on failure. Outputs are written only on
//! success. Handles are opaque and immutable, so threads may share them. The library frees what it allocates;
//! documents come out by a call that asks for the length and a second one that fills the caller's buffer.
//!
//! Each function converts in, calls one function of the core, and converts out, inside the one `guard`.
#![deny(clippy::undocumented_unsafe_blocks)]

pub mod error;
pub mod text;
pub mod version;

pub mod arrangement;
pub mod rules;

pub mod leg_set;
pub mod sharing_rule;

pub mod demand;
pub mod equilibrium;
pub mod statics;

pub mod batch;
pub mod nearby;
pub mod sampling;
pub mod sharing;

pub mod chain;
pub mod checks;

pub mod choice;

pub mod kit;
pub mod report;

mod document;
mod guard;
mod handle;
mod record;
mod slice;

/// cbindgen:ignore
#[doc(hidden)]
pub mod hidden;
