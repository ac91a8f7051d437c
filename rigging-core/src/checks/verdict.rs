//! The four verdicts and how they combine.

use serde::{Deserialize, Serialize};

/// Outcome of a check, or of the whole lift.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Demand does not exceed capacity, or the requirement is met.
    Pass,
    /// Demand exceeds capacity, or the requirement is not met.
    Fail,
    /// An input is missing; what, stands with the finding.
    CannotConclude,
    /// The rule set is silent here, or does not apply.
    NotCovered,
}

impl Verdict {
    /// The words printed.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::CannotConclude => "cannot conclude",
            Self::NotCovered => "not covered",
        }
    }

    /// The verdict of a lift from those of its findings: any fail, else any that cannot conclude, else pass if anything
    /// passed. What a rule set does not cover is listed and does not decide by itself; a check for which that is not
    /// enough (strength with neither rule nor marked rating) reports "cannot conclude" itself.
    ///
    /// ```
    /// use rigging_core::checks::Verdict::{self, CannotConclude, Fail, NotCovered, Pass};
    /// assert_eq!(Verdict::combined([Pass, NotCovered]), Pass);
    /// assert_eq!(Verdict::combined([Pass, CannotConclude, Fail]), Fail);
    /// assert_eq!(Verdict::combined([NotCovered]), CannotConclude);
    /// ```
    pub fn combined(verdicts: impl IntoIterator<Item = Self>) -> Self {
        let worst = verdicts.into_iter().min_by_key(|verdict| match verdict {
            Self::Fail => 0,
            Self::CannotConclude => 1,
            Self::Pass => 2,
            Self::NotCovered => 3,
        });
        match worst {
            None | Some(Self::NotCovered) => Self::CannotConclude,
            Some(verdict) => verdict,
        }
    }
}
