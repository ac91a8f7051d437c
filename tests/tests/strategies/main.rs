//! The strategies of the kit: every value loads, most of them hang, and they shrink to what one can draw.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

mod loading;
mod properties;
mod shrinking;

use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

/// A runner that draws the same values in every run and keeps no file.
fn runner(cases: u32) -> TestRunner {
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha))
}

/// So many values, the same in every run.
fn drawn<S: Strategy>(strategy: &S, count: u32) -> Vec<S::Value> {
    let mut runner = runner(count);
    (0..count).map(|_| strategy.new_tree(&mut runner).unwrap().current()).collect()
}
