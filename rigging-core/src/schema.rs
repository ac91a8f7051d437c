//! JSON Schema of what is read and written: feature `schema`.
//!
//! The committed files stand in `rigging-core/schema`; a test compares them with what the types say.

use crate::arrangement::Document;
use crate::checks;
use crate::error::{Error, Place};
use crate::gear::{Known, Rated};
use crate::kit;
use crate::quantity::{Entered, Quantity};
use crate::report::json;
use crate::statics;
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use std::borrow::Cow;

/// The schemas by the names of their files, each as a text that ends with a line break.
///
/// # Errors
/// None in practice; the type says so because writing JSON can fail in principle.
///
/// ```
/// let files = rigging_core::schema::files()?;
/// assert!(files.iter().any(|(name, text)| *name == "lift.schema.json" && text.contains("center_of_gravity")));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn files() -> Result<Vec<(&'static str, String)>, Error> {
    [
        ("lift.schema.json", schemars::schema_for!(Document)),
        ("system.schema.json", schemars::schema_for!(crate::system::System)),
        ("certificate.schema.json", schemars::schema_for!(crate::equilibrium::Certificate)),
        ("balance.schema.json", answers()),
        ("reliability.schema.json", reliability()),
        ("comparison.schema.json", schemars::schema_for!(crate::demand::Comparison)),
        ("kit.schema.json", kit()),
        ("choice.schema.json", choice()),
        ("origin.schema.json", schemars::schema_for!(crate::report::Origin)),
        ("rules.schema.json", crate::rules::file_schema()),
        ("rule-records.schema.json", rule_records()),
        ("assessment.schema.json", json::assessment_schema()),
        ("report.schema.json", json::report_schema()),
    ]
    .into_iter()
    .map(|(name, schema)| {
        let text = serde_json::to_string_pretty(&schema);
        let text = text.map_err(|error| Error::malformed(error.to_string(), Place::root()))?;
        Ok((name, text + "\n"))
    })
    .collect()
}

/// Schema of the answers of a balance: each stands under the name of its question; `period_inputs` is what the question about
/// natural periods takes, `worst_inputs` what those about tolerances take, `experiment_inputs` what an experiment takes.
fn answers() -> Schema {
    let mut generator = SchemaSettings::draft2020_12().into_generator();
    let questions = [
        ("derivatives", generator.subschema_for::<statics::Derivatives>()),
        ("margins", generator.subschema_for::<Vec<statics::Margin>>()),
        ("losses", generator.subschema_for::<Vec<statics::Loss>>()),
        ("motions", generator.subschema_for::<Vec<statics::FreeMotion>>()),
        ("modes", generator.subschema_for::<Vec<statics::Mode>>()),
        ("self_stress", generator.subschema_for::<statics::SelfStress>()),
        ("order", generator.subschema_for::<statics::Order>()),
        ("periods", generator.subschema_for::<statics::Periods>()),
        ("others", generator.subschema_for::<Vec<statics::OtherBalance>>()),
        ("own_weight", generator.subschema_for::<statics::OwnWeight>()),
        ("running", generator.subschema_for::<statics::RunningSlings>()),
        ("worst", generator.subschema_for::<statics::WorstCase>()),
        ("common_tolerance", generator.subschema_for::<statics::Common>()),
        ("arrange", generator.subschema_for::<statics::Arranged>()),
        ("period_inputs", generator.subschema_for::<statics::PeriodInputs>()),
        ("worst_inputs", generator.subschema_for::<statics::WorstInputs>()),
        ("experiment_inputs", generator.subschema_for::<statics::ExperimentInputs>()),
    ];
    let description = "Answers of a balance, each under the name of its question; period_inputs is what periods takes, worst_inputs what worst and common_tolerance take, experiment_inputs what experiment takes. SI units.";
    collected("Balance", description, questions, generator)
}

/// Schema of what is told about rule files: the difference of two sets, and the complaints about one.
fn rule_records() -> Schema {
    let mut generator = SchemaSettings::draft2020_12().into_generator();
    let records = [
        ("difference", generator.subschema_for::<crate::rules::Difference>()),
        ("complaints", generator.subschema_for::<Vec<crate::rules::Complaint>>()),
        ("documents", generator.subschema_for::<Vec<crate::rules::DocumentIdentity>>()),
    ];
    let description = "What is told about rule files, each under its name.";
    collected("RuleRecords", description, records, generator)
}

/// Schema of the implied indices of a rule set, and of what the question for them takes.
fn reliability() -> Schema {
    let mut generator = SchemaSettings::draft2020_12().into_generator();
    let questions = [
        ("implied_indices", generator.subschema_for::<checks::ImpliedIndices>()),
        ("reliability_inputs", generator.subschema_for::<checks::ReliabilityInputs>()),
    ];
    let description =
        "The reliability indices that a rule set stands for, and what the question for them takes. SI units.";
    collected("Reliability", description, questions, generator)
}

/// Schema of what searches and maps of sharing rules answer, and of what they take.
fn kit() -> Schema {
    let mut generator = SchemaSettings::draft2020_12().into_generator();
    let questions = [
        ("refute", generator.subschema_for::<kit::Searched>()),
        ("survey", generator.subschema_for::<kit::Survey>()),
        ("refute_inputs", generator.subschema_for::<kit::RefuteInputs>()),
        ("survey_inputs", generator.subschema_for::<kit::SurveyInputs>()),
    ];
    let description = "Searches for lifts that a sharing rule forgets and maps of where rules fall short, with what they take. SI units.";
    collected("Kit", description, questions, generator)
}

/// Schema of one lift under several rule sets, and of where two assessments part.
fn choice() -> Schema {
    let mut generator = SchemaSettings::draft2020_12().into_generator();
    let questions = [
        ("matrix", generator.subschema_for::<crate::choice::Matrix>()),
        ("partings", generator.subschema_for::<Vec<crate::choice::Parting>>()),
    ];
    let description = "One lift under several rule sets, and every check on which two assessments differ. SI units.";
    collected("Choice", description, questions, generator)
}

/// One schema for what stands under several names.
fn collected<const N: usize>(
    title: &str,
    description: &str,
    named: [(&str, Schema); N],
    mut generator: SchemaGenerator,
) -> Schema {
    let properties: serde_json::Map<String, serde_json::Value> =
        named.into_iter().map(|(name, schema)| (name.to_owned(), schema.to_value())).collect();
    json_schema!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": title,
        "description": description,
        "type": "object",
        "properties": properties,
        "additionalProperties": false,
        "$defs": generator.take_definitions(true),
    })
}

impl<Q: Quantity> JsonSchema for Entered<Q> {
    fn schema_name() -> Cow<'static, str> {
        Cow::Owned(format!("text of {}", Q::NAME))
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let description = format!("{} as a text with its unit, such as \"{}\"", Q::NAME, Q::EXAMPLE);
        json_schema!({ "type": "string", "description": description })
    }
}

impl JsonSchema for Rated {
    fn schema_name() -> Cow<'static, str> {
        Cow::Borrowed("text of a rating")
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "description": "a mass or a force as a text with its unit, such as \"12 t\" or \"118 kN\"" })
    }
}

impl<T: JsonSchema> JsonSchema for Known<T> {
    fn schema_name() -> Cow<'static, str> {
        Cow::Owned(format!("{} or unknown", T::schema_name()))
    }

    /// Two kinds of one generic type share a name; only the id keeps them apart.
    fn schema_id() -> Cow<'static, str> {
        Cow::Owned(format!("known {}", T::schema_id()))
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let value = generator.subschema_for::<T>();
        json_schema!({ "anyOf": [value, { "const": "unknown" }] })
    }
}
