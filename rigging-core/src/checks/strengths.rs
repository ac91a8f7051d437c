//! Which findings hold a force against a strength, and what bears it: one list, for everything that looks at strengths together.

use super::{Code, Finding};
use crate::arrangement::{LegView, Lift};

/// What bears the force.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Bears {
    /// Gear below the hook or a lift point with the plate round its hole; the tensions of the legs, which leave the weight of the
    /// gear out, lead to the force.
    Gear,
    /// A hook; its load holds the gear already.
    Hook,
}

/// What bears the force that a finding holds against a strength; none where the finding is about something else. A strength that
/// is not known is one all the same.
pub(super) fn bearing(finding: &Finding) -> Option<Bears> {
    let bears = match finding.code {
        Code::SlingStrength | Code::FittingStrength | Code::LiftPointStrength => return Some(Bears::Gear),
        Code::HookLoad => return Some(Bears::Hook),
        Code::SpreaderCompression | Code::SideLoad | Code::PinPlate | Code::PinOffset | Code::SetOfLegs => Bears::Gear,
        Code::CraneShare | Code::HookHeights => Bears::Hook,
        Code::Snag if finding.place.as_str().starts_with("/hooks") => Bears::Hook,
        Code::Snag => Bears::Gear,
        // Forces that the load does not make (those of a proof, the make of an end) or that no strength meets.
        Code::Consistency | Code::EndFittings | Code::SharingRule => return None,
        Code::Applicability
        | Code::MassBasis
        | Code::Stability
        | Code::Tilt
        | Code::Equilibrium
        | Code::LiftPointDirection
        | Code::LegAngle
        | Code::Edge
        | Code::Identity
        | Code::Temperature
        | Code::Chemicals
        | Code::Bend
        | Code::Fit
        | Code::OwnWeight
        | Code::NotConsidered
        | Code::Sliding
        | Code::IncludedAngle
        | Code::Choke
        | Code::LiftCategory
        | Code::Wind
        | Code::Geometry
        | Code::Inspection
        | Code::CenterOfGravity
        | Code::Skew => return None,
    };
    // The same checks also hold lengths against lengths, and say in words that there is nothing to be held.
    (finding.unit() == "N").then_some(bears)
}

/// Whether a finding is about the strength of something that a leg is made of, ends at or passes over.
pub(super) fn is_along(lift: &Lift, leg: &LegView<'_>, finding: &Finding) -> bool {
    let slings = || leg.slings().any(|(_, sling)| sling.name == finding.item);
    let fittings = || leg.fittings().any(|(_, fitting)| fitting.name == finding.item);
    let points = || leg.points().any(|point| point.name == finding.item);
    bearing(finding).is_some()
        && match finding.code {
            Code::SlingStrength => slings(),
            Code::FittingStrength | Code::PinOffset => fittings(),
            Code::LiftPointStrength => points(),
            Code::SideLoad => fittings() || points(),
            Code::PinPlate => is_plate_of(lift, leg, finding),
            _ => false,
        }
}

/// Whether a finding is about the plate round a hole that a leg ends in or passes over.
pub(super) fn is_plate_of(lift: &Lift, leg: &LegView<'_>, finding: &Finding) -> bool {
    let mut places = leg.links.stations.iter().filter_map(|station| lift.point_and_place(*station));
    finding.code == Code::PinPlate && places.any(|(_, place)| place.child("pin_plate") == finding.place)
}
