//! What the largest value is sought of.

/// A sum of tensions: one leg, or all that meet at one point and hook.
#[derive(Debug, Clone, Copy)]
pub(super) struct Target {
    /// One bit for each leg.
    pub(super) legs: u32,
}

impl Target {
    /// Its legs.
    pub(super) fn legs(self) -> impl Iterator<Item = usize> {
        (0..u32::BITS as usize).filter(move |leg| self.legs >> leg & 1 == 1)
    }

    /// Of members whose pulls are added up.
    pub(super) fn of_pulls(pulls: &[(usize, f64)]) -> Self {
        Self { legs: pulls.iter().fold(0, |bits, (leg, _)| bits | 1 << leg) }
    }

    /// The sum over its legs of what hangs in a workspace.
    pub(super) fn of(self, tensions: impl Iterator<Item = f64>) -> f64 {
        tensions.enumerate().filter(|(leg, _)| self.legs >> leg & 1 == 1).map(|(_, tension)| tension).sum()
    }
}

/// The largest value that was attained, and where.
#[derive(Debug, Clone)]
pub(super) struct Best {
    pub(super) value: f64,
    pub(super) at: Vec<f64>,
}
