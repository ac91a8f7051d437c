//! The solved equilibrium and its proof behind a handle.

use crate::arrangement::rigging_lift;
use crate::error::{Failure, rigging_error};
use crate::record::{self, Record};
use crate::{guard, handle};
use rigging_core::equilibrium::{Certificate, MemberState, Pose, State};
use std::mem::offset_of;

/// A minimum of the potential energy, reached from the attitude as drawn without turning past 90 degrees.
pub const RIGGING_STATE_STABLE: i32 = 0;
/// As stable, but the pose may drift without resistance in a way other than turning about the plumb line.
pub const RIGGING_STATE_NEUTRAL: i32 = 1;
/// A balance that any disturbance ends; `rigging_certificate_destination` tells where the load would go.
pub const RIGGING_STATE_UNSTABLE: i32 = 2;
/// No equilibrium on the way from the attitude as drawn: pose and tensions are those of where the load turns over.
pub const RIGGING_STATE_LOST: i32 = 3;

/// A solved equilibrium: pose, tensions and the proof that they balance. It does not change; threads may share it.
#[allow(non_camel_case_types, reason = "the name is that of a C type")]
pub struct rigging_certificate(pub(crate) Certificate);

/// A certificate in figures.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_certificate_figures {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// Kind of equilibrium: one of `RIGGING_STATE_…`.
    pub state: i32,
    /// 1 if no other pose whatever has a lower potential energy, proven; 0 says nothing.
    pub lowest: i32,
    /// 1 if `nearest_slack_member` and `nearest_slack_distance_m` are told.
    pub has_nearest_slack_event: i32,
    /// Index of the member nearest to passing from taut to slack or back.
    pub nearest_slack_member: usize,
    /// How far its length is from the unstretched length, in m (not negative); NaN where it is not told.
    pub nearest_slack_distance_m: f64,
    /// Magnitude of the force that is left unbalanced, in N.
    pub residual_n: f64,
    /// The same over the weight of all bodies.
    pub residual_over_weight: f64,
    /// Number of bodies.
    pub body_count: usize,
    /// Number of members: the legs, in the order of the document.
    pub member_count: usize,
    /// Number of hooks.
    pub hook_count: usize,
    /// Number of eigenvalues.
    pub eigenvalue_count: usize,
    /// Number of negative eigenvalues.
    pub negative_modes: usize,
    /// Number of null modes, the free turn about the plumb line included: 1 for a sound single-hook lift.
    pub null_modes: usize,
    /// Steps taken.
    pub iterations: usize,
    /// 1 if `rigging_certificate_destination` tells where the load would go.
    pub has_destination: i32,
    /// Number of joints.
    pub joint_count: usize,
    /// Magnitude of the largest moment about its center of gravity that is left unbalanced on a body, in N·m.
    pub residual_moment_n_m: f64,
    /// Largest product of a member's tension and of its slack, in J: zero when no slack member carries anything.
    pub complementarity_j: f64,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_certificate_figures {
    const FIRST_SIZE: usize = offset_of!(Self, joint_count);
}

impl From<&Certificate> for rigging_certificate_figures {
    fn from(certificate: &Certificate) -> Self {
        let nearest = certificate.nearest_slack_event;
        Self {
            struct_size: 0,
            state: match certificate.state {
                State::Stable => RIGGING_STATE_STABLE,
                State::Neutral => RIGGING_STATE_NEUTRAL,
                State::Unstable => RIGGING_STATE_UNSTABLE,
                State::Lost => RIGGING_STATE_LOST,
            },
            lowest: i32::from(certificate.lowest),
            has_nearest_slack_event: i32::from(nearest.is_some()),
            nearest_slack_member: nearest.map_or(0, |event| event.member),
            nearest_slack_distance_m: nearest.map_or(f64::NAN, |event| event.distance),
            residual_n: certificate.residual,
            residual_over_weight: certificate.residual_over_weight,
            body_count: certificate.bodies.len(),
            member_count: certificate.members.len(),
            hook_count: certificate.hooks.len(),
            eigenvalue_count: certificate.eigenvalues.len(),
            negative_modes: certificate.negative_modes,
            null_modes: certificate.null_modes,
            iterations: certificate.iterations,
            has_destination: i32::from(certificate.destination.is_some()),
            joint_count: certificate.joints.len(),
            residual_moment_n_m: certificate.residual_moment,
            complementarity_j: certificate.complementarity,
        }
    }
}

/// Where a body hangs. The turn about the plumb line is free under one hook; it is left as drawn. World z is up.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_pose {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// Center of gravity in the world, in m: x, y, z.
    pub center_of_gravity_m: [f64; 3],
    /// Origin of the body's frame in the world, in m: x, y, z.
    pub position_m: [f64; 3],
    /// Unit quaternion that turns body coordinates into world coordinates: x, y, z, w.
    pub rotation: [f64; 4],
    /// The world's upward direction in the body's frame (unit vector): x, y, z.
    pub up_in_body: [f64; 3],
    /// Angle between the world's upward direction and the upward direction of the body as drawn, in rad, 0 to π.
    pub tilt_rad: f64,
    /// Position of the hook in the body's frame, in m: x, y, z.
    pub hook_in_body_m: [f64; 3],
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_pose {}

impl From<&Pose> for rigging_pose {
    fn from(pose: &Pose) -> Self {
        Self {
            struct_size: 0,
            center_of_gravity_m: pose.center_of_gravity.into(),
            position_m: pose.position.into(),
            rotation: pose.rotation.into(),
            up_in_body: pose.up_in_body.into(),
            tilt_rad: pose.tilt,
            hook_in_body_m: pose.hook_in_body.into(),
        }
    }
}

/// A member (a leg) in the equilibrium.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_member {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// 1 if the member carries nothing.
    pub slack: i32,
    /// Tension, in N; zero when slack.
    pub tension_n: f64,
    /// Distance between the ends, in m.
    pub length_m: f64,
    /// (length − unstretched length) / unstretched length; negative when slack.
    pub strain: f64,
    /// Unit vector in the world from the last station of the leg toward its first; zero if the ends coincide: x, y, z.
    pub direction: [f64; 3],
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_member {}

impl From<&MemberState> for rigging_member {
    fn from(member: &MemberState) -> Self {
        Self {
            struct_size: 0,
            slack: i32::from(member.slack),
            tension_n: member.tension,
            length_m: member.length,
            strain: member.strain,
            direction: member.direction.into(),
        }
    }
}

/// Empties the struct and notes its size: `rigging_certificate_figures_init(&figures, sizeof figures)`.
///
/// # Safety
/// `figures` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_certificate_figures_init(figures: *mut rigging_certificate_figures, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(figures.cast(), size) };
}

/// Empties the struct and notes its size: `rigging_pose_init(&pose, sizeof pose)`.
///
/// # Safety
/// `pose` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_pose_init(pose: *mut rigging_pose, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(pose.cast(), size) };
}

/// Empties the struct and notes its size: `rigging_member_init(&member, sizeof member)`.
///
/// # Safety
/// `member` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_member_init(member: *mut rigging_member, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(member.cast(), size) };
}

/// Hangs the lift at its stated mass, nominal lengths and center of gravity. An unstable or lost equilibrium is a result,
/// not an error: see `state`. The handle is the caller's: free it with `rigging_certificate_free`. `RIGGING_MISSING` names
/// an input that statics needs.
///
/// # Safety
/// `lift` is a handle; `certificate` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_solve(
    lift: *const rigging_lift,
    certificate: *mut *mut rigging_certificate,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(certificate, "certificate", || {
                Ok(rigging_certificate(handle::borrow(lift, "lift")?.0.solve()?))
            })
        })
    }
}

/// The certificate in figures.
///
/// # Safety
/// `certificate` is a handle; `figures` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_certificate_tell(
    certificate: *const rigging_certificate,
    figures: *mut rigging_certificate_figures,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            record::fill(figures, "figures", || Ok((&handle::borrow(certificate, "certificate")?.0).into()))
        })
    }
}

/// Where a body hangs, by its index from 0: the load is body 0, the spreaders follow in the order of the document.
///
/// # Safety
/// `certificate` is a handle; `pose` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_certificate_pose(
    certificate: *const rigging_certificate,
    body: usize,
    pose: *mut rigging_pose,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            record::fill(pose, "pose", || {
                let bodies = &handle::borrow(certificate, "certificate")?.0.bodies;
                Ok(record::item(bodies, body, "body")?.into())
            })
        })
    }
}

/// A member in the equilibrium, by the index of its leg from 0. A leg that passes over something between its ends has one
/// member for each span, in the order of its path; a span between two places of one body has none.
///
/// # Safety
/// `certificate` is a handle; `member` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_certificate_member(
    certificate: *const rigging_certificate,
    index: usize,
    member: *mut rigging_member,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            record::fill(member, "member", || {
                let members = &handle::borrow(certificate, "certificate")?.0.members;
                Ok(record::item(members, index, "member")?.into())
            })
        })
    }
}

/// Tension of every member, in N, in the order of the legs and of their spans; `count` must be `member_count`.
///
/// # Safety
/// `certificate` is a handle; `tensions_n` has `count` elements that may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_certificate_tensions(
    certificate: *const rigging_certificate,
    tensions_n: *mut f64,
    count: usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let members = &handle::borrow(certificate, "certificate")?.0.members;
            record::array(tensions_n, count, "tensions_n", members.iter().map(|member| member.tension))
        })
    }
}

/// Eigenvalues of the reduced Hessian of the potential energy, ascending, in N/m; `count` must be `eigenvalue_count`.
/// Under one hook it is that over the hook's position in the load's frame: three values, the turn about the plumb line
/// removed.
///
/// # Safety
/// `certificate` is a handle; `eigenvalues_n_per_m` has `count` elements that may be written; `error` is null or
/// initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_certificate_eigenvalues(
    certificate: *const rigging_certificate,
    eigenvalues_n_per_m: *mut f64,
    count: usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let eigenvalues = &handle::borrow(certificate, "certificate")?.0.eigenvalues;
            record::array(eigenvalues_n_per_m, count, "eigenvalues_n_per_m", eigenvalues.iter().copied())
        })
    }
}

/// Force of the lift on a hook, in N, in the world: x, y, z; the hook by its index from 0.
///
/// # Safety
/// `certificate` is a handle; `force_n` has 3 elements that may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_certificate_hook_force(
    certificate: *const rigging_certificate,
    hook: usize,
    force_n: *mut f64,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let hooks = &handle::borrow(certificate, "certificate")?.0.hooks;
            let force: [f64; 3] = (*record::item(hooks, hook, "hook")?).into();
            record::array(force_n, force.len(), "force_n", force.into_iter())
        })
    }
}

/// Position of a joint in the world, in m: x, y, z; the joint by its index from 0, in the order of the document.
///
/// # Safety
/// `certificate` is a handle; `position_m` has 3 elements that may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_certificate_joint(
    certificate: *const rigging_certificate,
    joint: usize,
    position_m: *mut f64,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let joints = &handle::borrow(certificate, "certificate")?.0.joints;
            let position: [f64; 3] = (*record::item(joints, joint, "joint")?).into();
            record::array(position_m, position.len(), "position_m", position.into_iter())
        })
    }
}

/// Where an unstable load would go, as a certificate of its own: free it with `rigging_certificate_free`.
/// `RIGGING_NO_SUCH_ITEM` unless `has_destination` is 1.
///
/// # Safety
/// `certificate` is a handle; `destination` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_certificate_destination(
    certificate: *const rigging_certificate,
    destination: *mut *mut rigging_certificate,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(destination, "destination", || {
                let destination = &handle::borrow(certificate, "certificate")?.0.destination;
                let destination = destination.as_ref().ok_or(Failure::NoSuchPart("destination"))?;
                Ok(rigging_certificate(Certificate::clone(destination)))
            })
        })
    }
}

/// Frees a certificate; null is allowed.
///
/// # Safety
/// `certificate` is null or a handle that has not been freed, and no thread uses it.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_certificate_free(certificate: *mut rigging_certificate) {
    // SAFETY: the caller vouches for it.
    unsafe { handle::free(certificate) };
}
