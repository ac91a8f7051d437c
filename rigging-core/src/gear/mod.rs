//! One item of lifting gear: no position, no strength rule.
