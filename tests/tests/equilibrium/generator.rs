//! Random bridles from a counter: case `i` of a seed is always the same bridle, whichever thread asks for it.

use glam::DVec3;
use rigging_core::equilibrium::bridle::Bridle;
use rigging_core::system::{Body, End, Hook, Law, Member, System};

/// Pseudo-random numbers from a counter (the mixing function of SplitMix64: Steele, Lea and Flood, 2014).
pub struct Draw {
    state: u64,
}

impl Draw {
    pub fn new(seed: u64, case: u64) -> Self {
        let mut draw =
            Self { state: seed.wrapping_mul(0xD134_2543_DE82_EF95) ^ case.wrapping_mul(0x9E37_79B9_7F4A_7C15) };
        draw.bits();
        draw
    }

    fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Uniform in [low, high).
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * ((self.bits() >> 11) as f64 / (1_u64 << 53) as f64)
    }

    /// Log-uniform in [low, high).
    pub fn decade(&mut self, low: f64, high: f64) -> f64 {
        self.between(low.ln(), high.ln()).exp()
    }

    pub fn below(&mut self, count: u64) -> u64 {
        self.bits() % count
    }
}

/// Raw numbers of a bridle: what the solver gets, and what the verifier starts from.
#[derive(Debug, Clone)]
pub struct Rig {
    pub points: Vec<DVec3>,
    pub lengths: Vec<f64>,
    pub stiffnesses: Vec<f64>,
    pub center_of_gravity: DVec3,
    pub mass: f64,
    pub gravity: f64,
}

impl Rig {
    pub fn weight(&self) -> f64 {
        self.mass * self.gravity
    }

    pub fn bridle(&self) -> Bridle {
        let laws = self.stiffnesses.iter().map(|ea| Law::linear(*ea).unwrap()).collect();
        Bridle::new(self.points.clone(), self.lengths.clone(), laws, self.center_of_gravity, self.weight()).unwrap()
    }

    pub fn system(&self) -> System {
        let body = Body {
            mass: self.mass,
            center_of_gravity: self.center_of_gravity,
            points: self.points.clone(),
            position: DVec3::ZERO,
            rotation: glam::DQuat::IDENTITY,
        };
        let members = (0..self.points.len())
            .map(|i| Member {
                a: End::Hook(0),
                b: End::Body { body: 0, point: i },
                length: self.lengths[i],
                law: Law::linear(self.stiffnesses[i]).unwrap(),
            })
            .collect();
        System::new(self.gravity, vec![Hook { position: DVec3::ZERO }], vec![], vec![body], members).unwrap()
    }
}

/// 2 to 8 legs (1 to 4 in the exactly symmetric twentieth); lugs on a ring, anywhere, nearly on a line, or in part coincident; center of gravity below and above
/// the lugs; EA/W log-uniform between `stiffness` bounds; lengths off by up to 5 %.
pub fn random_rig(seed: u64, case: u64, stiffness: [f64; 2]) -> Rig {
    let mut draw = Draw::new(seed, case);
    let count = 2 + draw.below(7) as usize;
    let gravity = 9.80665;
    let mass = draw.decade(1.0e2, 1.0e6);
    let size = draw.decade(0.3, 20.0);
    let style = draw.below(20);
    if style == 19 {
        return symmetric_rig(&mut draw, size, mass, gravity, stiffness);
    }
    let style = style % 10;
    let mut points: Vec<DVec3> = (0..count)
        .map(|i| {
            let turn = std::f64::consts::TAU * (i as f64 + draw.between(-0.3, 0.3)) / count as f64;
            let on_ring = DVec3::new(turn.cos(), 0.6 * turn.sin(), draw.between(-0.1, 0.1));
            let anywhere = DVec3::new(draw.between(-1.0, 1.0), draw.between(-1.0, 1.0), draw.between(-0.3, 0.3));
            size * if style < 6 { on_ring } else { anywhere }
        })
        .collect();
    if style == 8 {
        // Nearly on a line.
        let width = draw.decade(1.0e-6, 0.1);
        for point in &mut points {
            point.y *= width;
            point.z *= width;
        }
    }
    if style == 9 {
        // The second lug is the first; with many legs, the fourth is the third.
        points[1] = points[0];
        if count > 4 {
            points[3] = points[2];
        }
    }
    let center = points.iter().sum::<DVec3>() / count as f64;
    let spread = draw.decade(1.0e-3, 0.5) * size;
    let drop = draw.between(-0.6, 1.5) * size;
    let center_of_gravity =
        center + DVec3::new(draw.between(-1.0, 1.0) * spread, draw.between(-1.0, 1.0) * spread, -drop);
    let hook = center
        + DVec3::new(draw.between(-0.1, 0.1) * size, draw.between(-0.1, 0.1) * size, draw.between(0.4, 3.0) * size);
    let error = if draw.below(4) == 0 { 0.0 } else { draw.decade(1.0e-5, 0.05) };
    let relative = draw.decade(stiffness[0], stiffness[1]);
    let contrast: f64 = if draw.below(5) == 0 { 30.0 } else { 1.5 };
    let lengths = points.iter().map(|p| (hook - *p).length() * (1.0 + error * draw.between(-1.0, 1.0))).collect();
    let stiffnesses = points
        .iter()
        .map(|_| (relative * draw.decade(1.0 / contrast, contrast)).clamp(stiffness[0], stiffness[1]) * mass * gravity)
        .collect();
    Rig { points, lengths, stiffnesses, center_of_gravity, mass, gravity }
}

/// Pairs of lugs that mirror each other exactly, equal legs, the center of gravity on the axis: the balances that
/// nothing but symmetry holds, and the neutral ones.
fn symmetric_rig(draw: &mut Draw, size: f64, mass: f64, gravity: f64, stiffness: [f64; 2]) -> Rig {
    let (a, b) = (size, size * draw.between(0.2, 1.0));
    let points = match draw.below(3) {
        0 => vec![DVec3::new(a, 0.0, 0.0), DVec3::new(-a, 0.0, 0.0)],
        1 => vec![DVec3::new(a, b, 0.0), DVec3::new(-a, b, 0.0), DVec3::new(-a, -b, 0.0), DVec3::new(a, -b, 0.0)],
        _ => vec![DVec3::ZERO],
    };
    let above = if draw.below(4) == 0 { 0.0 } else { draw.between(-1.0, 1.5) * size };
    let length = size * draw.between(1.5, 3.0);
    let ea = draw.decade(stiffness[0], stiffness[1]) * mass * gravity;
    let count = points.len();
    let center_of_gravity = DVec3::new(0.0, 0.0, above);
    Rig { points, lengths: vec![length; count], stiffnesses: vec![ea; count], center_of_gravity, mass, gravity }
}
