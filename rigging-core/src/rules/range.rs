//! A range as documents print it: "at least", "more than", "at most", "less than".

use std::fmt;

/// One end: its value, and whether it belongs to the range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct End {
    pub(super) value: f64,
    pub(super) inclusive: bool,
}

/// A range, open or closed at either end.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Range {
    pub(super) low: Option<End>,
    pub(super) high: Option<End>,
}

/// How close to a limit a value is at the limit, as a share of it: forces balance to 1e-10 of the weight, so that the angle of a leg
/// drawn at 15 degrees comes out a few times 1e-12 of itself beside it, and conversions between units cost less. The same share
/// decides whether a demand exceeds a capacity.
pub(crate) const AT_LIMIT: f64 = 1e-9;

/// The least that counts, in the unit of a document: near zero nothing is left to be relative to, and a scale with an offset
/// rounds as its large numbers do, so that 273.15 K is 6e-14 away from 0 degC. Far below what anyone states.
const NEAR_ZERO: f64 = 1e-12;

/// Whether two numbers of one unit are the same but for rounding.
pub(super) fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= (AT_LIMIT * a.abs().max(b.abs())).max(NEAR_ZERO)
}

impl Range {
    /// Whether a value lies below the range.
    pub(super) fn lies_above(&self, value: f64) -> bool {
        self.low.is_some_and(|low| if same(value, low.value) { !low.inclusive } else { value < low.value })
    }

    /// Whether a value lies above the range.
    pub(super) fn lies_below(&self, value: f64) -> bool {
        self.high.is_some_and(|high| if same(value, high.value) { !high.inclusive } else { value > high.value })
    }

    /// Whether a value lies within the range.
    pub(super) fn contains(&self, value: f64) -> bool {
        !self.lies_above(value) && !self.lies_below(value)
    }

    /// Whether every value of this range is below every one of `other`.
    pub(super) fn lies_below_all_of(&self, other: &Self) -> bool {
        match (self.high, other.low) {
            (Some(high), Some(low)) if same(high.value, low.value) => !(high.inclusive && low.inclusive),
            (Some(high), Some(low)) => high.value < low.value,
            _ => false,
        }
    }

    /// Whether no value lies within the range.
    pub(super) fn is_empty(&self) -> bool {
        match (self.low, self.high) {
            (Some(low), Some(high)) => {
                low.value > high.value || low.value == high.value && !(low.inclusive && high.inclusive)
            }
            _ => false,
        }
    }
}

impl fmt::Display for Range {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let low = self.low.map(|end| format!("{} {}", if end.inclusive { "at least" } else { "more than" }, end.value));
        let high =
            self.high.map(|end| format!("{} {}", if end.inclusive { "at most" } else { "less than" }, end.value));
        match (low, high) {
            (Some(low), Some(high)) => write!(f, "{low} and {high}"),
            (Some(one), None) | (None, Some(one)) => f.write_str(&one),
            (None, None) => f.write_str("any number"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_belong_to_the_range_only_where_they_are_said_to() {
        let end = |value, inclusive| Some(End { value, inclusive });
        let range = Range { low: end(3.0, true), high: end(100.0, false) };
        assert!(
            range.contains(3.0) && !range.contains(2.999_999) && !range.contains(100.0) && range.contains(99.999_999)
        );
        assert!(range.contains(3.0 * (1.0 - 1e-13)), "the rounding of a conversion does not leave the range");
        assert!(range.contains(3.0 * (1.0 - 9e-10)) && !range.contains(3.0 * (1.0 - 2e-9)), "nor that of a balance");
        assert!(!range.contains(100.0 * (1.0 - 9e-10)) && range.contains(100.0 * (1.0 - 2e-9)));
        assert_eq!(range.to_string(), "at least 3 and less than 100");
        assert!(Range { low: end(3.0, true), high: end(3.0, false) }.is_empty());
        assert!(!Range { low: end(3.0, true), high: end(3.0, true) }.is_empty());
    }
}
