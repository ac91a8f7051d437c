//! The classes, one for each kind of quantity of the core.

use super::define::{self, checked, class, divisor, new, number, result};
use super::{Object, read};
use crate::guard::guard;
use crate::text;
use pyo3::basic::CompareOp;
use pyo3::prelude::*;
use rigging_core::error::Place;
use rigging_core::quantity::{self, Quantity, STANDARD_GRAVITY, Unit};

class! {
    /// A length, held in m.
    ///
    /// Parameters
    /// ----------
    /// value : Length or str or pint.Quantity or float
    ///     A text holds one number and one unit. A plain number needs the second argument.
    /// unit : str, optional
    ///     Unit of a plain number.
    ///
    /// Raises
    /// ------
    /// BareNumberError
    ///     For a number without a unit.
    /// WrongUnitError
    ///     For a unit of another quantity.
    /// OutOfDomainError
    ///     For a value that is not finite or out of the range of its kind.
    /// TypeError
    ///     For anything else; a value with a unit of another package is refused, never stripped of it.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Length
    /// >>> sling = Length("6.000 m")
    /// >>> sling
    /// Length('6 m')
    /// >>> sling == Length(600, "cm")
    /// True
    /// >>> Length("1 ft").to("in")
    /// 12.0
    /// >>> sling + Length("20 mm"), sling / Length("1.5 m")
    /// (Length('6.02 m'), 4.0)
    /// >>> Length(6)
    /// Traceback (most recent call last):
    /// rigging_py._errors.BareNumberError: /value: 6 has no unit; ...
    Length, "Length", pint Some("meter"), arithmetic; {}
}

class! {
    /// A mass, held in kg. A mass is not a force: `weight` makes one of it.
    ///
    /// Parameters and exceptions are those of `Length`.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Mass, STANDARD_GRAVITY
    /// >>> Mass("18.5 t").to("lb")
    /// 40785.51...
    /// >>> Mass("100 kg").weight(STANDARD_GRAVITY)
    /// Force('980.665 N')
    /// >>> Mass("2 ton")
    /// Traceback (most recent call last):
    /// rigging_py._errors.AmbiguousUnitError: /value: "2 ton" can mean several things; ...
    Mass, "Mass", pint Some("kilogram"), arithmetic; {
        /// The force with which gravity pulls at this mass.
        ///
        /// Parameters
        /// ----------
        /// gravity : Acceleration or str or pint.Quantity
        ///     Acceleration of gravity at the place.
        ///
        /// Returns
        /// -------
        /// Force
        fn weight(&self, gravity: &Bound<'_, PyAny>) -> PyResult<Force> {
            let gravity = read::<Acceleration>(gravity, "gravity")?;
            checked(self.0.weight(gravity), result()).map(Force)
        }
    }
}

class! {
    /// A force, held in N.
    ///
    /// Parameters and exceptions are those of `Length`.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Force
    /// >>> Force("42 kip").to("kN")
    /// 186.82...
    /// >>> Force("18.5 t")
    /// Traceback (most recent call last):
    /// rigging_py._errors.WrongUnitError: /value: "18.5 t" does not fit here; write "18.5 tf" if that is meant: ...
    Force, "Force", pint Some("newton"), arithmetic; {}
}

class! {
    /// A plane angle, held in rad. Legs and choke hitches have angles of their own kind.
    ///
    /// Parameters and exceptions are those of `Length`.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Angle
    /// >>> Angle("180 deg").si
    /// 3.141592653589793
    Angle, "Angle", pint Some("radian"), arithmetic; {}
}

class! {
    /// The angle of a leg, held as its angle from vertical in rad. It says from where it is counted.
    ///
    /// Parameters and exceptions are those of `Length`. A pint quantity is refused, because its unit does not say from
    /// where.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import LegAngle
    /// >>> leg = LegAngle("60 deg from horizontal")
    /// >>> round(leg.to("deg from vertical"), 12), round(leg.to("deg included"), 12)
    /// (30.0, 60.0)
    /// >>> round(leg.tension_factor(), 4)
    /// 1.1547
    /// >>> LegAngle("30 deg")
    /// Traceback (most recent call last):
    /// rigging_py._errors.AmbiguousUnitError: /value: "30 deg" can mean several things; ...
    LegAngle, "LegAngle", pint None; {
        /// From the angle between the leg and vertical.
        ///
        /// Parameters
        /// ----------
        /// angle : Angle or str or pint.Quantity
        ///
        /// Returns
        /// -------
        /// LegAngle
        #[staticmethod]
        fn from_vertical(angle: &Bound<'_, PyAny>) -> PyResult<Self> {
            leg_angle(angle, quantity::LegAngle::from_vertical)
        }

        /// From the angle between the leg and horizontal.
        ///
        /// Parameters
        /// ----------
        /// angle : Angle or str or pint.Quantity
        ///
        /// Returns
        /// -------
        /// LegAngle
        #[staticmethod]
        fn from_horizontal(angle: &Bound<'_, PyAny>) -> PyResult<Self> {
            leg_angle(angle, quantity::LegAngle::from_horizontal)
        }

        /// From the angle between two legs that lean alike to either side of vertical.
        ///
        /// Parameters
        /// ----------
        /// angle : Angle or str or pint.Quantity
        ///
        /// Returns
        /// -------
        /// LegAngle
        #[staticmethod]
        fn included(angle: &Bound<'_, PyAny>) -> PyResult<Self> {
            leg_angle(angle, quantity::LegAngle::included)
        }

        /// The angle between the leg and vertical.
        #[getter]
        fn angle_from_vertical(&self) -> Angle {
            Angle(self.0.angle_from_vertical())
        }

        /// The angle between the leg and horizontal.
        #[getter]
        fn angle_from_horizontal(&self) -> Angle {
            Angle(self.0.angle_from_horizontal())
        }

        /// The angle between two legs that lean alike to either side of vertical.
        #[getter]
        fn angle_included(&self) -> Angle {
            Angle(self.0.angle_included())
        }

        /// Tension of a leg over the vertical load it carries: 1 ÷ cos(angle from vertical).
        ///
        /// Returns
        /// -------
        /// float
        ///
        /// Raises
        /// ------
        /// OutOfDomainError
        ///     For a horizontal leg, which carries no vertical load.
        fn tension_factor(&self) -> PyResult<f64> {
            guard(|| self.0.tension_factor())
        }
    }
}

fn leg_angle(angle: &Bound<'_, PyAny>, counted: impl Fn(quantity::Angle) -> quantity::LegAngle) -> PyResult<LegAngle> {
    let angle = read::<Angle>(angle, "angle")?;
    checked(counted(angle), Place::root().child("angle")).map(LegAngle)
}

class! {
    /// The angle at the choke point between the standing part and the bight, held in rad, from 0 to 180 deg.
    ///
    /// Parameters and exceptions are those of `Length`. A pint quantity is refused, because its unit does not say from
    /// where.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import ChokeAngle
    /// >>> round(ChokeAngle("120 deg choke").to("deg choke"), 12)
    /// 120.0
    ChokeAngle, "ChokeAngle", pint None; {}
}

class! {
    /// An absolute temperature, held in K. It has no arithmetic.
    ///
    /// Parameters and exceptions are those of `Length`.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Temperature
    /// >>> Temperature("68 degF")
    /// Temperature('293.15 K')
    Temperature, "Temperature", pint Some("kelvin"); {}
}

class! {
    /// A stiffness, force over elongation, held in N/m.
    ///
    /// Parameters and exceptions are those of `Length`.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Stiffness
    /// >>> Stiffness("4500 kN/m").to("N/mm")
    /// 4500.0
    Stiffness, "Stiffness", pint Some("newton / meter"), arithmetic; {}
}

class! {
    /// A force spread along a length, held in N/m.
    ///
    /// Parameters and exceptions are those of `Length`.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import LineLoad
    /// >>> LineLoad("250 kN/m")
    /// LineLoad('250000 N/m')
    LineLoad, "LineLoad", pint Some("newton / meter"), arithmetic; {}
}

class! {
    /// A pressure, held in Pa.
    ///
    /// Parameters and exceptions are those of `Length`.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Pressure
    /// >>> Pressure("48 MPa").to("N/mm2")
    /// 48.0
    Pressure, "Pressure", pint Some("pascal"), arithmetic; {}
}

class! {
    /// A density, held in kg/m³.
    ///
    /// Parameters and exceptions are those of `Length`.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Density
    /// >>> Density("7.85 t/m3")
    /// Density('7850 kg/m3')
    Density, "Density", pint Some("kilogram / meter ** 3"), arithmetic; {}
}

class! {
    /// A duration, held in s.
    ///
    /// Parameters and exceptions are those of `Length`.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Duration
    /// >>> Duration("1.5 h").to("min")
    /// 90.0
    Duration, "Duration", pint Some("second"), arithmetic; {}
}

class! {
    /// An acceleration, held in m/s².
    ///
    /// Parameters and exceptions are those of `Length`.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Acceleration
    /// >>> Acceleration("9.81 m/s2")
    /// Acceleration('9.81 m/s2')
    Acceleration, "Acceleration", pint Some("meter / second ** 2"), arithmetic; {}
}

class! {
    /// A speed, held in m/s.
    ///
    /// Parameters and exceptions are those of `Length`.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Speed
    /// >>> Speed("36 km/h").si
    /// 10.0
    Speed, "Speed", pint Some("meter / second"), arithmetic; {}
}

class! {
    /// A dimensionless fraction, written in percent and held as a number.
    ///
    /// Parameters and exceptions are those of `Length`. Of pint only a quantity in percent is taken, because 3, 0.03 and
    /// 1.03 are all written for 3 % in practice.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Fraction
    /// >>> Fraction("3 %").si
    /// 0.03
    Fraction, "Fraction", pint Some("percent"), arithmetic; {}
}

/// Adds them to the native module.
pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Length>()?;
    module.add_class::<Mass>()?;
    module.add_class::<Force>()?;
    module.add_class::<Angle>()?;
    module.add_class::<LegAngle>()?;
    module.add_class::<ChokeAngle>()?;
    module.add_class::<Temperature>()?;
    module.add_class::<Stiffness>()?;
    module.add_class::<LineLoad>()?;
    module.add_class::<Pressure>()?;
    module.add_class::<Density>()?;
    module.add_class::<Duration>()?;
    module.add_class::<Acceleration>()?;
    module.add_class::<Speed>()?;
    module.add_class::<Fraction>()?;
    module.add("STANDARD_GRAVITY", Acceleration(STANDARD_GRAVITY))
}
