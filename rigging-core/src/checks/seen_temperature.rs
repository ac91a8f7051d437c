//! The temperatures that the gear sees, and what makers state of them: the same whatever rule set is asked.

use super::alike::Made;
use super::{Code, Finding};
use crate::arrangement::Lift;
use crate::chain::{Chain, Term};
use crate::error::Place;
use crate::gear::{Cited, Known};
use crate::quantity::{Entered, Temperature};
use crate::source::{Citation, Source};
use crate::text::Text;
use std::cell::RefCell;
use std::sync::Arc;

/// The lower or the upper end of a range of temperature.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum End {
    Lowest,
    Highest,
}

/// What a maker states.
pub(super) type Range = Cited<[Entered<Temperature>; 2]>;

/// One end of the range that the gear sees.
pub(super) struct Seen<'a> {
    pub(super) end: End,
    pub(super) entered: &'a Entered<Temperature>,
    chain: Arc<Chain>,
    /// What the makers allow, one limit for each range they state.
    stated: RefCell<Made<&'a Range, Arc<Chain>>>,
    /// What was found of each limit.
    held: RefCell<Made<*const Chain, Finding>>,
}

/// Both ends; none where the temperature is not known.
pub(super) fn of(lift: &Lift) -> Option<[Seen<'_>; 2]> {
    let [low, high] = lift.document().environment.temperature.value()?;
    Some([(End::Lowest, low), (End::Highest, high)].map(|(end, entered)| Seen {
        end,
        entered,
        chain: Arc::new(end.seen(entered)),
        stated: Made::none().into(),
        held: Made::none().into(),
    }))
}

impl<'a> Seen<'a> {
    /// What a maker allows.
    pub(super) fn stated(&self, range: &'a Known<Range>) -> Option<Arc<Chain>> {
        let range = range.value()?;
        let chain = || Arc::new(self.end.allowed(self.end.stated(range)));
        Some(Arc::clone(self.stated.borrow_mut().once(range, chain)))
    }

    /// Whether the temperature is beyond a limit.
    pub(super) fn beyond(&self, limit: &Chain) -> bool {
        match self.end {
            End::Lowest => self.entered.si() < limit.value(),
            End::Highest => self.entered.si() > limit.value(),
        }
    }

    /// The temperature against a limit.
    pub(super) fn held_against(&self, limit: Arc<Chain>, item: &Text, place: Place) -> Finding {
        // A limit lives as long as what was found of it, so no other one has its place.
        let key = Arc::as_ptr(&limit);
        let found = || {
            let source = limit.base.source.clone();
            let found = Arc::clone(&self.chain);
            let (asked, borne) = match self.end {
                End::Highest => (found, limit),
                End::Lowest => (limit, found),
            };
            Finding::compared(Code::Temperature, "", Place::root(), asked, borne).after(source)
        };
        self.held.borrow_mut().once(key, found).alike(item, place)
    }
}

impl End {
    /// What the gear sees, as a chain.
    fn seen(self, entered: &Entered<Temperature>) -> Chain {
        static SOURCE: Citation = Citation::stated("environment in the lift document");
        let reading = reading(entered, Source::fixed(&SOURCE));
        match self {
            Self::Lowest => Chain::start("lowest temperature of the gear", reading),
            Self::Highest => Chain::start("highest temperature of the gear", reading),
        }
    }

    /// What a maker states.
    fn stated(self, range: &Range) -> Term {
        let [low, high] = &range.value;
        let limit = if self == Self::Lowest { low } else { high };
        reading(limit, Source::stated(&range.source))
    }

    /// A limit as a chain.
    pub(super) fn allowed(self, limit: Term) -> Chain {
        match self {
            Self::Lowest => Chain::start("its lowest allowed", limit),
            Self::Highest => Chain::start("its highest allowed", limit),
        }
    }
}

fn reading(temperature: &Entered<Temperature>, source: Source) -> Term {
    Term::new("θ", "temperature", temperature.si(), "K", source).from_input("as entered", temperature.text())
}
