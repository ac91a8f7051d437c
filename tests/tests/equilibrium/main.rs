//! Equilibrium: reference cases, degenerate inputs, worked examples, random bridles, invariances, the branch.

mod boundaries;
mod branch;
mod degenerate;
mod document;
mod double_double;
mod foreign_checker;
mod generator;
mod laws;
mod network_branch;
mod network_elimination;
mod network_generator;
mod network_random;
mod network_verifier;
mod properties;
mod random;
mod reference;
mod verifier;
