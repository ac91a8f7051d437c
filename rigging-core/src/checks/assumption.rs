//! What a verdict takes for granted, as records that site can check.

use super::by_itself::ByItself;
use crate::demand::{self, Demand, DesignWeight, ForceSource};
use crate::rules::RuleSet;
use crate::text::Text;
use serde::{Deserialize, Serialize};

/// Stable codes of the assumptions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum AssumptionCode {
    /// The load does not deform.
    RigidLoad,
    /// Slings are straight and pull only.
    StraightLegs,
    /// Where the hooks are: one hangs freely above the center of gravity, several stand where drawn.
    HookPosition,
    /// Stiffness as stated, in the state stated.
    Stiffness,
    /// Skew is computed, not taken by rule.
    SkewComputed,
    /// What is and is not in the figures of motion.
    Dynamics,
    /// A sharing rule says what the legs carry.
    SharingRule,
    /// The center of gravity is where stated, and a factor on shares stands for what is not known of it.
    CenterOfGravity,
}

impl AssumptionCode {
    /// The stable text.
    pub const fn text(self) -> &'static str {
        match self {
            Self::RigidLoad => "rigid_load",
            Self::StraightLegs => "straight_legs",
            Self::HookPosition => "hook_position",
            Self::Stiffness => "stiffness",
            Self::SkewComputed => "skew_computed",
            Self::Dynamics => "dynamics",
            Self::SharingRule => "sharing_rule",
            Self::CenterOfGravity => "center_of_gravity",
        }
    }
}

/// An assumption in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Assumption {
    /// Stable code.
    pub code: AssumptionCode,
    /// What is taken for granted.
    pub text: Text,
}

/// The assumptions of an assessment; without a weight no force was found.
pub(super) fn list(
    own: &ByItself<'_>,
    rules: &RuleSet,
    weight: Option<&DesignWeight>,
    forces: &ForceSource,
    demand: Option<&Demand>,
) -> Vec<Assumption> {
    let lift = own.lift;
    let mut list = Vec::new();
    let mut add = |code, text: Text| list.push(Assumption { code, text });
    let rigid = match lift.document().spreaders.len() {
        0 => "the load does not deform",
        _ => "load and spreaders do not deform",
    };
    add(AssumptionCode::RigidLoad, rigid.into());
    let straight = "slings are straight between their ends and pull only; fittings add neither length nor stretch beyond what the document states";
    add(AssumptionCode::StraightLegs, straight.into());
    let hook = match lift.document().hooks.len() {
        1 => "the hook hangs freely above the center of gravity, and the load is lifted from the attitude as drawn",
        _ => {
            "the hooks stand where drawn, their lines carry what the balance asks, and the load is lifted from the attitude as drawn"
        }
    };
    add(AssumptionCode::HookPosition, hook.into());
    for leg in lift.legs() {
        for (index, sling) in leg.slings() {
            if let Some(stiffness) = sling.stiffness.value() {
                let condition = stiffness.condition.value().map_or("state not stated", |condition| condition.word());
                let source = stiffness.source.value().map_or("source not stated", Text::as_str);
                let basis = match (stiffness.basis.value(), leg.side_by_side(index, sling)) {
                    (None, _) => Text::default(),
                    (Some(basis), Ok(times @ 2..)) => {
                        Text::written(format_args!(", quoted for {}; {times} side by side", basis.word()))
                    }
                    (Some(basis), _) => [", quoted for ", basis.word()].into(),
                };
                let text = ["stiffness of ", &*sling.name, ": ", condition, &*basis, " (", source, ")"];
                add(AssumptionCode::Stiffness, text.into());
            }
        }
    }
    if let ForceSource::Rule { rule } = forces {
        let claim = if rule.conservative { "claims" } else { "does not claim" };
        let text = format!(
            "leg forces are those of the rule \"{}\", for {}; it {claim} that no leg carries more, and is set against what is \
             attained at the vertices of the tolerances, which is not a bound",
            rule.name, rule.domain
        );
        add(AssumptionCode::SharingRule, text.into());
    }
    if let Some(factor) = demand.and_then(|demand| demand.on_share.center_of_gravity.as_ref()) {
        let text = format!(
            "the center of gravity is where stated; what is not known of it is covered by the factor {} on shares of the load \
             ({}) and by nothing else: stability, tilt and angles are those of the stated position",
            factor.value, factor.source
        );
        add(AssumptionCode::CenterOfGravity, text.into());
    }
    if let Some(weight) = weight {
        match forces {
            ForceSource::AtVertices => {
                let skew = "skew is computed from length tolerances and stiffness; no skew factor is taken by rule";
                add(AssumptionCode::SkewComputed, skew.into());
            }
            ForceSource::Bounds { .. } => {
                let skew = "skew is bounded over the tolerances of lengths and center of gravity, at stiffness and mass as \
                            stated; no skew factor is taken by rule; angles and tilt are what the \
                            vertices of the tolerances show";
                add(AssumptionCode::SkewComputed, skew.into());
            }
            ForceSource::Rule { .. } => {}
        }
        let dynamics = match &weight.dynamic {
            None => {
                let why = match demand::why_no_dynamic_factor(lift, &own.circumstances, rules, weight) {
                    Some((why, source)) => format!("{why} ({source})"),
                    None => "the rule set gives none".to_owned(),
                };
                let without = match lift.document().operation.snag.is_unknown() {
                    true => "lift without shock, snag, wind or suction",
                    false => "lift without shock, wind or suction, and a load that sticks is a case of its own",
                };
                format!("no dynamic factor: {why}; {without}")
            }
            Some(factor) => format!("motion is covered by {} = {} and by nothing else", factor.symbol, factor.value),
        };
        add(AssumptionCode::Dynamics, dynamics.into());
    }
    list
}
