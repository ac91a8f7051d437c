//! Reads the extremes off each state that was solved.

use super::collected::Collected;
use super::{Extremes, LegExtremes, PlaceExtremes, SetExtremes, SpansExtremes, SpreaderExtremes};
use crate::arrangement::{Anchor, LegView, Lift, SetOfLegs, Spreader};
use crate::demand::{Proof, ToleranceBox, Vertex};
use crate::equilibrium::{State, angle_between as angle};
use glam::{DQuat, DVec3};
use std::f64::consts::FRAC_PI_2;
use std::ops::Range;

/// Points of a spreader closer to each other than this share of its reach, seen from above, are one end of it.
const SAME_END: f64 = 0.02;

/// What one state shows beside the pulls of its legs.
pub(super) struct Seen<'a> {
    /// The world's upward direction in the frame of the pulls.
    pub(super) vertical: &'a DVec3,
    /// The world's upward direction in the load's frame.
    pub(super) up: &'a DVec3,
    /// Kind of equilibrium.
    pub(super) state: State,
}

/// A leg from end to end, or a span of one that passes over stations, as the gauge sees it: what its ends are attached to,
/// in the order of the path, and whether that leads upward.
struct Strand {
    leg: usize,
    ends: [Anchor; 2],
    upward: bool,
    /// Whether it stands between two things that hang or hold, rather than along one of them.
    inclined: bool,
    /// Its tensions and its angle from vertical so far: what stays within changes no extreme of the leg.
    largest: f64,
    least: f64,
    from_vertical: Largest,
    /// The axes of the ratings at its ends.
    axes: [Option<Axis>; 2],
}

/// An axis of the point at an end, to which the pull there is compared. Only the ends of a leg have axes: at a station that it
/// passes over both spans pull.
struct Axis {
    anchor: Anchor,
    /// In the frame of the point's body as drawn, turned about where the pull is against the direction of the member.
    axis: DVec3,
    widest: Largest,
}

impl Strand {
    /// The strands of a leg.
    fn of<'a>(leg: &LegView<'a>) -> impl Iterator<Item = Self> + use<'a> {
        let index = leg.index;
        leg.links.spans().map(move |[from, to]| Self {
            leg: index,
            ends: [from, to],
            upward: from.below(to),
            inclined: !from.rigid_with(to),
            largest: 0.0,
            least: f64::INFINITY,
            from_vertical: Largest::NONE,
            axes: [None, None],
        })
    }

    /// The pull of the strand on its end, from the direction of its member (from end b, what hangs, to end a).
    fn pull(&self, end: usize, direction: DVec3) -> DVec3 {
        // The last station is end b, unless the path is written upward.
        if (end == 1) != self.upward { direction } else { -direction }
    }
}

/// Extremes, and what is needed to widen them.
pub(super) struct Gauge {
    pub(super) extremes: Extremes,
    strands: Vec<Strand>,
    /// The legs that pass over stations, with their strands.
    running: Vec<(usize, Range<usize>)>,
    tilt: Largest,
    /// The axes of holes, with the strand and its end.
    holes: Vec<(usize, usize, Axis)>,
    /// The axis of each place whose direction of pull counts: those that a sling passes over.
    axes: Vec<Option<DVec3>>,
    collected: Collected,
    /// For each set of legs the strands that hang from its place, and their ends there.
    sets: Vec<Vec<(usize, usize)>>,
    /// For each spreader its points: direction outward from the center of gravity, and the end it belongs to.
    spreaders: Vec<Vec<(DVec3, usize)>>,
}

impl Gauge {
    pub(super) fn new(lift: &Lift, tolerances: &ToleranceBox) -> Self {
        let nominal = tolerances.middle();
        let mut strands: Vec<Strand> = Vec::new();
        let mut legs: Vec<LegExtremes> = Vec::new();
        let (mut holes, mut running) = (Vec::new(), Vec::new());
        for leg in lift.legs() {
            let from = strands.len();
            strands.extend(Strand::of(&leg));
            let mut found = LegExtremes {
                largest: 0.0,
                least: f64::INFINITY,
                attained: nominal.clone(),
                bound: None,
                from_vertical: 0.0,
                from_axis: [None; 2],
                out_of_plane: [None; 2],
                sliding: None,
                together: None,
            };
            if leg.links.runs() {
                let spans = leg.links.spans().filter(|[from, to]| !from.rigid_with(*to)).count();
                found.together = Some(SpansExtremes { spans, sum: 0.0, attained: nominal.clone() });
                running.push((leg.index, from..strands.len()));
            }
            let last = strands.len().saturating_sub(1);
            let slots = found.from_axis.iter_mut().zip(&mut found.out_of_plane);
            for (end, (number, (from_axis, out_of_plane))) in [from, last].into_iter().zip(slots).enumerate() {
                let Some(strand) = strands.get_mut(number).filter(|strand| strand.leg == leg.index) else { continue };
                let Some(anchor) = strand.ends.get(end).copied() else { continue };
                let turned = |axis: DVec3| Axis { anchor, axis: strand.pull(end, axis), widest: Largest::NONE };
                if let Some(axis) = hole(lift, anchor) {
                    *out_of_plane = Some(0.0);
                    holes.push((number, end, turned(axis)));
                }
                let axis = axis(lift, anchor).map(turned);
                *from_axis = axis.as_ref().map(|_| 0.0);
                if let Some(slot) = strand.axes.get_mut(end) {
                    *slot = axis;
                }
            }
            legs.push(found);
        }
        let places = shared(lift, &strands).into_iter();
        let places = places.map(|anchor| PlaceExtremes {
            anchor,
            largest: 0.0,
            attained: nominal.clone(),
            bound: None,
            from_axis: passed_over(lift, anchor).then(|| axis(lift, anchor)).flatten().map(|_| 0.0),
        });
        let document = lift.document();
        let (of_sets, sets) = sets(lift, &strands, &nominal);
        let spreader = || SpreaderExtremes { compression: 0.0, attained: nominal.clone() };
        let extremes = Extremes {
            legs,
            places: places.collect(),
            spreaders: document.spreaders.iter().map(|_| spreader()).collect(),
            collectors: Collected::none(lift, &nominal),
            sets: of_sets,
            tilt: 0.0,
            tilt_attained: nominal.clone(),
            not_stable: None,
            states: 0,
            by_friction: false,
            proof: Proof::NotAsked,
        };
        let spreaders = document.spreaders.iter().map(ends_of).collect();
        let axes = extremes.places.iter().map(|place| place.from_axis.and_then(|_| axis(lift, place.anchor))).collect();
        let (tilt, collected) = (Largest::NONE, Collected::of(lift));
        Self { extremes, strands, running, tilt, holes, axes, collected, sets, spreaders }
    }

    /// Widens the extremes by one state: tension and direction of every strand, leg after leg, and the attitude of the body that an
    /// anchor belongs to (none in a frame that turns with the load).
    pub(super) fn read(
        &mut self,
        vertex: &Vertex,
        seen: &Seen<'_>,
        pulls: &[(f64, DVec3)],
        attitude: impl Fn(Anchor) -> Option<DQuat>,
    ) {
        let turned = |anchor: Anchor, vector: DVec3| attitude(anchor).map_or(vector, |rotation| rotation * vector);
        self.extremes.states += 1;
        for (strand, (tension, direction)) in self.strands.iter_mut().zip(pulls) {
            if *tension > strand.largest || *tension < strand.least {
                let Some(leg) = self.extremes.legs.get_mut(strand.leg) else { continue };
                strand.largest = strand.largest.max(*tension);
                strand.least = strand.least.min(*tension);
                if *tension > leg.largest {
                    leg.largest = *tension;
                    leg.attained.clone_from(vertex);
                }
                leg.least = leg.least.min(*tension);
            }
            // A slack leg pulls in no direction.
            if *tension > 0.0 {
                if strand.inclined {
                    strand.from_vertical.widen(*direction, *seen.vertical);
                }
                for Axis { anchor, axis, widest } in strand.axes.iter_mut().flatten() {
                    widest.widen(*direction, turned(*anchor, *axis));
                }
            }
        }
        for (leg, range) in &self.running {
            let of_leg = self.strands.get(range.clone()).zip(pulls.get(range.clone()));
            let together = self.extremes.legs.get_mut(*leg).and_then(|leg| leg.together.as_mut());
            let (Some((strands, pulls)), Some(together)) = (of_leg, together) else { continue };
            let spans = strands.iter().zip(pulls).filter(|(strand, _)| strand.inclined);
            let sum: f64 = spans.map(|(_, (tension, _))| tension).sum();
            if sum > together.sum {
                together.sum = sum;
                together.attained.clone_from(vertex);
            }
        }
        for (strand, _, Axis { anchor, axis, widest }) in &mut self.holes {
            let pull = self.strands.get(*strand).zip(pulls.get(*strand)).filter(|(_, (tension, _))| *tension > 0.0);
            let Some((_, (_, direction))) = pull else { continue };
            let axis = turned(*anchor, *axis);
            // Out of the plane by the more, the nearer to the axis or to its opposite.
            widest.widen_by(-direction.dot(axis).abs(), *direction, axis, out_of_plane);
        }
        for (place, axis) in self.extremes.places.iter_mut().zip(&self.axes) {
            let pull = resultant(&self.strands, pulls, place.anchor);
            let size = pull.length();
            if size > place.largest {
                place.largest = size;
                place.attained.clone_from(vertex);
            }
            if let (Some(widest), Some(axis)) = (&mut place.from_axis, axis)
                && size > 0.0
            {
                *widest = widest.max(angle(pull, turned(place.anchor, *axis)));
            }
        }
        for (index, collector) in self.extremes.collectors.iter_mut().enumerate() {
            let hole = self.collected.holes.get(index).copied().flatten().map(|axis| turned(collector.anchor, axis));
            let pulls = pulls_on(&self.strands, pulls, collector.anchor);
            self.collected.read(collector, vertex, *seen.vertical, hole, pulls);
        }
        for (set, ends) in self.extremes.sets.iter_mut().zip(&self.sets) {
            let pull = ends.iter().filter_map(|(strand, end)| {
                let (tension, direction) = pulls.get(*strand)?;
                Some(*tension * self.strands.get(*strand)?.pull(*end, *direction))
            });
            let size = pull.fold(DVec3::ZERO, |sum, pull| sum + pull).length();
            if size > set.largest {
                set.largest = size;
                set.attained.clone_from(vertex);
            }
        }
        for (index, (spreader, points)) in self.extremes.spreaders.iter_mut().zip(&self.spreaders).enumerate() {
            let mut inward: Vec<f64> = Vec::new();
            for (number, (outward, end)) in points.iter().enumerate() {
                let anchor = Anchor::SpreaderPoint(index, number);
                let pull = resultant(&self.strands, pulls, anchor).dot(turned(anchor, *outward));
                inward.resize(inward.len().max(end + 1), 0.0);
                if let Some(sum) = inward.get_mut(*end) {
                    *sum -= pull;
                }
            }
            let most = inward.into_iter().fold(0.0, f64::max);
            if most > spreader.compression {
                spreader.compression = most;
                spreader.attained.clone_from(vertex);
            }
        }
        if self.tilt.widen(*seen.up, DVec3::Z) {
            self.extremes.tilt_attained.clone_from(vertex);
        }
        if seen.state != State::Stable && self.extremes.not_stable.is_none() {
            self.extremes.not_stable = Some((seen.state, vertex.clone()));
        }
    }

    /// The extremes of all states that were read.
    pub(super) fn extremes(self) -> Extremes {
        let mut extremes = self.extremes;
        extremes.tilt = self.tilt.size(angle).unwrap_or(0.0);
        for strand in &self.strands {
            let Some(leg) = extremes.legs.get_mut(strand.leg) else { continue };
            leg.from_vertical = strand.from_vertical.size(angle).unwrap_or(0.0).max(leg.from_vertical);
            for (slot, axis) in leg.from_axis.iter_mut().zip(&strand.axes) {
                *slot = axis.as_ref().map(|axis| axis.widest.size(angle).unwrap_or(0.0)).or(*slot);
            }
        }
        for (strand, end, axis) in &self.holes {
            let leg = self.strands.get(*strand).and_then(|strand| extremes.legs.get_mut(strand.leg));
            if let Some(slot) = leg.and_then(|leg| leg.out_of_plane.get_mut(*end)) {
                *slot = Some(axis.widest.size(out_of_plane).unwrap_or(0.0));
            }
        }
        extremes
    }
}

/// By how much a pull leaves the plane across an axis.
fn out_of_plane(pull: DVec3, axis: DVec3) -> f64 {
    (FRAC_PI_2 - angle(pull, axis)).abs()
}

/// Sum of the pulls of all legs on a place.
fn resultant(strands: &[Strand], pulls: &[(f64, DVec3)], anchor: Anchor) -> DVec3 {
    pulls_on(strands, pulls, anchor).fold(DVec3::ZERO, |sum, pull| sum + pull)
}

/// The pulls of all legs on a place.
fn pulls_on(strands: &[Strand], pulls: &[(f64, DVec3)], anchor: Anchor) -> impl Iterator<Item = DVec3> {
    strands.iter().zip(pulls).flat_map(move |(strand, (tension, direction))| {
        let ends = strand.ends.iter().enumerate().filter(move |(_, found)| **found == anchor);
        ends.map(move |(end, _)| *tension * strand.pull(end, *direction))
    })
}

/// The axis of the rating of a point, of unit length, in the frame of its body as drawn.
fn axis(lift: &Lift, anchor: Anchor) -> Option<DVec3> {
    let point = lift.point(anchor)?;
    point.allowed_direction.value().map(|allowed| DVec3::from_array(allowed.axis).normalize())
}

/// The axis of the hole of a point, likewise.
pub(super) fn hole(lift: &Lift, anchor: Anchor) -> Option<DVec3> {
    lift.point(anchor)?.hole_axis.value().map(|axis| DVec3::from_array(*axis).normalize())
}

/// Whether a leg passes over the place between its ends.
fn passed_over(lift: &Lift, anchor: Anchor) -> bool {
    lift.legs().any(|leg| {
        let between = leg.links.stations.iter().skip(1).take(leg.links.stations.len().saturating_sub(2));
        between.copied().any(|station| station == anchor)
    })
}

/// The hooks, if there are several, and the points at which several strands meet; each once, in the order of the legs.
fn shared(lift: &Lift, strands: &[Strand]) -> Vec<Anchor> {
    let several = lift.document().hooks.len() > 1;
    let mut seen: Vec<(Anchor, usize)> = Vec::with_capacity(2 * strands.len());
    for anchor in strands.iter().flat_map(|strand| strand.ends) {
        match seen.iter_mut().find(|(known, _)| *known == anchor) {
            Some((_, count)) => *count += 1,
            None => seen.push((anchor, 1)),
        }
    }
    let kept = seen.into_iter().filter(|(anchor, count)| match anchor {
        Anchor::Hook(_) => several,
        Anchor::Joint(_) => false,
        Anchor::LiftPoint(_) | Anchor::SpreaderPoint(..) | Anchor::Place(_) => *count > 1,
    });
    kept.map(|(anchor, _)| anchor).collect()
}

/// The sets of legs that bear something else than the weight of the load, nothing seen yet, and the strands that end at their place.
fn sets(lift: &Lift, strands: &[Strand], nominal: &Vertex) -> (Vec<SetExtremes>, Vec<Vec<(usize, usize)>>) {
    let document = lift.document();
    if document.hooks.len() == 1 && document.joints.is_empty() && document.spreaders.is_empty() {
        return (Vec::new(), Vec::new());
    }
    let none = |set: &SetOfLegs| SetExtremes { anchor: set.at, largest: 0.0, attained: nominal.clone(), bound: None };
    let ends = |set: &SetOfLegs| {
        let mut found = Vec::new();
        for (number, strand) in strands.iter().enumerate() {
            let hangs = set.at_the_place().any(|leg| leg == strand.leg);
            let ends = strand.ends.iter().enumerate().filter(|(_, end)| hangs && **end == set.at);
            found.extend(ends.map(|(end, _)| (number, end)));
        }
        found
    };
    let sets = lift.sets_of_legs().into_iter().filter(|set| !set.whole || !document.spreaders.is_empty());
    sets.map(|set| (none(&set), ends(&set))).unzip()
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

/// The largest of many angles between two unit vectors. An arc tangent costs as much as a step of the solver, so which one is
/// the largest is seen from the cosines, and only that one is taken.
#[derive(Debug, Clone, Copy)]
struct Largest {
    /// The cosine of the largest.
    cosine: f64,
    between: Option<[DVec3; 2]>,
}

/// How far two cosines must lie apart for their angles to differ beyond the rounding of either.
const CLEARLY: f64 = 1e-9;

impl Largest {
    const NONE: Self = Self { cosine: f64::INFINITY, between: None };

    /// Takes the angle between two unit vectors, if it exceeds the largest so far; says whether it does.
    #[inline]
    fn widen(&mut self, one: DVec3, other: DVec3) -> bool {
        self.widen_by(one.dot(other), one, other, angle)
    }

    /// The same of what `size` makes of two unit vectors, which falls as `cosine` grows.
    #[inline]
    fn widen_by(&mut self, cosine: f64, one: DVec3, other: DVec3, size: fn(DVec3, DVec3) -> f64) -> bool {
        // What is no number is no angle.
        if cosine > self.cosine + CLEARLY || cosine.is_nan() {
            return false;
        }
        let close = cosine >= self.cosine - CLEARLY;
        if close && self.size(size).is_some_and(|largest| size(one, other) <= largest) {
            return false;
        }
        *self = Self { cosine, between: Some([one, other]) };
        true
    }

    /// The largest; none where there was no angle.
    fn size(&self, size: fn(DVec3, DVec3) -> f64) -> Option<f64> {
        self.between.map(|[one, other]| size(one, other))
    }
}
