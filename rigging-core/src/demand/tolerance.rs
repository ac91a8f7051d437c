//! The box of tolerances and its vertices.

use crate::arrangement::Lift;
use crate::error::{Error, Place};
use crate::statics::Stated;
use crate::text::Text;
use std::fmt;

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
        self.put(&mut |part| f.write_str(std::str::from_utf8(part).unwrap_or_default()))
    }
}

/// Takes whole texts one after the other.
type Put<'a> = dyn FnMut(&[u8]) -> fmt::Result + 'a;

impl Vertex {
    /// As printed: every force names the vertex it was attained at.
    pub(crate) fn text(&self) -> Text {
        Text::put_together(|put| self.put(put)).unwrap_or_else(|| self.to_string().into())
    }

    fn put(&self, put: &mut Put<'_>) -> fmt::Result {
        put(b"lengths ")?;
        list(put, &self.lengths)?;
        put(b" mm, center of gravity ")?;
        list(put, &self.center)?;
        put(b" mm")
    }
}

fn list(put: &mut Put<'_>, values: &[f64]) -> fmt::Result {
    for (index, value) in values.iter().enumerate() {
        if index > 0 {
            put(b" ")?;
        }
        signed(put, *value)?;
    }
    Ok(())
}

/// Millimeters with their sign, to the tenth where there is one.
fn signed(put: &mut Put<'_>, meters: f64) -> fmt::Result {
    let tenths = (meters * 1e4).round();
    if tenths == 0.0 {
        return put(b"0");
    }
    let sign = if tenths < 0.0 { "\u{2212}" } else { "+" };
    let tenths = tenths.abs();
    if tenths < EXACT {
        return in_tenths(put, sign, tenths as u64);
    }
    put(sign.as_bytes())?;
    let all = if tenths % 10.0 == 0.0 { format!("{}", tenths / 10.0) } else { format!("{:.1}", tenths / 10.0) };
    put(all.as_bytes())
}

/// A number of tenths below [`EXACT`] after its sign, digit by digit from the last one on: a double or even a whole number takes
/// several times as long to print.
fn in_tenths(put: &mut Put<'_>, sign: &str, tenths: u64) -> fmt::Result {
    let mut text = [0; 24];
    let mut start = text.len();
    let mut before = |byte| {
        start -= 1;
        if let Some(place) = text.get_mut(start) {
            *place = byte;
        }
    };
    let digit = |number: u64| b'0' + (number % 10) as u8;
    if !tenths.is_multiple_of(10) {
        before(digit(tenths));
        before(b'.');
    }
    let mut left = tenths / 10;
    before(digit(left));
    while left >= 10 {
        left /= 10;
        before(digit(left));
    }
    sign.bytes().rev().for_each(before);
    put(text.get(start..).unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn offsets_are_printed_in_tenths_of_a_millimeter() {
        let printed = |meters: f64| Vertex { lengths: vec![meters], center: [0.0, 0.5 * meters, -meters] };
        for (meters, millimeters, half) in [
            (0.0, "0", "0"),
            (0.02, "+20", "+10"),
            (0.0001, "+0.1", "+0.1"),
            (0.000_04, "0", "0"),
            (0.0105, "+10.5", "+5.3"),
            (1.25, "+1250", "+625"),
            (-0.003, "\u{2212}3", "\u{2212}1.5"),
            (123_456.7, "+123456700", "+61728350"),
            (1e12, "+1000000000000000", "+500000000000000"),
        ] {
            let turned = match millimeters.strip_prefix('+') {
                Some(digits) => format!("\u{2212}{digits}"),
                None => millimeters.replace('\u{2212}', "+"),
            };
            let expected = format!("lengths {millimeters} mm, center of gravity 0 {half} {turned} mm");
            assert_eq!(printed(meters).to_string(), expected);
            assert_eq!(printed(meters).text(), expected);
        }
        let many = Vertex { lengths: vec![-0.0123; 60], center: [0.0; 3] };
        assert_eq!(many.text(), many.to_string());
    }

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
