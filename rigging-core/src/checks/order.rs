//! The order of findings: the governing one first.

use super::{Code, Finding, Verdict};

/// Findings in the order of their rank, then the largest utilization first; those alike in both stay in the order of the
/// checks.
///
/// All that decides stands in one whole number each, with the position last: such numbers compare in a step, and findings are
/// moved once their order is known.
pub(super) fn in_order(findings: Vec<Finding>) -> Vec<Finding> {
    let key = |(position, finding): (usize, &Finding)| {
        let importance = u128::from(rank(finding)) << 64 | u128::from(!ascending(utilization(finding)));
        importance << 32 | position as u128
    };
    let mut keys: Vec<u128> = findings.iter().enumerate().map(key).collect();
    keys.sort_unstable();
    let mut findings: Vec<Option<Finding>> = findings.into_iter().map(Some).collect();
    let mut in_order = Vec::with_capacity(findings.len());
    in_order.extend(keys.into_iter().filter_map(|key| findings.get_mut(key as u32 as usize)?.take()));
    in_order
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
    fn findings_stand_as_a_stable_sort_puts_them() {
        use crate::chain::{Chain, Term};
        use crate::error::Place;
        use crate::source::Source;
        let newtons = |value| Chain::start("a force", Term::new("F", "force", value, "N", Source::stated("test")));
        let mut state = 1_u64;
        for count in [0, 1, 2, 7, 60, 200] {
            let finding = |number: usize| {
                state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                let item = number.to_string();
                match state >> 61 {
                    0 => Finding::new(Code::Edge, Verdict::CannotConclude, item, Place::root(), ""),
                    1 => Finding::new(Code::Stability, Verdict::Pass, item, Place::root(), ""),
                    2 => Finding::new(Code::OwnWeight, Verdict::NotCovered, item, Place::root(), ""),
                    // Often the same utilization.
                    share => {
                        let asked = newtons(share as f64 * if state & 64 == 0 { 1.0 } else { 0.25 });
                        Finding::compared(Code::SlingStrength, item, Place::root(), asked, newtons(5.0))
                    }
                }
            };
            let findings: Vec<Finding> = (0..count).map(finding).collect();
            let mut expected = findings.clone();
            expected.sort_by(|one, other| {
                rank(one).cmp(&rank(other)).then(utilization(other).total_cmp(&utilization(one)))
            });
            assert_eq!(in_order(findings), expected);
        }
    }

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
