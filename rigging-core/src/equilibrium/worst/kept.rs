//! Whether a state that hangs keeps what the proof says of it.
#![allow(clippy::unwrap_used)]

use super::affine::Affine;
use super::balances::Balances;
use super::forms::Kind;
use super::region::Region;
use super::target::Target;

/// From −1 to 1.
pub(super) fn noise(seed: u64) -> f64 {
    let mut z = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
}

/// Numbers of a box, given by half its sides; half of them at an end of their side.
pub(super) fn drawn(sides: impl Iterator<Item = f64>, draw: u64) -> Vec<f64> {
    let number = |index: u64| {
        let share = noise(64 * draw + index);
        if noise(64 * draw + index + 32) < 0.0 { share.signum() } else { share }
    };
    sides.zip(0..).map(|(side, index)| side * number(index)).collect()
}

/// Whether a state, given by its symbols, lies in a piece of the region and keeps every condition over it. There it has no
/// more than the form of each target says, and, of one leg, no less.
pub(super) fn is_kept<const N: usize>(
    lift: &impl Balances<N>,
    region: &Region<N>,
    symbols: &[f64; N],
    targets: &[(Target, f64)],
) -> bool {
    let mut held = false;
    for piece in &region.pieces {
        let mut piece = piece.clone();
        let at: [f64; N] = std::array::from_fn(|symbol| {
            let (off, radius) = (symbols[symbol] - piece.ranges[symbol].middle(), piece.ranges[symbol].radius());
            // What is one number, such as the share of a slack leg, is that number.
            if radius > 0.0 { off / radius } else { off * 1.0e9 }
        });
        if at.iter().any(|share| share.abs() > 1.0 + 1.0e-9) {
            continue;
        }
        let forms = lift.forms(&mut piece).unwrap();
        let off = |form: &Affine<N>| {
            form.middle + form.slopes.iter().zip(&at).map(|(slope, share)| slope * share).sum::<f64>()
        };
        let kept = forms.conditions.iter().all(|condition| match condition.kind {
            Kind::Zero => off(&condition.form).abs() <= condition.form.rest + 1.0e-8,
            Kind::NotAbove => off(&condition.form) <= condition.form.rest + 1.0e-10,
        });
        if kept {
            held = true;
            for (target, value) in targets {
                let form = lift.target(&piece, &forms, *target);
                let above = value - off(&form);
                assert!(above <= form.rest + 1.0e-4, "{value} N, {above} N more than the form");
                assert!(target.legs().count() > 1 || above >= -form.rest - 1.0e-4);
            }
        }
    }
    held
}
