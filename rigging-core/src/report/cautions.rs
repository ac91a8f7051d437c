//! What every report says, whatever the verdict.

/// Cautions, each with its stable code.
pub const CAUTIONS: &[(&str, &str)] = &[
    (
        "support_only",
        "This calculation supports the planning of the competent or qualified person that the law requires; it never replaces it. Local codes and licensed practice prevail.",
    ),
    (
        "listed_assumptions",
        "The verdict holds only for the assumptions listed; one that is not met on site makes it void.",
    ),
    ("edges", "No sling passes over an edge without a verdict for that edge; improvised padding is no protection."),
    ("sharing", "Four legs do not share equally: a rigid load on stiff slings can hang on two."),
    ("stability", "Stable balance is a check of its own; strength does not make up for it."),
    ("quasi_static", "Shock, snag, wind and suction are not in the figures unless they are listed."),
    ("damage", "Damaged gear is removed from service; no remaining strength is calculated from a description."),
    ("tags", "Gear without a legible tag, or with papers that disagree, is not used, whatever the calculation says."),
    ("change", "A change on site is a new calculation."),
    ("exclusion", "Keep people out from under the load and out of the line of tensioned slings."),
];

/// What no part of this calculation looks at.
pub const OUTSIDE_SCOPE: &[&str] = &[
    "strength and stability of the crane, its chart and its ground",
    "the load's own structure between the lift points",
    "proof testing, examination dates and papers",
    "lifting of persons",
];
