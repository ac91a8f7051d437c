//! Every unit of every quantity, for comparison and for telling to what another quantity a unit belongs.

use super::{
    Acceleration, Angle, ChokeAngle, Density, Duration, Force, Fraction, LegAngle, Length, LineLoad, Mass, Pressure,
    Quantity, Scale, Speed, Stiffness, Temperature, Unit,
};

/// One unit of one quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnitRow {
    /// Name of the quantity.
    pub quantity: &'static str,
    /// The symbol that is printed.
    pub symbol: &'static str,
    /// Other spellings that are read.
    pub spellings: &'static [&'static str],
    /// The conversion to SI.
    pub scale: Scale,
    /// What the conversion follows from.
    pub definition: &'static str,
}

fn rows<Q: Quantity>() -> impl Iterator<Item = UnitRow> {
    Q::Unit::all().iter().map(|unit| UnitRow {
        quantity: Q::NAME,
        symbol: unit.symbol(),
        spellings: unit.spellings(),
        scale: unit.scale(),
        definition: unit.definition(),
    })
}

/// Every unit that is read and printed.
///
/// ```
/// use rigging_core::quantity::units;
/// let kip = units().find(|row| row.symbol == "kip").ok_or("no kip")?;
/// assert_eq!((kip.quantity, kip.scale.num() / kip.scale.den()), ("force", 4448.2216152605));
/// # Ok::<(), &str>(())
/// ```
pub fn units() -> impl Iterator<Item = UnitRow> {
    rows::<Length>()
        .chain(rows::<Mass>())
        .chain(rows::<Force>())
        .chain(rows::<Angle>())
        .chain(rows::<Temperature>())
        .chain(rows::<Stiffness>())
        .chain(rows::<LineLoad>())
        .chain(rows::<Pressure>())
        .chain(rows::<Density>())
        .chain(rows::<Duration>())
        .chain(rows::<Acceleration>())
        .chain(rows::<Speed>())
        .chain(rows::<LegAngle>())
        .chain(rows::<ChokeAngle>())
        .chain(rows::<Fraction>())
}
