//! The names of a document resolved: which station, sling and fitting each leg refers to.

use super::document::{Document, Leg, LiftPoint, Station};
use crate::error::{Error, Place};
use crate::text::Text;
use std::collections::{HashMap, HashSet};

/// What a leg's end is attached to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Anchor {
    /// Index of a hook.
    Hook(usize),
    /// Index of a joint.
    Joint(usize),
    /// Index of a lift point of the load.
    LiftPoint(usize),
    /// Indices of a spreader and of a point on it.
    SpreaderPoint(usize, usize),
}

/// What stands between two stations.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Item {
    /// Index of a sling.
    Sling(usize),
    /// Index of a fitting.
    Fitting(usize),
}

/// A leg's names, resolved.
#[derive(Debug, Clone, PartialEq)]
pub struct Links {
    /// Anchor of each end station, in the order of the path.
    pub ends: Vec<Anchor>,
    /// The items, in order.
    pub items: Vec<Item>,
}

impl Links {
    /// Whether the path is written upward, from what hangs to what holds it.
    pub fn upward(&self) -> bool {
        matches!(self.ends.first(), Some(Anchor::LiftPoint(_))) || matches!(self.ends.last(), Some(Anchor::Hook(_)))
    }
}

/// Checks that names are unique and resolves those that legs use.
pub(super) fn resolve(document: &Document) -> Result<Vec<Links>, Error> {
    let root = Place::root();
    let mut stations = Names::new("hook, lift point or joint");
    for (index, hook) in document.hooks.iter().enumerate() {
        stations.add(hook.name.clone(), Anchor::Hook(index), root.child("hooks").child(index))?;
    }
    for (index, joint) in document.joints.iter().enumerate() {
        stations.add(joint.name.clone(), Anchor::Joint(index), root.child("joints").child(index))?;
    }
    let lift_points = root.child("load").child("lift_points");
    for (index, point) in document.load.lift_points.iter().enumerate() {
        stations.add(point.name.clone(), Anchor::LiftPoint(index), lift_points.child(index))?;
    }
    let mut bodies = Names::new("body");
    bodies.add(document.load.name.clone(), (), root.child("load"))?;
    for (index, spreader) in document.spreaders.iter().enumerate() {
        let place = root.child("spreaders").child(index);
        bodies.add(spreader.name.clone(), (), place.clone())?;
        for (number, LiftPoint { name, .. }) in spreader.points.iter().enumerate() {
            let place = place.child("points").child(number);
            acceptable(name, &place)?;
            let whole = format!("{}/{name}", spreader.name);
            stations.add(whole.into(), Anchor::SpreaderPoint(index, number), place)?;
        }
    }
    let mut items = Names::new("sling or fitting");
    for (index, sling) in document.slings.iter().enumerate() {
        items.add(sling.name.clone(), Item::Sling(index), root.child("slings").child(index))?;
    }
    for (index, fitting) in document.fittings.iter().enumerate() {
        items.add(fitting.name.clone(), Item::Fitting(index), root.child("fittings").child(index))?;
    }
    let mut covers = Names::new("cover");
    for (index, cover) in document.covers.iter().enumerate() {
        covers.add(cover.name.clone(), (), root.child("covers").child(index))?;
    }

    let mut legs = Names::new("leg");
    let mut used = HashSet::new();
    let mut links = Vec::with_capacity(document.legs.len());
    for (index, leg) in document.legs.iter().enumerate() {
        let place = root.child("legs").child(index);
        legs.add(leg.name.clone(), (), place.clone())?;
        links.push(resolve_leg(leg, &place, &stations, &items, &mut used)?);
        for (number, contact) in leg.contacts.value().into_iter().flatten().enumerate() {
            let place = place.child("contacts").child(number);
            acceptable(&contact.name, &place)?;
            if let Some(cover) = &contact.cover {
                covers.find(cover, place.child("cover"))?;
            }
        }
    }
    Ok(links)
}

fn resolve_leg(
    leg: &Leg,
    place: &Place,
    stations: &Names<Anchor>,
    items: &Names<Item>,
    used: &mut HashSet<Item>,
) -> Result<Links, Error> {
    let path = place.child("path");
    let mut ends = Vec::new();
    for (index, station) in leg.path.iter().enumerate() {
        let first_or_last = index == 0 || index + 1 == leg.path.len();
        match station {
            Station::End(name) => {
                ends.push(stations.find(name, path.child(index).child("end"))?);
                if !first_or_last {
                    let what = "an end stands first or last on the path; what the sling passes over is \"over\"";
                    return Err(Error::inconsistent(what, path.child(index)));
                }
            }
            Station::Over(_) if first_or_last => {
                let what = "a path begins and ends with an \"end\"";
                return Err(Error::inconsistent(what, path.child(index)));
            }
            Station::Over(_) => {}
        }
    }
    match ends.as_slice() {
        [from, to] if from == to && leg.path.len() == 2 => {
            return Err(Error::inconsistent("both ends of the leg are the same station", path));
        }
        [from, to] if rigid(*from, *to) && leg.path.len() == 2 => {
            return Err(Error::inconsistent("both ends of the leg are held by one thing; nothing hangs from it", path));
        }
        [_, _] => {}
        _ => return Err(Error::inconsistent("a path needs two ends", path)),
    }
    let mut found = Vec::with_capacity(leg.items.len());
    for (index, name) in leg.items.iter().enumerate() {
        let place = place.child("items").child(index);
        let item = items.find(name, place.clone())?;
        if !used.insert(item) {
            let what = format!("\"{name}\" is already part of a leg; one item cannot be in two places");
            return Err(Error::inconsistent(what, place));
        }
        found.push(item);
    }
    if !found.iter().any(|item| matches!(item, Item::Sling(_))) {
        return Err(Error::inconsistent("a leg needs a sling among its items", place.child("items")));
    }
    Ok(Links { ends, items: found })
}

/// Whether the distance between two anchors is fixed: both on hooks, or both on one body.
const fn rigid(from: Anchor, to: Anchor) -> bool {
    match (from, to) {
        (Anchor::Hook(_), Anchor::Hook(_)) | (Anchor::LiftPoint(_), Anchor::LiftPoint(_)) => true,
        (Anchor::SpreaderPoint(one, _), Anchor::SpreaderPoint(other, _)) => one == other,
        _ => false,
    }
}

/// The names of one kind, each once.
struct Names<T> {
    kind: &'static str,
    known: HashMap<Text, T>,
}

impl<T: Copy> Names<T> {
    fn new(kind: &'static str) -> Self {
        Self { kind, known: HashMap::new() }
    }

    fn add(&mut self, name: Text, meaning: T, place: Place) -> Result<(), Error> {
        acceptable(&name, &place)?;
        if self.known.contains_key(&name) {
            return Err(Error::DuplicateName { name: name.into(), place: place.child("name") });
        }
        self.known.insert(name, meaning);
        Ok(())
    }

    fn find(&self, name: &str, place: Place) -> Result<T, Error> {
        self.known.get(name).copied().ok_or_else(|| {
            let mut known: Vec<&str> = self.known.keys().map(Text::as_str).collect();
            known.sort_unstable();
            Error::unknown_name(name, self.kind, known, place)
        })
    }
}

/// Refuses a name that a report could not print in one line.
pub(super) fn acceptable(name: &str, place: &Place) -> Result<(), Error> {
    let printable = !name.chars().any(char::is_control);
    if printable && !name.trim().is_empty() && name.len() <= 200 {
        return Ok(());
    }
    let what = "a name is a printable text of 1 to 200 bytes";
    Err(Error::malformed(what, place.child("name")))
}
