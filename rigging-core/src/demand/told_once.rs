//! What answers for the forces, each answer about a leg made out once: several checks ask for the same.

use super::{Asked, Asks, DesignWeight};
use crate::arrangement::{Anchor, Lift};
use crate::error::Error;
use std::cell::RefCell;

/// Whatever answers for the forces, with what it said of each leg.
pub(crate) struct ToldOnce<'a> {
    from: &'a dyn Asks,
    told: &'a Told,
}

/// What was said of each leg: moving, and at rest.
#[derive(Default)]
pub(crate) struct Told(RefCell<Vec<[Option<Asked>; 2]>>);

impl<'a> ToldOnce<'a> {
    /// What `from` answers, and what it or its equal answered before. A leg is asked about by its own name only.
    pub(crate) const fn of(from: &'a dyn Asks, told: &'a Told) -> Self {
        Self { from, told }
    }
}

impl Asks for ToldOnce<'_> {
    fn weight(&self) -> &DesignWeight {
        self.from.weight()
    }

    fn leg(&self, leg: usize, name: &str, at_rest: bool) -> Result<Asked, Error> {
        let state = usize::from(at_rest);
        let known = self.told.0.borrow().get(leg).and_then(|states| states.get(state).cloned().flatten());
        if let Some(asked) = known {
            return Ok(asked);
        }
        let asked = self.from.leg(leg, name, at_rest)?;
        let mut legs = self.told.0.borrow_mut();
        if legs.len() <= leg {
            legs.resize(leg + 1, [const { None }; 2]);
        }
        if let Some(slot) = legs.get_mut(leg).and_then(|states| states.get_mut(state)) {
            *slot = Some(asked.clone());
        }
        Ok(asked)
    }

    fn places(&self) -> Vec<Anchor> {
        self.from.places()
    }

    fn place(&self, anchor: Anchor, name: &str) -> Option<Asked> {
        self.from.place(anchor, name)
    }

    fn collector(&self, index: usize, name: &str, at_rest: bool) -> Option<Asked> {
        self.from.collector(index, name, at_rest)
    }

    fn compressions(&self, lift: &Lift) -> Vec<Asked> {
        self.from.compressions(lift)
    }

    fn hook(&self, lift: &Lift, hook: usize, name: &str, gravity: f64) -> Result<Asked, Error> {
        self.from.hook(lift, hook, name, gravity)
    }
}
