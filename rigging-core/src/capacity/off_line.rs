//! What is left of a rating where the pull is off the line for which it is marked.

use crate::chain::Term;
use crate::error::{Error, Place};
use crate::gear::{AngleShares, band};
use crate::source::Source;

/// The share of a rating that its maker leaves at an angle, in radians, off its line.
///
/// # Errors
/// [`Error::Unsupported`] beyond the last band: the maker says nothing there.
pub fn share_off_line(shares: &AngleShares, angle: f64, place: &Place) -> Result<Term, Error> {
    let Some(share) = band(&shares.value, angle) else {
        let what = format!(
            "the rating at {:.2} deg off the line, beyond the last angle for which \"{}\" states a share",
            angle.to_degrees(),
            shares.source
        );
        return Err(Error::unsupported(what, place.clone()));
    };
    let name = "share of the rating off its line, after the maker";
    Ok(Term::new("η", name, share.share.si(), "", Source::stated(&shares.source))
        .from_input("angle off the line", format!("{:.2} deg", angle.to_degrees()))
        .from_input("stated up to", share.up_to.text()))
}
