//! What lift points, hooks, joints and fittings state of how they are joined: ranges and texts of plates, shares,
//! certificates, and the fittings that collect several legs.

use super::document::{Document, Joint, LiftPoint};
use super::links::{Anchor, Item, Names};
use super::ranges::{Least, cited, known, rated, single, within};
use super::texts;
use crate::error::{Error, Place};
use crate::gear::{AngleShares, Cited, Fitting, PinPlate, Sling, TestCertificate};
use crate::text::Text;
use std::collections::HashSet;
use std::f64::consts::PI;

/// Checks a lift point beyond its position, rating and direction.
pub(super) fn point(point: &LiftPoint, place: &Place) -> Result<(), Error> {
    if let Some(axis) = point.hole_axis.value() {
        let place = place.child("hole_axis");
        let length = axis.iter().map(|part| part * part).sum::<f64>().sqrt();
        if !(length.is_finite() && length > 0.0) {
            return Err(Error::out_of_domain(
                "length of the axis of the hole",
                length,
                "",
                "finite and not zero",
                place,
            ));
        }
    }
    if let Some(allowed) = point.allowed_direction.value()
        && let Some(shares) = allowed.shares.value()
    {
        self::shares(shares, &place.child("allowed_direction").child("shares"))?;
    }
    point.pin_plate.value().map_or(Ok(()), |plate| pin_plate(plate, &place.child("pin_plate")))
}

fn pin_plate(plate: &PinPlate, place: &Place) -> Result<(), Error> {
    for (name, key, length) in [
        ("edge distance along the pull", "edge_distance_along", &plate.edge_distance_along),
        ("edge distance across the pull", "edge_distance_across", &plate.edge_distance_across),
        ("outer radius", "outer_radius", &plate.outer_radius),
    ] {
        known(name, length, Least::AboveZero, &place.child(key))?;
    }
    known("thickness of the cheek plates", &plate.cheek_thickness, Least::Zero, &place.child("cheek_thickness"))?;
    for (name, key, strength) in [
        ("yield strength", "yield_strength", &plate.yield_strength),
        ("tensile strength", "tensile_strength", &plate.tensile_strength),
    ] {
        if let Some(strength) = strength.value() {
            let place = place.child(key);
            cited(strength, &place)?;
            single(name, &strength.value, Least::AboveZero, &place.child("value"))?;
        }
    }
    if let Some(factor) = plate.nominal_design_factor.value() {
        let place = place.child("nominal_design_factor");
        cited(factor, &place)?;
        if !(factor.value >= 1.0 && factor.value.is_finite()) {
            let allowed = "finite and at least 1";
            return Err(Error::out_of_domain("nominal design factor", factor.value, "", allowed, place.child("value")));
        }
    }
    Ok(())
}

/// Bands from the line outward: angles rise, shares do not.
fn shares(shares: &AngleShares, place: &Place) -> Result<(), Error> {
    cited(shares, place)?;
    let place = place.child("value");
    if shares.value.is_empty() {
        return Err(Error::out_of_domain("number of bands", 0.0, "", "1 or more", place));
    }
    let (mut angle, mut left) = (-1.0, 1.0);
    for (index, share) in shares.value.iter().enumerate() {
        let place = place.child(index);
        within("angle of the band", &share.up_to, 0.0, PI, place.child("up_to"))?;
        let found = share.share.si();
        if !(found > 0.0 && found <= 1.0) {
            let place = place.child("share");
            return Err(Error::out_of_domain("share of the rating", found * 100.0, "%", "above 0 % to 100 %", place));
        }
        if !(share.up_to.si() > angle && found <= left) {
            let what = "bands stand from the line outward: the angle rises and what is left of the rating does not";
            return Err(Error::inconsistent(what, place));
        }
        (angle, left) = (share.up_to.si(), found);
    }
    Ok(())
}

/// Checks a fitting beyond its rating and dimensions.
pub(super) fn fitting(fitting: &Fitting, place: &Place) -> Result<(), Error> {
    if let Some(side) = fitting.side_load.value() {
        if fitting.kind.word() != "shackle" {
            let what = "a side load is stated of a shackle; of a lift point the shares stand with its direction";
            return Err(Error::inconsistent(what, place.child("side_load")));
        }
        shares(side, &place.child("side_load"))?;
    }
    if let Some(angle) = fitting.greatest_included_angle.value() {
        let place = place.child("greatest_included_angle");
        cited(angle, &place)?;
        within("included angle", &angle.value, 0.0, PI, place.child("value"))?;
    }
    withstands(fitting.withstands.value(), place)?;
    let on_pin = [
        ("offset on the pin", "offset_on_pin", &fitting.offset_on_pin),
        ("packing on the pin", "packing", &fitting.packing),
        ("greatest offset on the pin", "greatest_offset_on_pin", &fitting.greatest_offset_on_pin),
    ];
    for (name, key, length) in on_pin {
        let Some(length) = length.value() else { continue };
        let place = place.child(key);
        if fitting.kind.word() != "shackle" {
            return Err(Error::inconsistent(format!("the {name} is stated of a shackle"), place));
        }
        cited(length, &place)?;
        single(name, &length.value, Least::Zero, &place.child("value"))?;
    }
    test_certificate(fitting.test_certificate.value(), place)
}

/// Checks the certificate of a sling.
pub(super) fn sling(sling: &Sling, place: &Place) -> Result<(), Error> {
    withstands(sling.withstands.value(), place)?;
    if sling.reference_number.value() == Some(&0) {
        let place = place.child("reference_number");
        return Err(Error::out_of_domain("reference number", 0.0, "", "1 or more", place));
    }
    if let Some(strength) = sling.end_fitting_strength.value() {
        let place = place.child("end_fitting_strength");
        cited(strength, &place)?;
        if strength.value.force().si() <= 0.0 {
            let (name, newtons) = ("strength of end fittings", strength.value.force().si());
            return Err(Error::out_of_domain(name, newtons, "N", "more than zero", place.child("value")));
        }
    }
    if let Some(left) = sling.sunlight.value() {
        let place = place.child("sunlight");
        cited(left, &place)?;
        single("what sunlight leaves of the strength", &left.value, Least::AboveZero, &place.child("value"))?;
        within("what sunlight leaves of the strength", &left.value, 0.0, 1.0, place.child("value"))?;
    }
    if let Some(creep) = sling.creep.value() {
        let place = place.child("creep");
        cited(creep, &place)?;
        within("what a lasting load adds to the length", &creep.value, 0.0, 1.0, place.child("value"))?;
    }
    test_certificate(sling.test_certificate.value(), place)
}

/// Every chemical is named.
fn withstands(stated: Option<&Cited<Vec<String>>>, place: &Place) -> Result<(), Error> {
    let Some(stated) = stated else { return Ok(()) };
    let place = place.child("withstands");
    cited(stated, &place)?;
    let mut names = stated.value.iter().enumerate();
    names.try_for_each(|(index, name)| {
        texts::stated("the name of the chemical", name, &place.child("value").child(index))
    })
}

fn test_certificate(certificate: Option<&TestCertificate>, place: &Place) -> Result<(), Error> {
    let Some(certificate) = certificate else { return Ok(()) };
    let place = place.child("test_certificate");
    texts::stated("the number of the certificate", &certificate.number, &place.child("number"))?;
    if let Some(identity) = certificate.identity.value() {
        texts::stated("the identification number on the certificate", identity, &place.child("identity"))?;
    }
    rated("working load limit", &certificate.wll, &place.child("wll"))?;
    rated("breaking load", &certificate.breaking_load, &place.child("breaking_load"))
}

/// A fitting that collects every leg at a station and is part of none of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Collector {
    /// The station: a hook, a joint or a point.
    pub anchor: Anchor,
    /// Position of the fitting in the document.
    pub fitting: usize,
}

/// The fittings that stations name, each once and in no leg.
pub(super) fn collectors(
    document: &Document,
    items: &Names<Item>,
    used: &mut HashSet<Item>,
) -> Result<Vec<Collector>, Error> {
    let root = Place::root();
    let mut found = Vec::new();
    let mut collect = |name: &Option<Text>, anchor: Anchor, station: Place| -> Result<(), Error> {
        let Some(name) = name else { return Ok(()) };
        let place = station.child("fitting");
        let item = items.find(name, place.clone())?;
        let Item::Fitting(fitting) = item else {
            return Err(Error::inconsistent(format!("\"{name}\" is a sling; a fitting collects legs"), place));
        };
        if !used.insert(item) {
            let what =
                format!("\"{name}\" is already part of a leg or another station; one item cannot be in two places");
            return Err(Error::inconsistent(what, place));
        }
        found.push(Collector { anchor, fitting });
        Ok(())
    };
    for (index, hook) in document.hooks.iter().enumerate() {
        collect(&hook.fitting, Anchor::Hook(index), root.child("hooks").child(index))?;
    }
    for (index, Joint { fitting, .. }) in document.joints.iter().enumerate() {
        collect(fitting, Anchor::Joint(index), root.child("joints").child(index))?;
    }
    let points = root.child("load").child("lift_points");
    for (index, point) in document.load.lift_points.iter().enumerate() {
        collect(&point.fitting, Anchor::LiftPoint(index), points.child(index))?;
    }
    for (spreader, body) in document.spreaders.iter().enumerate() {
        let points = root.child("spreaders").child(spreader).child("points");
        for (index, point) in body.points.iter().enumerate() {
            collect(&point.fitting, Anchor::SpreaderPoint(spreader, index), points.child(index))?;
        }
    }
    Ok(found)
}
