//! What slings may bear in their hitches, under sets and documents that come with the library and under a firm's own.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "../support/patching.rs"]
mod patching;

mod baskets;
mod breaking;
mod chokes;
mod coefficients;
mod conditions;
mod ends;
mod families;
mod finding;
mod grommets;
mod marked;
mod places;
mod sets;
mod two_parts;
