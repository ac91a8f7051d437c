//! Property-test it.
//!
//! # What every rule must keep
//!
//! A rule that knows where north is, or in which order the legs were written, is wrong whatever it says.
//! [`invariants::rule`](super::super::invariants::rule) asks it for images of a set: turned, shifted, mirrored, in
//! another order, of another scale. Each answer says what was compared within which tolerance, why nothing follows, or
//! what differs.
//!
//! ```
//! use rigging_core::kit::Outline;
//! use rigging_core::kit::invariants::rule::{self, Borne};
//! use rigging_core::sharing::LegsCounted;
//! let two = LegsCounted::two();
//! let set = Outline { center_of_gravity: [0.3, -0.1, -0.5], ..Outline::ring(4) }.leg_set()?;
//! for kept in [
//!     rule::turn(&two, &set, 0.4),
//!     rule::mirror(&two, &set),
//!     rule::relabel(&two, &set, &[3, 1, 0, 2]),
//!     rule::scale_of_force(&two, &set, 2.0),
//!     rule::weight_borne(&two, &set, Borne::AtLeast),
//!     rule::claim(&two, &set),
//! ] {
//!     assert!(kept.unwrap().tolerance().unwrap() < 1e-9);
//! }
//! # Ok::<(), rigging_core::error::Error>(())
//! ```
//!
//! # Over lifts that can exist
//!
//! One set is an example. With the feature `proptest`, [`strategies`](super::super) draw lifts that load: rings, skids,
//! tall loads, points near a line, stiff legs of which some go slack, and more. A test that fails is shrunk to what one
//! can draw.
//!
#![cfg_attr(feature = "proptest", doc = "```")]
#![cfg_attr(not(feature = "proptest"), doc = "```ignore")]
//! use proptest::prelude::*;
//! use proptest::test_runner::{RngSeed, TestCaseError};
//! use rigging_core::kit::invariants::{Answer, rule};
//! use rigging_core::kit::{Outline, strategies};
//! use rigging_core::sharing::LegsCounted;
//!
//! /// A violation fails the test; so does a calculation that was refused.
//! fn kept(answer: Answer) -> Result<(), TestCaseError> {
//!     answer.map(drop).map_err(|broken| TestCaseError::fail(broken.to_string()))
//! }
//!
//! proptest! {
//!     // A fixed seed: the same lifts in every run.
//!     #![proptest_config(ProptestConfig {
//!         cases: 64, failure_persistence: None, rng_seed: RngSeed::Fixed(1), ..ProptestConfig::default()
//!     })]
//!
//!     # /*
//!     #[test]
//!     # */
//!     fn three_legs_do_not_see_the_north(outline in strategies::outlines(), angle in 0.0..6.3_f64) {
//!         let set = Outline { center_tolerance: [0.0; 3], ..outline }.leg_set().unwrap();
//!         kept(rule::turn(&LegsCounted::three(), &set, angle))?;
//!     }
//! }
//! three_legs_do_not_see_the_north();
//!
//! // A claim is another matter: that three of four legs carry all, alike, does not hold for every skid.
//! let mut runner = proptest::test_runner::TestRunner::deterministic();
//! let outcome = runner.run(&strategies::skid(), |outline| {
//!     kept(rule::claim(&LegsCounted::three(), &outline.leg_set().unwrap()))
//! });
//! assert!(outcome.is_err());
#![doc = "```"]
//!
//! [`claim`](super::super::invariants::rule::claim) looks at nominal numbers only. What lengths and centers of gravity
//! within their tolerances make of a claim is for the search [`refute`](fn@super::super::refute).
//!
//! # What makes such a test honest
//!
//! - Fix the seed, so that it can be repeated, and count what was compared: a property that is silent for every lift it is
//!   asked of says nothing. [`Kept::compared`](super::super::invariants::Kept::compared) tells.
//! - Look at [`Kept::tolerance`](super::super::invariants::Kept::tolerance). It is derived, never chosen; where it is no small
//!   part of the largest force, nothing could have failed.
//! - Break the rule on purpose and see the test fail.
//!
//! The balance itself has invariants too ([`invariants`](super::super::invariants)), and so have documents, batches and
//! verdicts. Some that look true are not, such as that more mass can only raise the largest tension
//! ([`more_mass`](super::super::invariants::more_mass)).
