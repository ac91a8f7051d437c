//! What a lift asks of each item (demand) is set against what the item may bear (capacity), under a named rule set,
//! from a lift that is described once and whose equilibrium is certified.
//!
//! The stages stand in the order of the modules: a lift document becomes an [`arrangement::Lift`]; [`system`] turns
//! it into bodies, joints, hooks and members; [`equilibrium`] hangs it and certifies the result; [`demand`] and
//! [`capacity`] are chains of factors; [`checks`] compares them; [`choice`] holds
//! rule sets side by side; [`report`] prints.
//!
//! Results support, and never replace, the planning of the competent person; local codes and licensed practice
//! prevail.
#![deny(unsafe_code)]

pub mod chain;
pub mod digest;
pub mod error;
pub mod quantity;
pub mod source;
pub mod text;

pub mod gear;

pub mod arrangement;
pub mod length;
pub mod rules;
pub mod system;

pub mod equilibrium;

pub mod capacity;
pub mod contact;
pub mod demand;
pub mod sharing;
pub mod statics;

pub mod checks;

pub mod choice;

pub mod kit;
pub mod report;

#[cfg(feature = "schema")]
pub mod schema;
