//! Load sharing: what a hand calculation gives where geometry alone decides, and the rules by which a yard shares a load
//! among legs.
//!
//! The closed forms ([`equal_leg_tension`] and its kin) are mechanics: they hold for the conditions stated and say nothing
//! of tolerances.
//!
//! A [`SharingRule`] makes leg forces of a [`LegSet`], one load under one hook. It tells its own [`Words`]: its domain, its
//! source, and whether it claims to be conservative. Outside its domain it refuses. A rule of the user's own is a type with
//! two methods, and [`share`] asks it as it asks those that are built in:
//!
//! | Rule | What it says |
//! |---|---|
//! | [`EqualShare`] | every leg carries its part of the weight, raised by its angle |
//! | [`LegsCounted`] | only two, or only three, of the legs carry, and any leg may be one of them |
//! | [`LegFactors`] | a table by number of legs and bands of the angle, a rule set's among them |
//! | [`RuledLegFactor`] | the leg factor of a rule set, asked for one set of legs |
//! | [`PlanLevers`] | levers in plan |
//! | [`Determinate`] | one to three legs that do not stretch, by statics |
//! | [`Skewed`] | a factor on another rule |
//! | [`RuledSkew`] | the same, with factor and conditions from a rule set |
//! | [`StatedAngle`] | another rule with one angle for every leg |
//! | [`Elastic`] | the solver, at nominal numbers |
//!
//! The elastic worst case over tolerances is a rule as well; it stands with the vertices, in `demand`, as does the
//! comparison of rules.

mod closed;
mod counted;
mod determinate;
mod elastic;
mod leg_factors;
mod leg_set;
mod plan_levers;
mod rule;
mod ruled;
mod ruled_leg_factor;
mod ruled_skew;
mod skewed;
mod stated_angle;

pub use closed::{basket_tension, equal_leg_tension, horizontal_pull, rows};
pub use counted::{EqualShare, LegsCounted};
pub use determinate::Determinate;
pub use elastic::Elastic;
pub use leg_factors::{LegFactors, LegFactorsRow};
pub use leg_set::{LegSet, SetLeg, SetTolerances};
pub use plan_levers::PlanLevers;
pub(crate) use rule::looked_at;
pub use rule::{SharingRule, Words, built_in, share};
pub(crate) use ruled::configuration;
pub use ruled_leg_factor::RuledLegFactor;
pub use ruled_skew::RuledSkew;
pub use skewed::Skewed;
pub use stated_angle::StatedAngle;
