//! Chapters for who keeps rule sets of their own.
//!
//! 1. [Write your own rule set](write_your_own)

pub mod write_your_own;
