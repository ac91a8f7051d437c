//! Rules that count legs: all of them alike, or only some, each raised by its angle.

use super::{LegSet, SharingRule, Words};
use crate::error::Error;
use crate::source::{Source, Standing};
use std::ops::RangeInclusive;

/// Every leg carries an equal part of the weight, raised by its own angle: T = W/(n·cos β).
///
/// # Sources
/// Mechanics, for equal legs under a central load: the horizontal parts cancel and the vertical ones are alike. For any other
/// set it is common practice, no source. It makes no claim to be conservative.
///
/// ```
/// use rigging_core::sharing::{EqualShare, SharingRule};
/// assert!(!EqualShare.words().conservative);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EqualShare;

impl SharingRule for EqualShare {
    fn words(&self) -> Words {
        Words {
            name: "equal share by angle".into(),
            domain: "legs that reach the plumb line through the center of gravity; exact for equal legs under a central load"
                .into(),
            source: Source::new("equal vertical parts, raised by the angle", "", "", Standing::CommonPractice),
            conservative: false,
        }
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        let legs = set.count_within(1..=usize::MAX)?;
        shared_by(set, legs)
    }
}

/// Only so many of the legs carry, all alike, and any leg may be one of them: T = W/(m·cos β) for every leg.
///
/// ```
/// use rigging_core::sharing::{LegsCounted, SharingRule};
/// assert_eq!(LegsCounted::two().words().name.as_str(), "two legs carry all");
/// assert!(LegsCounted::three().words().conservative);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LegsCounted(Counted);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Counted {
    Two,
    Three,
}

impl LegsCounted {
    /// Two (diagonal) legs carry all.
    ///
    /// # Sources
    /// DGUV Information 209-021, note under the tables: of more than two legs two are taken to bear, unless even sharing is
    /// assured. NAVEDTRA 14251, page 6-36, says the same of four legs.
    pub const fn two() -> Self {
        Self(Counted::Two)
    }

    /// Three legs carry all; four count as three.
    ///
    /// # Sources
    /// US OSHA, Guidance on Safe Sling Use, tables 1 to 3: rated loads of three and of four legs share a column that follows three
    /// times the single leg times the sine of the angle from horizontal (derived).
    pub const fn three() -> Self {
        Self(Counted::Three)
    }

    const fn domain(self) -> (RangeInclusive<usize>, usize) {
        match self.0 {
            Counted::Two => (3..=usize::MAX, 2),
            Counted::Three => (3..=4, 3),
        }
    }
}

impl SharingRule for LegsCounted {
    fn words(&self) -> Words {
        let (name, domain, source) = match self.0 {
            Counted::Two => (
                "two legs carry all",
                "more than two legs that reach the plumb line through the center of gravity",
                Source::new("DGUV Information 209-021", "note under the tables", "2021-08", Standing::Document),
            ),
            Counted::Three => (
                "three legs carry all",
                "three or four legs that reach the plumb line through the center of gravity",
                Source::new("US OSHA, Guidance on Safe Sling Use", "Tables 1 to 3", "", Standing::Derived),
            ),
        };
        Words { name: name.into(), domain: domain.into(), source, conservative: true }
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        let (allowed, carrying) = self.domain();
        set.count_within(allowed)?;
        shared_by(set, carrying)
    }
}

fn shared_by(set: &LegSet, carrying: usize) -> Result<Vec<f64>, Error> {
    let each = set.weight() / carrying as f64;
    Ok(set.from_vertical()?.into_iter().map(|angle| each / angle.cos()).collect())
}
