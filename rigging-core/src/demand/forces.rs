//! Where an assessment takes its forces from, and what is asked of an item.

use super::DesignWeight;
use crate::arrangement::{Anchor, Lift};
use crate::chain::{Chain, Term};
use crate::equilibrium::worst::Effort;
use crate::error::Error;
use crate::sharing::{SharingRule, Words};
use crate::text::Text;
use serde::Serialize;
use std::sync::Arc;

/// Where checks of strength take the forces from.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::checks::{Code, Verdict};
/// use rigging_core::demand::Forces;
/// use rigging_core::equilibrium::worst::Effort;
/// use rigging_core::rules::RuleSet;
/// use rigging_core::sharing::LegsCounted;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid-round-edge.json"))?;
/// let rules = RuleSet::built_in("us-general")?;
/// let bounded = lift.assess_by(&rules, Forces::Bounds(Effort::default()))?;
/// assert_eq!(bounded.verdict, Verdict::Pass);
/// // Three legs do not cover what the skid asks of its worst leg, and a finding says so.
/// let by_rule = lift.assess_by(&rules, Forces::Rule(&LegsCounted::three()))?;
/// assert_eq!(by_rule.governing().map(|finding| finding.code), Some(Code::SharingRule));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, Copy)]
pub enum Forces<'a> {
    /// The largest attained at the nominal state and the vertices of the tolerances; no bound.
    AtVertices,
    /// Bounds over the tolerances of lengths and center of gravity, proven; stiffness and mass as stated.
    Bounds(Effort),
    /// A sharing rule; it is set against what is attained at the vertices.
    Rule(&'a dyn SharingRule),
}

/// Where the forces of an assessment were taken from.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "source", rename_all = "snake_case")]
pub enum ForceSource {
    /// The largest attained at the nominal state and the vertices of the tolerances; no bound.
    AtVertices,
    /// Bounds over the tolerances.
    Bounds {
        /// How much a bound might exceed what was attained before it was looked for no closer, over that.
        gap: f64,
        /// The most pieces that might be looked at, for the branch and then for each force.
        parts: usize,
    },
    /// A sharing rule.
    Rule {
        /// What the rule says of itself.
        rule: Words,
    },
}

impl Forces<'_> {
    /// The source as a record.
    pub fn told(&self) -> ForceSource {
        match self {
            Self::AtVertices => ForceSource::AtVertices,
            Self::Bounds(Effort { gap, parts }) => ForceSource::Bounds { gap: *gap, parts: *parts },
            Self::Rule(rule) => ForceSource::Rule { rule: rule.words() },
        }
    }
}

impl ForceSource {
    /// The stable text.
    pub const fn text(&self) -> &'static str {
        match self {
            Self::AtVertices => "at_vertices",
            Self::Bounds { .. } => "bounds",
            Self::Rule { .. } => "rule",
        }
    }

    /// Whether it is the one that is taken where nobody chooses.
    pub const fn is_at_vertices(&self) -> bool {
        matches!(self, Self::AtVertices)
    }
}

/// What is proven of forces beyond the states that were solved.
#[derive(Debug, Clone, PartialEq)]
pub enum Proof {
    /// Nobody asked.
    NotAsked,
    /// Every force of a leg, and of every place, has a bound, and every balance it holds for is stable.
    Bounded {
        /// Pieces that were looked at.
        parts: usize,
        /// States that were hung.
        states: usize,
    },
    /// It was asked, and there is no bound.
    Open {
        /// Why.
        why: Text,
        /// Whether a state within the tolerances was found that is not certified as stable.
        not_stable: bool,
    },
}

/// What is asked of an item.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The figure that is held against what the item may bear.
    pub chain: Arc<Chain>,
    /// How far the figure reaches.
    pub reach: Reach,
    /// The share of the capacity that counts; none where it is the whole.
    pub of_capacity: Option<Term>,
}

/// How far the figure of a demand reaches.
#[derive(Debug, Clone, PartialEq)]
pub enum Reach {
    /// It was attained, or follows from the weight alone.
    Attained,
    /// It is a bound; this was attained, in N.
    Bound(f64),
    /// It was attained, and the bound that was asked for is not there: why.
    Open(Text),
    /// It is a rule's.
    Rule,
}

/// What answers for the forces on the items of a lift.
pub trait Asks {
    /// The weight and how it came about.
    fn weight(&self) -> &DesignWeight;

    /// Tension of a leg; `at_rest` leaves the dynamic factor out.
    ///
    /// # Errors
    /// [`Error::Inconsistent`] for a leg that the lift does not have.
    fn leg(&self, leg: usize, name: &str, at_rest: bool) -> Result<Asked, Error>;

    /// Places that bear the resultant of several legs: those at which they meet, or that a leg passes over.
    fn places(&self) -> Vec<Anchor>;

    /// Resultant on a place; none where it is not among [`Self::places`].
    fn place(&self, anchor: Anchor, name: &str) -> Option<Asked>;

    /// What the fitting at this position among those that collect legs sees; `at_rest` leaves the dynamic factor out.
    fn collector(&self, index: usize, name: &str, at_rest: bool) -> Option<Asked>;

    /// Compression of each spreader, in the order of the document.
    fn compressions(&self, lift: &Lift) -> Vec<Asked>;

    /// Load on a hook with the gear that can hang from it. Under a single hook that is the weight of everything; under
    /// several it is the pull of the legs and the weight of every leg that does not hang from another hook.
    ///
    /// # Errors
    /// [`Error::Missing`] for a sling or fitting whose mass is not known.
    fn hook(&self, lift: &Lift, hook: usize, name: &str, gravity: f64) -> Result<Asked, Error>;
}
