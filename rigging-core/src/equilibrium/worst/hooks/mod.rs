//! One rigid body under several hooks: the conditions of balance over a piece.
//!
//! The world is seen from the mean of the hooks as drawn, raised by what the first one is: only differences of heights count.
//! The body is told by the place x of its nominal center of gravity and the turn g since its nominal attitude. With arms a from the points to their hooks, at H, the balance is Σ q·a = D·up of forces and
//! Σ H×(q·a) = D·(x + R·c)×up of moments: a leg pulls along its arm, so that its moment may be taken at its hook, where only
//! the height is not known. Shares q are tensions over distances, over the weight over D, a height that is chosen once.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of symbols, or three")]
#![expect(clippy::neg_cmp_op_on_partial_ord, reason = "what is not a number fails too")]

mod left_over;
mod near;
mod stable;
#[cfg(test)]
mod tests;
mod turn;

use super::affine::{Affine, Affine3};
use super::balances::Balances;
use super::forms::{Condition, Forms, Kind, Sling};
use super::interval::Interval;
use super::piece::{Leg, Piece};
use super::problem::MOST_LEGS;
use super::region::MARGIN;
use super::target::Target;
use crate::system::{End, System};
use glam::{DQuat, DVec3};
use left_over::LeftOver;
use turn::{Matrix, attitude, between, turned, turning};

/// What forms are linear in: three coordinates of the nominal center of gravity in the world, three of the turn; what is added
/// to three coordinates of the center of gravity in the body, m; the weight, N; what is added to the height of each hook but
/// the first, over what is added to that of the first, m; the shares.
pub(super) const SYMBOLS: usize = 24;
const TURN: usize = 3;
const CENTER: usize = 6;
const WEIGHT: usize = 9;
const HEIGHTS: usize = 10;
/// The most hooks: those for which there are rows enough for the differences of their heights.
const MOST_HOOKS: usize = 4;

/// A leg from a hook to a point of the body.
struct Line {
    hook: usize,
    /// The hook, from the mean of all.
    from: [Interval; 3],
    /// The point, from the nominal center of gravity, in the nominal attitude.
    point: [Interval; 3],
    sling: Sling,
    /// Nominal unstretched length.
    nominal: f64,
}

/// Where the body was found: its center of gravity and its attitude.
pub(super) type Stance = (DVec3, DQuat);

/// A body under several hooks, with ranges of the numbers of the box.
pub(super) struct Hooks {
    sides: Vec<Interval>,
    /// The mean of the hooks, and the nominal attitude.
    frame: Stance,
    attitude: Matrix<Interval>,
    lines: Vec<Line>,
    center: [Interval; 3],
    /// Nominal weight, and its range.
    nominal: f64,
    weight: Interval,
    /// How far off the height of each hook may be.
    heights: Vec<f64>,
    /// D.
    height: f64,
    left_over: LeftOver,
    margins: [f64; 6],
}

/// Hook and point of each member; none where there are joints, several bodies or members between others.
fn ends(system: &System) -> Option<Vec<(usize, usize)>> {
    if system.bodies().len() != 1 || !system.joints().is_empty() {
        return None;
    }
    let ends = system.members().iter().map(|member| match (member.a, member.b) {
        (End::Hook(hook), End::Body { point, .. }) | (End::Body { point, .. }, End::Hook(hook)) => Some((hook, point)),
        _ => None,
    });
    ends.collect()
}

/// Whether a system is one rigid body under hooks.
pub(super) fn is_one_body(system: &System) -> bool {
    ends(system).is_some()
}

/// Whether there are no more legs and hooks than are looked at.
pub(super) fn are_few(system: &System) -> bool {
    system.members().len() <= MOST_LEGS && system.hooks().len() <= MOST_HOOKS
}

/// The mean of the hooks.
fn mean(system: &System) -> DVec3 {
    let sum: DVec3 = system.hooks().iter().map(|hook| hook.position).sum();
    sum / system.hooks().len().max(1) as f64
}

/// The place of a body whose center of gravity is off by `shift`, from a frame: mean of the hooks, raised, and nominal attitude.
pub(super) fn place(frame: Stance, stance: Stance, shift: DVec3) -> [f64; 6] {
    let [x, y, z] = (stance.0 - stance.1 * shift - frame.0).to_array();
    let [a, b, c] = between(frame.1, stance.1);
    [x, y, z, a, b, c]
}

/// The frame of a system that was found to hang nominally with an attitude, its first hook higher by some height.
pub(super) fn frame(system: &System, attitude: DQuat, higher: f64) -> Stance {
    (mean(system) + DVec3::Z * higher, attitude)
}

impl Hooks {
    /// The box, around a nominal state as it was found. None where the forces left over in that are too large, or there is
    /// more than one body, or more legs or hooks than are looked at.
    pub(super) fn new(system: &System, sides: &[f64], stance: Stance) -> Option<Self> {
        let sides: Vec<Interval> = sides.iter().map(|side| Interval { lo: -side, hi: *side }).collect();
        let side = |index: usize| sides.get(index).copied().unwrap_or(Interval::ENTIRE);
        let body = system.bodies().first()?;
        let legs = system.members().len();
        let frame = frame(system, stance.1, 0.0);
        let attitude = attitude(stance.1);
        let minus = |a: DVec3, b: DVec3| {
            let (a, b) = (a.to_array(), b.to_array());
            [0, 1, 2].map(|axis| Interval::point(a[axis]) - Interval::point(b[axis]))
        };
        let lines =
            ends(system)?.into_iter().zip(system.members()).enumerate().map(|(leg, ((hook, point), member))| {
                let point = minus(*body.points.get(point)?, body.center_of_gravity);
                Some(Line {
                    hook,
                    from: minus(system.hooks().get(hook)?.position, frame.0),
                    point: turned(&attitude, point),
                    sling: Sling::new(&member.law, member.length, side(leg), side(legs + leg))?,
                    nominal: member.length,
                })
            });
        let lines: Vec<Line> = lines.collect::<Option<_>>()?;
        if !are_few(system) {
            return None;
        }
        let pull = Interval::point(body.mass) * system.gravity();
        let weight = (Interval::ONE + side(2 * legs + 3)) * pull;
        let longest = lines.iter().fold(0.0, |most: f64, line| most.max(line.sling.length.hi));
        let at = place(frame, stance, DVec3::ZERO);
        let left_over = LeftOver::of(&lines, &at, pull, weight)?;
        let heights = (0..system.hooks().len()).map(|hook| side(2 * legs + 4 + hook).hi).collect();
        let center = [0, 1, 2].map(|axis| side(2 * legs + axis));
        let margins = std::array::from_fn(|symbol| if symbol < TURN { MARGIN * longest } else { MARGIN });
        let nominal = body.mass * system.gravity();
        let height = longest;
        Some(Self { sides, frame, attitude, lines, center, nominal, weight, heights, height, left_over, margins })
    }

    /// The place in which the body hangs nominally.
    pub(super) fn nominal(&self, stance: Stance) -> [f64; 6] {
        place(self.frame, stance, DVec3::ZERO)
    }

    /// The first symbol of a share.
    fn shares(&self) -> usize {
        HEIGHTS + self.heights.len().saturating_sub(1)
    }

    /// From the nominal center of gravity, in the world: the points of the legs, and the center of gravity.
    fn load(&self, piece: &Piece<SYMBOLS>) -> Option<(Vec<Affine3<SYMBOLS>>, Affine3<SYMBOLS>)> {
        let turn = turning(&[0, 1, 2].map(|axis| piece.side(TURN + axis)))?;
        let fixed = |v: &[Interval; 3]| turn.map(|[a, b, c]| a * v[0] + b * v[1] + c * v[2]);
        let points = self.lines.iter().map(|line| fixed(&line.point)).collect();
        let shift: Affine3<SYMBOLS> = [0, 1, 2].map(|axis| piece.side(CENTER + axis));
        let shift = self.attitude.map(|[a, b, c]| shift[0] * a + shift[1] * b + shift[2] * c);
        let center = turn.map(|[a, b, c]| a * shift[0] + b * shift[1] + c * shift[2]);
        Some((points, center))
    }

    /// What is added to the height of the hook of a leg, over that of the first; none for the first.
    fn higher(&self, piece: &Piece<SYMBOLS>, line: &Line) -> Option<Affine<SYMBOLS>> {
        line.hook.checked_sub(1).map(|other| piece.side(HEIGHTS + other))
    }

    /// No two hooks differ by more than both may be off. For the first that is said by ranges.
    fn differences(&self, piece: &Piece<SYMBOLS>) -> Vec<Condition<SYMBOLS>> {
        let any = self.heights.iter().any(|height| *height > 0.0);
        let others = || self.heights.iter().skip(1).enumerate().filter(move |_| any);
        let pairs =
            others().flat_map(|one| others().filter(move |other| other.0 != one.0).map(move |other| (one, other)));
        let conditions = pairs.map(|((one, up), (other, down))| {
            let most = (Interval::point(*up) + Interval::point(*down)).hi;
            let form = piece.side(HEIGHTS + one) - piece.side(HEIGHTS + other) - Affine::point(most);
            Condition { form, kind: Kind::NotAbove }
        });
        conditions.collect()
    }

    /// From the nominal center of gravity to the hook of a leg.
    fn toward(&self, piece: &Piece<SYMBOLS>, line: &Line) -> Affine3<SYMBOLS> {
        let mut hook = line.from.map(Affine::within);
        if let Some(higher) = self.higher(piece, line) {
            hook[2] = hook[2] + higher;
        }
        [0, 1, 2].map(|axis| hook[axis] - piece.side(axis))
    }
}

fn square<const N: usize>([x, y, z]: &Affine3<N>) -> Affine<N> {
    x.square() + y.square() + z.square()
}

fn minus<const N: usize>(a: &Affine3<N>, b: &Affine3<N>) -> Affine3<N> {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

impl Balances<SYMBOLS> for Hooks {
    fn legs(&self) -> usize {
        self.lines.len()
    }

    fn sides(&self) -> &[Interval] {
        &self.sides
    }

    fn margins(&self) -> &[f64] {
        &self.margins
    }

    fn told(&self) -> usize {
        HEIGHTS
    }

    fn all(&self, place: &[Interval]) -> Option<Piece<SYMBOLS>> {
        let mut piece = Piece { ranges: [Interval::ZERO; SYMBOLS], legs: [Leg::Slack; MOST_LEGS] };
        piece.ranges[..CENTER].copy_from_slice(place);
        piece.ranges[CENTER..WEIGHT].copy_from_slice(&self.center);
        piece.ranges[WEIGHT] = self.weight;
        let first = self.heights.first().copied().unwrap_or(0.0);
        for (range, height) in piece.ranges[HEIGHTS..].iter_mut().zip(self.heights.iter().skip(1)) {
            let side = |height: f64| Interval { lo: -height, hi: height };
            *range = side(*height) - side(first);
        }
        let (points, _) = self.load(&piece)?;
        for (leg, (line, point)) in self.lines.iter().zip(points).enumerate() {
            let above = minus(&self.toward(&piece, line), &point)[2].range();
            if !(above.lo > 0.0) {
                return None;
            }
            // Upward the shares of all legs times their rise add up to the height, but for what is left over.
            let most = Interval::point(self.height) * (1.0 + self.left_over.force) / above;
            piece.ranges[self.shares() + leg] = Interval { lo: 0.0, hi: most.hi };
            piece.legs[leg] = Leg::Open;
        }
        Some(piece)
    }

    fn forms(&self, piece: &mut Piece<SYMBOLS>) -> Option<Forms<SYMBOLS>> {
        let (points, center) = self.load(piece)?;
        let per_height = Affine::within(Interval::ONE / Interval::point(self.height));
        let mut forms = Forms::new(piece.side(WEIGHT), per_height, self.shares() + self.legs());
        let pull = forms.weight * per_height;
        // The weight, and its moment about the mean of the hooks.
        let [x, y] = [0, 1].map(|axis| piece.side(axis) + center[axis]);
        let mut force = [Affine::ZERO, Affine::ZERO, Affine::point(-self.height)];
        let mut moment = [-y * self.height, x * self.height, Affine::ZERO];
        for (leg, (line, point)) in self.lines.iter().zip(&points).enumerate() {
            let arm = minus(&self.toward(piece, line), point);
            let distance = square(&arm);
            let (length, per_length) = (distance.root()?, distance.inverse_root()?);
            let symbol = self.shares() + leg;
            piece.decide(leg, symbol, length.range(), line.sling.length);
            let share = piece.side(symbol);
            (forms.arms[leg], forms.lengths[leg], forms.shares[leg]) = (arm, length, share);
            forms.stretch(leg, piece.legs[leg], piece.ranges[symbol].hi, &line.sling, per_length, pull * share);
            if piece.legs[leg] == Leg::Slack {
                continue;
            }
            let [fx, fy, fz] = arm.map(|component| component * share);
            let [hx, hy, hz] = line.from;
            let higher = self.higher(piece, line).unwrap_or(Affine::ZERO);
            force = [force[0] + fx, force[1] + fy, force[2] + fz];
            moment = [
                moment[0] + fz * hy - (fy * hz + fy * higher),
                moment[1] + (fx * hz + fx * higher) - fz * hx,
                moment[2] + fy * hx - fx * hy,
            ];
        }
        let reach = piece.ranges[..TURN].iter().map(|range| range.magnitude()).sum();
        let [little, turning] = self.left_over.at(reach).map(|part| part * self.height);
        let balance = force.map(|form| form.widened(little)).into_iter();
        let balance = balance.chain(moment.map(|form| form.widened(turning)));
        forms.conditions.extend(balance.map(|form| Condition { form, kind: Kind::Zero }));
        forms.conditions.extend(self.differences(piece));
        Some(forms)
    }

    /// Of several legs the resultant r, of which |r| ≤ k·r² + 1/(4·k) for any k.
    fn target(&self, forms: &Forms<SYMBOLS>, target: Target) -> Affine<SYMBOLS> {
        if target.legs().count() <= 1 {
            return forms.tensions(target);
        }
        let mut resultant = [Affine::ZERO; 3];
        for leg in target.legs() {
            let pull = forms.arms[leg].map(|component| component * forms.shares[leg]);
            resultant = [resultant[0] + pull[0], resultant[1] + pull[1], resultant[2] + pull[2]];
        }
        let square = square(&resultant);
        let k = 0.5 / square.middle.max(f64::MIN_POSITIVE).sqrt();
        let most = square * k + Affine::within(Interval::ONE / (Interval::point(4.0) * k));
        most * (forms.weight * forms.per_height)
    }

    fn is_stable(&self, piece: &Piece<SYMBOLS>, forms: &Forms<SYMBOLS>) -> bool {
        self.stable(piece, forms).unwrap_or(false)
    }

    fn near(&self, piece: &Piece<SYMBOLS>, symbols: &[f64; SYMBOLS]) -> Vec<f64> {
        self.numbers_near(piece, symbols)
    }
}
