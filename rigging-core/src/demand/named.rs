//! The sharing rules that need no number from the user, by name.

use super::{ElasticAtVertices, ElasticBounds};
use crate::error::{Error, Place};
use crate::sharing::{SharingRule, built_in};
use std::sync::Arc;

/// Those of [`built_in`], and the elastic worst case: attained at the vertices, and bounded.
///
/// # Errors
/// None; the tables are read from data that is tested.
pub fn sharing_rules() -> Result<Vec<Arc<dyn SharingRule>>, Error> {
    let mut rules: Vec<Arc<dyn SharingRule>> = built_in()?.into_iter().map(Arc::from).collect();
    rules.push(Arc::new(ElasticAtVertices));
    rules.push(Arc::new(ElasticBounds::default()));
    Ok(rules)
}

/// One of [`sharing_rules`], by its name.
///
/// # Errors
/// [`Error::UnknownName`] offers the nearest name.
///
/// ```
/// let rule = rigging_core::demand::sharing_rule("two legs carry all")?;
/// assert!(rule.words().conservative);
/// assert_eq!(rigging_core::demand::sharing_rule("two legs").unwrap_err().code(), "unknown_name");
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn sharing_rule(name: &str) -> Result<Arc<dyn SharingRule>, Error> {
    let rules = sharing_rules()?;
    let names: Vec<_> = rules.iter().map(|rule| rule.words().name).collect();
    let found = rules.into_iter().zip(&names).find(|(_, known)| known.as_str() == name).map(|(rule, _)| rule);
    found.ok_or_else(|| {
        Error::unknown_name(name, "sharing rule", names.iter().map(crate::text::Text::as_str), Place::root())
    })
}
