//! Texts that a report prints: each stands in one line and says something.
//!
//! A line break inside a name or a source would let a document write lines of its own into the report; a blank source is
//! no source.

use super::document::{Document, LiftPoint};
use super::links::acceptable;
use crate::error::{Error, Place};
use crate::gear::{Known, Rating};
use crate::text::Text;

/// Checks the document's name, and every source, identification number and chemical.
pub(super) fn check(document: &Document) -> Result<(), Error> {
    let root = Place::root();
    acceptable(&document.name, &root)?;
    let chemicals = root.child("environment").child("chemicals");
    for (index, chemical) in document.environment.chemicals.value().into_iter().flatten().enumerate() {
        stated("the name of the chemical", chemical, &chemicals.child(index))?;
    }
    let load = root.child("load");
    known(SOURCE, &document.load.mass.source, &load.child("mass").child("source"))?;
    known(SOURCE, &document.load.center_of_gravity.source, &load.child("center_of_gravity").child("source"))?;
    points(&document.load.lift_points, &load.child("lift_points"))?;
    for (index, hook) in document.hooks.iter().enumerate() {
        let place = root.child("hooks").child(index);
        rating(&hook.rating, &place)?;
        known("the name of the crane", &hook.crane, &place.child("crane"))?;
    }
    for (index, spreader) in document.spreaders.iter().enumerate() {
        let place = root.child("spreaders").child(index);
        rating(&spreader.rating, &place)?;
        points(&spreader.points, &place.child("points"))?;
    }
    for (index, sling) in document.slings.iter().enumerate() {
        let place = root.child("slings").child(index);
        known(SOURCE, &sling.strength.source, &place.child("strength").child("source"))?;
        if let Some(stiffness) = sling.stiffness.value() {
            known(SOURCE, &stiffness.source, &place.child("stiffness").child("source"))?;
        }
        known(IDENTITY, &sling.identity, &place.child("identity"))?;
    }
    for (index, fitting) in document.fittings.iter().enumerate() {
        let place = root.child("fittings").child(index);
        rating(&fitting.rating, &place)?;
        known(IDENTITY, &fitting.identity, &place.child("identity"))?;
    }
    Ok(())
}

const SOURCE: &str = "the source of the value";
const IDENTITY: &str = "the identification number";

/// The source of a cited value: a value without one is no better than none.
pub(super) fn source(text: &str, place: &Place) -> Result<(), Error> {
    stated(SOURCE, text, place)
}

fn points(points: &[LiftPoint], place: &Place) -> Result<(), Error> {
    for (index, point) in points.iter().enumerate() {
        let place = place.child(index);
        rating(&point.rating, &place)?;
        if let Some(direction) = point.allowed_direction.value() {
            known(SOURCE, &direction.source, &place.child("allowed_direction").child("source"))?;
        }
    }
    Ok(())
}

fn rating(rating: &Rating, item: &Place) -> Result<(), Error> {
    known(SOURCE, &rating.source, &item.child("rating").child("source"))
}

fn known(what: &'static str, text: &Known<Text>, place: &Place) -> Result<(), Error> {
    text.value().map_or(Ok(()), |text| stated(what, text, place))
}

pub(super) fn stated(what: &'static str, text: &str, place: &Place) -> Result<(), Error> {
    if text.trim().is_empty() || text == "unknown" {
        return Err(Error::missing(what, "a text that is not blank", place.clone()));
    }
    if text.chars().any(char::is_control) {
        return Err(Error::malformed(
            "a text that is printed holds no line break or other control character",
            place.clone(),
        ));
    }
    Ok(())
}
