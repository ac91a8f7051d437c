//! What the lift asks of each item.
