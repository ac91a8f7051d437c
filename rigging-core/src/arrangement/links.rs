//! The names of a document resolved: which station, sling and fitting each leg refers to.

use super::connections::{self, Collector};
use super::document::{Document, Hitch, Leg, LiftPoint, Station};
use crate::error::{Error, Place};
use crate::text::Text;
use std::collections::{HashMap, HashSet};

/// What a station of a leg is.
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
    /// Index of a place on the load that a sling passes over and that is no lift point; counted over all legs.
    Place(usize),
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
    /// Anchor of every station, in the order of the path: those passed over as well.
    pub stations: Vec<Anchor>,
    /// The items, in order.
    pub items: Vec<Item>,
}

impl Links {
    /// Whether the path is written upward, from what hangs to what holds it.
    pub fn upward(&self) -> bool {
        matches!((self.ends.first(), self.ends.last()), (Some(from), Some(to)) if from.below(*to))
    }

    /// Whether the sling passes over something between its ends.
    pub fn runs(&self) -> bool {
        self.stations.len() > 2
    }

    /// The stretches between neighboring stations, in the order of the path.
    pub fn spans(&self) -> impl Iterator<Item = [Anchor; 2]> + '_ {
        self.stations.iter().zip(self.stations.iter().skip(1)).map(|(from, to)| [*from, *to])
    }
}

impl Anchor {
    /// Whether a stretch from here to `other` leads upward, from what hangs to what holds it.
    pub const fn below(self, other: Self) -> bool {
        matches!(self, Self::LiftPoint(_) | Self::Place(_)) || matches!(other, Self::Hook(_))
    }

    /// Whether the distance to `other` is fixed: both on hooks, or both on one body.
    pub const fn rigid_with(self, other: Self) -> bool {
        match (self, other) {
            (Self::Hook(_), Self::Hook(_))
            | (Self::LiftPoint(_) | Self::Place(_), Self::LiftPoint(_) | Self::Place(_)) => true,
            (Self::SpreaderPoint(one, _), Self::SpreaderPoint(other, _)) => one == other,
            _ => false,
        }
    }
}

/// Checks that names are unique and resolves those that legs use.
pub(super) fn resolve(document: &Document) -> Result<(Vec<Links>, Vec<Collector>), Error> {
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
    let mut places = 0;
    for (index, leg) in document.legs.iter().enumerate() {
        let place = root.child("legs").child(index);
        legs.add(leg.name.clone(), (), place.clone())?;
        let path = resolve_path(leg, &place.child("path"), &stations, &mut places)?;
        links.push(resolve_leg(leg, path, &place, &items, &mut used)?);
        for (number, contact) in leg.contacts.value().into_iter().flatten().enumerate() {
            let place = place.child("contacts").child(number);
            acceptable(&contact.name, &place)?;
            if let Some(cover) = &contact.cover {
                covers.find(cover, place.child("cover"))?;
            }
        }
    }
    let collectors = connections::collectors(document, &items, &mut used)?;
    Ok((links, collectors))
}

/// The anchors of a path. `places` counts the places on the load that are no lift points.
fn resolve_path(leg: &Leg, path: &Place, stations: &Names<Anchor>, places: &mut usize) -> Result<Vec<Anchor>, Error> {
    let mut found: Vec<Anchor> = Vec::with_capacity(leg.path.len());
    for (index, station) in leg.path.iter().enumerate() {
        let first_or_last = index == 0 || index + 1 == leg.path.len();
        let place = path.child(index);
        let anchor = match station {
            Station::End(name) => {
                let anchor = stations.find(name, place.child("end"))?;
                if !first_or_last {
                    let what = "an end stands first or last on the path; what the sling passes over is \"over\"";
                    return Err(Error::inconsistent(what, place));
                }
                anchor
            }
            Station::Over(_) if first_or_last && !matches!(leg.hitch, Hitch::Choke(_)) => {
                let what = "a path begins and ends with an \"end\"; only a choke ends at what it goes round";
                return Err(Error::inconsistent(what, place));
            }
            Station::Over(passage) => match &passage.station {
                Some(name) => stations.find(name, place.child("over").child("station"))?,
                None => {
                    *places += 1;
                    Anchor::Place(*places - 1)
                }
            },
        };
        if leg.path.len() > 2 && found.last() == Some(&anchor) {
            return Err(Error::inconsistent("two stations that follow each other are the same", place));
        }
        found.push(anchor);
    }
    match found.as_slice() {
        [] | [_] => return Err(Error::inconsistent("a path needs two ends", path.clone())),
        [from, to] if from == to => {
            return Err(Error::inconsistent("both ends of the leg are the same station", path.clone()));
        }
        [from, to] if from.rigid_with(*to) => {
            let what = "both ends of the leg are held by one thing; nothing hangs from it";
            return Err(Error::inconsistent(what, path.clone()));
        }
        all if all.iter().zip(all.iter().skip(1)).all(|(from, to)| from.rigid_with(*to)) => {
            let what = "every station of the leg is held by one thing; nothing hangs from it";
            return Err(Error::inconsistent(what, path.clone()));
        }
        _ => {}
    }
    Ok(found)
}

fn resolve_leg(
    leg: &Leg,
    stations: Vec<Anchor>,
    place: &Place,
    items: &Names<Item>,
    used: &mut HashSet<Item>,
) -> Result<Links, Error> {
    let ends = stations.first().into_iter().chain(stations.last()).copied().collect();
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
    Ok(Links { ends, stations, items: found })
}

/// The names of one kind, each once.
pub(super) struct Names<T> {
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

    pub(super) fn find(&self, name: &str, place: Place) -> Result<T, Error> {
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
