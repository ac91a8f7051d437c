//! One trial: a lift, a state of it within its tolerances, hung, against what the rule says of the lift.

use crate::equilibrium::bridle::{Bridle, Foresight, Workspace};
use crate::equilibrium::{State, bridle_of};
use crate::error::Error;
use crate::kit::{Domain, Outline};
use crate::sharing::{SharingRule, looked_at};
use glam::DVec3;

/// A leg that bears less than this share of the weight decides nothing.
const LITTLE: f64 = 1.0e-3;

/// What is searched: a value for each free number (none: as in the outline to start from), and where each length and each
/// coordinate of the center of gravity is within its tolerance, from −1 to 1.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Point {
    pub(super) values: Vec<Option<f64>>,
    pub(super) state: Vec<f64>,
}

/// A lift of which the rule spoke and which hangs stably as stated.
#[derive(Debug, Clone)]
pub(super) struct Spoken {
    pub(super) outline: Outline,
    pub(super) forces: Vec<f64>,
    nominal: Bridle,
    foresight: Foresight,
}

/// A state that hangs.
#[derive(Debug, Clone)]
pub(super) struct Seen {
    /// Tension of each leg, N.
    pub(super) tensions: Vec<f64>,
    /// The leg of which the rule covers the smallest share, and by which share of its tension it falls short; below zero where
    /// it covers every leg.
    pub(super) leg: usize,
    pub(super) short: f64,
}

/// Hangs states and counts.
pub(super) struct Trials<'a> {
    pub(super) rule: &'a dyn SharingRule,
    pub(super) domain: &'a Domain,
    pub(super) bridle: Option<Bridle>,
    pub(super) workspace: Workspace,
    pub(super) hung: usize,
    pub(super) lifts: usize,
    pub(super) refused: usize,
    pub(super) not_stable: usize,
    /// The first refusal, in words.
    pub(super) refusal: Option<String>,
}

impl<'a> Trials<'a> {
    pub(super) fn new(rule: &'a dyn SharingRule, domain: &'a Domain) -> Self {
        Self {
            rule,
            domain,
            bridle: None,
            workspace: Workspace::default(),
            hung: 0,
            lifts: 0,
            refused: 0,
            not_stable: 0,
            refusal: None,
        }
    }

    /// The forces that the rule gives for an outline; none where it refuses.
    pub(super) fn forces(&mut self, outline: &Outline) -> Result<Option<Vec<f64>>, Error> {
        let set = outline.leg_set()?;
        match self.rule.forces(&set) {
            Ok(forces) => looked_at(self.rule, &set, forces).map(Some),
            Err(error) => {
                self.refusal.get_or_insert_with(|| error.to_string());
                Ok(None)
            }
        }
    }

    /// A lift and what the rule says of it; none where it refuses or the lift does not hang stably.
    pub(super) fn lift(&mut self, values: &[Option<f64>]) -> Result<Option<Spoken>, Error> {
        let outline = self.domain.outline(values)?;
        // What is no lift at all, such as a point above the hook, is none of the rule's business.
        let Ok(system) = outline.system() else { return Ok(None) };
        let nominal = bridle_of(&system)?;
        self.lifts += 1;
        let Ok(outcome) = nominal.solve(&mut self.workspace) else {
            self.not_stable += 1;
            return Ok(None);
        };
        let Some(foresight) = self.workspace.foresight(&outcome) else {
            self.not_stable += 1;
            return Ok(None);
        };
        let Some(forces) = self.forces(&outline)? else {
            self.refused += 1;
            return Ok(None);
        };
        Ok(Some(Spoken { outline, forces, nominal, foresight }))
    }

    /// Hangs one state of a lift; none where that is not certified as stable. The workspace then holds it.
    pub(super) fn state(&mut self, spoken: &Spoken, state: &[f64]) -> Result<Option<Seen>, Error> {
        self.hung += 1;
        let mut bridle = spoken.nominal.clone();
        let outline = &spoken.outline;
        let sides = outline.length_tolerances.iter().zip(&outline.lengths).zip(state).enumerate();
        for (leg, ((side, length), at)) in sides {
            bridle.set_length(leg, length + at * side)?;
        }
        // The frame of a bridle need not be that of the outline.
        let mut center = bridle.center_of_gravity().to_array();
        let sides = outline.center_tolerance.iter().zip(state.iter().skip(outline.lengths.len()));
        for (coordinate, (side, at)) in center.iter_mut().zip(sides) {
            *coordinate += at * side;
        }
        bridle.set_center_of_gravity(DVec3::from_array(center))?;
        match bridle.follow(&mut self.workspace, Some(&spoken.foresight)) {
            Ok(outcome) if outcome.state == State::Stable => {}
            Ok(_) | Err(Error::Unconverged { .. }) => {
                self.not_stable += 1;
                return Ok(None);
            }
            Err(error) => return Err(error),
        }
        self.bridle = Some(bridle);
        let tensions: Vec<f64> = self.workspace.tensions().collect();
        let least = LITTLE * outline.weight();
        let short = |(leg, (tension, force)): (usize, (&f64, &f64))| (leg, (tension - force) / tension);
        let bearing = tensions.iter().zip(&spoken.forces).enumerate().filter(|(_, (tension, _))| **tension > least);
        let Some((leg, short)) = bearing.map(short).max_by(|one, other| one.1.total_cmp(&other.1)) else {
            return Ok(None);
        };
        Ok(Some(Seen { tensions, leg, short }))
    }

    /// Both: the lift and one state of it.
    pub(super) fn at(&mut self, point: &Point) -> Result<Option<(Spoken, Seen)>, Error> {
        let Some(spoken) = self.lift(&point.values)? else { return Ok(None) };
        Ok(self.state(&spoken, &point.state)?.map(|seen| (spoken, seen)))
    }
}
