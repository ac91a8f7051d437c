//! How far a number may change before a leg goes slack or the load is no longer stable.

use super::Balance;
use crate::equilibrium::State;
use crate::equilibrium::margin::{Bracket, Change, Search, changes, follow};
use crate::error::Error;
use glam::DVec3;
use serde::Serialize;

/// An event enclosed between two changes, both hung and certified; what lies between may be not decided, and then they lie
/// farther apart than a millionth of the range.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Enclosed {
    /// The change up to which it has not happened, m: the margin.
    pub before: f64,
    /// A change at which it has, m.
    pub after: f64,
    /// The state at `after`.
    pub state: State,
    /// Legs that were taut and are slack at `after`.
    pub slack: Vec<String>,
}

/// The margin of one number.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Margin {
    /// What changes: center_of_gravity, longer, shorter.
    pub change: &'static str,
    /// Name of the body or leg.
    pub item: String,
    /// Direction in which a center of gravity moves, in the frame as drawn: up, +x, −x, +y, −y.
    pub direction: Option<&'static str>,
    /// How far was searched, m.
    pub range: f64,
    /// The first leg that goes slack; none within the range, or none before the load is no longer stable.
    pub slack: Option<Enclosed>,
    /// Where the load is no longer stable; none within the range.
    pub instability: Option<Enclosed>,
}

impl Balance {
    /// Margins: every center of gravity upward and to four sides, every leg longer and shorter, each alone.
    ///
    /// # Errors
    /// [`Error::Unsupported`] unless the balance is stable; every error of the solver.
    pub fn margins(&self) -> Result<Vec<Margin>, Error> {
        self.nothing_runs("margins")?;
        changes(&self.model).into_iter().map(|change| self.margin(change, Search::default())).collect()
    }

    /// One margin, with a range and a width of one's own.
    ///
    /// # Errors
    /// As [`Balance::margins`].
    pub fn margin(&self, change: Change, search: Search) -> Result<Margin, Error> {
        self.nothing_runs("margins")?;
        let found = follow(&self.model, &self.certificate, change, search)?;
        let enclosed = |bracket: Bracket| Enclosed {
            before: bracket.before,
            after: bracket.after,
            state: bracket.state,
            slack: bracket.slack.iter().map(|member| self.names.leg(*member)).collect(),
        };
        let (word, item, direction) = match change {
            Change::CenterOfGravity { body, toward } => {
                ("center_of_gravity", self.names.body(body), Some(direction(toward)))
            }
            Change::Longer { member } => ("longer", self.names.leg(member), None),
            Change::Shorter { member } => ("shorter", self.names.leg(member), None),
        };
        Ok(Margin {
            change: word,
            item,
            direction,
            range: found.range,
            slack: found.slack.map(enclosed),
            instability: found.instability.map(enclosed),
        })
    }
}

fn direction(toward: DVec3) -> &'static str {
    let named = [
        (DVec3::Z, "up"),
        (DVec3::NEG_Z, "down"),
        (DVec3::X, "+x"),
        (DVec3::NEG_X, "\u{2212}x"),
        (DVec3::Y, "+y"),
        (DVec3::NEG_Y, "\u{2212}y"),
    ];
    named.iter().find(|(axis, _)| *axis == toward.normalize_or_zero()).map_or("oblique", |(_, name)| *name)
}
