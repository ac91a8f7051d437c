//! Questions about the balance of a lift, answered with the names of its document.
//!
//! Physics knows indices, a user knows names. [`Lift::hang`] hangs a lift at its stated mass, nominal lengths and center
//! of gravity; the [`Balance`] then answers how it depends on every number ([`Balance::derivatives`]), how far a number
//! may change ([`Balance::margins`]), what the loss of a part does ([`Balance::losses`]), what moves without resistance
//! ([`Balance::motions`]), which lengths must match ([`Balance::self_stress`]), how it swings ([`Balance::periods`]),
//! where else it could come to rest ([`Balance::others`]), what slings that pass over stations do
//! ([`Balance::running`]), what the own weight of the gear adds ([`Balance::own_weight`]), and what tolerances make of it at
//! worst ([`Balance::worst`]) or with what probability ([`Balance::experiment`]). Every answer is a record that prints as JSON.

mod derivatives;
mod experiment;
mod losses;
mod margins;
mod matching;
mod motions;
mod others;
mod own_weight;
mod periods;
mod running;
mod worst;

pub use derivatives::{Derivative, Derivatives, SlackAt};
pub use experiment::{ExperimentInputs, ReadAs, Spread};
pub use losses::{Loss, LossKind, RemainingLeg};
pub use margins::{Enclosed, Margin};
pub use matching::{Order, SelfStress};
pub use motions::{FreeMotion, Mode, PartMotion};
pub use others::OtherBalance;
pub use own_weight::{OwnWeight, WeighedLeg};
pub use periods::{BodyInertia, NaturalPeriod, PeriodInputs, Periods};
pub use running::{PassedStation, RunningLeg, RunningSlings, RunningSpan};
pub use worst::{Arranged, Common, Measure, Stated, Unbounded, WorstCase, WorstForce, WorstInputs};

use crate::arrangement::{Anchor, Lift};
use crate::equilibrium::own_weight::MemberMass;
use crate::equilibrium::running::Run;
use crate::equilibrium::{self, Certificate, running as runs};
use crate::error::{Error, Place};
use crate::system::{self, Masses, System};

/// A lift that hangs: its model, the certificate of its balance, and the names of its parts.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// let balance = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?.hang()?;
/// let derivatives = balance.derivatives()?;
/// let longer = derivatives.rows.iter().find(|row| row.parameter == "length" && row.item == "leg A").unwrap();
/// // A leg that is longer carries less.
/// assert!(longer.tensions[0] < 0.0);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct Balance {
    model: System,
    certificate: Certificate,
    names: Names,
    /// What slings that pass over stations do; none where there is none.
    run: Option<Run>,
    /// What the document states of tolerances; asked for only by the questions that need it.
    stated: Result<Stated, Error>,
    /// Mass of each member, or the first item whose mass is not known.
    gear: Result<Vec<MemberMass>, Error>,
}

/// Names of the document, in the order of the model.
#[derive(Debug, Clone)]
struct Names {
    /// One a member.
    legs: Vec<String>,
    /// Legs that pass over stations: their names, their stations, and what is passed over.
    running: Vec<Path>,
    /// The load, then the spreaders.
    bodies: Vec<String>,
    joints: Vec<String>,
    hooks: Vec<String>,
    /// Points of each body.
    points: Vec<Vec<String>>,
    /// For each member, the points of bodies that it is attached to: body and point.
    attached: Vec<Vec<(usize, usize)>>,
}

/// A leg that passes over stations, in names.
#[derive(Debug, Clone)]
struct Path {
    leg: String,
    place: Place,
    stations: Vec<String>,
}

impl Lift {
    /// Hangs the lift at its stated mass, nominal lengths and center of gravity.
    ///
    /// A leg that passes over stations is shared as drawn and comes to rest as [`Run::rest`] says: held where friction is
    /// known to hold it, else without friction. [`Balance::running`] tells the limits of it.
    ///
    /// # Errors
    /// [`Error::Missing`] for an input that statics needs; [`Error::Unsupported`] for what is not calculated;
    /// [`Error::Unconverged`] if no state could be certified.
    pub fn hang(&self) -> Result<Balance, Error> {
        let model = system::from_lift(self, Masses::stated(self)?)?;
        let (names, gear) = (Names::of(self), own_weight::gear(self));
        if model.running.is_empty() {
            let certificate = equilibrium::solve(&model.system)?;
            return Ok(Balance { model: model.system, certificate, names, run: None, stated: Stated::of(self), gear });
        }
        // What the model cannot say of its slings is said of the legs they were made from.
        let run = runs::hang(&model.system, &model.running).map_err(|error| error.at(Place::root().child("legs")))?;
        let rest = run.rest().clone();
        Ok(Balance {
            model: rest.system,
            certificate: rest.certificate,
            names,
            run: Some(run),
            stated: Stated::of(self),
            gear,
        })
    }
}

impl Lift {
    /// Hangs the lift at its stated mass, nominal lengths and center of gravity.
    ///
    /// # Errors
    /// [`Error::Missing`] for an input that statics needs; [`Error::Unsupported`] for what is not calculated.
    ///
    /// ```
    /// use rigging_core::arrangement::Lift;
    /// let text = include_str!("../../examples/lifts/generator-skid.json");
    /// let certificate = Lift::from_json(text)?.solve()?;
    /// let kilonewtons: Vec<f64> = certificate.members.iter().map(|leg| (leg.tension / 1e3 * 1e3).round() / 1e3).collect();
    /// assert_eq!(kilonewtons.len(), 4);
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn solve(&self) -> Result<Certificate, Error> {
        Ok(self.hang()?.certificate)
    }
}

impl Balance {
    /// The certificate.
    pub const fn certificate(&self) -> &Certificate {
        &self.certificate
    }

    /// The model; of a lift with running slings with the lengths that were passed on.
    pub const fn model(&self) -> &System {
        &self.model
    }

    /// Names of the legs, in the order of every list of tensions. A leg that passes over stations stands there span by span
    /// ("basket 1, span 2"), without spans between two places of one body.
    pub fn legs(&self) -> &[String] {
        &self.names.legs
    }

    /// Names of the bodies: the load, then the spreaders.
    pub fn bodies(&self) -> &[String] {
        &self.names.bodies
    }

    /// Names of the hooks.
    pub fn hooks(&self) -> &[String] {
        &self.names.hooks
    }
}

impl Names {
    fn of(lift: &Lift) -> Self {
        let document = lift.document();
        let load = &document.load;
        let mut bodies = vec![load.name.to_string()];
        bodies.extend(document.spreaders.iter().map(|spreader| spreader.name.to_string()));
        let mut points = vec![load.lift_points.iter().map(|point| point.name.to_string()).collect::<Vec<_>>()];
        points.extend(
            document.spreaders.iter().map(|spreader| {
                spreader.points.iter().map(|point| format!("{}/{}", spreader.name, point.name)).collect()
            }),
        );
        let places = load.lift_points.len();
        let spans = lift.legs().flat_map(|leg| leg.links.spans().collect::<Vec<_>>());
        let attached = spans.filter(|[from, to]| !from.rigid_with(*to)).map(|ends| {
            let points = ends.iter().filter_map(|end| match end {
                Anchor::LiftPoint(point) => Some((0, *point)),
                Anchor::Place(place) => Some((0, places + place)),
                Anchor::SpreaderPoint(spreader, point) => Some((spreader + 1, *point)),
                Anchor::Hook(_) | Anchor::Joint(_) => None,
            });
            points.collect()
        });
        let running = lift.legs().filter(|leg| leg.links.runs()).map(|leg| Path {
            leg: leg.leg.name.to_string(),
            place: leg.place().child("path"),
            stations: (0..leg.leg.path.len()).map(|index| leg.station_name(index).to_string()).collect(),
        });
        Self {
            legs: system::member_names(lift),
            running: running.collect(),
            bodies,
            joints: document.joints.iter().map(|joint| joint.name.to_string()).collect(),
            hooks: document.hooks.iter().map(|hook| hook.name.to_string()).collect(),
            points,
            attached: attached.collect(),
        }
    }

    fn leg(&self, index: usize) -> String {
        named(&self.legs, index, "leg")
    }

    fn body(&self, index: usize) -> String {
        named(&self.bodies, index, "body")
    }

    fn hook(&self, index: usize) -> String {
        named(&self.hooks, index, "hook")
    }

    fn joint(&self, index: usize) -> String {
        named(&self.joints, index, "joint")
    }
}

/// The name at an index. Every index of the model has one; the number would stand in for it.
fn named(names: &[String], index: usize, kind: &str) -> String {
    names.get(index).cloned().unwrap_or_else(|| format!("{kind} {index}"))
}

/// x, y or z.
const fn axis(index: usize) -> &'static str {
    match index {
        0 => "x",
        1 => "y",
        _ => "z",
    }
}
