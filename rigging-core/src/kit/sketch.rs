//! A lift on several hooks, or with a frame between hook and load, in plain numbers and as a document.

use crate::quantity::STANDARD_GRAVITY;
use serde::Serialize;
use serde_json::{Value, json};

/// Where a leg of a [`Sketch`] ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Stop {
    /// A hook, by its number.
    Hook(usize),
    /// A corner of the frame, by its number.
    Frame(usize),
    /// A lift point, by its number.
    Point(usize),
}

/// A leg of a [`Sketch`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SketchLeg {
    /// Its ends.
    pub ends: [Stop; 2],
    /// Unstretched length, m.
    pub length: f64,
    /// How far the length may be off to either side, m.
    pub tolerance: f64,
    /// Axial stiffness EA, N.
    pub stiffness: f64,
}

/// A frame between hook and load.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SketchFrame {
    /// Mass, kg.
    pub mass: f64,
    /// Center of gravity, m.
    pub center_of_gravity: [f64; 3],
    /// Corners, m.
    pub corners: Vec<[f64; 3]>,
}

/// One load on one hook or several, with or without a frame between: what an [`Outline`](super::Outline) is too plain
/// for. Everything in kg, m and N, as drawn, z up.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::kit::{Sketch, SketchLeg, Stop};
/// let leg = |end| SketchLeg { ends: [Stop::Hook(end), Stop::Point(end)], length: 5.0, tolerance: 0.0, stiffness: 1e7 };
/// let sketch = Sketch {
///     mass: 2.0e4,
///     center_of_gravity: [4.0, 0.0, -0.5],
///     points: vec![[0.0, 0.0, 0.0], [10.0, 0.0, 0.0]],
///     hooks: vec![[0.0, 0.0, 5.0], [10.0, 0.0, 5.0]],
///     frame: None,
///     legs: vec![leg(0), leg(1)],
/// };
/// let tensions: Vec<f64> = Lift::from_json(&sketch.document())?.solve()?.members.iter().map(|leg| leg.tension).collect();
/// // Levers: six tenths hang from the hook that is nearer.
/// assert!((tensions[0] / 2.0e4 / 9.80665 - 0.6).abs() < 1e-3);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sketch {
    /// Mass of the load, kg.
    pub mass: f64,
    /// Center of gravity of the load, m.
    pub center_of_gravity: [f64; 3],
    /// Lift points of the load, m.
    pub points: Vec<[f64; 3]>,
    /// Hooks, m.
    pub hooks: Vec<[f64; 3]>,
    /// A frame between them.
    pub frame: Option<SketchFrame>,
    /// Legs.
    pub legs: Vec<SketchLeg>,
}

impl Sketch {
    /// The lift as the text of a document, every number as it is. Gear is described no further than forces need it.
    pub fn document(&self) -> String {
        let source = "invented";
        let numbered = |kind: &str, list: &[[f64; 3]]| -> Vec<Value> {
            let entry = |(index, at): (usize, &[f64; 3])| json!({"name": format!("{kind} {}", index + 1), "position": meters(at)});
            list.iter().enumerate().map(entry).collect()
        };
        let sling = |(index, leg): (usize, &SketchLeg)| {
            let (length, tolerance) = (format!("{} m", leg.length), format!("{} m", leg.tolerance));
            let law = json!({"ea": format!("{} N", leg.stiffness)});
            json!({
                "name": format!("sling {}", index + 1), "construction": "roundsling", "material": "polyester",
                "length": {"value": length, "measured": "whole_leg", "tolerance": tolerance},
                "stiffness": {"law": law, "basis": "as_hung", "source": source},
            })
        };
        let leg = |(index, leg): (usize, &SketchLeg)| {
            let path: Vec<Value> = leg.ends.iter().map(|end| json!({"end": end.name()})).collect();
            let (name, items) = (format!("leg {}", index + 1), [format!("sling {}", index + 1)]);
            json!({"name": name, "hitch": "straight", "path": path, "items": items})
        };
        let frame = |frame: &SketchFrame| {
            let points = numbered("corner", &frame.corners);
            let (mass, center) = (format!("{} kg", frame.mass), meters(&frame.center_of_gravity));
            json!({"name": "frame", "mass": mass, "center_of_gravity": center, "points": points})
        };
        let mass = json!({"value": format!("{} kg", self.mass), "basis": "not_to_exceed", "source": source});
        let tolerance = meters(&[0.0; 3]);
        let center = json!({"position": meters(&self.center_of_gravity), "tolerance": tolerance, "source": source});
        let points = numbered("point", &self.points);
        let document = json!({
            "format": 1,
            "name": "sketch of a lift",
            "gravity": format!("{} m/s2", STANDARD_GRAVITY.si()),
            "load": {"name": "load", "mass": mass, "center_of_gravity": center, "lift_points": points},
            "hooks": numbered("hook", &self.hooks),
            "spreaders": self.frame.iter().map(frame).collect::<Vec<_>>(),
            "slings": self.legs.iter().enumerate().map(sling).collect::<Vec<_>>(),
            "legs": self.legs.iter().enumerate().map(leg).collect::<Vec<_>>(),
        });
        format!("{document:#}\n")
    }
}

impl Stop {
    fn name(self) -> String {
        match self {
            Self::Hook(index) => format!("hook {}", index + 1),
            Self::Frame(index) => format!("frame/corner {}", index + 1),
            Self::Point(index) => format!("point {}", index + 1),
        }
    }
}

fn meters(at: &[f64; 3]) -> [String; 3] {
    at.map(|coordinate| format!("{coordinate} m"))
}
