//! The rule sets that come with the library.

/// Name and text of every built-in rule set.
pub(super) const FILES: &[(&str, &str)] = &[
    ("us-general", include_str!("../../rules/us-general.toml")),
    ("marine-0027-nd-2016", include_str!("../../rules/marine-0027-nd-2016.toml")),
];

/// Their names.
pub(super) const NAMES: &[&str] = &["us-general", "marine-0027-nd-2016"];
