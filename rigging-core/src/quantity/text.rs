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
        let name = format!("the length of the text of {}", refusal::with_article(Q::NAME));
        let reading = Reading::new(name, characters as f64, "characters", format!("at most {LONGEST_TEXT} characters"));
        return Err(Error::TooLarge { reading, place: Place::root() });
    }
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let plain = text.replace('\u{2212}', "-");
    let (digits, rest) = split(&plain);
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
    if quantity.si() == 0.0 && value != 0.0 && unit.scale().offset() == 0.0 {
        return Err(refusal::unrepresentable::<Q>(value, unit.symbol()));
    }
    if quantity.checked().is_err() {
        return Err(Error::out_of_domain(Q::NAME, value, unit.symbol(), Q::ALLOWED, Place::root()));
    }
    Ok(Entered::from_parts(quantity, text, value, unit))
}

/// Reads the symbol of a unit, or another spelling of it.
///
/// # Errors
/// At the root: [`Error::AmbiguousUnit`] and [`Error::WrongUnit`], which say what to write for one of it.
///
/// ```
/// use rigging_core::quantity::{Force, ForceUnit, unit};
/// assert_eq!(unit::<Force>("kips")?, ForceUnit::Kip);
/// assert_eq!(unit::<Force>("t").unwrap_err().code(), "wrong_unit");
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn unit<Q: Quantity>(symbol: &str) -> Result<Q::Unit, Error> {
    if symbol.chars().count() > LONGEST_TEXT {
        let reading = Reading::new(
            "the length of the symbol of a unit",
            symbol.chars().count() as f64,
            "characters",
            format!("at most {LONGEST_TEXT} characters"),
        );
        return Err(Error::TooLarge { reading, place: Place::root() });
    }
    let word = normal(&symbol.split_whitespace().collect::<Vec<_>>().join(" "));
    known::<Q::Unit>(&word).ok_or_else(|| refusal::unit::<Q>(&word, "1", &word))
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

#[cfg(test)]
mod tests {
    use super::super::{
        Acceleration, Angle, ChokeAngle, Density, Duration, Force, ForceUnit, Fraction, LegAngle, Length, LineLoad,
        Mass, MassUnit, Pressure, Speed, Stiffness, Temperature,
    };
    use super::*;

    fn same<Q: Quantity + std::fmt::Debug>(quantity: Q, texts: &[&str]) {
        for text in texts {
            let read = parse::<Q>(text).unwrap();
            assert_eq!(read.quantity(), quantity, "{text}");
            assert_eq!(read.si().to_bits(), quantity.si().to_bits(), "{text}");
        }
    }

    #[test]
    fn a_practitioners_spellings_are_read() {
        same(
            Mass::tonnes(18.5),
            &["18.5 t", "18.5t", " 18.50  tonnes ", "18.5 tonne", "18.5 metric tons", "18500 kg", "1.85e4kg"],
        );
        same(Mass::short_tons(9.5), &["9.5 short ton", "9.5 short tons", "9.5short  tons", "19000 lb", "19e3 lbs"]);
        same(Mass::long_tons(2.0), &["2 long ton", "2 long tons", "4480 lb"]);
        same(Force::kips(42.0), &["42 kip", "42kips", "42000 lbf", "+42 kip"]);
        same(Force::long_tons_force(2.0), &["2 long tonf", "4480 lbf"]);
        same(Force::short_tons_force(2.0), &["2 short tonf", "4000 lbf", "4 kip"]);
        same(Force::kilonewtons(1e3), &["1e3 kN", "1E+3 kN", "1 MN", "1000000 N", "1000kN"]);
        same(Force::tonnes_force(2.0), &["2 tf", "2000 kgf", "2 tonnes-force"]);
        same(Length::meters(-0.12), &["-0.12 m", "-120 mm", "-12 cm", "\u{2212}0.12 m", "-.12 metres"]);
        same(Length::meters(6.0), &["6.00 m", "6 m", "6. m", "6m", "6 meters", "\u{a0}6\u{a0}m"]);
        same(Length::feet(6.0), &["6 ft", "72 in", "6 feet", "72 inches"]);
        same(
            Temperature::celsius(20.0),
            &["20 degC", "20 °C", "20°C", "20 ℃", "20 C", "68 degF", "68 °F", "68℉", "293.15 K"],
        );
        same(Angle::degrees(30.0), &["30 deg", "30°", "30 °", "30 degrees", "30 degree"]);
        same(Stiffness::kilonewtons_per_meter(4.5), &["4.5 kN/m", "4.5 N/mm", "4500 N/m", "4.5 kN / m"]);
        same(LineLoad::pounds_force_per_foot(12.0), &["12 lbf/ft", "1 lbf/in"]);
        same(Pressure::megapascals(48.0), &["48 MPa", "48 N/mm2", "48 N/mm²", "48000 kPa", "48e6 Pa", "48 N/mm^2"]);
        same(Density::tonnes_per_cubic_meter(7.85), &["7.85 t/m3", "7850 kg/m³", "7850 kg/m^3"]);
        same(Duration::hours(1.5), &["1.5 h", "90 min", "5400 s", "0.0625 d", "1.5 hr", "5400 sec"]);
        same(Acceleration::meters_per_second_squared(9.81), &["9.81 m/s2", "9.81 m/s²", "9.81 m/s^2"]);
        same(Speed::meters_per_second(10.0), &["10 m/s", "36 km/h"]);
        same(Speed::knots(20.0), &["20 knots", "20 knot"]);
        same(ChokeAngle::degrees_choke(105.0), &["105 deg choke", "105° choke"]);
        same(Fraction::from_si(0.03), &["3 %", "3%", "3 percent", "0.3e1 %", "300e-2 %"]);
        for text in [
            "27.5 deg from vertical",
            "27.5° from the vertical",
            "27.5 degrees to vertical",
            "62.5 deg from horizontal",
            "55 deg included",
            "55° included angle",
        ] {
            assert_eq!(parse::<LegAngle>(text).unwrap().quantity(), LegAngle::degrees_from_vertical(27.5), "{text}");
        }
    }

    #[test]
    fn value_and_unit_stay_as_entered() {
        let mass = parse::<Mass>("  19.0   short tons ").unwrap();
        assert_eq!((mass.text().as_str(), mass.value(), mass.unit()), ("19.0 short tons", 19.0, MassUnit::ShortTon));
        let force = parse::<Force>("-42e1kip").unwrap();
        assert_eq!((force.text().as_str(), force.value(), force.unit()), ("-42e1kip", -420.0, ForceUnit::Kip));
    }

    fn every_spelling<Q: Quantity>() -> usize {
        let mut read = 0;
        for unit in Q::Unit::all() {
            for spelling in std::iter::once(&unit.symbol()).chain(unit.spellings()) {
                let entered = parse::<Q>(&format!("1 {spelling}")).unwrap();
                assert_eq!(entered.unit(), *unit, "{spelling}");
                read += 1;
            }
        }
        read
    }

    #[test]
    fn every_spelling_names_one_unit() {
        let read = every_spelling::<Length>()
            + every_spelling::<Mass>()
            + every_spelling::<Force>()
            + every_spelling::<Angle>()
            + every_spelling::<Temperature>()
            + every_spelling::<Stiffness>()
            + every_spelling::<LineLoad>()
            + every_spelling::<Pressure>()
            + every_spelling::<Density>()
            + every_spelling::<Duration>()
            + every_spelling::<Acceleration>()
            + every_spelling::<Speed>()
            + every_spelling::<LegAngle>()
            + every_spelling::<ChokeAngle>()
            + every_spelling::<Fraction>();
        let listed: usize = super::super::units().map(|row| 1 + row.spellings.len()).sum();
        println!("{read} spellings read, 0 skipped");
        assert_eq!((read, listed), (SPELLINGS, SPELLINGS));
    }

    /// Symbols and other spellings of all quantities together.
    const SPELLINGS: usize = 129;

    #[test]
    fn no_text_of_a_few_characters_makes_it_panic() {
        const PIECES: [&str; 22] = [
            "1", "0", ".", "e", "E", "+", "-", " ", "kN", "t", "°", "²", "/", "m", "M", "'", ",", "\u{2212}", "∞",
            "nan", "deg", "\0",
        ];
        let (mut read, mut refused) = (0, 0);
        for first in PIECES {
            for second in PIECES {
                for third in PIECES {
                    for fourth in PIECES {
                        let text = [first, second, third, fourth].concat();
                        match parse::<Length>(&text) {
                            Ok(length) => {
                                read += 1;
                                assert!(length.si().is_finite(), "{text}");
                            }
                            Err(_) => refused += 1,
                        }
                        assert!(parse::<LegAngle>(&text).is_err(), "{text}");
                    }
                }
            }
        }
        println!("{read} read, {refused} refused");
        assert_eq!((read, refused, read + refused), (126, 234_130, 22usize.pow(4)));
    }
}
