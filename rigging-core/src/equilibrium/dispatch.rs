//! Which lanes the processor has, and the one place where they are entered.
//!
//! The only file of the crate that holds unsafe code: instructions that a processor may lack are reached through
//! functions that may be called only where it has them. A value of a lane type exists nowhere but below such a function.
#![allow(unsafe_code, reason = "instructions that not every processor has")]

use super::nearby::block::Block;
use super::nearby::kernel::{Constants, balance};

/// The arithmetic by which rows are calculated side by side.
///
/// At one level a row has one set of bits, whatever stands beside it and however many lanes the processor has. The fused
/// levels give the same bits as each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Level {
    /// As many lanes as the processor has, or one; products and sums are rounded one by one, as every processor can. The
    /// bits are the same on all of them.
    Plain,
    /// Four lanes (AVX2), a product and a sum rounded once (FMA).
    Four,
    /// Eight lanes (AVX-512), rounded likewise.
    Eight,
}

impl Level {
    /// The widest level of this processor.
    pub fn best() -> Self {
        [Self::Eight, Self::Four].into_iter().find(|level| level.is_available()).unwrap_or(Self::Plain)
    }

    /// Whether this processor has it.
    pub fn is_available(self) -> bool {
        match self {
            Self::Plain => true,
            #[cfg(target_arch = "x86_64")]
            Self::Four => is_x86_feature_detected!("avx2") && is_x86_feature_detected!("fma"),
            #[cfg(target_arch = "x86_64")]
            Self::Eight => is_x86_feature_detected!("avx512f") && is_x86_feature_detected!("fma"),
            #[cfg(not(target_arch = "x86_64"))]
            Self::Four | Self::Eight => false,
        }
    }

    /// Number of rows that are calculated in one block.
    pub(super) fn rows(self) -> usize {
        match self {
            Self::Plain => Width::of_plain() as usize,
            Self::Four => 4,
            Self::Eight => 8,
        }
    }
}

/// How many rows are calculated at once where nothing is fused.
#[derive(Clone, Copy)]
enum Width {
    One = 1,
    #[cfg(target_arch = "x86_64")]
    Four = 4,
    #[cfg(target_arch = "x86_64")]
    Eight = 8,
}

impl Width {
    #[cfg(target_arch = "x86_64")]
    fn of_plain() -> Self {
        if is_x86_feature_detected!("avx512f") {
            Self::Eight
        } else if is_x86_feature_detected!("avx2") {
            Self::Four
        } else {
            Self::One
        }
    }

    #[cfg(not(target_arch = "x86_64"))]
    const fn of_plain() -> Self {
        Self::One
    }
}

/// Balances a block at a level; one that the processor lacks is taken as [`Level::Plain`].
#[inline]
pub(super) fn balance_block<const M: usize>(level: Level, constants: &Constants<M>, block: &mut Block<M>) {
    #[cfg(target_arch = "x86_64")]
    match if level.is_available() { level } else { Level::Plain } {
        Level::Plain => match Width::of_plain() {
            Width::One => {}
            // SAFETY: the processor has AVX2.
            Width::Four => return unsafe { x86::plain_four(constants, block) },
            // SAFETY: the processor has AVX-512F.
            Width::Eight => return unsafe { x86::plain_eight(constants, block) },
        },
        // SAFETY: the processor has AVX2 and FMA.
        Level::Four => return unsafe { x86::four(constants, block) },
        // SAFETY: the processor has AVX-512F and FMA.
        Level::Eight => return unsafe { x86::eight(constants, block) },
    }
    let _ = level;
    balance::<f64, M>(constants, block);
}

#[cfg(target_arch = "x86_64")]
mod x86 {
    use super::super::nearby::lane::Lane;
    use super::{Block, Constants, balance};
    use core::arch::x86_64::*;
    use std::ops::{Add, Div, Mul, Sub};

    /// Four doubles of AVX2; a product and a sum rounded once, or one by one.
    #[derive(Clone, Copy)]
    pub(super) struct Four<const FUSED: bool>(__m256d);
    /// Eight doubles of AVX-512; likewise.
    #[derive(Clone, Copy)]
    pub(super) struct Eight<const FUSED: bool>(__m512d);

    macro_rules! operators {
        ($type:ident: $($operator:ident $method:ident $instruction:ident),*) => {$(
            impl<const FUSED: bool> $operator for $type<FUSED> {
                type Output = Self;
                #[inline(always)]
                fn $method(self, other: Self) -> Self {
                    // SAFETY: the value exists only where the processor has the instruction.
                    Self(unsafe { $instruction(self.0, other.0) })
                }
            }
        )*};
    }
    operators!(Four: Add add _mm256_add_pd, Sub sub _mm256_sub_pd, Mul mul _mm256_mul_pd, Div div _mm256_div_pd);
    operators!(Eight: Add add _mm512_add_pd, Sub sub _mm512_sub_pd, Mul mul _mm512_mul_pd, Div div _mm512_div_pd);

    // SAFETY, of both: lanes are made only by the entries below, which are called only where the processor has the
    // instructions; memory is touched through arrays of the full width.
    impl<const FUSED: bool> Lane for Four<FUSED> {
        type Mask = __m256d;

        #[inline(always)]
        fn splat(value: f64) -> Self {
            Self(unsafe { _mm256_set1_pd(value) })
        }
        #[inline(always)]
        fn read(values: &[f64]) -> Self {
            match values.first_chunk::<4>() {
                Some(values) => Self(unsafe { _mm256_loadu_pd(values.as_ptr()) }),
                None => Self::splat(f64::NAN),
            }
        }
        #[inline(always)]
        fn write(self, into: &mut [f64]) {
            if let Some(into) = into.first_chunk_mut::<4>() {
                unsafe { _mm256_storeu_pd(into.as_mut_ptr(), self.0) }
            }
        }
        #[inline(always)]
        fn times_plus(self, by: Self, plus: Self) -> Self {
            if FUSED { Self(unsafe { _mm256_fmadd_pd(self.0, by.0, plus.0) }) } else { self * by + plus }
        }
        #[inline(always)]
        fn times_from(self, by: Self, minus: Self) -> Self {
            if FUSED { Self(unsafe { _mm256_fnmadd_pd(self.0, by.0, minus.0) }) } else { minus - self * by }
        }
        #[inline(always)]
        fn sqrt(self) -> Self {
            Self(unsafe { _mm256_sqrt_pd(self.0) })
        }
        #[inline(always)]
        fn greater(self, other: Self) -> Self {
            Self(unsafe { _mm256_max_pd(self.0, other.0) })
        }
        #[inline(always)]
        fn lesser(self, other: Self) -> Self {
            Self(unsafe { _mm256_min_pd(self.0, other.0) })
        }
        #[inline(always)]
        fn above(self, other: Self) -> __m256d {
            unsafe { _mm256_cmp_pd::<_CMP_GT_OQ>(self.0, other.0) }
        }
        #[inline(always)]
        fn both(one: __m256d, other: __m256d) -> __m256d {
            unsafe { _mm256_and_pd(one, other) }
        }
        #[inline(always)]
        fn but_not(one: __m256d, other: __m256d) -> __m256d {
            unsafe { _mm256_andnot_pd(other, one) }
        }
        #[inline(always)]
        fn differ(one: __m256d, other: __m256d) -> __m256d {
            unsafe { _mm256_xor_pd(one, other) }
        }
        #[inline(always)]
        fn either(one: __m256d, other: __m256d) -> __m256d {
            unsafe { _mm256_or_pd(one, other) }
        }
        #[inline(always)]
        fn choose(mask: __m256d, yes: Self, no: Self) -> Self {
            Self(unsafe { _mm256_blendv_pd(no.0, yes.0, mask) })
        }
        #[inline(always)]
        fn kept(mask: __m256d, value: Self) -> Self {
            Self(unsafe { _mm256_and_pd(value.0, mask) })
        }
        #[inline(always)]
        fn bits(mask: __m256d) -> u32 {
            (unsafe { _mm256_movemask_pd(mask) }) as u32
        }
    }

    impl<const FUSED: bool> Lane for Eight<FUSED> {
        type Mask = __mmask8;

        #[inline(always)]
        fn splat(value: f64) -> Self {
            Self(unsafe { _mm512_set1_pd(value) })
        }
        #[inline(always)]
        fn read(values: &[f64]) -> Self {
            match values.first_chunk::<8>() {
                Some(values) => Self(unsafe { _mm512_loadu_pd(values.as_ptr()) }),
                None => Self::splat(f64::NAN),
            }
        }
        #[inline(always)]
        fn write(self, into: &mut [f64]) {
            if let Some(into) = into.first_chunk_mut::<8>() {
                unsafe { _mm512_storeu_pd(into.as_mut_ptr(), self.0) }
            }
        }
        #[inline(always)]
        fn times_plus(self, by: Self, plus: Self) -> Self {
            if FUSED { Self(unsafe { _mm512_fmadd_pd(self.0, by.0, plus.0) }) } else { self * by + plus }
        }
        #[inline(always)]
        fn times_from(self, by: Self, minus: Self) -> Self {
            if FUSED { Self(unsafe { _mm512_fnmadd_pd(self.0, by.0, minus.0) }) } else { minus - self * by }
        }
        #[inline(always)]
        fn sqrt(self) -> Self {
            Self(unsafe { _mm512_sqrt_pd(self.0) })
        }
        #[inline(always)]
        fn greater(self, other: Self) -> Self {
            Self(unsafe { _mm512_max_pd(self.0, other.0) })
        }
        #[inline(always)]
        fn lesser(self, other: Self) -> Self {
            Self(unsafe { _mm512_min_pd(self.0, other.0) })
        }
        #[inline(always)]
        fn above(self, other: Self) -> __mmask8 {
            unsafe { _mm512_cmp_pd_mask::<_CMP_GT_OQ>(self.0, other.0) }
        }
        #[inline(always)]
        fn both(one: __mmask8, other: __mmask8) -> __mmask8 {
            one & other
        }
        #[inline(always)]
        fn but_not(one: __mmask8, other: __mmask8) -> __mmask8 {
            one & !other
        }
        #[inline(always)]
        fn differ(one: __mmask8, other: __mmask8) -> __mmask8 {
            one ^ other
        }
        #[inline(always)]
        fn either(one: __mmask8, other: __mmask8) -> __mmask8 {
            one | other
        }
        #[inline(always)]
        fn choose(mask: __mmask8, yes: Self, no: Self) -> Self {
            Self(unsafe { _mm512_mask_blend_pd(mask, no.0, yes.0) })
        }
        #[inline(always)]
        fn bits(mask: __mmask8) -> u32 {
            u32::from(mask)
        }
    }

    macro_rules! entries {
        ($($(#[$feature:meta])* $name:ident: $lane:ty;)*) => {$(
            $(#[$feature])*
            pub(super) unsafe fn $name<const M: usize>(constants: &Constants<M>, block: &mut Block<M>) {
                balance::<$lane, M>(constants, block);
            }
        )*};
    }
    entries! {
        #[target_feature(enable = "avx2")] plain_four: Four<false>;
        #[target_feature(enable = "avx512f")] plain_eight: Eight<false>;
        #[target_feature(enable = "avx2,fma")] four: Four<true>;
        #[target_feature(enable = "avx512f,fma")] eight: Eight<true>;
    }
}
