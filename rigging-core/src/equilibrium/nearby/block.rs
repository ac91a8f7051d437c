//! Rows of one block, lane by lane.

use super::lane::WIDEST;

/// One number for each row of a block.
pub(in crate::equilibrium) type Column = [f64; WIDEST];

/// What is given and what is found of the rows that are balanced side by side.
pub(in crate::equilibrium) struct Block<const M: usize> {
    /// Unstretched lengths, m.
    pub(super) length: [Column; M],
    /// Stiffness EA, N.
    pub(super) ea: [Column; M],
    /// Center of gravity in the frame of the points, m.
    pub(super) center: [Column; 3],
    /// Weight, N.
    pub(super) weight: Column,
    /// Found: tensions, N.
    pub(super) tension: [Column; M],
    /// Found: upward direction in the load's frame.
    pub(super) up: [Column; 3],
    /// Found: a bit for each row whose balance is certified: forces balance, stable, nearly upright, the lowest of all.
    pub(super) certified: u32,
    /// Found: passes that the slowest row took.
    pub(super) passes: u32,
}
