//! Orders and prints; computes nothing.
