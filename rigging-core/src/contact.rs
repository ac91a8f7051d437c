//! What touches what: bends, fits and edges along a leg. Facts, no verdict.

use crate::arrangement::{Anchor, Hitch, Item, LegView, Lift, LiftPoint};
use crate::error::{Error, Place};
use crate::gear::{Construction, Fitting, FittingKind};
use crate::text::Text;

/// A bend of a sling round what it is hung on.
#[derive(Debug, Clone, PartialEq)]
pub struct Bend {
    /// What it is bent round, in words.
    pub round: Text,
    /// Diameter of that surface in meters; `Err` says what is missing.
    pub diameter: Result<f64, Error>,
    /// Whether the sling turns round it between its ends, or round the load where it chokes it.
    pub between: bool,
}

/// A thing that has to go into another, both in meters.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// What goes into what, in words.
    pub what: Text,
    /// Where the inner one stands.
    pub place: Place,
    /// Size of what goes in; `Err` says what is missing.
    pub inner: Result<f64, Error>,
    /// Clear size of what it goes into; `Err` says what is missing.
    pub outer: Result<f64, Error>,
}

/// The bends of every sling, in the order of the legs and of the slings in each.
pub fn every_bend(lift: &Lift) -> Vec<Vec<Bend>> {
    let of_leg = |leg: LegView<'_>| leg.slings().map(|(index, _)| bends(lift, &leg, index)).collect::<Vec<_>>();
    lift.legs().flat_map(of_leg).collect()
}

/// The bends of the sling at `sling` in the document: at its two ends along the leg, and at what the leg passes over.
pub fn bends(lift: &Lift, leg: &LegView<'_>, sling: usize) -> Vec<Bend> {
    let items = &leg.links.items;
    let Some(position) = items.iter().position(|item| *item == Item::Sling(sling)) else { return Vec::new() };
    let before = position.checked_sub(1).and_then(|index| items.get(index));
    let after = items.get(position + 1);
    let ends = [(before, leg.links.ends.first()), (after, leg.links.ends.last())];
    // What a choke goes round stands among what its leg passes over.
    let chokes = |end: &Anchor| matches!((&leg.leg.hitch, end), (Hitch::Choke(_), Anchor::Place(_)));
    let mut bends = Vec::with_capacity(ends.len());
    for (neighbor, end) in ends {
        let bend = match (neighbor, end) {
            (None, Some(end)) if chokes(end) => continue,
            (Some(item), _) => round_item(lift, *item),
            (None, Some(end)) => round_anchor(lift, *end),
            (None, None) => continue,
        };
        bends.push(
            match doubled(leg, "the bend of a doubled sling, bight at one end and both its ends at the other") {
                Some(error) => Bend { diameter: Err(error), ..bend },
                None => bend,
            },
        );
    }
    bends.extend(round_passages(lift, leg));
    bends
}

/// What is not looked at where a sling hangs doubled.
fn doubled(leg: &LegView<'_>, what: &'static str) -> Option<Error> {
    (leg.leg.hitch == Hitch::Doubled).then(|| Error::unsupported(what, leg.place().child("hitch")))
}

/// What a leg passes over: the diameter stated there, else that of the fitting that collects legs there, or of the hook or the
/// bare point that it names.
fn round_passages(lift: &Lift, leg: &LegView<'_>) -> impl Iterator<Item = Bend> {
    leg.passages().map(|(index, passage)| {
        let told = |anchor: &Anchor| match anchor {
            Anchor::Hook(_) => true,
            // Where nothing is stated of the fitting or the point either, it is asked for at the passage.
            _ => match collecting(lift, *anchor) {
                Some((_, fitting)) => !fitting.bow_diameter.is_unknown(),
                None => lift.point(*anchor).is_some_and(|point| !point.bearing_diameter.is_unknown()),
            },
        };
        let station = leg.links.stations.get(index).filter(|anchor| told(anchor));
        if let Some(station) = station.filter(|_| passage.bearing_diameter.is_unknown()) {
            return Bend { between: true, ..round_anchor(lift, *station) };
        }
        let round = leg.station_name(index);
        let place = || leg.place().child("path").child(index).child("over").child("bearing_diameter");
        let what = format_args!("the diameter that the sling bends round at \"{round}\"");
        let bearing = passage.bearing_diameter.required(what, "\"bearing_diameter\": \"… mm\"", place);
        let diameter = bearing.map(|diameter| diameter.si());
        Bend { round, diameter, between: true }
    })
}

fn round_item(lift: &Lift, item: Item) -> Bend {
    match item {
        Item::Fitting(index) => {
            let Some(fitting) = lift.document().fittings.get(index) else {
                return Bend { round: "a fitting".into(), diameter: Err(nowhere()), between: false };
            };
            let place = || Place::root().child("fittings").child(index).child("bow_diameter");
            let what = format_args!("the diameter that the sling bends round in \"{}\"", fitting.name);
            let bow = fitting.bow_diameter.required(what, "\"bow_diameter\": \"… mm\"", place);
            Bend { round: fitting.name.clone(), diameter: bow.map(|diameter| diameter.si()), between: false }
        }
        Item::Sling(index) => {
            let what = "a sling joined directly to another sling";
            let place = Place::root().child("slings").child(index);
            Bend { round: "another sling".into(), diameter: Err(Error::unsupported(what, place)), between: false }
        }
    }
}

/// The fitting that collects the legs at a station, and its position in the document.
fn collecting(lift: &Lift, anchor: Anchor) -> Option<(usize, &Fitting)> {
    lift.collectors().find(|(at, ..)| *at == anchor).map(|(_, index, fitting)| (index, fitting))
}

/// A sling at a station lies in the fitting that collects legs there, and on the station itself only where there is none.
fn round_anchor(lift: &Lift, anchor: Anchor) -> Bend {
    if let Some((index, _)) = collecting(lift, anchor) {
        return round_item(lift, Item::Fitting(index));
    }
    match anchor {
        Anchor::Hook(index) => {
            let Some(hook) = lift.document().hooks.get(index) else {
                return Bend { round: "a hook".into(), diameter: Err(nowhere()), between: false };
            };
            let place = || Place::root().child("hooks").child(index).child("bearing_diameter");
            let what = format_args!("the diameter that the sling bends round on \"{}\"", hook.name);
            let bearing = hook.bearing_diameter.required(what, "\"bearing_diameter\": \"… mm\"", place);
            Bend { round: hook.name.clone(), diameter: bearing.map(|diameter| diameter.si()), between: false }
        }
        Anchor::LiftPoint(_) | Anchor::SpreaderPoint(..) => {
            let Some((point, place)) = lift.point_and_place(anchor) else {
                return Bend { round: "a point".into(), diameter: Err(nowhere()), between: false };
            };
            let what =
                format_args!("the diameter that a sling hung on \"{}\" without a fitting bends round", point.name);
            let place = || place.child("bearing_diameter");
            let bearing = point.bearing_diameter.required(what, "\"bearing_diameter\": \"… mm\"", place);
            Bend { round: point.name.clone(), diameter: bearing.map(|diameter| diameter.si()), between: false }
        }
        Anchor::Joint(_) | Anchor::Place(_) => {
            let what = "the bend of a sling that is hung on a point without a fitting between";
            let diameter = Err(Error::unsupported(what, Place::root().child("legs")));
            Bend { round: "a point".into(), diameter, between: false }
        }
    }
}

/// A name that was resolved points to an item that is there; this is said if it ever does not.
fn nowhere() -> Error {
    Error::inconsistent("a leg refers to an item that is not there", Place::root().child("legs"))
}

/// What goes into what along a leg: a sling into a fitting, the pin of a shackle into a lift point. A chain is made up
/// with its end fittings; its fit is looked at only where both sizes are stated.
pub fn fits(lift: &Lift, leg: &LegView<'_>) -> Vec<Fit> {
    let document = lift.document();
    // Each item in the next, and at either end a pin in a hole and a plate between jaws.
    let mut fits = Vec::with_capacity(leg.links.items.len() + 3);
    for (item, next) in leg.links.items.iter().zip(leg.links.items.iter().skip(1)) {
        let (Item::Sling(sling_index), Item::Fitting(fitting)) = ordered(*item, *next) else { continue };
        let (Some(sling), Some(seat)) = (document.slings.get(sling_index), document.fittings.get(fitting)) else {
            continue;
        };
        let own = sling.width.value().or(sling.diameter.value());
        if sling.construction == Construction::Chain && (own.is_none() || seat.inside_width.is_unknown()) {
            continue;
        }
        let key = match sling.construction {
            Construction::Roundsling | Construction::Web => "width",
            _ => "diameter",
        };
        let own = own.ok_or_else(|| {
            let place = Place::root().child("slings").child(sling_index).child(key);
            let what = format!("the {key} of \"{}\"", sling.name);
            Error::missing(what, format!("\"{key}\": \"… mm\""), place)
        });
        // Two lengths side by side take more room than one.
        let own = own.and_then(|width| doubled(leg, "the fit of a doubled sling").map_or(Ok(width), Err));
        let place = || Place::root().child("fittings").child(fitting).child("inside_width");
        let what = format_args!("the clear width inside \"{}\"", seat.name);
        let clear = seat.inside_width.required(what, "\"inside_width\": \"… mm\"", place);
        fits.push(Fit {
            what: [&*sling.name, " in ", &*seat.name].into(),
            inner: own.map(|width| width.si()),
            outer: clear.map(|width| width.si()),
            place: place(),
        });
    }
    let ends = [(leg.links.items.first(), leg.links.ends.first()), (leg.links.items.last(), leg.links.ends.last())];
    for (item, end) in ends {
        if let (Some(Item::Fitting(index)), Some(end)) = (item, end) {
            on_pin(lift, *index, *end, &mut fits);
        }
    }
    fits
}

/// What goes into what where a fitting collects legs at a point that one of them uses.
pub fn collector_fits(lift: &Lift) -> Vec<Fit> {
    let mut fits = Vec::new();
    for (anchor, index, _) in lift.collectors() {
        if lift.legs().any(|leg| leg.links.stations.contains(&anchor)) {
            on_pin(lift, index, anchor, &mut fits);
        }
    }
    fits
}

/// The pin of a shackle in the hole of a point, and the point, its cheek plates with it, between the jaws.
fn on_pin(lift: &Lift, index: usize, anchor: Anchor, fits: &mut Vec<Fit>) {
    let (Some(fitting), Some((point, at))) = (lift.document().fittings.get(index), lift.point_and_place(anchor)) else {
        return;
    };
    if !has_pin(fitting) {
        return;
    }
    let place = || Place::root().child("fittings").child(index).child("pin_diameter");
    let what = format_args!("the diameter of the pin of \"{}\"", fitting.name);
    let pin = fitting.pin_diameter.required(what, "\"pin_diameter\": \"… mm\"", place);
    let what = format_args!("the diameter of the hole of \"{}\"", point.name);
    let hole = point.hole_diameter.required(what, "\"hole_diameter\": \"… mm\"", || at.child("hole_diameter"));
    fits.push(Fit {
        what: ["pin of ", &*fitting.name, " in ", &*point.name].into(),
        inner: pin.map(|diameter| diameter.si()),
        outer: hole.map(|diameter| diameter.si()),
        place: place(),
    });
    if let Some(thickness) = between_jaws(point) {
        let place = || Place::root().child("fittings").child(index).child("jaw_width");
        let what = format_args!("the clear width between the jaws of \"{}\"", fitting.name);
        let jaws = fitting.jaw_width.required(what, "\"jaw_width\": \"… mm\"", place);
        fits.push(Fit {
            what: [&*point.name, " between the jaws of ", &*fitting.name].into(),
            inner: Ok(thickness),
            outer: jaws.map(|width| width.si()),
            place: place(),
        });
    }
}

/// Thickness of the plate round a hole with the cheek plates on both its sides, in meters; none where the plate's is not known.
pub fn between_jaws(point: &LiftPoint) -> Option<f64> {
    let cheeks = point.pin_plate.value().and_then(|plate| plate.cheek_thickness.value());
    Some(point.thickness.value()?.si() + 2.0 * cheeks.map_or(0.0, |cheeks| cheeks.si()))
}

const fn ordered(one: Item, other: Item) -> (Item, Item) {
    match (one, other) {
        (Item::Fitting(_), Item::Sling(_)) => (other, one),
        _ => (one, other),
    }
}

const fn has_pin(fitting: &Fitting) -> bool {
    matches!(fitting.kind, FittingKind::BowShackle | FittingKind::DeeShackle)
}
