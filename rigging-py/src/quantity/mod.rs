//! Quantities as objects: a number with its dimension, immutable, with the arithmetic of the core and no other.

mod class;
mod define;
mod pint;
mod read;

pub(crate) use class::{Duration, Force, Length, register};
pub(crate) use pint::text as pint_text;
pub(crate) use read::{has_unit, is_number, named, own_text, read, read_at};

use pyo3::PyClass;
use rigging_core::quantity::Quantity;

/// A Python class of one kind of quantity.
pub(crate) trait Object: PyClass<Frozen = pyo3::pyclass::boolean_struct::True> + Sync {
    /// The core's type.
    type Core: Quantity;
    /// The name that pint has for the SI unit; none where a unit alone does not say enough.
    const PINT: Option<&'static str>;

    /// The core's value.
    fn core(&self) -> Self::Core;
}
