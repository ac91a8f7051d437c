//! Chapters for who maintains sharing rules of their own.
//!
//! 1. [Write your own rule](write_a_rule)
//! 2. [Property-test it](property_test_it)
//! 3. [Read a counter-example](read_a_counter_example)

pub mod property_test_it;
pub mod read_a_counter_example;
pub mod write_a_rule;
