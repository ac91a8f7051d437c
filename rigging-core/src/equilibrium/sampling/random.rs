//! Random numbers that are a function of a counter: the number of a row is the same whoever asks, and in whatever order.
//!
//! Philox 4×32 with ten rounds: Salmon, Moraes, Dror, Shaw, "Parallel random numbers: as easy as 1, 2, 3" (2011), section
//! 3.3; known answers of its reference distribution in the tests, seen as quoted by others (standing: secondary).

const MULTIPLIERS: [u32; 2] = [0xD251_1F53, 0xCD9E_8D57];
const WEYL: [u32; 2] = [0x9E37_79B9, 0xBB67_AE85];
const ROUNDS: u32 = 10;

/// Four random words of a counter and a key.
///
/// ```
/// use rigging_core::equilibrium::sampling::philox;
/// assert_eq!(philox([0; 4], [0; 2]), [0x6627_e8d5, 0xe169_c58d, 0xbc57_ac4c, 0x9b00_dbd8]);
/// ```
#[inline]
pub const fn philox(counter: [u32; 4], key: [u32; 2]) -> [u32; 4] {
    let [mut a, mut b, mut c, mut d] = counter;
    let [mut k, mut l] = key;
    let [first, second] = MULTIPLIERS;
    let [grow, widen] = WEYL;
    let mut round = 0;
    while round < ROUNDS {
        let p = first as u64 * a as u64;
        let q = second as u64 * c as u64;
        (a, b, c, d) = ((q >> 32) as u32 ^ b ^ k, q as u32, (p >> 32) as u32 ^ d ^ l, p as u32);
        k = k.wrapping_add(grow);
        l = l.wrapping_add(widen);
        round += 1;
    }
    [a, b, c, d]
}

/// One sequence of random numbers of a seed; sequences of different purposes have nothing in common.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stream {
    key: [u32; 2],
    purpose: u32,
}

impl Stream {
    pub(super) const fn new(seed: u64, purpose: u32) -> Self {
        Self { key: [seed as u32, (seed >> 32) as u32], purpose }
    }

    /// Two numbers strictly between 0 and 1, multiples of 2⁻⁵³.
    #[inline]
    pub(super) fn pair(&self, index: u64, pair: u32) -> [f64; 2] {
        let [a, b, c, d] = philox([index as u32, (index >> 32) as u32, pair, self.purpose], self.key);
        [unit(a, b), unit(c, d)]
    }

    /// The number of a row and a column.
    #[inline]
    pub(super) fn at(&self, index: u64, column: u32) -> f64 {
        let [even, odd] = self.pair(index, column / 2);
        if column.is_multiple_of(2) { even } else { odd }
    }
}

/// The middle of one of 2⁵² equal parts of the interval from 0 to 1: exact, and neither 0 nor 1.
#[inline]
fn unit(low: u32, high: u32) -> f64 {
    let bits = (u64::from(high) << 32 | u64::from(low)) >> 12;
    (bits as f64 + 0.5) * (1.0 / (1_u64 << 52) as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn known_answers() {
        // Random123 distribution, file kat_vectors, "philox4x32 10".
        let cases = [
            ([0; 4], [0; 2], [0x6627_e8d5, 0xe169_c58d, 0xbc57_ac4c, 0x9b00_dbd8]),
            ([u32::MAX; 4], [u32::MAX; 2], [0x408f_276d, 0x41c8_3b0e, 0xa20b_c7c6, 0x6d54_51fd]),
            (
                [0x243f_6a88, 0x85a3_08d3, 0x1319_8a2e, 0x0370_7344],
                [0xa409_3822, 0x299f_31d0],
                [0xd16c_fe09, 0x94fd_cceb, 0x5001_e420, 0x2412_6ea1],
            ),
        ];
        for (counter, key, expected) in cases {
            assert_eq!(philox(counter, key), expected);
        }
    }

    #[test]
    fn numbers_lie_strictly_inside() {
        assert!(unit(0, 0) > 0.0 && unit(u32::MAX, u32::MAX) < 1.0);
        let stream = Stream::new(7, 1);
        assert_eq!([stream.at(9, 4), stream.at(9, 5)], stream.pair(9, 2));
        assert_ne!(stream.at(9, 4), Stream::new(7, 2).at(9, 4));
        let mean = (0..100_000).map(|index| stream.at(index, 0)).sum::<f64>() / 1.0e5;
        // Standard deviation of the mean: 0.0009.
        assert!((mean - 0.5).abs() < 0.004, "{mean}");
    }
}
