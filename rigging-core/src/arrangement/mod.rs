//! The lift document: load, hooks, legs, contacts and environment, described once.
//!
//! A [`Document`] is what is written; a [`Lift`] is a document that was checked. Whether it is read from JSON or built
//! in code, it goes through the same checks.

mod circumstances;
mod connections;
mod document;
mod links;
mod parallel;
mod ranges;
pub(crate) mod read;
mod sets;
mod snag;
mod texts;
mod wind;

pub use circumstances::{
    CapacityBasis, Circumstances, Consequence, DetailedAnalysis, DynamicAnalysis, LoadKind, Region, Vessels,
};
pub use connections::Collector;
pub use document::{
    AllowedDirection, CenterOfGravity, Choke, Contact, Document, Environment, FORMAT, Hitch, Hook, Joint, Leg,
    LiftPoint, Load, LoadMass, Location, MassBasis, Operation, OperationKind, Passage, Point, Spreader, Station,
};
pub use links::{Anchor, Item, Links};
pub(crate) use sets::SetOfLegs;
pub use snag::{Snag, SnagCapacity};
pub use wind::{Wind, WindSpeed};

use crate::digest;
use crate::error::{Error, Place};
use crate::gear::{Fitting, Sling};
use crate::text::Text;

/// Most legs of a lift.
pub const MOST_LEGS: usize = 64;

/// A checked lift document. It does not change once it is made.
#[derive(Debug, Clone, PartialEq)]
pub struct Lift {
    document: Document,
    links: Vec<Links>,
    collectors: Vec<Collector>,
    hash: Text,
}

/// A leg with everything its names refer to.
#[derive(Debug, Clone, Copy)]
pub struct LegView<'a> {
    /// Position among the legs.
    pub index: usize,
    /// The leg as written.
    pub leg: &'a Leg,
    /// Its names, resolved.
    pub links: &'a Links,
    lift: &'a Lift,
}

impl<'a> LegView<'a> {
    /// Where the leg stands in the document.
    pub fn place(&self) -> Place {
        Place::root().child("legs").child(self.index)
    }

    /// What the leg passes over between its ends: the position on the path and the passage.
    pub fn passages(&self) -> impl Iterator<Item = (usize, &'a Passage)> + use<'a> {
        self.leg.path.iter().enumerate().filter_map(|(index, station)| match station {
            Station::End(_) => None,
            Station::Over(passage) => Some((index, passage.as_ref())),
        })
    }

    /// The station at a position on the path in words: its name, or for a place on the load the leg and the number of
    /// the station.
    pub fn station_name(&self, index: usize) -> Text {
        let named = match self.leg.path.get(index) {
            Some(Station::End(name)) => Some(name),
            Some(Station::Over(passage)) => passage.station.as_ref(),
            None => None,
        };
        named.cloned().unwrap_or_else(|| format!("{}, station {}", self.leg.name, index + 1).into())
    }

    /// The slings of the leg with their positions in the document.
    pub fn slings(&self) -> impl Iterator<Item = (usize, &'a Sling)> + use<'a> {
        let slings = &self.lift.document.slings;
        self.links.items.iter().filter_map(move |item| match item {
            Item::Sling(index) => slings.get(*index).map(|sling| (*index, sling)),
            Item::Fitting(_) => None,
        })
    }

    /// The points of the load or of spreaders that the leg is attached to or passes over.
    pub(crate) fn points(&self) -> impl Iterator<Item = &'a LiftPoint> + use<'a> {
        let lift = self.lift;
        self.links.stations.iter().filter_map(move |station| lift.point(*station))
    }

    /// The fittings of the leg with their positions in the document.
    pub fn fittings(&self) -> impl Iterator<Item = (usize, &'a Fitting)> + use<'a> {
        let fittings = &self.lift.document.fittings;
        self.links.items.iter().filter_map(move |item| match item {
            Item::Fitting(index) => fittings.get(*index).map(|fitting| (*index, fitting)),
            Item::Sling(_) => None,
        })
    }
}

impl Lift {
    /// Checks a document.
    ///
    /// # Errors
    /// A value out of its range, a name that stands twice or refers to nothing, a path without two ends, a newer format:
    /// each with its place.
    pub fn new(document: Document) -> Result<Self, Error> {
        let place = Place::root().child("format");
        if document.format > FORMAT {
            return Err(Error::NewerFormat { found: document.format, supported: FORMAT, place });
        }
        if document.format == 0 {
            return Err(Error::out_of_domain("format", 0.0, "", "1", place));
        }
        for (key, count, most) in [("hooks", document.hooks.len(), MOST_LEGS), ("legs", document.legs.len(), MOST_LEGS)]
        {
            if count == 0 || count > most {
                let place = Place::root().child(key);
                return Err(Error::out_of_domain(
                    format!("number of {key}"),
                    count as f64,
                    "",
                    format!("1 to {most}"),
                    place,
                ));
            }
        }
        ranges::check(&document)?;
        texts::check(&document)?;
        let (links, collectors) = links::resolve(&document)?;
        let mut lift = Self { document, links, collectors, hash: Text::default() };
        lift.hash = digest::sha256(&lift.canonical()?).into();
        Ok(lift)
    }

    /// Reads a lift from a JSON text.
    ///
    /// # Errors
    /// As [`Self::new`], and every error in the form of the text.
    ///
    /// ```
    /// use rigging_core::arrangement::Lift;
    /// let error = Lift::from_json(r#"{"format": 1, "name": "x", "gravty": "9.81 m/s2"}"#).unwrap_err();
    /// assert_eq!(error.code(), "unknown_key");
    /// assert_eq!(error.place().as_str(), "/gravty");
    /// ```
    pub fn from_json(text: &str) -> Result<Self, Error> {
        Self::new(read::read(text, FORMAT)?)
    }

    /// The document as JSON text, two spaces a level: values and units as entered, keys in the order of the format.
    ///
    /// # Errors
    /// None for a document that was checked; the type says so because writing JSON can fail in principle.
    pub fn to_json(&self) -> Result<String, Error> {
        serde_json::to_string_pretty(&self.document).map_err(|error| Error::malformed(error.to_string(), Place::root()))
    }

    /// The canonical text: the document as one line of JSON, keys in the order of the format, values and units as
    /// entered, what is unknown left out or named "unknown". Two documents that differ in layout only have one canonical
    /// text.
    ///
    /// # Errors
    /// None for a document that was checked, as for [`Self::to_json`].
    pub fn canonical(&self) -> Result<String, Error> {
        serde_json::to_string(&self.document).map_err(|error| Error::malformed(error.to_string(), Place::root()))
    }

    /// SHA-256 of the canonical text, in hexadecimal.
    pub const fn hash(&self) -> &Text {
        &self.hash
    }

    /// The document.
    pub const fn document(&self) -> &Document {
        &self.document
    }

    /// The legs, in the order of the document.
    pub fn legs(&self) -> impl Iterator<Item = LegView<'_>> {
        self.document.legs.iter().zip(&self.links).enumerate().map(|(index, (leg, links))| LegView {
            index,
            leg,
            links,
            lift: self,
        })
    }

    /// The fittings that collect the legs at a station and are part of none, each with its position in the document.
    pub fn collectors(&self) -> impl Iterator<Item = (Anchor, usize, &Fitting)> {
        let fittings = &self.document.fittings;
        self.collectors
            .iter()
            .filter_map(|Collector { anchor, fitting }| Some((*anchor, *fitting, fittings.get(*fitting)?)))
    }

    /// The point of the load or of a spreader that an anchor stands for; none for a hook or a joint.
    pub fn point(&self, anchor: Anchor) -> Option<&LiftPoint> {
        match anchor {
            Anchor::LiftPoint(index) => self.document.load.lift_points.get(index),
            Anchor::SpreaderPoint(spreader, index) => self.document.spreaders.get(spreader)?.points.get(index),
            Anchor::Hook(_) | Anchor::Joint(_) | Anchor::Place(_) => None,
        }
    }

    /// The same, and where it stands in the document.
    pub fn point_and_place(&self, anchor: Anchor) -> Option<(&LiftPoint, Place)> {
        let root = Place::root();
        let place = match anchor {
            Anchor::LiftPoint(index) => root.child("load").child("lift_points").child(index),
            Anchor::SpreaderPoint(spreader, index) => {
                root.child("spreaders").child(spreader).child("points").child(index)
            }
            Anchor::Hook(_) | Anchor::Joint(_) | Anchor::Place(_) => return None,
        };
        Some((self.point(anchor)?, place))
    }
}
