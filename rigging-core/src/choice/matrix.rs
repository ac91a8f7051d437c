//! The verdicts of one lift under several rule sets, side by side.

use super::align::{Aligned, aligned};
use super::parting::{Parting, partings};
use super::under::assess_under;
use crate::arrangement::Lift;
use crate::checks::{Assessment, Code, RuleSetIdentity, Stance, Verdict};
use crate::error::{Error, Place};
use crate::rules::RuleSet;
use crate::source::Source;
use crate::text::Text;
use serde::Serialize;

/// One lift under several rule sets.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Matrix {
    /// Name of the lift.
    pub lift: Text,
    /// Hash of the lift's canonical text.
    pub lift_hash: Text,
    /// One a rule set, in the order asked.
    pub columns: Vec<Column>,
    /// One a check on an item; those first on which the outcomes part.
    pub rows: Vec<Row>,
    /// For every two rule sets that differ, the first clause where they part.
    pub partings: Vec<Parted>,
}

/// What one rule set says of the lift.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Column {
    /// The rules.
    pub rules: RuleSetIdentity,
    /// Verdict of the lift.
    pub verdict: Verdict,
    /// What decides it; absent where nothing was checked.
    pub governing: Option<Governing>,
}

/// The finding that decides a verdict.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Governing {
    /// The check.
    pub code: Code,
    /// The item.
    pub item: Text,
    /// The finding in words.
    pub text: Text,
    /// Demand over capacity.
    pub utilization: Option<f64>,
    /// The clause that decides.
    pub source: Option<Source>,
}

/// One check on one item, under every rule set.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Row {
    /// The check.
    pub code: Code,
    /// The item.
    pub item: Text,
    /// Where the item stands in the lift document.
    pub place: Place,
    /// One a rule set; absent where the check is not made under it.
    pub cells: Vec<Option<Cell>>,
}

/// The outcome of a check under one rule set.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Cell {
    /// Outcome.
    pub verdict: Verdict,
    /// Where the rule set does not speak: what it does instead.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stance: Option<Stance>,
    /// Demand over capacity.
    pub utilization: Option<f64>,
    /// The clause that decides.
    pub source: Option<Source>,
}

/// Two rule sets, and the first clause where they part.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Parted {
    /// Names of the rule sets; where several have one name, with what tells them apart.
    pub between: [Text; 2],
    /// Where they part first.
    pub first: Parting,
    /// Where that is the consequence of another difference, the first check that is none: there the clause stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cause: Option<Parting>,
    /// On how many checks they differ, this one included.
    pub differences: usize,
}

impl Matrix {
    /// The matrix of assessments of one lift.
    ///
    /// # Errors
    /// [`Error::Inconsistent`] for assessments of different lifts, or for none.
    pub fn of(assessments: &[Assessment]) -> Result<Self, Error> {
        let Some(first) = assessments.first() else {
            return Err(Error::inconsistent(
                "no rule set was named, so there is nothing to set side by side",
                Place::root(),
            ));
        };
        let rules: Vec<&RuleSetIdentity> = assessments.iter().map(|assessment| &assessment.rules).collect();
        let labels = labels(&rules);
        let named = || assessments.iter().zip(&labels);
        let mut parted = Vec::new();
        for (index, (left, one)) in named().enumerate() {
            for (right, other) in named().skip(index + 1) {
                let found = partings(left, right)?;
                let differences = found.len();
                let Some(first) = found.first().cloned() else { continue };
                let cause =
                    found.into_iter().find(|parting| !parting.is_consequence()).filter(|_| first.is_consequence());
                let between = [one.clone(), other.clone()];
                parted.push(Parted { between, first, cause, differences });
            }
        }
        Ok(Self {
            lift: first.lift.clone(),
            lift_hash: first.lift_hash.clone(),
            columns: assessments.iter().map(column).collect(),
            rows: rows(assessments),
            partings: parted,
        })
    }

    /// What each rule set is called, in the order asked: its name; where sets that are not the same have one name, as two editions
    /// of a firm's own have, with the edition, and where that is one as well, with the beginning of the hash.
    pub fn labels(&self) -> Vec<Text> {
        let rules: Vec<&RuleSetIdentity> = self.columns.iter().map(|column| &column.rules).collect();
        labels(&rules)
    }
}

/// How much of a hash is told.
const BEGINNING: usize = 8;

fn labels(rules: &[&RuleSetIdentity]) -> Vec<Text> {
    let label = |own: &&RuleSetIdentity| {
        let others = || rules.iter().filter(|other| other.name == own.name && other.hash != own.hash);
        if others().next().is_none() {
            return own.name.clone();
        }
        let told_by_edition = others().all(|other| other.edition != own.edition);
        let hash: String = own.hash.chars().take(BEGINNING).collect();
        match (own.edition.as_str(), told_by_edition) {
            ("", _) => format!("{} ({hash})", own.name).into(),
            (edition, true) => format!("{} ({edition})", own.name).into(),
            (edition, false) => format!("{} ({edition}, {hash})", own.name).into(),
        }
    };
    rules.iter().map(label).collect()
}

/// Assesses a lift under every rule set and sets the outcomes side by side.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::checks::Verdict;
/// use rigging_core::choice::matrix;
/// use rigging_core::rules::RuleSet;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid-round-edge.json"))?;
/// let sets = [RuleSet::built_in("us-general")?, RuleSet::built_in("marine-0027-nd-2016")?];
/// let matrix = matrix(&lift, &sets.each_ref())?;
/// assert_eq!(matrix.columns[0].verdict, Verdict::Pass);
/// let [between] = &matrix.partings[..] else { panic!("two sets make one pair") };
/// assert_eq!(between.between.each_ref().map(|name| name.as_str()), ["us-general", "marine-0027-nd-2016"]);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
///
/// # Errors
/// As [`Lift::assess`]; [`Error::Inconsistent`] for no rule set at all.
pub fn matrix(lift: &Lift, sets: &[&RuleSet]) -> Result<Matrix, Error> {
    let assessments: Vec<Assessment> = assess_under(lift, sets).into_iter().collect::<Result<_, _>>()?;
    Matrix::of(&assessments)
}

fn column(assessment: &Assessment) -> Column {
    let governing = assessment.governing().map(|finding| Governing {
        code: finding.code,
        item: finding.item.clone(),
        text: finding.text.clone(),
        utilization: finding.utilization,
        source: finding.source.clone(),
    });
    Column { rules: assessment.rules.clone(), verdict: assessment.verdict, governing }
}

fn rows(assessments: &[Assessment]) -> Vec<Row> {
    let row = |one: Aligned<'_>| {
        let cells = one.findings.iter().map(|found| {
            found.map(|finding| Cell {
                verdict: finding.verdict,
                stance: finding.stance,
                utilization: finding.utilization,
                source: finding.source.clone(),
            })
        });
        Row { code: one.code(), item: one.item(), place: one.place(), cells: cells.collect() }
    };
    let assessments: Vec<&Assessment> = assessments.iter().collect();
    let mut rows: Vec<Row> = aligned(&assessments).into_iter().map(row).collect();
    // A stable sort: within either kind the order of the findings stays.
    rows.sort_by_key(Row::agrees);
    rows
}

impl Row {
    /// Whether every rule set comes to the same outcome; one that is silent does not agree with one that excludes this.
    pub fn agrees(&self) -> bool {
        let mut verdicts = self.cells.iter().map(|cell| cell.as_ref().map(|cell| (cell.verdict, cell.stance)));
        let first = verdicts.next();
        verdicts.all(|verdict| Some(verdict) == first)
    }
}
