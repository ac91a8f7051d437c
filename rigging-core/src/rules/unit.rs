//! The one edge at which values meet units: the documents' own units, by name, against SI.
//!
//! Inside a rule every number stands in the unit its document prints; this file turns them into SI and back.

use crate::error::{Error, Place};
use crate::quantity::{AngleUnit, ForceUnit, FractionUnit, LengthUnit, MassUnit, PressureUnit, Scale, TemperatureUnit};
use std::fmt;

/// The kind of quantity a unit measures. Mass is not force, and a calendar month is no multiple of the second.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Dimension {
    /// A pure number.
    Number,
    /// Mass; SI unit kg.
    Mass,
    /// Force; SI unit N.
    Force,
    /// Length; SI unit m.
    Length,
    /// Mass per length; SI unit kg/m.
    MassPerLength,
    /// Plane angle; SI unit rad.
    Angle,
    /// Temperature as a point on a scale; SI unit K.
    Temperature,
    /// Stress; SI unit Pa.
    Stress,
    /// Calendar time, counted in months.
    CalendarTime,
}

impl Dimension {
    /// The unit of stored values; empty for a pure number.
    pub const fn si(self) -> &'static str {
        match self {
            Self::Number => "",
            Self::Mass => "kg",
            Self::Force => "N",
            Self::Length => "m",
            Self::MassPerLength => "kg/m",
            Self::Angle => "rad",
            Self::Temperature => "K",
            Self::Stress => "Pa",
            Self::CalendarTime => "month",
        }
    }
}

impl Dimension {
    /// `a mass in "kg", "t" or "lb"`, with every unit of the rule sets that measures it.
    fn in_its_units(self) -> String {
        self.units().map_or_else(|| self.to_string(), |units| format!("{self} in {units}"))
    }

    /// What to write for a unit that is missing. None is proposed before the others: the number stands in one that only who
    /// read the document knows.
    pub(super) fn to_write(self) -> String {
        let units = self.units().unwrap_or_default();
        format!("unit = {units}, in which the document prints the number")
    }

    /// Every unit of the rule sets that measures it: `"kg", "t" or "lb"`.
    fn units(self) -> Option<String> {
        let of = UNITS.iter().filter(|unit| unit.dimension == self);
        let mut units: Vec<String> = of.map(|unit| format!("\"{}\"", unit.text)).collect();
        match (units.pop(), units.as_slice()) {
            (Some(only), []) => Some(only),
            (Some(last), others) => Some(format!("{} or {last}", others.join(", "))),
            (None, _) => None,
        }
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Number => "a pure number",
            Self::Mass => "a mass",
            Self::Force => "a force",
            Self::Length => "a length",
            Self::MassPerLength => "a mass per length",
            Self::Angle => "an angle",
            Self::Temperature => "a temperature",
            Self::Stress => "a stress",
            Self::CalendarTime => "a calendar time",
        })
    }
}

/// A unit of the trade, with its factor from [`quantity`](crate::quantity).
#[derive(Debug, Clone, Copy)]
pub(super) struct Unit {
    pub(super) text: &'static str,
    pub(super) dimension: Dimension,
    scale: Scale,
}

impl PartialEq for Unit {
    fn eq(&self, other: &Self) -> bool {
        self.scales_as(*other) && is(self.text, other.text)
    }
}

/// Whether two texts of a few letters are one: faster letter by letter than by a call.
fn is(one: &str, other: &str) -> bool {
    one.len() == other.len() && one.bytes().eq(other.bytes())
}

impl Unit {
    /// That of a pure number.
    pub(super) const PLAIN: Self = Self::of("", Dimension::Number, SI);

    const fn of(text: &'static str, dimension: Dimension, scale: Scale) -> Self {
        Self { text, dimension, scale }
    }

    /// Whether a value has the same number in both, whatever they are called.
    pub(super) fn scales_as(self, other: Self) -> bool {
        self.dimension == other.dimension && self.scale == other.scale
    }

    pub(super) const fn in_si(self, value: f64) -> f64 {
        self.scale.to_si(value)
    }

    pub(super) const fn out_of_si(self, value: f64) -> f64 {
        self.scale.from_si(value)
    }

    /// The texts of all units.
    #[cfg(feature = "schema")]
    pub(super) fn texts() -> impl Iterator<Item = &'static str> {
        UNITS.iter().map(|unit| unit.text)
    }

    /// The unit of this text.
    fn named(text: &str) -> Option<Self> {
        UNITS.iter().find(|unit| is(unit.text, text)).copied()
    }

    /// The unit of stored values.
    pub(super) const fn si(dimension: Dimension) -> Self {
        Self::of(dimension.si(), dimension, SI)
    }

    /// The unit of this text, if it measures `dimension`. What is refused is told every unit that does: the nearest text is
    /// often another magnitude or another quantity ("ton" and "MN", "C" and none).
    pub(super) fn measuring(dimension: Dimension, text: &str, place: impl Fn() -> Place) -> Result<Self, Error> {
        if is(text, dimension.si()) {
            return Ok(Self::si(dimension));
        }
        Self::named(text).filter(|unit| unit.dimension == dimension).ok_or_else(|| Error::WrongUnit {
            text: format!("the unit \"{text}\""),
            write: dimension.in_its_units(),
            place: place(),
        })
    }
}

/// What is stored as it stands: the SI units, pure numbers and months.
const SI: Scale = LengthUnit::Meter.scale();

/// The bare word "ton" is none: three weights are called so.
const UNITS: &[Unit] = &[
    Unit::of("", Dimension::Number, SI),
    Unit::of("%", Dimension::Number, FractionUnit::Percent.scale()),
    Unit::of("kg", Dimension::Mass, SI),
    Unit::of("t", Dimension::Mass, MassUnit::Tonne.scale()),
    Unit::of("lb", Dimension::Mass, MassUnit::Pound.scale()),
    Unit::of("N", Dimension::Force, SI),
    Unit::of("kN", Dimension::Force, ForceUnit::Kilonewton.scale()),
    Unit::of("MN", Dimension::Force, ForceUnit::Meganewton.scale()),
    Unit::of("kgf", Dimension::Force, ForceUnit::KilogramForce.scale()),
    Unit::of("tf", Dimension::Force, ForceUnit::TonneForce.scale()),
    Unit::of("lbf", Dimension::Force, ForceUnit::PoundForce.scale()),
    Unit::of("kip", Dimension::Force, ForceUnit::Kip.scale()),
    Unit::of("short tonf", Dimension::Force, ForceUnit::ShortTonForce.scale()),
    Unit::of("long tonf", Dimension::Force, ForceUnit::LongTonForce.scale()),
    Unit::of("m", Dimension::Length, SI),
    Unit::of("mm", Dimension::Length, LengthUnit::Millimeter.scale()),
    Unit::of("in", Dimension::Length, LengthUnit::Inch.scale()),
    Unit::of("ft", Dimension::Length, LengthUnit::Foot.scale()),
    Unit::of("kg/m", Dimension::MassPerLength, SI),
    Unit::of("rad", Dimension::Angle, SI),
    Unit::of("deg", Dimension::Angle, AngleUnit::Degree.scale()),
    Unit::of("K", Dimension::Temperature, SI),
    Unit::of("degC", Dimension::Temperature, TemperatureUnit::Celsius.scale()),
    Unit::of("degF", Dimension::Temperature, TemperatureUnit::Fahrenheit.scale()),
    Unit::of("Pa", Dimension::Stress, SI),
    Unit::of("MPa", Dimension::Stress, PressureUnit::Megapascal.scale()),
    Unit::of("N/mm2", Dimension::Stress, PressureUnit::Megapascal.scale()),
    Unit::of("ksi", Dimension::Stress, PressureUnit::KipPerSquareInch.scale()),
    Unit::of("month", Dimension::CalendarTime, SI),
    Unit::of("short ton", Dimension::Mass, MassUnit::ShortTon.scale()),
    Unit::of("long ton", Dimension::Mass, MassUnit::LongTon.scale()),
    Unit::of("cm", Dimension::Length, LengthUnit::Centimeter.scale()),
    Unit::of("psi", Dimension::Stress, PressureUnit::PoundForcePerSquareInch.scale()),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_unit_reads_back_and_reaches_its_si_unit() {
        for unit in UNITS {
            let back = unit.out_of_si(unit.in_si(37.25));
            assert!((back - 37.25).abs() < 1e-12 * 500.0, "{unit:?} reads back {back}");
            assert!(UNITS.iter().any(|other| other.text == unit.dimension.si() && other.dimension == unit.dimension));
        }
    }

    #[test]
    fn fixed_points_of_the_scales() {
        let unit = |text| Unit::named(text).unwrap();
        // Freezing and boiling points agree on both scales; 1 short ton-force is 2000 lbf = 8896.443 N.
        assert!((unit("degF").in_si(32.0) - unit("degC").in_si(0.0)).abs() < 1e-9);
        assert!((unit("degF").in_si(212.0) - unit("degC").in_si(100.0)).abs() < 1e-9);
        assert!((unit("lbf").in_si(2000.0) - 8_896.443_230_521).abs() < 1e-6);
        assert_eq!(unit("kgf").in_si(1000.0), unit("tf").in_si(1.0));
        assert_eq!(unit("%").in_si(10.0), 0.1);
        assert!((unit("short ton").in_si(1.0) - 907.184_74).abs() < 1e-9);
        assert!((unit("long ton").in_si(1.0) - 1_016.046_908_8).abs() < 1e-9);
        assert_eq!(unit("cm").in_si(1.0), 0.01);
        assert!((unit("psi").in_si(1000.0) / unit("ksi").in_si(1.0) - 1.0).abs() < 1e-12);
        assert!((unit("ksi").in_si(36.0) / 248.211_262_554e6 - 1.0).abs() < 1e-8);
        assert!((unit("lbf").in_si(1.0) - 0.453_592_37 * 9.806_65).abs() < 1e-15);
    }

    #[test]
    fn what_is_refused_is_told_the_units_of_its_own_quantity() {
        let write = |dimension, text| match Unit::measuring(dimension, text, Place::root) {
            Err(Error::WrongUnit { write, .. }) => write,
            other => panic!("{text}: {other:?}"),
        };
        for text in ["ton", "tons", "kN", ""] {
            let told = "a mass in \"kg\", \"t\", \"lb\", \"short ton\" or \"long ton\"";
            assert_eq!(write(Dimension::Mass, text), told);
        }
        for text in ["C", "°F", "deg"] {
            assert_eq!(write(Dimension::Temperature, text), "a temperature in \"K\", \"degC\" or \"degF\"");
        }
        assert_eq!(write(Dimension::CalendarTime, "year"), "a calendar time in \"month\"");
        for unit in UNITS {
            assert_eq!(Unit::measuring(unit.dimension, unit.text, Place::root).unwrap(), *unit);
        }
    }
}
