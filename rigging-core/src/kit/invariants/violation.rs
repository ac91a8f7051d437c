//! How the question whether an invariant is kept is answered.

use crate::error::{Error, Place};
use serde::Serialize;

/// An invariant, by what it says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Invariant {
    /// Forces and moments balance, no leg pushes, no slack leg is longer than unstretched.
    Balance,
    /// A turn about the vertical changes nothing but directions.
    Turn,
    /// A shift of everything changes nothing but positions.
    Shift,
    /// The frame in which a body is described changes nothing.
    Frame,
    /// A mirror image hangs as the mirror image.
    Mirror,
    /// The order of the legs changes nothing but the order of the tensions.
    Relabeling,
    /// Mass and stiffness times one factor: so are the tensions, and the pose stays.
    ScaleOfForce,
    /// All lengths times one factor, stiffnesses EA as they are: the tensions stay, and so does the tilt.
    ScaleOfLength,
    /// More mass at the same center of gravity.
    MoreMass,
    /// What hardly stretches carries what statics of rigid legs says.
    RigidLimit,
    /// A row of a batch is what the same lift gives alone, bit for bit.
    BatchRow,
    /// A document that was written and read again is the same.
    RoundTrip,
    /// A document in other units is the same lift.
    Units,
    /// More rated strength never worsens a verdict on strength.
    MoreStrength,
    /// The vertical parts of the forces of a rule bear the weight.
    WeightBorne,
    /// A rule that claims that no leg carries more than it says covers the balance at nominal numbers.
    Claim,
}

impl Invariant {
    /// The words printed.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Balance => "balance",
            Self::Turn => "turn about the vertical",
            Self::Shift => "shift of everything",
            Self::Frame => "frame of a body",
            Self::Mirror => "mirror image",
            Self::Relabeling => "order of the legs",
            Self::ScaleOfForce => "scale of mass and stiffness",
            Self::ScaleOfLength => "scale of length",
            Self::MoreMass => "more mass",
            Self::RigidLimit => "legs that hardly stretch",
            Self::BatchRow => "row of a batch",
            Self::RoundTrip => "document written and read again",
            Self::Units => "document in other units",
            Self::MoreStrength => "more rated strength",
            Self::WeightBorne => "weight borne",
            Self::Claim => "claim of a sharing rule",
        }
    }
}

/// What differs.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Difference {
    /// A number.
    Number {
        /// As found.
        found: f64,
        /// As it must be.
        expected: f64,
        /// How far it may be off.
        tolerance: f64,
        /// Unit of the three.
        unit: &'static str,
    },
    /// Something in words: a state, a verdict, a text.
    Words {
        /// As found.
        found: String,
        /// As it must be.
        expected: String,
    },
}

/// An invariant that is not kept.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[error("{place}: not kept: {}: {what}: {}", invariant.words(), told(difference))]
pub struct Violation {
    /// Which one.
    pub invariant: Invariant,
    /// What was compared, in words.
    pub what: String,
    /// How it differs.
    pub difference: Difference,
    /// Where: a JSON pointer into the system or the document.
    pub place: Place,
}

impl Violation {
    /// By how much a number is off beyond its tolerance, in its unit; infinite for words and for what is no number.
    pub fn beyond(&self) -> f64 {
        match self.difference {
            Difference::Number { found, expected, tolerance, .. } => {
                let beyond = (found - expected).abs() - tolerance;
                if beyond.is_nan() { f64::INFINITY } else { beyond }
            }
            Difference::Words { .. } => f64::INFINITY,
        }
    }
}

fn told(difference: &Difference) -> String {
    match difference {
        Difference::Number { found, expected, tolerance, unit } => {
            let off = (found - expected).abs();
            format!("{found} {unit} against {expected} {unit}, {off:e} apart where {tolerance:e} is allowed")
        }
        Difference::Words { found, expected } => format!("{found} against {expected}"),
    }
}

/// Why an invariant is not kept, or could not be looked at.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Broken {
    /// It is not kept.
    #[error(transparent)]
    Violation(#[from] Violation),
    /// A calculation that it needs was refused.
    #[error(transparent)]
    Refused(#[from] Error),
}

/// What became of an invariant that is not broken.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kept {
    /// Numbers were compared, and agree.
    Compared {
        /// How many.
        count: usize,
        /// The largest tolerance, over the largest of the numbers it belongs to: what was allowed to differ. Zero where
        /// bits are compared.
        tolerance: f64,
        /// The largest difference over its tolerance, from 0 to 1: how near the invariant came to not being kept.
        nearest: f64,
    },
    /// The invariant says nothing of this lift.
    Silent {
        /// Why.
        why: String,
    },
}

impl Kept {
    /// Nothing was compared, because of `why`.
    pub fn silent(why: impl Into<String>) -> Self {
        Self::Silent { why: why.into() }
    }

    /// Whether something was compared.
    pub const fn compared(&self) -> bool {
        matches!(self, Self::Compared { .. })
    }

    /// The tolerance of what was compared; none where the invariant is silent.
    pub const fn tolerance(&self) -> Option<f64> {
        match self {
            Self::Compared { tolerance, .. } => Some(*tolerance),
            Self::Silent { .. } => None,
        }
    }

    /// Both, one after the other: silent only where both are.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        match (self, other) {
            (
                Self::Compared { count, tolerance, nearest },
                Self::Compared { count: more, tolerance: other, nearest: nearer },
            ) => Self::Compared { count: count + more, tolerance: tolerance.max(other), nearest: nearest.max(nearer) },
            (compared @ Self::Compared { .. }, _) => compared,
            (_, other) => other,
        }
    }
}

/// The answer to the question whether an invariant is kept.
pub type Answer = Result<Kept, Broken>;

/// Compares one thing after the other.
#[derive(Debug)]
pub(super) struct Comparing {
    invariant: Invariant,
    count: usize,
    tolerance: f64,
    nearest: f64,
}

impl Comparing {
    pub(super) const fn new(invariant: Invariant) -> Self {
        Self { invariant, count: 0, tolerance: 0.0, nearest: 0.0 }
    }

    /// Two numbers that may be `tolerance` apart; `scale` is the largest number of their kind.
    pub(super) fn near(
        &mut self,
        [found, expected]: [f64; 2],
        tolerance: f64,
        scale: f64,
        unit: &'static str,
        what: impl FnOnce() -> (String, Place),
    ) -> Result<(), Violation> {
        let off = (found - expected).abs();
        // What is no number agrees with nothing.
        if !(off <= tolerance && tolerance.is_finite()) {
            let (what, place) = what();
            let difference = Difference::Number { found, expected, tolerance, unit };
            return Err(Violation { invariant: self.invariant, what, difference, place });
        }
        self.count += 1;
        if tolerance > 0.0 {
            self.nearest = self.nearest.max(off / tolerance);
            self.tolerance = self.tolerance.max(if scale > 0.0 { tolerance / scale } else { 0.0 });
        }
        Ok(())
    }

    /// Two things that must be equal.
    pub(super) fn same<T: PartialEq + std::fmt::Debug>(
        &mut self,
        found: &T,
        expected: &T,
        what: impl FnOnce() -> (String, Place),
    ) -> Result<(), Violation> {
        if found != expected {
            return Err(self.differ(format!("{found:?}"), format!("{expected:?}"), what()));
        }
        self.agree();
        Ok(())
    }

    /// One more thing that was looked at and agrees.
    pub(super) const fn agree(&mut self) {
        self.count += 1;
    }

    /// The violation that two things in words are.
    pub(super) fn differ(&self, found: String, expected: String, (what, place): (String, Place)) -> Violation {
        Violation { invariant: self.invariant, what, difference: Difference::Words { found, expected }, place }
    }

    pub(super) const fn kept(&self) -> Kept {
        Kept::Compared { count: self.count, tolerance: self.tolerance, nearest: self.nearest }
    }
}
