//! Equilibrium: reference cases, degenerate inputs, worked examples, random bridles, invariances, the branch.

mod boundaries;
mod branch;
mod degenerate;
mod document;
mod double_double;
mod generator;
mod laws;
mod mechanism;
mod mode;
mod other;
mod period;
mod properties;
mod random;
mod rebuilt;
mod reference;
mod self_stress;
mod verifier;
