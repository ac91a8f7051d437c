//! The rule sets and documents that come with the library.

/// Names and texts of files of one folder, each listed once.
macro_rules! files {
    ($folder:literal: $($name:literal),* $(,)?) => {
        (
            &[$(($name, include_str!(concat!("../../rules/", $folder, $name, ".toml"))),)*],
            &[$($name,)*],
        )
    };
}

/// Files by name, and the names alone.
type Files = (&'static [(&'static str, &'static str)], &'static [&'static str]);

const SETS: Files = files![
    "":
    "us-general",
    "marine-0027-nd-2016",
    "eu-general",
    "uk-general",
    "de-general",
    "us-consensus",
    "us-doe-and-federal",
];

/// Single documents: figures to compare with, and what a set may take from them.
const DOCUMENTS: Files = files![
    "documents/":
    "as-1353-2-and-4497-2",
    "as-4497",
    "au-qld-mobile-crane-2006",
    "ci-1401",
    "class-lame-2022",
    "de-bgr-500",
    "de-dguv-109-005",
    "de-dguv-109-006",
    "de-dguv-109-017",
    "de-dguv-209-013",
    "de-dguv-209-021",
    "de-dguv-209-061",
    "de-dguv-215-313",
    "de-din-685",
    "de-ubt30481",
    "eu-2006-42",
    "eu-en-13414-1",
    "eu-en-1492-1",
    "eu-en-818-4",
    "eu-en-818-6",
    "eu-iso-18264",
    "int-ilo-152",
    "int-iso-16855",
    "uk-loler",
    "us-29-cfr-1918",
    "asme-b30-9",
    "mil-dtl-3903",
    "us-29-cfr-1910-184-1970s",
    "bth-1-2008",
    "bth-1-2005",
    "us-ohio",
    "us-michigan",
    "us-california",
    "us-washington",
    "us-doe-1090-96",
    "us-navy",
    "us-29-cfr-1919",
    "us-29-cfr-1926-251",
    "asme-b30-26",
    "us-rr-c-271",
    "us-army-tb-55-1900-232-10",
    "mil-s-5944",
    "us-practice",
    "marine-0027-nd-2016-further",
    "marine-practice",
    "fiber-stiffness",
    "us-29-cfr-1926-751",
    "us-em-385-1-1",
];

/// The names of the rule sets.
pub(super) const SET_NAMES: &[&str] = SETS.1;

/// The names of the documents.
pub(super) const DOCUMENT_NAMES: &[&str] = DOCUMENTS.1;

/// The text of the set or document of this name.
pub(super) fn text_of(name: &str) -> Option<&'static str> {
    SETS.0.iter().chain(DOCUMENTS.0).find(|(known, _)| *known == name).map(|(_, text)| *text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::RuleSet;

    #[test]
    fn every_file_bears_the_name_it_is_asked_for_by() {
        for name in SET_NAMES.iter().chain(DOCUMENT_NAMES) {
            let rules = RuleSet::built_in(name).unwrap_or_else(|error| panic!("{name}: {error}"));
            assert_eq!(rules.name().as_str(), *name);
        }
    }
}
