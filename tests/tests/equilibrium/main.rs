//! Equilibrium: reference cases, degenerate inputs, worked examples, random bridles, invariances, the branch.

mod branch;
mod degenerate;
mod document;
mod double_double;
mod generator;
mod random;
mod reference;
mod verifier;
