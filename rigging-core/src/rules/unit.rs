//! The one edge at which values meet units: the documents' own units, by name, against SI.
//!
//! Inside a rule every number stands in the unit its document prints; this file turns them into SI and back.

use crate::error::{Error, Place, nearest};
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

/// A unit of the trade: SI value = `(value + shift) * scale`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Unit {
    pub(super) text: &'static str,
    pub(super) dimension: Dimension,
    scale: f64,
    shift: f64,
}

impl Unit {
    const fn of(text: &'static str, dimension: Dimension, scale: f64) -> Self {
        Self { text, dimension, scale, shift: 0.0 }
    }

    pub(super) fn in_si(self, value: f64) -> f64 {
        (value + self.shift) * self.scale
    }

    pub(super) fn out_of_si(self, value: f64) -> f64 {
        value / self.scale - self.shift
    }

    /// The unit of this text.
    pub(super) fn named(text: &str, place: impl FnOnce() -> Place) -> Result<Self, Error> {
        UNITS.iter().find(|unit| unit.text == text).copied().ok_or_else(|| Error::WrongUnit {
            text: format!("the unit \"{text}\""),
            write: nearest(text, UNITS.iter().map(|unit| unit.text))
                .map_or_else(|| "a unit of the rule sets".to_owned(), |near| format!("\"{near}\"")),
            place: place(),
        })
    }

    /// The unit of this text, if it measures `dimension`.
    pub(super) fn measuring(dimension: Dimension, text: &str, place: impl Fn() -> Place) -> Result<Self, Error> {
        let unit = Self::named(text, &place)?;
        if unit.dimension == dimension {
            return Ok(unit);
        }
        Err(Error::WrongUnit {
            text: format!("the unit \"{text}\""),
            write: format!("a unit of {dimension}, such as \"{}\"", dimension.si()),
            place: place(),
        })
    }
}

/// Standard gravity (CGPM 1901) times the international pound (1959), exact.
const LBF: f64 = 4.448_221_615_260_5;
/// The international inch (1959), exact.
const INCH: f64 = 0.0254;
const RANKINE: f64 = 5.0 / 9.0;

const UNITS: &[Unit] = &[
    Unit::of("", Dimension::Number, 1.0),
    Unit::of("kg", Dimension::Mass, 1.0),
    Unit::of("t", Dimension::Mass, 1000.0),
    Unit::of("lb", Dimension::Mass, 0.453_592_37),
    Unit::of("N", Dimension::Force, 1.0),
    Unit::of("kN", Dimension::Force, 1000.0),
    Unit::of("MN", Dimension::Force, 1e6),
    Unit::of("lbf", Dimension::Force, LBF),
    Unit::of("m", Dimension::Length, 1.0),
    Unit::of("mm", Dimension::Length, 0.001),
    Unit::of("in", Dimension::Length, INCH),
    Unit::of("ft", Dimension::Length, 0.3048),
    Unit::of("kg/m", Dimension::MassPerLength, 1.0),
    Unit::of("rad", Dimension::Angle, 1.0),
    Unit::of("deg", Dimension::Angle, std::f64::consts::PI / 180.0),
    Unit::of("K", Dimension::Temperature, 1.0),
    Unit { text: "degC", dimension: Dimension::Temperature, scale: 1.0, shift: 273.15 },
    Unit { text: "degF", dimension: Dimension::Temperature, scale: RANKINE, shift: 459.67 },
    Unit::of("Pa", Dimension::Stress, 1.0),
    Unit::of("MPa", Dimension::Stress, 1e6),
    Unit::of("N/mm2", Dimension::Stress, 1e6),
    Unit::of("month", Dimension::CalendarTime, 1.0),
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
        let unit = |text| Unit::named(text, Place::root).unwrap();
        // Freezing and boiling points agree on both scales; 1 short ton-force is 2000 lbf = 8896.443 N.
        assert!((unit("degF").in_si(32.0) - unit("degC").in_si(0.0)).abs() < 1e-9);
        assert!((unit("degF").in_si(212.0) - unit("degC").in_si(100.0)).abs() < 1e-9);
        assert!((unit("lbf").in_si(2000.0) - 8_896.443_230_521).abs() < 1e-6);
        assert!((unit("lbf").in_si(1.0) - 0.453_592_37 * 9.806_65).abs() < 1e-15);
    }
}
