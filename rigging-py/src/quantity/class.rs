//! The classes, generated from one table.

use super::{Object, read};
use crate::guard::guard;
use crate::text;
use pyo3::basic::CompareOp;
use pyo3::prelude::*;
use rigging_core::error::{Error, Place};
use rigging_core::quantity::{self, Quantity, STANDARD_GRAVITY, Unit};

/// Where a result stands in the messages about it.
fn result() -> Place {
    Place::root().child("result")
}

/// The quantity itself, if it is finite and in the range of its kind.
fn checked<Q: Quantity>(quantity: Q, place: Place) -> PyResult<Q> {
    guard(|| quantity.checked().map_err(|error| error.at(place)))
}

/// The unit of this symbol.
fn unit<Q: Quantity>(symbol: &str) -> PyResult<Q::Unit> {
    guard(|| quantity::unit::<Q>(symbol).map_err(|error| error.at(Place::root().child("unit"))))
}

/// A plain number: an int or float, and no quantity of another package.
fn number(value: &Bound<'_, PyAny>) -> Option<f64> {
    if super::is_number(value) && !super::has_unit(value) { value.extract().ok() } else { None }
}

/// A divisor that is not zero.
fn divisor(value: f64, unit: &str) -> PyResult<f64> {
    guard(|| match value {
        0.0 => Err(Error::out_of_domain("divisor", value, unit, "other than zero", result())),
        _ => Ok(value),
    })
}

/// From a value and a unit, or from whatever names its unit itself.
fn new<T: Object>(value: &Bound<'_, PyAny>, symbol: Option<&str>) -> PyResult<T::Core> {
    match symbol {
        None => read::<T>(value, "value"),
        Some(symbol) => {
            let unit = unit::<T::Core>(symbol)?;
            let Some(value) = number(value) else {
                let kind = super::named(value);
                let message = format!("value: beside a unit it is a plain number, not {kind}");
                return Err(pyo3::exceptions::PyTypeError::new_err(message));
            };
            checked(T::Core::new_in(value, unit), Place::root().child("value"))
        }
    }
}

macro_rules! class {
    ($(#[$doc:meta])* $Name:ident, $text:literal, pint $pint:expr; { $($extra:tt)* }) => {
        $(#[$doc])*
        #[pyclass(frozen, module = "rigging_py", name = $text)]
        pub(crate) struct $Name(pub(crate) quantity::$Name);

        impl Object for $Name {
            type Core = quantity::$Name;
            const PINT: Option<&'static str> = $pint;

            fn core(&self) -> Self::Core {
                self.0
            }
        }

        #[pymethods]
        impl $Name {
            #[new]
            #[pyo3(signature = (value, unit = None))]
            fn new(value: &Bound<'_, PyAny>, unit: Option<&str>) -> PyResult<Self> {
                new::<Self>(value, unit).map(Self)
            }

            /// The value in the SI unit.
            #[getter]
            fn si(&self) -> f64 {
                self.0.si()
            }

            /// The value in another unit.
            ///
            /// Parameters
            /// ----------
            /// unit : str
            ///     One of `units()`, or another spelling of it.
            ///
            /// Returns
            /// -------
            /// float
            ///     Within one unit in the last place.
            ///
            /// Raises
            /// ------
            /// WrongUnitError
            ///     For a unit that is not known, or that belongs to another quantity.
            fn to(&self, unit: &str) -> PyResult<f64> {
                Ok(self.0.to_unit(self::unit::<quantity::$Name>(unit)?))
            }

            /// Symbols of the units it is written in.
            ///
            /// Returns
            /// -------
            /// tuple of str
            #[staticmethod]
            fn units(py: Python<'_>) -> PyResult<Py<PyAny>> {
                text::tuple(py, <quantity::$Name as Quantity>::Unit::all().iter().map(|unit| unit.symbol()))
            }

            /// numpy leaves arithmetic to this class.
            #[classattr]
            fn __array_ufunc__() -> Option<i32> {
                None
            }

            fn __repr__(&self) -> String {
                format!("{}('{}')", $text, self.0)
            }

            fn __str__(&self) -> String {
                self.0.to_string()
            }

            fn __richcmp__(&self, py: Python<'_>, other: &Bound<'_, PyAny>, operation: CompareOp) -> PyResult<Py<PyAny>> {
                match other.cast::<Self>() {
                    Ok(other) => {
                        let order = self.0.si().total_cmp(&other.get().0.si());
                        // Both zeros are equal.
                        let order = if self.0 == other.get().0 { std::cmp::Ordering::Equal } else { order };
                        Ok(operation.matches(order).into_pyobject(py)?.to_owned().into_any().unbind())
                    }
                    Err(_) => Ok(py.NotImplemented()),
                }
            }

            fn __hash__(&self) -> u64 {
                text::hash(&($text, text::bits(self.0.si())))
            }

            fn __copy__(this: Py<Self>) -> Py<Self> {
                this
            }

            fn __deepcopy__(this: Py<Self>, _memo: &Bound<'_, PyAny>) -> Py<Self> {
                this
            }

            fn __reduce__(&self, py: Python<'_>) -> (Py<PyAny>, (String,)) {
                (py.get_type::<Self>().into_any().unbind(), (self.0.to_string(),))
            }

            $($extra)*
        }
    };
    // With sums, differences, multiples and the ratio of two of one kind.
    ($(#[$doc:meta])* $Name:ident, $text:literal, pint $pint:expr, arithmetic; { $($extra:tt)* }) => {
        class! {
            $(#[$doc])*
            $Name, $text, pint $pint;
            {
                fn __add__(&self, py: Python<'_>, other: &Bound<'_, PyAny>) -> PyResult<Py<PyAny>> {
                    let Ok(other) = other.cast::<Self>() else { return Ok(py.NotImplemented()) };
                    Ok(Py::new(py, Self(checked(self.0 + other.get().0, result())?))?.into_any())
                }

                fn __sub__(&self, py: Python<'_>, other: &Bound<'_, PyAny>) -> PyResult<Py<PyAny>> {
                    let Ok(other) = other.cast::<Self>() else { return Ok(py.NotImplemented()) };
                    Ok(Py::new(py, Self(checked(self.0 - other.get().0, result())?))?.into_any())
                }

                fn __neg__(&self) -> Self {
                    Self(-self.0)
                }

                fn __mul__(&self, py: Python<'_>, other: &Bound<'_, PyAny>) -> PyResult<Py<PyAny>> {
                    let Some(factor) = number(other) else { return Ok(py.NotImplemented()) };
                    Ok(Py::new(py, Self(checked(self.0 * factor, result())?))?.into_any())
                }

                fn __rmul__(&self, py: Python<'_>, other: &Bound<'_, PyAny>) -> PyResult<Py<PyAny>> {
                    self.__mul__(py, other)
                }

                fn __truediv__(&self, py: Python<'_>, other: &Bound<'_, PyAny>) -> PyResult<Py<PyAny>> {
                    if let Ok(other) = other.cast::<Self>() {
                        let other = other.get().0;
                        divisor(other.si(), <quantity::$Name as Quantity>::SI_SYMBOL)?;
                        return Ok((self.0 / other).into_pyobject(py)?.into_any().unbind());
                    }
                    let Some(number) = number(other) else { return Ok(py.NotImplemented()) };
                    let quotient = self.0 / divisor(number, "")?;
                    Ok(Py::new(py, Self(checked(quotient, result())?))?.into_any())
                }

                $($extra)*
            }
        }
    };
}

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
    module.add_class::<Fraction>()?;
    module.add("STANDARD_GRAVITY", Acceleration(STANDARD_GRAVITY))
}
