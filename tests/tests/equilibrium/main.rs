//! Equilibrium: reference cases, degenerate inputs, worked examples, random bridles, invariances, the branch.

mod boundaries;
mod branch;
mod degenerate;
mod document;
mod double_double;
mod exact;
mod generator;
mod laws;
mod loss;
mod margin;
mod properties;
mod random;
mod reference;
mod sensitivity;
mod verifier;
