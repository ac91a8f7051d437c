//! Sampling of any arrangement: against the cold solver row by row, closed forms of lifts that are statically determinate,
//! the lanes of a bridle, and itself in other pieces.

use glam::{DQuat, DVec3};
use rigging_core::arrangement::Lift;
use rigging_core::checks::ReliabilityInputs;
use rigging_core::equilibrium::bridle::Bridle;
use rigging_core::equilibrium::network::{self, Network, Workspace};
use rigging_core::equilibrium::sampling::{
    Distribution, Effort, Experiment, Input, Response, Sample, normal_probability, reliability_index,
};
use rigging_core::equilibrium::{State, nearby};
use rigging_core::error::Error;
use rigging_core::rules::RuleSet;
use rigging_core::statics::ExperimentInputs;
use rigging_core::system::{Body, End, Hook, Joint, Law, Member, System};

const GRAVITY: f64 = 9.80665;

fn body(mass: f64, center: [f64; 3], points: &[[f64; 3]], position: [f64; 3]) -> Body {
    Body {
        mass,
        center_of_gravity: center.into(),
        points: points.iter().map(|point| DVec3::from(*point)).collect(),
        position: position.into(),
        rotation: DQuat::IDENTITY,
    }
}

fn member(a: End, b: End, length: f64, ea: f64) -> Member {
    Member { a, b, length, law: Law::linear(ea).unwrap() }
}

const fn at(body: usize, point: usize) -> End {
    End::Body { body, point }
}

fn hooks(positions: &[[f64; 3]]) -> Vec<Hook> {
    positions.iter().map(|position| Hook { position: (*position).into() }).collect()
}

/// Two hooks, a plumb leg under each, 24 m apart: levers alone decide. Legs hardly stretch.
fn levers() -> System {
    let points = [[0.0, 0.0, 0.0], [24.0, 0.0, 0.0]];
    let load = body(96.0e3, [10.4, 0.0, -1.1], &points, [0.0; 3]);
    let legs = (0..2).map(|end| member(End::Hook(end), at(0, end), 9.0, 1.0e13)).collect();
    System::new(GRAVITY, hooks(&[[0.0, 0.0, 9.0], [24.0, 0.0, 9.0]]), vec![], vec![load], legs).unwrap()
}

/// Two hooks with a pair of legs each, four lift points.
fn two_pairs() -> System {
    let points = [[5.0, 1.2, 0.0], [5.0, -1.2, 0.0], [-5.0, -1.2, 0.0], [-5.0, 1.2, 0.0]];
    let load = body(40.0e3, [0.4, 0.1, 0.6], &points, [0.0; 3]);
    let length = (1.2_f64 * 1.2 + 25.0).sqrt();
    let ends = [(0, 0), (0, 1), (1, 2), (1, 3)];
    let legs = ends.map(|(hook, point)| member(End::Hook(hook), at(0, point), length, 8.0e6));
    System::new(GRAVITY, hooks(&[[5.0, 0.0, 5.0], [-5.0, 0.0, 5.0]]), vec![], vec![load], legs.to_vec()).unwrap()
}

/// Hook, two slings, a beam, four slings, load.
fn tier() -> System {
    let points = [[3.0, 1.0, 0.0], [3.0, -1.0, 0.0], [-3.0, -1.0, 0.0], [-3.0, 1.0, 0.0]];
    let load = body(20.0e3, [0.2, -0.1, -0.5], &points, [0.0; 3]);
    let beam = body(900.0, [0.0, 0.0, -0.1], &[[3.0, 0.0, 0.0], [-3.0, 0.0, 0.0]], [0.0, 0.0, 4.0]);
    let mut legs = vec![member(End::Hook(0), at(1, 0), 5.0, 6.0e6), member(End::Hook(0), at(1, 1), 5.0, 6.0e6)];
    let below = 17.0_f64.sqrt();
    for (end, point) in [(0, 0), (0, 1), (1, 2), (1, 3)] {
        legs.push(member(at(1, end), at(0, point), below, 4.0e6));
    }
    System::new(GRAVITY, hooks(&[[0.0, 0.0, 8.0]]), vec![], vec![load, beam], legs).unwrap()
}

/// Two hooks with a joint each and two legs below.
fn joints() -> System {
    let points = [[5.0, 1.2, 0.0], [5.0, -1.2, 0.0], [-5.0, -1.2, 0.0], [-5.0, 1.2, 0.0]];
    let load = body(40.0e3, [0.4, 0.1, -0.6], &points, [0.0; 3]);
    let rings = [[5.0, 0.0, 5.0], [-5.0, 0.0, 5.0]].map(|position| Joint { position: position.into() });
    let length = (1.2_f64 * 1.2 + 25.0).sqrt();
    let mut legs: Vec<Member> = (0..2).map(|end| member(End::Hook(end), End::Joint(end), 2.0, 5.0e7)).collect();
    for (ring, point) in [(0, 0), (0, 1), (1, 2), (1, 3)] {
        legs.push(member(End::Joint(ring), at(0, point), length, 8.0e6));
    }
    System::new(GRAVITY, hooks(&[[5.0, 0.0, 7.0], [-5.0, 0.0, 7.0]]), rings.to_vec(), vec![load], legs).unwrap()
}

/// One hook, a link, a joint and four stiff legs: one or two of them are often slack.
fn link() -> System {
    let points = [[2.0, 1.2, 0.0], [2.0, -1.2, 0.0], [-2.0, -1.2, 0.0], [-2.0, 1.2, 0.0]];
    let load = body(10.0e3, [0.1, 0.05, -0.6], &points, [0.0; 3]);
    let ring = Joint { position: DVec3::new(0.0, 0.0, 4.0) };
    let mut legs = vec![member(End::Hook(0), End::Joint(0), 1.0, 5.0e7)];
    let length = (1.2_f64 * 1.2 + 4.0 + 16.0).sqrt();
    legs.extend((0..4).map(|point| member(End::Joint(0), at(0, point), length, 2.0e7)));
    System::new(GRAVITY, hooks(&[[0.0, 0.0, 5.0]]), vec![ring], vec![load], legs).unwrap()
}

/// Everything scatters: lengths by 0.2 %, stiffnesses by 5 %, centers of gravity by 5 cm, weights by 2 %, heights by 2 cm.
fn all_scatter(system: &System) -> Vec<(Input, Distribution)> {
    let mut uncertain = Vec::new();
    for (index, member) in system.members().iter().enumerate() {
        uncertain.push((Input::Length(index), Distribution::normal(member.length, 0.002 * member.length).unwrap()));
        uncertain.push((Input::Stiffness(index), Distribution::uniform(0.95, 1.05).unwrap()));
    }
    for (index, body) in system.bodies().iter().enumerate() {
        for (axis, value) in body.center_of_gravity.to_array().into_iter().enumerate() {
            let spread = if index == 0 { 0.05 } else { 0.01 };
            let cut = Distribution::triangular(value - spread, value, value + spread).unwrap();
            uncertain.push((Input::Center(3 * index + axis), cut));
        }
        let weight = body.mass * GRAVITY;
        let input = if index == 0 { Input::Weight } else { Input::BodyWeight(index) };
        uncertain
            .push((input, Distribution::truncated_normal(weight, 0.02 * weight, 0.9 * weight, 1.1 * weight).unwrap()));
    }
    for (index, hook) in system.hooks().iter().enumerate() {
        let z = hook.position.z;
        uncertain.push((Input::Hook(index), Distribution::uniform(z - 0.02, z + 0.02).unwrap()));
    }
    uncertain
}

fn experiment(system: &System, uncertain: Vec<(Input, Distribution)>, seed: u64) -> Experiment {
    Experiment::new(network::Nominal::new(system).unwrap(), uncertain, seed).unwrap()
}

fn drawn(experiment: &Experiment, count: usize, threads: usize) -> Sample {
    let mut sample = Sample::default();
    sample.draw(experiment, count, threads).unwrap();
    sample
}

/// The system with these values, built anew: nothing of the library's own way to other numbers is used.
fn built(system: &System, uncertain: &[(Input, Distribution)], values: &[f64]) -> System {
    let (mut members, mut bodies) = (system.members().to_vec(), system.bodies().to_vec());
    let mut hooks = system.hooks().to_vec();
    for ((input, _), value) in uncertain.iter().zip(values) {
        match *input {
            Input::Length(index) => members[index].length = *value,
            Input::Stiffness(index) => members[index].law = system.members()[index].law.scaled(*value).unwrap(),
            Input::Center(index) => bodies[index / 3].center_of_gravity[index % 3] = *value,
            Input::Weight => bodies[0].mass = value / GRAVITY,
            Input::BodyWeight(index) => bodies[index].mass = value / GRAVITY,
            Input::Hook(index) => hooks[index].position.z = *value,
            _ => unreachable!("no other input"),
        }
    }
    System::new(GRAVITY, hooks, system.joints().to_vec(), bodies, members).unwrap()
}

#[test]
fn every_row_is_what_the_cold_solver_finds() {
    const ROWS: usize = 2000;
    let mut slack = 0;
    let lifts = [
        ("two pairs", two_pairs()),
        ("tier", tier()),
        ("joints", joints()),
        ("levers", levers()),
        ("link over four legs", link()),
    ];
    for (name, system) in lifts {
        let uncertain = all_scatter(&system);
        let experiment = experiment(&system, uncertain.clone(), 31);
        let sample = drawn(&experiment, ROWS, 2);
        assert_eq!(sample.not_lifted(), 0, "{name}");
        let (legs, hooks) = (system.members().len(), system.hooks().len());
        let weight: f64 = system.bodies().iter().map(|body| body.mass * GRAVITY).sum();
        let mut most = 0.0_f64;
        let mut workspace = Workspace::default();
        for row in 0..ROWS {
            let network = Network::new(&built(&system, &uncertain, &experiment.inputs(row as u64)));
            let outcome = network.solve(&mut workspace).unwrap();
            assert_eq!(outcome.state, State::Stable, "{name}, row {row}");
            let tensions = &sample.tension()[row * legs..(row + 1) * legs];
            for (found, cold) in tensions.iter().zip(workspace.tensions()) {
                most = most.max((found - cold).abs() / weight);
                slack += usize::from(cold == 0.0);
            }
            // Hooks bear the weight, whatever the tensions are.
            let pulls: f64 = sample.hook()[row * hooks..(row + 1) * hooks].iter().sum();
            let members = built(&system, &uncertain, &experiment.inputs(row as u64));
            let whole: f64 = members.bodies().iter().map(|body| body.mass * GRAVITY).sum();
            assert!(pulls >= whole * (1.0 - 1.0e-9) && pulls < 1.05 * whole, "{name}, row {row}: {pulls} of {whole}");
        }
        println!("{name}: {ROWS} rows, {most:.1e} of the weight apart at most, {slack} slack legs up to here");
        // Residuals of 1e-10 of the weight, over the least stiffness of a mode.
        assert!(most < 1.0e-7, "{name}: {most:e}");
    }
    assert!(slack > 200);
}

#[test]
fn a_bridle_as_a_network_has_the_statistics_of_its_lanes() {
    const ROWS: usize = 4000;
    let points = [[1.0, 1.0, 0.0], [1.0, -1.0, 0.0], [-1.0, -1.0, 0.0], [-1.0, 1.0, 0.0]];
    let (mass, center) = (1.0e4, [0.1, 0.05, -0.7]);
    let load = body(mass, center, &points, [0.0; 3]);
    let legs: Vec<Member> = (0..4).map(|leg| member(End::Hook(0), at(0, leg), 2.83, 2.0e7)).collect();
    let system = System::new(GRAVITY, hooks(&[[0.0, 0.0, 4.0]]), vec![], vec![load], legs.clone()).unwrap();
    let laws = legs.iter().map(|leg| leg.law.clone()).collect();
    let points = points.iter().map(|point| DVec3::from(*point)).collect();
    let bridle = Bridle::new(points, vec![2.83; 4], laws, center.into(), mass * GRAVITY).unwrap();
    let uncertain = all_scatter(&system);
    let network = experiment(&system, uncertain.clone(), 5);
    let lanes = Experiment::new(nearby::Nominal::new(bridle).unwrap(), uncertain, 5).unwrap();
    let (one, other) = (drawn(&network, ROWS, 2), drawn(&lanes, ROWS, 2));
    assert_eq!((one.not_lifted(), other.not_lifted()), (0, 0));
    let weight = mass * GRAVITY;
    let apart = one.tension().iter().zip(other.tension()).map(|(a, b)| (a - b).abs() / weight).fold(0.0, f64::max);
    let pulls = one.hook().iter().zip(other.hook()).map(|(a, b)| (a - b).abs() / weight).fold(0.0, f64::max);
    let tilts = one.tilt().iter().zip(other.tilt()).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    let slack = one.slack(1, 0.9).unwrap().count;
    println!("{apart:.1e} of the weight and {tilts:.1e} rad apart, {slack} rows with a slack leg");
    assert!(apart < 1.0e-8 && pulls < 1.0e-9 && tilts < 1.0e-8 && slack > 50);
    for response in [Response::Largest, Response::Leg(2), Response::Hook(0), Response::Tilt] {
        let [a, b] = [&one, &other].map(|sample| sample.quantile(response, 0.95, 0.9).unwrap());
        assert!((a.value - b.value).abs() <= 1.0e-8 * weight, "{response:?}");
    }
    let limits = [4.0e4, 4.0e4, 4.5e4, f64::INFINITY, 1.02 * weight];
    assert_eq!(one.exceedance(&limits, 0.9).unwrap(), other.exceedance(&limits, 0.9).unwrap());
    assert_eq!(one.governing(&limits).unwrap(), other.governing(&limits).unwrap());
    // First order by two ways to the derivatives, of a leg and of the hook.
    for (force, limit) in [(0, 3.9e4), (4, 1.05 * weight)] {
        let [a, b] = [&network, &lanes].map(|experiment| experiment.first_order(force, limit).unwrap());
        assert!((a.index - b.index).abs() < 1.0e-6 && a.index > 0.3, "{a:?} {b:?}");
        assert!(a.importance.iter().zip(&b.importance).all(|(a, b)| (a - b).abs() < 1.0e-5));
    }
    let effort = Effort { rows: 200, repeats: 2 };
    let limits = [4.4e4; 4];
    let [a, b] = [&network, &lanes].map(|experiment| experiment.rare(&limits, effort, 2).unwrap().probability);
    assert!((a / b - 1.0).abs() < 1.0e-6, "{a} {b}");
}

#[test]
fn neither_threads_nor_pieces_change_a_bit() {
    let system = tier();
    let experiment = experiment(&system, all_scatter(&system), 99);
    let whole = drawn(&experiment, 501, 1);
    for threads in [2, 7] {
        assert_eq!(whole, drawn(&experiment, 501, threads));
    }
    let mut pieces = Sample::default();
    for size in [1, 63, 64, 3, 200, 170] {
        pieces.draw(&experiment, size, 2).unwrap();
    }
    assert_eq!(whole, pieces);
    let limits = [f64::INFINITY, f64::INFINITY, 6.4e4, 6.4e4, 6.4e4, 6.4e4, 2.2e5];
    let effort = Effort { rows: 100, repeats: 2 };
    let rare = experiment.rare(&limits, effort, 1).unwrap();
    for threads in [2, 7] {
        assert_eq!(rare, experiment.rare(&limits, effort, threads).unwrap());
    }
    // What is asked before a repeat may stop it.
    let mut asked = 0;
    let stopped = experiment.rare_while(&limits, effort, 1, |done| {
        asked += 1;
        done == 0 && asked < 3
    });
    assert_eq!((stopped.unwrap(), asked), (None, 3));
}

/// Tension of the first leg is W·(24 − x)/24: normal with x, and a product with the weight.
fn shares(seed: u64) -> (Experiment, f64, f64) {
    let x = Distribution::normal(10.4, 0.15).unwrap();
    let weight = 96.0e3 * GRAVITY;
    (experiment(&levers(), vec![(Input::Center(0), x)], seed), weight * 13.6 / 24.0, weight * 0.15 / 24.0)
}

#[test]
fn shares_by_levers_have_their_exact_distribution() {
    let (experiment, mean, deviation) = shares(8);
    let sample = drawn(&experiment, 20_000, 0);
    for (row, pulls) in sample.hook().chunks(2).enumerate() {
        let x = experiment.inputs(row as u64)[0];
        let expected = 96.0e3 * GRAVITY * (24.0 - x) / 24.0;
        assert!((pulls[0] / expected - 1.0).abs() < 1.0e-6, "row {row}: {} against {expected}", pulls[0]);
        assert!((pulls[0] - sample.tension()[2 * row]).abs() < 1.0e-9 * expected);
    }
    for (p, z) in [(0.05, -1.644_853_626_951), (0.5, 0.0), (0.95, 1.644_853_626_951), (0.999, 3.090_232_306_168)] {
        for response in [Response::Hook(0), Response::Leg(0)] {
            let found = sample.quantile(response, p, 0.9999).unwrap();
            let exact = mean + z * deviation;
            let inside = found.least.unwrap() <= exact && found.most.unwrap_or(f64::INFINITY) >= exact;
            assert!(inside, "{response:?} {p}: {found:?} against {exact}");
        }
    }
    // Limits of two legs and two hooks: the second hook carries the rest.
    let limits = [mean + deviation, f64::INFINITY, f64::INFINITY, 96.0e3 * GRAVITY - mean + 2.0 * deviation];
    let found = sample.exceedance(&limits, 0.9999).unwrap();
    for (share, z) in [(&found[0], 1.0), (&found[3], 2.0)] {
        assert!((share.least..=share.most).contains(&normal_probability(-z)), "{share:?}");
    }
    assert_eq!((found[1].count, found[2].count), (0, 0));
    let any = sample.any_exceedance(&limits, 0.9999).unwrap();
    assert!((any.least..=any.most).contains(&(normal_probability(-1.0) + normal_probability(-2.0))));
    assert_eq!(any.count, found[0].count + found[3].count);
}

#[test]
fn rare_events_of_levers_have_their_exact_probability() {
    let (experiment, mean, deviation) = shares(21);
    for (probability, rows) in [(1.0e-4, 2000), (1.0e-6, 2000)] {
        let z = reliability_index(probability);
        let limit = mean + z * deviation;
        for force in [0, 2] {
            let first = experiment.first_order(force, limit).unwrap();
            assert!((first.index - z).abs() < 1.0e-4, "{first:?}");
            assert!((first.inputs[0] - (10.4 - 0.15 * z)).abs() < 1.0e-4);
        }
        // Limits of legs only, and of a hook only.
        let never = f64::INFINITY;
        for limits in [vec![limit, never], vec![never, never, limit, never]] {
            let rare = experiment.rare(&limits, Effort { rows, repeats: 20 }, 0).unwrap();
            println!("{probability:e}: {:.3e} ± {:.1e}", rare.probability, rare.standard_error);
            assert!((rare.probability - probability).abs() < 4.0 * rare.standard_error);
            assert!(rare.standard_error < 0.3 * rare.probability);
        }
    }
}

/// First order against the slope of forces by small differences: every kind of input, of a leg and of a hook.
#[test]
fn the_first_order_point_meets_the_limit_with_the_right_slopes() {
    for system in [two_pairs(), tier(), joints()] {
        let uncertain = all_scatter(&system);
        let experiment = experiment(&system, uncertain.clone(), 2);
        let (legs, hooks) = (system.members().len(), system.hooks().len());
        let forces = |values: &[f64]| {
            let certificate = rigging_core::equilibrium::solve(&built(&system, &uncertain, values)).unwrap();
            let tensions = certificate.members.iter().map(|member| member.tension);
            tensions.chain(certificate.hooks.iter().map(|pull| pull.length())).collect::<Vec<f64>>()
        };
        let medians: Vec<f64> = uncertain.iter().map(|(_, distribution)| distribution.quantile(0.5)).collect();
        let nominal = forces(&medians);
        for force in [2, legs + hooks - 1] {
            let limit = 1.02 * nominal[force];
            let found = experiment.first_order(force, limit).unwrap();
            assert!((forces(&found.inputs)[force] / limit - 1.0).abs() < 1.0e-7);
            // At the nearest point the way from the medians goes along the gradient.
            let z = |column: usize, value: f64| {
                let distribution = &uncertain[column].1;
                let (mut low, mut high) = (-8.0, 8.0);
                for _ in 0..80 {
                    let middle: f64 = 0.5 * (low + high);
                    if distribution.quantile(normal_probability(middle)) < value { low = middle } else { high = middle }
                }
                0.5 * (low + high)
            };
            let at: Vec<f64> = found.inputs.iter().enumerate().map(|(column, value)| z(column, *value)).collect();
            let slope = |column: usize| {
                let side = |sign: f64| {
                    let mut moved = found.inputs.clone();
                    let p = normal_probability(at[column] + sign * 1.0e-3);
                    moved[column] = uncertain[column].1.quantile(p);
                    forces(&moved)[force]
                };
                (side(1.0) - side(-1.0)) / 2.0e-3
            };
            let slopes: Vec<f64> = (0..uncertain.len()).map(slope).collect();
            let size = |vector: &[f64]| vector.iter().map(|v| v * v).sum::<f64>().sqrt();
            let along: f64 = slopes.iter().zip(&at).map(|(a, b)| a * b).sum();
            let cosine = along / (size(&slopes) * size(&at));
            assert!((size(&at) - found.index).abs() < 1.0e-6 && cosine > 1.0 - 1.0e-5, "{cosine} {found:?}");
        }
    }
}

#[test]
fn a_load_that_turns_over_exceeds_every_limit_of_legs_and_hooks() {
    let mut system = two_pairs();
    let mut load = system.bodies()[0].clone();
    load.center_of_gravity.z = 0.2;
    let parts = (system.hooks().to_vec(), system.members().to_vec());
    system = System::new(GRAVITY, parts.0, vec![], vec![load], parts.1).unwrap();
    let height = (Input::Center(2), Distribution::uniform(0.0, 12.0).unwrap());
    let experiment = experiment(&system, vec![height], 4);
    let sample = drawn(&experiment, 300, 2);
    let lost = sample.not_lifted();
    assert!(lost > 50 && lost < 250, "{lost}");
    assert_eq!(sample.state().iter().filter(|state| !(0..=1).contains(*state)).count(), lost);
    assert_eq!(sample.hook().iter().filter(|pull| pull.is_nan()).count(), 2 * lost);
    for never in [vec![f64::INFINITY; 4], vec![f64::INFINITY; 6]] {
        assert_eq!(sample.any_exceedance(&never, 0.9).unwrap().count, lost as u64);
        let rare = experiment.rare(&never, Effort { rows: 200, repeats: 3 }, 2).unwrap();
        assert!((rare.probability - lost as f64 / 300.0).abs() < 4.0 * rare.standard_error + 0.1, "{rare:?}");
    }
    assert_eq!(sample.quantile(Response::Hook(1), 0.999, 0.9).unwrap().value, f64::INFINITY);
}

#[test]
fn inputs_that_make_no_sense_are_refused() {
    let system = tier();
    let one = || Distribution::uniform(1.0, 2.0).unwrap();
    let new = |inputs: &[Input]| {
        let uncertain = inputs.iter().map(|input| (*input, one())).collect();
        Experiment::new(network::Nominal::new(&system).unwrap(), uncertain, 0).map_err(|error| error.code())
    };
    for input in [Input::Length(6), Input::Stiffness(6), Input::Center(6), Input::Hook(1), Input::BodyWeight(2)] {
        assert_eq!(new(&[input]).unwrap_err(), "out_of_domain", "{input:?}");
    }
    assert_eq!(new(&[]).unwrap_err(), "missing");
    assert_eq!(new(&[Input::Weight, Input::BodyWeight(0)]).unwrap_err(), "inconsistent");
    assert!(new(&[Input::Weight, Input::BodyWeight(1), Input::Center(5), Input::Hook(0)]).is_ok());
    let bad = vec![(Input::Length(0), Distribution::quantile_function(|p| if p < 0.5 { f64::NAN } else { 5.0 }))];
    let bad = experiment(&system, bad, 1);
    let sample = drawn(&bad, 100, 2);
    let lost = sample.not_lifted();
    assert!(lost > 20 && lost < 80 && sample.status().iter().filter(|status| **status != 0).count() == lost);
    for limits in [&[1.0; 5][..], &[1.0; 8], &[1.0, 1.0, 1.0, 1.0, 1.0, 1.0, -1.0]] {
        assert!(sample.exceedance(limits, 0.9).is_err() && bad.rare(limits, Effort::default(), 1).is_err());
    }
    assert!(sample.quantile(Response::Hook(1), 0.5, 0.9).is_err());
    assert!(bad.first_order(7, 1.0e5).is_err());
}

fn demo(name: &str) -> Lift {
    let path = format!("{}/../rigging-core/examples/lifts/{name}.json", env!("CARGO_MANIFEST_DIR"));
    Lift::from_json(&std::fs::read_to_string(path).unwrap()).unwrap()
}

#[test]
fn documents_with_several_hooks_and_tiers_scatter_as_they_are_read() {
    let vessel = demo("vessel-two-cranes").hang().unwrap();
    let ask = |more: &str| {
        let text = format!(r#"{{"stiffness": [0, 0], "mass": 0, "seed": 3, "lengths": [0, 0]{more}}}"#);
        vessel.experiment(&ExperimentInputs::from_json(&text).unwrap())
    };
    // An absent tolerance is unknown, not zero.
    let missing = ask(r#", "read_as": {"center_of_gravity": "uniform"}"#).unwrap_err();
    assert!(matches!(missing, Error::Missing { .. }) && missing.to_string().contains("hook_heights"), "{missing}");
    let unread = ask(r#", "hook_heights": [0.1, 0.1], "read_as": {"center_of_gravity": "uniform"}"#).unwrap_err();
    assert!(matches!(unread, Error::Missing { .. }) && unread.to_string().contains("hook heights"), "{unread}");
    assert!(ask(r#", "hook_heights": [0.1], "read_as": {}"#).is_err());
    let read_as = r#""read_as": {"center_of_gravity": "uniform", "hook_heights": {"normal": {"deviations": 2}}}"#;
    let experiment = ask(&format!(r#", "hook_heights": [0.1, 0.2], {read_as}"#)).unwrap();
    let told: Vec<String> = experiment.uncertain().iter().map(|(input, how)| format!("{input:?}: {how:?}")).collect();
    assert_eq!(told.len(), 3);
    assert!(told[0].starts_with("Center(0): uniform from 10 to 10.8"), "{told:?}");
    assert_eq!(
        told[1..],
        ["Hook(0): normal, mean 9, standard deviation 0.05", "Hook(1): normal, mean 9, standard deviation 0.1"]
    );
    // Of a single hook the height changes nothing, and a spreader is sampled like anything else.
    let panel = demo("panel-spreader").hang().unwrap();
    let zeros = vec!["0"; panel.legs().len()].join(", ");
    let text = format!(
        r#"{{"stiffness": [{zeros}], "mass": 0.02, "seed": 3, "read_as": {{"lengths": "uniform",
        "center_of_gravity": "uniform", "mass": "triangular"}}}}"#
    );
    let experiment = panel.experiment(&ExperimentInputs::from_json(&text).unwrap()).unwrap();
    let sample = drawn(&experiment, 300, 2);
    assert_eq!((sample.not_lifted(), sample.legs(), sample.hooks()), (0, panel.legs().len(), 1));
    let nominal: Vec<f64> = panel.certificate().members.iter().map(|member| member.tension).collect();
    for (found, own) in experiment.nominal().tensions().iter().zip(&nominal) {
        assert!((found - own).abs() < 1.0e-6 * nominal[0]);
    }
    let [mean, deviation] = sample.moments(Response::Hook(0)).unwrap();
    let weight = panel.certificate().hooks[0].length();
    assert!((mean / weight - 1.0).abs() < 0.003 && deviation > 0.0);
}

/// Two hooks: tensions that scatter by levers alone, against the closed form of a lognormal strength.
#[test]
fn the_index_of_a_rule_set_is_found_for_several_hooks() {
    let (lift, rules) = (demo("vessel-two-cranes"), RuleSet::built_in("us-general").unwrap());
    let ask = |deviation: f64| {
        let text = format!(
            r#"{{"experiment": {{"stiffness": [0, 0], "mass": 0, "lengths": [0, 0], "center_of_gravity": [{deviation}, 0, 0],
                "hook_heights": [0, 0], "seed": 5, "read_as": {{"center_of_gravity": {{"normal": {{"deviations": 1}}}}}}}},
                "strengths": [{{"mean": 1.0e6, "variation": 0.1}}, {{"mean": 1.0e6, "variation": 0.1}}], "rows": 4000}}"#
        );
        ReliabilityInputs::from_json(&text).unwrap()
    };
    let found = lift.implied_indices(&rules, &ask(0.2)).unwrap();
    let assessment = lift.assess(&rules).unwrap();
    let square = (1.0_f64 + 0.1 * 0.1).ln();
    for (index, ((implied, figures), span)) in found.legs.iter().zip(&assessment.legs).zip([13.6, 10.4]).enumerate() {
        let utilization = figures.utilization.unwrap();
        assert_eq!(implied.utilization, utilization);
        // Mean of the distribution function of strength over the center of gravity, by the rule of the middle.
        let count = 20_000;
        let mean = (0..count).map(|part| {
            let z = Distribution::normal(0.0, 1.0).unwrap().quantile((f64::from(part) + 0.5) / f64::from(count));
            let sign = if index == 0 { -1.0 } else { 1.0 };
            let tension = 96.0e3 * GRAVITY * (span + sign * 0.2 * z) / 24.0;
            normal_probability(((tension / utilization / 1.0e6).ln() + 0.5 * square) / square.sqrt())
        });
        let exact = mean.sum::<f64>() / f64::from(count);
        let error = (implied.probability - exact).abs();
        println!("{}: {:.3e} ± {:.0e} against {exact:.3e}", implied.leg, implied.probability, implied.standard_error);
        // Legs stretch, which moves the levers by less than a thousandth.
        assert!(error < 4.0 * implied.standard_error + 0.02 * exact, "{implied:?} against {exact}");
    }
}
