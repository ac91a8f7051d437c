//! What to say of a text that is not read: each refusal tells what to write instead.

use super::{Quantity, Unit, units};
use crate::error::{Error, Place};

/// A number without its unit.
pub(super) fn bare_number<Q: Quantity>(digits: &str, place: Place) -> Error {
    let write = match Q::Unit::all() {
        // The number as it stands is not taken for a percentage: 3, 0.03 and 1.03 are all written for 3 %.
        [only] => format!("{} in {}, such as \"{}\"", with_article(Q::NAME), only.symbol(), Q::EXAMPLE),
        units => alternatives(digits, units.iter().map(|unit| unit.symbol())),
    };
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
            let what = format!(
                "\"{text}\" does not begin with a number; write {} such as \"{}\"",
                with_article(Q::NAME),
                Q::EXAMPLE
            );
            Error::malformed(what, Place::root())
        }
    }
}

/// Whether what follows a number holds another one: grouped digits, a decimal comma, a fraction, feet and inches.
pub(super) fn grouped(rest: &str) -> bool {
    let mut characters = rest.chars();
    let at_once = match characters.next() {
        Some(',' | '_' | '.' | '\'' | '’' | '·' | '/') => {
            characters.next().is_some_and(|next| next.is_ascii_digit())
        }
        Some(first) => first.is_ascii_digit(),
        None => false,
    };
    at_once || rest.split(' ').skip(1).any(|word| word.starts_with(|first: char| first.is_ascii_digit()))
}

/// A text with a second number.
pub(super) fn grouped_digits<Q: Quantity>(text: &str) -> Error {
    let what = format!(
        "\"{text}\" holds more than one number, digits in groups, a fraction or a decimal comma; write one number with a \
         decimal point, such as \"{}\"",
        Q::EXAMPLE
    );
    Error::malformed(what, Place::root())
}

/// A number that no double holds.
pub(super) fn unrepresentable<Q: Quantity>(value: f64, unit: &str) -> Error {
    let allowed = if value.abs() < 1.0 { "zero, or at least 1e-300 in SI" } else { "finite" };
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
    let list = listed(Q::Unit::all().iter().map(|unit| unit.symbol()));
    let what = with_article(Q::NAME);
    let write = if let Some((example, why)) = counterpart(Q::NAME, word) {
        let example = example.replace('#', digits);
        format!("\"{example}\" if that is meant: {why}; {what} is in {list}")
    } else if let Some(other) = units().find(|row| row.symbol == word || row.spellings.contains(&word)) {
        let never =
            if matches!((Q::NAME, other.quantity), ("mass", "force")) { ", and a mass is not a force" } else { "" };
        format!("{what} in {list}; \"{word}\" is a unit of {}{never}", other.quantity)
    } else {
        match likely::<Q>(word) {
            Some(symbol) => format!("\"{digits} {symbol}\" if that is meant; {what} is in {list}"),
            None => format!("{what} in {list}"),
        }
    };
    Error::WrongUnit { text, write, place: Place::root() }
}

/// `a length`, `an angle`.
pub(super) fn with_article(name: &str) -> String {
    format!("{} {name}", if name.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" })
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

/// What is probably meant by a unit of another quantity (`#` stands for the number), and why the two differ.
fn counterpart(quantity: &str, word: &str) -> Option<(&'static str, &'static str)> {
    const MASS: &str = "a mass is not a force";
    match (quantity, word) {
        ("force", "kg") => Some(("# kgf", MASS)),
        ("force", "t" | "tonne" | "tonnes" | "metric ton" | "metric tons") => Some(("# tf", MASS)),
        ("force", "lb" | "lbs" | "pound" | "pounds") => Some(("# lbf", MASS)),
        ("force", "short ton" | "short tons") => Some(("# short tonf", MASS)),
        ("force", "long ton" | "long tons") => Some(("# long tonf", MASS)),
        ("force", "klb" | "klbs" | "klbf" | "k") => Some(("# kip", "1000 lbf is a kip")),
        ("mass", "kgf") => Some(("# kg", MASS)),
        ("mass", "tf") => Some(("# t", MASS)),
        ("mass", "lbf") => Some(("# lb", MASS)),
        ("mass", "short tonf") => Some(("# short ton", MASS)),
        ("mass", "long tonf") => Some(("# long ton", MASS)),
        ("mass", "klb" | "klbs") => Some(("1000 lb", "thousands of pounds are written in pounds")),
        ("stiffness" | "line load", "lb/ft" | "lbs/ft") => Some(("# lbf/ft", MASS)),
        ("stiffness" | "line load", "lb/in" | "lbs/in") => Some(("# lbf/in", MASS)),
        ("length", "'" | "′" | "’") => Some(("# ft", "a mark is no unit")),
        ("length", "\"" | "″" | "”" | "''") => Some(("# in", "a mark is no unit")),
        _ => None,
    }
}

/// The unit that is meant beyond doubt: the word in other letter case, or a long word with one slip of the pen. Nothing
/// else is offered, since the nearest symbol is often another magnitude (ksi and psi, g and kg, daN and MN).
fn likely<Q: Quantity>(word: &str) -> Option<&'static str> {
    let spelled = |unit: &Q::Unit, meant: &dyn Fn(&str) -> bool| {
        meant(unit.symbol()) || unit.spellings().iter().any(|spelling| meant(spelling))
    };
    let other_case = |known: &str| {
        // "mN" is not "MN": where the rest is the same, a first m or M is a prefix.
        known.eq_ignore_ascii_case(word) && known.get(1..) != word.get(1..) || one_letter(known, word)
    };
    let slip = |known: &str| {
        let letters = word.chars().all(|letter| letter.is_alphabetic() || letter == ' ');
        letters && word.chars().count() > 4 && one_slip(known, word)
    };
    let find = |meant: &dyn Fn(&str) -> bool| Q::Unit::all().iter().find(|unit| spelled(unit, meant));
    find(&other_case).or_else(|| find(&slip)).map(|unit| unit.symbol())
}

/// Whether the two differ in the case of their first letter alone, and that letter is no prefix of magnitude.
fn one_letter(known: &str, word: &str) -> bool {
    known.eq_ignore_ascii_case(word) && (known.len() == 1 || !known.starts_with(['m', 'M']))
}

/// Whether one letter is added, left out, changed or swapped with its neighbor.
fn one_slip(known: &str, word: &str) -> bool {
    let (known, word): (Vec<char>, Vec<char>) = (known.chars().collect(), word.chars().collect());
    let ahead = known.iter().zip(&word).take_while(|(a, b)| a == b).count();
    let room = known.len().min(word.len()) - ahead;
    let behind = known.iter().rev().zip(word.iter().rev()).take(room).take_while(|(a, b)| a == b).count();
    let rest = |letters: &[char]| letters.iter().skip(ahead).take(letters.len() - ahead - behind).copied().collect();
    let (known_rest, word_rest): (Vec<char>, Vec<char>) = (rest(&known), rest(&word));
    let swapped = known_rest.len() == 2 && known_rest.iter().rev().eq(word_rest.iter());
    swapped || (known_rest.len() <= 1 && word_rest.len() <= 1)
}

/// `"18.5 t" (tonne), "18.5 short ton" or "18.5 long ton"`.
fn alternatives<'a>(digits: &str, symbols: impl Iterator<Item = &'a str>) -> String {
    listed(symbols.map(|symbol| match symbol {
        "t" => format!("\"{digits} t\" (tonne)"),
        "tf" => format!("\"{digits} tf\" (tonne-force)"),
        _ => format!("\"{digits} {symbol}\""),
    }))
}

/// `a, b or c`.
fn listed(items: impl Iterator<Item = impl Into<String>>) -> String {
    let mut items: Vec<String> = items.map(Into::into).collect();
    let Some(end) = items.pop() else { return String::new() };
    if items.is_empty() { end } else { format!("{} or {end}", items.join(", ")) }
}

#[cfg(test)]
mod tests {
    use crate::quantity::{
        Acceleration, Angle, ChokeAngle, Density, Duration, Force, Fraction, LegAngle, Length, LineLoad, Mass,
        Pressure, Quantity, Stiffness, Temperature, parse,
    };

    fn refused<Q: Quantity>(text: &str) -> String {
        let error = parse::<Q>(text).err().unwrap();
        assert_eq!(error.place().as_str(), "");
        format!("{}: {}", error.code(), error.reason())
    }

    const LENGTHS: &str = "m, mm, cm, ft or in";
    const MASSES: &str = "kg, t, lb, short ton or long ton";
    const FORCES: &str = "N, kN, MN, kgf, tf, lbf, kip, short tonf or long tonf";

    #[test]
    fn a_bare_number_is_told_every_unit_it_may_have() {
        let write = |digits: &str| format!("bare_number: {digits} has no unit; write ");
        let lengths = write("6.0") + r#""6.0 m", "6.0 mm", "6.0 cm", "6.0 ft" or "6.0 in""#;
        assert_eq!(refused::<Length>("6.0"), lengths);
        let masses = write("1e3") + r#""1e3 kg", "1e3 t" (tonne), "1e3 lb", "1e3 short ton" or "1e3 long ton""#;
        assert_eq!(refused::<Mass>(" 1e3 "), masses);
        // 1.03 is written for 3 %; "1.03 %" would be wrong advice.
        assert_eq!(refused::<Fraction>("1.03"), write("1.03") + r#"a fraction in %, such as "3 %""#);
    }

    #[test]
    fn a_ton_is_three_things() {
        for word in ["ton", "tons", "Ton", "TONS", "T", "tn", "MT", "mt"] {
            for text in [format!("18.5 {word}"), format!("18.5{word}")] {
                let mass = r#"can mean several things; write "18.5 t" (tonne), "18.5 short ton" or "18.5 long ton""#;
                assert_eq!(refused::<Mass>(&text), format!("ambiguous_unit: \"{text}\" {mass}"));
                let force = "can mean several things; write \"18.5 tf\" (tonne-force), \"18.5 short tonf\" or \
                             \"18.5 long tonf\"";
                assert_eq!(refused::<Force>(&text), format!("ambiguous_unit: \"{text}\" {force}"));
            }
        }
        for word in ["tonf", "tonsf", "ton-force", "tons-force", "Tf", "TF"] {
            assert!(refused::<Force>(&format!("2 {word}")).starts_with("ambiguous_unit: "), "{word}");
        }
    }

    #[test]
    fn a_mass_is_not_a_force() {
        let why = format!("if that is meant: a mass is not a force; a force is in {FORCES}");
        for (mass, force) in [
            ("kg", "kgf"),
            ("t", "tf"),
            ("tonnes", "tf"),
            ("metric tons", "tf"),
            ("lb", "lbf"),
            ("lbs", "lbf"),
            ("short ton", "short tonf"),
            ("long tons", "long tonf"),
        ] {
            let told = format!("wrong_unit: \"5 {mass}\" does not fit here; write \"5 {force}\" {why}");
            assert_eq!(refused::<Force>(&format!("5 {mass}")), told);
        }
        let why = format!("if that is meant: a mass is not a force; a mass is in {MASSES}");
        for (force, mass) in
            [("kgf", "kg"), ("tf", "t"), ("lbf", "lb"), ("short tonf", "short ton"), ("long tonf", "long ton")]
        {
            let told = format!("wrong_unit: \"5 {force}\" does not fit here; write \"5 {mass}\" {why}");
            assert_eq!(refused::<Mass>(&format!("5 {force}")), told);
        }
        let told = "does not fit here; write a mass in kg, t, lb, short ton or long ton; \"kip\" is a unit of force, and a \
                    mass is not a force";
        assert_eq!(refused::<Mass>("42 kip"), format!("wrong_unit: \"42 kip\" {told}"));
        for wrong in ["5 lb/ft", "5 lbs/ft"] {
            assert!(refused::<LineLoad>(wrong).contains("write \"5 lbf/ft\" if that is meant: a mass is not a force"));
        }
        for wrong in ["5 lb/in", "5 lbs/in"] {
            assert!(refused::<Stiffness>(wrong).contains("write \"5 lbf/in\" if that is meant: a mass is not a force"));
        }
    }

    #[test]
    fn thousands_of_pounds_are_named() {
        for word in ["klb", "klbs", "klbf", "k"] {
            assert!(refused::<Force>(&format!("42 {word}")).contains("write \"42 kip\" if that is meant: 1000 lbf"));
        }
        for word in ["klb", "klbs"] {
            assert!(refused::<Mass>(&format!("42 {word}")).contains("write \"1000 lb\" if that is meant"), "{word}");
        }
    }

    #[test]
    fn a_leg_angle_says_from_where() {
        for text in ["30 deg", "30°", "30 degrees"] {
            let told = "can mean several things; write \"30 deg from vertical\", \"30 deg from horizontal\" or \
                        \"30 deg included\"";
            assert_eq!(refused::<LegAngle>(text), format!("ambiguous_unit: \"{text}\" {told}"));
        }
        assert!(refused::<LegAngle>("0.5 rad").ends_with("write \"0.5 rad from vertical\""));
        assert!(refused::<ChokeAngle>("105 deg").ends_with("can mean several things; write \"105 deg choke\""));
        assert!(refused::<ChokeAngle>("2 rad").ends_with("can mean several things; write \"2 rad choke\""));
        assert!(refused::<LegAngle>("30 deg choke").ends_with("\"deg choke\" is a unit of choke angle"));
        assert!(
            refused::<ChokeAngle>("30 deg from vertical").ends_with("\"deg from vertical\" is a unit of leg angle")
        );
        let told = "wrong_unit: \"30 deg included\" does not fit here; write an angle in rad or deg; \"deg included\" is a \
                    unit of leg angle";
        assert_eq!(refused::<Angle>("30 deg included"), told);
        assert!(refused::<Temperature>("20 °").ends_with("can mean several things; write \"20 degC\" or \"20 degF\""));
    }

    #[test]
    fn another_letter_case_or_one_slip_is_put_right() {
        let put_right = |text: &str, told: String, write: &str| {
            assert!(
                told.starts_with("wrong_unit: ") && told.contains(&format!("write \"{write}\" if")),
                "{text}: {told}"
            );
        };
        put_right("5 KN", refused::<Force>("5 KN"), "5 kN");
        put_right("5 Kg", refused::<Mass>("5 Kg"), "5 kg");
        put_right("5 LBS", refused::<Mass>("5 LBS"), "5 lb");
        put_right("5 MM", refused::<Length>("5 MM"), "5 mm");
        put_right("5 M", refused::<Length>("5 M"), "5 m");
        put_right("5 metrs", refused::<Length>("5 metrs"), "5 m");
        put_right("5 tonnse", refused::<Mass>("5 tonnse"), "5 t");
        put_right("5 shortton", refused::<Mass>("5 shortton"), "5 short ton");
        put_right("5 deg from vertcal", refused::<LegAngle>("5 deg from vertcal"), "5 deg from vertical");
        put_right("5'", refused::<Length>("5'"), "5 ft");
        put_right("5 \"", refused::<Length>("5 \""), "5 in");
    }

    #[test]
    fn another_magnitude_is_never_offered() {
        let plain = |told: String| assert!(told.starts_with("wrong_unit: ") && !told.contains("is meant"), "{told}");
        plain(refused::<Force>("5 mN"));
        plain(refused::<Force>("5 daN"));
        plain(refused::<Force>("5 GN"));
        plain(refused::<Pressure>("5 mPa"));
        plain(refused::<Pressure>("5 kpsi"));
        plain(refused::<Pressure>("5 bar"));
        plain(refused::<Mass>("5 g"));
        plain(refused::<Mass>("5 mg"));
        plain(refused::<Mass>("5 milligram"));
        plain(refused::<Length>("5 km"));
        plain(refused::<Length>("5 kilometer"));
        plain(refused::<Density>("5 g/cm3"));
        plain(refused::<Stiffness>("5 klbf/ft"));
        plain(refused::<Duration>("5 ms"));
        plain(refused::<Acceleration>("1 g"));
        plain(refused::<Temperature>("5 degR"));
        let told = format!("wrong_unit: \"6 yd\" does not fit here; write a length in {LENGTHS}");
        assert_eq!(refused::<Length>("6 yd"), told);
        let told =
            format!("wrong_unit: \"6 kg\" does not fit here; write a length in {LENGTHS}; \"kg\" is a unit of mass");
        assert_eq!(refused::<Length>("6 kg"), told);
        let told =
            "wrong_unit: \"7 m\" does not fit here; write a duration in s, min, h or d; \"m\" is a unit of length";
        assert_eq!(refused::<Duration>("7 m"), told);
    }

    #[test]
    fn a_second_number_is_refused() {
        for text in [
            "1,000 mm",
            "1 000 mm",
            "1'000 mm",
            "1_000 mm",
            "1.000.000 mm",
            "18,5 m",
            "1/2 in",
            "3 1/2 in",
            "6 ft 3 in",
        ] {
            let told = format!(
                "malformed: \"{text}\" holds more than one number, digits in groups, a fraction or a decimal comma; write \
                 one number with a decimal point, such as \"6.00 m\""
            );
            assert_eq!(refused::<Length>(text), told);
        }
    }

    #[test]
    fn a_text_without_a_number_is_malformed() {
        for text in ["", "m", "about 6 m", "- 6 m", ".m", "unknown", "+", "e3 m", "--6 m"] {
            let told = format!("malformed: \"{text}\" does not begin with a number; write a length such as \"6.00 m\"");
            assert_eq!(refused::<Length>(text), told);
        }
        assert!(refused::<Acceleration>("fast").ends_with("write an acceleration such as \"9.80665 m/s2\""));
    }

    #[test]
    fn what_no_double_holds_is_out_of_domain() {
        for (text, told) in [
            ("NaN m", "length is NaN; it must be finite"),
            ("nan", "length is NaN; it must be finite"),
            ("inf m", "length is inf; it must be finite"),
            ("-Infinity m", "length is -inf; it must be finite"),
            ("1e400 m", "length is inf m; it must be finite"),
            ("-1e400", "length is -inf; it must be finite"),
            ("1e-400 m", "length is 0 m; it must be zero, or at least 1e-300 in SI"),
        ] {
            assert_eq!(refused::<Length>(text), format!("out_of_domain: {told}"));
        }
        assert!(refused::<Force>("1e308 MN").ends_with(" MN; it must be finite"));
        assert!(refused::<Length>("5e-324 mm").ends_with(" mm; it must be zero, or at least 1e-300 in SI"));
        assert_eq!(parse::<Length>("0e-400 m").map(|zero| zero.si()), Ok(0.0));
    }

    #[test]
    fn what_the_range_excludes_is_out_of_domain() {
        let leg = "it must be from 0 to 90 deg (pi/2 rad) from vertical";
        let told = |value: &str| format!("out_of_domain: leg angle is {value}; {leg}");
        assert_eq!(refused::<LegAngle>("-1 deg from vertical"), told("-1 deg from vertical"));
        assert_eq!(refused::<LegAngle>("90.1 deg from vertical"), told("90.1 deg from vertical"));
        assert_eq!(refused::<LegAngle>("95 deg from horizontal"), told("95 deg from horizontal"));
        assert_eq!(refused::<LegAngle>("181 deg included"), told("181 deg included"));
        let choke = "out_of_domain: choke angle is 180.1 deg choke; it must be from 0 to 180 deg (pi rad)";
        assert_eq!(refused::<ChokeAngle>("180.1 deg choke"), choke);
        let cold = "out_of_domain: temperature is -273.16 degC; it must be finite and not below 0 K";
        assert_eq!(refused::<Temperature>("-273.16 degC"), cold);
        // -273.15 as a double lies 2.3e-14 above the decimal number.
        assert!(parse::<Temperature>("-273.15 degC").is_ok_and(|cold| (0.0..3e-14).contains(&cold.si())));
        assert_eq!(parse::<Temperature>("0 K").map(|cold| cold.si()), Ok(0.0));
        assert!(parse::<Temperature>("-1e-9 K").is_err());
    }

    #[test]
    fn a_long_text_is_too_large() {
        let told = "too_large: the length of the text of a mass is 101 characters; it must be at most 100 characters";
        assert_eq!(refused::<Mass>(&format!("1{} kg", "0".repeat(97))), told);
        assert!(parse::<Mass>(&format!("1{} kg", "0".repeat(96))).is_ok());
    }
}
