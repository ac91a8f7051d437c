//! Records as JSON: what another program reads instead of the text. SI units; a key that stands for a quantity says so in
//! the schema.

use super::cautions::{CAUTIONS, OUTSIDE_SCOPE};
use crate::checks::{Assessment, Assumption, Category, Finding, LegFigures, Remedy, RuleSetIdentity, Verdict};
use crate::demand::ForceSource;
use crate::digest;
use crate::equilibrium::Certificate;
use crate::error::{Error, Place};
use serde::Serialize;

/// Format of the records; additions do not change it.
pub const RECORD_FORMAT: u64 = 1;

/// An assessment as a record.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct AssessmentRecord<'a> {
    format: u64,
    library: &'static str,
    lift: &'a str,
    lift_hash: &'a str,
    rule_set: &'a RuleSetIdentity,
    /// Where checks of strength took the forces from; absent where that is what was attained at the vertices of the tolerances.
    #[serde(skip_serializing_if = "Option::is_none")]
    forces: Option<&'a ForceSource>,
    verdict: Verdict,
    findings: &'a [Finding],
    legs: &'a [LegFigures],
    #[serde(skip_serializing_if = "Option::is_none")]
    certificate: Option<&'a Certificate>,
    assumptions: &'a [Assumption],
    /// The category of the lift and its conditions; absent where the rule set speaks of none.
    #[serde(skip_serializing_if = "Option::is_none")]
    category: Option<&'a Category>,
}

/// A report as a record: the assessment, what would change it, and what every report says.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ReportRecord<'a> {
    assessment: AssessmentRecord<'a>,
    assessment_hash: String,
    remedy: &'a Remedy,
    cautions: Vec<Caution>,
    outside_scope: &'static [&'static str],
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct Caution {
    code: &'static str,
    text: &'static str,
}

fn record(assessment: &Assessment) -> AssessmentRecord<'_> {
    AssessmentRecord {
        format: RECORD_FORMAT,
        library: env!("CARGO_PKG_VERSION"),
        lift: &assessment.lift,
        lift_hash: &assessment.lift_hash,
        rule_set: &assessment.rules,
        forces: Some(&assessment.forces).filter(|forces| !forces.is_at_vertices()),
        verdict: assessment.verdict,
        findings: &assessment.findings,
        legs: &assessment.legs,
        certificate: assessment.demand.as_ref().map(|demand| &demand.nominal),
        assumptions: &assessment.assumptions,
        category: assessment.category.as_ref(),
    }
}

fn line(record: &impl Serialize) -> Result<String, Error> {
    serde_json::to_string(record).map_err(|error| Error::malformed(error.to_string(), Place::root()))
}

/// The certificate as one line of JSON.
///
/// # Errors
/// None in practice; the type says so because writing JSON can fail in principle.
pub fn certificate(certificate: &Certificate) -> Result<String, Error> {
    line(certificate)
}

/// An answer of a [`Balance`](crate::statics::Balance) as one line of JSON.
///
/// # Errors
/// As [`certificate`].
pub fn answer(answer: &impl Serialize) -> Result<String, Error> {
    line(answer)
}

/// The assessment as one line of JSON: its canonical text, with the nominal certificate and every chain.
///
/// # Errors
/// As [`certificate`].
pub fn assessment(assessment: &Assessment) -> Result<String, Error> {
    line(&record(assessment))
}

/// SHA-256 of the canonical text of the assessment, in hexadecimal.
///
/// # Errors
/// As [`certificate`].
pub fn hash(assessment: &Assessment) -> Result<String, Error> {
    Ok(digest::sha256(&self::assessment(assessment)?))
}

/// The report as one line of JSON.
///
/// # Errors
/// As [`certificate`].
pub fn report(assessment: &Assessment, remedy: &Remedy) -> Result<String, Error> {
    line(&ReportRecord {
        assessment: record(assessment),
        assessment_hash: hash(assessment)?,
        remedy,
        cautions: CAUTIONS.iter().map(|(code, text)| Caution { code, text }).collect(),
        outside_scope: OUTSIDE_SCOPE,
    })
}

/// Schema of [`assessment`].
#[cfg(feature = "schema")]
pub fn assessment_schema() -> schemars::Schema {
    schemars::schema_for!(AssessmentRecord<'_>)
}

/// Schema of [`report`].
#[cfg(feature = "schema")]
pub fn report_schema() -> schemars::Schema {
    schemars::schema_for!(ReportRecord<'_>)
}
