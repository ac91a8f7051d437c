//! A lift with slings that pass over stations: at every vertex the states that friction allows.

use super::gauge::{Gauge, Seen};
use super::{Swept, states};
use crate::arrangement::{Anchor, Lift};
use crate::demand::{ToleranceBox, Vertex};
use crate::equilibrium::running::{Hung, hang};
use crate::error::{Error, Place};
use crate::system::{Model, Running, Span, Strand, System};
use glam::DVec3;

/// The most limits of sliding over all vertices.
const MOST_LIMITS: usize = 4096;

pub(super) fn sweep(lift: &Lift, model: &Model, tolerances: &ToleranceBox) -> Result<Swept, Error> {
    friction_known(lift)?;
    let rough = model.running.iter().flat_map(|sling| &sling.over).filter(|over| !over.free()).count();
    let limits = 1_usize.checked_shl(u32::try_from(rough).unwrap_or(u32::MAX)).unwrap_or(usize::MAX);
    if rough > 0 && tolerances.vertex_count().saturating_mul(limits) > MOST_LIMITS {
        let what = format!("{limits} limits of sliding at each of {} vertices", tolerances.vertex_count());
        return Err(Error::unsupported(what, Place::root().child("legs")));
    }
    let mut gauge = Gauge::new(lift, tolerances);
    let mut nominal = None;
    for vertex in states(tolerances)? {
        let varied = varied(model, &vertex)?;
        let run = hang(&varied.system, &varied.running).map_err(|error| error.at(Place::root().child("legs")))?;
        for state in run.states().unwrap_or_default() {
            read(&mut gauge, model, &vertex, state);
        }
        for (leg, strand) in gauge.extremes.legs.iter_mut().zip(&model.strands) {
            if let Strand::Running(sling) = strand {
                leg.sliding = leg.sliding.max(run.sliding.get(*sling).copied());
            }
        }
        gauge.extremes.by_friction |= run.by_friction();
        if nominal.is_none() {
            nominal = Some(run.rest().clone());
        }
    }
    let Some(nominal) = nominal else {
        return Err(Error::inconsistent("a box of tolerances without a vertex", Place::root().child("legs")));
    };
    let busiest = |strand: &Strand| match strand {
        Strand::Member(member) => nominal.certificate.members.get(*member).map_or(0.0, |found| found.tension),
        Strand::Running(sling) => {
            let spans = nominal.slings.get(*sling).map_or(0, |sling| sling.spans.len());
            (0..spans).map(|span| nominal.tension(*sling, span)).fold(0.0, f64::max)
        }
    };
    let tensions = model.strands.iter().map(busiest).collect();
    Ok(Swept { tensions, nominal: nominal.certificate, extremes: gauge.extremes() })
}

/// Refuses a passage of which nothing is said about friction: what a span bears hangs on it.
fn friction_known(lift: &Lift) -> Result<(), Error> {
    for leg in lift.legs() {
        for (index, passage) in leg.passages() {
            if passage.coefficients().is_none() {
                let what = format!(
                    "the least and the greatest friction where \"{}\" passes over \"{}\"",
                    leg.leg.name,
                    leg.station_name(index)
                );
                let add =
                    "\"friction\": { \"value\": […, …], \"source\": \"…\" } (or \"free_turning\": true for a sheave)";
                let place = leg.place().child("path").child(index).child("over").child("friction");
                return Err(Error::missing(what, add, place));
            }
        }
    }
    Ok(())
}

/// The model at a vertex. What a running sling is longer is spread over its spans in the ratio of their lengths.
fn varied(model: &Model, vertex: &Vertex) -> Result<Model, Error> {
    let mut varied = model.clone();
    for (strand, offset) in model.strands.iter().zip(&vertex.lengths).filter(|(_, offset)| **offset != 0.0) {
        match strand {
            Strand::Member(member) => varied.system = varied.system.longer(*member, *offset)?,
            Strand::Running(sling) => {
                let Some(sling) = varied.running.get_mut(*sling) else { continue };
                varied.system = stretched(varied.system, sling, *offset)?;
            }
        }
    }
    if vertex.center != [0.0; 3] {
        varied.system = varied.system.shifted(0, DVec3::from_array(vertex.center))?;
    }
    Ok(varied)
}

fn stretched(mut system: System, sling: &mut Running, offset: f64) -> Result<System, Error> {
    let length = |span: &Span| match span {
        Span::Member(member) => system.members().get(*member).map_or(0.0, |member| member.length),
        Span::Fixed { length, .. } => *length,
    };
    let lengths: Vec<f64> = sling.spans.iter().map(length).collect();
    let whole: f64 = lengths.iter().sum();
    for (span, own) in sling.spans.iter_mut().zip(lengths) {
        let share = offset * own / whole;
        match span {
            Span::Member(member) => system = system.longer(*member, share)?,
            Span::Fixed { length, .. } => *length += share,
        }
    }
    Ok(system)
}

fn read(gauge: &mut Gauge, model: &Model, vertex: &Vertex, hung: &Hung) {
    let certificate = &hung.certificate;
    let rotation = |body: usize| certificate.bodies.get(body).map(|pose| pose.rotation);
    let up = rotation(0).map_or(DVec3::Z, |rotation| rotation.inverse() * DVec3::Z);
    let seen = Seen { vertical: &DVec3::Z, up: &up, state: certificate.state };
    let mut pulls = Vec::new();
    for strand in &model.strands {
        match strand {
            Strand::Member(member) => pulls.push(pull(hung, *member)),
            Strand::Running(sling) => {
                let spans = hung.slings.get(*sling).map(|sling| sling.spans.as_slice()).unwrap_or_default();
                pulls.extend(spans.iter().enumerate().map(|(index, span)| match span {
                    Span::Member(member) => pull(hung, *member),
                    Span::Fixed { a, .. } => (hung.tension(*sling, index), hung.direction(*sling, index, *a)),
                }));
            }
        }
    }
    gauge.read(vertex, &seen, &pulls, |anchor| match anchor {
        Anchor::LiftPoint(_) | Anchor::Place(_) => rotation(0),
        Anchor::SpreaderPoint(spreader, _) => rotation(spreader + 1),
        Anchor::Hook(_) | Anchor::Joint(_) => None,
    });
}

/// Tension of a member, and its direction.
fn pull(hung: &Hung, member: usize) -> (f64, DVec3) {
    hung.certificate.members.get(member).map_or((0.0, DVec3::ZERO), |found| (found.tension, found.direction))
}
