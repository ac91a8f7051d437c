//! Where rules fall short: over center of gravity, stiffness, tolerance, or any other numbers of an outline.

use super::{Number, Outline};
use crate::demand::{Ruled, compare};
use crate::error::{Error, Place};
use crate::sharing::{SharingRule, Words};
use serde::{Deserialize, Serialize};

/// The most cells of a survey.
pub const MOST_CELLS: usize = 1_000_000;

/// A number of the outline and the values it takes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Axis {
    /// The number.
    pub number: Number,
    /// Its values, in its unit.
    pub values: Vec<f64>,
}

/// How far rules fall short of the worst within tolerances, cell by cell.
///
/// Cells stand in the order of the axes, the last one changing fastest.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Survey {
    /// The rules.
    pub rules: Vec<Words>,
    /// The axes.
    pub axes: Vec<Axis>,
    /// The largest tension of any leg that was attained at a vertex of the tolerances, N, one a cell; none where the lift does
    /// not hang stably at all of them, or there is no such lift.
    pub worst: Vec<Option<f64>>,
    /// For each rule and cell, by which share of its worst tension the leg that is covered least falls short; below zero where
    /// every leg is covered, none where the rule refuses or there is no worst tension.
    pub short: Vec<Vec<Option<f64>>>,
}

impl Survey {
    /// The number of values of each axis.
    pub fn shape(&self) -> Vec<usize> {
        self.axes.iter().map(|axis| axis.values.len()).collect()
    }
}

/// Sets rules against the elastic worst case in every cell of a grid of lifts: an outline with some numbers changed.
///
/// The worst is what is attained at the vertices of the tolerances, no bound: where a rule covers it nothing is proven.
///
/// # Errors
/// What the outline itself is refused for; [`Error::OutOfDomain`] for more than [`MOST_CELLS`] cells, for an axis without
/// values, with a number that the outline does not have or a value that is not finite; [`Error::Inconsistent`] for a number on
/// two axes; a rule's answer that is no force.
///
/// ```
/// use rigging_core::kit::{Axis, Number, Outline, survey};
/// use rigging_core::sharing::LegsCounted;
/// let tolerance = Axis { number: Number::LengthTolerances, values: vec![0.0, 0.005, 0.010] };
/// let found = survey(&Outline::ring(4), &[tolerance], &[&LegsCounted::three()])?;
/// // Three legs cover four that are equal; with 10 mm to either side they no longer do.
/// let short: Vec<bool> = found.short[0].iter().map(|short| short.is_some_and(|short| short > 0.0)).collect();
/// assert_eq!(short, [false, false, true]);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn survey(base: &Outline, axes: &[Axis], rules: &[&dyn SharingRule]) -> Result<Survey, Error> {
    survey_while(base, axes, rules, |_| true)
}

/// As [`survey`], but before each cell it is asked whether to go on, and told the cells so far; cells that are left out are
/// none.
///
/// # Errors
/// As [`survey`].
pub fn survey_while(
    base: &Outline,
    axes: &[Axis],
    rules: &[&dyn SharingRule],
    mut go_on: impl FnMut(usize) -> bool,
) -> Result<Survey, Error> {
    base.leg_set()?;
    let cells = cells(base, axes)?;
    let mut found = Survey {
        rules: rules.iter().map(|rule| rule.words()).collect(),
        axes: axes.to_vec(),
        worst: vec![None; cells],
        short: vec![vec![None; cells]; rules.len()],
    };
    for cell in 0..cells {
        if !go_on(cell) {
            break;
        }
        let mut outline = base.clone();
        let mut rest = cell;
        for axis in axes.iter().rev() {
            if let Some(value) = axis.values.get(rest % axis.values.len()) {
                axis.number.set(&mut outline, *value)?;
            }
            rest /= axis.values.len();
        }
        // A combination of values that is no lift has no tension.
        let Ok(set) = outline.leg_set() else { continue };
        let Ok(comparison) = compare(&set, rules) else { continue };
        if let Some(slot) = found.worst.get_mut(cell) {
            *slot = Some(comparison.worst.iter().copied().fold(0.0, f64::max));
        }
        for (column, compared) in found.short.iter_mut().zip(comparison.rules) {
            if let (Some(slot), Ruled::Speaks { shortest, .. }) = (column.get_mut(cell), compared.answer) {
                *slot = Some(shortest.share);
            }
        }
    }
    Ok(found)
}

/// The number of cells; every axis is looked at.
fn cells(base: &Outline, axes: &[Axis]) -> Result<usize, Error> {
    let mut cells = 1_usize;
    for (index, axis) in axes.iter().enumerate() {
        let place = || Place::root().child("axes").child(index);
        let values = || place().child("values");
        if axis.values.is_empty() {
            return Err(Error::out_of_domain("number of values", 0.0, "", "1 or more", values()));
        }
        if axes.iter().take(index).any(|other| other.number == axis.number) {
            return Err(Error::inconsistent(format!("the {} is on two axes", axis.number), place().child("number")));
        }
        axis.number.set(&mut base.clone(), 0.0).map_err(|error| error.at(place().child("number")))?;
        for (value, at) in axis.values.iter().zip(0_usize..) {
            if !value.is_finite() {
                let (what, unit) = (axis.number.to_string(), axis.number.unit());
                return Err(Error::out_of_domain(what, *value, unit, "finite", values().child(at)));
            }
        }
        cells = cells.saturating_mul(axis.values.len());
    }
    if cells > MOST_CELLS {
        let place = Place::root().child("axes");
        return Err(Error::out_of_domain("number of cells", cells as f64, "", format!("at most {MOST_CELLS}"), place));
    }
    Ok(cells)
}
