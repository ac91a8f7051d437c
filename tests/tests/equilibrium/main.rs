//! Equilibrium: reference cases, degenerate inputs, worked examples, random bridles, invariances, the branch.

mod boundaries;
mod branch;
mod degenerate;
mod document;
mod double_double;
mod followed;
mod generator;
mod laws;
mod properties;
mod random;
mod reference;
mod verifier;
