"""A small probability, by this library and by a general one for uncertainty: `python benches/peers/rare.py`.

The bridle of `model.py` at EA/W = 200, the four lengths normal, each about its nominal with a standard deviation of 0.1 %. How
likely is it that any leg carries more than a limit? The peer (`openturns`) samples subsets of the batched NumPy solver
of `by_numpy.py`, which shares no code with the library; each prints probability, what it knows of its error, rows and time.
Ends with an error unless both agree within four times their errors, and within that also with plain counting at 1e-4.
"""

import subprocess
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))
import by_numpy  # noqa: E402
import model  # noqa: E402

ROOT = Path(__file__).resolve().parents[2]
RELATIVE = 200
DEVIATION = 0.001
REPEATS = 5


def largest(start, lengths):
    return model.tensions(by_numpy.solve(start, lengths, RELATIVE), lengths, RELATIVE).max(axis=1)


def own(limit):
    command = ["cargo", "bench", "--quiet", "-p", "rigging-benches", "--bench", "nearby", "--", "rare"]
    command += [str(RELATIVE), str(DEVIATION), repr(limit)]
    said = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout.split()
    return tuple(float(word) for word in said)


def as_rare_as(share, low):
    """A limit that is exceeded about as rarely as told: within a factor of two, by halving."""
    high = 1.2 * low
    while True:
        limit = 0.5 * (low + high)
        try:
            probability = own(limit)[0]
        except subprocess.CalledProcessError:
            # Nothing fails there in any repeat.
            probability = 0.0
        if 0.5 * share < probability < 2.0 * share:
            return limit
        low, high = (limit, high) if probability > share else (low, limit)


def peer(start, limit):
    import openturns as ot

    ot.Log.Show(ot.Log.NONE)
    rows = 0

    def of(sample):
        nonlocal rows
        rows += len(sample)
        return largest(start, np.asarray(sample))[:, None]

    function = ot.MemoizeFunction(ot.PythonFunction(4, 1, func_sample=of))
    function.disableCache()
    inputs = ot.RandomVector(ot.JointDistribution([ot.Normal(model.LENGTH, DEVIATION * model.LENGTH)] * 4))
    event = ot.ThresholdEvent(ot.CompositeRandomVector(function, inputs), ot.Greater(), limit)
    found = []
    for repeat in range(REPEATS):
        ot.RandomGenerator.SetSeed(repeat)
        method = ot.SubsetSampling(event, 2.0, 0.1)
        method.setMaximumOuterSampling(20)
        method.setBlockSize(500)
        method.run()
        found.append(method.getResult().getProbabilityEstimate())
    return np.mean(found), np.std(found, ddof=1) / np.sqrt(REPEATS), rows


def main():
    start = model.nominal(RELATIVE)
    rng = np.random.default_rng(1)
    draws = model.LENGTH * (1.0 + DEVIATION * rng.standard_normal((400_000, 4)))
    counted = largest(start, draws)
    agree = True
    often = float(np.quantile(counted, 1.0 - 1e-4))
    for share, limit in ((1e-4, often), (1e-6, as_rare_as(1e-6, often))):
        probability, error, index, rows, seconds = own(limit)
        begin = time.perf_counter()
        other, other_error, other_rows = peer(start, limit)
        took = time.perf_counter() - begin
        print(f"any leg above {limit / model.WEIGHT:.4f} W")
        print(f"  this library {probability:.3e} ± {error:.1e}, index {index:.3f}, {rows:.0f} rows, {seconds:.3f} s")
        print(f"  openturns    {other:.3e} ± {other_error:.1e}, {other_rows} rows, {took:.3f} s")
        rate = (took / other_rows) / (seconds / rows)
        print(f"  ratio of the times of a row: {rate:.0f}")
        agree &= abs(probability - other) <= 4.0 * np.hypot(error, other_error)
        if share == 1e-4:
            expected = (counted > limit).mean()
            print(f"  counted      {expected:.3e} of {len(counted)}")
            agree &= abs(probability - expected) <= 4.0 * np.hypot(error, np.sqrt(expected / len(counted)))
    if not agree:
        sys.exit("the answers differ by more than four times their errors")


if __name__ == "__main__":
    main()
