//! Timings of rows near a nominal balance: `cargo bench -p rigging-benches --bench nearby`.
//!
//! Each row is certified: forces balance to 1e-10 of the weight, stable, the lowest of all. The least of many short rounds is
//! printed, as other work on the machine only adds to it; beside it the rate at which the machine was measured to
//! multiply and add. `nearby rows IN OUT EA_OVER_W` solves the lengths in the file IN (doubles, 4 a row) for
//! `benches/peers/run.py`; `nearby rare EA_OVER_W DEVIATION LIMIT` a small probability for `benches/peers/rare.py`.

use glam::{DQuat, DVec3};
use rigging_core::equilibrium::bridle::{Bridle, Workspace};
use rigging_core::equilibrium::nearby::{Level, Nominal, Outcomes, Rows};
use rigging_core::equilibrium::network;
use rigging_core::equilibrium::sampling::{Distribution, Effort, Experiment, Input, Sample};
use rigging_core::error::Error;
use rigging_core::system::{Body, End, Hook, Law, Member, System};
use std::hint::black_box;
use std::time::Instant;

const WEIGHT: f64 = 1.0e5;
const ROWS: usize = 2048;
const ROUNDS: usize = 400;

/// A number in [-1, 1) that depends on `seed` only (the mixing function of SplitMix64).
fn noise(seed: u64) -> f64 {
    let mut z = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
}

/// Four lugs, center of gravity off center and 1 m below them, hook about 5 m above; that of `peers/model.py`.
fn bridle(relative: f64) -> Result<Bridle, Error> {
    let points = [[2.1, 1.1], [2.1, -1.1], [-2.1, -1.1], [-2.1, 1.1]].map(|[x, y]| DVec3::new(x, y, 0.0));
    let laws = (0..4).map(|_| Law::linear(relative * WEIGHT)).collect::<Result<_, _>>()?;
    Bridle::new(points.to_vec(), vec![5.5; 4], laws, DVec3::new(0.3, 0.1, -1.0), WEIGHT)
}

/// Lengths, stiffnesses, centers of gravity and weights: everything varies, 12 doubles a row.
struct Given {
    lengths: Vec<f64>,
    stiffness: Vec<f64>,
    center: Vec<f64>,
    weight: Vec<f64>,
}

impl Given {
    fn new(count: usize, tolerance: f64) -> Self {
        let at = |kind: u64, i: usize| noise(kind * 1_000_003 + i as u64);
        let center = [0.3, 0.1, -1.0];
        Self {
            lengths: (0..4 * count).map(|i| 5.5 * (1.0 + tolerance * at(1, i))).collect(),
            stiffness: (0..4 * count).map(|i| 1.0 + 0.05 * at(2, i)).collect(),
            center: (0..count).flat_map(|i| (0..3).map(move |k| center[k] + 0.01 * at(3, 3 * i + k))).collect(),
            weight: (0..count).map(|i| WEIGHT * (1.0 + 0.02 * at(4, i))).collect(),
        }
    }

    fn rows(&self) -> Rows<'_> {
        Rows {
            count: self.weight.len(),
            lengths: Some(&self.lengths),
            stiffness: Some(&self.stiffness),
            center: Some(&self.center),
            weight: Some(&self.weight),
        }
    }
}

/// Least time of a call over rounds, s.
fn least(rounds: usize, mut call: impl FnMut()) -> f64 {
    (0..rounds).fold(f64::INFINITY, |least, _| {
        let start = Instant::now();
        call();
        least.min(start.elapsed().as_secs_f64())
    })
}

/// Results of rows, with the share that was followed alone.
struct Room {
    tension: Vec<f64>,
    state: Vec<i32>,
    status: Vec<i32>,
    alone: Vec<i32>,
}

impl Room {
    fn new(count: usize) -> Self {
        Self { tension: vec![0.0; 4 * count], state: vec![0; count], status: vec![0; count], alone: vec![0; count] }
    }

    fn solve(&mut self, nominal: &Nominal, rows: &Rows<'_>, threads: usize) -> Result<(), Error> {
        let mut out = Outcomes::new(&mut self.tension, &mut self.state, &mut self.status);
        out.alone = Some(&mut self.alone);
        nominal.solve(rows, out, threads)?;
        black_box(&self.tension);
        Ok(())
    }
}

fn time_levels(peak: f64) -> Result<(), Error> {
    println!("one core, everything varies (12 doubles in, 4 and the state out):");
    for (relative, tolerance) in
        [(20.0, 0.005), (200.0, 0.0005), (200.0, 0.005), (200.0, 0.02), (1000.0, 0.005), (1.0e6, 0.005)]
    {
        let given = Given::new(ROWS, tolerance);
        for level in [Level::Plain, Level::Four, Level::Eight].into_iter().filter(|level| level.is_available()) {
            let nominal = Nominal::new(bridle(relative)?)?.at_level(level)?;
            let mut room = Room::new(ROWS);
            room.solve(&nominal, &given.rows(), 1)?;
            assert!(room.state.iter().all(|state| *state == 0));
            let alone: i32 = room.alone.iter().sum();
            let time = least(ROUNDS, || room.solve(&nominal, &given.rows(), 1).unwrap_or(())) / ROWS as f64;
            println!(
                "  EA/W {relative:>9}, ±{:>4} %, {level:?}: {:>6.1} ns, {:>5.2} M/s, {alone} alone; time of {:.0} multiply-adds at the peak",
                100.0 * tolerance,
                time * 1.0e9,
                1.0e-6 / time,
                time * peak / 2.0
            );
        }
    }
    Ok(())
}

/// Vertices of a box, sampling, and what two threads gain, in turns with one.
fn time_others() -> Result<(), Error> {
    let count = 1 << 20;
    let nominal = Nominal::new(bridle(200.0)?)?;
    let given = Given::new(count, 0.005);
    let mut room = Room::new(count);
    let mut ratios = Vec::new();
    for _ in 0..15 {
        let one = least(1, || room.solve(&nominal, &given.rows(), 1).unwrap_or(()));
        let two = least(1, || room.solve(&nominal, &given.rows(), 2).unwrap_or(()));
        ratios.push(one / two);
    }
    ratios.sort_by(f64::total_cmp);
    println!("two threads over one, {count} rows, 15 turns: median {:.2}, best {:.2}", ratios[7], ratios[14]);
    let ends = (0..4).map(|leg| Ok((Input::Length(leg), Distribution::uniform(5.4725, 5.5275)?)));
    let experiment = Experiment::new(nominal.clone(), ends.collect::<Result<_, Error>>()?, 1)?;
    // Rounds are short, as a busy machine takes the core away from long ones.
    let time = least(ROUNDS, || {
        let mut sample = Sample::default();
        sample.draw(&experiment, ROWS, 1).unwrap_or(());
        black_box(&sample);
    });
    println!("drawn and balanced, 4 lengths, with tilt, one thread: {:.1} ns a row", time * 1.0e9 / ROWS as f64);
    let (mut single, mut workspace) = (bridle(200.0)?, Workspace::default());
    let time = least(40, || {
        for row in given.lengths.chunks_exact(4).take(512) {
            row.iter().enumerate().for_each(|(leg, length)| single.set_length(leg, *length).unwrap_or(()));
            let _ = black_box(single.solve(&mut workspace));
        }
    });
    println!("each hung by itself from the drawing, EA/W 200, ±0.5 %: {:.0} ns a row", time * 1.0e9 / 512.0);
    Ok(())
}

/// Rows of two hooks with a pair of legs each, and of a beam over four legs: drawn and balanced one by one, beside rows hung
/// from the drawing.
fn time_networks() -> Result<(), Error> {
    let corners = [[3.0, 1.0], [3.0, -1.0], [-3.0, -1.0], [-3.0, 1.0]].map(|[x, y]| DVec3::new(x, y, 0.0));
    let body = |points: &[DVec3], z: f64, mass: f64| Body {
        mass,
        center_of_gravity: DVec3::new(0.2, -0.1, -0.5),
        points: points.to_vec(),
        position: DVec3::new(0.0, 0.0, z),
        rotation: DQuat::IDENTITY,
    };
    let leg = |a, b, length| Ok::<_, Error>(Member { a, b, length, law: Law::linear(200.0 * WEIGHT)? });
    let at = |body, point| End::Body { body, point };
    let hook = |x: f64, z: f64| Hook { position: DVec3::new(x, 0.0, z) };
    let load = body(&corners, 0.0, WEIGHT / 9.80665);
    let below = 17.0_f64.sqrt();
    let pairs = (0..4).map(|point| leg(End::Hook(point / 2), at(0, point), below)).collect::<Result<Vec<_>, _>>()?;
    let pairs = System::new(9.80665, vec![hook(3.0, 4.0), hook(-3.0, 4.0)], vec![], vec![load.clone()], pairs)?;
    let beam = body(&[DVec3::new(3.0, 0.0, 0.0), DVec3::new(-3.0, 0.0, 0.0)], 4.0, 400.0);
    let tier = (0..2).map(|end| leg(End::Hook(0), at(1, end), 5.0));
    let tier = tier.chain((0..4).map(|point| leg(at(1, point / 2), at(0, point), below)));
    let tier = System::new(9.80665, vec![hook(0.0, 8.0)], vec![], vec![load, beam], tier.collect::<Result<_, _>>()?)?;
    for (name, system) in [("two hooks, two pairs", pairs), ("a beam over four legs", tier)] {
        let lengths = system.members().iter().enumerate().map(|(index, member)| {
            let side = 0.005 * member.length;
            Ok((Input::Length(index), Distribution::uniform(member.length - side, member.length + side)?))
        });
        let uncertain = lengths.collect::<Result<Vec<_>, Error>>()?;
        let experiment = Experiment::new(network::Nominal::new(&system)?, uncertain, 1)?;
        let time = least(40, || {
            let mut sample = Sample::default();
            sample.draw(&experiment, 512, 1).unwrap_or(());
            black_box(&sample);
        });
        let network = network::Network::new(&system);
        let mut workspace = network::Workspace::default();
        let cold = least(400, || {
            let _ = black_box(network.solve(&mut workspace));
        });
        println!(
            "{name}, EA/W 200, ±0.5 %, one thread: {:.1} µs a row; hung from the drawing {:.1} µs",
            time * 1.0e6 / 512.0,
            cold * 1.0e6
        );
    }
    Ok(())
}

/// The rate at which a core multiplies and adds, flops per second: the least time of many independent chains.
fn measured_peak() -> f64 {
    #[cfg(target_arch = "x86_64")]
    {
        use core::arch::x86_64::*;
        #[target_feature(enable = "avx2,fma")]
        fn four() -> f64 {
            let (by, plus) = (_mm256_set1_pd(0.999_999), _mm256_set1_pd(1.0e-9));
            let mut chains = [_mm256_set1_pd(1.0); 12];
            let time = least(2000, || {
                for _ in 0..4000 {
                    chains.iter_mut().for_each(|chain| *chain = _mm256_fmadd_pd(*chain, by, plus));
                }
                black_box(&mut chains);
            });
            4000.0 * 12.0 * 8.0 / time
        }
        #[target_feature(enable = "avx512f")]
        fn eight() -> f64 {
            let (by, plus) = (_mm512_set1_pd(0.999_999), _mm512_set1_pd(1.0e-9));
            let mut chains = [_mm512_set1_pd(1.0); 12];
            let time = least(2000, || {
                for _ in 0..4000 {
                    chains.iter_mut().for_each(|chain| *chain = _mm512_fmadd_pd(*chain, by, plus));
                }
                black_box(&mut chains);
            });
            4000.0 * 12.0 * 16.0 / time
        }
        if is_x86_feature_detected!("avx512f") {
            // SAFETY: the processor has it.
            return unsafe { eight() };
        }
        if is_x86_feature_detected!("avx2") && is_x86_feature_detected!("fma") {
            // SAFETY: the processor has both.
            return unsafe { four() };
        }
    }
    let mut chains = [1.0_f64; 16];
    let time = least(2000, || {
        for _ in 0..4000 {
            chains.iter_mut().for_each(|chain| *chain = *chain * 0.999_999 + 1.0e-9);
        }
        black_box(&mut chains);
    });
    4000.0 * 16.0 * 2.0 / time
}

/// Solves the lengths of a file, writes the tensions to another and prints the least time of a row, ns, and the peak.
fn solve_file(input: &str, output: &str, relative: f64) -> Result<(), Box<dyn std::error::Error>> {
    let bytes = std::fs::read(input)?;
    let lengths: Vec<f64> = bytes.as_chunks::<8>().0.iter().map(|bytes| f64::from_le_bytes(*bytes)).collect();
    let count = lengths.len() / 4;
    let nominal = Nominal::new(bridle(relative)?)?;
    let mut room = Room::new(count);
    let rows = Rows { count, lengths: Some(&lengths), ..Rows::default() };
    room.solve(&nominal, &rows, 1)?;
    let piece = Rows { count: ROWS.min(count), lengths: lengths.get(..4 * ROWS.min(count)), ..Rows::default() };
    let mut part = Room::new(piece.count);
    let time = least(ROUNDS, || part.solve(&nominal, &piece, 1).unwrap_or(())) / piece.count as f64;
    std::fs::write(output, room.tension.iter().flat_map(|value| value.to_le_bytes()).collect::<Vec<_>>())?;
    println!("{:.2} {:?} {:.2}", time * 1.0e9, nominal.level(), measured_peak() / 1.0e9);
    Ok(())
}

/// Prints the probability that any leg exceeds a limit with normal lengths, its standard error, its index, rows and time.
fn rare(relative: f64, deviation: f64, limit: f64) -> Result<(), Error> {
    let lengths = (0..4).map(|leg| Ok((Input::Length(leg), Distribution::normal(5.5, deviation * 5.5)?)));
    let experiment = Experiment::new(Nominal::new(bridle(relative)?)?, lengths.collect::<Result<_, Error>>()?, 1)?;
    let start = Instant::now();
    let found = experiment.rare(&[limit; 4], Effort { rows: 10_000, repeats: 20 }, 1)?;
    let took = start.elapsed().as_secs_f64();
    println!("{:e} {:e} {} {} {took}", found.probability, found.standard_error, found.index, found.rows);
    Ok(())
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).filter(|argument| argument != "--bench").collect();
    if let [word, input, output, relative] = arguments.as_slice()
        && word == "rows"
    {
        return solve_file(input, output, relative.parse()?);
    }
    if let [word, relative, deviation, limit] = arguments.as_slice()
        && word == "rare"
    {
        return Ok(rare(relative.parse()?, deviation.parse()?, limit.parse()?)?);
    }
    let peak = measured_peak();
    println!("measured peak of one core: {:.1} GF/s", peak / 1.0e9);
    time_levels(peak)?;
    time_others()?;
    time_networks()?;
    Ok(())
}
