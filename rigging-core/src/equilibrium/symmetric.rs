//! Symmetric 3×3 matrices: sums of u·uᵀ, solution by elimination, eigenvalues. Only +, −, ×, ÷ and square roots in a
//! fixed order, so results are the same on every machine.

use glam::{DMat3, DVec3};

#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Symmetric {
    xx: f64,
    xy: f64,
    xz: f64,
    yy: f64,
    yz: f64,
    zz: f64,
}

impl Symmetric {
    /// The symmetric part of a matrix.
    #[inline]
    pub(super) fn of(m: &DMat3) -> Self {
        Self {
            xx: m.x_axis.x,
            xy: 0.5 * (m.x_axis.y + m.y_axis.x),
            xz: 0.5 * (m.x_axis.z + m.z_axis.x),
            yy: m.y_axis.y,
            yz: 0.5 * (m.y_axis.z + m.z_axis.y),
            zz: m.z_axis.z,
        }
    }

    /// A matrix M with M·Mᵀ equal to the inverse; `None` unless every pivot of the elimination exceeds `floor` (positive
    /// definite). As in [`Symmetric::solve`], the largest pivot goes first. The inverse itself would not do: where a
    /// direction is many orders softer than another, its rounding in the soft one swamps the stiff one.
    #[inline]
    pub(super) fn inverse_root(&self, floor: f64) -> Option<DMat3> {
        let [x, y, z] = DVec3::AXES;
        if self.xx >= self.yy && self.xx >= self.zz {
            self.root_in_order([x, y, z], floor)
        } else if self.yy >= self.zz {
            let turned = Self { xx: self.yy, xy: self.yz, xz: self.xy, yy: self.zz, yz: self.xz, zz: self.xx };
            turned.root_in_order([y, z, x], floor)
        } else {
            let turned = Self { xx: self.zz, xy: self.xz, xz: self.yz, yy: self.xx, yz: self.xy, zz: self.yy };
            turned.root_in_order([z, x, y], floor)
        }
    }

    #[inline]
    fn root_in_order(&self, [x, y, z]: [DVec3; 3], floor: f64) -> Option<DMat3> {
        let d1 = self.xx;
        if d1 <= floor {
            return None;
        }
        let i1 = 1.0 / d1;
        let l2 = self.xy * i1;
        let l3 = self.xz * i1;
        let yy = self.yy - l2 * self.xy;
        let yz = self.yz - l2 * self.xz;
        let zz = self.zz - l3 * self.xz;
        let (second, third) = (y - l2 * x, z - l3 * x);
        let (d2, d3, second, third) = if yy >= zz { (yy, zz, second, third) } else { (zz, yy, third, second) };
        if d2 <= floor {
            return None;
        }
        let l = yz / d2;
        let d3 = d3 - l * yz;
        if d3 <= floor {
            return None;
        }
        let third = third - l * second;
        Some(DMat3::from_cols(x * (1.0 / d1.sqrt()), second * (1.0 / d2.sqrt()), third * (1.0 / d3.sqrt())))
    }

    /// The inverse; `None` unless every pivot of the elimination exceeds `floor`.
    pub(super) fn inverse(&self, floor: f64) -> Option<DMat3> {
        let root = self.inverse_root(floor)?;
        Some(root * root.transpose())
    }

    /// For a matrix of any signs: M and the signs s with M·diag(s)·Mᵀ equal to the inverse.
    pub(super) fn signed_inverse_root(&self) -> (DMat3, DVec3) {
        let pairs = self.eigen();
        let largest = pairs.iter().fold(0.0, |most: f64, (value, _)| most.max(value.abs()));
        // An eigenvalue that is zero to the last digit has no sign; it is taken as the least positive one.
        let least = (f64::EPSILON * f64::EPSILON * largest).max(f64::MIN_POSITIVE);
        let [(a, ca), (b, cb), (c, cc)] = pairs.map(|(value, v)| {
            let value = if value.abs() < least { least } else { value };
            (value.signum(), v * (1.0 / value.abs().sqrt()))
        });
        (DMat3::from_cols(ca, cb, cc), DVec3::new(a, b, c))
    }

    /// `k`·u·uᵀ.
    #[inline]
    pub(super) fn outer(k: f64, u: DVec3) -> Self {
        let ku = k * u;
        Self { xx: ku.x * u.x, xy: ku.x * u.y, xz: ku.x * u.z, yy: ku.y * u.y, yz: ku.y * u.z, zz: ku.z * u.z }
    }

    /// Adds another matrix.
    #[inline]
    pub(super) fn add(&mut self, other: &Self) {
        self.xx += other.xx;
        self.xy += other.xy;
        self.xz += other.xz;
        self.yy += other.yy;
        self.yz += other.yz;
        self.zz += other.zz;
    }

    /// Adds `k`·u·uᵀ.
    #[inline]
    pub(super) fn add_outer(&mut self, k: f64, u: DVec3) {
        self.add(&Self::outer(k, u));
    }

    /// Adds `mu`·I.
    #[inline]
    pub(super) fn add_diagonal(&mut self, mu: f64) {
        self.xx += mu;
        self.yy += mu;
        self.zz += mu;
    }

    #[inline]
    pub(super) fn times(&self, v: DVec3) -> DVec3 {
        DVec3::new(
            self.xx * v.x + self.xy * v.y + self.xz * v.z,
            self.xy * v.x + self.yy * v.y + self.yz * v.z,
            self.xz * v.x + self.yz * v.y + self.zz * v.z,
        )
    }

    /// Solves M·x = `right` by LDLᵀ; `None` unless every pivot exceeds `floor` (positive definite). The stiff
    /// directions are many orders stiffer than the soft one, so the largest diagonal entry goes first: elimination
    /// then keeps the soft pivot to the accuracy of the matrix.
    // By a call, matrix and outcome would go through memory, and a machine waits for what was written in other pieces.
    #[inline(always)]
    pub(super) fn solve(&self, right: DVec3, floor: f64) -> Option<DVec3> {
        if self.xx >= self.yy && self.xx >= self.zz {
            self.eliminate(right, floor)
        } else if self.yy >= self.zz {
            let turned = Self { xx: self.yy, xy: self.yz, xz: self.xy, yy: self.zz, yz: self.xz, zz: self.xx };
            let x = turned.eliminate(DVec3::new(right.y, right.z, right.x), floor)?;
            Some(DVec3::new(x.z, x.x, x.y))
        } else {
            let turned = Self { xx: self.zz, xy: self.xz, xz: self.yz, yy: self.xx, yz: self.xy, zz: self.yy };
            let x = turned.eliminate(DVec3::new(right.z, right.x, right.y), floor)?;
            Some(DVec3::new(x.y, x.z, x.x))
        }
    }

    /// Whether every eigenvalue exceeds `floor`.
    #[inline]
    pub(super) fn exceeds(&self, floor: f64) -> bool {
        let mut lowered = *self;
        lowered.add_diagonal(-floor);
        lowered.solve(DVec3::ZERO, 0.0).is_some()
    }

    #[inline(always)]
    fn eliminate(&self, b: DVec3, floor: f64) -> Option<DVec3> {
        let d1 = self.xx;
        if d1 <= floor {
            return None;
        }
        let i1 = 1.0 / d1;
        let l2 = self.xy * i1;
        let l3 = self.xz * i1;
        let yy = self.yy - l2 * self.xy;
        let yz = self.yz - l2 * self.xz;
        let zz = self.zz - l3 * self.xz;
        let by = b.y - l2 * b.x;
        let bz = b.z - l3 * b.x;
        let (y, z) = if yy >= zz {
            let (y, z) = eliminate_two(yy, yz, zz, by, bz, floor)?;
            (y, z)
        } else {
            let (z, y) = eliminate_two(zz, yz, yy, bz, by, floor)?;
            (y, z)
        };
        Some(DVec3::new(b.x * i1 - l2 * y - l3 * z, y, z))
    }

    /// The least of v·M·v over unit vectors v at right angles to `way`, and its v.
    pub(super) fn least_across(&self, way: DVec3) -> (f64, DVec3) {
        let (a, b) = way.normalize_or(DVec3::Z).any_orthonormal_pair();
        let (ma, mb) = (self.times(a), self.times(b));
        let (xx, xy, yy) = (a.dot(ma), a.dot(mb), b.dot(mb));
        let (c, s, p, q) = rotation(xx, yy, xy);
        if p <= q { (p, c * a - s * b) } else { (q, s * a + c * b) }
    }

    /// Eigenvalues ascending, with their unit eigenvectors, by cyclic Jacobi rotations.
    pub(super) fn eigen(&self) -> [(f64, DVec3); 3] {
        let mut m = *self;
        let (mut v0, mut v1, mut v2) = (DVec3::X, DVec3::Y, DVec3::Z);
        for _ in 0..32 {
            if m.xy == 0.0 && m.xz == 0.0 && m.yz == 0.0 {
                break;
            }
            let (c, s, p, q) = rotation(m.xx, m.yy, m.xy);
            (m.xx, m.yy, m.xy) = (p, q, 0.0);
            (m.xz, m.yz) = (c * m.xz - s * m.yz, s * m.xz + c * m.yz);
            (v0, v1) = (c * v0 - s * v1, s * v0 + c * v1);
            let (c, s, p, q) = rotation(m.xx, m.zz, m.xz);
            (m.xx, m.zz, m.xz) = (p, q, 0.0);
            (m.xy, m.yz) = (c * m.xy - s * m.yz, s * m.xy + c * m.yz);
            (v0, v2) = (c * v0 - s * v2, s * v0 + c * v2);
            let (c, s, p, q) = rotation(m.yy, m.zz, m.yz);
            (m.yy, m.zz, m.yz) = (p, q, 0.0);
            (m.xy, m.xz) = (c * m.xy - s * m.xz, s * m.xy + c * m.xz);
            (v1, v2) = (c * v1 - s * v2, s * v1 + c * v2);
        }
        let mut pairs = [(m.xx, v0), (m.yy, v1), (m.zz, v2)];
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
        pairs
    }
}

#[inline(always)]
fn eliminate_two(a: f64, b: f64, c: f64, x: f64, y: f64, floor: f64) -> Option<(f64, f64)> {
    if a <= floor {
        return None;
    }
    let inverse = 1.0 / a;
    let l = b * inverse;
    let d = c - l * b;
    if d <= floor {
        return None;
    }
    let second = (y - l * x) / d;
    Some((x * inverse - l * second, second))
}

/// Cosine and sine of the rotation that clears the off-diagonal entry `b` of [[a, b], [b, d]], and the new diagonal.
fn rotation(a: f64, d: f64, b: f64) -> (f64, f64, f64, f64) {
    if b == 0.0 || b.abs() < 1.0e-18 * (a.abs() + d.abs()) {
        return (1.0, 0.0, a, d);
    }
    let theta = (d - a) / (2.0 * b);
    let t =
        if theta.abs() > 1.0e150 { 0.5 / theta } else { theta.signum() / (theta.abs() + (theta * theta + 1.0).sqrt()) };
    let c = 1.0 / (t * t + 1.0).sqrt();
    (c, t * c, a - t * b, d + t * b)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> Symmetric {
        let mut m = Symmetric::default();
        m.add_diagonal(0.3);
        m.add_outer(1.0e6, DVec3::new(0.6, 0.0, 0.8));
        m.add_outer(3.0e3, DVec3::new(0.0, 0.6, 0.8));
        m
    }

    #[test]
    fn elimination_solves_in_every_order_of_the_axes() {
        let right = DVec3::new(1.0, -2.0, 0.5);
        for (a, b) in [
            (DVec3::new(0.6, 0.0, 0.8), DVec3::new(0.0, 0.6, 0.8)),
            (DVec3::new(0.8, 0.6, 0.0), DVec3::new(0.6, 0.0, 0.8)),
            (DVec3::new(0.0, 0.8, 0.6), DVec3::new(0.6, 0.8, 0.0)),
        ] {
            let mut m = Symmetric::default();
            m.add_diagonal(0.3);
            m.add_outer(100.0, a);
            m.add_outer(7.0, b);
            let x = m.solve(right, 0.0).unwrap();
            assert!((m.times(x) - right).length() < 1.0e-12);
            m.add_diagonal(-0.4);
            assert!(m.solve(right, 0.0).is_none(), "an indefinite matrix has a pivot that is not positive");
        }
    }

    #[test]
    fn roots_of_the_inverse_belong_to_their_matrix() {
        for turn in 0..6 {
            let axes = [[0, 1, 2], [1, 2, 0], [2, 0, 1], [0, 2, 1], [2, 1, 0], [1, 0, 2]];
            let pick = |v: [f64; 3]| DVec3::from_array(axes[turn].map(|axis| v[axis]));
            let mut m = Symmetric::default();
            m.add_diagonal(0.3);
            m.add_outer(100.0, pick([0.6, 0.0, 0.8]));
            m.add_outer(7.0, pick([0.0, 0.6, 0.8]));
            let root = m.inverse_root(0.0).unwrap();
            let one =
                root.transpose() * DMat3::from_cols(m.times(root.x_axis), m.times(root.y_axis), m.times(root.z_axis));
            assert!(one.abs_diff_eq(DMat3::IDENTITY, 1.0e-12), "{one}");
            m.add_diagonal(-0.4);
            assert!(m.inverse_root(0.0).is_none());
            let (root, signs) = m.signed_inverse_root();
            assert_eq!(signs, DVec3::new(-1.0, 1.0, 1.0));
            let one =
                root.transpose() * DMat3::from_cols(m.times(root.x_axis), m.times(root.y_axis), m.times(root.z_axis));
            assert!(one.abs_diff_eq(DMat3::from_diagonal(signs), 1.0e-12), "{one}");
        }
    }

    #[test]
    fn eigenvalues_belong_to_their_vectors() {
        let m = sample();
        let mut sum = 0.0;
        for (value, vector) in m.eigen() {
            assert!((vector.length() - 1.0).abs() < 1.0e-14);
            assert!((m.times(vector) - value * vector).length() < 1.0e-8);
            sum += value;
        }
        assert!((sum - (m.xx + m.yy + m.zz)).abs() < 1.0e-8);
        assert!((m.eigen()[0].0 - 0.3).abs() < 1.0e-9, "the direction no member resists keeps the diagonal");
    }
}
