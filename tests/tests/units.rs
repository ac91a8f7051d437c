//! Every unit against its definition, and the table that is compared with an independent library.
//!
//! Origin of the check: independent (definitions keyed a second time, exact whole-number arithmetic). The committed
//! table `reference/units.json` is what the core produces; `python/test_units.py` compares it with another library.
//! `RIGGING_REWRITE=1` writes it anew.

use rigging_core::quantity::{
    Acceleration, Angle, ChokeAngle, Density, Duration, Entered, Force, Fraction, LegAngle, Length, LineLoad, Mass,
    Pressure, Quantity, Speed, Stiffness, Temperature, UnitRow, units,
};
use std::fmt::Write as _;
use std::path::Path;

/// A fraction of two whole numbers in lowest terms.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Ratio(i128, i128);

impl Ratio {
    fn new(num: i128, den: i128) -> Self {
        let (mut a, mut b) = (num.abs(), den.abs());
        while b != 0 {
            (a, b) = (b, a % b);
        }
        Self(num / a, den / a)
    }

    fn times(self, other: Self) -> Self {
        Self::new(self.0 * other.0, self.1 * other.1)
    }

    fn over(self, other: Self) -> Self {
        Self::new(self.0 * other.1, self.1 * other.0)
    }

    fn whole(value: i128) -> Self {
        Self(value, 1)
    }
}

/// What a unit is in SI, from the four definitions and nothing else; the offset belongs to a temperature.
fn definition(quantity: &str, symbol: &str) -> Option<(Ratio, Ratio)> {
    let foot = Ratio::new(3048, 10_000);
    let inch = foot.over(Ratio::whole(12));
    let pound = Ratio::new(45_359_237, 100_000_000);
    let gravity = Ratio::new(980_665, 100_000);
    let pound_force = pound.times(gravity);
    let (one, thousand) = (Ratio::whole(1), Ratio::whole(1000));
    let square = |length: Ratio| length.times(length);
    let none = Ratio::whole(0);
    let scale = match (quantity, symbol) {
        ("length", "m") => one,
        ("length", "mm") => one.over(thousand),
        ("length", "cm") => one.over(Ratio::whole(100)),
        ("length", "ft") => foot,
        ("length", "in") => inch,
        ("mass", "kg") => one,
        ("mass", "t") => thousand,
        ("mass", "lb") => pound,
        ("mass", "short ton") => pound.times(Ratio::whole(2000)),
        ("mass", "long ton") => pound.times(Ratio::whole(2240)),
        ("force", "N") => one,
        ("force", "kN") => thousand,
        ("force", "MN") => thousand.times(thousand),
        ("force", "kgf") => gravity,
        ("force", "tf") => gravity.times(thousand),
        ("force", "lbf") => pound_force,
        ("force", "kip") => pound_force.times(thousand),
        ("force", "short tonf") => pound_force.times(Ratio::whole(2000)),
        ("force", "long tonf") => pound_force.times(Ratio::whole(2240)),
        ("temperature", "K") => one,
        ("temperature", "degC") => return Some((one, Ratio::new(27_315, 100))),
        ("temperature", "degF") => {
            let rankine = Ratio::new(5, 9);
            return Some((rankine, Ratio::new(45_967, 100).times(rankine)));
        }
        ("stiffness" | "line load", "N/m") => one,
        ("stiffness" | "line load", "kN/m" | "N/mm") => thousand,
        ("stiffness" | "line load", "lbf/ft") => pound_force.over(foot),
        ("stiffness" | "line load", "lbf/in") => pound_force.over(inch),
        ("pressure", "Pa") => one,
        ("pressure", "kPa") => thousand,
        ("pressure", "MPa") => thousand.times(thousand),
        ("pressure", "ksi") => pound_force.times(thousand).over(square(inch)),
        ("pressure", "psi") => pound_force.over(square(inch)),
        ("density", "kg/m3") => one,
        ("density", "t/m3") => thousand,
        ("density", "lb/ft3") => pound.over(square(foot).times(foot)),
        ("duration", "s") => one,
        ("duration", "min") => Ratio::whole(60),
        ("duration", "h") => Ratio::whole(3600),
        ("duration", "d") => Ratio::whole(86_400),
        ("acceleration", "m/s2") => one,
        ("acceleration", "ft/s2") => foot,
        ("speed", "m/s") => one,
        ("speed", "km/h") => thousand.over(Ratio::whole(3600)),
        ("speed", "ft/s") => foot,
        ("speed", "mi/h") => foot.times(Ratio::whole(5280)).over(Ratio::whole(3600)),
        ("speed", "knot") => Ratio::whole(1852).over(Ratio::whole(3600)),
        ("angle", "rad") | ("leg angle", "rad from vertical") | ("choke angle", "rad choke") => one,
        ("fraction", "%") => one.over(Ratio::whole(100)),
        _ => return None,
    };
    Some((scale, none))
}

fn exact(value: f64) -> i128 {
    assert!(value.fract() == 0.0 && value.abs() < 2f64.powi(53), "{value} is no whole number that a double holds");
    value as i128
}

#[test]
fn every_scale_follows_from_the_definitions() {
    let (mut compared, mut with_pi) = (0, Vec::new());
    for row in units() {
        let Some((num, offset)) = definition(row.quantity, row.symbol) else {
            with_pi.push(row.symbol);
            continue;
        };
        let den = exact(row.scale.den());
        assert_eq!(Ratio::new(exact(row.scale.num()), den), num, "{} {}", row.quantity, row.symbol);
        let found = exact(row.scale.offset());
        assert_eq!(if found == 0 { Ratio::whole(0) } else { Ratio::new(found, den) }, offset, "{}", row.symbol);
        compared += 1;
    }
    println!("{compared} units compared, {} with pi skipped (compared by the other library)", with_pi.len());
    assert_eq!(compared, 55);
    assert_eq!(with_pi, ["deg", "deg from vertical", "deg from horizontal", "deg included", "deg choke"]);
}

/// One line of the table: what one and 7.3 of the unit are in SI, and what 7.3 in SI is in the unit.
fn line(row: &UnitRow) -> String {
    let UnitRow { quantity, symbol, scale, .. } = row;
    format!(
        "  {{\"quantity\": \"{quantity}\", \"symbol\": \"{symbol}\", \"one\": {:.16e}, \"value\": {:.16e}, \"back\": {:.16e}}}",
        scale.to_si(1.0),
        scale.to_si(7.3),
        scale.from_si(7.3)
    )
}

#[test]
fn the_table_for_the_other_library_is_what_the_core_produces() {
    let mut table = String::from("[\n");
    let rows: Vec<String> = units().map(|row| line(&row)).collect();
    write!(table, "{}\n]\n", rows.join(",\n")).unwrap();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("reference/units.json");
    if std::env::var_os("RIGGING_REWRITE").is_some_and(|value| value == "1") {
        std::fs::write(&path, &table).unwrap();
    }
    let committed = std::fs::read_to_string(&path).unwrap();
    println!("{} units in the table, 0 skipped", rows.len());
    assert_eq!(rows.len(), 60);
    assert!(
        committed == table,
        "reference/units.json is stale; run this test with RIGGING_REWRITE=1 and look at the change"
    );
}

mod properties {
    use super::*;
    use proptest::prelude::*;
    use proptest::test_runner::RngSeed;

    fn any_finite() -> impl Strategy<Value = f64> {
        use proptest::num::f64::{NEGATIVE, NORMAL, POSITIVE, SUBNORMAL, ZERO};
        POSITIVE | NEGATIVE | NORMAL | SUBNORMAL | ZERO
    }

    fn reads_back<Q: Quantity + std::fmt::Debug>(value: f64) -> Result<(), TestCaseError> {
        if let Ok(quantity) = Q::from_si(value).checked() {
            let entered = Entered::from(quantity);
            let read: Entered<Q> = entered.text().parse().map_err(|error| TestCaseError::fail(format!("{error}")))?;
            prop_assert_eq!(read.si().to_bits(), value.to_bits());
            let json = serde_json::to_string(&entered).map_err(|error| TestCaseError::fail(error.to_string()))?;
            let read: Entered<Q> =
                serde_json::from_str(&json).map_err(|error| TestCaseError::fail(error.to_string()))?;
            prop_assert_eq!(read.si().to_bits(), value.to_bits());
        }
        Ok(())
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, rng_seed: RngSeed::Fixed(6), ..ProptestConfig::default() })]

        #[test]
        fn the_print_reads_back_bit_for_bit(value in any_finite(), angle in 0.0..=std::f64::consts::PI) {
            reads_back::<Length>(value)?;
            reads_back::<Mass>(value)?;
            reads_back::<Force>(value)?;
            reads_back::<Angle>(value)?;
            reads_back::<Temperature>(value)?;
            reads_back::<Stiffness>(value)?;
            reads_back::<LineLoad>(value)?;
            reads_back::<Pressure>(value)?;
            reads_back::<Density>(value)?;
            reads_back::<Duration>(value)?;
            reads_back::<Acceleration>(value)?;
            reads_back::<Speed>(value)?;
            reads_back::<Fraction>(value)?;
            reads_back::<LegAngle>(angle)?;
            reads_back::<ChokeAngle>(angle)?;
        }

        #[test]
        fn any_text_is_read_or_refused(text in "\\PC{0,120}") {
            if let Ok(mass) = text.parse::<Mass>() {
                prop_assert!(mass.si().is_finite());
            }
            if let Ok(angle) = text.parse::<LegAngle>() {
                prop_assert!(angle.tension_factor().is_ok() || angle.si() == std::f64::consts::FRAC_PI_2);
            }
        }

        /// There and back is two roundings: at most two units in the last place where no offset cancels digits.
        #[test]
        fn there_and_back_is_the_same_number(value in -1e12..1e12_f64) {
            for row in units().filter(|row| row.scale.offset() == 0.0) {
                let back = row.scale.from_si(row.scale.to_si(value));
                prop_assert!((back - value).abs() <= 2.0 * f64::EPSILON * value.abs(), "{}: {value} {back}", row.symbol);
            }
        }

        #[test]
        fn a_text_keeps_its_value(value in -1e9..1e9_f64) {
            for row in units().filter(|row| row.quantity == "force") {
                let text = format!("{value} {}", row.symbol);
                let entered: Entered<Force> = text.parse().map_err(|error| TestCaseError::fail(format!("{error}")))?;
                prop_assert_eq!(entered.value().to_bits(), value.to_bits());
                prop_assert_eq!(entered.text(), text.as_str());
                prop_assert_eq!(entered.si().to_bits(), row.scale.to_si(value).to_bits());
            }
        }
    }
}
