//! Skew as a result: how much more a leg may carry than at nominal numbers, and which tolerance keeps that below a limit.

use super::attained;
use super::problem::{Problem, Tolerances};
use super::target::Target;
use super::{Effort, Worst, worst};
use crate::equilibrium::bridle::Bridle;
use crate::error::{Error, Place};
use serde::Serialize;

/// How often the common tolerance is halved in the search.
const HALVINGS: usize = 30;
/// Shares of the tolerance found by search at which the proof is tried, largest first.
const SHARES: [f64; 9] = [0.9999, 0.999, 0.995, 0.99, 0.97, 0.94, 0.9, 0.8, 0.5];

/// What a worst tension is compared with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// The largest ratio of a leg's worst tension to its own nominal one.
    Own,
    /// The largest worst tension of any leg over the largest nominal one of any.
    Largest,
}

/// A skew factor.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Ratio {
    /// Attained.
    pub attained: f64,
    /// Proven not to be exceeded; none where that was not proven.
    pub bound: Option<f64>,
}

/// The skew factors of a worst case.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Skew {
    /// The largest ratio of a leg's worst tension to its own nominal one; legs that are slack at nominal numbers have none.
    pub own: Ratio,
    /// The largest worst tension of any leg over the largest nominal one of any.
    pub largest: Ratio,
}

/// The tolerance, common to all lengths, up to which a skew factor stays within a limit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Common {
    /// Proven to keep it, m; none where no tolerance was.
    pub keeps: Option<f64>,
    /// The least at which it was found exceeded, m; none within the range.
    pub exceeds: Option<f64>,
}

impl Worst {
    /// The skew factors.
    pub fn skew(&self) -> Skew {
        let factor = |measure: Measure| Ratio {
            attained: ratio(measure, self.legs.iter().map(|leg| (leg.nominal, leg.attained))),
            bound: (self.legs.iter().all(|leg| leg.bound.is_some()))
                .then(|| ratio(measure, self.legs.iter().map(|leg| (leg.nominal, leg.bound.unwrap_or(f64::INFINITY))))),
        };
        Skew { own: factor(Measure::Own), largest: factor(Measure::Largest) }
    }
}

/// The factor from each leg's nominal and worst tension.
pub(super) fn ratio(measure: Measure, legs: impl Iterator<Item = (f64, f64)>) -> f64 {
    let (mut own, mut nominals, mut worsts) = (0.0_f64, 0.0_f64, 0.0_f64);
    for (nominal, worst) in legs {
        if nominal > 0.0 {
            own = own.max(worst / nominal);
        }
        nominals = nominals.max(nominal);
        worsts = worsts.max(worst);
    }
    match measure {
        Measure::Own => own,
        Measure::Largest => worsts / nominals,
    }
}

/// The tolerance, common to all lengths, that keeps a skew factor within `limit`, looked for up to `range`, m. The other
/// tolerances are as given; those of lengths are not used.
///
/// # Errors
///
/// As [`worst`](super::worst()); [`Error::OutOfDomain`] unless the limit is at least 1 and the range positive and less than
/// every length.
///
/// ```
/// use glam::DVec3;
/// use rigging_core::equilibrium::bridle::Bridle;
/// use rigging_core::equilibrium::worst::{Effort, Measure, Tolerances, common_tolerance};
/// use rigging_core::system::Law;
/// let points = [[1.0, 0.5], [1.0, -0.5], [-1.0, -0.5], [-1.0, 0.5]].map(|[x, y]| DVec3::new(x, y, 0.0));
/// let bridle = Bridle::new(points.to_vec(), vec![3.0; 4], vec![Law::linear(2.0e6)?; 4], DVec3::new(0.0, 0.0, -0.4), 4.0e4)?;
/// let found = common_tolerance(&bridle, &Tolerances::none(4), Measure::Own, 1.25, 0.02, &Effort::default())?;
/// assert!(found.keeps.zip(found.exceeds).is_some_and(|(keeps, exceeds)| 0.99 * exceeds < keeps && keeps < exceeds));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn common_tolerance(
    bridle: &Bridle,
    others: &Tolerances,
    measure: Measure,
    limit: f64,
    range: f64,
    effort: &Effort,
) -> Result<Common, Error> {
    if !(limit >= 1.0 && limit.is_finite()) {
        return Err(Error::out_of_domain("limit", limit, "", "finite, at least 1", Place::root().child("limit")));
    }
    if range.is_nan() || range <= 0.0 {
        return Err(Error::out_of_domain("range", range, "m", "positive", Place::root().child("range")));
    }
    let with = |tolerance: f64| Tolerances { lengths: vec![tolerance; bridle.lengths().len()], ..others.clone() };
    let exceeds = |tolerance: f64| Ok::<bool, Error>(attained(bridle, &with(tolerance), measure)? > limit);
    let proven = |tolerance: f64| {
        let skew = worst(bridle, &with(tolerance), &Effort { gap: 1.0e-4, ..*effort })?.skew();
        let factor = match measure {
            Measure::Own => skew.own,
            Measure::Largest => skew.largest,
        };
        Ok::<bool, Error>(factor.bound.is_some_and(|bound| bound <= limit))
    };
    if exceeds(0.0)? {
        return Ok(Common { keeps: None, exceeds: Some(0.0) });
    }
    let (mut low, mut high) = (0.0, range);
    let found = exceeds(range)?;
    if !found && proven(range)? {
        return Ok(Common { keeps: Some(range), exceeds: None });
    }
    if found {
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if exceeds(middle)? {
                high = middle;
            } else {
                low = middle;
            }
        }
    } else {
        low = range;
    }
    let mut keeps = None;
    for tolerance in SHARES.map(|share| share * low) {
        if proven(tolerance)? {
            keeps = Some(tolerance);
            break;
        }
    }
    Ok(Common { keeps, exceeds: found.then_some(high) })
}

/// The factor that is attained, without a bound.
fn attained(bridle: &Bridle, tolerances: &Tolerances, measure: Measure) -> Result<f64, Error> {
    let problem = Problem::new(bridle, tolerances)?;
    let mut hanging = super::nominal(&problem)?;
    let nominal: Vec<f64> = hanging.workspace.tensions().collect();
    let targets: Vec<Target> = (0..problem.legs()).map(Target::of_leg).collect();
    let best = attained::search(&problem, &mut hanging, &targets)?.best;
    Ok(ratio(measure, nominal.into_iter().zip(best.iter().map(|best| best.value))))
}
