//! The gear of a lift as a rule set sees it: what states the same facts is asked about once.

use crate::arrangement::Lift;
use crate::error::{Error, Place};
use crate::gear::{Fitting, Sling};
use crate::rules::{Answer, Facts, Question, RuleSet};
use std::sync::Arc;

/// Items of one kind of document entry, grouped by the facts they state.
pub(super) struct Alike {
    /// The facts of each group.
    facts: Vec<Facts>,
    /// For each item, in the order of the document, its group.
    groups: Vec<usize>,
}

/// What a rule set says to one question, a value made of it for each group.
pub(super) struct Said<'a, T> {
    alike: &'a Alike,
    values: Vec<T>,
}

/// What was made for one key, handed on for the same.
pub(super) struct Made<K, T>(Vec<(K, T)>);

impl<K, T> Default for Made<K, T> {
    fn default() -> Self {
        Self::none()
    }
}

impl<K, T> Made<K, T> {
    /// Nothing yet.
    pub(super) const fn none() -> Self {
        Self(Vec::new())
    }
}

impl<K: PartialEq, T> Made<K, T> {
    /// What was made for this key, or is now.
    #[expect(clippy::indexing_slicing, reason = "the position was found, or is that of what was put there last")]
    pub(super) fn once(&mut self, key: K, make: impl FnOnce() -> T) -> &mut T {
        let known = self.0.iter().position(|(other, _)| *other == key);
        let at = known.unwrap_or_else(|| {
            self.0.push((key, make()));
            self.0.len() - 1
        });
        &mut self.0[at].1
    }
}

impl Alike {
    /// The slings of a lift.
    pub(super) fn slings(lift: &Lift, circumstances: &Arc<Facts>) -> Self {
        Self::of(lift.document().slings.iter().map(|sling: &Sling| Facts::new().amid(circumstances).of_sling(sling)))
    }

    /// The fittings of a lift.
    pub(super) fn fittings(lift: &Lift, circumstances: &Arc<Facts>) -> Self {
        let fittings = lift.document().fittings.iter();
        Self::of(fittings.map(|fitting: &Fitting| Facts::new().amid(circumstances).of_fitting(fitting)))
    }

    fn of(items: impl Iterator<Item = Facts>) -> Self {
        let mut alike = Self { facts: Vec::new(), groups: Vec::new() };
        for stated in items {
            let known = alike.facts.iter().position(|facts| *facts == stated);
            alike.groups.push(known.unwrap_or(alike.facts.len()));
            if known.is_none() {
                alike.facts.push(stated);
            }
        }
        alike
    }

    /// The group of an item; none for one that the document does not have.
    pub(super) fn group(&self, item: usize) -> Option<usize> {
        self.groups.get(item).copied()
    }

    /// What an item states.
    ///
    /// # Errors
    /// [`Error::Inconsistent`] for an item that the document does not have.
    pub(super) fn facts(&self, item: usize) -> Result<&Facts, Error> {
        let facts = self.group(item).and_then(|group| self.facts.get(group));
        facts.ok_or_else(|| Error::inconsistent(format!("the document has no item {item} here"), Place::root()))
    }

    /// Asks a question about every group.
    pub(super) fn ask(&self, rules: &RuleSet, question: Question) -> Said<'_, Answer> {
        self.each(|facts| rules.ask(question, facts))
    }

    /// A value for every group.
    pub(super) fn each<T>(&self, value: impl FnMut(&Facts) -> T) -> Said<'_, T> {
        Said { alike: self, values: self.facts.iter().map(value).collect() }
    }

    /// A value for every group, of what was made for it before.
    pub(super) fn each_beside<S, T>(&self, known: &Said<'_, S>, mut value: impl FnMut(&Facts, &S) -> T) -> Said<'_, T> {
        let values = self.facts.iter().zip(&known.values).map(|(facts, known)| value(facts, known)).collect();
        Said { alike: self, values }
    }
}

impl<T> Said<'_, T> {
    /// What is said of an item; none for one that the document does not have.
    pub(super) fn of(&self, item: usize) -> Option<&T> {
        self.values.get(self.alike.group(item)?)
    }
}
