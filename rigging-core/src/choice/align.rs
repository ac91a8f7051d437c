//! Findings of assessments of one lift, each beside the others' on the same thing.
//!
//! What a finding is about is its check, its item, the place of that, and what is asked: the quantity that is held against a
//! limit, and of a plate which limit. Several findings may be the same in all of that (a limit of the maker beside one of the
//! rule set): those of one source belong together first, then they are counted.

use crate::checks::{Assessment, Code, Finding};
use crate::error::Place;
use crate::text::Text;

/// What assessments find on one thing.
#[derive(Debug)]
pub(super) struct Aligned<'a> {
    /// One an assessment, in their order; none where the check is not made.
    pub(super) findings: Vec<Option<&'a Finding>>,
    /// The first of them.
    first: &'a Finding,
}

impl<'a> Aligned<'a> {
    /// A finding of the assessment at `index` that stands beside none of those before.
    fn new(index: usize, finding: &'a Finding) -> Self {
        let mut findings = vec![None; index];
        findings.push(Some(finding));
        Self { findings, first: finding }
    }

    pub(super) const fn code(&self) -> Code {
        self.first.code
    }

    pub(super) fn item(&self) -> Text {
        self.first.item.clone()
    }

    pub(super) fn place(&self) -> Place {
        Place::pointer(place(self.first))
    }

    fn is_on(&self, finding: &Finding) -> bool {
        let first = self.first;
        first.code == finding.code && first.item == finding.item && place(first) == place(finding)
    }

    fn is(&self, alike: Alike, finding: &Finding) -> bool {
        self.findings.iter().flatten().any(|other| alike(other, finding))
    }
}

/// Everything that assessments find, in the order of their findings: what the first ones find before what only later ones do.
pub(super) fn aligned<'a>(assessments: &[&'a Assessment]) -> Vec<Aligned<'a>> {
    let mut all: Vec<Aligned<'a>> = Vec::new();
    for (index, assessment) in assessments.iter().enumerate() {
        let before = all.len();
        let mut left: Vec<&Finding> = assessment.findings.iter().collect();
        for alike in CLOSEST_FIRST {
            left.retain(|finding| {
                let free = |one: &&mut Aligned<'a>| {
                    one.findings.len() == index && one.is_on(finding) && one.is(alike, finding)
                };
                match all.iter_mut().take(before).find(free) {
                    Some(found) => {
                        found.findings.push(Some(finding));
                        false
                    }
                    None => true,
                }
            });
        }
        all.extend(left.into_iter().map(|finding| Aligned::new(index, finding)));
        for one in &mut all {
            one.findings.resize(index + 1, None);
        }
    }
    all
}

/// Where the item stands. A finding that lacks an input points at the input, below the item; the strength of an item is one
/// thing whether it was calculated or lacks something.
fn place(finding: &Finding) -> &str {
    let text = finding.place.as_str();
    // "/slings/2/strength/wll" is about "/slings/2".
    let end = text.match_indices('/').nth(2).map_or(text.len(), |(at, _)| at);
    text.get(..end).unwrap_or(text)
}

/// Whether two findings on one item belong together.
type Alike = fn(&Finding, &Finding) -> bool;

/// How two findings may belong together, the closest first.
const CLOSEST_FIRST: [Alike; 5] = [
    |one, other| in_one_way(one, other) && one.source == other.source,
    in_one_way,
    |one, other| asks_alike(one, other) && one.place == other.place,
    asks_alike,
    // What keeps one from comparing belongs to what the other compares.
    |one, other| has_figures(one) != has_figures(other),
];

/// The same limit by the same name; without figures, the same said of the same input.
fn in_one_way(one: &Finding, other: &Finding) -> bool {
    asks_alike(one, other) && limit(one) == limit(other) && (has_figures(one) || said_alike(one, other))
}

fn said_alike(one: &Finding, other: &Finding) -> bool {
    one.text == other.text && one.place == other.place
}

fn limit(finding: &Finding) -> Option<&Text> {
    finding.capacity.as_ref().map(|chain| &chain.quantity)
}

/// Whether a demand was held against a limit. One that lacks the other says what keeps it from that.
const fn has_figures(finding: &Finding) -> bool {
    finding.demand.is_some() && finding.capacity.is_some()
}

/// Whether both hold the same quantity against a limit of the same kind, or neither holds anything.
fn asks_alike(one: &Finding, other: &Finding) -> bool {
    if !has_figures(one) || !has_figures(other) {
        return has_figures(one) == has_figures(other);
    }
    // A plate is held against each of its limits by the same force.
    let of_limit = one.code != Code::PinPlate || limit(one) == limit(other);
    let quantities = [one, other].map(|finding| finding.demand.as_ref().map_or("", |chain| chain.quantity.as_str()));
    of_limit && one.unit() == other.unit() && without_numbers(quantities[0]).eq(without_numbers(quantities[1]))
}

/// A quantity by its words: of how many legs a force is one is a figure of the rule set.
fn without_numbers(quantity: &str) -> impl Iterator<Item = char> + '_ {
    quantity.chars().filter(|c| !c.is_ascii_digit())
}
