//! What touches what: bends, fits and edges along a leg. Facts, no verdict.

use crate::arrangement::{Anchor, Item, LegView, Lift};
use crate::error::{Error, Place};
use crate::gear::{Fitting, FittingKind};

/// A bend of a sling round what it is hung on.
#[derive(Debug, Clone, PartialEq)]
pub struct Bend {
    /// What it is bent round, in words.
    pub round: String,
    /// Diameter of that surface in meters; `Err` says what is missing.
    pub diameter: Result<f64, Error>,
}

/// A thing that has to go into another, both in meters.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// What goes into what, in words.
    pub what: String,
    /// Where the inner one stands.
    pub place: Place,
    /// Size of what goes in.
    pub inner: f64,
    /// Clear size of what it goes into.
    pub outer: f64,
}

/// The bends of the sling at `sling` in the document, at its two ends along the leg.
pub fn bends(lift: &Lift, leg: &LegView<'_>, sling: usize) -> Vec<Bend> {
    let items = &leg.links.items;
    let Some(position) = items.iter().position(|item| *item == Item::Sling(sling)) else { return Vec::new() };
    let before = position.checked_sub(1).and_then(|index| items.get(index));
    let after = items.get(position + 1);
    [(before, leg.links.ends.first()), (after, leg.links.ends.last())]
        .into_iter()
        .filter_map(|(neighbor, end)| match (neighbor, end) {
            (Some(item), _) => Some(round_item(lift, *item)),
            (None, Some(end)) => Some(round_anchor(lift, *end)),
            (None, None) => None,
        })
        .collect()
}

fn round_item(lift: &Lift, item: Item) -> Bend {
    match item {
        Item::Fitting(index) => {
            let Some(fitting) = lift.document().fittings.get(index) else {
                return Bend { round: "a fitting".to_owned(), diameter: Err(nowhere()) };
            };
            let place = Place::root().child("fittings").child(index).child("bow_diameter");
            let what = format!("the diameter that the sling bends round in \"{}\"", fitting.name);
            let bow = fitting.bow_diameter.required(&what, "\"bow_diameter\": \"… mm\"", &place);
            Bend { round: fitting.name.clone(), diameter: bow.map(|diameter| diameter.si()) }
        }
        Item::Sling(index) => {
            let what = "a sling joined directly to another sling";
            let place = Place::root().child("slings").child(index);
            Bend { round: "another sling".to_owned(), diameter: Err(Error::unsupported(what, place)) }
        }
    }
}

fn round_anchor(lift: &Lift, anchor: Anchor) -> Bend {
    match anchor {
        Anchor::Hook(index) => {
            let Some(hook) = lift.document().hooks.get(index) else {
                return Bend { round: "a hook".to_owned(), diameter: Err(nowhere()) };
            };
            let place = Place::root().child("hooks").child(index).child("bearing_diameter");
            let what = format!("the diameter that the sling bends round on \"{}\"", hook.name);
            let bearing = hook.bearing_diameter.required(&what, "\"bearing_diameter\": \"… mm\"", &place);
            Bend { round: hook.name.clone(), diameter: bearing.map(|diameter| diameter.si()) }
        }
        Anchor::LiftPoint(_) | Anchor::Joint(_) | Anchor::SpreaderPoint(..) => {
            let what = "the bend of a sling that is hung on a point without a fitting between";
            Bend { round: "a point".to_owned(), diameter: Err(Error::unsupported(what, Place::root().child("legs"))) }
        }
    }
}

/// A name that was resolved points to an item that is there; this is said if it ever does not.
fn nowhere() -> Error {
    Error::inconsistent("a leg refers to an item that is not there", Place::root().child("legs"))
}

/// What goes into what along a leg, as far as both sizes are stated.
pub fn fits(lift: &Lift, leg: &LegView<'_>) -> Vec<Fit> {
    let document = lift.document();
    let mut fits = Vec::new();
    for (item, next) in leg.links.items.iter().zip(leg.links.items.iter().skip(1)) {
        let (Item::Sling(sling), Item::Fitting(fitting)) = ordered(*item, *next) else { continue };
        let (Some(sling), Some(seat)) = (document.slings.get(sling), document.fittings.get(fitting)) else { continue };
        let own = sling.width.value().or(sling.diameter.value());
        if let (Some(own), Some(seat_width)) = (own, seat.inside_width.value()) {
            fits.push(Fit {
                what: format!("{} in {}", sling.name, seat.name),
                place: Place::root().child("fittings").child(fitting).child("inside_width"),
                inner: own.si(),
                outer: seat_width.si(),
            });
        }
    }
    let ends = [(leg.links.items.first(), leg.links.ends.first()), (leg.links.items.last(), leg.links.ends.last())];
    for (item, end) in ends {
        let (Some(Item::Fitting(index)), Some(Anchor::LiftPoint(point))) = (item, end) else { continue };
        let (Some(fitting), Some(point)) = (document.fittings.get(*index), document.load.lift_points.get(*point))
        else {
            continue;
        };
        if let (true, Some(pin), Some(hole)) =
            (has_pin(fitting), fitting.pin_diameter.value(), point.hole_diameter.value())
        {
            fits.push(Fit {
                what: format!("pin of {} in {}", fitting.name, point.name),
                place: Place::root().child("fittings").child(index).child("pin_diameter"),
                inner: pin.si(),
                outer: hole.si(),
            });
        }
    }
    fits
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
