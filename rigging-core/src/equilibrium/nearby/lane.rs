//! Several doubles that are calculated side by side.
//!
//! Every operation acts on each lane by itself, so what stands in one lane never changes another.

use std::ops::{Add, Div, Mul, Sub};

/// The most lanes.
pub(in crate::equilibrium) const WIDEST: usize = 8;

/// One double for each lane.
pub(in crate::equilibrium) trait Lane:
    Copy + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + Div<Output = Self>
{
    /// Yes or no for each lane.
    type Mask: Copy;

    /// One value in all lanes.
    fn splat(value: f64) -> Self;
    /// The first values, one for each lane; NaN if there are fewer.
    fn read(values: &[f64]) -> Self;
    /// Writes the lanes to the first places.
    fn write(self, into: &mut [f64]);
    /// self·by + plus: rounded once where the level fuses, twice where it does not.
    fn times_plus(self, by: Self, plus: Self) -> Self;
    /// minus − self·by, rounded likewise.
    fn times_from(self, by: Self, minus: Self) -> Self;
    /// Square root, rounded correctly.
    fn sqrt(self) -> Self;
    /// The greater one; the second where one is not a number.
    fn greater(self, other: Self) -> Self;
    /// The lesser one; the second where one is not a number.
    fn lesser(self, other: Self) -> Self;
    /// Where self > other.
    fn above(self, other: Self) -> Self::Mask;
    /// Where both hold.
    fn both(one: Self::Mask, other: Self::Mask) -> Self::Mask;
    /// Where the first holds and the second does not.
    fn but_not(one: Self::Mask, other: Self::Mask) -> Self::Mask;
    /// Where one holds and the other does not.
    fn differ(one: Self::Mask, other: Self::Mask) -> Self::Mask;
    /// Where at least one holds.
    fn either(one: Self::Mask, other: Self::Mask) -> Self::Mask;
    /// `yes` where the mask holds, else `no`.
    fn choose(mask: Self::Mask, yes: Self, no: Self) -> Self;
    /// One bit for each lane, the first lowest.
    fn bits(mask: Self::Mask) -> u32;

    /// Whether the mask holds anywhere.
    #[inline(always)]
    fn any(mask: Self::Mask) -> bool {
        Self::bits(mask) != 0
    }
    /// `value` where the mask holds, else zero.
    #[inline(always)]
    fn kept(mask: Self::Mask, value: Self) -> Self {
        Self::choose(mask, value, Self::splat(0.0))
    }
}

/// One lane, in the arithmetic that every machine has: nothing is fused.
impl Lane for f64 {
    type Mask = bool;

    #[inline(always)]
    fn splat(value: f64) -> Self {
        value
    }
    #[inline(always)]
    fn read(values: &[f64]) -> Self {
        values.first().copied().unwrap_or(Self::NAN)
    }
    #[inline(always)]
    fn write(self, into: &mut [f64]) {
        if let Some(slot) = into.first_mut() {
            *slot = self;
        }
    }
    #[inline(always)]
    fn times_plus(self, by: Self, plus: Self) -> Self {
        self * by + plus
    }
    #[inline(always)]
    fn times_from(self, by: Self, minus: Self) -> Self {
        minus - self * by
    }
    #[inline(always)]
    fn sqrt(self) -> Self {
        Self::sqrt(self)
    }
    #[inline(always)]
    fn greater(self, other: Self) -> Self {
        if self > other { self } else { other }
    }
    #[inline(always)]
    fn lesser(self, other: Self) -> Self {
        if self < other { self } else { other }
    }
    #[inline(always)]
    fn above(self, other: Self) -> bool {
        self > other
    }
    #[inline(always)]
    fn both(one: bool, other: bool) -> bool {
        one & other
    }
    #[inline(always)]
    fn but_not(one: bool, other: bool) -> bool {
        one & !other
    }
    #[inline(always)]
    fn differ(one: bool, other: bool) -> bool {
        one ^ other
    }
    #[inline(always)]
    fn either(one: bool, other: bool) -> bool {
        one | other
    }
    #[inline(always)]
    fn choose(mask: bool, yes: Self, no: Self) -> Self {
        if mask { yes } else { no }
    }
    #[inline(always)]
    fn bits(mask: bool) -> u32 {
        u32::from(mask)
    }
}
