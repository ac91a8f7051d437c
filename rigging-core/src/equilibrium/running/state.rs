//! A system with running slings in one state: what each span pulls, and which way.

use crate::equilibrium::angle::angle_between;
use crate::equilibrium::certificate::Certificate;
use crate::error::Error;
use crate::system::{End, Running, Span, System};
use glam::DVec3;

/// A state: the system and its slings with the lengths that were passed on, and the certificate.
#[derive(Debug, Clone, PartialEq)]
pub struct Hung {
    /// The system, with the lengths of this state.
    pub system: System,
    /// The slings, with the fixed spans' lengths of this state.
    pub slings: Vec<Running>,
    /// The certificate of the system.
    pub certificate: Certificate,
}

impl Hung {
    fn span(&self, sling: usize, span: usize) -> Option<&Span> {
        self.slings.get(sling)?.spans.get(span)
    }

    /// Tension of a span, N; zero where it is slack, or not there.
    pub fn tension(&self, sling: usize, span: usize) -> f64 {
        match self.span(sling, span) {
            Some(Span::Member(member)) => self.certificate.members.get(*member).map_or(0.0, |found| found.tension),
            Some(Span::Fixed { .. }) => self.fixed(sling, span).map_or(0.0, |(tension, _)| tension),
            None => 0.0,
        }
    }

    /// Tension of a fixed span, N, and what it gains for each meter that the span gains.
    pub(super) fn fixed(&self, sling: usize, span: usize) -> Option<(f64, f64)> {
        let Some(Span::Fixed { a, b, length }) = self.span(sling, span) else { return None };
        let distance = self.system.fixed_distance(*a, *b)?;
        let (tension, slope) =
            self.slings.get(sling)?.law(&self.system)?.tension_and_slope((distance - length) / length);
        Some((tension, -slope * distance / (length * length)))
    }

    /// Unstretched length of a span and the distance between its ends, m.
    pub(super) fn lengths(&self, sling: usize, span: usize) -> Option<(f64, f64)> {
        match self.span(sling, span)? {
            Span::Member(member) => {
                let length = self.system.members().get(*member)?.length;
                Some((length, self.certificate.members.get(*member)?.length))
            }
            Span::Fixed { a, b, length } => Some((*length, self.system.fixed_distance(*a, *b)?)),
        }
    }

    /// Where an end is in the world, m.
    fn position(&self, end: End) -> Option<DVec3> {
        match end {
            End::Hook(hook) => Some(self.system.hooks().get(hook)?.position),
            End::Joint(joint) => self.certificate.joints.get(joint).copied(),
            End::Body { body, point } => {
                let pose = self.certificate.bodies.get(body)?;
                Some(pose.position + pose.rotation * *self.system.bodies().get(body)?.points.get(point)?)
            }
        }
    }

    /// Direction of a span in the world, away from one of its ends; zero where it is not there.
    pub fn direction(&self, sling: usize, span: usize, from: End) -> DVec3 {
        let found = || match self.span(sling, span)? {
            Span::Member(member) => {
                let direction = self.certificate.members.get(*member)?.direction;
                // A member's direction points from its end b to its end a.
                Some(if self.system.members().get(*member)?.a == from { -direction } else { direction })
            }
            Span::Fixed { a, b, .. } => {
                let other = if *a == from { *b } else { *a };
                Some((self.position(other)? - self.position(from)?).normalize_or_zero())
            }
        };
        found().unwrap_or_default()
    }

    /// The angle by which a sling is turned at what it runs over, rad; `station` counts from 0, between the spans
    /// `station` and `station` + 1.
    pub fn turn(&self, sling: usize, station: usize) -> f64 {
        let Some(at) = self.over(sling, station) else { return 0.0 };
        angle_between(-self.direction(sling, station, at), self.direction(sling, station + 1, at))
    }

    /// What a sling pulls on what it runs over, N, in the world.
    pub fn resultant(&self, sling: usize, station: usize) -> DVec3 {
        let Some(at) = self.over(sling, station) else { return DVec3::ZERO };
        let pull = |span| self.tension(sling, span) * self.direction(sling, span, at);
        pull(station) + pull(station + 1)
    }

    fn over(&self, sling: usize, station: usize) -> Option<End> {
        Some(self.slings.get(sling)?.over.get(station)?.at)
    }

    /// Makes a span longer by `offset`, m; the certificate is then that of another state.
    pub(super) fn lengthen(&mut self, sling: usize, span: usize, offset: f64) -> Result<(), Error> {
        match self.slings.get_mut(sling).and_then(|sling| sling.spans.get_mut(span)) {
            Some(Span::Member(member)) => self.system = self.system.clone().longer(*member, offset)?,
            Some(Span::Fixed { length, .. }) => *length += offset,
            None => {}
        }
        Ok(())
    }
}
