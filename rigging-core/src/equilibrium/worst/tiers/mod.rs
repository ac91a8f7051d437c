//! Rigid bodies and joints in tiers under hooks: the conditions of balance over a piece.
//!
//! The world is seen from the mean of the hooks as drawn, raised by what the first one is: only differences of heights count.
//! A part, a joint or a body, is told by its place x, a body by that of its nominal center of gravity, counted from the mean of
//! the parts or hooks next to it toward the hooks; and a body by the turn g since its nominal attitude. Shares q are tensions
//! over distances, over a density that is chosen once.
//!
//! The balance of a part is asked of it with all that would fall with it: members between these do not enter. With arms a from
//! the points of such a group to where its members end, at Q, it is Σ q·a = Σ W·up of forces and Σ (Q − M)×(q·a) =
//! Σ W·(x + R·c − M)×up of moments about the mean M of all Q: a member pulls along its arm, so that its moment may be taken at
//! its other end.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of symbols, parts, members or hooks")]

mod layout;
mod left_over;
mod near;
mod posture;
mod stable;
#[cfg(test)]
mod tests;

pub(super) use layout::{Layout, Stance};

use super::affine::{Affine, Affine3};
use super::balances::Balances;
use super::forms::{Condition, Forms, Kind, MOST_ROWS, Sling};
use super::interval::Interval;
use super::law;
use super::piece::{Leg, Piece};
use super::problem::MOST_MEMBERS;
use super::region::MARGIN;
use super::target::Target;
use super::turn::{Matrix, attitude, turned};
use crate::system::{End, System};
use glam::DVec3;
use layout::Tied;
use left_over::LeftOver;
use posture::Posture;

/// The most hooks: those for which there are rows enough for the differences of their heights.
const MOST_HOOKS: usize = 4;

/// An end of a member: what it is fixed to, and where. From the mean of the hooks for a hook; from the nominal center of gravity
/// in the nominal attitude for a body; zero for a joint.
struct Tip {
    tied: Tied,
    at: [Interval; 3],
}

/// A member.
struct Line {
    tips: [Tip; 2],
    sling: Sling,
    /// Nominal unstretched length.
    nominal: f64,
}

/// Parts that keep balance together, and the members that lead out of them: each with the end that is theirs.
struct Cut {
    /// Whether moments are asked for.
    turns: bool,
    /// The bodies.
    bodies: Vec<usize>,
    members: Vec<(usize, usize)>,
    /// Whether all these members end at one place.
    plumb: bool,
}

/// Bodies, joints and members under hooks, with ranges of the numbers of the box.
pub(super) struct Tiers {
    layout: Layout,
    sides: Vec<Interval>,
    lines: Vec<Line>,
    cuts: Vec<Cut>,
    attitude: Matrix<Interval>,
    center: [Interval; 3],
    /// Weight of each part but the load, over the density.
    weights: Vec<Interval>,
    /// Nominal weight of the load, and its range.
    nominal: f64,
    weight: Interval,
    /// How far off the height of each hook may be.
    heights: Vec<f64>,
    /// What shares are over: a force over a length.
    density: f64,
    left_over: LeftOver,
    margins: Vec<f64>,
}

fn minus3(a: DVec3, b: DVec3) -> [Interval; 3] {
    let (a, b) = (a.to_array(), b.to_array());
    [0, 1, 2].map(|axis| Interval::point(a[axis]) - Interval::point(b[axis]))
}

fn minus<const N: usize>(a: &Affine3<N>, b: &Affine3<N>) -> Affine3<N> {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn square<const N: usize>([x, y, z]: &Affine3<N>) -> Affine<N> {
    x.square() + y.square() + z.square()
}

fn cross<const N: usize>(a: &Affine3<N>, b: &Affine3<N>) -> Affine3<N> {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn scaled<const N: usize>(v: &Affine3<N>, by: &Affine<N>) -> Affine3<N> {
    v.map(|component| component * *by)
}

fn add<const N: usize>(sum: &mut Affine3<N>, v: &Affine3<N>) {
    for (sum, v) in sum.iter_mut().zip(v) {
        *sum = *sum + *v;
    }
}

/// How many symbols and conditions there are of a system.
fn extent(system: &System) -> [usize; 2] {
    let (hooks, joints, bodies) = (system.hooks().len(), system.joints().len(), system.bodies().len());
    let members = system.members().len();
    let place = 3 * joints + 6 * bodies;
    [place + 4 + hooks - 1 + members, place + 3 * members + hooks.saturating_sub(1) * hooks.saturating_sub(2)]
}

/// Whether there are no more parts, members and hooks than are looked at with N symbols.
pub(super) fn are_few(system: &System, symbols: usize) -> bool {
    let [columns, rows] = extent(system);
    system.members().len() <= MOST_MEMBERS
        && system.hooks().len() <= MOST_HOOKS
        && columns <= symbols
        && rows <= MOST_ROWS
}

impl Tiers {
    /// The box, around a nominal state as it was found: stances of all parts, joints first. None where the forces left over in
    /// that are too large, or nothing of a length is left.
    pub(super) fn new(system: &System, layout: Layout, sides: &[f64], stances: &[Stance]) -> Option<Self> {
        let sides: Vec<Interval> = sides.iter().map(|side| Interval { lo: -side, hi: *side }).collect();
        let side = |index: usize| sides.get(index).copied().unwrap_or(Interval::ENTIRE);
        let count = system.members().len();
        let load = system.bodies().first()?;
        let tip = |end: End| {
            let tied = layout.tied(end);
            let at = match end {
                End::Hook(hook) => minus3(system.hooks()[hook].position, layout.middle),
                End::Joint(_) => [Interval::ZERO; 3],
                End::Body { body, point } => {
                    let own = &system.bodies()[body];
                    let from = minus3(own.points[point], own.center_of_gravity);
                    turned(&attitude(stances[system.joints().len() + body].1), from)
                }
            };
            Tip { tied, at }
        };
        let lines = system.members().iter().enumerate().map(|(index, member)| {
            let sling = Sling::new(&member.law, member.length, side(index), side(count + index))?;
            Some(Line { tips: [tip(member.a), tip(member.b)], sling, nominal: member.length })
        });
        let lines: Vec<Line> = lines.collect::<Option<_>>()?;
        let cuts = cuts(system, &layout);
        let longest = lines.iter().fold(0.0, |most: f64, line| most.max(line.sling.length.hi));
        let pull = |mass: f64| Interval::point(mass) * system.gravity();
        let all: f64 = system.bodies().iter().map(|body| body.mass * system.gravity()).sum();
        let density = all / longest;
        let weights = layout.parts.iter().map(|part| match part.body {
            Some(body) => pull(system.bodies()[body].mass) / Interval::point(density),
            None => Interval::ZERO,
        });
        let weights: Vec<Interval> = weights.collect();
        let mut margins = vec![MARGIN; layout.places];
        for part in &layout.parts {
            margins[part.place..part.place + 3].fill(MARGIN * longest);
        }
        let weight = (Interval::ONE + side(2 * count + 3)) * pull(load.mass);
        let left_over = LeftOver::of(&layout, &lines, &weights, stances, density, longest)?;
        Some(Self {
            lines,
            cuts,
            attitude: attitude(stances[layout.load()].1),
            center: [0, 1, 2].map(|axis| side(2 * count + axis)),
            weights,
            nominal: load.mass * system.gravity(),
            weight,
            heights: (0..system.hooks().len()).map(|hook| side(2 * count + 4 + hook).hi).collect(),
            density,
            left_over,
            margins,
            sides,
            layout,
        })
    }

    /// First symbols of what stands behind the place: the center of gravity, the weight, the heights, the shares.
    const fn center(&self) -> usize {
        self.layout.places
    }

    const fn weight(&self) -> usize {
        self.layout.places + 3
    }

    const fn higher(&self) -> usize {
        self.layout.places + 4
    }

    fn shares(&self) -> usize {
        self.higher() + self.heights.len().saturating_sub(1)
    }

    /// No two hooks differ by more than both may be off. For the first that is said by ranges.
    fn differences<const N: usize>(&self, piece: &Piece<N>) -> Vec<Condition<N>> {
        let any = self.heights.iter().any(|height| *height > 0.0);
        let others = || self.heights.iter().skip(1).enumerate().filter(move |_| any);
        let pairs =
            others().flat_map(|one| others().filter(move |other| other.0 != one.0).map(move |other| (one, other)));
        let conditions = pairs.map(|((one, up), (other, down))| {
            let most = (Interval::point(*up) + Interval::point(*down)).hi;
            let form = piece.side(self.higher() + one) - piece.side(self.higher() + other) - Affine::point(most);
            Condition { form, kind: Kind::NotAbove }
        });
        conditions.collect()
    }

    /// Weight of a part, over the density.
    fn weight_of<const N: usize>(&self, piece: &Piece<N>, part: usize) -> Affine<N> {
        if part == self.layout.load() {
            piece.side(self.weight()) * (Interval::ONE / Interval::point(self.density))
        } else {
            Affine::within(self.weights[part])
        }
    }

    /// The conditions of balance of the parts of a cut.
    fn balance<const N: usize>(
        &self,
        piece: &Piece<N>,
        posture: &Posture<N>,
        cut: &Cut,
        pulls: &[Affine3<N>],
    ) -> Vec<Condition<N>> {
        let mut force = [Affine::ZERO; 3];
        let [little, turning] = [self.left_over.force, self.left_over.moment(posture)];
        for (member, end) in &cut.members {
            let pull = &pulls[*member];
            // Arms lead from the second end to the first.
            let sign = if *end == 1 { 1.0 } else { -1.0 };
            add(&mut force, &pull.map(|component| component * sign));
        }
        for body in &cut.bodies {
            force[2] = force[2] - self.weight_of(piece, *body);
        }
        let mut conditions: Vec<Affine<N>> = force.map(|form| form.widened(little)).to_vec();
        if cut.turns {
            let tips: Vec<&Affine3<N>> =
                cut.members.iter().map(|(member, end)| &posture.tips[*member][1 - end]).collect();
            let mut mean = [Affine::ZERO; 3];
            if cut.plumb {
                tips.first().into_iter().for_each(|tip| mean = **tip);
            } else {
                tips.iter().for_each(|tip| add(&mut mean, tip));
                let share = Interval::ONE / Interval::point(tips.len().max(1) as f64);
                mean = mean.map(|component| component * share);
            }
            let mut moment = [Affine::ZERO; 3];
            if !cut.plumb {
                for ((member, end), tip) in cut.members.iter().zip(&tips) {
                    let sign = if *end == 1 { 1.0 } else { -1.0 };
                    let turning = cross(&minus(tip, &mean), &pulls[*member]);
                    add(&mut moment, &turning.map(|component| component * sign));
                }
            }
            for body in &cut.bodies {
                let weight = self.weight_of(piece, *body);
                let arm = minus(&posture.centers[*body], &mean);
                add(&mut moment, &[-(arm[1] * weight), arm[0] * weight, Affine::ZERO]);
            }
            conditions.extend(moment.map(|form| form.widened(turning)));
        }
        conditions.into_iter().map(|form| Condition { form, kind: Kind::Zero }).collect()
    }

    /// The most that the share of a member can be in a box of places.
    fn most<const N: usize>(&self, line: &Line, arm: &Affine3<N>) -> Option<f64> {
        let length = posture::norm(arm)?.range();
        // Tension over distance rises with the distance, and falls with the unstretched length.
        let strain = length / line.sling.length - Interval::ONE;
        let density = law::tension(&line.sling.law, strain) * line.sling.factor / length;
        Some((density / Interval::point(self.density)).hi.max(0.0))
    }
}

/// What each part asks for with all that it carries.
fn cuts(system: &System, layout: &Layout) -> Vec<Cut> {
    let found = layout.order.iter().map(|part| {
        let carries = &layout.parts[*part].carries;
        let inside = |end: End| matches!(layout.tied(end), Tied::Part(part) if carries.contains(&part));
        let mut members = Vec::new();
        let mut ends = Vec::new();
        for (index, member) in system.members().iter().enumerate() {
            for (end, own, other) in [(0, member.a, member.b), (1, member.b, member.a)] {
                if inside(own) && !inside(other) {
                    members.push((index, end));
                    ends.push(other);
                }
            }
        }
        let bodies = carries.iter().copied().filter(|part| layout.parts[*part].body.is_some()).collect();
        let plumb = ends.iter().all(|end| Some(end) == ends.first());
        Cut { turns: layout.parts[*part].body.is_some(), bodies, members, plumb }
    });
    found.collect()
}

impl<const N: usize> Balances<N> for Tiers {
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
        self.higher()
    }

    fn all(&self, place: &[Interval]) -> Option<Piece<N>> {
        let mut piece = Piece { ranges: [Interval::ZERO; N], legs: [Leg::Slack; MOST_MEMBERS] };
        piece.ranges[..self.layout.places].copy_from_slice(place);
        piece.ranges[self.center()..self.weight()].copy_from_slice(&self.center);
        piece.ranges[self.weight()] = self.weight;
        let first = self.heights.first().copied().unwrap_or(0.0);
        for (range, height) in piece.ranges[self.higher()..].iter_mut().zip(self.heights.iter().skip(1)) {
            let side = |height: f64| Interval { lo: -height, hi: height };
            if first.max(*height) > 0.0 {
                *range = side(*height) - side(first);
            }
        }
        let posture = self.posture(&piece)?;
        for (leg, line) in self.lines.iter().enumerate() {
            let most = self.most(line, &posture.arm(leg))?;
            piece.ranges[self.shares() + leg] = Interval { lo: 0.0, hi: most };
            piece.legs[leg] = Leg::Open;
        }
        for cut in &self.cuts {
            // Where all lead upward, the shares of all times their rise add up to the weight, but for what is left over.
            let rises = cut.members.iter().map(|(member, end)| {
                let [_, _, z] = posture.arm(*member);
                (self.shares() + member, if *end == 1 { z.range() } else { -z.range() })
            });
            let rises: Vec<(usize, Interval)> = rises.collect();
            let weights = cut.bodies.iter().map(|body| self.weight_of(&piece, *body).range());
            let weight = weights.fold(Interval::point(self.left_over.force), |sum, weight| sum + weight);
            if rises.iter().all(|(_, rise)| rise.lo > 0.0) {
                for (symbol, rise) in rises {
                    let range = &mut piece.ranges[symbol];
                    range.hi = range.hi.min((weight / rise).hi);
                }
            }
        }
        Some(piece)
    }

    fn forms(&self, piece: &mut Piece<N>) -> Option<Forms<N>> {
        let posture = self.posture(piece)?;
        let mut forms = Forms::new(
            Affine::point(self.density),
            Affine::point(1.0),
            self.shares() + self.lines.len(),
            self.lines.len(),
        );
        let mut pulls = Vec::with_capacity(self.lines.len());
        for (leg, line) in self.lines.iter().enumerate() {
            let arm = posture.arm(leg);
            let length = posture::norm(&arm)?;
            let per_length = length.inverse()?;
            let symbol = self.shares() + leg;
            piece.decide(leg, symbol, length.range(), line.sling.length);
            let share = piece.side(symbol);
            forms.leg(arm, length, share);
            forms.stretch(leg, piece.legs[leg], piece.ranges[symbol].hi, &line.sling, per_length, share * self.density);
            pulls.push(scaled(&arm, &share));
        }
        for cut in &self.cuts {
            forms.conditions.extend(self.balance(piece, &posture, cut, &pulls));
        }
        forms.conditions.extend(self.differences(piece));
        Some(forms)
    }

    /// Of members that alone hold what hangs from one place the weight of that; of others the resultant r, of which
    /// |r| ≤ k·r² + 1/(4·k) for any k.
    fn target(&self, piece: &Piece<N>, forms: &Forms<N>, target: Target) -> Affine<N> {
        for group in &self.layout.hanging {
            if target.legs().eq(group.members.iter().copied()) {
                let weights = group.parts.iter().map(|part| self.weight_of(piece, *part));
                return weights.fold(Affine::ZERO, |sum, weight| sum + weight) * self.density;
            }
        }
        if target.legs().count() <= 1 {
            return forms.tensions(target);
        }
        let mut resultant = [Affine::ZERO; 3];
        for (leg, sign) in target.signed() {
            add(&mut resultant, &scaled(&forms.arms[leg], &(forms.shares[leg] * sign)));
        }
        let square = square(&resultant);
        let k = 0.5 / square.middle.max(f64::MIN_POSITIVE).sqrt();
        let most = square * k + Affine::within(Interval::ONE / (Interval::point(4.0) * k));
        most * self.density
    }

    fn is_stable(&self, piece: &Piece<N>, forms: &Forms<N>) -> bool {
        self.stable(piece, forms).unwrap_or(false)
    }

    fn near(&self, piece: &Piece<N>, symbols: &[f64; N]) -> Vec<f64> {
        self.numbers_near(piece, symbols)
    }
}
