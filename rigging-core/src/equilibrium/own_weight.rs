//! What the own weight of members does: half of it at either end, and what is lost by that.
//!
//! A member of weight w between two points sags. Its ends pull along the chord with T, and with w/2 each downward. Two things
//! are left out by that, both of the order of (w/T)²; l is the length of the chord and θ its angle from vertical.
//!
//! The sagging line is longer than its chord: across the chord the weight w·sin θ makes a parabola y, and
//!
//! > arc − chord = ∫½y′² dx = (w·sin θ)²·l / (24·T²),
//!
//! which acts like a length error of the member. And the weight no longer stands above the middle of the chord: the parabola
//! is w·sin θ·l/(8·T) deep, its centroid two thirds of that, which leads sideways by cos θ of it. Moments about the ends then
//! give the upper one more than half of the weight and the lower one less, by the share
//!
//! > ⅔·(w·sin θ·l/(8·T))·cos θ / (l·sin θ) = w·cos θ / (12·T).
//!
//! The system is hung once more with both; the difference is what the halves leave out. What that leaves out in turn is of the
//! order of (w/T)²·strain and (w/T)⁴. Where w exceeds half of T the member hangs rather than pulls, and nothing is given.

use super::certificate::{Certificate, MemberState};
use super::solve;
use crate::error::{Error, Place};
use crate::system::{End, System};
use glam::DVec3;

/// The largest share of the tension that the weight of a member may be for its sag to be that of a taut line.
const TAUT: f64 = 0.5;
/// Greatest mass of a part of a member, kg.
const HEAVIEST: f64 = 1.0e12;

/// Mass of a member, kg.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MemberMass {
    /// Spread along it.
    pub along: f64,
    /// At its ends a and b.
    pub ends: [f64; 2],
}

impl MemberMass {
    /// What stands at the ends a and b once half of what is spread along it is put to either, and `shift` of it from b to a.
    fn lumped(self, shift: f64) -> [f64; 2] {
        let [a, b] = self.ends;
        [a + (0.5 + shift) * self.along, b + (0.5 - shift) * self.along]
    }
}

/// A member with its own weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeighedMember {
    /// Its weight with what hangs at its ends, N.
    pub weight: f64,
    /// Tension along the chord, N.
    pub tension: f64,
    /// Pull on what holds its ends a and b, N: chord and own weight together.
    pub ends: [f64; 2],
    /// What the sag shortens it by, m; none where it hangs rather than pulls.
    pub shortening: Option<f64>,
    /// What the sag of all members adds to the pull on its ends a and b, N; none where one of them hangs rather than pulls, or
    /// the balance with their sag is of another kind.
    pub change: Option<[f64; 2]>,
}

/// A system hung with the weight of its members at their ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighed {
    /// The system, its bodies with what hangs at their points.
    pub system: System,
    /// Its certificate; the forces on the hooks leave out what hangs at the hooks themselves.
    pub certificate: Certificate,
    /// One a member.
    pub members: Vec<WeighedMember>,
    /// Size of the force on each hook, N, with what hangs at it.
    pub hooks: Vec<f64>,
}

/// Hangs a system with the weight of its members at their ends.
///
/// # Errors
/// [`Error::Inconsistent`] unless there is one mass for each member; [`Error::OutOfDomain`] for one that is negative or not
/// finite; [`Error::Unsupported`] for a mass at a joint, which has none; every error of [`solve`].
///
/// # Sources
/// Derived above; the tests hold it against elastic catenaries.
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::equilibrium::own_weight::{MemberMass, weigh};
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
/// let body = Body {
///     mass: 1000.0,
///     center_of_gravity: DVec3::new(0.0, 0.0, -1.0),
///     points: vec![DVec3::ZERO],
///     position: DVec3::ZERO,
///     rotation: DQuat::IDENTITY,
/// };
/// let leg = Member { a: End::Hook(0), b: End::Body { body: 0, point: 0 }, length: 5.0, law: Law::linear(1.0e7)? };
/// let system = System::new(10.0, vec![Hook { position: DVec3::new(0.0, 0.0, 5.0) }], vec![], vec![body], vec![leg])?;
/// // Plumb: the load below, the load and the sling above.
/// let found = weigh(&system, &[MemberMass { along: 40.0, ends: [0.0, 0.0] }])?.members[0];
/// assert!((found.ends[1] - 10_000.0).abs() < 1e-5 && (found.ends[0] - 10_400.0).abs() < 1e-5);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn weigh(system: &System, masses: &[MemberMass]) -> Result<Weighed, Error> {
    validate(system, masses)?;
    let even = vec![0.0; masses.len()];
    let loaded = loaded(system, masses, &even)?;
    let certificate = solve(&loaded)?;
    let gravity = system.gravity();
    let sags: Vec<Option<Sag>> =
        certificate.members.iter().zip(masses).map(|(state, mass)| Sag::of(state, gravity * mass.along)).collect();
    let sagging = sagging(system, masses, &certificate, &sags)?;
    let members = certificate.members.iter().zip(masses).zip(&sags).enumerate();
    let members = members.map(|(index, ((state, mass), sag))| {
        let ends = ends(state, mass.lumped(0.0), gravity);
        let sagging = sagging.as_ref().and_then(|sagging| sagging.members.get(index)).zip(*sag);
        WeighedMember {
            weight: gravity * (mass.along + mass.ends.iter().sum::<f64>()),
            tension: state.tension,
            ends,
            shortening: sag.map(|sag| sag.shortening),
            change: sagging.map(|(state, sag)| {
                let [a, b] = self::ends(state, mass.lumped(sag.shift), gravity);
                [a - ends[0], b - ends[1]]
            }),
        }
    });
    let members = members.collect();
    let hooks = certificate.hooks.iter().enumerate().map(|(hook, force)| {
        let at_hook = system.members().iter().zip(masses).flat_map(|(member, mass)| {
            [member.a, member.b].into_iter().zip(mass.lumped(0.0)).filter(|(end, _)| *end == End::Hook(hook))
        });
        let hung: f64 = at_hook.map(|(_, mass)| gravity * mass).sum();
        (*force - DVec3::Z * hung).length()
    });
    let hooks = hooks.collect();
    Ok(Weighed { system: loaded, members, hooks, certificate })
}

fn validate(system: &System, masses: &[MemberMass]) -> Result<(), Error> {
    let place = Place::root().child("masses");
    let count = system.members().len();
    if masses.len() != count {
        return Err(Error::inconsistent(format!("{} masses for {count} members", masses.len()), place));
    }
    for (index, mass) in masses.iter().enumerate() {
        let wrong = [mass.along, mass.ends[0], mass.ends[1]].into_iter().find(|mass| !(0.0..=HEAVIEST).contains(mass));
        if let Some(mass) = wrong {
            let allowed = format!("from 0 to {HEAVIEST:e} kg");
            return Err(Error::out_of_domain("mass of a member", mass, "kg", allowed, place.child(index)));
        }
    }
    Ok(())
}

/// The system with what hangs at the points of its bodies. What hangs at a hook moves nothing.
fn loaded(system: &System, masses: &[MemberMass], shifts: &[f64]) -> Result<System, Error> {
    let mut loaded = system.clone();
    for (index, (member, (mass, shift))) in system.members().iter().zip(masses.iter().zip(shifts)).enumerate() {
        let lumps = [member.a, member.b].into_iter().zip(mass.lumped(*shift));
        for (end, lump) in lumps.filter(|(_, lump)| *lump > 0.0) {
            match end {
                End::Hook(_) => {}
                End::Body { body, point } => loaded = loaded.loaded(body, point, lump)?,
                End::Joint(_) => {
                    let place = Place::root().child("members").child(index);
                    return Err(Error::unsupported("own weight of a member that ends at a joint", place));
                }
            }
        }
    }
    Ok(loaded)
}

/// How a taut member sags.
#[derive(Debug, Clone, Copy)]
struct Sag {
    /// What its chord is shorter than the line, m.
    shortening: f64,
    /// The same of its unstretched length, m.
    unstretched: f64,
    /// Share of its weight that end b bears less and end a more than half.
    shift: f64,
}

impl Sag {
    /// That of a weight spread along a member; none where it is not taut.
    fn of(state: &MemberState, weight: f64) -> Option<Self> {
        if state.slack || weight > TAUT * state.tension {
            return None;
        }
        let share = weight / state.tension;
        let across = share * state.direction.truncate().length();
        let shortening = across * across * state.length / 24.0;
        let unstretched = shortening / (1.0 + state.strain);
        // The direction leads from b to a.
        Some(Self { shortening, unstretched, shift: share * state.direction.z / 12.0 })
    }
}

/// The balance with the sag of every member; none where one of them is not taut, or it is of another kind.
fn sagging(
    system: &System,
    masses: &[MemberMass],
    certificate: &Certificate,
    sags: &[Option<Sag>],
) -> Result<Option<Certificate>, Error> {
    let Some(sags) = sags.iter().copied().collect::<Option<Vec<Sag>>>() else { return Ok(None) };
    let shifts: Vec<f64> = sags.iter().map(|sag| sag.shift).collect();
    let mut sagging = loaded(system, masses, &shifts)?;
    for (member, sag) in sags.iter().enumerate() {
        sagging = sagging.longer(member, -sag.unstretched)?;
    }
    let found = solve(&sagging)?;
    Ok(Some(found).filter(|found| found.state == certificate.state))
}

/// Size of the pull on what holds the ends a and b, N, from what stands at them, kg.
fn ends(state: &MemberState, lumps: [f64; 2], gravity: f64) -> [f64; 2] {
    let chord = state.tension * state.direction;
    let [a, b] = lumps.map(|lump| DVec3::Z * (gravity * lump));
    // Its direction leads from b to a: it pulls a back along it, and b forth.
    [(chord + a).length(), (chord - b).length()]
}
