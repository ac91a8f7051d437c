//! Rows of any arrangement: the numbers of its system, and derivatives by one solution of linear equations each.

use super::{Distribution, Input};
use crate::equilibrium::certificate::State;
use crate::equilibrium::nearby::Outcomes;
use crate::equilibrium::network::{Nominal, Single};
use crate::equilibrium::sensitivity::{Parameter, differentiate};
use crate::error::{Error, Place};
use crate::system::{Number, System};

/// The numbers of a state: the nominal ones, but for the uncertain inputs. A weight is told in N, a mass stands in kg.
fn write(system: &System, uncertain: &[(Input, Distribution)], values: &[f64], numbers: &mut [f64]) {
    for ((input, _), value) in uncertain.iter().zip(values) {
        let number = input.number();
        if let Some(slot) = system.place_of(number).and_then(|place| numbers.get_mut(place)) {
            *slot = value / unit(number, system);
        }
    }
}

/// How much of an input's unit one of the number's is.
fn unit(number: Number, system: &System) -> f64 {
    if let Number::Mass(_) = number { system.gravity() } else { 1.0 }
}

/// Balances `count` rows; `value` tells the uncertain inputs of a row.
pub(super) fn balance(
    nominal: &Nominal,
    uncertain: &[(Input, Distribution)],
    count: usize,
    mut value: impl FnMut(usize, &mut [f64]),
    mut out: Outcomes<'_>,
) {
    let mut single = Single::new(nominal);
    let mut numbers = nominal.numbers().to_vec();
    let mut values = vec![0.0; uncertain.len()];
    for row in 0..count {
        value(row, &mut values);
        write(nominal.system(), uncertain, &values, &mut numbers);
        let found = single.hang(&numbers).map(|outcome| (outcome.state, single.up()));
        let is_lift = out.put_single(row, found, single.tensions());
        out.put_hooks(row, single.pulls().map(|pull| if is_lift { pull } else { f64::NAN }));
    }
}

/// A force at these values of the uncertain inputs, and its derivative by each of them.
pub(super) fn look(
    single: &mut Single<'_>,
    uncertain: &[(Input, Distribution)],
    values: &[f64],
    force: usize,
) -> Result<(f64, Vec<f64>), Error> {
    let mut numbers = single.nominal().numbers().to_vec();
    write(single.nominal().system(), uncertain, values, &mut numbers);
    let outcome = single.hang(&numbers)?;
    if outcome.state != State::Stable {
        return Err(Error::unsupported(format!("a state that is {}", outcome.state.word()), Place::root()));
    }
    let (system, certificate) = (single.system(), single.certificate(&outcome));
    let derivatives = differentiate(system, &certificate)?;
    let hook = force.checked_sub(system.members().len());
    let value = match hook {
        Some(hook) => certificate.hooks.get(hook).map(|pull| pull.length()),
        None => certificate.members.get(force).map(|member| member.tension),
    };
    let rates = uncertain.iter().zip(values).map(|((input, _), value)| {
        let number = input.number();
        let found = derivatives.of(parameter(number))?;
        let rate = match hook {
            Some(hook) => found.hooks.get(hook).map(|hook| hook.size),
            None => found.tensions.get(force).copied(),
        };
        let scale = match number {
            // By a factor on the law as it is in this state; the input is one on the nominal law.
            Number::Stiffness(_) => *value,
            _ => unit(number, system),
        };
        Ok(rate.unwrap_or(f64::NAN) / scale)
    });
    Ok((value.unwrap_or(f64::NAN), rates.collect::<Result<_, Error>>()?))
}

fn parameter(number: Number) -> Parameter {
    match number {
        Number::Length(member) => Parameter::Length { member },
        Number::Stiffness(member) => Parameter::LawScale { member },
        Number::Center { body, axis } => Parameter::CenterOfGravity { body, axis },
        Number::Mass(body) => Parameter::Mass { body },
        Number::Height(hook) => Parameter::Hook { hook, axis: 2 },
    }
}
