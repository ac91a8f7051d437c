//! What to say of a text that is not read: each refusal tells what to write instead.

use super::{Quantity, Unit, units};
use crate::error::{Error, Place, nearest};

/// A number without its unit.
pub(super) fn bare_number<Q: Quantity>(digits: &str, place: Place) -> Error {
    let write = alternatives(digits, Q::Unit::all().iter().map(|unit| unit.symbol()));
    Error::BareNumber { text: digits.to_owned(), write, place }
}

/// A text that does not begin with a number.
pub(super) fn no_number<Q: Quantity>(text: &str) -> Error {
    let word = text.trim_start_matches(['+', '-']).split(' ').next().unwrap_or("");
    match word.to_lowercase().as_str() {
        "nan" => unrepresentable::<Q>(f64::NAN, ""),
        "inf" | "infinity" | "∞" => {
            let infinite = if text.starts_with('-') { f64::NEG_INFINITY } else { f64::INFINITY };
            unrepresentable::<Q>(infinite, "")
        }
        _ => {
            let what =
                format!("\"{text}\" does not begin with a number; write a {} such as \"{}\"", Q::NAME, Q::EXAMPLE);
            Error::malformed(what, Place::root())
        }
    }
}

/// Whether what follows a number shows that its digits were grouped, or that its decimal sign is a comma.
pub(super) fn grouped(rest: &str) -> bool {
    let mut characters = rest.chars();
    match characters.next() {
        Some(',' | '_' | '.' | '\'' | '’' | '·') => characters.next().is_some_and(|next| next.is_ascii_digit()),
        Some(first) => first.is_ascii_digit(),
        None => false,
    }
}

/// Digits in groups, or a decimal comma.
pub(super) fn grouped_digits<Q: Quantity>(text: &str) -> Error {
    let what = format!(
        "\"{text}\" holds more than one number, or digits in groups, or a decimal comma; write one number, without \
         separators and with a decimal point, such as \"{}\"",
        Q::EXAMPLE
    );
    Error::malformed(what, Place::root())
}

/// A number that no double holds.
pub(super) fn unrepresentable<Q: Quantity>(value: f64, unit: &str) -> Error {
    let allowed = if value == 0.0 { "zero, or at least 1e-300 in size" } else { "finite" };
    Error::out_of_domain(Q::NAME, value, unit, allowed, Place::root())
}

/// A unit that is not one of the quantity's.
pub(super) fn unit<Q: Quantity>(text: &str, digits: &str, word: &str) -> Error {
    let text = format!("\"{text}\"");
    if let Some(symbols) = ambiguous(Q::NAME, word) {
        return Error::AmbiguousUnit {
            text,
            write: alternatives(digits, symbols.iter().copied()),
            place: Place::root(),
        };
    }
    let own = Q::Unit::all().iter().map(|unit| unit.symbol());
    let list = listed(own.clone(), "or");
    let name = Q::NAME;
    let write = if let Some((symbol, why)) = counterpart(name, word) {
        format!("\"{digits} {symbol}\" if that is meant: {why}; a {name} is in {list}")
    } else if let Some(other) = units().find(|row| row.symbol == word || row.spellings.contains(&word)) {
        format!("a {name} in {list}; \"{word}\" is a unit of {}", other.quantity)
    } else {
        match likely::<Q>(word) {
            Some(symbol) => format!("\"{digits} {symbol}\" if that is meant; a {name} is in {list}"),
            None => format!("a {name} in {list}"),
        }
    };
    Error::WrongUnit { text, write, place: Place::root() }
}

/// Words that mean several units of the quantity, and the units they may mean.
fn ambiguous(quantity: &str, word: &str) -> Option<&'static [&'static str]> {
    let ton = matches!(word.to_lowercase().as_str(), "ton" | "tons" | "tn" | "mt" | "mton" | "mtons") || word == "T";
    match (quantity, word) {
        ("mass", _) if ton => Some(&["t", "short ton", "long ton"]),
        ("force", "tonf" | "tonsf" | "ton-force" | "tons-force" | "Tf" | "TF") => {
            Some(&["tf", "short tonf", "long tonf"])
        }
        ("force", _) if ton => Some(&["tf", "short tonf", "long tonf"]),
        ("temperature", "deg") => Some(&["degC", "degF"]),
        ("leg angle", "deg") => Some(&["deg from vertical", "deg from horizontal", "deg included"]),
        ("leg angle", "rad") => Some(&["rad from vertical"]),
        ("choke angle", "deg") => Some(&["deg choke"]),
        ("choke angle", "rad") => Some(&["rad choke"]),
        _ => None,
    }
}

/// A unit of the quantity that is probably meant by a unit of another one, and why the two differ.
fn counterpart(quantity: &str, word: &str) -> Option<(&'static str, &'static str)> {
    const MASS: &str = "a mass is not a force";
    match (quantity, word) {
        ("force", "kg") => Some(("kgf", MASS)),
        ("force", "t" | "tonne" | "tonnes" | "metric ton" | "metric tons") => Some(("tf", MASS)),
        ("force", "lb" | "lbs" | "pound" | "pounds" | "#") => Some(("lbf", MASS)),
        ("force", "short ton" | "short tons") => Some(("short tonf", MASS)),
        ("force", "long ton" | "long tons") => Some(("long tonf", MASS)),
        ("force", "klb" | "klbs" | "klbf" | "k") => Some(("kip", "1000 lbf is a kip")),
        ("mass", "kgf") => Some(("kg", MASS)),
        ("mass", "tf") => Some(("t", MASS)),
        ("mass", "lbf") => Some(("lb", MASS)),
        ("mass", "short tonf") => Some(("short ton", MASS)),
        ("mass", "long tonf") => Some(("long ton", MASS)),
        ("stiffness" | "line load", "lb/ft" | "lbs/ft") => Some(("lbf/ft", MASS)),
        ("stiffness" | "line load", "lb/in" | "lbs/in") => Some(("lbf/in", MASS)),
        ("length", "'" | "′" | "’") => Some(("ft", "a mark is no unit")),
        ("length", "\"" | "″" | "”" | "''") => Some(("in", "a mark is no unit")),
        _ => None,
    }
}

/// The unit nearest to the word. A prefix of milli is never taken for mega, nor the other way round.
fn likely<Q: Quantity>(word: &str) -> Option<String> {
    let prefix = |text: &str| text.chars().next().filter(|first| matches!(first, 'm' | 'M'));
    let candidates = Q::Unit::all().iter().flat_map(|unit| {
        std::iter::once(unit.symbol()).chain(unit.spellings().iter().copied()).map(|spelling| (spelling, unit.symbol()))
    });
    let sound = candidates.filter(|(spelling, _)| {
        !(spelling.eq_ignore_ascii_case(word) && prefix(spelling) != prefix(word) && prefix(word).is_some())
    });
    let sound: Vec<(&str, &str)> = sound.collect();
    let spelling = nearest(word, sound.iter().map(|(spelling, _)| *spelling))?;
    sound.iter().find(|(known, _)| *known == spelling).map(|(_, symbol)| (*symbol).to_owned())
}

/// `"18.5 t" (tonne), "18.5 short ton" or "18.5 long ton"`.
fn alternatives<'a>(digits: &str, symbols: impl Iterator<Item = &'a str>) -> String {
    listed(
        symbols.map(|symbol| match symbol {
            "t" => format!("\"{digits} t\" (tonne)"),
            "tf" => format!("\"{digits} tf\" (tonne-force)"),
            _ => format!("\"{digits} {symbol}\""),
        }),
        "or",
    )
}

/// `a, b or c`.
fn listed(items: impl Iterator<Item = impl Into<String>>, last: &str) -> String {
    let mut items: Vec<String> = items.map(Into::into).collect();
    let Some(end) = items.pop() else { return String::new() };
    if items.is_empty() { end } else { format!("{} {last} {end}", items.join(", ")) }
}
