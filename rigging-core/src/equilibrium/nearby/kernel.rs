//! The balances of several rows at once, from that of the nominal load.
//!
//! Unknown is the hook's way δ from its nominal position in the load's frame; that position is the anchor of every row.
//! With a the nominal arm of a leg (hook − point) its length is √(a² + 2a·δ + δ²) and its elongation s/(l + L) with
//! s = (a² − L²) + 2a·δ + δ²: nothing large is subtracted from anything large after the first difference, which a change of
//! the inputs by their last digit would match.
//!
//! A leg's force density, tension over distance, is EA·(1/L − 1/l): nearly linear in the square of the distance as long as
//! strains are small, and that square is quadratic in δ with the same quadratic term in all legs. So each pass linearizes the
//! densities in the square of the distance, settles which legs are taut (a convex piecewise quadratic problem, no square
//! roots), and solves for δ with the common quadratic term by substitution, with the inverse of Newton's step. That leaves
//! an unbalanced force of the third order in δ over l times the weight, however stiff the legs are, where Newton's step
//! leaves one of the second order times EA. The first pass takes the arms of the nominal balance and needs no square root.
//!
//! A row is finished once its forces balance; its δ then stays, whatever its neighbors still do. Whether the balance is the
//! one meant is decided after the last pass: it must be stable by a margin, nearly upright and proven to be the lowest of
//! all. A row that fails any of this is left to the solver of single loads.

use super::algebra::{Matrix, Vector};
use super::block::Block;
use super::branch;
use super::lane::Lane;
use crate::equilibrium::bridle;

/// Passes after which a row is left to the solver of single loads.
pub(in crate::equilibrium) const MOST_PASSES: u32 = 12;
/// Rounds in which a pass settles the set of taut legs.
const MOST_ROUNDS: u32 = 4;
/// Unbalanced force allowed, over the weight and over the sum of the tensions: as for a single load.
const FORCE_TOLERANCE: f64 = 1.0e-10;
const ROUNDING_TOLERANCE: f64 = 64.0 * f64::EPSILON;
/// The longest step, over the hook's height above the center of gravity.
const LONGEST: f64 = 0.3;
/// The greatest sum of force densities that is foreseen, over W/d.
const GREATEST_DENSITY: f64 = 16.0;
/// Least eigenvalue of a balance that is certified here, over W/d, and over the sum of stiffnesses for rounding.
const FIRM: f64 = 1.0e-6;
const FIRM_ROUNDING: f64 = 16.0 * f64::EPSILON;
/// Cosine of the tilt above which a balance counts as nearly upright.
const NEARLY_UPRIGHT: f64 = 0.95;

/// A leg of the nominal load.
#[derive(Debug, Clone, Copy, Default)]
pub(in crate::equilibrium) struct NominalLeg {
    /// Hook − point, m.
    pub(super) arm: [f64; 3],
    /// Its square, and one over its length.
    pub(super) square: f64,
    pub(super) over: f64,
}

/// What all rows share: the nominal balance.
#[derive(Debug, Clone)]
pub(in crate::equilibrium) struct Constants<const M: usize> {
    pub(super) legs: [NominalLeg; M],
    /// The hook in the frame of the points, m.
    pub(super) hook: [f64; 3],
    /// Sum of tension over distance of all legs, N/m.
    pub(super) density: f64,
}

/// A leg at a position of the hook.
#[derive(Clone, Copy)]
struct Leg<V: Lane> {
    length: V,
    ea: V,
    /// a² − L².
    excess: V,
    /// Hook − point.
    arm: Vector<V>,
    /// Distance l from point to hook, and one over it.
    distance: V,
    over: V,
    /// Force density T/l = EA·(1/L − 1/l); negative when slack.
    density: V,
    taut: V::Mask,
    /// EA/l³: what the density of a taut leg grows by for a change of l²/2.
    rate: V,
}

/// The load at a position of the hook.
#[derive(Clone, Copy)]
struct Load<V> {
    weight: V,
    /// Upward direction: hook − center of gravity, over their distance.
    up: Vector<V>,
    /// One over that distance.
    over: V,
}

/// Sums over the taut legs.
struct Sums<V> {
    /// Rate times arm.
    rate_arms: Vector<V>,
    rates: V,
    densities: V,
}

/// What the legs leave unbalanced.
struct Balance<V> {
    /// W·up − Σ T·u.
    unbalanced: Vector<V>,
    /// Σ T and Σ T/l.
    sum: V,
    sum_over: V,
}

#[inline(always)]
pub(in crate::equilibrium) fn balance<V: Lane, const M: usize>(constants: &Constants<M>, block: &mut Block<M>) {
    let zero = V::splat(0.0);
    let all = V::splat(1.0).above(zero);
    let weight = V::read(&block.weight);
    let center = Vector::read(&block.center);
    // Hook relative to the center of gravity, at the anchor.
    let anchor = Vector::splat(constants.hook).minus(V::splat(1.0), center);
    let mut load = Load::at(weight, anchor);
    let empty = Leg {
        length: zero,
        ea: zero,
        excess: zero,
        arm: anchor,
        distance: zero,
        over: zero,
        density: zero,
        taut: all,
        rate: zero,
    };
    let mut legs = [empty; M];
    let mut unbalanced = load.up.scale(weight);
    for (((leg, nominal), length), ea) in legs.iter_mut().zip(&constants.legs).zip(&block.length).zip(&block.ea) {
        leg.length = V::read(length);
        leg.ea = V::read(ea);
        leg.excess = leg.length.times_from(leg.length, V::splat(nominal.square));
        leg.arm = Vector::splat(nominal.arm);
        leg.over = V::splat(nominal.over);
        leg.density = leg.ea * (V::splat(1.0) / leg.length - leg.over);
        unbalanced = unbalanced.minus(leg.density, leg.arm);
    }
    let mut foreseen = V::splat(constants.density);
    let mut offset = Vector::splat([0.0; 3]);
    let mut done = zero.above(zero);
    let mut passes = 0;
    let balance = loop {
        let step = advance(&mut legs, unbalanced, &load, &mut foreseen);
        offset = Vector::choose(done, offset, offset.add(step));
        load = Load::at(weight, anchor.add(offset));
        let balance = stand(&mut legs, constants, &load, offset);
        passes += 1;
        let allowed = V::splat(FORCE_TOLERANCE).times_plus(weight, V::splat(ROUNDING_TOLERANCE) * balance.sum);
        unbalanced = balance.unbalanced;
        // Written so that what is not a number is never done.
        done = (allowed * allowed).above(unbalanced.dot(unbalanced));
        if passes == MOST_PASSES || !V::any(V::but_not(all, done)) {
            break balance;
        }
    };
    let least = if block.branch { bridle::FIRM } else { FIRM };
    let found = certify(&legs, &load, &balance, least);
    let accepted = V::both(done, V::both(found.stable, found.lowest));
    if block.branch {
        let hook = anchor.add(offset);
        let way = hook.minus(V::splat(1.0), Vector::read(&block.from));
        // Not by a map of the array: what that calls would have the instructions of every processor.
        let mut pulls = [(load.up, done); M];
        for (pull, leg) in pulls.iter_mut().zip(&legs) {
            *pull = (leg.arm.scale(leg.over), leg.taut);
        }
        let way = way.dot(way).sqrt() * load.over;
        let firm = V::both(done, found.stable);
        let near = branch::is_near(way, found.lowest);
        // It costs as much as a step, and the proof that a balance is the lowest of all usually does without.
        let steepness = if V::any(V::but_not(firm, near)) { branch::steepness(&pulls, load.up) } else { zero };
        block.firm = V::bits(firm);
        steepness.write(&mut block.steepness);
        block.followed = V::bits(V::both(firm, V::either(near, branch::is_alone(way, steepness))));
        hook.write(&mut block.hook);
        for ((direction, _), columns) in pulls.iter().zip(&mut block.direction) {
            direction.write(columns);
        }
    }
    for (leg, tension) in legs.iter().zip(&mut block.tension) {
        (leg.density.greater(zero) * leg.distance).write(tension);
    }
    load.up.write(&mut block.up);
    block.certified = V::bits(accepted);
    block.passes = passes;
}

impl<V: Lane> Load<V> {
    #[inline(always)]
    fn at(weight: V, hook: Vector<V>) -> Self {
        let over = V::splat(1.0) / hook.dot(hook).sqrt();
        Self { weight, up: hook.scale(over), over }
    }
}

impl<V: Lane> Leg<V> {
    /// The rate of a taut leg, zero for a slack one.
    #[inline(always)]
    fn taut_rate(&self) -> V {
        V::kept(self.taut, self.rate)
    }

    /// Whether a way of the hook, by what it is along the arm, makes a taut leg slack or a slack one taut.
    #[inline(always)]
    fn switches(&self, along: V) -> V::Mask {
        V::differ(self.rate.times_plus(along, self.density).above(V::splat(0.0)), self.taut)
    }
}

impl<V: Lane> Sums<V> {
    #[inline(always)]
    fn none() -> Self {
        let zero = V::splat(0.0);
        Self { rate_arms: Vector::splat([0.0; 3]), rates: zero, densities: zero }
    }

    /// With one more leg, if it is taut.
    #[inline(always)]
    fn with(self, leg: &Leg<V>) -> Self {
        let rate = leg.taut_rate();
        Self {
            rate_arms: self.rate_arms.plus(rate, leg.arm),
            rates: self.rates + rate,
            densities: self.densities + V::kept(leg.taut, leg.density),
        }
    }
}

/// Brings the legs up to date for a way of the hook.
#[inline(always)]
fn stand<V: Lane, const M: usize>(
    legs: &mut [Leg<V>; M],
    constants: &Constants<M>,
    load: &Load<V>,
    offset: Vector<V>,
) -> Balance<V> {
    let zero = V::splat(0.0);
    let one = V::splat(1.0);
    let way = offset.dot(offset);
    let double = offset.add(offset);
    let mut unbalanced = load.up.scale(load.weight);
    let (mut sum, mut sum_over) = (zero, zero);
    for (leg, nominal) in legs.iter_mut().zip(&constants.legs) {
        let arm = Vector::splat(nominal.arm);
        let s = arm.dot_plus(double, leg.excess + way);
        leg.distance = leg.length.times_plus(leg.length, s).sqrt();
        // One division for 1/l and 1/(l·L·(l + L)).
        let product = leg.length * (leg.distance + leg.length);
        let inverse = one / (leg.distance * product);
        leg.over = product * inverse;
        leg.density = (leg.ea * s) * inverse;
        leg.arm = arm.add(offset);
        leg.taut = leg.density.above(zero);
        let pull = leg.density.greater(zero);
        unbalanced = unbalanced.minus(pull, leg.arm);
        sum = pull.times_plus(leg.distance, sum);
        sum_over = sum_over + pull;
    }
    Balance { unbalanced, sum, sum_over }
}

/// The step of the hook, with the set of taut legs settled.
///
/// With D a leg's arm, g its density and r its rate, a step Δ changes g by r·(D·Δ + Δ²/2) and little more, so what balances
/// the load is Σ (g + r·(D·Δ + Δ²/2))·(D + Δ). The square is the same in all legs: the step is s − Δ²·w with s the linear
/// answer to what is unbalanced, w that to ½ Σ r·D, and Δ² by substitution. Where the Hessian is not positive definite W/d
/// is added to its diagonal: only the weight bends the energy down, so that makes it so but for rounding. The sum of the new densities, in the part of
/// the Hessian that turns with Δ, is foreseen by the pass before and mended here.
#[inline(always)]
fn advance<V: Lane, const M: usize>(
    legs: &mut [Leg<V>; M],
    unbalanced: Vector<V>,
    load: &Load<V>,
    foreseen: &mut V,
) -> Vector<V> {
    let zero = V::splat(0.0);
    let half = V::splat(0.5);
    let softening = load.weight * load.over;
    let mut matrix = Matrix::zero();
    let mut sums = Sums::none();
    for leg in legs.iter_mut() {
        leg.rate = leg.ea * leg.over * (leg.over * leg.over);
        matrix = matrix.plus_outer(leg.taut_rate(), leg.arm);
        sums = sums.with(leg);
    }
    matrix = matrix.plus_outer(softening, load.up).plus_diagonal(*foreseen - softening);
    let mut right = unbalanced;
    let mut rounds = 0;
    let (inverse, first, square, second) = loop {
        let inverse = matrix.invert(softening);
        let first = inverse.times(right);
        // Second order: of the weight (W/2d²)·((s² − 3τ²)·n + 2τ·s) with τ = n·s; of a density −(3/2)·r·(D·s)²/l², as its
        // rate falls with l³.
        let tau = load.up.dot(first);
        let bend = half * softening * load.over;
        let square = first.dot(first);
        let mut second =
            load.up.scale(bend * (V::splat(3.0) * tau).times_from(tau, square)).plus((bend + bend) * tau, first);
        let mut changed = zero.above(zero);
        for leg in legs.iter() {
            let along = leg.arm.dot(first);
            changed = V::either(changed, leg.switches(along));
            let sigma = along * leg.over;
            let fall = V::splat(1.5) * leg.taut_rate() * (sigma * sigma);
            second = second.minus(fall, leg.arm);
        }
        rounds += 1;
        if rounds == MOST_ROUNDS || !V::any(changed) {
            break (inverse, first, square, second);
        }
        // A leg that went slack is taken out, one that tightened is put in; what is added for others is zero.
        sums = Sums::none();
        for leg in legs.iter_mut() {
            let switched = leg.switches(leg.arm.dot(first));
            let sign = V::choose(leg.taut, V::splat(-1.0), V::splat(1.0));
            let change = V::kept(switched, sign);
            matrix = matrix.plus_outer(change * leg.rate, leg.arm);
            right = right.minus(change * leg.density, leg.arm);
            leg.taut = V::differ(leg.taut, switched);
            sums = sums.with(leg);
        }
    };
    let half_rates = sums.rate_arms.scale(half);
    let flat = first.minus(V::splat(1.0), inverse.times(second));
    let curve = inverse.times(half_rates);
    let once = flat.minus(square, curve);
    let square = once.dot(once);
    // The new sum of densities, less the one foreseen.
    let linear = half_rates.dot(once);
    let new = (half * sums.rates).times_plus(square, (linear + linear) + sums.densities);
    let turned = inverse.times(once);
    let step = flat.minus(square, curve).minus(new - *foreseen, turned);
    *foreseen = new.greater(zero).lesser(V::splat(GREATEST_DENSITY) * softening);
    // A step beyond the bound is shortened to it.
    let ratio = step.dot(step) * (load.over * load.over);
    let long = ratio.above(V::splat(LONGEST * LONGEST));
    if V::any(long) {
        return step.scale(V::choose(long, V::splat(LONGEST) / ratio.sqrt(), V::splat(1.0)));
    }
    step
}

/// What kind of balance the legs stand in.
struct Kind<V: Lane> {
    /// Stable by the margin that was asked for, and nearly upright.
    stable: V::Mask,
    /// The lowest of all.
    lowest: V::Mask,
}

/// Where the balance is stable by a margin (`least` over W/d), nearly upright and the lowest of all: U_j and −W·d are both convex in the
/// square of the distance, so a balance with Σ T/l ≥ W/d has no pose below it.
#[inline(always)]
fn certify<V: Lane, const M: usize>(legs: &[Leg<V>; M], load: &Load<V>, balance: &Balance<V>, least: f64) -> Kind<V> {
    let zero = V::splat(0.0);
    let softening = load.weight * load.over;
    let mut matrix = Matrix::zero();
    let mut stiffest = zero;
    for leg in legs {
        let stiffness = leg.ea * leg.over;
        matrix = matrix.plus_outer(V::kept(leg.taut, stiffness * (leg.over * leg.over)), leg.arm);
        stiffest = stiffest + stiffness;
    }
    let matrix = matrix.plus_outer(softening, load.up).plus_diagonal(balance.sum_over - softening);
    let rounding = V::splat(FIRM_ROUNDING) * stiffest;
    let margin = V::splat(least).times_plus(softening, rounding);
    let upright = load.up.z.above(V::splat(NEARLY_UPRIGHT));
    Kind {
        stable: V::both(matrix.plus_diagonal(zero - margin).definite(), upright),
        lowest: balance.sum_over.above(softening),
    }
}
