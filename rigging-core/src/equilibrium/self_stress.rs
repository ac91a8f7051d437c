//! Self-stress: tensions that members can hold against each other without any load, and what length errors make of it.
//!
//! Where a system is statically determinate, a length error moves the load and leaves the tensions almost as they were.
//! Where it has a state of self-stress, the error is forced into the members and comes out as tension. The equilibrium
//! matrix A has one column for each taut member: the forces of a unit tension on every joint and body, and the moments
//! over the reach of the body (see [`mode`](super::mode)). States of self-stress are what A turns into nothing; they are
//! found at the pose of the certificate. With S their orthonormal basis and C the compliances of the members (1 over
//! dT/dl), length errors δL change the tensions by
//!
//! δT = −S·(Sᵀ·C·S)⁻¹·Sᵀ·δL.
//!
//! That is the change due to self-stress alone. How the load shifts its weight when the error tilts it is not in it; the
//! change is linear, and holds as long as no member goes slack.

use super::certificate::Certificate;
use super::dense::{Dense, dot, singular};
use super::network::Hung;
use crate::error::{Error, Place, Reading};
use crate::system::System;
use serde::Serialize;

/// The most taut members.
const MAX_MEMBERS: usize = 256;
/// The most orders that are tried one by one: those of eight members.
const MAX_ORDERS: usize = 40_320;
/// Members whose parts of all states of self-stress have a product of no more than this, or than the tolerance if that is
/// greater, have nothing to do with each other.
const TOGETHER: f64 = 1.0e-6;
/// An order must be better by this share to be preferred.
const BETTER: f64 = 1.0e-9;

/// The states of self-stress of an equilibrium.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SelfStress {
    /// Indices of the taut members: the columns of the equilibrium matrix.
    pub taut: Vec<usize>,
    /// Singular values of the equilibrium matrix over the largest, descending, one for each taut member.
    pub singular_values: Vec<f64>,
    /// Singular values up to this count as zero.
    pub tolerance: f64,
    /// Orthonormal states of self-stress: a number for each member of the system, zero for slack ones.
    pub states: Vec<Vec<f64>>,
    /// Members that share states of self-stress, ascending: only lengths within one group must match each other. Members
    /// in no group are statically determinate.
    pub groups: Vec<Vec<usize>>,
    /// δT over δL, N/m, by members: row i, column j says what a greater length of member j does to the tension of i.
    pub tension_per_length: Vec<Vec<f64>>,
}

/// Which of the members measured goes where.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Assignment {
    /// For each place, the index of the member that should hang there; its own index if it stays.
    pub members: Vec<usize>,
    /// Largest change of tension due to self-stress as the members hang now, N.
    pub before: f64,
    /// The same in this order, N.
    pub after: f64,
    /// Whether all orders were tried. Otherwise pairs were exchanged until no exchange helped any more, and a better
    /// order may exist.
    pub exhaustive: bool,
}

/// The states of self-stress of the taut members at an equilibrium.
///
/// `tolerance` is the singular value, over the largest, up to which a combination of members counts as self-stress. At
/// 1e-9 only what geometry makes exact counts. Slings that are nearly parallel resist a length error nearly as exactly
/// parallel ones do: how small a value counts is the caller's judgment, and [`SelfStress::gap`] says how clear it is.
///
/// # Errors
///
/// [`Error::OutOfDomain`] if the tolerance is not above 0 and below 1; [`Error::Inconsistent`] if the certificate is not
/// of this system; [`Error::TooLarge`] for more than 256 taut members.
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::equilibrium::{self_stress::self_stress, solve};
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
/// // Four equal legs to the corners of a square: one state of self-stress, one diagonal against the other.
/// let corners = [[1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0], [1.0, -1.0]];
/// let body = Body {
///     mass: 1000.0,
///     center_of_gravity: DVec3::new(0.0, 0.0, -1.0),
///     points: corners.map(|[x, y]| DVec3::new(x, y, 0.0)).to_vec(),
///     position: DVec3::ZERO,
///     rotation: DQuat::IDENTITY,
/// };
/// let mut members = Vec::new();
/// for point in 0..4 {
///     members.push(Member { a: End::Hook(0), b: End::Body { body: 0, point }, length: 2.0, law: Law::linear(2.0e6)? });
/// }
/// let hook = Hook { position: DVec3::new(0.0, 0.0, 2.0) };
/// let system = System::new(9.80665, vec![hook], vec![], vec![body], members)?;
/// let found = self_stress(&system, &solve(&system)?, 1.0e-9)?;
/// assert_eq!(found.states.len(), 1);
/// assert_eq!(found.groups, [vec![0, 1, 2, 3]]);
/// // One leg 4 mm long: it loses 1 kN (a quarter of what its stiffness of 1 MN/m makes of the error).
/// let change = found.tensions(&[0.004, 0.0, 0.0, 0.0])?;
/// assert!((change[0] + 1000.0).abs() < 5.0 && (change[1] - 1000.0).abs() < 5.0);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn self_stress(system: &System, certificate: &Certificate, tolerance: f64) -> Result<SelfStress, Error> {
    if !(tolerance > 0.0 && tolerance < 1.0) {
        return Err(Error::out_of_domain("tolerance", tolerance, "", "above 0 and below 1", Place::root()));
    }
    let hung = Hung::of(system, certificate)?;
    let ties = hung.ties();
    let taut: Vec<usize> = ties.iter().enumerate().filter(|(_, tie)| tie.taut).map(|(member, _)| member).collect();
    if taut.len() > MAX_MEMBERS {
        let reading = Reading::new("taut members", taut.len() as f64, "", format!("at most {MAX_MEMBERS}"));
        return Err(Error::TooLarge { reading, place: Place::root().child("members") });
    }
    let mut scales = vec![1.0; hung.count()];
    for station in hung.stations().iter().filter(|station| station.body) {
        if let Some(scale) = scales.get_mut(station.variable + 1) {
            *scale = 1.0 / station.reach;
        }
    }
    let columns = taut.iter().map(|member| {
        hung.rates(*member).into_iter().zip(&scales).flat_map(|(rate, s)| (rate * *s).to_array()).collect()
    });
    let pairs = singular(columns.collect());
    let largest = pairs.first().map_or(1.0, |(value, _)| *value);
    let all = system.members().len();
    let mut states = Vec::new();
    for (_, vector) in pairs.iter().filter(|(value, _)| *value <= tolerance * largest) {
        let mut state = vec![0.0; all];
        for (member, part) in taut.iter().zip(vector) {
            if let Some(entry) = state.get_mut(*member) {
                *entry = *part;
            }
        }
        states.push(state);
    }
    let compliances: Vec<f64> = ties.iter().map(|tie| if tie.taut { 1.0 / tie.stiffness } else { 0.0 }).collect();
    Ok(SelfStress {
        singular_values: pairs.iter().map(|(value, _)| value / largest).collect(),
        tolerance,
        groups: groups(&states, all, tolerance.max(TOGETHER)),
        tension_per_length: per_length(&states, &compliances),
        taut,
        states,
    })
}

/// The members of the system that may change places: those of equal length and law, in lists of two or more.
pub fn interchangeable(system: &System) -> Vec<Vec<usize>> {
    let mut sets: Vec<Vec<usize>> = Vec::new();
    for (index, member) in system.members().iter().enumerate() {
        let equal = sets.iter_mut().find(|set| {
            let first = set.first().and_then(|first| system.members().get(*first));
            first.is_some_and(|first| first.length == member.length && first.law == member.law)
        });
        match equal {
            Some(set) => set.push(index),
            None => sets.push(vec![index]),
        }
    }
    sets.retain(|set| set.len() > 1);
    sets
}

/// −S·(Sᵀ·C·S)⁻¹·Sᵀ.
fn per_length(states: &[Vec<f64>], compliances: &[f64]) -> Vec<Vec<f64>> {
    let all = compliances.len();
    let small = Dense::new(states.len(), |i, j| match (states.get(i), states.get(j)) {
        (Some(one), Some(other)) => one.iter().zip(other).zip(compliances).map(|((a, b), c)| a * b * c).sum(),
        _ => 0.0,
    });
    let mut map = vec![vec![0.0; all]; all];
    for (value, shares) in small.eigen() {
        let mut state = vec![0.0; all];
        for (own, share) in states.iter().zip(&shares) {
            state.iter_mut().zip(own).for_each(|(sum, part)| *sum += share * part);
        }
        for (row, left) in map.iter_mut().zip(&state) {
            row.iter_mut().zip(&state).for_each(|(entry, right)| *entry -= left * right / value);
        }
    }
    map
}

/// Members tied together by states of self-stress, whatever basis is taken of these.
fn groups(states: &[Vec<f64>], all: usize, together: f64) -> Vec<Vec<usize>> {
    let part = |i: usize, j: usize| -> f64 {
        states.iter().map(|s| s.get(i).copied().unwrap_or(0.0) * s.get(j).copied().unwrap_or(0.0)).sum()
    };
    let mut group: Vec<Option<usize>> = (0..all).map(|i| (part(i, i) > together).then_some(i)).collect();
    for i in 0..all {
        for j in 0..i {
            let (Some(one), Some(other)) = (group.get(i).copied().flatten(), group.get(j).copied().flatten()) else {
                continue;
            };
            if one != other && part(i, j).abs() > together {
                for entry in &mut group {
                    if *entry == Some(one.max(other)) {
                        *entry = Some(one.min(other));
                    }
                }
            }
        }
    }
    let mut found: Vec<Vec<usize>> = vec![Vec::new(); all];
    for (member, group) in group.into_iter().enumerate() {
        if let Some(list) = group.and_then(|group| found.get_mut(group)) {
            list.push(member);
        }
    }
    found.retain(|list| !list.is_empty());
    found
}

impl SelfStress {
    /// The least singular value that does not count as zero and the greatest that does, over the largest of all; none
    /// where there is no such value. Far apart, the number of states is beyond doubt.
    pub fn gap(&self) -> (Option<f64>, Option<f64>) {
        let kept = self.singular_values.len() - self.states.len().min(self.singular_values.len());
        let above = kept.checked_sub(1).and_then(|last| self.singular_values.get(last));
        (above.copied(), self.singular_values.get(kept).copied())
    }

    /// Change of each member's tension, N, for the length errors `errors`, m, one for each member (longer is positive).
    ///
    /// # Errors
    ///
    /// [`Error::Inconsistent`] if the number of errors is not that of the members; [`Error::OutOfDomain`] for one that is
    /// not finite.
    pub fn tensions(&self, errors: &[f64]) -> Result<Vec<f64>, Error> {
        self.validate(errors)?;
        Ok(self.tension_per_length.iter().map(|row| dot(row, errors)).collect())
    }

    /// What a greater length of a member does to its own tension, N/m; zero where its length does not matter.
    pub fn own_tension_per_length(&self, member: usize) -> Option<f64> {
        self.tension_per_length.get(member)?.get(member).copied()
    }

    /// The order of members within the lists of `interchangeable` that makes the largest change of tension due to
    /// self-stress least, for the length errors measured, m. Up to 40320 orders (those of eight members) all are tried;
    /// of more, pairs are exchanged as long as it helps.
    ///
    /// # Errors
    ///
    /// As [`SelfStress::tensions`]; [`Error::OutOfDomain`] for an index that is no member; [`Error::Inconsistent`] for
    /// a member that stands twice.
    pub fn assign(&self, errors: &[f64], interchangeable: &[Vec<usize>]) -> Result<Assignment, Error> {
        self.validate(errors)?;
        let all = errors.len();
        let mut listed = vec![false; all];
        for (index, set) in interchangeable.iter().enumerate() {
            for (position, member) in set.iter().enumerate() {
                let place = Place::root().child("interchangeable").child(index).child(position);
                let Some(mark) = listed.get_mut(*member) else {
                    let allowed = format!("below {all}");
                    return Err(Error::out_of_domain("index of the member", *member as f64, "", allowed, place));
                };
                if std::mem::replace(mark, true) {
                    return Err(Error::inconsistent("the member stands twice", place));
                }
            }
        }
        let mut search =
            Search { stress: self, errors, order: (0..all).collect(), best: (0..all).collect(), least: 0.0 };
        let before = search.worst();
        search.least = before;
        let orders = interchangeable.iter().try_fold(1_usize, |product, set| {
            (1..=set.len()).try_fold(product, usize::checked_mul).filter(|product| *product <= MAX_ORDERS)
        });
        match orders {
            Some(_) => search.all(interchangeable, 0),
            None => search.pairs(interchangeable),
        }
        Ok(Assignment { members: search.best, before, after: search.least, exhaustive: orders.is_some() })
    }

    fn validate(&self, errors: &[f64]) -> Result<(), Error> {
        let place = Place::root().child("errors");
        if errors.len() != self.tension_per_length.len() {
            let what = format!("{} length errors for {} members", errors.len(), self.tension_per_length.len());
            return Err(Error::inconsistent(what, place));
        }
        match errors.iter().enumerate().find(|(_, error)| !error.is_finite()) {
            Some((index, error)) => {
                Err(Error::out_of_domain("length error", *error, "m", "finite", place.child(index)))
            }
            None => Ok(()),
        }
    }
}

struct Search<'a> {
    stress: &'a SelfStress,
    errors: &'a [f64],
    order: Vec<usize>,
    best: Vec<usize>,
    least: f64,
}

impl Search<'_> {
    /// Largest change of tension in the present order.
    fn worst(&self) -> f64 {
        let placed: Vec<f64> = self.order.iter().map(|from| self.errors.get(*from).copied().unwrap_or(0.0)).collect();
        self.stress.tension_per_length.iter().map(|row| dot(row, &placed).abs()).fold(0.0, f64::max)
    }

    fn keep_if_better(&mut self) -> bool {
        let worst = self.worst();
        let better = worst < self.least * (1.0 - BETTER);
        if better {
            self.least = worst;
            self.best.clone_from(&self.order);
        }
        better
    }

    /// All orders of the sets, from `position` in the first of them on.
    fn all(&mut self, sets: &[Vec<usize>], position: usize) {
        let Some((set, rest)) = sets.split_first() else {
            self.keep_if_better();
            return;
        };
        let Some(here) = set.get(position).copied() else {
            return self.all(rest, 0);
        };
        for other in set.iter().skip(position) {
            self.order.swap(here, *other);
            self.all(sets, position + 1);
            self.order.swap(here, *other);
        }
    }

    /// The best exchange of one pair, again and again.
    fn pairs(&mut self, sets: &[Vec<usize>]) {
        loop {
            let mut improved = false;
            let from = self.order.clone();
            for set in sets {
                for (index, one) in set.iter().enumerate() {
                    for other in set.iter().skip(index + 1) {
                        self.order.swap(*one, *other);
                        improved |= self.keep_if_better();
                        self.order.clone_from(&from);
                    }
                }
            }
            if !improved {
                return;
            }
            self.order.clone_from(&self.best);
        }
    }
}
