//! The sling that has a tension at a length.

use super::interval::Interval;
use crate::system::Law;

/// Tension over the weight below which a leg is taken to be slack.
const SLACK: f64 = 1.0e-9;
/// Halvings in the search for a strain.
const HALVINGS: usize = 50;

/// What to add to the nominal length of a sling, which may be off by `side`, and to its factor, so that it has about a tension
/// at a length; the longest where it is slack.
pub(super) fn fitting(
    law: &Law,
    nominal: f64,
    side: Option<Interval>,
    length: f64,
    tension: f64,
    weight: f64,
) -> [f64; 2] {
    let longer = if tension > SLACK * weight { length / (1.0 + strain(law, tension)) - nominal } else { f64::INFINITY };
    let within = side.unwrap_or(Interval::ZERO).nearest(longer);
    let force = law.tension(length / (nominal + within) - 1.0);
    [longer, if force > 0.0 { tension / force - 1.0 } else { 0.0 }]
}

/// The strain at which a law has a tension.
fn strain(law: &Law, tension: f64) -> f64 {
    if let Law::Linear { ea } = law {
        return tension / ea;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if law.tension(middle) < tension { low = middle } else { high = middle }
    }
    high
}
