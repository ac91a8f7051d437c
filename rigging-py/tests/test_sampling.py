"""Rows near a nominal load, and samples of it."""

import math
from pathlib import Path

import numpy as np
import pytest
import rigging_py
from rigging_py import batch, sampling

LOAD = {
    "weight_n": 1e5,
    "center_m": [0.0, 0.0, -0.7],
    "points_m": [[1.0, 1.0, 0.0], [1.0, -1.0, 0.0], [-1.0, -1.0, 0.0], [-1.0, 1.0, 0.0]],
    "lengths_m": [math.sqrt(8.0)] * 4,
    "ea_n": [5e6] * 4,
}
BOX = {("length", leg): sampling.uniform(math.sqrt(8.0) * 0.9975, math.sqrt(8.0) * 1.0025) for leg in range(4)}


def experiment(seed=7, uncertain=BOX):
    return sampling.Experiment(**LOAD, uncertain=uncertain, seed=seed)


def test_rows_are_those_of_the_batch():
    rng = np.random.default_rng(1)
    lengths = math.sqrt(8.0) * (1 + 0.005 * rng.uniform(-1, 1, (500, 4)))
    near = batch.nearby(**LOAD, row_lengths_m=lengths)
    cold = batch.bridle(**{**LOAD, "lengths_m": lengths})
    assert near.tension_n.shape == (500, 4) and (near.state == cold.state).all() and not near.alone.any()
    assert np.abs(near.tension_n - cold.tension_n).max() < 1e-3
    assert np.abs(near.tilt_rad - cold.tilt_rad).max() < 1e-8
    assert (batch.nearby(**LOAD, row_lengths_m=lengths[::-1], threads=2).tension_n == near.tension_n[::-1]).all()
    all_vary = batch.nearby(
        **LOAD,
        row_stiffness_factors=np.ones((3, 1, 4)),
        row_center_m=[0.0, 0.0, -0.7],
        row_weight_n=[[1e5, -1.0]],
    )
    assert all_vary.tension_n.shape == (3, 2, 4) and (all_vary.status == [[0, 1]] * 3).all()
    with pytest.raises(rigging_py.OutOfDomainError) as caught:
        all_vary.raise_if_any()
    assert caught.value.row == (0, 1)
    with pytest.raises(rigging_py.InconsistentError):
        batch.nearby(**LOAD, row_lengths_m=np.ones((3, 5)))
    with pytest.raises(TypeError, match="row_weight_n"):
        batch.nearby(**LOAD, row_weight_n="1 t")


def test_neither_threads_nor_pieces_change_a_bit():
    one = experiment()
    whole = one.draw(300_000, threads=1)
    seen = []
    again = experiment().draw(300_000, threads=2, progress=lambda done, total: seen.append((done, total)))
    for a, b in zip(whole, again):
        assert np.array_equal(a, b)
    assert seen[-1] == (300_000, 300_000) and len(seen) == 3
    part = one.draw(1000, first=123_456)
    assert np.array_equal(part.tension_n, whole.tension_n[123_456:124_456])
    near = batch.nearby(**LOAD, row_lengths_m=[one.inputs(5)])
    assert np.array_equal(near.tension_n[0], whole.tension_n[5])


def test_what_progress_raises_stops_the_draw():
    def stop(done, total):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        experiment().draw(1_000_000, progress=stop)


def test_statistics_are_those_of_numpy():
    sample = experiment().draw(20_000)
    largest = sample.tension_n.max(axis=1)
    found = sampling.quantile(largest, 0.99, confidence=0.95)
    assert found.value == np.quantile(largest, 0.99, method="inverted_cdf")
    assert found.least < found.value < found.most
    limits = [30_000.0, 35_000.0, np.inf, 40_000.0]
    shares = sampling.exceedance(sample.tension_n, limits, confidence=0.95)
    assert [share.rows for share in shares.legs] == (sample.tension_n > limits).sum(axis=0).tolist()
    assert shares.any.rows == (sample.tension_n > limits).any(axis=1).sum()
    found = sampling.governing(sample.tension_n, limits)
    expected = np.bincount((sample.tension_n / limits).argmax(axis=1), minlength=4)
    assert list(found.legs) == expected.tolist() and found.not_lifted == 0
    assert sampling.quantile([1.0, np.nan], 0.9, confidence=0.5).value == np.inf


def test_a_small_probability_is_as_frequent_as_counting_says():
    uncertain = {("length", leg): sampling.normal(math.sqrt(8.0), 0.002) for leg in range(4)}
    one = experiment(3, uncertain)
    limit = float(np.quantile(one.draw(400_000).tension_n.max(axis=1), 0.9999))
    rare = one.rare(limit, rows=2000, repeats=10)
    counted = sampling.exceedance(one.draw(2_000_000, first=400_000).tension_n, limit, confidence=0.99).any
    assert rare.probability + 4 * rare.standard_error > counted.least
    assert rare.probability - 4 * rare.standard_error < counted.most
    first = one.first_order(0, limit)
    assert first.reliability_index == pytest.approx(rare.reliability_index, abs=0.4) and sum(first.importance) == pytest.approx(1.0)
    assert sampling.reliability_index(first.probability) == pytest.approx(first.reliability_index)
    assert sampling.normal_probability(-first.reliability_index) == pytest.approx(first.probability)
    with pytest.raises(rigging_py.UnconvergedError):
        one.rare(1e9, rows=100, repeats=2)


def test_a_small_probability_is_that_of_an_independent_computation(monkeypatch):
    """Importance sampling about a point of failure, with NumPy's random numbers and a batched Newton's method in NumPy."""
    monkeypatch.syspath_prepend(str(Path(__file__).parents[2] / "benches" / "peers"))
    import by_numpy
    import model

    relative, deviation = 200, 0.003
    load = {
        "weight_n": model.WEIGHT,
        "center_m": model.CENTER,
        "points_m": model.POINTS,
        "lengths_m": [model.LENGTH] * 4,
        "ea_n": [relative * model.WEIGHT] * 4,
    }
    uncertain = {("length", leg): sampling.normal(model.LENGTH, deviation) for leg in range(4)}
    one = sampling.Experiment(**load, uncertain=uncertain, seed=5)
    limit = 1.05 * float(np.quantile(one.draw(100_000).tension_n[:, 0], 0.9999))
    rare = one.rare([limit, np.inf, np.inf, np.inf], rows=2000, repeats=10)
    first = one.first_order(0, limit)

    point = (np.array(first.inputs) - model.LENGTH) / deviation
    z = point + np.random.default_rng(8).standard_normal((20_000, 4))
    lengths = model.LENGTH + deviation * z
    hooks = by_numpy.solve(np.array([-0.3, -0.1, 5.97]), lengths, relative)
    fails = model.tensions(hooks, lengths, relative)[:, 0] > limit
    weighed = fails * np.exp(point @ point / 2 - z @ point)
    probability, error = weighed.mean(), weighed.std() / math.sqrt(len(weighed))
    assert error < 0.1 * probability and 1e-7 < probability < 1e-4
    assert abs(rare.probability - probability) < 4 * math.hypot(rare.standard_error, error)
    assert first.probability == pytest.approx(probability, rel=1.0)


def test_what_makes_no_sense_is_refused():
    for uncertain, error in [
        ({}, rigging_py.MissingError),
        ({("length", 4): sampling.uniform(1, 2)}, rigging_py.OutOfDomainError),
        ({"mass": sampling.uniform(1, 2)}, rigging_py.OutOfDomainError),
        ({"weight": sampling.uniform(2, 1)}, rigging_py.OutOfDomainError),
        ({"weight": sampling.Distribution(9, ())}, rigging_py.OutOfDomainError),
        ({"weight": sampling.Distribution(0, (1.0,))}, rigging_py.InconsistentError),
        ({"weight": sampling.observed([])}, rigging_py.MissingError),
    ]:
        with pytest.raises(error):
            experiment(0, uncertain)
    with pytest.raises(rigging_py.OutOfDomainError):
        experiment(-1)
    with pytest.raises(rigging_py.OutOfDomainError):
        experiment().rare(3e4, rows=55)
    with pytest.raises(rigging_py.InconsistentError):
        sampling.exceedance([1.0, 2.0], 1.0, confidence=0.5)
    with pytest.raises(rigging_py.OutOfDomainError):
        sampling.quantile([1.0], 1.0, confidence=0.5)


def test_a_document_scatters_as_it_is_read_and_nothing_is_assumed():
    lift = rigging_py.Lift.demo("generator-skid")
    fixed = {"stiffness": 0.0, "mass": 0.0, "center_of_gravity_m": [0.0] * 3, "seed": 7}
    read = sampling.Experiment.of_balance(lift.hang(), read_as={"lengths": ("truncated_normal", 2)}, **fixed)
    lengths = np.array([read.inputs(row) for row in range(2000)])
    assert lengths.shape == (2000, 4) and np.abs(lengths - 6.0).max() <= 0.03
    # Of a normal value within two deviations the deviation is 0.88 of what it was.
    assert lengths.std() == pytest.approx(0.015 * 0.8796, rel=0.03)
    assert read.draw(50).tension_n.shape == (50, 4)
    with pytest.raises(rigging_py.MissingError, match="how the tolerance of lengths is read"):
        sampling.Experiment.of_balance(lift.hang(), read_as={}, **fixed)
    rules = rigging_py.RuleSet.built_in("us-general")
    given = {"read_as": {"lengths": "uniform"}, "rows": 2000, **fixed}
    strong, weak = (
        sampling.implied_indices(lift, rules, strengths=[(mean, 0.08)] * 4, **given) for mean in (500e3, 300e3)
    )
    assert all(s.reliability_index > w.reliability_index > 0 for s, w in zip(strong, weak, strict=True))
    with pytest.raises(rigging_py.MissingError, match="how the strength of leg B scatters"):
        sampling.implied_indices(lift, rules, strengths=[(5e5, 0.08), None, (5e5, 0.08), (5e5, 0.08)], **given)


def test_a_rare_event_can_be_stopped():
    import os
    import signal
    import threading

    timer = threading.Timer(0.2, lambda: os.kill(os.getpid(), signal.SIGINT))
    timer.start()
    with pytest.raises(KeyboardInterrupt):
        experiment().rare(3.3e4, rows=100_000, repeats=1000)
    timer.join()


def two_hooks():
    """Two hooks 24 m apart; levers alone decide the shares."""
    leg = [
        {"a": {"hook": end}, "b": {"body": {"body": 0, "point": end}}, "length": 9.0, "law": {"linear": {"ea": 1e12}}}
        for end in range(2)
    ]
    load = {"mass": 96e3, "center_of_gravity": [10.4, 0.0, -1.1], "points": [[0.0, 0.0, 0.0], [24.0, 0.0, 0.0]]}
    return {
        "gravity": 9.80665,
        "hooks": [{"position": [0.0, 0.0, 9.0]}, {"position": [24.0, 0.0, 9.0]}],
        "joints": [],
        "bodies": [load | {"position": [0.0, 0.0, 0.0], "rotation": [0.0, 0.0, 0.0, 1.0]}],
        "members": leg,
    }


def test_a_system_of_several_hooks_is_sampled():
    uncertain = {("center", 0): sampling.normal(10.4, 0.1), ("weight", 0): sampling.uniform(9.2e5, 9.6e5)}
    one = sampling.Experiment.of_system(two_hooks(), uncertain=uncertain, seed=9)
    seen = []
    sample = one.draw(5000, progress=lambda done, total: seen.append(done))
    assert seen == [4096, 5000] and sample.hook_n.shape == (5000, 2)
    x, weight = np.array([one.inputs(row) for row in range(5000)]).T
    exact = np.stack([weight * (24 - x) / 24, weight * x / 24], axis=1)
    assert np.abs(sample.hook_n / exact - 1).max() < 1e-6 and np.abs(sample.tension_n / exact - 1).max() < 1e-6
    part = one.draw(100, first=4050, threads=1)
    assert all(np.array_equal(a, b[4050:4150]) for a, b in zip(part, sample))
    limit = float(np.quantile(sample.hook_n[:, 0], 0.99))
    both = np.hstack([sample.tension_n, sample.hook_n])
    shares = sampling.exceedance(both, [np.inf, np.inf, limit, np.inf], confidence=0.99)
    rare = one.rare(np.inf, hook_limits_n=[limit, np.inf], rows=1000, repeats=10)
    assert abs(rare.probability - shares.any.share) < 4 * rare.standard_error + 0.005
    # One sling hangs from each hook: the same force but for rounding.
    hook, sling = (one.first_order(force, limit).reliability_index for force in [("hook", 0), 0])
    assert hook == pytest.approx(sling, rel=1e-9)
    for force in [2, ("hook", 2)]:
        with pytest.raises(rigging_py.OutOfDomainError):
            one.first_order(force, limit)
    with pytest.raises(rigging_py.OutOfDomainError):
        sampling.Experiment.of_system(two_hooks() | {"gravity": -1.0}, uncertain=uncertain, seed=9)
    with pytest.raises(rigging_py.InconsistentError):
        one.rare(np.inf, hook_limits_n=[limit] * 3)


def test_a_lift_on_two_cranes_scatters_and_has_indices():
    lift = rigging_py.Lift.demo("vessel-two-cranes")
    given = {"stiffness": 0.0, "mass": 0.02, "lengths_m": [0.0, 0.0], "seed": 4}
    read_as = {"center_of_gravity": "uniform", "mass": "triangular", "hook_heights": ("normal", 2)}
    one = sampling.Experiment.of_balance(lift.hang(), hook_heights_m=[0.05, 0.05], read_as=read_as, **given)
    assert len(one.inputs(0)) == 4 and one.draw(200).hook_n.shape == (200, 2)
    with pytest.raises(rigging_py.MissingError, match="height of each hook"):
        sampling.Experiment.of_balance(lift.hang(), read_as=read_as, **given)
    rules = rigging_py.RuleSet.built_in("us-general")
    found = sampling.implied_indices(
        lift, rules, strengths=[(1e6, 0.1)] * 2, hook_heights_m=[0.05, 0.05], read_as=read_as, rows=500, **given
    )
    assert [index.leg for index in found] == ["leg A", "leg B"] and all(index.reliability_index > 2 for index in found)
