//! Angles that say from where they are counted.

use super::mechanics::Angle;
use super::scale::Scale;
use super::table::quantity;
use crate::error::{Error, Place};
use std::f64::consts::{FRAC_PI_2, PI};

quantity! {
    /// The angle of a leg, stored as its angle from vertical in rad.
    ///
    /// The documents count it in three ways: from vertical, from horizontal, and as the angle included between two
    /// symmetric legs. A text says which; a plain angle is refused.
    ///
    /// ```
    /// use rigging_core::quantity::{Angle, AngleUnit, LegAngle};
    /// let leg = LegAngle::from_vertical(Angle::degrees(30.0));
    /// assert!((leg.angle_from_horizontal().to(AngleUnit::Degree) - 60.0).abs() < 1e-13);
    /// assert!((leg.angle_included().to(AngleUnit::Degree) - 60.0).abs() < 1e-13);
    /// assert!((leg.tension_factor()? - 1.1547).abs() < 5e-5);
    /// assert!("30 deg".parse::<LegAngle>().is_err());
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    LegAngle in LegAngleUnit, "leg angle", example "27.5 deg from vertical",
    printed in RadianFromVertical "rad from vertical", from 0.0, to FRAC_PI_2, "from 0 to 90 deg (pi/2 rad) from vertical";
    DegreeFromVertical degrees_from_vertical "deg from vertical" ["deg to vertical"] Scale::pi_over(180), "pi/180 rad, counted from vertical";
    DegreeFromHorizontal degrees_from_horizontal "deg from horizontal" ["deg to horizontal"] Scale::complement_in_degrees(), "90 deg less the angle from vertical";
    DegreeIncluded degrees_included "deg included" ["deg included angle"] Scale::pi_over(360), "twice the angle from vertical";
    RadianFromVertical radians_from_vertical "rad from vertical" ["rad to vertical"] Scale::ratio(1, 1), "SI unit, counted from vertical";
}

impl LegAngle {
    /// From the angle between the leg and vertical.
    pub const fn from_vertical(angle: Angle) -> Self {
        Self::from_si(angle.si())
    }

    /// From the angle between the leg and horizontal.
    pub const fn from_horizontal(angle: Angle) -> Self {
        Self::from_si(complement(angle.si()))
    }

    /// From the angle between two legs that lean alike to either side of vertical.
    pub const fn included(angle: Angle) -> Self {
        Self::from_si(angle.si() / 2.0)
    }

    /// The angle between the leg and vertical.
    pub const fn angle_from_vertical(self) -> Angle {
        Angle::from_si(self.si())
    }

    /// The angle between the leg and horizontal.
    pub const fn angle_from_horizontal(self) -> Angle {
        Angle::from_si(complement(self.si()))
    }

    /// The angle between two legs that lean alike to either side of vertical.
    pub const fn angle_included(self) -> Angle {
        Angle::from_si(self.si() * 2.0)
    }

    /// Tension of a leg over the vertical load it carries: 1 ÷ cos(angle from vertical).
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] for a horizontal leg, which carries no vertical load, and outside 0 to 90 deg.
    pub fn tension_factor(self) -> Result<f64, Error> {
        let angle = self.si();
        if (0.0..FRAC_PI_2).contains(&angle) {
            Ok(1.0 / angle.cos())
        } else {
            let allowed = "from 0 to less than 90 deg: a horizontal leg carries no vertical load";
            let degrees = self.to(LegAngleUnit::DegreeFromVertical);
            Err(Error::out_of_domain("leg angle", degrees, "deg from vertical", allowed, Place::root()))
        }
    }
}

const fn complement(angle: f64) -> f64 {
    const HALF_PI_LOW: f64 = super::exact::Pair::PI.low / 2.0;
    (FRAC_PI_2 - angle) + HALF_PI_LOW
}

quantity! {
    /// The angle of choke: the angle at the choke point between the standing part and the bight, in rad, from 0 to 180
    /// deg. It has no conversion to the angle of a leg.
    ///
    /// ```
    /// use rigging_core::quantity::ChokeAngle;
    /// assert_eq!("105 deg choke".parse::<ChokeAngle>()?, ChokeAngle::degrees_choke(105.0));
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    ChokeAngle in ChokeAngleUnit, "choke angle", example "120 deg choke",
    printed in RadianChoke "rad choke", from 0.0, to PI, "from 0 to 180 deg (pi rad)";
    DegreeChoke degrees_choke "deg choke" [] Scale::pi_over(180), "pi/180 rad, at the choke point";
    RadianChoke radians_choke "rad choke" [] Scale::ratio(1, 1), "SI unit, at the choke point";
}

#[cfg(test)]
mod tests {
    use super::super::AngleUnit;
    use super::*;

    /// A few units in the last place of 180 deg.
    const ROUNDING: f64 = 6e-14;

    #[test]
    fn the_three_ways_of_counting_agree() {
        for tenth in 0..=900 {
            let angle = f64::from(tenth) / 10.0;
            let leg = LegAngle::degrees_from_vertical(angle);
            for other in [
                LegAngle::from_vertical(Angle::degrees(angle)),
                LegAngle::from_horizontal(Angle::degrees(90.0 - angle)),
                LegAngle::included(Angle::degrees(2.0 * angle)),
                LegAngle::degrees_from_horizontal(90.0 - angle),
                LegAngle::degrees_included(2.0 * angle),
            ] {
                assert!((other.si() - leg.si()).abs() <= 4e-16, "{angle}");
            }
            let read = |angle: Angle| angle.to(AngleUnit::Degree);
            assert!((read(leg.angle_from_vertical()) - angle).abs() < ROUNDING, "{angle}");
            assert!((read(leg.angle_from_horizontal()) - (90.0 - angle)).abs() < ROUNDING, "{angle}");
            assert!((read(leg.angle_included()) - 2.0 * angle).abs() < ROUNDING, "{angle}");
        }
    }

    #[test]
    fn the_tension_factor_is_the_reciprocal_of_the_cosine() {
        for (angle, factor) in [
            (0.0, 1.0),
            (30.0, 2.0 / 3f64.sqrt()),
            (45.0, 2f64.sqrt()),
            (60.0, 2.0),
            (75.0, 2f64.sqrt() * (1.0 + 3f64.sqrt())),
        ] {
            let found = LegAngle::degrees_from_vertical(angle).tension_factor().unwrap();
            assert!((found / factor - 1.0).abs() < 2e-15, "{angle}: {found}");
        }
        let nearly = LegAngle::radians_from_vertical(FRAC_PI_2.next_down()).tension_factor().unwrap();
        assert!(nearly.is_finite() && nearly > 1e15);
    }

    #[test]
    fn a_horizontal_leg_carries_nothing() {
        for leg in [
            LegAngle::degrees_from_vertical(90.0),
            LegAngle::degrees_from_horizontal(0.0),
            LegAngle::degrees_included(180.0),
            LegAngle::degrees_from_vertical(-1.0),
            LegAngle::degrees_from_vertical(f64::NAN),
            LegAngle::degrees_from_vertical(120.0),
        ] {
            assert_eq!(leg.tension_factor().unwrap_err().code(), "out_of_domain", "{leg}");
        }
        let error = LegAngle::degrees_from_vertical(90.0).tension_factor().unwrap_err().to_string();
        assert!(error.contains("90 deg from vertical; it must be from 0 to less than 90 deg"), "{error}");
    }
}
