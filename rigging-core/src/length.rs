//! Effective working length of a leg.
