//! Wind on the hung load, as a document states it.

use super::ranges::{Least, cited, known, within};
use super::texts;
use crate::error::{Error, Place};
use crate::gear::{Cited, Known};
use crate::quantity::{Angle, Density, Duration, Entered, Fraction, Length, Pressure, Speed};
use crate::text::Text;
use serde::{Deserialize, Serialize};

/// Fastest wind, m/s, and densities of air, kg/m³: far beyond weather, so that what lies outside was meant in another unit.
const FASTEST: f64 = 150.0;
const THINNEST: f64 = 0.5;
const DENSEST: f64 = 2.0;
/// Longest time that a speed is averaged over, s: a day.
const LONGEST: f64 = 86_400.0;

/// Wind on the hung load, as a steady push on one face. Whatever is needed and not stated is missing: nothing is assumed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Wind {
    /// Width and height of the face, or of a rectangle of the same area.
    #[serde(default)]
    pub face: Known<Cited<[Entered<Length>; 2]>>,
    /// Drag coefficient of the load on that face.
    #[serde(default)]
    pub drag_coefficient: Known<Cited<f64>>,
    /// Pressure of the wind with its gusts, at the height of the load.
    #[serde(default)]
    pub pressure: Known<Cited<Entered<Pressure>>>,
    /// Speed of the wind, from which its pressure follows.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub speed: Known<WindSpeed>,
    /// Density of the air, for a pressure from the speed.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub air_density: Known<Cited<Entered<Density>>>,
    /// How far above (or, negative, below) the center of gravity the push acts.
    #[serde(default)]
    pub above_center_of_gravity: Known<Entered<Length>>,
    /// Largest angle of the hoist line off plumb that is allowed.
    #[serde(default)]
    pub allowed_off_plumb: Known<Cited<Entered<Angle>>>,
    /// Share of the weight up to which the moment of a push that misses the center of gravity may be left out of the leg forces.
    #[serde(default)]
    pub negligible_share: Known<Cited<Entered<Fraction>>>,
}

/// Speed of the wind, and what it was stated for: a speed without height and time says nothing of a gust at the load.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WindSpeed {
    /// The speed.
    pub value: Entered<Speed>,
    /// The forecast, measurement or limit that states it.
    pub source: Text,
    /// Height above ground or water that it is stated for.
    #[serde(default)]
    pub height: Known<Entered<Length>>,
    /// Time that it is averaged over: some seconds for a gust, minutes for a mean.
    #[serde(default)]
    pub averaged_over: Known<Entered<Duration>>,
    /// Factor that makes it the speed of a gust at the height of the load; 1 where it is that already.
    #[serde(default)]
    pub to_gust_at_load: Known<Cited<f64>>,
}

/// Checks every single value of the wind.
pub(super) fn check(wind: &Wind, place: &Place) -> Result<(), Error> {
    if let Some(face) = wind.face.value() {
        let place = place.child("face");
        cited(face, &place)?;
        for (index, side) in face.value.iter().enumerate() {
            within("side of the face", side, 1e-3, 1e3, place.child("value").child(index))?;
        }
    }
    if let Some(drag) = wind.drag_coefficient.value() {
        let place = place.child("drag_coefficient");
        cited(drag, &place)?;
        if !(drag.value > 0.0 && drag.value <= 10.0) {
            let place = place.child("value");
            return Err(Error::out_of_domain("drag coefficient", drag.value, "", "above 0 and at most 10", place));
        }
    }
    if let Some(pressure) = wind.pressure.value() {
        let place = place.child("pressure");
        cited(pressure, &place)?;
        within("pressure of the wind", &pressure.value, 0.0, 1e5, place.child("value"))?;
    }
    if let Some(stated) = wind.speed.value() {
        speed(stated, &place.child("speed"))?;
    }
    if let Some(density) = wind.air_density.value() {
        let place = place.child("air_density");
        cited(density, &place)?;
        within("density of the air", &density.value, THINNEST, DENSEST, place.child("value"))?;
    }
    if let Some(height) = wind.above_center_of_gravity.value() {
        within("height above the center of gravity", height, -1e3, 1e3, place.child("above_center_of_gravity"))?;
    }
    if let Some(angle) = wind.allowed_off_plumb.value() {
        let place = place.child("allowed_off_plumb");
        cited(angle, &place)?;
        within("angle off plumb", &angle.value, 0.0, std::f64::consts::FRAC_PI_2, place.child("value"))?;
    }
    if let Some(share) = wind.negligible_share.value() {
        let place = place.child("negligible_share");
        cited(share, &place)?;
        within("share of the weight", &share.value, 0.0, 1.0, place.child("value"))?;
    }
    Ok(())
}

fn speed(speed: &WindSpeed, place: &Place) -> Result<(), Error> {
    texts::source(&speed.source, &place.child("source"))?;
    within("speed of the wind", &speed.value, 0.0, FASTEST, place.child("value"))?;
    known("height of the wind's speed", &speed.height, Least::AboveZero, &place.child("height"))?;
    if let Some(time) = speed.averaged_over.value() {
        within("time that the speed is averaged over", time, 0.0, LONGEST, place.child("averaged_over"))?;
    }
    let Some(factor) = speed.to_gust_at_load.value() else { return Ok(()) };
    let place = place.child("to_gust_at_load");
    cited(factor, &place)?;
    if !(factor.value > 0.0 && factor.value <= 10.0) {
        let (name, allowed) = ("factor to a gust at the load", "above 0 and at most 10");
        return Err(Error::out_of_domain(name, factor.value, "", allowed, place.child("value")));
    }
    Ok(())
}
