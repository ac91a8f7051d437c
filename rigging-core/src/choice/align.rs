//! Findings of two assessments of one lift, each beside the other's on the same thing.

use crate::checks::{Assessment, Code, Finding};
use crate::error::Place;
use crate::text::Text;

/// What a finding is on. Several findings may be on one thing (a shackle moving and at rest): `which` counts them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Subject {
    pub(super) code: Code,
    pub(super) item: Text,
    pub(super) place: Place,
    which: usize,
}

/// The subjects of an assessment, in the order of its findings.
pub(super) fn subjects(assessment: &Assessment) -> Vec<(Subject, &Finding)> {
    let mut found: Vec<(Subject, &Finding)> = Vec::with_capacity(assessment.findings.len());
    for finding in &assessment.findings {
        let same = |(subject, _): &&(Subject, &Finding)| {
            subject.code == finding.code && subject.item == finding.item && subject.place.as_str() == place(finding)
        };
        let which = found.iter().filter(same).count();
        let subject =
            Subject { code: finding.code, item: finding.item.clone(), place: Place::pointer(place(finding)), which };
        found.push((subject, finding));
    }
    found
}

/// Where the item stands. A finding that lacks an input points at the input, below the item; the strength of an item is one
/// subject whether it was calculated or lacks something.
fn place(finding: &Finding) -> &str {
    let text = finding.place.as_str();
    // "/slings/2/strength/wll" is about "/slings/2".
    let end = text.match_indices('/').nth(2).map_or(text.len(), |(at, _)| at);
    text.get(..end).unwrap_or(text)
}

/// The finding of an assessment on a subject.
pub(super) fn on<'a>(subjects: &[(Subject, &'a Finding)], subject: &Subject) -> Option<&'a Finding> {
    subjects.iter().find(|(other, _)| other == subject).map(|(_, finding)| *finding)
}
