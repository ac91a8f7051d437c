//! The box of tolerances cut into parts, on each of which the balance is enclosed, all of one branch.

use super::interval::Interval;
use super::problem::{Hanging, Problem};
use super::section::{Base, Section};
use super::zone::Zone;
use super::{Effort, Open, Reason};
use crate::equilibrium::State;
use crate::error::Error;
use std::rc::Rc;

/// A part of the box with the section from which its balance is known.
#[derive(Debug, Clone)]
pub(super) struct Part {
    pub(super) sides: Vec<Interval>,
    pub(super) section: Rc<Section>,
}

/// A balance that parts have in common, and the neighborhood in which it is the only one.
struct Link {
    base: Base,
    neighborhood: Zone,
}

/// A box still to be enclosed, and the links that it holds.
struct Task {
    sides: Vec<Interval>,
    links: Vec<Rc<Link>>,
}

/// Parts whose union is the whole box; or where it could not be enclosed. Parts that touch are linked by a balance that is
/// proven to be of both, so all are the branch of the nominal balance.
pub(super) fn cover(
    problem: &Problem,
    hanging: &mut Hanging,
    effort: &Effort,
) -> Result<Result<Vec<Part>, Open>, Error> {
    let root = Task { sides: problem.sides.clone(), links: Vec::new() };
    let (mut tasks, mut parts, mut tried) = (vec![root], Vec::new(), 0);
    while let Some(task) = tasks.pop() {
        let middle: Vec<f64> = task.sides.iter().map(|side| side.middle()).collect();
        let open = |reason| Ok(Err(Open { reason, at: problem.offset(&middle) }));
        let Some((State::Stable, hook)) = hanging.try_at(&middle)? else { return open(Reason::NotStable) };
        tried += 1;
        if tried > effort.parts {
            return open(Reason::NotEnclosed);
        }
        let Some(base) = Base::new(problem, &middle, hook) else { return open(Reason::NotEnclosed) };
        let Some(neighborhood) = base.neighborhood(problem) else { return open(Reason::NotEnclosed) };
        if let Some(section) = Section::enclose(problem, base.clone(), &task.sides)
            && section.is_only(problem)
            && task.links.iter().all(|link| section.passes(problem, &link.base, &link.neighborhood))
        {
            let section = section.tightened(problem, &task.sides);
            parts.push(Part { sides: task.sides, section: Rc::new(section) });
            continue;
        }
        let Some(widest) = Section::hindrance(problem, &base, &task.sides) else { return open(Reason::NotEnclosed) };
        let link = Rc::new(Link { base, neighborhood });
        for sides in halves(&task.sides, widest) {
            let links = task.links.iter().filter(|link| link.base.lies_in(&sides)).cloned();
            let links = links.chain([Rc::clone(&link)]).collect();
            tasks.push(Task { sides, links });
        }
    }
    Ok(Ok(parts))
}

/// Both halves of a box, cut across one side.
pub(super) fn halves(sides: &[Interval], index: usize) -> [Vec<Interval>; 2] {
    let half = |lower: bool| {
        let mut sides = sides.to_vec();
        if let Some(side) = sides.get_mut(index) {
            let middle = side.middle();
            *side = if lower { Interval { hi: middle, ..*side } } else { Interval { lo: middle, ..*side } };
        }
        sides
    };
    [half(true), half(false)]
}
