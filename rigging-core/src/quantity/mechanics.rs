//! The quantities of mechanics and their units.
//!
//! Every scale follows from definitions that are exact: the international foot and pound, the standard acceleration
//! of gravity, the day of 86 400 s and the two temperature scales.
//!
//! # Sources
//! - BIPM, "The International System of Units (SI)", 9th edition: SI units and units accepted for use with SI (from
//!   memory; the values are checked against an independent library).
//! - NIST Special Publication 811, appendix B: 1 ft = 0.3048 m, 1 lb = 0.453 592 37 kg, g = 9.806 65 m/s² (from
//!   memory; the values are checked against an independent library).

use super::scale::Scale;
use super::table::{arithmetic, quantity};

const MIN: f64 = f64::MIN;
const MAX: f64 = f64::MAX;

quantity! {
    /// A length, in m.
    ///
    /// ```
    /// use rigging_core::quantity::{Length, LengthUnit};
    /// const REACH: Length = Length::feet(20.0);
    /// assert_eq!(REACH.to(LengthUnit::Inch), 240.0);
    /// assert_eq!("6.00 m".parse::<Length>()?, Length::meters(6.0));
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    Length in LengthUnit, "length", example "6.00 m", printed in Meter "m", from MIN, to MAX, "finite";
    Meter meters "m" ["meter", "meters", "metre", "metres"] Scale::ratio(1, 1), "SI base unit";
    Millimeter millimeters "mm" ["millimeter", "millimeters", "millimetre", "millimetres"] Scale::ratio(1, 1_000), "m/1000";
    Centimeter centimeters "cm" ["centimeter", "centimeters", "centimetre", "centimetres"] Scale::ratio(1, 100), "m/100";
    Foot feet "ft" ["foot", "feet"] Scale::ratio(3_048, 10_000), "international foot, 0.3048 m";
    Inch inches "in" ["inch", "inches"] Scale::ratio(254, 10_000), "ft/12, 0.0254 m";
}

quantity! {
    /// A mass, in kg. A mass is not a force: [`Mass::weight`] turns one into the other.
    ///
    /// ```
    /// use rigging_core::quantity::{Mass, STANDARD_GRAVITY};
    /// assert_eq!(Mass::tonnes(1.0).weight(STANDARD_GRAVITY).si(), 9806.65);
    /// assert!("18.5 ton".parse::<Mass>().is_err(), "tonne, short ton or long ton?");
    /// ```
    Mass in MassUnit, "mass", example "18.5 t", printed in Kilogram "kg", from MIN, to MAX, "finite";
    Kilogram kilograms "kg" ["kilogram", "kilograms"] Scale::ratio(1, 1), "SI base unit";
    Tonne tonnes "t" ["tonne", "tonnes", "metric ton", "metric tons"] Scale::ratio(1_000, 1), "1000 kg";
    Pound pounds "lb" ["lbs", "pound", "pounds"] Scale::ratio(45_359_237, 100_000_000), "avoirdupois pound, 0.45359237 kg";
    ShortTon short_tons "short ton" ["short tons"] Scale::ratio(90_718_474, 100_000), "2000 lb";
    LongTon long_tons "long ton" ["long tons"] Scale::ratio(10_160_469_088, 10_000_000), "2240 lb";
}

quantity! {
    /// A force, in N. The axial stiffness EA of a member is a force too.
    ///
    /// ```
    /// use rigging_core::quantity::{Force, ForceUnit};
    /// assert_eq!(Force::kips(42.0).to(ForceUnit::PoundForce), 42_000.0);
    /// assert!("18.5 t".parse::<Force>().is_err(), "a mass is not a force");
    /// ```
    Force in ForceUnit, "force", example "120 kN", printed in Newton "N", from MIN, to MAX, "finite";
    Newton newtons "N" ["newton", "newtons"] Scale::ratio(1, 1), "kg m/s2";
    Kilonewton kilonewtons "kN" ["kilonewton", "kilonewtons"] Scale::ratio(1_000, 1), "1000 N";
    Meganewton meganewtons "MN" ["meganewton", "meganewtons"] Scale::ratio(1_000_000, 1), "1000000 N";
    KilogramForce kilograms_force "kgf" [] Scale::ratio(980_665, 100_000), "kg at 9.80665 m/s2";
    TonneForce tonnes_force "tf" ["tonne-force", "tonnes-force"] Scale::ratio(980_665, 100), "tonne at 9.80665 m/s2";
    PoundForce pounds_force "lbf" [] Scale::ratio(44_482_216_152_605, 10_000_000_000_000), "lb at 9.80665 m/s2";
    Kip kips "kip" ["kips"] Scale::ratio(44_482_216_152_605, 10_000_000_000), "1000 lbf";
    ShortTonForce short_tons_force "short tonf" ["short tons-force"] Scale::ratio(8_896_443_230_521, 1_000_000_000), "2000 lbf";
    LongTonForce long_tons_force "long tonf" ["long tons-force"] Scale::ratio(996_401_641_818_352, 100_000_000_000), "2240 lbf";
}

quantity! {
    /// An absolute temperature, in K. It has no arithmetic: the sum of two temperatures means nothing.
    ///
    /// ```
    /// use rigging_core::quantity::{Temperature, TemperatureUnit};
    /// let boiling = Temperature::celsius(100.0);
    /// assert!((boiling.to(TemperatureUnit::Fahrenheit) - 212.0).abs() < 1e-12);
    /// ```
    Temperature in TemperatureUnit, "temperature", example "20 degC", printed in Kelvin "K", from 0.0, to MAX, "finite and not below 0 K";
    Kelvin kelvins "K" ["kelvin", "kelvins"] Scale::ratio(1, 1), "SI base unit";
    Celsius celsius "degC" ["C", "Celsius"] Scale::affine(100, 27_315, 100), "K - 273.15";
    Fahrenheit fahrenheit "degF" ["F", "Fahrenheit"] Scale::affine(500, 229_835, 900), "degC x 9/5 + 32";
}

quantity! {
    /// A stiffness, force over elongation, in N/m.
    Stiffness in StiffnessUnit, "stiffness", example "4500 kN/m", printed in NewtonPerMeter "N/m", from MIN, to MAX, "finite";
    NewtonPerMeter newtons_per_meter "N/m" [] Scale::ratio(1, 1), "SI unit";
    KilonewtonPerMeter kilonewtons_per_meter "kN/m" [] Scale::ratio(1_000, 1), "1000 N/m";
    NewtonPerMillimeter newtons_per_millimeter "N/mm" [] Scale::ratio(1_000, 1), "1000 N/m";
    PoundForcePerFoot pounds_force_per_foot "lbf/ft" [] Scale::ratio(44_482_216_152_605, 3_048_000_000_000), "lbf over 0.3048 m";
    PoundForcePerInch pounds_force_per_inch "lbf/in" [] Scale::ratio(44_482_216_152_605, 254_000_000_000), "lbf over 0.0254 m";
}

quantity! {
    /// A force spread along a length, in N/m; a type of its own, since a stiffness of the same unit is another thing.
    LineLoad in LineLoadUnit, "line load", example "250 kN/m", printed in NewtonPerMeter "N/m", from MIN, to MAX, "finite";
    NewtonPerMeter newtons_per_meter "N/m" [] Scale::ratio(1, 1), "SI unit";
    KilonewtonPerMeter kilonewtons_per_meter "kN/m" [] Scale::ratio(1_000, 1), "1000 N/m";
    NewtonPerMillimeter newtons_per_millimeter "N/mm" [] Scale::ratio(1_000, 1), "1000 N/m";
    PoundForcePerFoot pounds_force_per_foot "lbf/ft" [] Scale::ratio(44_482_216_152_605, 3_048_000_000_000), "lbf over 0.3048 m";
    PoundForcePerInch pounds_force_per_inch "lbf/in" [] Scale::ratio(44_482_216_152_605, 254_000_000_000), "lbf over 0.0254 m";
}

quantity! {
    /// A pressure, in Pa.
    Pressure in PressureUnit, "pressure", example "48 MPa", printed in Pascal "Pa", from MIN, to MAX, "finite";
    Pascal pascals "Pa" ["N/m2"] Scale::ratio(1, 1), "N/m2";
    Kilopascal kilopascals "kPa" ["kN/m2"] Scale::ratio(1_000, 1), "1000 Pa";
    Megapascal megapascals "MPa" ["N/mm2"] Scale::ratio(1_000_000, 1), "1000000 Pa";
    KipPerSquareInch kips_per_square_inch "ksi" ["kip/in2"] Scale::ratio(44_482_216_152_605, 6_451_600), "1000 psi";
    PoundForcePerSquareInch pounds_force_per_square_inch "psi" ["lbf/in2"] Scale::ratio(44_482_216_152_605, 6_451_600_000), "lbf over (0.0254 m)2";
}

quantity! {
    /// A density, in kg/m³.
    Density in DensityUnit, "density", example "7850 kg/m3", printed in KilogramPerCubicMeter "kg/m3", from MIN, to MAX, "finite";
    KilogramPerCubicMeter kilograms_per_cubic_meter "kg/m3" [] Scale::ratio(1, 1), "SI unit";
    TonnePerCubicMeter tonnes_per_cubic_meter "t/m3" [] Scale::ratio(1_000, 1), "1000 kg/m3";
    PoundPerCubicFoot pounds_per_cubic_foot "lb/ft3" [] Scale::ratio(453_592_370_000, 28_316_846_592), "lb over (0.3048 m)3";
}

quantity! {
    /// A duration, in s.
    Duration in DurationUnit, "duration", example "30 min", printed in Second "s", from MIN, to MAX, "finite";
    Second seconds "s" ["sec", "second", "seconds"] Scale::ratio(1, 1), "SI base unit";
    Minute minutes "min" ["minute", "minutes"] Scale::ratio(60, 1), "60 s";
    Hour hours "h" ["hr", "hrs", "hour", "hours"] Scale::ratio(3_600, 1), "60 min";
    Day days "d" ["day", "days"] Scale::ratio(86_400, 1), "24 h";
}

quantity! {
    /// An acceleration, in m/s².
    Acceleration in AccelerationUnit, "acceleration", example "9.80665 m/s2", printed in MeterPerSecondSquared "m/s2", from MIN, to MAX, "finite";
    MeterPerSecondSquared meters_per_second_squared "m/s2" [] Scale::ratio(1, 1), "SI unit";
    FootPerSecondSquared feet_per_second_squared "ft/s2" [] Scale::ratio(3_048, 10_000), "0.3048 m/s2";
}

quantity! {
    /// A speed, in m/s.
    Speed in SpeedUnit, "speed", example "12 m/s", printed in MeterPerSecond "m/s", from MIN, to MAX, "finite";
    MeterPerSecond meters_per_second "m/s" [] Scale::ratio(1, 1), "SI unit";
    KilometerPerHour kilometers_per_hour "km/h" [] Scale::ratio(10, 36), "1000 m over 3600 s";
    FootPerSecond feet_per_second "ft/s" [] Scale::ratio(3_048, 10_000), "0.3048 m/s";
    MilePerHour miles_per_hour "mi/h" ["mph"] Scale::ratio(1_609_344, 3_600_000), "5280 ft over 3600 s";
    Knot knots "knot" ["knots"] Scale::ratio(1_852, 3_600), "1852 m over 3600 s";
}

quantity! {
    /// A plane angle, in rad. Where it is counted from is told by the name of the value that holds it; the angles of legs
    /// and chokes, which are counted in several ways, have types of their own.
    Angle in AngleUnit, "angle", example "2.5 deg", printed in Radian "rad", from MIN, to MAX, "finite";
    Radian radians "rad" ["radian", "radians"] Scale::ratio(1, 1), "SI unit";
    Degree degrees "deg" [] Scale::pi_over(180), "pi/180 rad";
}

arithmetic!(Length, Mass, Force, Stiffness, LineLoad, Pressure, Density, Duration, Acceleration, Speed, Angle);

/// The standard acceleration of gravity, 9.80665 m/s².
///
/// # Sources
/// 3rd General Conference on Weights and Measures (1901), declaration on the unit of mass and on the definition of
/// weight (from memory).
pub const STANDARD_GRAVITY: Acceleration = Acceleration::meters_per_second_squared(9.80665);

impl Mass {
    /// The force with which gravity of the given acceleration pulls at this mass.
    ///
    /// ```
    /// use rigging_core::quantity::{Force, Mass, STANDARD_GRAVITY};
    /// assert_eq!(Mass::kilograms(100.0).weight(STANDARD_GRAVITY), Force::newtons(980.665));
    /// ```
    pub const fn weight(self, gravity: Acceleration) -> Force {
        Force::from_si(self.si() * gravity.si())
    }
}
