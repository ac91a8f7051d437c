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
mod mechanism;
mod mode;
mod network_branch;
mod network_elimination;
mod network_generator;
mod network_random;
mod network_verifier;
mod other;
mod period;
mod properties;
mod random;
mod rebuilt;
mod reference;
mod self_stress;
mod sensitivity;
mod verifier;
