//! Equilibrium: reference cases, degenerate inputs, worked examples, random bridles, invariances, the branch.

mod double_double;
mod generator;

#[test]
#[ignore]
fn explore() {
    use rigging_core::equilibrium::bridle::Workspace;
    let n: u64 = std::env::var("N").map(|s| s.parse().unwrap()).unwrap_or(100000);
    let mut ws = Workspace::default();
    let mut its = vec![];
    let mut states = std::collections::BTreeMap::new();
    let mut errors = 0;
    let from: u64 = std::env::var("FROM").map(|s| s.parse().unwrap()).unwrap_or(0);
    for i in from..from + n {
        let rig = generator::random_rig(1, i, [10.0, 1.0e7]);
        match rig.bridle().solve(&mut ws) {
            Ok(o) => {
                its.push(o.iterations);
                if o.iterations > 100 {
                    println!("case {i} its {} state {:?} n {}", o.iterations, o.state, rig.points.len());
                }
                *states.entry((o.state.word(), o.lowest)).or_insert(0) += 1;
            }
            Err(e) => {
                errors += 1;
                if errors < 20 {
                    println!("case {i} n {} {e}", rig.points.len());
                }
            }
        }
    }
    its.sort();
    let q = |p: f64| its[((its.len() - 1) as f64 * p) as usize];
    println!(
        "errors {errors} states {states:?} its p50 {} p90 {} p99 {} p99.9 {} max {}",
        q(0.5),
        q(0.9),
        q(0.99),
        q(0.999),
        q(1.0)
    );
}
