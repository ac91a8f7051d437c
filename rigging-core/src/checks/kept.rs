//! What several rule sets are told alike.

use std::cell::OnceCell;

/// How many rule sets a lift is assessed under.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sets {
    One,
    Several,
}

/// What is told to every rule set in the same words: for several it is found once and copied for each, for one alone it is
/// handed over as it is found.
pub(super) struct Kept<T> {
    sets: Sets,
    found: OnceCell<T>,
}

impl<T: Clone> Kept<T> {
    /// Nothing yet.
    pub(super) const fn none(sets: Sets) -> Self {
        Self { sets, found: OnceCell::new() }
    }

    /// What `find` finds, which must be the same whenever it is asked.
    pub(super) fn told(&self, find: impl FnOnce() -> T) -> T {
        match self.sets {
            Sets::One => find(),
            Sets::Several => self.found.get_or_init(find).clone(),
        }
    }
}
