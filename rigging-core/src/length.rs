//! Effective working length of a leg: from the bearing point of one end station to that of the other.
//!
//! A tag, a drawing and a measuring record quote lengths between different points. What the equilibrium needs is the
//! unstretched length between the stations, the part of it that stretches, and how far both may be off. How far
//! the center of gravity may be off stands here as well: both are sides of one box of tolerances.

use crate::arrangement::{Hitch, LegView, Lift};
use crate::error::{Error, Place};
use crate::gear::{Measured, Sling};

/// Length of a leg, in meters.
#[derive(Debug, Clone, PartialEq)]
pub struct EffectiveLength {
    /// Unstretched, from station to station.
    pub whole: f64,
    /// What each sling contributes, in the order of the leg: its position in the document and its own length.
    pub slings: Vec<(usize, f64)>,
}

/// Effective length of a straight leg.
///
/// # Errors
/// [`Error::Missing`] where a length, the points it was measured between or a fitting's share is not known;
/// [`Error::Unsupported`] for a length quoted inside or round the sling, which needs the pins it is hung on, and for one of a
/// doubled or choked sling that is not over the whole leg;
/// [`Error::Inconsistent`] where two slings of one leg both claim its whole length.
pub fn effective(leg: &LegView<'_>) -> Result<EffectiveLength, Error> {
    let mut slings = Vec::new();
    let mut whole_leg = None;
    for (index, sling) in leg.slings() {
        let (length, measured) = stated(index, sling)?;
        match measured {
            Measured::WholeLeg => whole_leg = Some(index),
            Measured::BearingToBearing if leg.leg.hitch == Hitch::Doubled => {
                let what = format!(
                    "the length of \"{}\" pulled straight, where it hangs doubled: half of it less the turn of its bight; state that over the whole leg",
                    sling.name
                );
                return Err(Error::unsupported(what, place(index).child("measured")));
            }
            Measured::BearingToBearing if matches!(leg.leg.hitch, Hitch::Choke(_)) => {
                let what = format!(
                    "the length of \"{}\" pulled straight, of which a part goes round the load; state that over the whole leg, down to the choke point",
                    sling.name
                );
                return Err(Error::unsupported(what, place(index).child("measured")));
            }
            Measured::BearingToBearing => {}
            Measured::Inside | Measured::Circumference => {
                let what = format!(
                    "the length of \"{}\" {}: its bearing-to-bearing length depends on the pins; state that",
                    sling.name,
                    measured.word()
                );
                return Err(Error::unsupported(what, place(index).child("measured")));
            }
        }
        slings.push((index, length));
    }
    if let Some(index) = whole_leg {
        let [(_, whole)] = slings.as_slice() else {
            let what = "a length over the whole leg stands beside a second sling in the same leg";
            return Err(Error::inconsistent(what, place(index).child("measured")));
        };
        // The rigid share of the fittings is inside the figure; what it is does not change the length.
        let rigid =
            leg.fittings().filter_map(|(_, fitting)| fitting.length.value()).map(|length| length.si()).sum::<f64>();
        let own = whole - rigid;
        if own <= 0.0 {
            let what = "the fittings alone are as long as the whole leg";
            return Err(Error::inconsistent(what, place(index).child("value")));
        }
        return Ok(EffectiveLength { whole: *whole, slings: vec![(index, own)] });
    }
    let mut whole: f64 = slings.iter().map(|(_, length)| length).sum();
    for (index, fitting) in leg.fittings() {
        let place = || Place::root().child("fittings").child(index).child("length");
        let what = format_args!("what \"{}\" adds to the length of its leg", fitting.name);
        whole += fitting.length.required(what, "\"length\": \"… mm\"", place)?.si();
    }
    Ok(EffectiveLength { whole, slings })
}

/// Tolerance of a leg: the sum of what its slings may be off, in meters.
///
/// # Errors
/// [`Error::Missing`]: an absent tolerance is unknown, not zero.
pub fn tolerance(leg: &LegView<'_>) -> Result<f64, Error> {
    leg.slings().try_fold(0.0, |sum, (index, sling)| {
        let what = format_args!("the length tolerance of \"{}\"", sling.name);
        let add = "\"tolerance\": \"… mm\"";
        Ok(sum + sling.length.tolerance.required(what, add, || place(index).child("tolerance"))?.si())
    })
}

/// Tolerance of the coordinates of the load's center of gravity, in meters.
///
/// # Errors
/// [`Error::Missing`]: an absent tolerance is unknown, not zero.
pub fn center_of_gravity_tolerance(lift: &Lift) -> Result<[f64; 3], Error> {
    let place = || Place::root().child("load").child("center_of_gravity").child("tolerance");
    let add = "\"tolerance\": [\"… mm\", \"… mm\", \"… mm\"]";
    let what = "the box in which the center of gravity may lie";
    let [x, y, z] = lift.document().load.center_of_gravity.tolerance.required(what, add, place)?;
    Ok([x.si(), y.si(), z.si()])
}

fn stated(index: usize, sling: &Sling) -> Result<(f64, Measured), Error> {
    let place = place(index);
    let what = format_args!("the length of \"{}\"", sling.name);
    let value = sling.length.value.required(what, "\"value\": \"… m\"", || place.child("value"))?;
    let what = format_args!("between which points the length of \"{}\" was measured", sling.name);
    let add = "\"measured\": \"whole_leg\" or \"bearing_to_bearing\", whichever it is";
    let measured = sling.length.measured.required(what, add, || place.child("measured"))?;
    Ok((value.si(), *measured))
}

fn place(sling: usize) -> Place {
    Place::root().child("slings").child(sling).child("length")
}
