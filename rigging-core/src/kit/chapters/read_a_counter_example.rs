//! Read a counter-example.
//!
//! [`refute`](fn@super::super::refute) searches a domain of lifts for one in which a leg bears more than a rule says. Below, it is
//! asked of three legs that carry all, around a ring of four lift points on which nothing is off.
//!
//! ```
//! use rigging_core::arrangement::Lift;
//! use rigging_core::kit::{Domain, Outline, Search, refute};
//! use rigging_core::sharing::{LegSet, LegsCounted, share};
//! use rigging_core::system::Masses;
//!
//! let domain = Domain::ring(4)?;
//! let found = refute(&LegsCounted::three(), &domain, &Search::default())?;
//! let case = found.worst.ok_or("nothing hangs")?;
//!
//! // Was the rule refuted, and after how much work? By how much, before the lift was made smaller?
//! assert!(found.refuted && found.trials < 1000);
//! assert!(found.largest > Some(case.short));
//!
//! // What differs from the ring, and where within its tolerances the lift hangs.
//! assert!(case.changed.len() <= 4);
//! for changed in &case.changed {
//!     println!("{}: {} {}", changed.number, changed.to, changed.number.unit());
//! }
//! println!("{:?} {:?}", case.longer, case.center_moved);
//!
//! // Who bears more: that leg's tension, and what the rule gave it.
//! let (tension, force) = (case.tensions[case.leg], case.forces[case.leg]);
//! assert!(tension > force && case.short == (tension - force) / tension);
//!
//! // The document is a lift like any other, with the same lines as notes; the rule says of it what it said in the search.
//! let lift = Lift::from_json(&case.document)?;
//! assert_eq!(Outline::of(&lift)?, case.outline);
//! let set = LegSet::of(&lift, Masses::stated(&lift)?)?;
//! assert_eq!(share(&LegsCounted::three(), &set)?, case.forces);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Written to a file, the document is what the example `assess` takes: its demand is that of the lift, and as nobody stated what
//! the gear may bear, it cannot conclude about strength.
//!
//! # What to make of it
//!
//! - **Few numbers changed** tell what the rule forgets. One lift point higher than the others, or one leg longer: the rule takes
//!   lengths for equal. EA and a tolerance: it takes slings for soft. The center of gravity: it takes the load for even.
//! - **A large `changed`** means that the rule falls short by little, or only where several things meet. Search again with fewer
//!   numbers free ([`Domain::with`](super::super::Domain::with)) to see which of them matter.
//! - **`short`** is what the smaller lift shows, no less than one percent where more was found; `largest` is what the search
//!   came to, in a lift that nobody would draw.
//! - **A state inside the tolerances** (`longer` neither zero nor all of the tolerance) is no mistake: some legs bear most where
//!   another is about to go slack.
//! - **A domain that is too wide** refutes any rule by a lift that nobody would make. State the domain of the rule in the rule:
//!   what it refuses is counted ([`Searched::refused`](super::super::Searched)), never held against it.
//!
//! # Where it finds nothing
//!
//! Then nothing is proven. [`Searched`](super::super::Searched) tells how many states were hung, which values were looked at, how
//! many lifts were refused or not stable, and, as `worst`, the state in which the rule came nearest to falling short.
//! Some rules *are* proven, one lift at a time: [`ElasticBounds`](crate::demand::ElasticBounds) gives each leg a bound over its
//! tolerances, and refuses where it has none.
//!
//! ```
//! use rigging_core::demand::ElasticBounds;
//! use rigging_core::equilibrium::worst::Effort;
//! use rigging_core::kit::{Domain, Search, refute};
//! let search = Search { trials: 2000, states: 500, lifts: 100, ..Search::default() };
//! let found = refute(&ElasticBounds { effort: Effort::default() }, &Domain::ring(4)?, &search)?;
//! assert!(!found.refuted && found.trials >= 2000);
//! println!("nearest: {:?}", found.largest);
//! # Ok::<(), rigging_core::error::Error>(())
//! ```
