//! Parts in parallel: how many of what a stiffness is quoted for bear side by side between the ends of a leg.

use super::{Hitch, LegView};
use crate::error::{Error, Place};
use crate::gear::{Basis, Known, Sling};

impl LegView<'_> {
    /// How often what the stiffness of its sling at `index` is quoted for bears side by side in this leg: on this the law as
    /// stated is to be multiplied. A grommet quoted by the part counts 2, doubled 4; quoted as a whole 1, doubled 2.
    ///
    /// # Errors
    /// [`Error::Missing`] where the kind of sling or the way it hangs makes a difference and the document does not say what
    /// the stiffness is quoted for, or how many parts there are; [`Error::Unsupported`] for a stiffness quoted as hung of a
    /// sling that passes over something between its ends, because every span has its own.
    ///
    /// ```
    /// use rigging_core::arrangement::Lift;
    /// let text = include_str!("../../examples/lifts/vessel-two-cranes.json");
    /// let times = |text: &str| -> Result<u32, rigging_core::error::Error> {
    ///     let lift = Lift::from_json(text)?;
    ///     let counts: Result<Vec<u32>, _> =
    ///         lift.legs().flat_map(|leg| leg.slings().map(move |(index, sling)| leg.side_by_side(index, sling))).collect();
    ///     Ok(counts?[0])
    /// };
    /// // Two grommets, each with one stiffness for both of its parts; then the same figure for one of them.
    /// let (whole, part) = ("\"basis\": \"whole\", \"condition\"", "\"basis\": \"part\", \"condition\"");
    /// assert_eq!(times(text)?, 1);
    /// assert_eq!(times(&text.replace(whole, part))?, 2);
    /// let open = times(&text.replace(whole, "\"condition\"")).unwrap_err();
    /// assert_eq!((open.code(), open.place().as_str()), ("missing", "/slings/0/stiffness/basis"));
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn side_by_side(&self, index: usize, sling: &Sling) -> Result<u32, Error> {
        let place = Place::root().child("slings").child(index);
        let lengths = match self.leg.hitch {
            Hitch::Doubled => 2,
            _ => 1,
        };
        let basis = || place.child("stiffness").child("basis");
        let stated = sling.stiffness.value().map_or(Known::Unknown, |stiffness| stiffness.basis);
        if stated.is_unknown() && sling.parts_side_by_side() == Some(1) && lengths == 1 && !self.links.runs() {
            return Ok(1);
        }
        let what = format_args!(
            "whether the stiffness of \"{}\" is quoted for one part, for the whole sling in a straight pull or for the leg as it hangs",
            sling.name
        );
        match stated.required(what, "\"basis\": \"part\", \"whole\" or \"as_hung\", whichever it is", basis)? {
            Basis::AsHung if self.links.runs() => {
                let what = "a stiffness quoted as hung of a sling that passes over something between its ends; state that of the whole sling in a straight pull";
                Err(Error::unsupported(what, basis()))
            }
            Basis::AsHung => Ok(1),
            Basis::Whole => Ok(lengths),
            Basis::Part => {
                let what = format_args!("how many parts of \"{}\" bear side by side", sling.name);
                let parts = sling.parts_side_by_side().map_or(Known::Unknown, Known::Value);
                parts.required(what, "\"parts\": …", || place.child("parts")).map(|parts| parts * lengths)
            }
        }
    }
}
