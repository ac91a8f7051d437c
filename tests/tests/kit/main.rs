use rigging_core::arrangement::Lift;
use rigging_core::demand::ElasticAtVertices;
use rigging_core::kit::*;
use rigging_core::sharing::*;
use std::time::Instant;

fn show(name: &str, s: &Searched, t: Instant) {
    println!(
        "== {name}: refuted {} trials {} lifts {} refused {} ({:?}) not stable {} shrink {} largest {:?} {:?}",
        s.refuted,
        s.trials,
        s.lifts,
        s.refused,
        s.refusal,
        s.not_stable,
        s.shrinking,
        s.largest,
        t.elapsed()
    );
    if let Some(c) = &s.worst {
        println!("{c}");
    }
}
#[test]
fn tryout() {
    let t = Instant::now();
    let s =
        refute(&PlanLevers, &Domain::ring(4).unwrap().with(|n| !matches!(n, Number::Point { .. })), &Search::default())
            .unwrap();
    show("levers", &s, t);
    let t = Instant::now();
    let s = refute(&Determinate, &Domain::ring(3).unwrap(), &Search::default()).unwrap();
    show("determinate", &s, t);
    let lift = Lift::from_json(include_str!("../../../rigging-core/examples/lifts/generator-skid.json")).unwrap();
    let base = Outline::of(&lift).unwrap();
    let free = vec![
        Free { number: Number::Stiffnesses, least: 2e6, most: 2e7 },
        Free { number: Number::CenterOfGravity { axis: 0 }, least: -0.6, most: 0.6 },
        Free { number: Number::CenterOfGravity { axis: 1 }, least: -0.3, most: 0.3 },
        Free { number: Number::LengthTolerances, least: 0.0, most: 0.03 },
    ];
    let t = Instant::now();
    let s = refute(&LegsCounted::two(), &Domain::new(base, free).unwrap(), &Search::default()).unwrap();
    show("S2", &s, t);
    let t = Instant::now();
    let mut none = Domain::ring(4).unwrap().base().clone();
    none.lengths[1] = 4.01;
    let free = Domain::ring(4)
        .unwrap()
        .free()
        .iter()
        .filter(|f| !matches!(f.number, Number::LengthTolerances | Number::CenterTolerance { .. }))
        .copied()
        .collect();
    let s = refute(&Elastic, &Domain::new(none, free).unwrap(), &Search { trials: 1_000_000, ..Search::default() })
        .unwrap();
    show("elastic", &s, t);
}
