"""Arrays, and single calculations, through the C library and the Python module: the same bits, the same statuses."""

import ctypes
import os
from pathlib import Path

import numpy as np
import pytest

from rigging_py import batch, sharing

ROOT = Path(__file__).parents[2]
LIBRARY = Path(os.environ.get("CARGO_TARGET_DIR") or ROOT / "target") / "release" / "librigging.so"
COUNT, LEGS = 1000, 5


@pytest.fixture(scope="module")
def library():
    return ctypes.CDLL(str(LIBRARY))


def call(function, *arguments):
    """Numbers as size_t, arrays and texts by address."""
    passed = []
    for argument in arguments:
        if isinstance(argument, np.ndarray):
            passed.append(ctypes.c_void_p(argument.ctypes.data))
        elif isinstance(argument, bytes):
            passed += [ctypes.c_char_p(argument), ctypes.c_size_t(len(argument))]
        else:
            passed.append(ctypes.c_size_t(argument))
    status = function(*passed, ctypes.c_void_p(None))
    assert status == 0


def outputs(count):
    return np.empty(count), np.empty(count, np.int32)


def rows():
    """Random bridles, a few of them of no use."""
    random = np.random.default_rng(17)
    turn = np.arange(LEGS) * 2.0 * np.pi / LEGS
    points = np.stack([3.0 * np.cos(turn), 1.5 * np.sin(turn), 0.0 * turn], axis=-1)
    points = points + 0.1 * random.standard_normal((COUNT, LEGS, 3))
    weight = random.uniform(1e4, 1e6, COUNT)
    weight[3::97] = [np.nan, -1.0, np.inf, 0.0, -np.inf] * 2 + [np.nan]
    center = np.array([0.2, 0.1, -0.5]) + random.uniform(-1.0, 1.0, (COUNT, 3)) * [0.1, 0.1, 2.0]
    lengths = random.uniform(5.9, 6.1, (COUNT, LEGS))
    return weight, center, points, lengths, random.uniform(1e6, 1e8, (COUNT, LEGS))


def test_bridles(library):
    weight, center, points, lengths, ea = rows()
    found = batch.bridle(weight_n=weight, center_m=center, points_m=points, lengths_m=lengths, ea_n=ea)
    for threads in (0, 1, 3):
        (tilt, status), tension, state = outputs(COUNT), np.empty((COUNT, LEGS)), np.empty(COUNT, np.int32)
        inputs = weight, center, points, lengths, ea
        call(library.rigging_batch_bridle, COUNT, LEGS, *inputs, threads, tension, tilt, status, state)
        for one, other in zip(found, (tension, tilt, status, state), strict=True):
            assert one.dtype == other.dtype and one.tobytes() == other.tobytes()
    solved = int(np.count_nonzero(found.status == 0))
    print(f"{COUNT} bridles compared, {COUNT - solved} with a status, 0 skipped")
    assert solved == COUNT - 11


def test_closed_forms(library):
    random = np.random.default_rng(19)
    weight, angle = random.uniform(-1e4, 1e6, COUNT), random.uniform(-0.1, 1.7, COUNT)
    legs = random.integers(0, 9, COUNT) / 2.0
    for function, single, arrays, found in (
        (
            library.rigging_leg_tension,
            sharing.leg_tension,
            (weight, legs, angle),
            batch.leg_tension(weight_n=weight, legs=legs, angle_from_vertical_rad=angle),
        ),
        (
            library.rigging_basket_tension,
            sharing.basket_tension,
            (weight, angle),
            batch.basket_tension(weight_n=weight, angle_from_vertical_rad=angle),
        ),
        (
            library.rigging_horizontal_pull,
            sharing.horizontal_pull,
            (weight, angle),
            batch.horizontal_pull(vertical_n=weight, angle_from_vertical_rad=angle),
        ),
    ):
        values, status = outputs(COUNT)
        call(function, COUNT, *arrays, values, status)
        assert (values.tobytes(), status.tobytes()) == (found[0].tobytes(), found.status.tobytes())
        assert 0 < np.count_nonzero(status) < COUNT
        sound = status == 0
        singly = np.array([single(*row) for row in zip(*(array[sound] for array in arrays), strict=True)])
        assert singly.tobytes() == values[sound].tobytes()


def test_conversions(library):
    values = np.array([1.0, 42.0, -0.0, np.nan, np.inf, 1e300, 5e-324])
    for quantity, unit_from, unit_to in (("force", "kip", "kN"), ("mass", "t", "lb"), ("temperature", "degF", "K")):
        found = batch.convert(values, quantity=quantity, unit_from=unit_from, unit_to=unit_to)
        converted, status = outputs(len(values))
        texts = quantity.encode(), unit_from.encode(), unit_to.encode()
        call(library.rigging_convert, *texts, len(values), values, converted, status)
        assert (converted.tobytes(), status.tobytes()) == (found.values.tobytes(), found.status.tobytes())
