//! The order of findings: the governing one first.

use super::{Code, Finding, Verdict};

/// The findings by their rank, then the largest utilization first; those alike in both stay in the order of the checks.
///
/// All that decides stands in one whole number each, with the position last: such numbers compare in a step, and findings are
/// moved once their order is known.
pub(super) fn ordered(findings: Vec<Finding>) -> Vec<Finding> {
    let key = |(position, finding): (usize, &Finding)| {
        let importance = u128::from(rank(finding)) << 64 | u128::from(!ascending(utilization(finding)));
        importance << 32 | position as u128
    };
    let mut keys: Vec<u128> = findings.iter().enumerate().map(key).collect();
    keys.sort_unstable();
    let mut ordered = Vec::with_capacity(findings.len());
    let mut findings: Vec<Option<Finding>> = findings.into_iter().map(Some).collect();
    for key in keys {
        ordered.extend(findings.get_mut(key as u32 as usize).and_then(Option::take));
    }
    ordered
}

/// A whole number that grows with a double, in the order of [`f64::total_cmp`]: its bits, with all of them turned where it is
/// negative and else the sign's.
const fn ascending(value: f64) -> u64 {
    let bits = value.to_bits();
    if bits >> 63 == 1 { !bits } else { bits | 1 << 63 }
}

/// Failures first, those without a figure (a load that turns over) before the others.
const fn rank(finding: &Finding) -> u8 {
    match (finding.verdict, finding.utilization.is_some()) {
        (Verdict::Fail, false) => 0,
        (Verdict::Fail, true) => 1,
        (Verdict::CannotConclude, _) => 2,
        (Verdict::Pass, true) => 3,
        (Verdict::Pass, false) => 4,
        (Verdict::NotCovered, _) => 5,
    }
}

/// Only strengths and hook loads are comparable by utilization; geometric limits follow them.
fn utilization(finding: &Finding) -> f64 {
    let forces = finding.demand.as_ref().is_some_and(|demand| demand.unit() == "N");
    let comparable = forces && finding.code != Code::SharingRule;
    finding.utilization.map_or(-1.0, |utilization| if comparable { utilization } else { utilization - 1e6 })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_numbers_are_in_the_order_of_the_doubles() {
        let values =
            [f64::NEG_INFINITY, -1e6, -1.0, -0.0, 0.0, f64::MIN_POSITIVE, 0.5, 1.0, 1e6, f64::INFINITY, f64::NAN];
        for (place, one) in values.iter().enumerate() {
            for other in &values[place..] {
                assert_eq!(ascending(*one).cmp(&ascending(*other)), one.total_cmp(other), "{one} {other}");
            }
        }
    }
}
