//! Where lifts are looked for: an outline to start from, and which of its numbers may be what.

use super::{Number, Outline};
use crate::error::{Error, Place};

/// A number that is free within a range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Free {
    /// The number.
    pub number: Number,
    /// The least it may be, in its unit.
    pub least: f64,
    /// The most it may be.
    pub most: f64,
}

/// A set of lifts: those that an outline becomes when some of its numbers are anywhere in their ranges. Numbers are set in the
/// order in which they stand, so that one of a single leg comes after one of all.
///
/// What is found in it is made smaller toward that outline, so it is best a lift that is known to be sound.
///
/// ```
/// use rigging_core::kit::{Domain, Free, Number, Outline};
/// let tolerance = Free { number: Number::LengthTolerances, least: 0.0, most: 0.02 };
/// let domain = Domain::new(Outline::ring(4), vec![tolerance])?;
/// assert_eq!(domain.free().len(), 1);
/// // A length cannot be negative, whatever the rest of the lift.
/// let length = Free { number: Number::Lengths, least: -1.0, most: 5.0 };
/// assert_eq!(Domain::new(Outline::ring(4), vec![length]).unwrap_err().place().as_str(), "/free/0/least");
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Domain {
    base: Outline,
    free: Vec<Free>,
}

impl Domain {
    /// The lifts around an outline.
    ///
    /// # Errors
    /// What the outline itself is refused for; at the number concerned [`Error::OutOfDomain`] for a range that is empty, not
    /// finite, or ends in what no lift can be; [`Error::Inconsistent`] for a number that is free twice.
    pub fn new(base: Outline, free: Vec<Free>) -> Result<Self, Error> {
        base.leg_set()?;
        for (index, range) in free.iter().enumerate() {
            let place = || Place::root().child("free").child(index);
            if !(range.least <= range.most && range.most.is_finite() && range.least.is_finite()) {
                let allowed = format!("finite and not below {}", range.least);
                return Err(Error::out_of_domain(
                    range.number.to_string(),
                    range.most,
                    range.number.unit(),
                    allowed,
                    place().child("most"),
                ));
            }
            if free.iter().take(index).any(|other| other.number == range.number) {
                return Err(Error::inconsistent(format!("the {} is free twice", range.number), place()));
            }
            for (end, value) in [("least", range.least), ("most", range.most)] {
                let mut outline = base.clone();
                range.number.set(&mut outline, value).map_err(|error| error.at(place().child("number")))?;
                outline.leg_set().map_err(|error| error.at(place().child(end)))?;
            }
        }
        Ok(Self { base, free })
    }

    /// Lifts on a ring of lift points ([`Outline::ring`]) that can be rigged: points up to 0.5 m elsewhere, each leg up to 0.5 m
    /// longer or shorter, the center of gravity up to 0.6 m aside and 0.2 to 1.5 m below, EA from 1 to 100 MN, lengths off by
    /// up to 30 mm and the center of gravity by up to 50 mm. The numbers are chosen, not taken from anywhere.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] unless there are 1 to 8 legs.
    pub fn ring(legs: usize) -> Result<Self, Error> {
        if !(1..=8).contains(&legs) {
            let place = Place::root().child("legs");
            return Err(Error::out_of_domain("number of legs", legs as f64, "", "1 to 8", place));
        }
        let base = Outline::ring(legs);
        let mut free = Vec::new();
        let mut add = |number, least, most| free.push(Free { number, least, most });
        for axis in 0..2 {
            add(Number::CenterOfGravity { axis }, -0.6, 0.6);
            add(Number::CenterTolerance { axis }, 0.0, 0.05);
        }
        add(Number::CenterOfGravity { axis: 2 }, -1.5, -0.2);
        add(Number::Stiffnesses, 1.0e6, 1.0e8);
        add(Number::LengthTolerances, 0.0, 0.03);
        for (leg, point) in base.points.iter().enumerate() {
            add(Number::Length { leg }, 3.5, 4.5);
            for (axis, at) in point.iter().enumerate() {
                add(Number::Point { leg, axis }, at - 0.5, at + 0.5);
            }
        }
        Self::new(base, free)
    }

    /// The same with only those numbers free that are wanted; the others stay as they are in the outline.
    ///
    /// ```
    /// use rigging_core::kit::{Domain, Number};
    /// // Lift points stay where they are: corners of a square.
    /// let square = Domain::ring(4)?.with(|number| !matches!(number, Number::Point { .. }));
    /// assert_eq!(square.free().len(), 11);
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    #[must_use]
    pub fn with(mut self, wanted: impl Fn(Number) -> bool) -> Self {
        self.free.retain(|free| wanted(free.number));
        self
    }

    /// The outline to start from.
    pub const fn base(&self) -> &Outline {
        &self.base
    }

    /// What is free.
    pub fn free(&self) -> &[Free] {
        &self.free
    }

    /// The outline with some of its free numbers set, one place for each; where there is none it stays as it was.
    pub(super) fn outline(&self, values: &[Option<f64>]) -> Result<Outline, Error> {
        let mut outline = self.base.clone();
        for (free, value) in self.free.iter().zip(values) {
            if let Some(value) = value {
                free.number.set(&mut outline, *value)?;
            }
        }
        Ok(outline)
    }
}
