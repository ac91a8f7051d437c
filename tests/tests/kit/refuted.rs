//! Rules against the search: those that forget something are refuted, from whatever start; the solver is not.

use super::*;

/// Ten starts.
const SEEDS: std::ops::RangeInclusive<u64> = 11..=20;

fn searched(rule: &dyn SharingRule, domain: &Domain, search: Search) -> Searched {
    refute(rule, domain, &search).unwrap()
}

/// Hung once more, by the solver of networks, which shares no code with that of one hook: the tensions are what the case says,
/// and the rule falls short by what it says.
fn hangs_as_told(case: &Case, rule: &dyn SharingRule) {
    let outline = &case.outline;
    let mut hung = outline.clone();
    for (length, longer) in hung.lengths.iter_mut().zip(&case.longer) {
        *length += longer;
    }
    for (coordinate, moved) in hung.center_of_gravity.iter_mut().zip(case.center_moved) {
        *coordinate += moved;
    }
    let network = Network::new(&hung.system().unwrap());
    let mut workspace = network::Workspace::default();
    assert_eq!(network.solve(&mut workspace).unwrap().state, State::Stable);
    let largest = case.tensions.iter().copied().fold(0.0, f64::max);
    for (found, told) in workspace.tensions().zip(&case.tensions) {
        assert_abs_diff_eq!(found, *told, epsilon = 1e-7 * largest);
    }
    let forces = share(rule, &outline.leg_set().unwrap()).unwrap();
    assert_eq!(forces, case.forces);
    let short = (case.tensions[case.leg] - forces[case.leg]) / case.tensions[case.leg];
    assert_eq!(short, case.short);
    for (longer, side) in case.longer.iter().zip(&outline.length_tolerances) {
        assert!(longer.abs() <= *side);
    }
    for (moved, side) in case.center_moved.iter().zip(outline.center_tolerance) {
        assert!(moved.abs() <= side);
    }
}

#[test]
fn rules_that_forget_something_are_refuted_from_ten_starts() {
    let ring = Domain::ring(4).unwrap();
    // Lift points are the corners of a square, as the rule of levers asks; legs are unequal.
    let square = ring.clone().with(|number| !matches!(number, Number::Point { .. }));
    let rules: [(&dyn SharingRule, &Domain); 4] =
        [(&EqualShare, &ring), (&LegsCounted::three(), &ring), (&LegsCounted::two(), &ring), (&PlanLevers, &square)];
    let (mut run, mut most) = (0, 0);
    for (rule, domain) in rules {
        for seed in SEEDS {
            let found = searched(rule, domain, Search { trials: 999, seed, ..Search::default() });
            let case = found.worst.as_ref().unwrap();
            assert!(found.refuted && case.short > 0.0, "{} from {seed}", found.rule.name);
            assert!(found.trials < 1000, "{} from {seed}: {} trials", found.rule.name, found.trials);
            assert!(found.largest.unwrap() >= case.short);
            hangs_as_told(case, rule);
            (run, most) = (run + 1, most.max(found.trials));
            // The same start finds the same.
            assert_eq!(searched(rule, domain, Search { trials: 999, seed, ..Search::default() }), found);
        }
    }
    println!("{run} searches run, 0 skipped; refuted after {most} trials at most");
    assert_eq!(run, 40);
}

/// Scenario S2: the search finds by itself that two legs do not carry all, on slings as stiff as those of the variant.
#[test]
fn two_legs_are_refuted_on_the_skid() {
    for (document, most_changed) in [("generator-skid", 4), ("generator-skid-stiff-slings", 0)] {
        let base = Outline::of(&skid(document)).unwrap();
        let free = [
            (Number::Stiffnesses, 4.0e6, 12.0e6),
            (Number::LengthTolerances, 0.0, 0.03),
            (Number::CenterOfGravity { axis: 0 }, 0.0, 0.5),
            (Number::CenterOfGravity { axis: 1 }, -0.2, 0.2),
            (Number::CenterOfGravity { axis: 2 }, 0.5, 1.0),
            (Number::Mass, 15.0e3, 20.0e3),
        ];
        let free = free.map(|(number, least, most)| Free { number, least, most });
        let domain = Domain::new(base.clone(), free.to_vec()).unwrap();
        for seed in SEEDS {
            let found = searched(&LegsCounted::two(), &domain, Search { seed, ..Search::default() });
            let case = found.worst.as_ref().unwrap();
            assert!(found.refuted && case.changed.len() <= most_changed, "{document} from {seed}: {case}");
            hangs_as_told(case, &LegsCounted::two());
            for changed in &case.changed {
                assert_eq!(
                    (changed.number.of(&base), changed.number.of(&case.outline)),
                    (changed.from, Some(changed.to))
                );
            }
        }
    }
}

/// A counter-example is a lift that loads, with what was found as notes, on half a page.
#[test]
fn counter_examples_load_and_fit_on_half_a_page() {
    let us = RuleSet::built_in("us-general").unwrap();
    for seed in SEEDS {
        let found = searched(&LegsCounted::two(), &Domain::ring(4).unwrap(), Search { seed, ..Search::default() });
        let case = found.worst.unwrap();
        let text = case.document();
        // 66 lines to a page; notes come on top.
        assert!(text.lines().count() - case.to_string().lines().count() <= 45, "{text}");
        let lift = Lift::from_json(&text).unwrap();
        assert_eq!(Outline::of(&lift).unwrap(), case.outline);
        assert_eq!(lift.document().notes[0].as_str(), case.to_string().lines().next().unwrap());
        let assessment = lift.assess(&us).unwrap();
        let demand = assessment.demand.as_ref().unwrap();
        // The vertices of the tolerances show it too, where the state is one.
        let vertex = case.longer.iter().zip(&case.outline.length_tolerances).all(|(off, side)| off.abs() == *side);
        if vertex && case.center_moved == [0.0; 3] {
            let worst = demand.moving.legs[case.leg].largest;
            assert!(worst >= case.tensions[case.leg] * (1.0 - 1e-7), "{worst} {case}");
        }
    }
}

/// The solver against itself: without tolerances there is nothing that it forgets.
#[test]
fn the_elastic_rule_survives() {
    let known = Domain::ring(4)
        .unwrap()
        .with(|number| !matches!(number, Number::LengthTolerances | Number::CenterTolerance { .. }));
    let search = Search { trials: 1_000_000, lifts: 256, ..Search::default() };
    let found = searched(&Elastic, &known, search);
    assert!(!found.refuted && found.trials >= 1_000_000);
    // Two ways to the same balance differ by what certificates leave open.
    assert!(found.largest.unwrap() < 1e-7, "{:?}", found.largest);
    assert_eq!(found.looked.len(), known.free().len());
    for (looked, free) in found.looked.iter().zip(known.free()) {
        let width = free.most - free.least;
        assert!(looked.least < free.least + 0.01 * width && looked.most > free.most - 0.01 * width, "{looked:?}");
    }
    println!("{} trials of {} lifts, {} not stable", found.trials, found.lifts, found.not_stable);
}

/// What vertices attain is no bound: points inside have more, by little, and climbing finds them.
#[test]
fn the_vertices_are_no_bound() {
    let found = searched(&ElasticAtVertices, &Domain::ring(4).unwrap(), Search { seed: 2, ..Search::default() });
    let case = found.worst.unwrap();
    assert!(found.refuted && !found.rule.conservative && case.short < 0.01, "{case}");
    hangs_as_told(&case, &ElasticAtVertices);
    let outline = &case.outline;
    let inside = case.longer.iter().zip(&outline.length_tolerances).any(|(off, side)| off.abs() < *side)
        || case.center_moved.iter().zip(outline.center_tolerance).any(|(off, side)| off.abs() < side);
    assert!(inside, "{case}");
}

#[test]
fn rules_are_refused_or_counted_and_never_believed() {
    let ring = Domain::ring(4).unwrap();
    let few = Search { trials: 500, ..Search::default() };
    // Four legs are outside the domain of the rule: nothing was searched, and it says so.
    let found = searched(&Determinate, &ring, few);
    assert!(!found.refuted && found.worst.is_none() && found.looked.is_empty() && found.trials == 0);
    assert_eq!(found.lifts, found.refused + found.not_stable);
    assert!(found.refusal.unwrap().contains("number of legs"));
    // A rule that answers what is no force is a fault of the rule.
    for (answer, code) in [(vec![f64::NAN; 4], "out_of_domain"), (vec![1.0; 3], "inconsistent")] {
        assert_eq!(refute(&Given(answer), &ring, &few).unwrap_err().code(), code);
    }
    // A rule that says far too much is not refuted, and by how much is told.
    let found = searched(&Given(vec![1.0e7; 4]), &ring, few);
    assert!(!found.refuted && found.largest.unwrap() < -10.0 && found.trials >= 500);
    // One that forgets a leg falls short by all of it.
    let found = searched(&Given(vec![0.0, 1.0e7, 1.0e7, 1.0e7]), &ring, few);
    assert!(found.refuted && found.worst.unwrap().short == 1.0);
    for search in [
        Search { trials: 0, ..few },
        Search { states: 0, ..few },
        Search { lifts: 0, ..few },
        Search { least: 1.0, ..few },
        Search { least: f64::NAN, ..few },
    ] {
        assert_eq!(refute(&EqualShare, &ring, &search).unwrap_err().code(), "out_of_domain");
    }
    // Whoever watches may end it.
    let mut asked = 0;
    let ended = refute_while(&Given(vec![1.0e7; 4]), &ring, &Search::default(), |_| {
        asked += 1;
        asked < 4
    });
    assert_eq!((ended.unwrap().lifts, asked), (3, 4));
}

#[test]
fn domains_are_looked_at() {
    let ring = || Outline::ring(4);
    let domain = |number, least, most| Domain::new(ring(), vec![Free { number, least, most }]);
    for (number, least, most, place) in [
        (Number::Mass, 0.0, 1.0e4, "/free/0/least"),
        (Number::Mass, 1.0e4, f64::INFINITY, "/free/0/most"),
        (Number::Mass, 2.0e4, 1.0e4, "/free/0/most"),
        (Number::Mass, f64::NAN, 1.0e4, "/free/0/most"),
        (Number::Length { leg: 4 }, 3.0, 4.0, "/free/0/number"),
        (Number::Point { leg: 1, axis: 3 }, 3.0, 4.0, "/free/0/number"),
        (Number::LengthTolerances, -0.1, 0.1, "/free/0/least"),
        (Number::Stiffnesses, -1.0, 1.0e6, "/free/0/least"),
    ] {
        let error = domain(number, least, most).unwrap_err();
        assert_eq!(error.place().as_str(), place, "{error}");
    }
    let mass = Free { number: Number::Mass, least: 1.0e4, most: 2.0e4 };
    assert_eq!(Domain::new(ring(), vec![mass, mass]).unwrap_err().place().as_str(), "/free/1");
    let mut uneven = ring();
    uneven.lengths.pop();
    assert_eq!(Domain::new(uneven, vec![]).unwrap_err().place().as_str(), "/lengths");
    assert!(Domain::ring(0).is_err() && Domain::ring(9).is_err());
    for legs in 1..=8 {
        assert_eq!(Domain::ring(legs).unwrap().base().points.len(), legs);
    }
}
