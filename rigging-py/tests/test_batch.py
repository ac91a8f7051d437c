"""Calculations over arrays: rows that stay their own, to the bits of the single calculation."""

import copy
import json
import math
import pickle
import struct
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import rigging_py
from rigging_py import Angle, Force, InconsistentError, Lift, OutOfDomainError, RiggingError, batch

REFERENCE = Path(__file__).resolve().parents[2] / "tests" / "reference"
# A row in plain numbers: the bridle of the demo lift.
FOUR = {
    "weight_n": 18_500.0 * 9.80665,
    "center_m": [0.45, -0.12, 0.90],
    "points_m": [[2.6, 1.05, 0.0], [2.6, -1.05, 0.0], [-2.6, -1.05, 0.0], [-2.6, 1.05, 0.0]],
    "lengths_m": [6.0] * 4,
    "ea_n": [6.0e6] * 4,
}
TRAILING = {"weight_n": (), "center_m": (3,), "points_m": (4, 3), "lengths_m": (4,), "ea_n": (4,)}


def bits(values):
    return [struct.pack(">d", value).hex() for value in values]


def varied(count, seed=3):
    """Rows near the demo's, each another."""
    random = np.random.default_rng(seed)
    near = {name: np.broadcast_to(np.asarray(FOUR[name]), (count, *TRAILING[name])) for name in FOUR}
    return {name: values * (1.0 + 0.01 * random.standard_normal(values.shape)) for name, values in near.items()}


def same(left, right):
    """Bit for bit."""
    assert type(left) is type(right)
    for one, other in zip(left, right, strict=True):
        assert one.dtype == other.dtype and one.shape == other.shape
        assert one.tobytes() == other.tobytes()


def some(result, index):
    return type(result)(*(np.array(part[index], order="C") for part in result))


def test_the_reference_cases_have_the_bits_of_rust():
    rows = json.loads((REFERENCE / "batch-bits.json").read_text(encoding="utf-8"))["rows"]
    for row in rows:
        result = batch.bridle(**{name: row[name] for name in FOUR})
        assert bits(result.tension_n) == row["tension_n"], row["id"]
        assert bits([result.tilt_rad]) == [row["tilt_rad"]], row["id"]
        assert (result.status, result.state) == (0, row["state"])
    print(f"{len(rows)} bridles compared, 0 skipped")
    assert len(rows) == 68


def test_the_demo_has_the_bits_of_its_lift(lifts):
    lift = Lift.from_file(lifts / "generator-skid.json")
    certificate = lift.solve()
    result = batch.bridle(**FOUR)
    assert bits(result.tension_n) == bits(certificate.tensions_n)
    # The lift gives degrees; the way back rounds.
    assert result.tilt_rad == pytest.approx(math.radians(certificate.tilt_deg), rel=4 * np.finfo(float).eps)
    assert (result.status, result.state, certificate.state) == (0, 0, "stable")


def test_a_batch_is_its_rows_whatever_their_order_and_the_threads():
    rows = varied(2000)
    rows["weight_n"][7::50] = np.nan
    rows["ea_n"][9::50, 2] = -1.0
    whole = batch.bridle(**rows)
    assert 0 < np.count_nonzero(whole.status) < 100
    for threads in (1, 2, 7):
        same(batch.bridle(**rows, threads=threads), whole)
    order = np.random.default_rng(5).permutation(2000)
    same(batch.bridle(**{name: values[order] for name, values in rows.items()}), some(whole, order))
    for row in (*range(40), 1999):
        single = batch.bridle(**{name: values[row] for name, values in rows.items()})
        assert single.status.shape == () and single.tension_n.shape == (4,)
        same(single, some(whole, row))


@pytest.mark.parametrize("name", FOUR)
@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, -1.0, 0.0, 1e300])
def test_a_bad_row_leaves_its_neighbors_alone(name, bad):
    rows = varied(5)
    sound = batch.bridle(**rows)
    rows[name] = rows[name].copy()
    rows[name][(3, *(0,) * len(TRAILING[name]))] = bad
    found = batch.bridle(**rows)
    keep = [0, 1, 2, 4]
    same(some(found, keep), some(sound, keep))
    harmless = name in ("center_m", "points_m") and abs(bad) <= 1.0
    large = name in ("weight_n", "lengths_m", "ea_n") and bad == 1e300
    if not harmless and not large:
        assert found.status[3] == 1 and found.state[3] == -1
    alone = batch.bridle(**{parameter: values[3] for parameter, values in rows.items()})
    same(alone, some(found, 3))
    if found.status[3]:
        assert np.isnan(found.tension_n[3]).all() and np.isnan(found.tilt_rad[3])
        with pytest.raises(RiggingError) as refused:
            found.raise_if_any()
        assert refused.value.row == (3,) and found.status[refused.value.row] == found.status[3]
        assert str(refused.value).startswith("row (3,): ")
        with pytest.raises(type(refused.value)) as single:
            alone.raise_if_any()
        assert single.value.reason == refused.value.reason and single.value.row == ()
    else:
        found.raise_if_any()


def test_the_first_bad_row_is_raised_and_can_be_sent():
    result = batch.leg_tension(
        weight_n=[[1.0, 2.0], [3.0, -4.0]], legs=[[1.0, 1.0], [0.5, 1.0]], angle_from_vertical_rad=0.0
    )
    assert result.status.tolist() == [[0, 0], [1, 1]]
    for one in (result, copy.copy(result), pickle.loads(pickle.dumps(result))):
        for _ in range(2):
            with pytest.raises(OutOfDomainError) as refused:
                one.raise_if_any()
            assert refused.value.row == (1, 0) and "number of legs is 0.5" in refused.value.reason
            sent = pickle.loads(pickle.dumps(refused.value))
            assert (sent.row, str(sent)) == ((1, 0), str(refused.value))
    assert OutOfDomainError("too great").row is None


def test_a_load_that_turns_over_is_a_result_without_figures():
    result = batch.bridle(**{**FOUR, "center_m": [0.0, 0.0, 40.0]})
    assert result.status == 0 and result.state in (2, 3)
    assert np.isnan(result.tension_n).all() and np.isnan(result.tilt_rad)
    result.raise_if_any()


def test_closed_forms():
    angles = np.radians([0.0, 30.0, 45.0, 60.0])
    tension = batch.leg_tension(weight_n=1000.0, legs=[[2], [3], [4]], angle_from_vertical_rad=angles)
    assert tension.tension_n.shape == (3, 4) and not tension.status.any()
    np.testing.assert_allclose(
        tension.tension_n, 1000.0 / (np.array([[2], [3], [4]]) * np.cos(angles)), rtol=4 * np.finfo(float).eps
    )
    basket = batch.basket_tension(weight_n=1000.0, angle_from_vertical_rad=angles)
    assert basket.tension_n.tobytes() == tension.tension_n[0].tobytes()
    pull = batch.horizontal_pull(vertical_n=[500.0], angle_from_vertical_rad=angles)
    np.testing.assert_allclose(pull.pull_n, 500.0 * np.tan(angles), rtol=4 * np.finfo(float).eps, atol=0.0)
    # Forces close: horizontal and vertical make the tension.
    np.testing.assert_allclose(np.hypot(pull.pull_n, 500.0), basket.tension_n, rtol=4 * np.finfo(float).eps)
    for bad in (math.nan, -0.1, math.pi / 2, math.inf):
        for result in (
            batch.leg_tension(weight_n=1.0, legs=2, angle_from_vertical_rad=bad),
            batch.basket_tension(weight_n=1.0, angle_from_vertical_rad=bad),
            batch.horizontal_pull(vertical_n=1.0, angle_from_vertical_rad=bad),
        ):
            assert result.status == 1 and np.isnan(result[0])
            with pytest.raises(OutOfDomainError, match=r"row \(\): angle from vertical"):
                result.raise_if_any()


def test_conversions_are_those_of_the_quantities():
    values = np.array([1.0, 42.0, 1 / 3, -0.0])
    for quantity, kind, units in (("force", Force, Force.units()), ("angle", Angle, Angle.units())):
        for unit_from in units:
            for unit_to in units:
                result = batch.convert(values, quantity=quantity, unit_from=unit_from, unit_to=unit_to)
                if unit_from == unit_to:
                    assert result.values.tobytes() == values.tobytes()
                else:
                    assert bits(result.values) == bits(kind(value, unit_from).to(unit_to) for value in values)
    result = batch.convert([[20.0, -300.0], [math.nan, 0.0]], quantity="temperature", unit_from="degC", unit_to="K")
    assert result.status.tolist() == [[0, 1], [1, 0]] and result.values[0, 0] == 293.15
    with pytest.raises(rigging_py.WrongUnitError, match="/unit_to"):
        batch.convert(1.0, quantity="force", unit_from="kN", unit_to="t")
    with pytest.raises(rigging_py.AmbiguousUnitError, match="/unit_from"):
        batch.convert(1.0, quantity="mass", unit_from="ton", unit_to="t")
    with pytest.raises(rigging_py.UnknownNameError, match="/quantity"):
        batch.convert(1.0, quantity="weight", unit_from="kN", unit_to="N")
    for text in (None, 3, b"kN"):
        with pytest.raises(TypeError, match="unit_to: "):
            batch.convert(1.0, quantity="force", unit_from="kN", unit_to=text)


def test_leading_dimensions_broadcast():
    weights = np.array([[1e4], [1e5]])
    lengths = np.array([6.0, 6.0, 6.01, 6.0]) + np.arange(3.0)[:, None]
    result = batch.bridle(**{**FOUR, "weight_n": weights, "lengths_m": lengths})
    assert result.tension_n.shape == (2, 3, 4)
    assert result.tilt_rad.shape == result.status.shape == result.state.shape == (2, 3)
    single = batch.bridle(**{**FOUR, "weight_n": 1e5, "lengths_m": lengths[2]})
    same(single, some(result, (1, 2)))


@pytest.mark.parametrize("shape", [(0,), (0, 3), (2, 0, 5)])
def test_no_rows_at_all(shape):
    result = batch.bridle(**{**FOUR, "weight_n": np.empty(shape)})
    assert result.tension_n.shape == (*shape, 4) and result.status.shape == shape
    result.raise_if_any()
    assert batch.basket_tension(weight_n=[], angle_from_vertical_rad=0.5).tension_n.shape == (0,)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("points_m", 1.0),
        ("points_m", [1.0, 2.0, 3.0]),
        ("points_m", np.zeros((4, 2))),
        ("points_m", np.zeros((4, 4))),
        ("center_m", 0.0),
        ("center_m", [0.0, 0.0]),
        ("center_m", np.zeros((2, 4))),
        ("lengths_m", 6.0),
        ("lengths_m", [6.0]),
        ("lengths_m", [6.0] * 5),
        ("ea_n", 6e6),
        ("ea_n", [[6e6] * 3]),
        ("ea_n", [[6e6], [6e6, 6e6]]),
    ],
)
def test_shapes_that_do_not_fit_are_named(name, value):
    with pytest.raises(InconsistentError) as refused:
        batch.bridle(**{**FOUR, name: value})
    assert refused.value.place == f"/{name}"


def test_leading_dimensions_that_do_not_broadcast_are_named():
    with pytest.raises(InconsistentError, match="^/weight_n: .*broadcast"):
        batch.bridle(**{**FOUR, "points_m": np.zeros((3, 4, 3)), "weight_n": [1.0, 2.0]})
    with pytest.raises(InconsistentError, match="^/legs: .*broadcast"):
        batch.leg_tension(weight_n=[1.0, 2.0], legs=[1, 2, 3], angle_from_vertical_rad=0.0)


@pytest.mark.parametrize("legs", [0, 65, 200])
def test_the_number_of_legs_has_limits(legs):
    rows = {"points_m": np.ones((legs, 3)), "lengths_m": np.ones(legs), "ea_n": np.ones(legs)}
    with pytest.raises(OutOfDomainError, match="number of legs"):
        batch.bridle(weight_n=1.0, center_m=np.zeros(3), **rows)


@pytest.mark.parametrize("threads", [0, -1, -(10**30)])
def test_fewer_than_one_thread(threads):
    with pytest.raises(OutOfDomainError, match="/threads"):
        batch.bridle(**FOUR, threads=threads)


@pytest.mark.parametrize("threads", [True, 1.0, "2", [1]])
def test_threads_that_are_no_number(threads):
    with pytest.raises(TypeError, match="threads: "):
        batch.bridle(**FOUR, threads=threads)


def test_any_number_of_threads():
    rows = varied(600)
    whole = batch.bridle(**rows)
    for threads in (np.int8(3), 600, 10**30):
        same(batch.bridle(**rows, threads=threads), whole)


def test_everything_is_by_keyword():
    with pytest.raises(TypeError):
        batch.basket_tension(1000.0, 0.5)
    with pytest.raises(TypeError):
        batch.bridle(*FOUR.values())


# Numbers that every type of the next test holds exactly.
EXACT = st.integers(1, 120)
DTYPES = ["f2", "f4", "f8", ">f4", ">f8", "<f8", "i1", ">i2", "i4", "i8", "u1", "u2", ">u4", "u8", "longdouble"]


def layouts(values):
    """The same numbers in memory laid out in other ways."""
    yield values
    yield np.asfortranarray(values)
    yield np.repeat(values, 2, axis=0)[::2]
    yield values[::-1].copy()[::-1]
    read_only = values.copy()
    read_only.flags.writeable = False
    yield read_only
    odd = np.zeros(values.nbytes + 1, np.uint8)[1:].view(values.dtype).reshape(values.shape)
    odd[...] = values
    yield odd
    field = np.zeros(values.shape, [("one", "u1"), ("two", values.dtype)])
    field["two"] = values
    yield field["two"]
    yield values.tolist()
    yield [list(row) for row in values] if values.ndim > 1 else tuple(values)


@pytest.mark.parametrize("dtype", [np.dtype(name) for name in DTYPES], ids=DTYPES)
@settings(deadline=None, max_examples=8)
@given(data=st.data())
def test_layout_and_type_change_nothing(dtype, data):
    shape = data.draw(st.tuples(st.integers(1, 3), st.integers(1, 4)))
    count = shape[0] * shape[1]
    numbers = data.draw(st.lists(EXACT, min_size=count, max_size=count))
    values = np.array(numbers, np.float64).reshape(shape)
    expected = batch.leg_tension(weight_n=values, legs=2, angle_from_vertical_rad=0.5)
    for other in layouts(values.astype(dtype)):
        found = batch.leg_tension(weight_n=other, legs=2, angle_from_vertical_rad=0.5)
        same(found, expected)
    lengths = np.broadcast_to(values[..., None], (*shape, 4)).astype(dtype)
    whole = batch.bridle(**{**FOUR, "lengths_m": lengths.astype(np.float64)})
    for other in layouts(lengths):
        same(batch.bridle(**{**FOUR, "lengths_m": other}), whole)


HOSTILE = st.one_of(st.floats(width=64), st.floats(1e-3, 1e6), st.sampled_from([0.0, -0.0, 5e-324, 1.7e308, math.nan]))


@settings(deadline=None, max_examples=100)
@given(st.data())
def test_any_numbers_give_figures_or_a_status(data):
    legs = data.draw(st.integers(1, 6))
    count = data.draw(st.integers(1, 4))
    shapes = {"weight_n": (), "center_m": (3,), "points_m": (legs, 3), "lengths_m": (legs,), "ea_n": (legs,)}
    rows = {}
    for name, trailing in shapes.items():
        size = count * math.prod(trailing)
        values = data.draw(st.lists(HOSTILE, min_size=size, max_size=size))
        rows[name] = np.array(values).reshape(count, *trailing)
    result = batch.bridle(**rows)
    solved = (result.status == 0) & (result.state <= 1)
    assert (np.isfinite(result.tension_n).all(axis=-1) == solved).all()
    assert (np.isfinite(result.tilt_rad) == solved).all()
    assert np.isin(result.status, [0, 1, 15]).all() and ((result.state == -1) == (result.status != 0)).all()
    for row in range(count):
        same(batch.bridle(**{name: values[row] for name, values in rows.items()}), some(result, row))


@settings(deadline=None, max_examples=200)
@given(
    st.one_of(
        st.none(),
        st.booleans(),
        st.text(),
        st.binary(),
        st.complex_numbers(),
        st.dictionaries(st.text(), st.floats()),
        st.sets(st.integers()),
        st.fractions(),
        st.decimals(),
        st.dates(),
        st.lists(st.one_of(st.none(), st.booleans(), st.text(), st.complex_numbers()), min_size=1),
        st.integers(2**53 + 1, 2**300).filter(lambda value: value % 2 == 1),
    )
)
def test_what_is_no_number_is_refused_by_name(value):
    for call in (
        lambda value: batch.leg_tension(weight_n=value, legs=2, angle_from_vertical_rad=0.0),
        lambda value: batch.leg_tension(weight_n=[[value]], legs=2, angle_from_vertical_rad=0.0),
        lambda value: batch.bridle(**{**FOUR, "weight_n": value}),
    ):
        with pytest.raises(TypeError, match="^weight_n: "):
            call(value)


@pytest.mark.parametrize("name", FOUR)
@pytest.mark.parametrize(
    "spoil",
    [
        lambda values: np.ma.array(values),
        lambda values: np.ma.array(values, mask=True),
        lambda values: values.astype(object),
        lambda values: values.astype(complex),
        lambda values: values.astype(bool),
        lambda values: values.astype(str),
        lambda values: values.astype(bytes),
        lambda values: values.astype("m8[s]"),
        lambda values: values.astype([("x", float)]),
        lambda values: [np.ma.masked],
        lambda values: [values.astype(object)],
        lambda values: np.full(values.shape, 1 / np.longdouble(3)),
        lambda values: np.full(values.shape, 2**53 + 1),
        lambda values: np.full(values.shape, 2**64 - 1, np.uint64),
    ],
)
def test_arrays_that_are_no_plain_numbers_are_refused_by_name(name, spoil):
    with pytest.raises(TypeError, match=f"^{name}: "):
        batch.bridle(**{**FOUR, name: spoil(np.array(FOUR[name]))})


def test_quantities_of_this_package_are_refused():
    for value in (Force("3 kN"), [Force("3 kN")]):
        with pytest.raises(TypeError, match=r"^weight_n: .*rigging_py\.Force"):
            batch.basket_tension(weight_n=value, angle_from_vertical_rad=0.0)
