//! Whether a balance is the one that the nominal balance turns into, from where both are.

use super::algebra::Vector;
use super::lane::Lane;

/// How far from the balance before the lowest one of all is taken for it, over the hook's height.
const NEARBY: f64 = 0.1;
/// Distance over the way from the balance before, within which a balance that is followed without proof must be the only
/// one. Without this bound 340 of 799 064 vertices of 6000 random bridles ended in another balance than the nominal one
/// turns into; with it, and the way gone by halves, none of 2.6 million.
const ALONE_OVER_WAY: f64 = 4.0;
/// Sine of the angle below which two members are in one line.
const IN_LINE: f64 = 1.0e-6;
/// Cosine below which a direction counts as square to a member, so that the member does not lengthen: beyond the rounding
/// of a cross product of two members that are not in one line.
const SQUARE: f64 = 1.0e-9;

/// A member at a balance: the direction in which it pulls on the load, and whether it is taut.
pub(in crate::equilibrium) type Pull<V> = (Vector<V>, <V as Lane>::Mask);

/// Whether a firm balance, nearly upright, is beyond doubt the nominal one after it went `way`, over the hook's height:
/// near and proven the lowest of all, or much nearer to the nominal balance than to any other.
///
/// Even the lowest of all may be another than the one that is followed, hence the bound on its way.
#[inline(always)]
pub(in crate::equilibrium) fn is_nominal<V: Lane>(
    pulls: impl Iterator<Item = Pull<V>> + Clone,
    up: Vector<V>,
    way: V,
    lowest: V::Mask,
) -> V::Mask {
    let zero = V::splat(0.0);
    let all = V::splat(1.0).above(zero);
    let near = V::both(lowest, V::but_not(all, way.above(V::splat(NEARBY))));
    // It costs as much as a step of the solver, and the proof usually does without.
    if !V::any(V::but_not(all, near)) {
        return near;
    }
    V::either(near, rises(pulls, up, V::splat(ALONE_OVER_WAY) * way))
}

/// Whether the energy rises from a balance with a slope of at least `least`, over the weight, in all directions in which
/// no taut member lengthens.
///
/// Energy of the members is convex in the hook's position, and that of the weight bends down by W/d at most. So on the
/// straight way to another balance, where the slope must come back to zero, it takes at least this share of d: no other
/// balance of members that hardly stretch is nearer. The cone of those directions is spanned by rays along which two
/// members keep their length, and a slope is least on a ray.
#[inline(always)]
fn rises<V: Lane>(pulls: impl Iterator<Item = Pull<V>> + Clone, up: Vector<V>, least: V) -> V::Mask {
    let zero = V::splat(0.0);
    let all = V::splat(1.0).above(zero);
    let (mut rays, mut fails) = (V::but_not(all, all), V::but_not(all, all));
    for (index, (one, one_taut)) in pulls.clone().enumerate() {
        for (other, other_taut) in pulls.clone().take(index) {
            // Lengths of rays stay as they are, and what is compared is squared: this is asked at every vertex.
            let ray = one.cross(other);
            let size = ray.dot(ray);
            // Two members in one line have no direction of their own that is square to both.
            let apart = V::but_not(V::both(one_taut, other_taut), V::splat(IN_LINE * IN_LINE).above(size));
            if !V::any(apart) {
                continue;
            }
            // Whether no taut member lengthens that way, and the other way.
            let square = V::splat(SQUARE * SQUARE) * size;
            let (mut there, mut back) = (apart, apart);
            for (direction, taut) in pulls.clone() {
                let cosine = direction.dot(ray);
                let lengthens = V::both(taut, (cosine * cosine).above(square));
                there = V::but_not(there, V::both(lengthens, cosine.above(zero)));
                back = V::but_not(back, V::both(lengthens, zero.above(cosine)));
            }
            let slope = up.dot(ray);
            let steep = V::but_not(all, (least * least * size).above(slope * slope));
            let (down, up) = (V::but_not(steep, slope.above(zero)), V::but_not(steep, zero.above(slope)));
            fails = V::either(fails, V::either(V::but_not(there, down), V::but_not(back, up)));
            rays = V::either(rays, V::either(there, back));
            if !V::any(V::but_not(all, fails)) {
                return V::but_not(all, fails);
            }
        }
    }
    V::but_not(V::either(rays, V::but_not(all, least.above(zero))), fails)
}
