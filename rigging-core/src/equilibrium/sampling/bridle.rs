//! Rows of a bridle: arrays for the lanes, and derivatives in closed form.

use super::{Distribution, Input};
use crate::equilibrium::certificate::State;
use crate::equilibrium::nearby::{Nominal, Outcomes, Rows, Single};
use crate::equilibrium::sensitivity::BridleDerivatives;
use crate::error::{Error, Place};
use crate::system::{Law, Number};

/// Balances `count` rows; `value` tells the uncertain inputs of a row.
pub(super) fn balance(
    nominal: &Nominal,
    uncertain: &[(Input, Distribution)],
    count: usize,
    value: impl FnMut(usize, &mut [f64]),
    out: Outcomes<'_>,
) -> Result<(), Error> {
    let mut piece = Piece::default();
    piece.fill(nominal, uncertain, count, value);
    nominal.solve(&piece.rows(count), out, 1)
}

/// Arrays of the inputs of a piece of rows; what is not uncertain is left to the nominal load.
#[derive(Default)]
struct Piece {
    lengths: Vec<f64>,
    stiffness: Vec<f64>,
    center: Vec<f64>,
    weight: Vec<f64>,
}

impl Piece {
    /// Fills the arrays for `count` rows, with `value(row, column)` for the uncertain inputs.
    fn fill(
        &mut self,
        nominal: &Nominal,
        uncertain: &[(Input, Distribution)],
        count: usize,
        mut value: impl FnMut(usize, &mut [f64]),
    ) {
        let bridle = nominal.bridle();
        let legs = bridle.lengths().len();
        let mut kinds = [false; 4];
        let [lengths, stiffness, center, weight] = &mut kinds;
        for (input, _) in uncertain {
            match input.number() {
                Number::Length(_) => *lengths = true,
                Number::Stiffness(_) => *stiffness = true,
                Number::Center { .. } => *center = true,
                Number::Mass(_) => *weight = true,
                // The load hangs below its hook, wherever that is.
                Number::Height(_) => {}
            }
        }
        let set = |values: &mut Vec<f64>, needed: bool, row: &[f64]| {
            values.clear();
            if needed {
                values.extend(std::iter::repeat_n(row, count).flatten());
            }
        };
        set(&mut self.lengths, *lengths, bridle.lengths());
        set(&mut self.stiffness, *stiffness, &vec![1.0; legs]);
        set(&mut self.center, *center, &bridle.center_of_gravity().to_array());
        set(&mut self.weight, *weight, &[bridle.weight()]);
        let mut values = vec![0.0; uncertain.len()];
        for row in 0..count {
            value(row, &mut values);
            for ((input, _), value) in uncertain.iter().zip(&values) {
                let slot = match input.number() {
                    Number::Length(leg) => self.lengths.get_mut(row * legs + leg),
                    Number::Stiffness(leg) => self.stiffness.get_mut(row * legs + leg),
                    Number::Center { axis, .. } => self.center.get_mut(row * 3 + axis),
                    Number::Mass(_) => self.weight.get_mut(row),
                    Number::Height(_) => None,
                };
                if let Some(slot) = slot {
                    *slot = *value;
                }
            }
        }
    }

    fn rows(&self, count: usize) -> Rows<'_> {
        fn given(values: &[f64]) -> Option<&[f64]> {
            (!values.is_empty()).then_some(values)
        }
        Rows {
            count,
            lengths: given(&self.lengths),
            stiffness: given(&self.stiffness),
            center: given(&self.center),
            weight: given(&self.weight),
        }
    }
}

/// A force at these values of the uncertain inputs, and its derivative by each of them.
pub(super) fn look(
    nominal: &Nominal,
    single: &mut Single<'_>,
    uncertain: &[(Input, Distribution)],
    values: &[f64],
    force: usize,
) -> Result<(f64, Vec<f64>), Error> {
    let mut piece = Piece::default();
    piece.fill(nominal, uncertain, 1, |_, slots| slots.copy_from_slice(values));
    let outcome = single.hang(&piece.rows(1))?;
    if outcome.state != State::Stable {
        return Err(Error::unsupported(format!("a state that is {}", outcome.state.word()), Place::root()));
    }
    let (bridle, workspace) = (single.bridle(), single.workspace());
    let Some(tension) = workspace.tensions().nth(force) else {
        // The hook bears the weight.
        let by = uncertain.iter().map(|(input, _)| if matches!(input.number(), Number::Mass(_)) { 1.0 } else { 0.0 });
        return Ok((bridle.weight(), by.collect()));
    };
    let mut derivatives = BridleDerivatives::default();
    bridle.differentiate(workspace, &mut derivatives)?;
    let row = |mut rows: Box<dyn Iterator<Item = &[f64]> + '_>, leg: usize| {
        rows.nth(force).and_then(|row| row.get(leg)).copied().unwrap_or(f64::NAN)
    };
    let rates = uncertain.iter().zip(values).map(|((input, _), value)| match input.number() {
        Number::Length(leg) => row(Box::new(derivatives.by_length()), leg),
        Number::Stiffness(leg) => {
            // By EA for a linear law; the factor is on the nominal one.
            let by = row(Box::new(derivatives.by_stiffness()), leg);
            match nominal.bridle().laws().get(leg) {
                Some(Law::Linear { ea }) => by * ea,
                _ => by / value,
            }
        }
        Number::Center { axis, .. } => derivatives
            .by_center_of_gravity()
            .get(force)
            .map_or(f64::NAN, |by| by.to_array().get(axis).copied().unwrap_or(f64::NAN)),
        Number::Mass(_) => derivatives.by_weight().get(force).copied().unwrap_or(f64::NAN),
        Number::Height(_) => 0.0,
    });
    Ok((tension, rates.collect()))
}
