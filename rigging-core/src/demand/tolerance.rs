//! The box of tolerances and its vertices.

use crate::arrangement::Lift;
use crate::error::{Error, Place};
use crate::statics::Stated;
use std::fmt::{self, Display};

/// Most legs for which the vertices of the box are visited one by one.
pub const MOST_LEGS_AT_VERTICES: usize = 8;
/// Tenths of a millimeter below which a double and a whole number print alike, with room to spare.
const EXACT: f64 = 1e12;

/// How far each leg's length and each coordinate of the center of gravity may be off, in meters.
#[derive(Debug, Clone, PartialEq)]
pub struct ToleranceBox {
    /// One a leg.
    pub lengths: Vec<f64>,
    /// x, y, z in the load's frame.
    pub center: [f64; 3],
}

/// One vertex of the box: what is added to each length and to each coordinate of the center of gravity, in meters.
#[derive(Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Vertex {
    /// One a leg.
    pub lengths: Vec<f64>,
    /// x, y, z in the load's frame.
    pub center: [f64; 3],
}

impl Clone for Vertex {
    fn clone(&self) -> Self {
        Self { lengths: self.lengths.clone(), center: self.center }
    }

    /// Extremes move from vertex to vertex: the memory of the one before is kept.
    fn clone_from(&mut self, other: &Self) {
        self.lengths.clone_from(&other.lengths);
        self.center = other.center;
    }
}

impl ToleranceBox {
    /// The box that the lift's document states.
    ///
    /// # Errors
    /// [`Error::Missing`]: an absent tolerance is unknown, not zero.
    pub fn of(lift: &Lift) -> Result<Self, Error> {
        let Stated { lengths, center_of_gravity } = Stated::of(lift)?;
        Ok(Self { lengths, center: center_of_gravity })
    }

    /// The same box with every length tolerance replaced by `tolerance`, in meters.
    #[must_use]
    pub fn with_length_tolerance(&self, tolerance: f64) -> Self {
        Self { lengths: vec![tolerance; self.lengths.len()], center: self.center }
    }

    /// Number of vertices; a side of zero has one end, not two.
    pub fn vertex_count(&self) -> usize {
        1 << self.sides().filter(|side| *side > 0.0).count()
    }

    /// The vertices, in a fixed order: the first side changes fastest, its lower end first.
    ///
    /// # Errors
    /// [`Error::Unsupported`] beyond [`MOST_LEGS_AT_VERTICES`] legs, unless no length has a tolerance.
    pub fn vertices(&self) -> Result<impl Iterator<Item = Vertex> + '_, Error> {
        let mut vertex = self.first_vertex()?;
        Ok((0..self.vertex_count()).map(move |_| {
            let present = vertex.clone();
            self.advance(&mut vertex);
            present
        }))
    }

    /// The first of [`ToleranceBox::vertices`].
    ///
    /// # Errors
    /// As [`ToleranceBox::vertices`].
    pub(super) fn first_vertex(&self) -> Result<Vertex, Error> {
        if self.lengths.len() > MOST_LEGS_AT_VERTICES && self.lengths.iter().any(|side| *side > 0.0) {
            let what = format!("the worst case over length tolerances of more than {MOST_LEGS_AT_VERTICES} legs");
            return Err(Error::unsupported(what, Place::root().child("legs")));
        }
        let lower = |side: f64| if side > 0.0 { -side } else { 0.0 };
        Ok(Vertex { lengths: self.lengths.iter().copied().map(lower).collect(), center: self.center.map(lower) })
    }

    /// Makes a vertex the one after it; the last one becomes the first.
    pub(super) fn advance(&self, vertex: &mut Vertex) {
        if !turned_over(&mut vertex.lengths, &self.lengths) {
            turned_over(&mut vertex.center, &self.center);
        }
    }

    /// The middle of the box: the lift as drawn.
    pub(super) fn middle(&self) -> Vertex {
        Vertex { lengths: vec![0.0; self.lengths.len()], center: [0.0; 3] }
    }

    fn sides(&self) -> impl Iterator<Item = f64> + '_ {
        self.lengths.iter().chain(&self.center).copied()
    }
}

/// Makes the ends of some sides those that come next, and says whether that was all there is to do: one changed from its
/// lower end to its upper.
#[inline]
fn turned_over(offsets: &mut [f64], sides: &[f64]) -> bool {
    for (offset, side) in offsets.iter_mut().zip(sides) {
        if *side > 0.0 {
            *offset = -*offset;
            if *offset > 0.0 {
                return true;
            }
        }
    }
    false
}

impl fmt::Display for Vertex {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("lengths ")?;
        list(f, &self.lengths)?;
        f.write_str(" mm, center of gravity ")?;
        list(f, &self.center)?;
        f.write_str(" mm")
    }
}

fn list(f: &mut fmt::Formatter<'_>, values: &[f64]) -> fmt::Result {
    for (index, value) in values.iter().enumerate() {
        if index > 0 {
            f.write_str(" ")?;
        }
        signed(f, *value)?;
    }
    Ok(())
}

/// Millimeters with their sign, to the tenth where there is one.
fn signed(f: &mut fmt::Formatter<'_>, meters: f64) -> fmt::Result {
    let tenths = (meters * 1e4).round();
    if tenths == 0.0 {
        return f.write_str("0");
    }
    f.write_str(if tenths < 0.0 { "\u{2212}" } else { "+" })?;
    let tenths = tenths.abs();
    if tenths < EXACT {
        // A whole number prints in a tenth of the time that a double takes.
        let tenths = tenths as u64;
        (tenths / 10).fmt(f)?;
        return if tenths.is_multiple_of(10) { Ok(()) } else { write!(f, ".{}", tenths % 10) };
    }
    if tenths % 10.0 == 0.0 { write!(f, "{}", tenths / 10.0) } else { write!(f, "{:.1}", tenths / 10.0) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn vertices_come_once_each_in_their_order_and_the_first_follows_the_last() {
        let tolerances = ToleranceBox { lengths: vec![0.01, 0.0, 0.03], center: [0.0, 0.05, 0.0] };
        let found: Vec<Vertex> = tolerances.vertices().unwrap().collect();
        let signs = |number: usize, side: u32| if number >> side & 1 == 0 { -1.0 } else { 1.0 };
        let expected = (0..8).map(|number| Vertex {
            lengths: vec![0.01 * signs(number, 0), 0.0, 0.03 * signs(number, 1)],
            center: [0.0, 0.05 * signs(number, 2), 0.0],
        });
        assert_eq!(found, expected.collect::<Vec<_>>());
        let mut next = found.last().unwrap().clone();
        tolerances.advance(&mut next);
        assert_eq!(Some(&next), found.first());
    }
}
