//! Closed forms over plain SI doubles, one at a time and in rows.

use crate::error::{Error, Place};

/// Tension of each of `legs` equal legs at one angle from vertical under a central weight: W/(n·cos β), N.
///
/// # Errors
/// [`Error::OutOfDomain`] at the name of the argument, for a weight that is not positive and finite, fewer than one leg, or
/// an angle outside 0 ≤ β < π/2 (rad).
///
/// ```
/// use rigging_core::sharing::equal_leg_tension;
/// // Spellman and Whiting, Handbook of Mathematics and Statistics for the Environment, Example 11.3: 2000 lb on two legs at
/// // 30 degrees from horizontal give 2000 lb each.
/// let tension = equal_leg_tension(2000.0, 2.0, 60.0_f64.to_radians())?;
/// approx::assert_abs_diff_eq!(tension, 2000.0, epsilon = 0.5);
/// let refused = equal_leg_tension(2000.0, 2.0, 60.0).map_err(|error| error.place().to_string());
/// assert_eq!(refused, Err("/angle_from_vertical_rad".into()));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn equal_leg_tension(weight_n: f64, legs: f64, angle_from_vertical_rad: f64) -> Result<f64, Error> {
    let weight = positive("weight", weight_n, "weight_n")?;
    if !(legs >= 1.0 && legs.fract() == 0.0 && legs.is_finite()) {
        return Err(Error::out_of_domain("number of legs", legs, "", "a whole number from 1 up", at("legs")));
    }
    Ok(weight / (legs * cosine(angle_from_vertical_rad)?))
}

/// Tension of each part of a basket hitch without friction under a central weight: W/(2·cos β), N.
///
/// # Errors
/// As [`equal_leg_tension`].
pub fn basket_tension(weight_n: f64, angle_from_vertical_rad: f64) -> Result<f64, Error> {
    equal_leg_tension(weight_n, 2.0, angle_from_vertical_rad)
}

/// Horizontal pull of a leg that carries a vertical force: V·tan β, N. At the choke of a pair of choked slings it is what
/// draws the two together.
///
/// # Errors
/// As [`equal_leg_tension`].
///
/// ```
/// use rigging_core::sharing::horizontal_pull;
/// // 35 degrees from vertical: horizontal over vertical is 0.70.
/// let pull = horizontal_pull(1000.0, 35.0_f64.to_radians())?;
/// approx::assert_abs_diff_eq!(pull / 1000.0, 0.70, epsilon = 0.005);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn horizontal_pull(vertical_n: f64, angle_from_vertical_rad: f64) -> Result<f64, Error> {
    let vertical = positive("vertical force", vertical_n, "vertical_n")?;
    let cosine = cosine(angle_from_vertical_rad)?;
    Ok(vertical * angle_from_vertical_rad.sin() / cosine)
}

/// The place of an error is the argument, by the name that it has in every language.
fn at(argument: &str) -> Place {
    Place::root().child(argument)
}

fn positive(name: &str, force: f64, argument: &str) -> Result<f64, Error> {
    if force > 0.0 && force.is_finite() {
        return Ok(force);
    }
    Err(Error::out_of_domain(name, force, "N", "positive and finite", at(argument)))
}

fn cosine(angle_from_vertical_rad: f64) -> Result<f64, Error> {
    if (0.0..std::f64::consts::FRAC_PI_2).contains(&angle_from_vertical_rad) {
        return Ok(angle_from_vertical_rad.cos());
    }
    let allowed = "from 0 to below a right angle";
    let place = at("angle_from_vertical_rad");
    Err(Error::out_of_domain("angle from vertical", angle_from_vertical_rad, "rad", allowed, place))
}

/// Applies a closed form to rows; a row that fails has NaN and the status of its error ([`Error::status`]), any other 0.
///
/// # Errors
/// [`Error::Inconsistent`] where the lists differ in length.
///
/// ```
/// use rigging_core::sharing::{equal_leg_tension, rows};
/// let (mut tension, mut status) = ([0.0; 2], [0; 2]);
/// let inputs = [[1000.0, -1.0].as_slice(), &[2.0, 2.0], &[0.0, 0.0]];
/// rows(|[weight, legs, angle]| equal_leg_tension(weight, legs, angle), inputs, &mut tension, &mut status)?;
/// assert_eq!((tension[0], status), (500.0, [0, 1]));
/// assert!(tension[1].is_nan());
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn rows<const N: usize>(
    form: impl Fn([f64; N]) -> Result<f64, Error>,
    inputs: [&[f64]; N],
    values: &mut [f64],
    status: &mut [i32],
) -> Result<(), Error> {
    let count = values.len();
    if status.len() != count || inputs.iter().any(|input| input.len() != count) {
        return Err(Error::inconsistent("the lists differ in length", Place::root()));
    }
    let mut inputs = inputs.map(|input| input.iter());
    for (value, status) in values.iter_mut().zip(status) {
        let row = inputs.each_mut().map(|input| input.next().copied().unwrap_or(f64::NAN));
        (*value, *status) = form(row).map_or_else(|error| (f64::NAN, error.status()), |value| (value, 0));
    }
    Ok(())
}
