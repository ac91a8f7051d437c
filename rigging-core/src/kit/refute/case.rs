//! One lift in one state, and what a rule says of it: the counter-example to be read.

use super::trial::{Point, Seen, Spoken};
use crate::kit::outline::letter;
use crate::kit::{Domain, Number, Outline};
use crate::sharing::SharingRule;
use serde::Serialize;
use std::fmt;

/// A number that differs from the outline to start from.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Changed {
    /// The number.
    pub number: Number,
    /// What it was; none where it was not the same for every leg.
    pub from: Option<f64>,
    /// What it is.
    pub to: f64,
}

/// A lift in a state within its tolerances, against what a rule says of the lift.
///
/// Prints as a few lines; [`Case::document`] is the lift itself, with these lines as notes.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Case {
    /// Name of the rule.
    pub rule: String,
    /// The lift.
    pub outline: Outline,
    /// What differs from the outline the search started from.
    pub changed: Vec<Changed>,
    /// How much longer than stated each leg is in this state, m.
    pub longer: Vec<f64>,
    /// How far the center of gravity is from where it is stated, m.
    pub center_moved: [f64; 3],
    /// The leg of which the rule covers the smallest share, counted from 0.
    pub leg: usize,
    /// By which share of the tension of that leg the rule falls short; below zero where it covers every leg.
    pub short: f64,
    /// Tension of each leg in this state, N.
    pub tensions: Vec<f64>,
    /// Force of each leg by the rule, N.
    pub forces: Vec<f64>,
}

impl Case {
    pub(super) fn of(rule: &dyn SharingRule, domain: &Domain, point: &Point, spoken: Spoken, seen: Seen) -> Self {
        let outline = spoken.outline;
        let changed = domain.free().iter().zip(&point.values).filter_map(|(free, value)| {
            let (from, to) = (free.number.of(domain.base()), (*value)?);
            (from != Some(to)).then_some(Changed { number: free.number, from, to })
        });
        let changed = changed.collect();
        let off = |side: (&f64, &f64)| side.0 * side.1;
        let longer: Vec<f64> = outline.length_tolerances.iter().zip(&point.state).map(off).collect();
        let mut center_moved = [0.0; 3];
        let state = point.state.iter().skip(longer.len());
        for (slot, side) in center_moved.iter_mut().zip(outline.center_tolerance.iter().zip(state)) {
            *slot = off(side);
        }
        Self {
            rule: rule.words().name.to_string(),
            changed,
            longer,
            center_moved,
            leg: seen.leg,
            short: seen.short,
            tensions: seen.tensions,
            forces: spoken.forces,
            outline,
        }
    }

    /// The lift as the text of a document, with what was found as notes.
    pub fn document(&self) -> String {
        let notes: Vec<String> = self.to_string().lines().map(str::to_owned).collect();
        self.outline.document(&notes)
    }
}

impl fmt::Display for Case {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let at = |list: &[f64]| list.get(self.leg).copied().unwrap_or(f64::NAN) / 1000.0;
        let (tension, force) = (at(&self.tensions), at(&self.forces));
        let (percent, leg) = (percent(self.short.abs()), letter(self.leg));
        write!(f, "leg {leg} bears {tension:.2} kN, the rule \"{}\" says {force:.2} kN", self.rule)?;
        if self.short > 0.0 {
            writeln!(f, ": {percent} of the tension is missing")?;
        } else {
            writeln!(f, ": covered, by {percent} of the tension")?;
        }
        let off = self.longer.iter().enumerate().filter(|(_, longer)| **longer != 0.0);
        let off: Vec<String> =
            off.map(|(leg, longer)| format!("leg {} {:+} mm", letter(leg), millimeters(*longer))).collect();
        let moved = ["x", "y", "z"].iter().zip(self.center_moved).filter(|(_, moved)| *moved != 0.0);
        let moved = moved.map(|(axis, moved)| format!("center of gravity {:+} mm along {axis}", millimeters(moved)));
        let off: Vec<String> = off.into_iter().chain(moved).collect();
        match off.is_empty() {
            true => writeln!(f, "in the state as stated")?,
            false => writeln!(f, "where, within the tolerances: {}", off.join(", "))?,
        }
        for changed in &self.changed {
            let unit = changed.number.unit();
            let from = changed.from.map_or_else(|| "differing".to_owned(), |from| format!("{from} {unit}"));
            writeln!(f, "{}: {} {unit} instead of {from}", changed.number, changed.to)?;
        }
        if self.changed.is_empty() {
            writeln!(f, "on the lift that the search started from")?;
        }
        Ok(())
    }
}

/// Little is told by its size.
fn percent(share: f64) -> String {
    let percent = 100.0 * share;
    if percent < 0.01 { format!("{percent:.1e} %") } else { format!("{percent:.2} %") }
}

/// To a thousandth of a millimeter: what is printed, and no more.
fn millimeters(meters: f64) -> f64 {
    (meters * 1.0e6).round() / 1.0e3
}
