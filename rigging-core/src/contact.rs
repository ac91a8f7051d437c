//! Contact facts, no verdict.
