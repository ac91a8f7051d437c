//! Vectors and symmetric 3×3 matrices of lanes.

use super::block::Column;
use super::lane::Lane;

#[derive(Clone, Copy)]
pub(in crate::equilibrium) struct Vector<V> {
    pub(super) x: V,
    pub(super) y: V,
    pub(super) z: V,
}

impl<V: Lane> Vector<V> {
    #[inline(always)]
    pub(in crate::equilibrium) fn splat([x, y, z]: [f64; 3]) -> Self {
        Self { x: V::splat(x), y: V::splat(y), z: V::splat(z) }
    }

    #[inline(always)]
    pub(super) fn read([x, y, z]: &[Column; 3]) -> Self {
        Self { x: V::read(x), y: V::read(y), z: V::read(z) }
    }

    #[inline(always)]
    pub(super) fn write(self, [x, y, z]: &mut [Column; 3]) {
        self.x.write(x);
        self.y.write(y);
        self.z.write(z);
    }

    #[inline(always)]
    pub(super) fn dot(self, other: Self) -> V {
        self.x.times_plus(other.x, self.y.times_plus(other.y, self.z * other.z))
    }

    #[inline(always)]
    pub(super) fn cross(self, other: Self) -> Self {
        Self {
            x: self.z.times_from(other.y, self.y * other.z),
            y: self.x.times_from(other.z, self.z * other.x),
            z: self.y.times_from(other.x, self.x * other.y),
        }
    }

    /// self·other + plus.
    #[inline(always)]
    pub(super) fn dot_plus(self, other: Self, plus: V) -> V {
        self.x.times_plus(other.x, self.y.times_plus(other.y, self.z.times_plus(other.z, plus)))
    }

    /// self + by·other.
    #[inline(always)]
    pub(super) fn plus(self, by: V, other: Self) -> Self {
        Self { x: by.times_plus(other.x, self.x), y: by.times_plus(other.y, self.y), z: by.times_plus(other.z, self.z) }
    }

    /// self − by·other.
    #[inline(always)]
    pub(super) fn minus(self, by: V, other: Self) -> Self {
        Self { x: by.times_from(other.x, self.x), y: by.times_from(other.y, self.y), z: by.times_from(other.z, self.z) }
    }

    #[inline(always)]
    pub(super) fn add(self, other: Self) -> Self {
        Self { x: self.x + other.x, y: self.y + other.y, z: self.z + other.z }
    }

    #[inline(always)]
    pub(super) fn scale(self, by: V) -> Self {
        Self { x: self.x * by, y: self.y * by, z: self.z * by }
    }

    #[inline(always)]
    pub(super) fn choose(mask: V::Mask, yes: Self, no: Self) -> Self {
        Self { x: V::choose(mask, yes.x, no.x), y: V::choose(mask, yes.y, no.y), z: V::choose(mask, yes.z, no.z) }
    }
}

#[derive(Clone, Copy)]
pub(super) struct Matrix<V> {
    pub(super) xx: V,
    pub(super) xy: V,
    pub(super) xz: V,
    pub(super) yy: V,
    pub(super) yz: V,
    pub(super) zz: V,
}

/// Cofactors of a matrix, and one over its determinant.
#[derive(Clone, Copy)]
pub(super) struct Inverse<V> {
    cofactors: Matrix<V>,
    over: V,
}

impl<V: Lane> Matrix<V> {
    #[inline(always)]
    pub(super) fn zero() -> Self {
        let zero = V::splat(0.0);
        Self { xx: zero, xy: zero, xz: zero, yy: zero, yz: zero, zz: zero }
    }

    /// Adds k·u·uᵀ.
    #[inline(always)]
    pub(super) fn plus_outer(self, k: V, u: Vector<V>) -> Self {
        let Vector { x, y, z } = u.scale(k);
        Self {
            xx: x.times_plus(u.x, self.xx),
            xy: x.times_plus(u.y, self.xy),
            xz: x.times_plus(u.z, self.xz),
            yy: y.times_plus(u.y, self.yy),
            yz: y.times_plus(u.z, self.yz),
            zz: z.times_plus(u.z, self.zz),
        }
    }

    /// Adds a multiple of the identity.
    #[inline(always)]
    pub(super) fn plus_diagonal(self, by: V) -> Self {
        Self { xx: self.xx + by, yy: self.yy + by, zz: self.zz + by, ..self }
    }

    #[inline(always)]
    fn cofactors(self) -> (Self, V) {
        let Self { xx, xy, xz, yy, yz, zz } = self;
        let cofactors = Self {
            xx: yz.times_from(yz, yy * zz),
            xy: xy.times_from(zz, xz * yz),
            xz: xz.times_from(yy, xy * yz),
            yy: xz.times_from(xz, xx * zz),
            yz: yz.times_from(xx, xy * xz),
            zz: xy.times_from(xy, xx * yy),
        };
        (cofactors, xx.times_plus(cofactors.xx, xy.times_plus(cofactors.xy, xz * cofactors.xz)))
    }

    /// Where all leading minors are positive.
    #[inline(always)]
    pub(super) fn definite(self) -> V::Mask {
        let (cofactors, determinant) = self.cofactors();
        self.minors(&cofactors, determinant)
    }

    #[inline(always)]
    fn minors(self, cofactors: &Self, determinant: V) -> V::Mask {
        let zero = V::splat(0.0);
        V::both(V::both(self.xx.above(zero), cofactors.zz.above(zero)), determinant.above(zero))
    }

    /// The inverse; of the matrix plus `shift` on its diagonal where a leading minor is not positive.
    #[inline(always)]
    pub(super) fn invert(self, shift: V) -> Inverse<V> {
        let (mut cofactors, mut determinant) = self.cofactors();
        let definite = self.minors(&cofactors, determinant);
        let all = V::splat(1.0).above(V::splat(0.0));
        if V::any(V::but_not(all, definite)) {
            let raised = self.plus_diagonal(V::choose(definite, V::splat(0.0), shift));
            (cofactors, determinant) = raised.cofactors();
        }
        Inverse { cofactors, over: V::splat(1.0) / determinant }
    }
}

impl<V: Lane> Inverse<V> {
    #[inline(always)]
    pub(super) fn times(&self, v: Vector<V>) -> Vector<V> {
        let Matrix { xx, xy, xz, yy, yz, zz } = self.cofactors;
        let product = Vector {
            x: xx.times_plus(v.x, xy.times_plus(v.y, xz * v.z)),
            y: xy.times_plus(v.x, yy.times_plus(v.y, yz * v.z)),
            z: xz.times_plus(v.x, yz.times_plus(v.y, zz * v.z)),
        };
        product.scale(self.over)
    }
}
