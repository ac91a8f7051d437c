//! Rows of one block, lane by lane.

use super::lane::WIDEST;

/// One number for each row of a block.
pub(in crate::equilibrium) type Column = [f64; WIDEST];

/// What is given and what is found of the rows that are balanced side by side.
#[derive(Clone, Copy)]
pub(in crate::equilibrium) struct Block<const M: usize> {
    /// Unstretched lengths, m.
    pub(super) length: [Column; M],
    /// Stiffness EA, N.
    pub(super) ea: [Column; M],
    /// Center of gravity in the frame of the points, m.
    pub(super) center: [Column; 3],
    /// Weight, N.
    pub(super) weight: Column,
    /// Whether it is asked which rows are what the nominal balance turns into, and which way their legs pull.
    pub(super) branch: bool,
    /// Where that is asked, the hook relative to the center of gravity from which its way counts, m.
    pub(super) from: [Column; 3],
    /// Found: tensions, N.
    pub(super) tension: [Column; M],
    /// Found: upward direction in the load's frame.
    pub(super) up: [Column; 3],
    /// Found: a bit for each row whose balance is certified: forces balance, stable, nearly upright, the lowest of all. Where
    /// the branch is asked for, stable as firmly as one that is followed must be.
    pub(super) certified: u32,
    /// Found, where asked: a bit for each row whose forces balance and that is, beyond doubt, what the nominal balance turns
    /// into, as in [`Bridle::follow`](crate::equilibrium::bridle::Bridle::follow).
    pub(super) followed: u32,
    /// Found, where asked: a bit for each row whose forces balance as firmly as one that is followed must.
    pub(super) firm: u32,
    /// Found, where asked and a firm row needs it: how steep its valley is, as in [`steepness`](super::branch::steepness).
    pub(super) steepness: Column,
    /// Found, where asked: the hook relative to the center of gravity, m.
    pub(super) hook: [Column; 3],
    /// Found, where asked: unit vectors from the load's points to the hook, in the load's frame.
    pub(super) direction: [[Column; 3]; M],
    /// Found: passes that the slowest row took.
    pub(super) passes: u32,
}
