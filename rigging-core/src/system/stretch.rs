//! The law of a leg from the stretch laws of its slings: parts in parallel add their tensions, slings in series their
//! strains.

use super::Law;
use crate::arrangement::LegView;
use crate::error::{Error, Place};
use crate::gear::StretchLaw;
use crate::length;

/// A sling as part of a leg.
struct Share<'a> {
    law: &'a StretchLaw,
    /// Where the law stands in the document.
    place: Place,
    /// How often what the law is quoted for bears side by side.
    times: f64,
    /// The sling's length over that of the leg.
    ratio: f64,
}

/// The law of a whole leg, whose strain is counted over the whole length while only the slings stretch.
pub(super) fn law(leg: &LegView<'_>, effective: &length::EffectiveLength) -> Result<Law, Error> {
    let mut shares = Vec::with_capacity(effective.slings.len());
    for ((index, sling), (_, own)) in leg.slings().zip(&effective.slings) {
        let place = || Place::root().child("slings").child(index).child("stiffness");
        let what = format_args!("the stiffness of \"{}\"", sling.name);
        let add = "\"stiffness\": {\"law\": {\"ea\": \"… MN\"}, \"condition\": \"bedded\", \"source\": \"…\"}";
        let stiffness = sling.stiffness.required(what, add, place)?;
        let times = f64::from(leg.side_by_side(index, sling)?);
        shares.push(Share { law: &stiffness.law, place: place().child("law"), times, ratio: own / effective.whole });
    }
    match shares.as_slice() {
        [only] => only.alone(),
        several => series(several, &leg.place().child("items")),
    }
}

impl Share<'_> {
    /// The law of a leg that has no other sling.
    fn alone(&self) -> Result<Law, Error> {
        match self.law {
            // A single sling keeps its figure to the last bit.
            StretchLaw::Ea(ea) => {
                Law::linear(ea.si() * self.times / self.ratio).map_err(|error| error.at(self.place()))
            }
            StretchLaw::Polynomial(coefficients) => {
                // T = Σ c·(e/ratio)^n, because e over the whole leg is ratio times the strain of the sling.
                let mut scale = self.times;
                let scaled = coefficients.iter().map(|coefficient| {
                    scale /= self.ratio;
                    coefficient.si() * scale
                });
                Law::polynomial(scaled.collect()).map_err(|error| error.at(self.place()))
            }
            StretchLaw::Points(points) => {
                let scaled = points.iter().map(|(strain, tension)| {
                    let strain = strain.si() * self.ratio;
                    [strain, tension.si() * self.times]
                });
                Law::piecewise_linear(scaled.collect()).map_err(|error| error.at(self.place()))
            }
        }
    }

    fn place(&self) -> Place {
        match self.law {
            StretchLaw::Ea(_) => self.place.clone(),
            StretchLaw::Polynomial(_) => self.place.child("polynomial"),
            StretchLaw::Points(_) => self.place.child("points"),
        }
    }

    /// The strain over the whole leg that this sling takes under a tension; none for a law that is not made of straight lines.
    fn strain(&self, tension: f64) -> Option<f64> {
        let own = tension / self.times;
        let strain = match self.law {
            StretchLaw::Ea(ea) => own / ea.si(),
            StretchLaw::Polynomial(_) => return None,
            StretchLaw::Points(points) => {
                let points = || points.iter().map(|(strain, tension)| (strain.si(), tension.si()));
                let mut lines = std::iter::once((0.0, 0.0)).chain(points()).zip(points());
                let mut line = lines.next()?;
                for next in lines {
                    if own > line.1.1 {
                        line = next;
                    }
                }
                let ((e0, t0), (e1, t1)) = line;
                e0 + (own - t0) * (e1 - e0) / (t1 - t0)
            }
        };
        Some(strain * self.ratio)
    }

    /// The tensions at which the slope may change.
    fn corners(&self) -> impl Iterator<Item = f64> {
        let points = match self.law {
            StretchLaw::Points(points) => points.as_slice(),
            StretchLaw::Ea(_) | StretchLaw::Polynomial(_) => &[],
        };
        points.iter().map(|(_, tension)| tension.si() * self.times)
    }
}

/// Slings in series: one tension, and the strains add up. Straight lines stay straight lines between the corners of all.
fn series(shares: &[Share<'_>], items: &Place) -> Result<Law, Error> {
    if let Some(curved) = shares.iter().find(|share| matches!(share.law, StretchLaw::Polynomial(_))) {
        let what = "several slings in one leg of which one has a polynomial stretch law; state points";
        return Err(Error::unsupported(what, curved.place()));
    }
    // Each law by itself must be one: a tension that does not rise has no strain to ask for.
    shares.iter().try_for_each(|share| share.alone().map(drop))?;
    let mut corners: Vec<f64> = shares.iter().flat_map(Share::corners).collect();
    corners.sort_unstable_by(f64::total_cmp);
    corners.dedup();
    let strain = |tension: f64| shares.iter().filter_map(|share| share.strain(tension)).sum::<f64>();
    let law = match corners.is_empty() {
        true => Law::linear(1.0 / strain(1.0)),
        false => Law::piecewise_linear(corners.into_iter().map(|tension| [strain(tension), tension]).collect()),
    };
    law.map_err(|error| error.at(items.clone()))
}
