//! What every class has, generated from one macro.

use super::{Object, read};
use crate::guard::guard;
use pyo3::prelude::*;
use rigging_core::error::{Error, Place};
use rigging_core::quantity::{self, Quantity};

/// Where a result stands in the messages about it.
pub(super) fn result() -> Place {
    Place::root().child("result")
}

/// The quantity itself, if it is finite and in the range of its kind.
pub(super) fn checked<Q: Quantity>(quantity: Q, place: Place) -> PyResult<Q> {
    guard(|| quantity.checked().map_err(|error| error.at(place)))
}

/// The unit of this symbol.
pub(super) fn unit<Q: Quantity>(symbol: &str) -> PyResult<Q::Unit> {
    guard(|| quantity::unit::<Q>(symbol).map_err(|error| error.at(Place::root().child("unit"))))
}

/// A plain number: an int or float, and no quantity of another package.
pub(super) fn number(value: &Bound<'_, PyAny>) -> Option<f64> {
    if super::is_number(value) && !super::has_unit(value) { value.extract().ok() } else { None }
}

/// A divisor that is not zero.
pub(super) fn divisor(value: f64, unit: &str) -> PyResult<f64> {
    guard(|| match value {
        0.0 => Err(Error::out_of_domain("divisor", value, unit, "other than zero", result())),
        _ => Ok(value),
    })
}

/// From a value and a unit, or from whatever names its unit itself.
pub(super) fn new<T: Object>(value: &Bound<'_, PyAny>, symbol: Option<&str>) -> PyResult<T::Core> {
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
                Ok(self.0.to_unit(define::unit::<quantity::$Name>(unit)?))
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
pub(super) use class;
