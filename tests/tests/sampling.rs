//! Sampling: the table of a reference simulation, repeatability, small probabilities against plain counting.

use glam::DVec3;
use rigging_core::arrangement::Lift;
use rigging_core::checks::ReliabilityInputs;
use rigging_core::equilibrium::bridle::Bridle;
use rigging_core::equilibrium::nearby::Nominal;
use rigging_core::equilibrium::sampling::{
    Distribution, Effort, Experiment, Input, Response, Sample, normal_probability, reliability_index,
};
use rigging_core::error::Error;
use rigging_core::gear::Known;
use rigging_core::rules::RuleSet;
use rigging_core::statics::ExperimentInputs;
use rigging_core::system::Law;
use serde_json::Value;

const WEIGHT: f64 = 1.0e5;

/// The bridle of the reference table: a square of half side 1, legs at 60° from horizontal, exact unstretched lengths.
fn square(relative: f64, depth_over_half_diagonal: f64) -> Bridle {
    let points = [[1.0, 1.0], [1.0, -1.0], [-1.0, -1.0], [-1.0, 1.0]].map(|[x, y]| DVec3::new(x, y, 0.0));
    let laws = vec![Law::linear(relative * WEIGHT).unwrap(); 4];
    let center = DVec3::new(0.0, 0.0, -depth_over_half_diagonal * 2.0_f64.sqrt());
    Bridle::new(points.to_vec(), vec![8.0_f64.sqrt(); 4], laws, center, WEIGHT).unwrap()
}

fn experiment(bridle: Bridle, relative_tolerance: f64, seed: u64) -> Experiment {
    let lengths = bridle.lengths().to_vec();
    let uncertain = lengths.iter().enumerate().map(|(leg, length)| {
        let end = length * relative_tolerance;
        (Input::Length(leg), Distribution::uniform(length - end, length + end).unwrap())
    });
    let uncertain = uncertain.collect();
    Experiment::new(Nominal::new(bridle).unwrap(), uncertain, seed).unwrap()
}

fn drawn(experiment: &Experiment, count: usize, threads: usize) -> Sample {
    let mut sample = Sample::default();
    sample.draw(experiment, count, threads).unwrap();
    sample
}

fn table(name: &str) -> Vec<Value> {
    let text = include_str!("../reference/equilibrium/skew-monte-carlo.json");
    let table: Value = serde_json::from_str(text).unwrap();
    table[name].as_array().unwrap().clone()
}

/// Sampling error of a quantile read from a finite sample: half the width of the 99.99 % interval of order statistics.
fn agrees(found: f64, least: Option<f64>, most: Option<f64>, printed: f64, digit: f64) -> bool {
    // Both samples err: the interval of ours is widened by its own width.
    let (least, most) = (least.unwrap_or(0.0), most.unwrap_or(f64::INFINITY));
    (least - (found - least) - digit..=most + (most - found) + digit).contains(&printed)
}

#[test]
fn the_table_of_the_reference_simulation_is_met_within_sampling_error() {
    const ROWS: usize = 100_000;
    let factor = WEIGHT / (4.0 * 60.0_f64.to_radians().sin());
    let mut checked = 0;
    for row in table("rows") {
        let relative = row["EA_over_W"].as_f64().unwrap();
        let depth = row["cog_depth_over_half_diagonal"].as_f64().unwrap();
        let sample = drawn(&experiment(square(relative, depth), 0.0025, 1), ROWS, 0);
        assert_eq!(sample.not_lifted(), 0, "EA/W {relative}, depth {depth}");
        let label = format!("EA/W {relative}, depth {depth}");
        let [mean, deviation] = sample.moments(Response::Largest).unwrap().map(|value| value / factor);
        let printed = |key: &str| row[key].as_f64().unwrap();
        // Both means scatter by deviation/√n: five standard errors of their difference, and half of the last digit.
        let error = 5.0 * deviation * (2.0 / ROWS as f64).sqrt() + 5.0e-5;
        assert!((mean - printed("mean")).abs() <= error, "{label}: mean {mean}");
        // The spread of a bounded quantity is known at least as well as that of a normal one would be.
        let spread = printed("sd");
        assert!((deviation - spread).abs() <= 0.02 * spread, "{label}: deviation {deviation}");
        for (key, p) in [("p05", 0.05), ("p50", 0.5), ("p95", 0.95), ("p99", 0.99), ("p99.9", 0.999)] {
            let found = sample.quantile(Response::Largest, p, 0.9999).unwrap();
            let [value, least, most] = [Some(found.value), found.least, found.most].map(|v| v.map(|v| v / factor));
            let value = value.unwrap();
            assert!(agrees(value, least, most, printed(key), 5.0e-5), "{label}: {key} {value} {least:?} {most:?}");
            checked += 1;
        }
        let [least, _] = sample.moments(Response::Least).unwrap().map(|value| value / factor);
        assert!((least - printed("min_leg_factor_mean")).abs() <= 2.0 * error + 5.0e-5, "{label}: least {least}");
        for (key, legs) in [("fraction_with_slack_leg", 1), ("fraction_two_slack", 2)] {
            if depth == 0.0 && legs == 2 {
                // With the center of gravity in the plane of the lugs the load balances on two legs for any turn about
                // their line: whether a leg beside it carries 1e-6 of the weight or nothing hangs on rounding.
                continue;
            }
            let found = sample.slack(legs, 0.9999).unwrap();
            let wide = found.most - found.least + 5.0e-6;
            assert!((found.share - printed(key)).abs() <= wide, "{label}: {key} {}", found.share);
            checked += 1;
        }
    }
    println!("{checked} figures of the table");
    assert_eq!(checked, 14 * 7 - 3);
}

#[test]
fn all_but_inextensible_legs_meet_the_table_too() {
    let factor = WEIGHT / (4.0 * 60.0_f64.to_radians().sin());
    let mut checked = 0;
    for row in table("inextensible_limit") {
        let count = row["samples"].as_u64().unwrap() as usize;
        let relative = row["EA_over_W"].as_f64().unwrap();
        let sample = drawn(&experiment(square(relative, 0.5), 0.0025, 2), count, 0);
        for (key, p) in [("p05", 0.05), ("p50", 0.5), ("p95", 0.95), ("p99", 0.99), ("p99.9", 0.999)] {
            let found = sample.quantile(Response::Largest, p, 0.9999).unwrap();
            let [value, least, most] = [Some(found.value), found.least, found.most].map(|v| v.map(|v| v / factor));
            let value = value.unwrap();
            let printed = row[key].as_f64().unwrap();
            assert!(agrees(value, least, most, printed, 5.0e-6), "EA/W {relative}: {key} {value} {least:?} {most:?}");
            checked += 1;
        }
        let two = sample.slack(2, 0.9999).unwrap();
        let printed = row["fraction_two_slack"].as_f64().unwrap();
        assert!((two.share - printed).abs() <= two.most - two.least, "EA/W {relative}: {}", two.share);
        checked += 1;
    }
    assert_eq!(checked, 12);
}

#[test]
fn neither_threads_nor_pieces_change_a_bit() {
    let experiment = experiment(square(500.0, 0.5), 0.0025, 99);
    let bits = |sample: &Sample| sample.tension().iter().map(|value| value.to_bits()).collect::<Vec<_>>();
    let whole = drawn(&experiment, 20_001, 1);
    for threads in [2, 7] {
        assert_eq!(bits(&whole), bits(&drawn(&experiment, 20_001, threads)));
    }
    let mut pieces = Sample::default();
    for size in [1, 4095, 3, 8192, 7710] {
        pieces.draw(&experiment, size, 2).unwrap();
    }
    assert_eq!(whole, pieces);
    // Every row is that of its inputs.
    for row in [0, 1, 4096, 20_000] {
        let mut single = experiment.nominal().bridle().unwrap().bridle().clone();
        for (leg, length) in experiment.inputs(row).into_iter().enumerate() {
            single.set_length(leg, length).unwrap();
        }
        let mut workspace = rigging_core::equilibrium::bridle::Workspace::default();
        single.solve(&mut workspace).unwrap();
        for (leg, tension) in workspace.tensions().enumerate() {
            assert!((whole.tension()[row as usize * 4 + leg] - tension).abs() < 1.0e-8 * WEIGHT);
        }
    }
    assert_ne!(bits(&whole), bits(&drawn(&self::experiment(square(500.0, 0.5), 0.0025, 100), 20_001, 1)));
    let small = |repeat| experiment.rare(&[0.9 * WEIGHT; 4], Effort { rows: 200, repeats: 2 }, repeat);
    assert_eq!(small(1).err().map(|e| e.status()), small(3).err().map(|e| e.status()));
    let limits = [0.45 * WEIGHT; 4];
    let effort = Effort { rows: 1000, repeats: 3 };
    assert_eq!(experiment.rare(&limits, effort, 1).unwrap(), experiment.rare(&limits, effort, 7).unwrap());
}

/// Lengths of a bridle at EA/W = 20 that scatter as normal ones.
fn gaussian(relative_deviation: f64, seed: u64) -> Experiment {
    let bridle = square(20.0, 0.5);
    let lengths = bridle.lengths().to_vec();
    let normal = |(leg, length): (usize, &f64)| {
        (Input::Length(leg), Distribution::normal(*length, length * relative_deviation).unwrap())
    };
    let uncertain = lengths.iter().enumerate().map(normal).collect();
    Experiment::new(Nominal::new(bridle).unwrap(), uncertain, seed).unwrap()
}

#[test]
fn first_order_is_exact_where_tensions_are_nearly_linear() {
    let experiment = gaussian(0.0005, 3);
    let nominal = experiment.nominal().tensions()[0];
    // A leg's tension is nearly normal here; its deviation from a plain sample.
    let sample = drawn(&experiment, 100_000, 0);
    let [mean, deviation] = sample.moments(Response::Leg(0)).unwrap();
    for steps in [1.0, 2.0, 4.0] {
        let found = experiment.first_order(0, mean + steps * deviation).unwrap();
        assert!((found.index - steps).abs() < 0.05 + 0.01 * steps, "{steps}: {found:?}");
        assert!((normal_probability(-found.index) - found.probability).abs() < 1.0e-15);
        assert!((found.importance.iter().sum::<f64>() - 1.0).abs() < 1.0e-12);
        // The legs of one diagonal act alike, those of the other against them, nearly by the same amount.
        assert!(found.importance.iter().all(|share| (share - 0.25).abs() < 0.02), "{found:?}");
        // At the point the limit is met.
        let mut at = experiment.nominal().bridle().unwrap().bridle().clone();
        found.inputs.iter().enumerate().for_each(|(leg, length)| at.set_length(leg, *length).unwrap());
        let mut workspace = rigging_core::equilibrium::bridle::Workspace::default();
        at.solve(&mut workspace).unwrap();
        let tension = workspace.tensions().next().unwrap();
        assert!((tension / (mean + steps * deviation) - 1.0).abs() < 1.0e-8);
    }
    // A limit below the median is exceeded more often than not.
    let below = experiment.first_order(0, nominal - deviation).unwrap();
    assert!((below.index + 1.0).abs() < 0.1 && below.probability > 0.8);
    // One that no leg reaches.
    assert!(matches!(experiment.first_order(0, 10.0 * WEIGHT), Err(Error::Unconverged { .. })));
}

#[test]
fn a_rare_event_is_as_frequent_as_counting_says() {
    let experiment = gaussian(0.0005, 11);
    let [mean, deviation] = drawn(&experiment, 50_000, 0).moments(Response::Leg(0)).unwrap();
    // Each leg beyond 3.9 deviations of its mean: 1e-4 for any of four, in pairs that nearly coincide.
    let limits = [mean + 3.9 * deviation; 4];
    let rare = experiment.rare(&limits, Effort { rows: 2000, repeats: 10 }, 0).unwrap();
    let counted = drawn(&experiment, 2_000_000, 0).any_exceedance(&limits, 0.99).unwrap();
    println!(
        "subset simulation {:.3e} ± {:.1e}, counted {:.3e} ({:.3e} to {:.3e})",
        rare.probability, rare.standard_error, counted.share, counted.least, counted.most
    );
    assert!(counted.share > 3.0e-5 && counted.share < 3.0e-4);
    let wide = 4.0 * rare.standard_error;
    assert!(rare.probability - wide <= counted.most && rare.probability + wide >= counted.least);
    // Known to a tenth, not to a factor.
    assert!(rare.standard_error < 0.15 * rare.probability);
    assert!((rare.index - reliability_index(rare.probability)).abs() < 1.0e-12);
    assert_eq!(rare.repeats.len(), 10);
}

#[test]
#[ignore = "counts 200 million loads: cargo test --release -p rigging-tests --test sampling -- --ignored --nocapture"]
fn a_very_rare_event_is_as_frequent_as_counting_says() {
    let experiment = gaussian(0.0005, 12);
    let [mean, deviation] = drawn(&experiment, 50_000, 0).moments(Response::Leg(0)).unwrap();
    let limits = [mean + 4.9 * deviation; 4];
    let rare = experiment.rare(&limits, Effort { rows: 10_000, repeats: 20 }, 0).unwrap();
    let mut count = 0;
    for seed in 0..100 {
        count += drawn(&gaussian(0.0005, 1000 + seed), 2_000_000, 0).any_exceedance(&limits, 0.99).unwrap().count;
    }
    let counted = count as f64 / 2.0e8;
    println!(
        "subset simulation {:.3e} ± {:.1e}, counted {counted:.3e} ({count})",
        rare.probability, rare.standard_error
    );
    assert!((rare.probability - counted).abs() <= 4.0 * (rare.standard_error + (count as f64).sqrt() / 2.0e8));
}

#[test]
fn a_load_that_turns_over_exceeds_every_limit() {
    let points = vec![DVec3::new(1.0, 0.0, 0.0), DVec3::new(-1.0, 0.0, 0.0)];
    let laws = vec![Law::linear(1.0e8).unwrap(); 2];
    let bridle = Bridle::new(points, vec![2.0; 2], laws, DVec3::new(0.0, 0.0, -0.05), 1.0e4).unwrap();
    let height = (Input::Center(2), Distribution::uniform(-0.1, 1.0).unwrap());
    let experiment = Experiment::new(Nominal::new(bridle).unwrap(), vec![height], 4).unwrap();
    let sample = drawn(&experiment, 400, 2);
    let lost = sample.not_lifted();
    assert!(lost > 100 && lost < 400, "{lost}");
    assert_eq!(sample.state().iter().filter(|state| !(0..=1).contains(*state)).count(), lost);
    let never = [f64::INFINITY; 2];
    assert_eq!(sample.any_exceedance(&never, 0.9).unwrap().count, lost as u64);
    assert_eq!(sample.governing(&[1.0; 2]).unwrap().not_lifted, lost as u64);
    assert_eq!(sample.quantile(Response::Largest, 0.999, 0.9).unwrap().value, f64::INFINITY);
}

#[test]
fn what_governs_adds_up_and_limits_are_checked() {
    let sample = drawn(&experiment(square(200.0, 0.5), 0.0025, 5), 10_000, 2);
    let found = sample.governing(&[1.0, 1.0, 1.0, 2.0]).unwrap();
    assert_eq!(found.legs.iter().sum::<u64>() + found.not_lifted, 10_000);
    // A leg with twice the limit never governs as long as the leg across carries as much.
    assert_eq!(found.legs[3], 0);
    assert!((0..3).all(|leg| found.legs[leg] > 1000), "{found:?}");
    let shares = sample.exceedance(&[0.4 * WEIGHT, 0.4 * WEIGHT, f64::INFINITY, 0.1], 0.95).unwrap();
    assert!(shares[0].least < shares[0].share && shares[0].share < shares[0].most);
    assert_eq!((shares[2].count, shares[2].least), (0, 0.0));
    for limits in [&[1.0; 3][..], &[1.0, 1.0, 1.0, -1.0], &[1.0, 1.0, 1.0, f64::NAN]] {
        assert!(sample.exceedance(limits, 0.95).is_err());
    }
    assert!(sample.quantile(Response::Leg(4), 0.5, 0.9).is_err());
    assert!(sample.quantile(Response::Leg(0), 1.0, 0.9).is_err());
    assert!(Sample::default().quantile(Response::Largest, 0.5, 0.9).is_err());
    // Too small a sample has no bound rather than a wrong one.
    let few = drawn(&experiment(square(200.0, 0.5), 0.0025, 5), 10, 1);
    assert_eq!(few.quantile(Response::Largest, 0.999, 0.95).unwrap().most, None);
}

#[test]
fn bounds_of_quantiles_cover_as_often_as_they_say() {
    let all = drawn(&experiment(square(200.0, 0.5), 0.0025, 6), 200_000, 0);
    let truth = all.quantile(Response::Largest, 0.9, 0.5).unwrap().value;
    let mut covered = 0;
    for seed in 0..400 {
        let part = drawn(&experiment(square(200.0, 0.5), 0.0025, 1000 + seed), 200, 1);
        let found = part.quantile(Response::Largest, 0.9, 0.9).unwrap();
        covered += u32::from(found.least.unwrap() <= truth && truth <= found.most.unwrap());
    }
    // At least 90 %, less three standard deviations of 400 trials; not nearly all of them.
    assert!((342..=392).contains(&covered), "{covered}");
}

#[test]
fn inputs_that_make_no_sense_are_refused() {
    let new = |uncertain| Experiment::new(Nominal::new(square(200.0, 0.5)).unwrap(), uncertain, 0);
    let one = || Distribution::uniform(1.0, 2.0).unwrap();
    assert_eq!(new(vec![]).unwrap_err().code(), "missing");
    assert_eq!(new(vec![(Input::Length(4), one())]).unwrap_err().code(), "out_of_domain");
    assert_eq!(new(vec![(Input::Center(3), one())]).unwrap_err().code(), "out_of_domain");
    assert_eq!(new(vec![(Input::Weight, one()), (Input::Weight, one())]).unwrap_err().code(), "inconsistent");
    // A user's own function that returns nonsense makes rows without a lift, not numbers.
    let bad = new(vec![(Input::Length(0), Distribution::quantile_function(|_| f64::NAN))]).unwrap();
    let sample = drawn(&bad, 10, 1);
    assert_eq!((sample.not_lifted(), sample.status()[0] != 0), (10, true));
    assert!(bad.rare(&[1.0; 3], Effort::default(), 1).is_err());
    for effort in [Effort { rows: 55, repeats: 3 }, Effort { rows: 1000, repeats: 1 }] {
        assert!(bad.rare(&[1.0; 4], effort, 1).is_err());
    }
}

fn skid() -> Lift {
    Lift::from_json(include_str!("../../rigging-core/examples/lifts/generator-skid.json")).unwrap()
}

fn read(lengths: &str, read_as: &str) -> Result<Experiment, Error> {
    let text = format!(
        r#"{{"stiffness": [0.1, 0, 0, 0], "mass": 0.03, "center_of_gravity": [0, 0.02, 0], "seed": 3{lengths}, "read_as": {{{read_as}}}}}"#
    );
    skid().hang().unwrap().experiment(&ExperimentInputs::from_json(&text).unwrap())
}

/// What the document gives a tolerance scatters about the stated number, read as told; what has none is fixed.
#[test]
fn tolerances_of_a_document_scatter_as_they_are_read() {
    let all = r#""lengths": "uniform", "stiffness": "triangular", "center_of_gravity": {"normal": {"deviations": 2}},
        "mass": {"truncated_normal": {"deviations": 3}}"#;
    let experiment = read("", all).unwrap();
    let told: Vec<String> = experiment.uncertain().iter().map(|(input, how)| format!("{input:?}: {how:?}")).collect();
    assert_eq!(told.len(), 7);
    for (leg, told) in told.iter().take(4).enumerate() {
        assert_eq!(*told, format!("Length({leg}): uniform from 5.97 to 6.03"));
    }
    assert_eq!(told[4], "Stiffness(0): triangular, 0.9, 1, 1.1");
    let (_, center) = &experiment.uncertain()[5];
    // A normal value lies a standard deviation, half the tolerance, below its mean with this probability.
    let below = normal_probability(-1.0);
    assert!((center.quantile(0.5) - center.quantile(below) - 0.01).abs() < 1.0e-12 && told[5].starts_with("Center(1)"));
    let (input, mass) = &experiment.uncertain()[6];
    let weight = 18.5e3 * 9.80665;
    assert_eq!(*input, Input::Weight);
    assert!(
        (mass.quantile(1.0e-9) / weight - 0.97).abs() < 1.0e-6 && (mass.quantile(0.5) / weight - 1.0).abs() < 1.0e-9
    );
    // A tolerance of the document that is not to be used is left out by a zero.
    let fixed = read(r#", "lengths": [0, 0, 0, 0.01]"#, all).unwrap();
    assert_eq!(fixed.uncertain().len(), 4);
}

#[test]
fn how_a_tolerance_is_read_is_never_assumed() {
    let some = r#""lengths": "uniform", "stiffness": "triangular", "mass": "uniform""#;
    let error = read("", some).unwrap_err();
    assert!(matches!(error, Error::Missing { .. }) && error.to_string().contains("center of gravity"), "{error}");
    let bad = some.to_owned() + r#", "center_of_gravity": {"normal": {"deviations": -1}}"#;
    assert!(matches!(read("", &bad), Err(Error::OutOfDomain { .. })));
    assert!(
        ExperimentInputs::from_json(r#"{"stiffness": [], "mass": 0, "seed": 1, "read_as": {"wind": "uniform"}}"#)
            .is_err()
    );
}

/// The implied index against strengths that are drawn one by one, at a probability that counting finds; and with tensions that
/// hardly scatter against the closed form of a lognormal strength.
#[test]
fn the_index_of_a_rule_set_is_as_frequent_as_counting_says() {
    let lift = skid();
    let rules = RuleSet::built_in("us-general").unwrap();
    let ask = |lengths: f64, mean: f64, variation: f64| {
        let text = format!(
            r#"{{"experiment": {{"stiffness": [0, 0, 0, 0], "mass": 0, "center_of_gravity": [0, 0, 0], "seed": 5,
                "lengths": [{lengths}, {lengths}, {lengths}, {lengths}], "read_as": {{"lengths": "uniform"}}}},
                "strengths": [{0}, {0}, {0}, {0}], "rows": 20000}}"#,
            format!(r#"{{"mean": {mean}, "variation": {variation}}}"#)
        );
        ReliabilityInputs::from_json(&text).unwrap()
    };
    let inputs = ask(0.03, 1.0e5, 0.15);
    let found = lift.implied_indices(&rules, &inputs).unwrap();
    let assessment = lift.assess(&rules).unwrap();
    let sample = drawn(&lift.hang().unwrap().experiment(&inputs.experiment).unwrap(), 20_000, 0);
    let square = (1.0_f64 + 0.15 * 0.15).ln();
    let strengths = Distribution::normal((1.0e5_f64).ln() - 0.5 * square, square.sqrt()).unwrap();
    for (leg, index) in found.legs.iter().enumerate() {
        assert_eq!(index.utilization, assessment.legs[leg].utilization.unwrap());
        let mut failed = 0.0;
        for (row, tension) in sample.tension().iter().skip(leg).step_by(4).enumerate() {
            // Fifty strengths for each row, from numbers of their own.
            for draw in 0..50 {
                let p =
                    ((row * 50 + draw) as f64 * 0.618_033_988_749_894_9 + 0.5).fract().clamp(1.0e-12, 1.0 - 1.0e-12);
                failed += f64::from(u8::from(strengths.quantile(p).exp() < tension / index.utilization));
            }
        }
        let counted = failed / (50.0 * 20_000.0);
        assert!(counted > 1.0e-3 && (index.probability / counted - 1.0).abs() < 0.05, "{index:?} counted {counted}");
        assert!((reliability_index(index.probability) - index.index).abs() < 1.0e-12);
    }
    // Lengths that hardly scatter: all rows are the nominal one.
    let found = lift.implied_indices(&rules, &ask(1.0e-9, 5.0e5, 0.08)).unwrap();
    let square = (1.0_f64 + 0.08 * 0.08).ln();
    for (index, leg) in found.legs.iter().zip(&assessment.legs) {
        let z = ((leg.nominal / index.utilization / 5.0e5).ln() + 0.5 * square) / square.sqrt();
        assert!((index.index + z).abs() < 1.0e-4 * z.abs(), "{index:?} against {z}");
    }
    // Nobody measured the strength of one leg.
    let mut unknown = ask(0.03, 5.0e5, 0.08);
    unknown.strengths[2] = Known::Unknown;
    let error = lift.implied_indices(&rules, &unknown).unwrap_err();
    assert!(matches!(error, Error::Missing { .. }) && error.to_string().contains("strength"), "{error}");
    for (mean, variation) in [(0.0, 0.1), (1.0e5, 0.0), (1.0e5, -0.1)] {
        assert!(lift.implied_indices(&rules, &ask(0.03, mean, variation)).is_err());
    }
}
