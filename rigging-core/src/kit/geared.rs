//! An outline with gear that is rated, so that an assessment can conclude.

use super::Outline;
use crate::gear::{Construction, Material};
use crate::quantity::STANDARD_GRAVITY;
use serde::Serialize;
use serde_json::{Value, json};

/// A fiber sling in plain numbers.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FiberSling {
    /// How it is made.
    pub construction: Construction,
    /// The fiber.
    pub material: Material,
    /// Working load limit, kg of a load that may hang.
    pub wll: f64,
    /// Minimum breaking load of the whole sling over the working load limit.
    pub factor: f64,
    /// Axial stiffness EA of the whole sling over the weight of the working load limit.
    pub stiffness: f64,
}

impl FiberSling {
    /// Axial stiffness EA of the whole sling, N, to the kilonewton.
    pub fn ea(&self) -> f64 {
        (self.stiffness * self.wll * STANDARD_GRAVITY.si() / 1e3).round() * 1e3
    }

    fn json(&self, name: &str, length: f64, tolerance: f64) -> Value {
        let endless = matches!(self.construction, Construction::Roundsling | Construction::Grommet);
        let source = "invented";
        let wll = format!("{} kg", self.wll);
        json!({
            "name": name,
            "construction": self.construction,
            "material": self.material,
            "strength": {
                "wll": wll, "breaking_load": format!("{} kg", self.wll * self.factor), "basis": "whole", "source": source,
            },
            "stiffness": {
                "law": {"ea": format!("{} N", self.ea())}, "basis": "whole", "condition": "bedded", "source": source,
            },
            "length": {
                "value": format!("{length} m"), "measured": "whole_leg", "tolerance": format!("{tolerance} m"),
            },
            "termination": if endless { "endless" } else { "sewn_eye" },
            "identity": name,
            "tag": {"legible": true, "wll": wll},
        })
    }
}

/// An outline whose legs are alike and rated.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::checks::Code;
/// use rigging_core::gear::{Construction, Material};
/// use rigging_core::kit::{FiberSling, Geared, Outline};
/// use rigging_core::rules::RuleSet;
/// let (construction, material) = (Construction::Roundsling, Material::Polyester);
/// let sling = FiberSling { construction, material, wll: 5.0e3, factor: 7.0, stiffness: 50.0 };
/// let geared = Geared { outline: Outline::ring(4), sling, points: 5.0e3, hook: 2.0e4 };
/// let assessment = Lift::from_json(&geared.document())?.assess(&RuleSet::built_in("us-general")?)?;
/// assert!(assessment.findings.iter().any(|finding| finding.code == Code::SlingStrength && finding.utilization.is_some()));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Geared {
    /// The lift; the stiffness of its legs is that of the sling.
    pub outline: Outline,
    /// The sling of every leg.
    pub sling: FiberSling,
    /// Working load limit of every lift point, kg of a load that may hang.
    pub points: f64,
    /// Working load limit of the hook, kg of a load that may hang.
    pub hook: f64,
}

impl Geared {
    /// The lift as the text of a document.
    pub fn document(&self) -> String {
        let source = "invented";
        let mut document: Value = serde_json::from_str(&self.outline.document(&[])).unwrap_or_default();
        let rating = |mass: f64| json!({"wll": format!("{mass} kg"), "source": source});
        let each = |document: &mut Value, pointer: &str, change: &dyn Fn(usize, &mut Value)| {
            let list = document.pointer_mut(pointer).and_then(Value::as_array_mut);
            list.into_iter().flatten().enumerate().for_each(|(index, entry)| change(index, entry));
        };
        let put = |entry: &mut Value, key: &str, value: Value| {
            entry.as_object_mut().and_then(|object| object.insert(key.to_owned(), value));
        };
        each(&mut document, "/load/lift_points", &|_, point| put(point, "rating", rating(self.points)));
        each(&mut document, "/hooks", &|_, hook| put(hook, "rating", rating(self.hook)));
        each(&mut document, "/legs", &|_, leg| put(leg, "contacts", json!([])));
        each(&mut document, "/slings", &|index, sling| {
            let of = |list: &[f64]| list.get(index).copied().unwrap_or(f64::NAN);
            let name = sling.pointer("/name").and_then(Value::as_str).unwrap_or_default().to_owned();
            *sling = self.sling.json(&name, of(&self.outline.lengths), of(&self.outline.length_tolerances));
        });
        format!("{document:#}\n")
    }
}
