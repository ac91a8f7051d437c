//! Demand against capacity: findings and verdict.
