//! Derivatives at an equilibrium: against differences of balances in 32 digits, the closed form of a bridle against the
//! general one, closed forms, laws of scaling, what is refused.

use crate::document::{list, read, system};
use crate::exact::{Eliminated, Exact};
use crate::generator::random_rig;
use crate::properties::skid;
use glam::{DQuat, DVec3};
use rigging_core::equilibrium::bridle::Workspace;
use rigging_core::equilibrium::sensitivity::{BridleDerivatives, Parameter, Response, differentiate};
use rigging_core::equilibrium::{Certificate, State, solve};
use rigging_core::error::Error;
use rigging_core::system::{Body, End, Hook, Law, Member, System};

/// A derivative, over the largest of its column.
const AGREEMENT: f64 = 1.0e-9;
/// Roundings of the stiffest member that a derivative by a length or a position may carry: its parts are of that size and
/// cancel.
const ROUNDINGS: f64 = 256.0;

/// What the parts of a column are made of before they cancel.
fn scale(system: &System, certificate: &Certificate, parameter: Parameter) -> f64 {
    let members = system.members().iter().zip(&certificate.members);
    let tension = certificate.members.iter().fold(0.0_f64, |most, m| most.max(m.tension));
    let stiffest = members.fold(0.0_f64, |most, (m, s)| most.max(m.law.slope(s.strain) / m.length));
    match parameter {
        // Per meter, the ends of a member move by the order of a meter.
        Parameter::Length { .. } | Parameter::Hook { .. } | Parameter::CenterOfGravity { .. } => stiffest,
        Parameter::AxialStiffness { member } => certificate.members[member].strain.max(0.0),
        Parameter::LawScale { .. } => tension,
        Parameter::Mass { .. } => system.gravity(),
    }
}

/// Compares all derivatives of a system with differences in 32 digits; returns how many columns, and the worst ratio of a
/// deviation to what is allowed.
fn compare(system: &System) -> Result<(usize, f64), String> {
    let certificate = solve(system).map_err(|e| e.to_string())?;
    let derivatives = differentiate(system, &certificate).map_err(|e| e.to_string())?;
    let exact = Exact::new(system);
    let printed = Exact::pose(&certificate);
    let first = Eliminated::new(&exact.jacobian(&printed));
    let pose = exact.settle(&printed, &first).ok_or("the pose does not settle")?;
    let inverse = Eliminated::new(&exact.jacobian(&pose));
    if inverse.null() > certificate.null_modes {
        return Err(format!("{} null modes", inverse.null()));
    }
    let middle = exact.balance(&pose);
    let mut worst = 0.0_f64;
    let parameters = derivatives.parameters();
    for parameter in &parameters {
        let found = derivatives.of(*parameter).map_err(|e| e.to_string())?;
        let step = exact.step(*parameter);
        let at = |by: f64| {
            let changed = exact.changed(*parameter, by);
            let pose = changed.settle(&pose, &inverse).ok_or("a neighbor does not settle")?;
            Ok::<_, String>(changed.balance(&pose))
        };
        let (ahead, behind) = (at(step)?, at(-step)?);
        let difference = |a, b| {
            use crate::double_double::Twofold;
            let (a, b): (Twofold, Twofold) = (a, b);
            (a - b).value() / (2.0 * step)
        };
        let mut check = |what: &str, found: &[f64], expected: &[f64], parts: f64| {
            let largest = expected.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
            let allowed = AGREEMENT * largest + ROUNDINGS * f64::EPSILON * parts;
            for (i, (a, b)) in found.iter().zip(expected).enumerate() {
                worst = worst.max((a - b).abs() / allowed);
                if (a - b).abs() > allowed {
                    return Err(format!("{parameter:?}: {what} {i}: {a} against {b}, allowed {allowed:e}"));
                }
            }
            Ok(())
        };
        let parts = scale(system, &certificate, *parameter);
        let softest = parts / (exact_weight(system) / size(system));
        let all = |a: &[crate::double_double::Twofold], b: &[crate::double_double::Twofold]| -> Vec<f64> {
            a.iter().zip(b).map(|(a, b)| difference(*a, *b)).collect()
        };
        check("tension", &found.tensions, &all(&ahead.tensions, &behind.tensions), parts)?;
        let elongations = all(&ahead.elongations, &behind.elongations);
        check("elongation", &found.elongations, &elongations, softest)?;
        for (body, (a, b)) in ahead.ups.iter().zip(&behind.ups).enumerate() {
            let expected = a.minus(*b).values().map(|c| c / (2.0 * step));
            check("up", &found.bodies[body].up.to_array(), &expected, softest)?;
            if let Some(tilt) = found.bodies[body].tilt {
                let drawn = |v: [f64; 3]| system.bodies()[body].rotation * DVec3::from_array(v);
                let (up, change) = (drawn(middle.ups[body].values()), drawn(expected));
                // sin(tilt) is how far up is off the axis.
                let away = (up.x * change.x + up.y * change.y) / (up.x * up.x + up.y * up.y).sqrt();
                let size = change.length();
                check("tilt", &[tilt, size], &[away / up.z, size], softest)?;
            }
        }
        for (hook, (a, b)) in ahead.hooks.iter().zip(&behind.hooks).enumerate() {
            let expected = a.minus(*b).values().map(|c| c / (2.0 * step));
            check("hook", &found.hooks[hook].force.to_array(), &expected, parts)?;
            check("hook's size", &[found.hooks[hook].size], &[difference(a.length(), b.length())], parts)?;
        }
    }
    Ok((parameters.len(), worst))
}

fn exact_weight(system: &System) -> f64 {
    system.bodies().iter().map(|b| b.mass * system.gravity()).sum()
}

fn size(system: &System) -> f64 {
    system.members().iter().fold(0.0_f64, |most, m| most.max(m.length))
}

#[test]
fn reference_cases_agree_with_differences_in_32_digits() {
    let file = read("cases.json");
    let (mut ran, mut columns, mut worst, mut failed) = (0, 0, 0.0_f64, Vec::new());
    for case in list(&file, "cases") {
        ran += 1;
        match compare(&system(&case["input"]).unwrap()) {
            Ok((count, ratio)) => {
                columns += count;
                worst = worst.max(ratio);
            }
            Err(text) => failed.push(format!("{}: {text}", case["id"])),
        }
    }
    println!("sensitivities of reference cases: {ran} ran, {columns} columns, worst {worst:.3} of what is allowed");
    assert!(failed.is_empty(), "{} {failed:#?}", failed.len());
    assert_eq!((ran, columns), (128, 2860));
}

fn linear(ea: f64) -> Law {
    Law::linear(ea).unwrap()
}

fn body(mass: f64, center_of_gravity: DVec3, points: Vec<DVec3>) -> Body {
    Body { mass, center_of_gravity, points, position: DVec3::ZERO, rotation: DQuat::IDENTITY }
}

fn hook(x: f64, z: f64) -> Hook {
    Hook { position: DVec3::new(x, 0.0, z) }
}

/// Random bridles that hang stable, with the seed the other tests use.
fn stable_rigs(count: u64, stiffness: [f64; 2]) -> Vec<crate::generator::Rig> {
    let rigs = (0..count).map(|case| random_rig(11, case, stiffness));
    rigs.filter(|rig| solve(&rig.system()).unwrap().state == State::Stable).collect()
}

#[test]
fn random_bridles_agree_with_differences_in_32_digits() {
    let (mut ran, mut refused, mut columns, mut worst, mut failed) = (0, 0, 0, 0.0_f64, Vec::new());
    for (case, rig) in stable_rigs(300, [10.0, 1.0e5]).iter().enumerate() {
        match compare(&rig.system()) {
            Ok((count, ratio)) => {
                ran += 1;
                columns += count;
                worst = worst.max(ratio);
            }
            Err(text) if text.contains("goes slack") => refused += 1,
            Err(text) => failed.push(format!("{case}: {text}")),
        }
    }
    println!(
        "sensitivities of random bridles: {ran} ran, {refused} at a slack event, {columns} columns, worst {worst:.3}"
    );
    assert!(failed.is_empty(), "{} {failed:#?}", failed.len());
    assert_eq!((ran, refused, columns), (274, 0, 4582));
}

/// The closed form works at the pose as it was solved, to 1e-10 of the weight; the general one refines it first.
const CLOSED_FORM: f64 = 1.0e-8;

#[test]
fn the_closed_form_of_a_bridle_agrees_with_the_general_one() {
    let (mut ran, mut refused, mut compared, mut worst) = (0, 0, 0, 0.0_f64);
    let (mut workspace, mut closed) = (Workspace::default(), BridleDerivatives::default());
    for rig in stable_rigs(600, [10.0, 1.0e5]) {
        let system = rig.system();
        let certificate = solve(&system).unwrap();
        let Ok(derivatives) = differentiate(&system, &certificate) else {
            refused += 1;
            continue;
        };
        ran += 1;
        let bridle = rig.bridle();
        bridle.solve(&mut workspace).unwrap();
        bridle.differentiate(&workspace, &mut closed).unwrap();
        let mut check = |parameter: Parameter, column: Vec<f64>, per: f64| {
            let general = derivatives.of(parameter).unwrap();
            let largest = general.tensions.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
            let allowed = CLOSED_FORM * largest + ROUNDINGS * f64::EPSILON * scale(&system, &certificate, parameter);
            for (a, b) in column.iter().zip(&general.tensions) {
                compared += 1;
                worst = worst.max((a * per - b).abs() / allowed);
                assert!((a * per - b).abs() <= allowed, "{parameter:?} {a} against {b}, allowed {allowed:e}");
            }
        };
        for member in 0..rig.points.len() {
            check(Parameter::Length { member }, closed.by_length().map(|row| row[member]).collect(), 1.0);
            check(Parameter::AxialStiffness { member }, closed.by_stiffness().map(|row| row[member]).collect(), 1.0);
        }
        for axis in 0..3 {
            let column = closed.by_center_of_gravity().iter().map(|gradient| gradient[axis]).collect();
            check(Parameter::CenterOfGravity { body: 0, axis }, column, 1.0);
        }
        check(Parameter::Mass { body: 0 }, closed.by_weight().to_vec(), rig.gravity);
    }
    println!("closed form of bridles: {ran} ran, {refused} at a slack event, {compared} derivatives, worst {worst:.3}");
    assert_eq!((ran, refused, compared), (539, 0, 41652));
}

/// By the lift points: those of all legs and of the center of gravity add up to nothing, because moving everything changes
/// nothing; and each is what a difference of two solutions says.
#[test]
fn derivatives_by_lift_points_add_up_and_are_what_differences_say() {
    let (mut ran, mut compared) = (0, 0);
    let (mut workspace, mut closed) = (Workspace::default(), BridleDerivatives::default());
    let mut other = Workspace::default();
    for rig in stable_rigs(200, [10.0, 1.0e4]) {
        let mut bridle = rig.bridle();
        let outcome = bridle.solve(&mut workspace).unwrap();
        let Some(foresight) = workspace.foresight(&outcome) else { continue };
        bridle.differentiate(&workspace, &mut closed).unwrap();
        let legs = rig.points.len();
        let stiffest = rig.stiffnesses.iter().zip(&rig.lengths).map(|(ea, length)| ea / length).fold(0.0, f64::max);
        // Far from any slack event in proportion to the step.
        let step = 1.0e-4 * outcome.slack_event;
        for tension in 0..legs {
            let all: DVec3 = (0..legs).map(|point| closed.by_point(&workspace, tension, point).unwrap()).sum();
            let rest = (all + closed.by_center_of_gravity()[tension]).length();
            assert!(rest <= CLOSED_FORM * stiffest, "{rest:e}");
        }
        assert!(closed.by_point(&workspace, legs, 0).is_none() && closed.by_point(&workspace, 0, legs).is_none());
        for point in 0..legs {
            for axis in 0..3 {
                let unit = DVec3::AXES[axis];
                let ends = [1.0, -1.0].map(|side| {
                    bridle.set_point(point, rig.points[point] + side * step * unit).unwrap();
                    bridle.follow(&mut other, Some(&foresight)).unwrap();
                    other.tensions().collect::<Vec<f64>>()
                });
                bridle.set_point(point, rig.points[point]).unwrap();
                let [more, less] = &ends;
                for (tension, (more, less)) in more.iter().zip(less).enumerate() {
                    let difference = (more - less) / (2.0 * step);
                    let exact = closed.by_point(&workspace, tension, point).unwrap()[axis];
                    // Residuals of both solutions over the step, and what is of second order.
                    let allowed = 1.0e-4 * stiffest + 1.0e-9 * rig.weight() / step;
                    assert!((difference - exact).abs() <= allowed, "{difference} against {exact}, allowed {allowed:e}");
                    compared += 1;
                }
            }
        }
        ran += 1;
    }
    println!("derivatives by lift points: {ran} bridles ran, {compared} compared");
    assert!(ran > 150 && compared > 5000, "{ran} {compared}");
}

#[test]
fn two_parallel_members_follow_their_closed_form() {
    // k1·(l − L1) + k2·(l − L2) = W, with k = EA/L.
    let (w, [ea1, ea2], [l1, l2]) = (9.80665 * 1500.0, [2.0e6, 3.0e6], [4.0, 4.01]);
    let sling = |ea, length| Member { a: End::Hook(0), b: End::Body { body: 0, point: 0 }, length, law: linear(ea) };
    let load = body(1500.0, DVec3::new(0.0, 0.0, -0.5), vec![DVec3::ZERO]);
    let system =
        System::new(9.80665, vec![hook(0.0, 5.0)], vec![], vec![load], vec![sling(ea1, l1), sling(ea2, l2)]).unwrap();
    let certificate = solve(&system).unwrap();
    let derivatives = differentiate(&system, &certificate).unwrap();
    let (k1, k2) = (ea1 / l1, ea2 / l2);
    let l = (w + ea1 + ea2) / (k1 + k2);
    let near = |a: f64, b: f64| assert!((a - b).abs() <= 1.0e-10 * b.abs(), "{a} against {b}");
    let longer = derivatives.of(Parameter::Length { member: 0 }).unwrap();
    near(longer.tensions[0], -k1 * l / l1 * k2 / (k1 + k2));
    near(longer.tensions[1], k1 * l / l1 * k2 / (k1 + k2));
    // The first goes slack where the second alone would let it.
    near(longer.increase.unwrap().change, (l - l1) / (1.0 - k1 * l / l1 / (k1 + k2)));
    assert_eq!(longer.increase.unwrap().member, 0);
    let stiffer = derivatives.of(Parameter::AxialStiffness { member: 1 }).unwrap();
    near(stiffer.tensions[1], (l / l2 - 1.0) * k1 / (k1 + k2));
    let heavier = derivatives.of(Parameter::Mass { body: 0 }).unwrap();
    near(heavier.tensions[0], 9.80665 * k1 / (k1 + k2));
    near(heavier.hooks[0].size, 9.80665);
    assert_eq!(heavier.bodies[0].tilt, None, "it hangs upright");
}

#[test]
fn two_vertical_lines_share_by_the_lever() {
    // T_a = W·(b − x)/(b − a) for a center of gravity in the line of the lugs: it moves with x at W/span.
    let load = body(9.6e4, DVec3::new(-1.6, 0.0, 0.0), vec![DVec3::new(-12.0, 0.0, 0.0), DVec3::new(12.0, 0.0, 0.0)]);
    let line = |i| Member { a: End::Hook(i), b: End::Body { body: 0, point: i }, length: 10.0, law: linear(5.0e10) };
    let system =
        System::new(10.0, vec![hook(-12.0, 10.0), hook(12.0, 10.0)], vec![], vec![load], vec![line(0), line(1)]);
    let system = system.unwrap();
    let certificate = solve(&system).unwrap();
    // It can swing along and across and turn about the lugs' line.
    assert_eq!((certificate.state, certificate.null_modes), (State::Neutral, 1));
    let error = differentiate(&system, &certificate).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("unsupported", "/state"), "{error}");
    // Below the line it may not.
    let mut bodies = system.bodies().to_vec();
    bodies[0].center_of_gravity.z = -1.1;
    let system = System::new(10.0, system.hooks().to_vec(), vec![], bodies, system.members().to_vec()).unwrap();
    let certificate = solve(&system).unwrap();
    let derivatives = differentiate(&system, &certificate).unwrap();
    let moved = derivatives.of(Parameter::CenterOfGravity { body: 0, axis: 0 }).unwrap();
    for (found, expected) in moved.tensions.iter().zip([-9.6e5 / 24.0, 9.6e5 / 24.0]) {
        assert!((found - expected).abs() < 1.0e-3 * expected.abs(), "{found} against {expected}");
    }
    let all = moved.hooks[0].force + moved.hooks[1].force;
    assert!(all.length() < 1.0e-6, "the sum of the forces on the hooks is the weight: {all}");
}

#[test]
fn masses_and_stiffnesses_together_scale_every_force() {
    let file = read("cases.json");
    let (mut ran, mut worst) = (0, 0.0_f64);
    for case in list(&file, "cases") {
        let system = system(&case["input"]).unwrap();
        let certificate = solve(&system).unwrap();
        let derivatives = differentiate(&system, &certificate).unwrap();
        let mut sums: Option<Response> = None;
        let mut add = |parameter, by: f64| {
            let found: Response = derivatives.of(parameter).unwrap();
            let mut sum = sums.take().unwrap_or_else(|| {
                let mut empty = found.clone();
                empty.tensions.fill(0.0);
                empty.bodies.iter_mut().for_each(|b| b.up = DVec3::ZERO);
                empty.hooks.iter_mut().for_each(|h| h.force = DVec3::ZERO);
                empty
            });
            for (sum, rate) in sum.tensions.iter_mut().zip(&found.tensions) {
                *sum += by * rate;
            }
            for (sum, rate) in sum.bodies.iter_mut().zip(&found.bodies) {
                sum.up += by * rate.up;
            }
            for (sum, rate) in sum.hooks.iter_mut().zip(&found.hooks) {
                sum.force += by * rate.force;
            }
            sums = Some(sum);
        };
        for (member, found) in system.members().iter().enumerate() {
            match found.law {
                Law::Linear { ea } => add(Parameter::AxialStiffness { member }, ea),
                _ => add(Parameter::LawScale { member }, 1.0),
            }
        }
        for (body, found) in system.bodies().iter().enumerate() {
            add(Parameter::Mass { body }, found.mass);
        }
        let sums = sums.unwrap();
        let largest = certificate.members.iter().fold(0.0_f64, |most, m| most.max(m.tension));
        let mut near = |a: f64, b: f64, size: f64| {
            worst = worst.max((a - b).abs() / size);
            assert!((a - b).abs() < 1.0e-7 * size, "{}: {a} against {b}", case["id"]);
        };
        for (sum, member) in sums.tensions.iter().zip(&certificate.members) {
            near(*sum, member.tension, largest);
        }
        for (sum, pull) in sums.hooks.iter().zip(&certificate.hooks) {
            near((sum.force - *pull).length(), 0.0, exact_weight(&system));
        }
        for sum in &sums.bodies {
            near(sum.up.length(), 0.0, 1.0);
        }
        // All hooks together move the whole, and change no force.
        for axis in 0..3 {
            let mut moved = vec![0.0; system.members().len()];
            for hook in 0..system.hooks().len() {
                let found = derivatives.of(Parameter::Hook { hook, axis }).unwrap();
                moved.iter_mut().zip(&found.tensions).for_each(|(sum, rate)| *sum += rate);
            }
            let stiffest = scale(&system, &certificate, Parameter::Hook { hook: 0, axis });
            moved.iter().for_each(|sum| near(*sum, 0.0, stiffest));
        }
        ran += 1;
    }
    println!("scaling of forces: {ran} ran, worst {worst:e}");
    assert_eq!(ran, 128);
}

#[test]
fn equal_legs_answer_alike_and_slack_ones_not_at_all() {
    let mut rig = skid(-0.9);
    rig.center_of_gravity = DVec3::new(0.0, 0.0, -0.9);
    let (workspace, mut closed) = (&mut Workspace::default(), BridleDerivatives::default());
    rig.bridle().solve(workspace).unwrap();
    rig.bridle().differentiate(workspace, &mut closed).unwrap();
    let rows: Vec<Vec<f64>> = closed.by_length().map(<[f64]>::to_vec).collect();
    let size = rows[0][0].abs();
    for (i, row) in rows.iter().enumerate() {
        for (j, entry) in row.iter().enumerate() {
            // A diagonal shares the error of one of its legs, the other diagonal takes its load.
            assert_eq!(*entry < 0.0, (i + j) % 2 == 0, "{rows:?}");
            // The legs go round the corners: mirror images of the first are told apart by the signs of their corners.
            let image = |leg: usize| leg ^ (leg >> 1);
            let expected = rows[0][image(image(i) ^ image(j))];
            assert!((entry - expected).abs() < 1.0e-9 * size, "{i} {j} {entry} {expected}");
        }
        let sum: f64 = closed.by_weight().iter().sum();
        assert!((closed.by_weight()[i] - sum / 4.0).abs() < 1.0e-9);
    }
    // Far too long, a leg hangs slack.
    rig.lengths[2] = 7.0;
    let system = rig.system();
    let certificate = solve(&system).unwrap();
    assert!(certificate.members[2].slack && certificate.state == State::Stable);
    let derivatives = differentiate(&system, &certificate).unwrap();
    for parameter in [Parameter::Length { member: 2 }, Parameter::AxialStiffness { member: 2 }] {
        let found = derivatives.of(parameter).unwrap();
        assert!(found.tensions.iter().all(|rate| *rate == 0.0) && found.bodies[0].up == DVec3::ZERO, "{found:?}");
    }
    // Shortened by what it is too long, it comes taut.
    let found = derivatives.of(Parameter::Length { member: 2 }).unwrap();
    let slack = certificate.members[2].length - 7.0;
    assert_eq!(found.decrease.unwrap().member, 2);
    assert!((found.decrease.unwrap().change - slack).abs() < 1.0e-9 && found.increase.is_none());
    for parameter in derivatives.parameters() {
        assert_eq!(derivatives.of(parameter).unwrap().tensions[2], 0.0);
    }
}

#[test]
fn states_without_derivatives_are_refused() {
    let refused = |system: &System, code: &str, place: &str| {
        let certificate = solve(system).unwrap();
        let error: Error = differentiate(system, &certificate).unwrap_err();
        assert_eq!((error.code(), error.place().as_str()), (code, place), "{error}");
    };
    let corners = vec![DVec3::new(1.0, 0.0, 0.0), DVec3::new(-1.0, 0.0, 0.0)];
    let leg = |point, length| Member { a: End::Hook(0), b: End::Body { body: 0, point }, length, law: linear(1.0e9) };
    // Above the line of its two lugs: an unstable balance.
    let load = body(1000.0, DVec3::new(0.0, 0.0, 0.5), corners.clone());
    let two = System::new(9.8, vec![hook(0.0, 5.0)], vec![], vec![load], vec![leg(0, 2.0), leg(1, 2.0)]).unwrap();
    assert_eq!(solve(&two).unwrap().state, State::Unstable);
    refused(&two, "unsupported", "/state");
    // The skid's upright branch has ended.
    let lost = skid(3.6).system();
    assert_eq!(solve(&lost).unwrap().state, State::Lost);
    refused(&lost, "unsupported", "/state");
    let (bridle, mut workspace) = (skid(3.6).bridle(), Workspace::default());
    let mut closed = BridleDerivatives::default();
    let error = bridle.differentiate(&workspace, &mut closed).unwrap_err();
    assert_eq!(error.code(), "inconsistent", "{error}");
    bridle.solve(&mut workspace).unwrap();
    let error = bridle.differentiate(&workspace, &mut closed).unwrap_err();
    assert_eq!(error.code(), "unsupported", "{error}");
    // Of two parallel members the second is as long as the first under load: EA·e = 2^20 N, L = 1 + 2^-10.
    let load = || body(1.0, DVec3::new(0.0, 0.0, -0.5), vec![DVec3::ZERO]);
    let sling = |length, law| Member { a: End::Hook(0), b: End::Body { body: 0, point: 0 }, length, law };
    let weight = 1_048_576.0 / 1024.0;
    let slings = vec![sling(1.0, linear(1_048_576.0)), sling(1.0 + 1.0 / 1024.0, linear(1.0e6))];
    let at = System::new(weight, vec![hook(0.0, 5.0)], vec![], vec![load()], slings).unwrap();
    refused(&at, "out_of_domain", "/members/1");
    // A law with a corner at the strain at which it hangs.
    let corner = Law::piecewise_linear(vec![[0.01, weight], [0.02, 3.0 * weight]]).unwrap();
    let at = System::new(weight, vec![hook(0.0, 5.0)], vec![], vec![load()], vec![sling(1.0, corner)]).unwrap();
    refused(&at, "out_of_domain", "/members/0");
    // Away from both there are derivatives, and what does not exist is refused.
    let slings = vec![sling(1.0, linear(1_048_576.0)), sling(1.01, Law::polynomial(vec![1.0e6, 1.0e6]).unwrap())];
    let system = System::new(weight, vec![hook(0.0, 5.0)], vec![], vec![load()], slings).unwrap();
    let certificate = solve(&system).unwrap();
    let derivatives = differentiate(&system, &certificate).unwrap();
    for (parameter, code) in [
        (Parameter::Length { member: 2 }, "out_of_domain"),
        (Parameter::Hook { hook: 0, axis: 3 }, "out_of_domain"),
        (Parameter::Mass { body: 1 }, "out_of_domain"),
        (Parameter::AxialStiffness { member: 1 }, "unsupported"),
    ] {
        assert_eq!(derivatives.of(parameter).unwrap_err().code(), code, "{parameter:?}");
    }
    // A certificate of another system.
    let mut other = system.members().to_vec();
    other[0].length = 1.001;
    let other = System::new(weight, vec![hook(0.0, 5.0)], vec![], vec![load()], other).unwrap();
    assert_eq!(differentiate(&other, &certificate).unwrap_err().code(), "inconsistent");
    assert_eq!(differentiate(&two, &certificate).unwrap_err().code(), "inconsistent");
}
