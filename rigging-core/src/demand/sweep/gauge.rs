//! Reads the extremes off each state that was solved.

use super::{Extremes, LegExtremes, PlaceExtremes, SpreaderExtremes};
use crate::arrangement::{Anchor, Lift, Spreader};
use crate::demand::{ToleranceBox, Vertex};
use crate::equilibrium::{State, angle_between as angle};
use glam::{DQuat, DVec3};

/// Points of a spreader closer to each other than this share of its reach, seen from above, are one end of it.
const SAME_END: f64 = 0.02;

/// What one state shows beside the pulls of its legs.
pub(super) struct Seen {
    /// The world's upward direction in the frame of the pulls.
    pub(super) vertical: DVec3,
    /// The world's upward direction in the load's frame.
    pub(super) up: DVec3,
    /// Kind of equilibrium.
    pub(super) state: State,
}

/// A leg as the gauge sees it: what its ends are attached to, in the order of the path, whether the path is written
/// from the load upward, and the axis of each end's point in the frame of its body as drawn.
struct Station {
    ends: [Option<Anchor>; 2],
    upward: bool,
    axes: [Option<DVec3>; 2],
}

impl Station {
    /// The pull of the leg on its end, from the direction of its member (from end b, what hangs, to end a).
    fn pull(&self, end: usize, direction: DVec3) -> DVec3 {
        // The last station is end b, unless the path is written upward.
        if (end == 1) != self.upward { direction } else { -direction }
    }
}

/// Extremes, and what is needed to widen them.
pub(super) struct Gauge {
    pub(super) extremes: Extremes,
    stations: Vec<Station>,
    widest: Widest,
    /// For each spreader its points: direction outward from the center of gravity, and the end it belongs to.
    spreaders: Vec<Vec<(DVec3, usize)>>,
    /// Pulls of the present state.
    pulls: Vec<(f64, DVec3)>,
}

impl Gauge {
    pub(super) fn new(lift: &Lift, tolerances: &ToleranceBox) -> Self {
        let nominal = Vertex { lengths: vec![0.0; tolerances.lengths.len()], center: [0.0; 3] };
        let axis = |anchor: Anchor| {
            let (point, _) = lift.point(anchor)?;
            point.allowed_direction.value().map(|allowed| DVec3::from_array(allowed.axis).normalize())
        };
        let stations: Vec<Station> = lift
            .legs()
            .map(|leg| {
                let ends = [leg.links.ends.first().copied(), leg.links.ends.last().copied()];
                Station { ends, upward: leg.links.upward(), axes: ends.map(|end| axis(end?)) }
            })
            .collect();
        let legs = stations.iter().map(|station| LegExtremes {
            largest: 0.0,
            least: f64::INFINITY,
            attained: nominal.clone(),
            from_vertical: 0.0,
            from_axis: station.axes.map(|axis| axis.map(|_| 0.0)),
        });
        let places = shared(lift, &stations).into_iter();
        let places = places.map(|anchor| PlaceExtremes { anchor, largest: 0.0, attained: nominal.clone() });
        let document = lift.document();
        let spreader = || SpreaderExtremes { compression: 0.0, attained: nominal.clone() };
        let extremes = Extremes {
            legs: legs.collect(),
            places: places.collect(),
            spreaders: document.spreaders.iter().map(|_| spreader()).collect(),
            tilt: 0.0,
            tilt_attained: nominal.clone(),
            not_stable: None,
            states: 0,
        };
        let spreaders = document.spreaders.iter().map(ends_of).collect();
        Self { extremes, widest: Widest::none(stations.len()), stations, spreaders, pulls: Vec::new() }
    }

    /// Widens the extremes by one state: tension and direction of every member, and the attitude of the body that an
    /// anchor belongs to (none in a frame that turns with the load).
    pub(super) fn read(
        &mut self,
        vertex: &Vertex,
        seen: &Seen,
        pulls: impl Iterator<Item = (f64, DVec3)>,
        attitude: impl Fn(Anchor) -> Option<DQuat>,
    ) {
        self.pulls.clear();
        self.pulls.extend(pulls);
        let turned = |anchor: Anchor, vector: DVec3| attitude(anchor).map_or(vector, |rotation| rotation * vector);
        self.extremes.states += 1;
        let legs = self.extremes.legs.iter_mut().zip(&mut self.widest.legs);
        for ((leg, widest), (station, (tension, direction))) in legs.zip(self.stations.iter().zip(&self.pulls)) {
            if *tension > leg.largest {
                leg.largest = *tension;
                leg.attained = vertex.clone();
            }
            leg.least = leg.least.min(*tension);
            // A slack leg pulls in no direction.
            if *tension > 0.0 {
                let [vertical, off_axis @ ..] = widest;
                if let Some(found) = vertical.beyond(leg.from_vertical, *direction, seen.vertical) {
                    leg.from_vertical = found;
                }
                let ends = leg.from_axis.iter_mut().zip(off_axis).zip(station.ends.iter().zip(&station.axes));
                for (end, ((largest, widest), (anchor, axis))) in ends.enumerate() {
                    if let (Some(largest), Some(anchor), Some(axis)) = (largest, anchor, axis)
                        && let Some(found) =
                            widest.beyond(*largest, station.pull(end, *direction), turned(*anchor, *axis))
                    {
                        *largest = found;
                    }
                }
            }
        }
        for place in &mut self.extremes.places {
            let resultant = resultant(&self.stations, &self.pulls, place.anchor).length();
            if resultant > place.largest {
                place.largest = resultant;
                place.attained = vertex.clone();
            }
        }
        for (index, (spreader, points)) in self.extremes.spreaders.iter_mut().zip(&self.spreaders).enumerate() {
            let mut inward: Vec<f64> = Vec::new();
            for (number, (outward, end)) in points.iter().enumerate() {
                let anchor = Anchor::SpreaderPoint(index, number);
                let pull = resultant(&self.stations, &self.pulls, anchor).dot(turned(anchor, *outward));
                inward.resize(inward.len().max(end + 1), 0.0);
                if let Some(sum) = inward.get_mut(*end) {
                    *sum -= pull;
                }
            }
            let most = inward.into_iter().fold(0.0, f64::max);
            if most > spreader.compression {
                spreader.compression = most;
                spreader.attained = vertex.clone();
            }
        }
        if let Some(tilt) = self.widest.tilt.beyond(self.extremes.tilt, seen.up, DVec3::Z) {
            self.extremes.tilt = tilt;
            self.extremes.tilt_attained = vertex.clone();
        }
        if seen.state != State::Stable && self.extremes.not_stable.is_none() {
            self.extremes.not_stable = Some((seen.state, vertex.clone()));
        }
    }
}

/// Sum of the pulls of all legs on a place.
fn resultant(stations: &[Station], pulls: &[(f64, DVec3)], anchor: Anchor) -> DVec3 {
    let mut sum = DVec3::ZERO;
    for (station, (tension, direction)) in stations.iter().zip(pulls) {
        for (end, found) in station.ends.iter().enumerate() {
            if *found == Some(anchor) {
                sum += *tension * station.pull(end, *direction);
            }
        }
    }
    sum
}

/// The hooks, if there are several, and the points at which several legs meet; each once, in the order of the legs.
fn shared(lift: &Lift, stations: &[Station]) -> Vec<Anchor> {
    let several = lift.document().hooks.len() > 1;
    let mut seen: Vec<(Anchor, usize)> = Vec::new();
    for anchor in stations.iter().flat_map(|station| station.ends).flatten() {
        match seen.iter_mut().find(|(known, _)| *known == anchor) {
            Some((_, count)) => *count += 1,
            None => seen.push((anchor, 1)),
        }
    }
    let kept = seen.into_iter().filter(|(anchor, count)| match anchor {
        Anchor::Hook(_) => several,
        Anchor::Joint(_) => false,
        Anchor::LiftPoint(_) | Anchor::SpreaderPoint(..) => *count > 1,
    });
    kept.map(|(anchor, _)| anchor).collect()
}

/// For each point of a spreader its direction outward from the center of gravity, level as drawn, and the number of the
/// end or corner that it belongs to.
fn ends_of(spreader: &Spreader) -> Vec<(DVec3, usize)> {
    let vector = |point: &crate::arrangement::Point| {
        let [x, y, z] = point;
        DVec3::new(x.si(), y.si(), z.si())
    };
    let center = spreader.center_of_gravity.value().map_or(DVec3::ZERO, vector);
    let arms: Vec<DVec3> =
        spreader.points.iter().map(|point| (vector(&point.position) - center) * DVec3::new(1.0, 1.0, 0.0)).collect();
    let reach = arms.iter().map(|arm| arm.length()).fold(0.0, f64::max);
    let mut ends: Vec<DVec3> = Vec::new();
    let mut points = Vec::with_capacity(arms.len());
    for arm in arms {
        let known = ends.iter().position(|end| (*end - arm).length() <= SAME_END * reach);
        let end = known.unwrap_or_else(|| {
            ends.push(arm);
            ends.len() - 1
        });
        points.push((arm.normalize_or_zero(), end));
    }
    points
}

/// The largest of many angles. An arc tangent costs as much as a step of the solver, so it is taken only where the cosine
/// does not already show that the angle is smaller.
#[derive(Debug, Clone, Copy)]
struct Largest {
    cosine: f64,
}

/// How far a cosine must exceed that of the largest angle for its angle to be smaller beyond the rounding of either.
const CLEARLY: f64 = 1e-9;

impl Largest {
    const NONE: Self = Self { cosine: f64::INFINITY };

    /// The angle between two unit vectors, if it exceeds `largest`, the largest so far.
    fn beyond(&mut self, largest: f64, one: DVec3, other: DVec3) -> Option<f64> {
        let cosine = one.dot(other);
        if cosine > self.cosine + CLEARLY {
            return None;
        }
        let found = angle(one, other);
        (found > largest).then(|| {
            self.cosine = cosine;
            found
        })
    }
}

/// The angles of [`Extremes`] with their cosines.
struct Widest {
    tilt: Largest,
    /// From vertical, and from the axis at either end; one triple a leg.
    legs: Vec<[Largest; 3]>,
}

impl Widest {
    fn none(legs: usize) -> Self {
        Self { tilt: Largest::NONE, legs: vec![[Largest::NONE; 3]; legs] }
    }
}
