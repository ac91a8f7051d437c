//! A factor on another rule.

use super::{LegSet, SharingRule, Words};
use crate::error::{Error, Place};
use crate::source::Source;
use crate::text::Text;
use std::sync::Arc;

/// A skew factor on the forces of another rule, and the conditions that its source puts on it.
///
/// There is no default: a factor holds for the slings and lengths that its source names, and the conditions come with it.
///
/// ```
/// use rigging_core::sharing::{EqualShare, SharingRule, Skewed};
/// use rigging_core::source::{Source, Standing};
/// use std::sync::Arc;
/// let source = Source::new("0027/ND", "5.6.12", "Rev 11.2, 2016, superseded", Standing::Document);
/// let domain = "four slings in matched pairs of single-laid steel wire rope";
/// let rule = Skewed::new(Arc::new(EqualShare), 1.25, domain, source)?;
/// assert_eq!(rule.words().name.as_str(), "skew factor 1.25 on equal share by angle");
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct Skewed {
    base: Arc<dyn SharingRule>,
    factor: f64,
    domain: Text,
    source: Source,
}

impl Skewed {
    /// A factor on `base`, with the conditions (`domain`) and the source of the factor.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] for a factor below 1 or not finite.
    pub fn new(
        base: Arc<dyn SharingRule>,
        factor: f64,
        domain: impl Into<Text>,
        source: Source,
    ) -> Result<Self, Error> {
        if !(factor >= 1.0 && factor.is_finite()) {
            let place = Place::root().child("factor");
            return Err(Error::out_of_domain("skew factor", factor, "", "finite and at least 1", place));
        }
        Ok(Self { base, factor, domain: domain.into(), source })
    }

    /// The factor.
    pub const fn factor(&self) -> f64 {
        self.factor
    }
}

impl SharingRule for Skewed {
    fn words(&self) -> Words {
        let base = self.base.words();
        Words {
            name: format!("skew factor {} on {}", self.factor, base.name).into(),
            domain: format!("{}; of the factor, for the user to see to: {}", base.domain, self.domain).into(),
            source: self.source.clone(),
            conservative: true,
        }
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        let forces = super::share(self.base.as_ref(), set)?;
        Ok(forces.into_iter().map(|force| force * self.factor).collect())
    }

    fn stands_at(&self, utilizations: &[Option<f64>]) -> Result<(), Error> {
        self.base.stands_at(utilizations)
    }
}
