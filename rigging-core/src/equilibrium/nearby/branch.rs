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

/// Whether a balance that went `way`, over the hook's height, is near and proven the lowest of all. Even that may be another
/// than the one that is followed, hence the bound on its way.
#[inline(always)]
pub(in crate::equilibrium) fn is_near<V: Lane>(way: V, lowest: V::Mask) -> V::Mask {
    V::but_not(lowest, way.above(V::splat(NEARBY)))
}

/// Whether a firm balance that went `way`, over the hook's height, is much nearer to where it came from than to any other.
#[inline(always)]
pub(in crate::equilibrium) fn is_alone<V: Lane>(way: V, steepness: V) -> V::Mask {
    let all = V::splat(1.0).above(V::splat(0.0));
    let least = V::splat(ALONE_OVER_WAY) * way;
    V::but_not(all, (least * least).above(steepness))
}

/// The least slope, over the weight, with which the energy rises from a balance in a direction in which no taut member
/// lengthens: its square, with the sign of the slope. Zero where there is no such direction.
///
/// Energy of the members is convex in the hook's position, and that of the weight bends down by W/d at most. So on the
/// straight way to another balance, where the slope must come back to zero, it takes at least this share of d: no other
/// balance of members that hardly stretch is nearer. The cone of those directions is spanned by rays along which two
/// members keep their length, and a slope is least on a ray.
#[inline(always)]
pub(in crate::equilibrium) fn steepness<V: Lane>(pulls: &[Pull<V>], up: Vector<V>) -> V {
    let zero = V::splat(0.0);
    let all = V::splat(1.0).above(zero);
    let mut rays = V::but_not(all, all);
    // The least square is kept as a fraction: this is asked at every vertex.
    let (mut least, mut over) = (V::splat(f64::INFINITY), V::splat(1.0));
    for index in 0..pulls.len() {
        let Some((before, [(one, one_taut), after @ ..])) = pulls.split_at_checked(index) else { break };
        for with in 0..index {
            let Some((first, [(other, other_taut), between @ ..])) = before.split_at_checked(with) else { break };
            let ray = one.cross(*other);
            let size = ray.dot(ray);
            // Two members in one line have no direction of their own that is square to both.
            let apart = V::but_not(V::both(*one_taut, *other_taut), V::splat(IN_LINE * IN_LINE).above(size));
            if !V::any(apart) {
                continue;
            }
            // Whether no taut member lengthens that way, and the other way.
            let square = V::splat(SQUARE * SQUARE) * size;
            let (mut there, mut back) = (apart, apart);
            for others in [first, between, after] {
                for (direction, taut) in others {
                    let cosine = direction.dot(ray);
                    let lengthens = V::both(*taut, (cosine * cosine).above(square));
                    there = V::but_not(there, V::both(lengthens, cosine.above(zero)));
                    back = V::but_not(back, V::both(lengthens, zero.above(cosine)));
                }
            }
            let slope = up.dot(ray);
            let rise = slope * slope.greater(zero - slope);
            for (ray, rise) in [(there, zero - rise), (back, rise)] {
                let lower = V::both(ray, (least * size).above(rise * over));
                least = V::choose(lower, rise, least);
                over = V::choose(lower, size, over);
            }
            rays = V::either(rays, V::either(there, back));
        }
    }
    V::kept(rays, least / over)
}
