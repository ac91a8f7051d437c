//! Chapters for who maintains sharing rules of their own.
//!
//! 1. [Write your own rule](write_a_rule)
//! 2. [Property-test it](property_test_it)
//!
//! What a search for counter-examples finds, and how to read it, is told at [`refute`](fn@super::refute).

pub mod property_test_it;
pub mod write_a_rule;
