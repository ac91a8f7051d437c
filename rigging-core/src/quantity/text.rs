//! Reading a text of one number and one unit.

use super::{Entered, Quantity, Unit, refusal};
use crate::error::{Error, Place, Reading};

/// The longest text that is read, in characters; the longest print has 42.
pub(super) const LONGEST_TEXT: usize = 100;

/// Reads a text of one number and one unit, such as `"18.5 t"`.
///
/// The decimal sign is a point; digits are not grouped. Symbols are case-sensitive.
///
/// # Errors
/// At the root, so that the caller puts it under its keys: [`Error::BareNumber`], [`Error::AmbiguousUnit`],
/// [`Error::WrongUnit`], [`Error::OutOfDomain`] for what is not finite or out of the quantity's range,
/// [`Error::TooLarge`], and [`Error::Malformed`] for everything that is no number with a unit.
///
/// ```
/// use rigging_core::quantity::{Force, parse};
/// assert_eq!(parse::<Force>("42 kip")?.quantity(), Force::kips(42.0));
/// let error = parse::<Force>("18.5 t").unwrap_err();
/// assert_eq!(error.code(), "wrong_unit");
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn parse<Q: Quantity>(text: &str) -> Result<Entered<Q>, Error> {
    let characters = text.chars().count();
    if characters > LONGEST_TEXT {
        let name = format!("the length of the text of a {}", Q::NAME);
        let reading = Reading::new(name, characters as f64, "characters", format!("at most {LONGEST_TEXT} characters"));
        return Err(Error::TooLarge { reading, place: Place::root() });
    }
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let (digits, rest) = split(&text);
    let rest = rest.trim_start();
    let Ok(value) = digits.parse::<f64>() else {
        return Err(refusal::no_number::<Q>(&text));
    };
    if refusal::grouped(rest) {
        return Err(refusal::grouped_digits::<Q>(&text));
    }
    let vanished = value == 0.0 && nonzero(digits);
    if !value.is_finite() || vanished {
        return Err(refusal::unrepresentable::<Q>(value, rest));
    }
    if rest.is_empty() {
        return Err(refusal::bare_number::<Q>(digits, Place::root()));
    }
    let word = normal(rest);
    let Some(unit) = known::<Q::Unit>(&word) else {
        return Err(refusal::unit::<Q>(&text, digits, &word));
    };
    let quantity = Q::from_digits(digits, value, unit);
    if quantity.checked().is_err() || (quantity.si() == 0.0 && value != 0.0 && unit.scale().offset() == 0.0) {
        return Err(Error::out_of_domain(Q::NAME, value, unit.symbol(), Q::ALLOWED, Place::root()));
    }
    Ok(Entered::from_parts(quantity, text, value, unit))
}

/// The unit that is written so, case included.
fn known<U: Unit>(word: &str) -> Option<U> {
    U::all().iter().copied().find(|unit| unit.symbol() == word || unit.spellings().contains(&word))
}

/// The decimal number at the beginning, and the rest. The number is empty where there is none.
fn split(text: &str) -> (&str, &str) {
    let bytes = text.as_bytes();
    let digits_from = |from: usize| from + bytes.iter().skip(from).take_while(|byte| byte.is_ascii_digit()).count();
    let at = |index: usize, set: &[u8]| bytes.get(index).is_some_and(|byte| set.contains(byte));
    let sign = usize::from(at(0, b"+-"));
    let mut end = digits_from(sign);
    if at(end, b".") {
        end = digits_from(end + 1);
    }
    if at(end, b"eE") {
        let exponent = end + 1 + usize::from(at(end + 1, b"+-"));
        let exponent_end = digits_from(exponent);
        if exponent_end > exponent {
            end = exponent_end;
        }
    }
    text.split_at_checked(end).unwrap_or(("", text))
}

/// Whether a number's digits before the exponent hold one other than zero.
fn nonzero(digits: &str) -> bool {
    digits.bytes().take_while(|byte| !matches!(byte, b'e' | b'E')).any(|byte| matches!(byte, b'1'..=b'9'))
}

/// A unit in plain characters: signs for degree, square and cube become letters and digits, and "the" is left out.
fn normal(unit: &str) -> String {
    unit.replace('\u{2103}', "degC")
        .replace('\u{2109}', "degF")
        .replace("° ", "deg ")
        .replace('°', "deg")
        .replace("degrees", "deg")
        .replace("degree", "deg")
        .replace('²', "2")
        .replace('³', "3")
        .replace('^', "")
        .replace(" / ", "/")
        .replace(" the ", " ")
        .trim()
        .to_owned()
}
