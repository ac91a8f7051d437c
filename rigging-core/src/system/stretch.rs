//! The law of a leg from the stretch laws of its slings.

use super::Law;
use crate::arrangement::LegView;
use crate::error::{Error, Place};
use crate::gear::StretchLaw;
use crate::length;

/// The law of a whole leg, whose strain is counted over the whole length while only the slings stretch.
pub(super) fn law(leg: &LegView<'_>, effective: &length::EffectiveLength) -> Result<Law, Error> {
    let mut compliance = 0.0;
    let mut single = None;
    for ((index, sling), (_, own)) in leg.slings().zip(&effective.slings) {
        let place = || Place::root().child("slings").child(index).child("stiffness");
        let what = format_args!("the stiffness of \"{}\"", sling.name);
        let add = "\"stiffness\": {\"law\": {\"ea\": \"… MN\"}, \"condition\": \"bedded\", \"source\": \"…\"}";
        let stiffness = sling.stiffness.required(what, add, place)?;
        let ratio = own / effective.whole;
        match &stiffness.law {
            // A single sling keeps its figure to the last bit; slings in series add their compliances.
            StretchLaw::Ea(ea) if effective.slings.len() == 1 => {
                single = Some((Law::linear(ea.si() / ratio), place().child("law")))
            }
            StretchLaw::Ea(ea) => compliance += ratio / ea.si(),
            StretchLaw::Polynomial(coefficients) => {
                // T = Σ c·(e/ratio)^n, because e over the whole leg is ratio times the strain of the sling.
                let mut scale = 1.0;
                let scaled = coefficients.iter().map(|coefficient| {
                    scale /= ratio;
                    coefficient.si() * scale
                });
                single = Some((Law::polynomial(scaled.collect()), place().child("law").child("polynomial")));
            }
            StretchLaw::Points(points) => {
                let scaled = points.iter().map(|(strain, tension)| [strain.si() * ratio, tension.si()]).collect();
                single = Some((Law::piecewise_linear(scaled), place().child("law").child("points")));
            }
        }
    }
    match (single, effective.slings.len()) {
        (None, _) => Law::linear(1.0 / compliance).map_err(|error| error.at(leg.place().child("items"))),
        (Some((law, place)), 1) => law.map_err(|error| error.at(place)),
        (Some((_, place)), _) => {
            Err(Error::unsupported("several slings in one leg of which one has a curved stretch law", place))
        }
    }
}
