//! The exponential function without the platform's mathematical library, so that it is the same on every machine.

/// eˣ for |x| ≤ 700: the argument is halved until it is small, the power series summed, the result squared back.
pub(super) fn exponential(x: f64) -> f64 {
    if x < 0.0 {
        // 1 + d would lose the digits of a small result.
        return 1.0 / exponential(-x);
    }
    let mut halvings = 0;
    let mut small = x;
    while small > 1.0 / 64.0 {
        small *= 0.5;
        halvings += 1;
    }
    // e^s − 1 = s·(1 + s/2·(1 + s/3·(…))); squaring (1 + d)² − 1 = d·(2 + d) keeps what is small.
    let mut less_one = 0.0;
    for power in [9.0, 8.0, 7.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.0] {
        less_one = small / power * (1.0 + less_one);
    }
    for _ in 0..halvings {
        less_one *= 2.0 + less_one;
    }
    1.0 + less_one
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_agrees_with_the_platform() {
        for step in -400..=400 {
            let x = f64::from(step) * 0.025;
            let (found, expected) = (exponential(x), x.exp());
            assert!((found / expected - 1.0).abs() < 4.0e-15 * (1.0 + x.abs()), "{x}: {found} {expected}");
        }
    }
}
