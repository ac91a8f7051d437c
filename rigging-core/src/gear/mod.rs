//! One item of lifting gear: what it is, what is marked on it and what its maker states. No position, no strength rule.
//!
//! Values that only a maker or a measurement can give have no default: they are [`Known`] or unknown, and each stands
//! with its source.

mod alike;
mod fitting;
mod identity;
mod known;
mod pin_plate;
mod rating;
mod share;
mod sling;
mod stiffness;

pub use fitting::{Cover, Fitting, FittingKind};
pub use identity::{Tag, TestCertificate};
pub use known::Known;
pub use pin_plate::{EdgeShape, PinPlate};
pub use rating::{Cited, Rated, Rating};
pub use share::{AngleShare, AngleShares, IN_LINE, band};
pub use sling::{
    Certification, Construction, Core, Finish, Material, Measured, Moisture, Portion, Service, Sling, SlingLength,
    Strength, Termination,
};
pub use stiffness::{Basis, Condition, Stiffness, StretchLaw};
