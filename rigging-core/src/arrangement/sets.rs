//! Legs that hang side by side from one place: a hook, a joint or a point of a spreader.

use super::{Anchor, LegView, Lift};

/// Two or more legs that hang from one place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct SetOfLegs {
    /// The place.
    pub(crate) at: Anchor,
    /// For each what it is made of, from the place downward: a leg whose joint holds nothing but one more leg goes on with that.
    pub(crate) legs: Vec<Vec<usize>>,
    /// The legs that hold the place.
    pub(crate) above: Vec<usize>,
    /// Whether everything that a single hook bears hangs from it.
    pub(crate) whole: bool,
}

impl SetOfLegs {
    /// The legs that end at the place.
    pub(crate) fn at_the_place(&self) -> impl Iterator<Item = usize> + '_ {
        self.legs.iter().filter_map(|leg| leg.first().copied())
    }
}

/// A stretch of a leg, by what it hangs from and what it leads down to.
#[derive(Clone, Copy)]
struct Stretch {
    leg: usize,
    from: Anchor,
    to: Anchor,
    runs: bool,
}

impl Lift {
    /// The sets of legs, in the order in which their legs stand in the document. What stands higher as drawn is what holds.
    pub(crate) fn sets_of_legs(&self) -> Vec<SetOfLegs> {
        let stretches = self.stretches();
        let mut places: Vec<Anchor> = Vec::new();
        for stretch in &stretches {
            if !places.contains(&stretch.from) {
                places.push(stretch.from);
            }
        }
        let whole = self.in_line(&stretches);
        let sets = places.into_iter().filter_map(|at| {
            let hanging = hanging(&stretches, at);
            let set = || SetOfLegs {
                at,
                legs: hanging.iter().map(|first| downward(&stretches, *first)).collect(),
                above: holding(&stretches, at),
                whole: whole.contains(&at),
            };
            (hanging.len() > 1).then(set)
        });
        sets.collect()
    }

    /// How many legs hang side by side from a place, those below a joint counted in its stead.
    pub(crate) fn legs_side_by_side(&self, at: Anchor) -> usize {
        let stretches = self.stretches();
        let (mut open, mut passed, mut count) = (vec![at], Vec::new(), 0);
        while let Some(at) = open.pop() {
            let hanging = hanging(&stretches, at);
            if hanging.is_empty() {
                count += 1;
            }
            for stretch in hanging {
                match stretch.to {
                    joint @ Anchor::Joint(_) if !stretch.runs && !passed.contains(&joint) => {
                        passed.push(joint);
                        open.push(joint);
                    }
                    _ => count += 1,
                }
            }
        }
        count
    }

    fn stretches(&self) -> Vec<Stretch> {
        let of_leg = |leg: LegView<'_>| {
            let (index, runs) = (leg.index, leg.links.runs());
            let spans = leg.links.spans().filter(|[one, other]| !one.rigid_with(*other));
            spans.map(|span| self.stretch(index, runs, span)).collect::<Vec<_>>()
        };
        self.legs().flat_map(of_leg).collect()
    }

    fn stretch(&self, leg: usize, runs: bool, [one, other]: [Anchor; 2]) -> Stretch {
        let (from, to) = if self.height(one) < self.height(other) { (other, one) } else { (one, other) };
        Stretch { leg, from, to, runs }
    }

    /// Height as drawn, m: a hook holds whatever is on it, and the load holds nothing.
    fn height(&self, anchor: Anchor) -> f64 {
        let drawn = match anchor {
            Anchor::Hook(_) => return f64::INFINITY,
            Anchor::LiftPoint(_) | Anchor::Place(_) => return f64::NEG_INFINITY,
            Anchor::Joint(joint) => self.document().joints.get(joint).map(|joint| &joint.position),
            Anchor::SpreaderPoint(..) => self.point(anchor).map(|point| &point.position),
        };
        drawn.map_or(f64::NEG_INFINITY, |[.., height]| height.si())
    }

    /// A single hook, and the joints that hang from it one below the other, each by one leg.
    fn in_line(&self, stretches: &[Stretch]) -> Vec<Anchor> {
        let mut line = Vec::new();
        let mut next = (self.document().hooks.len() == 1).then_some(Anchor::Hook(0));
        while let Some(at) = next.filter(|at| !line.contains(at)) {
            line.push(at);
            next = match hanging(stretches, at).as_slice() {
                [only] if goes_on(stretches, only) => Some(only.to),
                _ => None,
            };
        }
        line
    }
}

/// What hangs from a place, each leg once.
fn hanging(stretches: &[Stretch], at: Anchor) -> Vec<Stretch> {
    let mut found: Vec<Stretch> = Vec::new();
    for stretch in stretches.iter().filter(|stretch| stretch.from == at) {
        if !found.iter().any(|known| known.leg == stretch.leg) {
            found.push(*stretch);
        }
    }
    found
}

/// The legs that hold a place.
fn holding(stretches: &[Stretch], at: Anchor) -> Vec<usize> {
    let mut found: Vec<usize> =
        stretches.iter().filter(|stretch| stretch.to == at).map(|stretch| stretch.leg).collect();
    found.dedup();
    found
}

/// Whether a leg alone holds the joint that it leads down to.
fn goes_on(stretches: &[Stretch], leg: &Stretch) -> bool {
    matches!(leg.to, Anchor::Joint(_)) && !leg.runs && holding(stretches, leg.to).len() == 1
}

/// A leg and those that it goes on with.
fn downward(stretches: &[Stretch], first: Stretch) -> Vec<usize> {
    let (mut last, mut found) = (first, vec![first.leg]);
    while goes_on(stretches, &last) {
        match hanging(stretches, last.to).as_slice() {
            [next] if !next.runs && !found.contains(&next.leg) => {
                found.push(next.leg);
                last = *next;
            }
            _ => break,
        }
    }
    found
}
