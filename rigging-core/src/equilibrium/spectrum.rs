//! The lowest eigenvalues of the Hessian over a matrix of one block for each variable: lengths squared for modes, masses
//! for natural periods.
//!
//! Few unknowns are solved whole by dense rotations, with variables of no mass condensed out. Many are iterated: a block
//! of vectors is solved with the factors of the shifted Hessian again and again, so that several equal eigenvalues come
//! out together, and a count of signs proves that none was missed.

use super::dense::{Dense, complement, dot, extend};
use super::network::Hung;
use crate::error::{Error, Place, Reading};
use glam::{DMat3, DVec3};

/// The most unknowns that are solved whole.
pub(super) const WHOLE: usize = 48;
/// Accuracy of an iterated eigenvalue, over the eigenvalue raised by the shift.
const ACCURACY: f64 = 1.0e-9;
/// The most rounds of the iteration.
const ROUNDS: usize = 400;
/// Below this share of the largest, the stiffness of a massless joint is none.
const LIMP: f64 = 1.0e-10;
/// Below this share of itself, a vector is a combination of others.
const DEPENDENT: f64 = 1.0e-9;

/// An eigenvalue and its vector x, with xᵀ·B·x = 1.
pub(super) type Pair = (f64, Vec<DVec3>);

/// The matrix over which eigenvalues are taken, factored.
pub(super) struct Mass {
    /// One block for each variable; zero or positive definite.
    pub(super) blocks: Vec<DMat3>,
    /// Lower triangular roots of the blocks.
    roots: Vec<DMat3>,
}

impl Mass {
    /// `None` if a block is neither zero nor positive definite.
    pub(super) fn new(blocks: Vec<DMat3>) -> Option<Self> {
        let roots = blocks.iter().map(root).collect::<Option<Vec<_>>>()?;
        Some(Self { blocks, roots })
    }

    fn times(&self, x: &[DVec3]) -> Vec<DVec3> {
        self.blocks.iter().zip(x).map(|(block, x)| *block * *x).collect()
    }

    /// Rᵀ·x, of the variables with mass.
    fn weighed(&self, x: &[DVec3]) -> Vec<f64> {
        let parts = self.roots.iter().zip(x).filter(|(root, _)| root.x_axis.x > 0.0);
        parts.flat_map(|(root, x)| (root.transpose() * *x).to_array()).collect()
    }

    /// Number of motions that move masses independently of each other.
    pub(super) fn independent(&self, motions: &[Vec<DVec3>]) -> usize {
        let mut basis = Vec::new();
        for motion in motions {
            extend(&mut basis, self.weighed(motion), DEPENDENT);
        }
        basis.len()
    }

    fn massive(&self) -> Vec<usize> {
        self.roots.iter().enumerate().filter(|(_, root)| root.x_axis.x > 0.0).map(|(variable, _)| variable).collect()
    }
}

/// The lowest eigenvalues, ascending: all of them up to [`WHOLE`] unknowns, else `count`. The motions `free` cost
/// nothing and are left out.
pub(super) fn lowest(hung: &Hung, mass: &Mass, free: &[Vec<DVec3>], count: usize) -> Result<Vec<Pair>, Error> {
    if 3 * hung.count() <= WHOLE { Ok(whole(hung, mass, free)) } else { iterated(hung, mass, free, count) }
}

/// All eigenvalues, by dense rotations.
pub(super) fn whole(hung: &Hung, mass: &Mass, free: &[Vec<DVec3>]) -> Vec<Pair> {
    let count = hung.count();
    let massive = mass.massive();
    let light: Vec<usize> = (0..count).filter(|variable| !massive.contains(variable)).collect();
    let column = |variable: usize, axis: usize| {
        let mut unit = vec![DVec3::ZERO; count];
        if let Some(entry) = unit.get_mut(variable) {
            *entry = DVec3::AXES.get(axis).copied().unwrap_or_default();
        }
        unit
    };
    // Massless joints follow at once: x = −K⁺·H·y, with K their own part of the Hessian.
    let lights: Vec<(usize, usize)> = light.iter().flat_map(|v| [(*v, 0), (*v, 1), (*v, 2)]).collect();
    let products: Vec<Vec<DVec3>> = lights.iter().map(|(v, a)| hung.times(&column(*v, *a))).collect();
    let entry = |x: &[DVec3], v: usize, a: usize| x.get(v).map_or(0.0, |x| pick(*x, a));
    let own = Dense::new(lights.len(), |i, j| {
        let (v, a) = lights.get(i).copied().unwrap_or_default();
        products.get(j).map_or(0.0, |product| entry(product, v, a))
    })
    .eigen();
    let stiffest = own.iter().fold(0.0, |most: f64, (value, _)| most.max(value.abs()));
    let follow = |forces: &[DVec3], into: &mut [DVec3]| {
        let pull: Vec<f64> = lights.iter().map(|(v, a)| entry(forces, *v, *a)).collect();
        for (value, vector) in own.iter().filter(|(value, _)| value.abs() > LIMP * stiffest) {
            let share = -dot(vector, &pull) / value;
            for ((v, a), part) in lights.iter().zip(vector) {
                if let Some(x) = into.get_mut(*v) {
                    *x += share * part * DVec3::AXES.get(*a).copied().unwrap_or_default();
                }
            }
        }
    };
    // Each unit of the variables with mass, weighed: y = R⁻ᵀ·z, and what the joints do with it.
    let units: Vec<Vec<DVec3>> = massive
        .iter()
        .flat_map(|v| [(*v, 0), (*v, 1), (*v, 2)])
        .map(|(v, a)| {
            let mut unit = column(v, a);
            if let (Some(x), Some(root)) = (unit.get_mut(v), mass.roots.get(v)) {
                *x = root.transpose().inverse() * *x;
            }
            let forces = hung.times(&unit);
            follow(&forces, &mut unit);
            unit
        })
        .collect();
    let mut basis = Vec::new();
    for motion in free {
        extend(&mut basis, mass.weighed(motion), DEPENDENT);
    }
    let rest = complement(&basis, units.len());
    let vectors: Vec<Vec<DVec3>> = rest.iter().map(|z| combined(&units, z, count)).collect();
    let products: Vec<Vec<DVec3>> = vectors.iter().map(|vector| hung.times(vector)).collect();
    rayleigh(&vectors, &products, count)
}

/// The lowest `count` eigenvalues, by iteration of a block of vectors.
fn iterated(hung: &Hung, mass: &Mass, free: &[Vec<DVec3>], count: usize) -> Result<Vec<Pair>, Error> {
    let mut known = Vec::new();
    let mut kept: Vec<Vec<DVec3>> = Vec::new();
    for motion in free {
        // The same combination is taken of the motions and of their weighed form.
        orthonormal(&mut known, &mut kept, mass, motion.clone());
    }
    let dimension = 3 * mass.massive().len() - kept.len();
    let count = count.min(dimension);
    let width = (2 * count).max(count + 8).min(dimension);
    let average = mass.blocks.iter().map(|b| b.x_axis.x + b.y_axis.y + b.z_axis.z).sum::<f64>()
        / (3 * mass.massive().len()).max(1) as f64;
    let mut shift = 1.0e-3 * hung.softness() / average;
    let factors = loop {
        if let Some(factors) = hung.factors(hung.raised(&mass.blocks, shift)) {
            break factors;
        }
        shift *= 4.0;
        if shift.is_nan() || shift > 1.0e12 * hung.softness() / average {
            return Err(Error::unsupported("a massless joint that nothing holds", Place::root().child("joints")));
        }
    };
    let mut seed = 0.271;
    let mut block: Vec<Vec<DVec3>> = (0..width)
        .map(|_| {
            let mut random = || {
                seed = (seed * 1.618_033_988_749_895 + 0.271) % 1.0;
                seed - 0.5
            };
            (0..hung.count()).map(|_| DVec3::new(random(), random(), random())).collect()
        })
        .collect();
    let mut values: Vec<f64> = Vec::new();
    let mut worst = f64::INFINITY;
    for _ in 0..ROUNDS {
        let mut next: Vec<Vec<DVec3>> = block.iter().map(|x| mass.times(x)).collect();
        next.iter_mut().for_each(|x| hung.solve(&factors, x));
        if !values.is_empty() {
            // |(λ + s)/(λ* + s) − 1| of the nearest eigenvalue λ* is at most this.
            worst = 0.0;
            for ((x, y), value) in block.iter().zip(&next).zip(&values).take(count) {
                let left: Vec<DVec3> = x.iter().zip(y).map(|(x, y)| *x - (*value + shift) * *y).collect();
                let weighed = mass.weighed(&left);
                worst = worst.max(dot(&weighed, &weighed).sqrt());
            }
            if worst <= ACCURACY {
                break;
            }
        }
        let mut weighed = known.clone();
        let mut basis = kept.clone();
        for vector in next {
            orthonormal(&mut weighed, &mut basis, mass, vector);
        }
        let basis = basis.split_off(kept.len());
        let products: Vec<Vec<DVec3>> = basis.iter().map(|x| hung.times(x)).collect();
        let pairs = rayleigh(&basis, &products, hung.count());
        (values, block) = pairs.into_iter().unzip();
    }
    let last = values.get(count.saturating_sub(1)).copied().unwrap_or(f64::NAN);
    let reading = |what: &str, value: f64, allowed: String| Error::Unconverged {
        reading: Reading::new(what, value, "", allowed),
        place: Place::root(),
    };
    if worst > ACCURACY || last.is_nan() {
        return Err(reading("relative error of an eigenvalue", worst, format!("at most {ACCURACY:e}")));
    }
    let cut = last - 1.0e-6 * (last + shift).abs();
    let below = values.iter().filter(|value| **value < cut).count() + if cut > 0.0 { kept.len() } else { 0 };
    let counted = hung.negative(hung.raised(&mass.blocks, -cut));
    if counted != below {
        return Err(reading("number of eigenvalues below the last", counted as f64, format!("{below}, as found")));
    }
    Ok(values.into_iter().zip(block).take(count).collect())
}

/// Eigenvalues of the Hessian within the span of vectors that are orthonormal in the masses.
fn rayleigh(vectors: &[Vec<DVec3>], products: &[Vec<DVec3>], count: usize) -> Vec<Pair> {
    let small = Dense::new(vectors.len(), |i, j| match (vectors.get(i), products.get(j)) {
        (Some(x), Some(y)) => x.iter().zip(y).map(|(x, y)| x.dot(*y)).sum(),
        _ => 0.0,
    });
    small.eigen().into_iter().map(|(value, z)| (value, combined(vectors, &z, count))).collect()
}

fn combined(vectors: &[Vec<DVec3>], shares: &[f64], count: usize) -> Vec<DVec3> {
    let mut sum = vec![DVec3::ZERO; count];
    for (vector, share) in vectors.iter().zip(shares) {
        sum.iter_mut().zip(vector).for_each(|(sum, part)| *sum += *share * *part);
    }
    sum
}

/// Adds a vector to those that are orthonormal in the masses; `weighed` holds Rᵀ times each.
fn orthonormal(weighed: &mut Vec<Vec<f64>>, basis: &mut Vec<Vec<DVec3>>, mass: &Mass, mut vector: Vec<DVec3>) {
    let before = mass.weighed(&vector);
    let before = dot(&before, &before).sqrt();
    for _ in 0..2 {
        let mut rest = mass.weighed(&vector);
        for (known, own) in weighed.iter().zip(basis.iter()) {
            let share = dot(known, &rest);
            rest.iter_mut().zip(known).for_each(|(part, known)| *part -= share * known);
            vector.iter_mut().zip(own).for_each(|(part, own)| *part -= share * *own);
        }
    }
    let left = mass.weighed(&vector);
    let size = dot(&left, &left).sqrt();
    if size > 1.0e-13 * before && size > 0.0 {
        vector.iter_mut().for_each(|part| *part *= 1.0 / size);
        weighed.push(left.into_iter().map(|part| part / size).collect());
        basis.push(vector);
    }
}

fn pick(x: DVec3, axis: usize) -> f64 {
    x.to_array().get(axis).copied().unwrap_or_default()
}

/// The lower triangular R with R·Rᵀ = block; zero for zero, `None` unless positive definite otherwise.
fn root(block: &DMat3) -> Option<DMat3> {
    if *block == DMat3::ZERO {
        return Some(DMat3::ZERO);
    }
    let (x, y, z) = (block.x_axis, block.y_axis, block.z_axis);
    let positive = |value: f64| (value > 0.0 && value.is_finite()).then(|| value.sqrt());
    let a = positive(x.x)?;
    let (b, c) = (x.y / a, x.z / a);
    let d = positive(y.y - b * b)?;
    let e = (y.z - b * c) / d;
    let f = positive(z.z - c * c - e * e)?;
    Some(DMat3::from_cols(DVec3::new(a, b, c), DVec3::new(0.0, d, e), DVec3::new(0.0, 0.0, f)))
}
