//! Natural periods: how a load swings, bounces, yaws and rocks once it is disturbed.
//!
//! The Hessian at the pose of the certificate against the masses: small motions, no damping, hooks at rest. Joints are
//! massless and follow at once. A crane's own flexibility is not in it: the hook stands still.

use super::certificate::Certificate;
use super::mode::signed;
use super::network::Hung;
use super::shape::{Movement, Shape};
use super::spectrum::{self, Mass};
use super::symmetric::Symmetric;
use crate::error::{Error, Place};
use crate::system::System;
use glam::{DMat3, DVec3};
use serde::Serialize;
use std::f64::consts::PI;

/// A kind of motion gives the mode its word if it has more than this share of the kinetic energy. A choice of words, no
/// value of any document.
pub const NAMING_SHARE: f64 = 0.6;
/// Rounding allowed in what must hold of a tensor of inertia, over its largest moment.
const ROUNDING: f64 = 1.0e-9;

/// The tensor of inertia of a body about its center of gravity, in the body's frame, kg·m².
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Inertia(DMat3);

impl Inertia {
    /// A tensor of inertia: ∫(r²·I − r·rᵀ)dm, so that the products of inertia stand in it with a minus.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] if an entry is not finite or a principal moment is not positive; [`Error::Inconsistent`]
    /// if the tensor is not symmetric, or if one principal moment exceeds the sum of the other two, which no body's can.
    ///
    /// ```
    /// use glam::{DMat3, DVec3};
    /// use rigging_core::equilibrium::period::Inertia;
    /// // A homogeneous block of 1200 kg, 2 m × 1 m × 1 m: m/12·(b² + c²).
    /// assert!(Inertia::new(DMat3::from_diagonal(DVec3::new(200.0, 500.0, 500.0))).is_ok());
    /// assert!(Inertia::new(DMat3::from_diagonal(DVec3::new(200.0, 500.0, 900.0))).is_err());
    /// ```
    pub fn new(tensor: DMat3) -> Result<Self, Error> {
        let entries = tensor.to_cols_array();
        if let Some((index, value)) = entries.iter().enumerate().find(|(_, value)| !value.is_finite()) {
            let place = Place::root().child(index % 3).child(index / 3);
            return Err(Error::out_of_domain("entry of the tensor of inertia", *value, "kg·m²", "finite", place));
        }
        let largest = entries.iter().fold(0.0, |most: f64, value| most.max(value.abs()));
        let skew = (tensor - tensor.transpose()).to_cols_array();
        if skew.iter().any(|value| value.abs() > ROUNDING * largest) {
            return Err(Error::inconsistent("the tensor of inertia is not symmetric", Place::root()));
        }
        let [(least, _), (middle, _), (most, _)] = Symmetric::of(&tensor).eigen();
        if least <= ROUNDING * most {
            let name = "least principal moment of inertia";
            return Err(Error::out_of_domain(name, least, "kg·m²", "positive", Place::root()));
        }
        if most > (least + middle) * (1.0 + ROUNDING) {
            let what = format!("a principal moment of inertia, {most} kg·m², exceeds the sum of the other two");
            return Err(Error::inconsistent(what, Place::root()));
        }
        Ok(Self(tensor))
    }

    /// The tensor, kg·m².
    pub const fn tensor(&self) -> DMat3 {
        self.0
    }
}

/// The word for a mode: the kind of motion that has more than [`NAMING_SHARE`] of the kinetic energy.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Centers of gravity move sideways.
    Swing,
    /// Centers of gravity move up and down.
    Bounce,
    /// Bodies turn about the vertical.
    Yaw,
    /// Bodies turn about horizontal axes.
    Rocking,
    /// No kind has enough of the energy.
    Mixed,
}

impl Kind {
    /// The word printed in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Swing => "swing",
            Self::Bounce => "bounce",
            Self::Yaw => "yaw",
            Self::Rocking => "rocking",
            Self::Mixed => "mixed",
        }
    }
}

/// A natural period.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Period {
    /// Time of one oscillation, s.
    pub period: f64,
    /// Oscillations in a second, Hz.
    pub frequency: f64,
    /// Word for the motion.
    pub kind: Kind,
    /// Shares of the kinetic energy: swing, bounce, yaw, rocking; they add up to 1.
    pub shares: [f64; 4],
    /// The motion; its kinetic energy at a rate of 1/s is ½ J.
    pub shape: Shape,
}

/// What may shake the lift: a range of periods, stated by the user with its source.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Excitation {
    /// What shakes: waves, starts of hoisting, gusts…
    pub name: String,
    /// Shortest period, s. The range is taken as it stands; how near is too near is in it.
    pub shortest: f64,
    /// Longest period, s.
    pub longest: f64,
    /// Where the range comes from.
    pub source: String,
}

/// A natural period within the range of an excitation: there a static dynamic factor means nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Resonance {
    /// Index in [`Periods::periods`].
    pub period: usize,
    /// Index of the excitation as given.
    pub excitation: usize,
}

/// The natural periods of an equilibrium.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Periods {
    /// The periods, longest first.
    pub periods: Vec<Period>,
    /// Whether these are all there are.
    pub complete: bool,
    /// Number of motions without period: free turns about plumb lines and other null modes, once set in motion, go on.
    pub without_period: usize,
    /// Natural periods that lie within the range of an excitation.
    pub resonances: Vec<Resonance>,
}

/// The natural periods of small oscillations about an equilibrium: all of them up to 48 unknowns, else the `count`
/// longest. `inertias` has one tensor for each body. If only the `count` longest are found, excitations are compared
/// with these alone.
///
/// # Errors
///
/// [`Error::Inconsistent`] if the certificate is not of this system, or the number of inertias is not that of the bodies;
/// [`Error::OutOfDomain`] if the range of an excitation is not positive and ascending; [`Error::Unsupported`] if the
/// balance is unstable; [`Error::Unconverged`] as in [`softest_modes`](super::mode::softest_modes).
///
/// # Sources
///
/// Rayleigh, *The Theory of Sound*, vol. 1, chapter IV: small oscillations about an equilibrium (secondary).
///
/// ```
/// use glam::{DMat3, DQuat, DVec3};
/// use rigging_core::equilibrium::{period::{Inertia, Kind, natural_periods}, solve};
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
/// // A small load on a long rope bounces with 2π·√(m/k).
/// let body = Body {
///     mass: 1000.0,
///     center_of_gravity: DVec3::new(0.0, 0.0, -0.1),
///     points: vec![DVec3::ZERO],
///     position: DVec3::ZERO,
///     rotation: DQuat::IDENTITY,
/// };
/// let member = Member { a: End::Hook(0), b: End::Body { body: 0, point: 0 }, length: 10.0, law: Law::linear(4.0e7)? };
/// let hook = Hook { position: DVec3::new(0.0, 0.0, 10.0) };
/// let system = System::new(9.80665, vec![hook], vec![], vec![body], vec![member])?;
/// let inertia = Inertia::new(DMat3::from_diagonal(DVec3::splat(50.0)))?;
/// let found = natural_periods(&system, &solve(&system)?, &[inertia], 6, &[])?;
/// assert_eq!(found.without_period, 1);
/// let bounce = found.periods.iter().find(|period| period.kind == Kind::Bounce).unwrap();
/// assert!((bounce.period - 2.0 * std::f64::consts::PI * (1000.0_f64 / 4.0e6).sqrt()).abs() < 1.0e-9);
/// assert_eq!(found.periods[0].kind, Kind::Swing);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn natural_periods(
    system: &System,
    certificate: &Certificate,
    inertias: &[Inertia],
    count: usize,
    excitations: &[Excitation],
) -> Result<Periods, Error> {
    let root_place = Place::root();
    if inertias.len() != system.bodies().len() {
        let what = format!("{} tensors of inertia for {} bodies", inertias.len(), system.bodies().len());
        return Err(Error::inconsistent(what, root_place.child("inertias")));
    }
    for (index, range) in excitations.iter().enumerate() {
        let place = root_place.child("excitations").child(index);
        if !(range.shortest > 0.0 && range.shortest.is_finite()) {
            return Err(Error::out_of_domain("shortest period", range.shortest, "s", "positive and finite", place));
        }
        if !(range.longest >= range.shortest && range.longest.is_finite()) {
            let allowed = format!("finite and at least {} s", range.shortest);
            return Err(Error::out_of_domain("longest period", range.longest, "s", allowed, place));
        }
    }
    if certificate.negative_modes > 0 {
        return Err(Error::unsupported("natural periods of a balance that is unstable", root_place));
    }
    let hung = Hung::of(system, certificate)?;
    let mut blocks = vec![DMat3::ZERO; hung.count()];
    let bodies = system.bodies().iter().zip(inertias).zip(&certificate.bodies);
    for (station, ((body, inertia), pose)) in hung.stations().iter().filter(|station| station.body).zip(bodies) {
        let turned = DMat3::from_quat(pose.rotation);
        if let Some([displacement, turn]) = blocks.get_mut(station.variable..station.variable + 2) {
            *displacement = DMat3::from_diagonal(DVec3::splat(body.mass));
            *turn = turned * inertia.tensor() * turned.transpose();
        }
    }
    let tensors: Vec<DMat3> = hung
        .stations()
        .iter()
        .filter(|station| station.body)
        .filter_map(|station| blocks.get(station.variable + 1).copied())
        .collect();
    let Some(mass) = Mass::new(blocks) else {
        return Err(Error::inconsistent("a tensor of inertia is not positive definite", root_place.child("inertias")));
    };
    let turns = hung.free_turns();
    let free: Vec<Vec<DVec3>> = turns.into_iter().map(|(_, motion)| motion).collect();
    // Massless joints that drift have no period and no mode here.
    let limp = massless(&hung, certificate);
    let turning = mass.independent(&free);
    let null = certificate.null_modes.saturating_sub(turning + limp);
    let mut pairs = spectrum::lowest(&hung, &mass, &free, count.saturating_add(null))?;
    pairs.sort_by(|one, other| one.0.abs().total_cmp(&other.0.abs()));
    let mut oscillations = pairs.split_off(null.min(pairs.len()));
    oscillations.sort_by(|one, other| one.0.total_cmp(&other.0));
    let dimension = 6 * system.bodies().len();
    let complete = oscillations.len() + turning + null == dimension;
    let mut periods = Vec::new();
    for (value, x) in oscillations {
        if value <= 0.0 {
            return Err(Error::out_of_domain("square of a natural frequency", value, "1/s²", "positive", root_place));
        }
        let frequency = value.sqrt() / (2.0 * PI);
        let shape = hung.shape(&signed(x, &mass));
        let masses = system.bodies().iter().map(|body| body.mass);
        let shares = shares(shape.bodies.iter().zip(masses.zip(&tensors)));
        periods.push(Period { period: 1.0 / frequency, frequency, kind: kind(shares), shares, shape });
    }
    let mut resonances = Vec::new();
    for (period, found) in periods.iter().enumerate() {
        for (excitation, range) in excitations.iter().enumerate() {
            if (range.shortest..=range.longest).contains(&found.period) {
                resonances.push(Resonance { period, excitation });
            }
        }
    }
    Ok(Periods { periods, complete, without_period: certificate.null_modes, resonances })
}

/// Number of null modes that massless joints have by themselves.
fn massless(hung: &Hung, certificate: &Certificate) -> usize {
    if certificate.joints.is_empty() || certificate.null_modes <= 1 {
        return 0;
    }
    hung.limp_joints()
}

/// Shares of the kinetic energy.
fn shares<'a>(bodies: impl Iterator<Item = (&'a Movement, (f64, &'a DMat3))>) -> [f64; 4] {
    let mut parts = [0.0; 4];
    for (movement, (mass, tensor)) in bodies {
        let (s, w) = (movement.displacement, movement.turn);
        let upright = DVec3::new(0.0, 0.0, w.z);
        let momentum = *tensor * w;
        let terms =
            [mass * (s.x * s.x + s.y * s.y), mass * s.z * s.z, upright.dot(momentum), (w - upright).dot(momentum)];
        parts.iter_mut().zip(terms).for_each(|(part, term)| *part += term);
    }
    let sum: f64 = parts.iter().sum();
    parts.map(|part| part / sum)
}

fn kind(shares: [f64; 4]) -> Kind {
    let kinds = [Kind::Swing, Kind::Bounce, Kind::Yaw, Kind::Rocking];
    kinds.into_iter().zip(shares).find(|(_, share)| *share > NAMING_SHARE).map_or(Kind::Mixed, |(kind, _)| kind)
}
