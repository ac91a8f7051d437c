//! What the largest value is sought of.

/// A sum of tensions, or of pulls: one leg, or all that meet at one place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Target {
    /// One bit for each leg.
    pub(super) legs: u32,
    /// One for each leg whose pull counts the other way than that of the first.
    reversed: u32,
}

impl Target {
    /// One leg.
    pub(super) const fn of_leg(leg: usize) -> Self {
        Self { legs: 1 << leg, reversed: 0 }
    }

    /// Legs whose tensions are added up.
    pub(super) fn of_legs(legs: &[usize]) -> Self {
        Self { legs: legs.iter().fold(0, |bits, leg| bits | 1 << leg), reversed: 0 }
    }

    /// Members whose pulls are added up, each with the sign of its direction. The sign of the sum does not count.
    pub(super) fn of_pulls(pulls: &[(usize, f64)]) -> Self {
        let mut target = Self { legs: 0, reversed: 0 };
        for (leg, sign) in pulls {
            target.legs |= 1 << leg;
            if *sign < 0.0 {
                target.reversed |= 1 << leg;
            }
        }
        let first = target.legs & target.legs.wrapping_neg();
        if target.reversed & first != 0 {
            target.reversed ^= target.legs;
        }
        target
    }

    /// Its legs.
    pub(super) fn legs(self) -> impl Iterator<Item = usize> {
        (0..u32::BITS as usize).filter(move |leg| self.legs >> leg & 1 == 1)
    }

    /// Its legs, each with its sign.
    pub(super) fn signed(self) -> impl Iterator<Item = (usize, f64)> {
        self.legs().map(move |leg| (leg, if self.reversed >> leg & 1 == 1 { -1.0 } else { 1.0 }))
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
