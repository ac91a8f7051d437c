//! Intermediate results by name, for relations that a document derives in several lines.

use super::relation::{Operand, Pick, Product};
use super::unit::Unit;
use crate::text::Text;

/// One step: a named result.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Step {
    pub(super) symbol: Text,
    pub(super) name: Text,
    pub(super) operation: Operation,
}

/// The one operation of a step.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Operation {
    /// `sum`, of which `less` is taken off.
    Sum { terms: Vec<Operand>, less: Vec<Operand> },
    /// `times` and `divided_by`.
    Product(Product),
    /// `square root`.
    SquareRoot(Operand),
    /// `sine`, `cosine` and `arcsine`, with the angle in this unit.
    Angle { function: Function, of: Operand, unit: Unit },
    /// `greatest` and `least`.
    Pick { pick: Pick, of: Vec<Operand> },
}

/// A function of or to an angle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Function {
    Sine,
    Cosine,
    Arcsine,
}

impl Operation {
    /// What it is drawn from.
    pub(super) fn operands(&self) -> Vec<Operand> {
        match self {
            Self::Sum { terms, less } => [terms.as_slice(), less].concat(),
            Self::Product(Product { times, divided_by }) => [times.as_slice(), divided_by].concat(),
            Self::SquareRoot(of) | Self::Angle { of, .. } => vec![*of],
            Self::Pick { of, .. } => of.clone(),
        }
    }

    /// The result, from the values of the operands; not finite where there is none.
    pub(super) fn at<E>(&self, value: impl Fn(&Operand) -> Result<f64, E>) -> Result<f64, E> {
        let all = |operands: &[Operand]| operands.iter().map(&value).collect::<Result<Vec<f64>, E>>();
        Ok(match self {
            Self::Sum { terms, less } => all(terms)?.iter().sum::<f64>() - all(less)?.iter().sum::<f64>(),
            Self::Product(Product { times, divided_by }) => {
                all(times)?.iter().product::<f64>() / all(divided_by)?.iter().product::<f64>()
            }
            Self::SquareRoot(of) => value(of)?.sqrt(),
            Self::Angle { function, of, unit } => {
                let of = value(of)?;
                match function {
                    Function::Sine => unit.in_si(of).sin(),
                    Function::Cosine => unit.in_si(of).cos(),
                    Function::Arcsine => unit.out_of_si(of.asin()),
                }
            }
            Self::Pick { pick, of } => pick.among(&all(of)?).map_or(f64::NAN, |(_, value)| value),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::error::Place;
    use crate::rules::Dimension;

    #[test]
    fn operations_worked_by_hand() {
        let number = Operand::Number;
        let at = |operation: Operation| {
            operation.at(|operand| match operand {
                Operand::Number(number) => Ok(*number),
                other => Err(*other),
            })
        };
        let degrees = Unit::measuring(Dimension::Angle, "deg", Place::root).unwrap();
        let angle = |function, of| at(Operation::Angle { function, of: number(of), unit: degrees }).unwrap();
        let sum = Operation::Sum { terms: vec![number(5.0), number(2.0)], less: vec![number(4.0)] };
        assert_eq!(at(sum), Ok(3.0));
        let product = Product { times: vec![number(6.0), number(2.0)], divided_by: vec![number(4.0)] };
        assert_eq!(at(Operation::Product(product)), Ok(3.0));
        assert_eq!(at(Operation::SquareRoot(number(9.0))), Ok(3.0));
        assert!(at(Operation::SquareRoot(number(-1.0))).unwrap().is_nan());
        assert!((angle(Function::Sine, 30.0) - 0.5).abs() < 1e-15);
        assert!((angle(Function::Cosine, 60.0) - 0.5).abs() < 1e-15);
        assert!((angle(Function::Arcsine, 0.5) - 30.0).abs() < 1e-13);
        assert!(angle(Function::Arcsine, 1.5).is_nan());
        let of = vec![number(3.0), number(1.0), number(2.0)];
        assert_eq!(at(Operation::Pick { pick: Pick::Greatest, of: of.clone() }), Ok(3.0));
        assert_eq!(at(Operation::Pick { pick: Pick::Least, of }), Ok(1.0));
        assert_eq!(at(Operation::SquareRoot(Operand::Input(2))), Err(Operand::Input(2)));
    }
}
