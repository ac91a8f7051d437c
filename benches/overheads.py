"""Overheads from Python, beside those of `overheads.rs`: `python benches/overheads.py` with the package installed.

Each line is the median over several rounds, and the least. The rows of the batch are those of the Rust program, which prints
the same sum. The cost of the batch over Rust is the median of paired ratios: the Rust program, started by cargo, takes
turns with this one, so that whatever else the machine does meets both.
"""

import statistics
import subprocess
import time
from pathlib import Path

import numpy as np

from rigging_py import Lift, RuleSet, _native, batch, sharing

ROWS, LEGS = 100_000, 4
ROOT = Path(__file__).resolve().parents[1]
DEMO = ROOT / "rigging-core" / "examples" / "lifts" / "generator-skid.json"
TURNS = ["cargo", "bench", "--quiet", "-p", "rigging-benches", "--bench", "overheads", "--", "turns"]
PAIRS = 41


def timed(call, calls, rounds=41):
    """Time of one call, in ns: the median of the rounds, and the least, which a busy machine disturbs less."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter_ns()
        for _ in range(calls):
            call()
        times.append((time.perf_counter_ns() - start) / calls)
    return np.array([statistics.median(times), min(times)])


def show(label, nanoseconds):
    median, least = nanoseconds
    print(f"{label:<64} {median:>11.1f} ns, least {least:>11.1f} ns")


def spread(index):
    """One of 101 numbers from -1 to 1."""
    return (index % 101) / 50.0 - 1.0


def rows():
    row = np.arange(ROWS)
    corners = [[2.6, 1.05, 0.0], [2.6, -1.05, 0.0], [-2.6, -1.05, 0.0], [-2.6, 1.05, 0.0]]
    center = np.stack([0.4 * spread(row * 3), 0.2 * spread(row * 5), np.full(ROWS, 0.5)], axis=-1)
    return {
        "weight_n": 180_000.0 + 20_000.0 * spread(row * 7),
        "center_m": center,
        "points_m": np.tile(corners, (ROWS, 1, 1)),
        "lengths_m": 6.0 + 0.03 * spread(np.arange(ROWS * LEGS) * 11).reshape(ROWS, LEGS),
        "ea_n": np.full((ROWS, LEGS), 6.0e6),
    }


def scalars():
    # Rounds much shorter than the slices of a scheduler: most of them run undisturbed on a busy machine too.
    short = {"calls": 200, "rounds": 2001}
    nothing = timed(lambda: None, **short)
    show("Python, a call of a function that does nothing, in all below", nothing)
    tension, pull = sharing.leg_tension, sharing.horizontal_pull
    numpy = [np.float64(value) for value in (1000.0, 2.0, 0.5)]
    for label, call in (
        ("leg_tension, by position", lambda: tension(1000.0, 2, 0.5)),
        ("leg_tension, by name", lambda: tension(weight_n=1000.0, legs=2, angle_from_vertical_rad=0.5)),
        ("leg_tension, by position, doubles of NumPy", lambda: tension(*numpy)),
        ("horizontal_pull, by name", lambda: pull(vertical_n=1000.0, angle_from_vertical_rad=0.5)),
    ):
        show(f"Python, sharing.{label}", timed(call, **short))
    show(
        "Python, batch.leg_tension of three numbers",
        timed(lambda: batch.leg_tension(weight_n=1000.0, legs=2, angle_from_vertical_rad=0.5), 2000),
    )
    one = [np.array([value]) for value in (1000.0, 2.0, 0.5)]
    tension, status = np.empty(1), np.empty(1, np.int32)
    show("  of which the native call", timed(lambda: _native._leg_tension(*one, tension, status), **short))
    many = np.full(ROWS, 0.5)
    each = timed(lambda: batch.leg_tension(weight_n=1000.0, legs=2, angle_from_vertical_rad=many), 3) / ROWS
    show(f"Python, batch.leg_tension of {ROWS} rows, a row", each)


def bridles():
    inputs = rows()
    result = batch.bridle(**inputs, threads=1)
    print(f"rows of {LEGS} legs: {ROWS}, sum of all tensions {sum(result.tension_n.ravel().tolist()):.6f} N")
    for label, threads in (("one thread", 1), ("two threads", 2), ("as many as there are", None)):
        each = timed(lambda threads=threads: batch.bridle(**inputs, threads=threads), 1, rounds=9) / ROWS
        show(f"Python, batch of {ROWS}, a row, {label}", each)


def pairs():
    """The batch in turns with Rust, who goes first changing from pair to pair."""
    inputs = rows()
    with subprocess.Popen(TURNS, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as rust:

        def one_of_rust(threads):
            rust.stdin.write(f"{threads}\n")
            rust.stdin.flush()
            return int(rust.stdout.readline())

        def one_of_python(threads):
            start = time.perf_counter_ns()
            batch.bridle(**inputs, threads=threads)
            return time.perf_counter_ns() - start

        for threads in (1, 2):
            # The first of each fetches what the others find in place.
            one_of_rust(threads), one_of_python(threads)
            found = []
            for pair in range(PAIRS):
                if pair % 2:
                    own = one_of_python(threads)
                    found.append((own, one_of_rust(threads)))
                else:
                    other = one_of_rust(threads)
                    found.append((one_of_python(threads), other))
            ratios = sorted(own / other for own, other in found)
            least = min(own for own, _ in found) / min(other for _, other in found)
            quarters = ratios[PAIRS // 4], ratios[-1 - PAIRS // 4]
            print(
                f"Python over Rust, batch of {ROWS}, threads {threads}: median of {PAIRS} paired ratios "
                f"{statistics.median(ratios):.3f} (half of them from {quarters[0]:.3f} to {quarters[1]:.3f}), "
                f"ratio of the least times {least:.3f}"
            )
        rust.stdin.close()


def assessments():
    lift = Lift.from_file(DEMO)
    for name in RuleSet.names():
        rules = RuleSet.built_in(name)
        show(f"Python, assessment of the skid under {name}", timed(lambda rules=rules: lift.assess(rules), 20))


if __name__ == "__main__":
    scalars()
    bridles()
    pairs()
    assessments()
