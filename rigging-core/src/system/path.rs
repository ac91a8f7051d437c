//! Running slings of a lift: from the path of a leg to spans that share its length as drawn.

use super::{End, Law, Member, Over, Running, Span, stretch};
use crate::arrangement::{Anchor, LegView, Lift, Point};
use crate::error::{Error, Place};
use crate::length;
use glam::DVec3;

/// Stations closer to each other than this are one place, m.
const NEAREST: f64 = 1e-6;
/// Halvings after which the height of a hook is as exact as a double.
const HALVINGS: usize = 200;

/// Where the stations of a lift stand in the drawing, and what they are in the model.
pub(super) struct Drawing<'a> {
    lift: &'a Lift,
    center: DVec3,
    /// Places on the load that slings pass over and that are no lift points.
    places: Vec<DVec3>,
}

impl<'a> Drawing<'a> {
    pub(super) fn of(lift: &'a Lift, center: DVec3) -> Self {
        let passages = lift.legs().flat_map(|leg| leg.passages());
        let places = passages.filter(|(_, passage)| passage.station.is_none());
        let places = places.filter_map(|(_, passage)| passage.position.value()).map(vector).collect();
        Self { lift, center, places }
    }

    /// The places, in the order of [`Anchor::Place`]: points of the load that follow its lift points.
    pub(super) fn places(&self) -> &[DVec3] {
        &self.places
    }

    /// What a station is in the model.
    pub(super) fn end(&self, anchor: Anchor) -> End {
        match anchor {
            Anchor::Hook(index) => End::Hook(index),
            Anchor::Joint(index) => End::Joint(index),
            Anchor::LiftPoint(point) => End::Body { body: 0, point },
            Anchor::SpreaderPoint(spreader, point) => End::Body { body: spreader + 1, point },
            Anchor::Place(index) => End::Body { body: 0, point: self.lift.document().load.lift_points.len() + index },
        }
    }

    /// A member between two stations. End b is the load's, and end a the hook's, whichever way the path is written: the
    /// member's direction is then the pull on what hangs.
    pub(super) fn member(&self, from: Anchor, to: Anchor, length: f64, law: Law) -> Member {
        let (from, to) = if from.below(to) { (to, from) } else { (from, to) };
        Member { a: self.end(from), b: self.end(to), length, law }
    }

    /// Where a station stands as drawn; none for a single hook, which follows the center of gravity.
    fn position(&self, anchor: Anchor) -> Result<Option<DVec3>, Error> {
        let document = self.lift.document();
        let point = match anchor {
            Anchor::Hook(_) if document.hooks.len() == 1 => return Ok(None),
            Anchor::Hook(index) => match document.hooks.get(index).map(|hook| hook.position.value()) {
                Some(Some(point)) => Some(vector(point)),
                _ => {
                    let place = Place::root().child("hooks").child(index).child("position");
                    let add = "\"position\": [\"… m\", \"… m\", \"… m\"]";
                    return Err(Error::missing("the position of one of several hooks", add, place));
                }
            },
            Anchor::Joint(index) => document.joints.get(index).map(|joint| vector(&joint.position)),
            Anchor::Place(index) => self.places.get(index).copied(),
            Anchor::LiftPoint(_) | Anchor::SpreaderPoint(..) => {
                self.lift.point(anchor).map(|point| vector(&point.position))
            }
        };
        point.map(Some).ok_or_else(|| Error::inconsistent("a station that is not there", Place::root().child("legs")))
    }

    /// The stations of a sling of `length` as drawn. A single hook stands plumb above the center of gravity, at the height
    /// at which this sling is just straight.
    fn stations(&self, anchors: &[Anchor], length: f64) -> Result<Vec<DVec3>, Error> {
        let drawn = anchors.iter().map(|anchor| self.position(*anchor)).collect::<Result<Vec<_>, _>>()?;
        let at = |height: f64| -> Vec<DVec3> {
            let hook = DVec3::new(self.center.x, self.center.y, height);
            drawn.iter().map(|point| point.unwrap_or(hook)).collect()
        };
        // Above everything it is tied to, the way round grows with the height of the hook.
        let heights = drawn.iter().flatten().map(|point| point.z);
        let mut low = heights.fold(self.center.z, f64::max);
        let mut high = low + length;
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if way(&at(middle)) > length { high = middle } else { low = middle }
        }
        Ok(at(low))
    }
}

pub(super) fn vector(point: &Point) -> DVec3 {
    let [x, y, z] = point;
    DVec3::new(x.si(), y.si(), z.si())
}

fn way(points: &[DVec3]) -> f64 {
    points.iter().zip(points.iter().skip(1)).map(|(from, to)| from.distance(*to)).sum()
}

/// A leg that passes over stations: its spans, of which the members are numbered from `first` on. Its length is shared as
/// drawn, in the ratio of the distances between the stations. Rigid fittings are spread over the spans with it: without
/// friction that changes nothing, with friction the spans at the ends stretch by as much too little as the others too much.
///
/// # Errors
/// As [`super::from_lift`].
pub(super) fn running(leg: &LegView<'_>, drawing: &Drawing<'_>, first: usize) -> Result<(Vec<Member>, Running), Error> {
    let path = leg.place().child("path");
    if leg.slings().count() > 1 {
        let what = "a leg of several slings in a row that passes over something between its ends";
        return Err(Error::unsupported(what, leg.place().child("items")));
    }
    let effective = length::effective(leg)?;
    let law = stretch::law(leg, &effective)?;
    let stations = drawing.stations(&leg.links.stations, effective.whole)?;
    let whole = way(&stations);
    let mut members = Vec::new();
    let mut spans = Vec::new();
    let pairs = stations.iter().zip(stations.iter().skip(1)).zip(leg.links.spans());
    for (index, ((one, other), [from, to])) in pairs.enumerate() {
        let distance = one.distance(*other);
        if distance < NEAREST {
            let what = "two stations that follow each other stand in one place";
            return Err(Error::inconsistent(what, path.child(index + 1)));
        }
        let length = effective.whole * (distance / whole);
        spans.push(if from.rigid_with(to) {
            Span::Fixed { a: drawing.end(from), b: drawing.end(to), length }
        } else {
            members.push(drawing.member(from, to, length, law.clone()));
            Span::Member(first + members.len() - 1)
        });
    }
    let over = leg.passages().zip(leg.links.stations.iter().skip(1));
    let over = over.map(|((_, passage), anchor)| Over { at: drawing.end(*anchor), friction: passage.coefficients() });
    Ok((members, Running { spans, over: over.collect() }))
}
