//! Write your own rule.
//!
//! A rule is a type with two methods. [`words`](SharingRule::words) says what it is called, when it applies, where it
//! comes from, and whether it claims that no leg carries more than it says. [`forces`](SharingRule::forces) makes a
//! force of each leg.
//!
//! Below, a yard takes the legs of a set in pairs: two of four carry all, and whichever leg is among them stands at its
//! own angle. It is the yard's note, so its standing is *stated*; it claims to be conservative, which is a claim and no
//! proof.
//!
//! ```
//! use rigging_core::error::{Error, Place};
//! use rigging_core::kit::Outline;
//! use rigging_core::sharing::{LegSet, SharingRule, Words, share};
//! use rigging_core::source::{Source, Standing};
//!
//! #[derive(Debug)]
//! struct PairOfFour;
//!
//! impl SharingRule for PairOfFour {
//!     fn words(&self) -> Words {
//!         Words {
//!             name: "a pair of four".into(),
//!             domain: "four legs, none flatter than 60 degrees from vertical".into(),
//!             source: Source::new("rigging note 3 of the yard", "2", "2025-06", Standing::Stated),
//!             conservative: true,
//!         }
//!     }
//!
//!     fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
//!         set.count_within(4..=4)?;
//!         // Outside of its domain a rule refuses; it never answers a number there.
//!         let flattest = set.flattest()?.to_degrees();
//!         if flattest > 60.0 {
//!             let (what, place) = ("angle of the flattest leg from vertical", Place::root().child("legs"));
//!             return Err(Error::out_of_domain(what, flattest, "deg", "at most 60", place));
//!         }
//!         Ok(set.from_vertical()?.iter().map(|angle| set.weight() / 2.0 / angle.cos()).collect())
//!     }
//! }
//!
//! let set = Outline::ring(4).leg_set()?;
//! let forces = share(&PairOfFour, &set)?;
//! // Legs of 4 m to points 2 m aside stand 30 degrees from vertical.
//! assert!((forces[0] - set.weight() / 3.0_f64.sqrt()).abs() < 1e-3 * set.weight());
//!
//! let three = Outline::ring(3).leg_set()?;
//! assert_eq!(share(&PairOfFour, &three).unwrap_err().code(), "out_of_domain");
//! # Ok::<(), Error>(())
//! ```
//!
//! What to hold to:
//!
//! - Ask through [`share`](crate::sharing::share): it refuses an answer that is not one finite force a leg, none below zero.
//! - Look at the geometry only through the set: points, lengths and center of gravity as drawn, angles by
//!   [`LegSet::from_vertical`](crate::sharing::LegSet::from_vertical), which takes an angle that is stated where there is one.
//! - A stiffness or a tolerance that is not known is an error that says what is missing ([`LegSet::system`],
//!   [`LegSet::tolerances`]). Hand it on; a rule that guesses in its place looks right and is not.
//! - Everything at once, a factor, a direction or a name, should be a word of the domain. What is not said there is a case in
//!   which the rule will be used.
//!
//! [`compare`](crate::demand::compare) sets the rule beside the elastic worst case of one lift. Next:
//! [property-test it](super::property_test_it).
//!
//! Results support, and never replace, the judgment of the competent person; local codes and licensed practice prevail.

#[allow(unused_imports, reason = "named by the documentation")]
use crate::sharing::{LegSet, SharingRule};
