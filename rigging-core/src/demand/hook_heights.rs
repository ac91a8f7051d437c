//! Forces where two hooks may stand at different heights.

use super::{Asked, Demand, Reach, bounds, hook};
use crate::arrangement::{Anchor, Lift};
use crate::chain::{Acts, Chain, Term};
use crate::equilibrium::worst::{self, Effort, Extreme, Tolerances, Worst};
use crate::error::{Error, Place};
use crate::source::Source;
use crate::system::{self, Masses};
use glam::DVec3;

/// A bound close enough that it decides nothing by itself.
const EFFORT: Effort = Effort { gap: 1e-3, parts: 2000 };

/// Forces with the hooks at heights that may differ, beside lengths and center of gravity within their tolerances.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct AtHeights {
    /// The difference in height that was looked at, in m.
    difference: f64,
    found: Worst,
}

impl AtHeights {
    /// Looks for the largest forces under the weight of `masses` with every hook up to half of `difference`, in m, above or below
    /// where it is drawn.
    ///
    /// # Errors
    /// [`Error::Unsupported`] for a single hook and for slings that pass over stations; every error of the solver.
    pub(crate) fn of(lift: &Lift, demand: &Demand, masses: Masses, difference: f64) -> Result<Self, Error> {
        let hooks = lift.document().hooks.len();
        let unsupported = |what| Error::unsupported(what, Place::root().child("hooks"));
        if hooks < 2 {
            return Err(unsupported("a difference in height of one hook"));
        }
        let model = system::from_lift(lift, masses)?;
        if !model.running.is_empty() {
            return Err(unsupported("hooks at different heights with slings that pass over stations"));
        }
        let tolerances = &demand.tolerances;
        let sides = Tolerances {
            lengths: tolerances.lengths.clone(),
            center_of_gravity: tolerances.center,
            hook_heights: vec![0.5 * difference; hooks],
            ..Tolerances::none(tolerances.lengths.len())
        };
        Ok(Self { difference, found: worst::worst_of(&model.system, &sides, &EFFORT)? })
    }

    /// The largest tension of a leg that was attained, in N, and its bound where one is proven.
    pub(crate) fn leg(&self, leg: usize) -> Option<(f64, Option<f64>)> {
        self.found.legs.get(leg).map(|extreme| (extreme.attained, extreme.bound))
    }

    /// The largest pull that the legs at a station make together, in N, and its bound where one is proven. At a joint what pulls it up
    /// and what pulls it down are in balance: the pull is that of one side.
    pub(crate) fn place(&self, lift: &Lift, anchor: Anchor) -> Option<(f64, Option<f64>)> {
        let of = |extreme: &Extreme| (extreme.attained, extreme.bound);
        if let Anchor::Hook(hook) = anchor {
            return self.found.hooks.get(hook).map(of);
        }
        let meeting: Vec<usize> =
            lift.legs().filter(|leg| leg.links.stations.contains(&anchor)).map(|leg| leg.index).collect();
        if let Some(shared) = self.found.points.iter().find(|shared| shared.legs == meeting) {
            return Some(of(&shared.pull));
        }
        if !matches!(anchor, Anchor::Joint(_)) {
            return self.together(&meeting);
        }
        let mut sides = [Vec::new(), Vec::new()];
        for leg in &meeting {
            let Some(up) = rises(lift, *leg, anchor) else {
                // On which side a level leg pulls is not known; each side is no more than half of all pulls.
                let (_, bound) = self.together(&meeting)?;
                return Some((0.0, bound.map(|bound| 0.5 * bound)));
            };
            let [above, below] = &mut sides;
            if up { above.push(*leg) } else { below.push(*leg) }
        }
        let sides = sides.iter().filter(|side| !side.is_empty()).map(|side| self.together(side));
        // The sides are in balance: no more than the lesser bound, and no less than what either attained.
        sides.collect::<Option<Vec<_>>>()?.into_iter().reduce(|(attained, bound), (other, beyond)| {
            let least = match (bound, beyond) {
                (Some(one), Some(other)) => Some(f64::min(one, other)),
                (one, other) => one.or(other),
            };
            (attained.max(other), least)
        })
    }

    /// What legs pull with together, in N. Of several nothing but their bounds is known here: no resultant is larger than their sum.
    fn together(&self, legs: &[usize]) -> Option<(f64, Option<f64>)> {
        if let [only] = legs {
            return self.leg(*only);
        }
        Some((0.0, legs.iter().map(|leg| self.leg(*leg)?.1).sum()))
    }

    /// Load on a hook, with what its rating leaves to be counted; `factors` act on the pull of the legs.
    ///
    /// # Errors
    /// [`Error::Inconsistent`] for a hook that the lift does not have; as the load on a hook for masses that are not known.
    pub(crate) fn hook(
        &self,
        lift: &Lift,
        demand: &Demand,
        index: usize,
        gravity: f64,
        factors: &[&Term],
    ) -> Result<Asked, Error> {
        let place = || Place::root().child("hooks").child(index);
        let (Some(extreme), Some(hook)) = (self.found.hooks.get(index), lift.document().hooks.get(index)) else {
            return Err(Error::inconsistent("no load is known of this hook", place()));
        };
        let (value, reach) = reached(extreme, &self.found);
        let words = match reach {
            Reach::Bound(_) => {
                "pull that no balance within the tolerances and the difference in height exceeds; proven"
            }
            _ => "largest pull found within the tolerances and the difference in height; attained, not a bound",
        };
        let term = Term::new("R", words, value, "N", Source::fixed(&bounds::SOURCE))
            .from_input("difference in height of the hooks", format!("{} m", self.difference))
            .from_input("attained", format!("{:.3} kN", extreme.attained / 1e3));
        let mut chain = Chain { quantity: hook.name.clone(), ..demand.weight.chain.clone() };
        chain = chain.becomes(term, Acts::OnForce);
        let mut times = 1.0;
        for factor in factors {
            times *= factor.value;
            chain = chain.times((*factor).clone(), Acts::OnForce);
        }
        let reach = match reach {
            Reach::Bound(attained) => Reach::Bound(attained * times),
            other => other,
        };
        let pull = Asked { chain: chain.into(), reach, of_capacity: None };
        hook::of_several(pull, &demand.weight, lift, index, &hook.name, gravity)
    }
}

/// Whether a leg leads up from a station, as drawn; none for one that is nearly level.
fn rises(lift: &Lift, leg: usize, from: Anchor) -> Option<bool> {
    let ends = &lift.legs().nth(leg)?.links.ends;
    let to = ends.iter().find(|end| **end != from)?;
    let [own, other] = [from, *to].map(|anchor| drawn(lift, anchor));
    let away = other? - own?;
    // A tenth is far from what stretch and tolerances turn a leg by.
    (away.z.abs() > 0.1 * away.length()).then_some(away.z > 0.0)
}

/// Where a station is drawn, in m.
fn drawn(lift: &Lift, anchor: Anchor) -> Option<DVec3> {
    let document = lift.document();
    let [x, y, z] = match anchor {
        Anchor::Hook(hook) => document.hooks.get(hook)?.position.value()?,
        Anchor::Joint(joint) => &document.joints.get(joint)?.position,
        _ => &lift.point(anchor)?.position,
    };
    Some(DVec3::new(x.si(), y.si(), z.si()))
}

fn reached(extreme: &Extreme, found: &Worst) -> (f64, Reach) {
    match extreme.bound {
        Some(bound) => (bound.max(extreme.attained), Reach::Bound(extreme.attained)),
        None => {
            let why = found.open.as_ref().map_or("it was not looked for", |open| open.reason.words());
            (extreme.attained, Reach::Open(why.into()))
        }
    }
}
