//! What every quantity has, generated from one table: one line for each unit.

/// Defines a quantity and its units. Each unit stands in one line: variant, constructor, symbol, other spellings, scale
/// to SI, and the definition the scale comes from.
macro_rules! quantity {
    (
        $(#[$doc:meta])*
        $Quantity:ident in $Unit:ident, $name:literal, example $example:literal,
        printed in $printed:ident $si_symbol:literal, from $least:expr, to $greatest:expr, $allowed:literal;
        $($variant:ident $constructor:ident $symbol:literal [$($spelling:literal),*] $scale:expr, $definition:literal;)+
        $({ $($extra:tt)* })?
    ) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, PartialOrd)]
        pub struct $Quantity(f64);

        #[doc = concat!("The units of [`", stringify!($Quantity), "`].")]
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum $Unit {
            $(
                #[doc = concat!("`", $symbol, "`: ", $definition, ".")]
                $variant,
            )+
        }

        impl $Unit {
            /// The conversion to SI.
            pub const fn scale(self) -> $crate::quantity::Scale {
                match self {
                    $(Self::$variant => const { $scale },)+
                }
            }
        }

        impl $crate::quantity::Unit for $Unit {
            fn all() -> &'static [Self] {
                &[$(Self::$variant),+]
            }

            fn symbol(self) -> &'static str {
                match self {
                    $(Self::$variant => $symbol,)+
                }
            }

            fn spellings(self) -> &'static [&'static str] {
                match self {
                    $(Self::$variant => &[$($spelling),*],)+
                }
            }

            fn definition(self) -> &'static str {
                match self {
                    $(Self::$variant => $definition,)+
                }
            }

            fn scale(self) -> $crate::quantity::Scale {
                Self::scale(self)
            }
        }

        impl std::fmt::Display for $Unit {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str($crate::quantity::Unit::symbol(*self))
            }
        }

        impl $Quantity {
            $(
                #[doc = concat!("A value in `", $symbol, "`: ", $definition, ". Any double is accepted.")]
                pub const fn $constructor(value: f64) -> Self {
                    Self::new(value, $Unit::$variant)
                }
            )+

            /// A value in the given unit. Any double is accepted, NaN included; `checked` refuses what is out of range.
            pub const fn new(value: f64, unit: $Unit) -> Self {
                Self(unit.scale().to_si(value))
            }

            /// A value in SI. Any double is accepted, NaN included.
            pub const fn from_si(si: f64) -> Self {
                Self(si)
            }

            /// The value in SI.
            pub const fn si(self) -> f64 {
                self.0
            }

            /// The value in the given unit, within one unit in the last place.
            pub const fn to(self, unit: $Unit) -> f64 {
                unit.scale().from_si(self.0)
            }
        }

        impl $crate::quantity::Quantity for $Quantity {
            type Unit = $Unit;
            const NAME: &'static str = $name;
            const EXAMPLE: &'static str = $example;
            const PRINTED_IN: $Unit = $Unit::$printed;
            const SI_SYMBOL: &'static str = $si_symbol;
            const RANGE: (f64, f64) = ($least, $greatest);
            const ALLOWED: &'static str = $allowed;

            fn from_si(si: f64) -> Self {
                Self(si)
            }

            fn si(self) -> f64 {
                self.0
            }

            $($($extra)*)?
        }

        impl std::fmt::Display for $Quantity {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(&$crate::quantity::Quantity::print(*self))
            }
        }

        impl std::fmt::Debug for $Quantity {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(f, concat!(stringify!($Quantity), "({})"), self)
            }
        }

        impl std::str::FromStr for $Quantity {
            type Err = $crate::error::Error;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                $crate::quantity::parse::<Self>(text).map(|entered| entered.quantity())
            }
        }

        impl serde::Serialize for $Quantity {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> serde::Deserialize<'de> for $Quantity {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                $crate::quantity::Entered::<Self>::deserialize(deserializer).map(|entered| entered.quantity())
            }
        }
    };
}
pub(super) use quantity;

/// Sums, differences, multiples and the ratio of two of the same kind; nothing that would change the dimension.
macro_rules! arithmetic {
    ($($Quantity:ident),+) => {$(
        impl std::ops::Add for $Quantity {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self::from_si(self.si() + other.si())
            }
        }

        impl std::ops::Sub for $Quantity {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self::from_si(self.si() - other.si())
            }
        }

        impl std::ops::Neg for $Quantity {
            type Output = Self;
            fn neg(self) -> Self {
                Self::from_si(-self.si())
            }
        }

        impl std::ops::Mul<f64> for $Quantity {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self::from_si(self.si() * factor)
            }
        }

        impl std::ops::Div<f64> for $Quantity {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self::from_si(self.si() / divisor)
            }
        }

        impl std::ops::Div for $Quantity {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.si() / other.si()
            }
        }
    )+};
}
pub(super) use arithmetic;
