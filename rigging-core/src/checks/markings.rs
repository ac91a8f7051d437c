//! What fittings and lift points may bear by their marking alone, made out once a lift: rule sets choose whether a marking
//! counts, and none changes what it says.

use super::alike::Made;
use super::ratings::Rated;
use crate::arrangement::{Anchor, LiftPoint};
use crate::capacity;
use crate::chain::Term;
use crate::error::Place;
use crate::gear::{Fitting, Rating};
use crate::text::Text;
use std::cell::RefCell;
use std::sync::Arc;

/// The markings that were asked for so far.
#[derive(Default)]
pub(super) struct Markings<'a> {
    fittings: RefCell<Made<usize, Rated>>,
    points: RefCell<Made<Anchor, Rated>>,
    /// Items that are marked alike share the term of their rating.
    terms: RefCell<Vec<(&'a Rating, Arc<Term>)>>,
}

impl<'a> Markings<'a> {
    /// Of the fitting at `index` of the document, which stands at `place`.
    pub(super) fn fitting(&self, index: usize, fitting: &'a Fitting, place: &Place) -> Rated {
        let marked = || self.marked(&fitting.name, &fitting.rating, place);
        self.fittings.borrow_mut().once(index, marked).clone()
    }

    /// Of the lift point at `anchor`, which stands at `place`.
    pub(super) fn point(&self, anchor: Anchor, point: &'a LiftPoint, place: &Place) -> Rated {
        let marked = || self.marked(&point.name, &point.rating, place);
        self.points.borrow_mut().once(anchor, marked).clone()
    }

    fn marked(&self, name: &Text, rating: &'a Rating, place: &Place) -> Rated {
        let mut terms = self.terms.borrow_mut();
        let alike = |other: &Rating| other.wll == rating.wll && other.source == rating.source;
        if let Some((_, term)) = terms.iter().find(|(other, _)| alike(other)) {
            return Ok(Some(capacity::by_marking(name, Arc::clone(term))));
        }
        let Some(term) = capacity::marking(name, rating, place)?.map(Arc::new) else { return Ok(None) };
        terms.push((rating, Arc::clone(&term)));
        Ok(Some(capacity::by_marking(name, term)))
    }
}
