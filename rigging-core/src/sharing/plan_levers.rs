//! Levers in plan.

use super::{LegSet, SharingRule, Words};
use crate::error::{Error, Place};
use crate::source::{Source, Standing};
use glam::{DMat2, DVec2};

/// How far a corner may be off a parallelogram, and how flat a triangle may be, as a share of its reach.
const OFF: f64 = 1e-6;

/// The weight goes to the points by levers in plan, as if the legs were plumb, and is then raised by the angle of each leg.
///
/// Two points share along the line between them, three by areas; at the four corners of a parallelogram the levers of both
/// directions multiply. Nothing in statics says that four legs share so: it is a rule, and claims nothing.
///
/// # Sources
/// Common practice, no source.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::sharing::{LegSet, PlanLevers, share};
/// use rigging_core::system::Masses;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let set = LegSet::of(&lift, Masses::stated(&lift)?)?.with_angle(0.0)?;
/// let forces = share(&PlanLevers, &set)?;
/// // Lug B: (2.60 + 0.45)/5.20 along, (1.05 + 0.12)/2.10 across.
/// approx::assert_abs_diff_eq!(forces[1] / set.weight(), 3.05 / 5.2 * (1.17 / 2.1), epsilon = 1e-12);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlanLevers;

impl SharingRule for PlanLevers {
    fn words(&self) -> Words {
        Words {
            name: "levers in plan".into(),
            domain: "one to three points, or four at the corners of a parallelogram in plan; the center of gravity between them"
                .into(),
            source: Source::new("levers in plan, raised by the angle", "", "", Standing::CommonPractice),
            conservative: false,
        }
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        let points: Vec<DVec2> = set.legs().iter().map(|leg| leg.point.truncate()).collect();
        let center = set.center_of_gravity().truncate();
        let shares = match *points.as_slice() {
            [_] => vec![1.0],
            [a, b] => {
                let across = b - a;
                let share = (center - a).dot(across) / parted(across.length_squared(), reach(&points))?;
                vec![1.0 - share, share]
            }
            [a, b, c] => {
                let [along, across] = coordinates(center - a, b - a, c - a)?;
                vec![1.0 - along - across, along, across]
            }
            [a, b, c, d] => corners(center, [a, b, c, d])?,
            _ => {
                set.count_within(1..=4)?;
                Vec::new()
            }
        };
        if let Some(share) = shares.iter().find(|share| !(0.0..=1.0).contains(*share)) {
            let place = Place::root().child("load").child("center_of_gravity");
            let allowed = "from 0 to 1: the center of gravity between the points";
            return Err(Error::out_of_domain("share of a point by levers in plan", *share, "", allowed, place));
        }
        let angles = set.from_vertical()?;
        Ok(shares.iter().zip(angles).map(|(share, angle)| set.weight() * share / angle.cos()).collect())
    }
}

/// Shares of the corners of a parallelogram, in the order given.
fn corners(center: DVec2, points: [DVec2; 4]) -> Result<Vec<f64>, Error> {
    let [first, others @ ..] = points;
    let size = reach(&points);
    // The corner across from the first one closes the parallelogram.
    for across in 0..3 {
        let [one, other, far] = match (across, others) {
            (0, [far, one, other]) | (1, [one, far, other]) | (_, [one, other, far]) => [one, other, far],
        };
        if (first + far - one - other).length() > OFF * size {
            continue;
        }
        let [s, t] = coordinates(center - first, one - first, other - first)?;
        let (near, along, aside, opposite) = ((1.0 - s) * (1.0 - t), s * (1.0 - t), (1.0 - s) * t, s * t);
        return Ok(match across {
            0 => vec![near, opposite, along, aside],
            1 => vec![near, along, opposite, aside],
            _ => vec![near, along, aside, opposite],
        });
    }
    let what = "levers in plan for four points that are no corners of a parallelogram";
    Err(Error::unsupported(what, Place::root().child("load").child("lift_points")))
}

/// `point` = s·`along` + t·`across`: s and t.
fn coordinates(point: DVec2, along: DVec2, across: DVec2) -> Result<[f64; 2], Error> {
    let matrix = DMat2::from_cols(along, across);
    parted(matrix.determinant().abs(), along.length().max(across.length()))?;
    Ok((matrix.inverse() * point).to_array())
}

fn reach(points: &[DVec2]) -> f64 {
    let first = points.first().copied().unwrap_or_default();
    points.iter().map(|point| (*point - first).length()).fold(0.0, f64::max)
}

/// An area, unless the points lie in one line or in one place.
fn parted(area: f64, reach: f64) -> Result<f64, Error> {
    if area > OFF * reach * reach {
        return Ok(area);
    }
    let what = "levers in plan for points that lie in one place or line";
    Err(Error::unsupported(what, Place::root().child("load").child("lift_points")))
}
