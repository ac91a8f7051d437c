"""Calculations over arrays, in plain SI: the unit stands in the name of each parameter.

Arrays are whatever NumPy reads as real numbers; leading dimensions broadcast. What carries a unit, a mask or no numbers
is refused with the name of the parameter: a unit is never stripped. A row that cannot be calculated has NaN and the
status of its error, and changes nothing in its neighbors.

Every row is calculated from its own numbers alone, by the steps of the single calculation: neither neighbors nor their
order nor the number of threads change a bit of it. The lock of the interpreter is released meanwhile; do not change the
arrays while a call runs. Threads live for the call and no longer, so a process may fork before and after.

Results support, and never replace, the planning of the competent person; local codes and licensed practice prevail.

Examples
--------
>>> from rigging_py import batch
>>> batch.leg_tension(weight_n=[1000.0, 2000.0], legs=2, angle_from_vertical_rad=0.0).tension_n.tolist()
[500.0, 1000.0]
"""

from __future__ import annotations

import operator

import numpy as np
import numpy.typing as npt

from . import _arrays, _native
from ._arrays import Floats
from ._errors import InconsistentError, OutOfDomainError
from ._results import (
    BridleResult,
    ConvertResult,
    NearbyResult,
    PullResult,
    TensionResult,
    _flat,
    _outputs,
    _refused,
)

__all__ = [
    "BridleResult",
    "ConvertResult",
    "NearbyResult",
    "PullResult",
    "TensionResult",
    "basket_tension",
    "bridle",
    "convert",
    "horizontal_pull",
    "leg_tension",
    "nearby",
]


def bridle(
    *,
    weight_n: npt.ArrayLike,
    center_m: npt.ArrayLike,
    points_m: npt.ArrayLike,
    lengths_m: npt.ArrayLike,
    ea_n: npt.ArrayLike,
    threads: int | None = None,
) -> BridleResult:
    """Hang loads on bridles of m legs with linear stretch, one a row.

    Parameters
    ----------
    weight_n : array_like
        Weight, in N, of shape (...).
    center_m : array_like
        Center of gravity in the load's frame, in m, of shape (..., 3); the load's z is up as drawn.
    points_m : array_like
        Lift points in the load's frame, in m, of shape (..., m, 3), m from 1 to 64.
    lengths_m : array_like
        Unstretched lengths of the legs, in m, of shape (..., m).
    ea_n : array_like
        Axial stiffness EA of the legs, in N, of shape (..., m).
    threads : int, optional
        The most threads that share the rows, from 1. As many as the process may use at once by default; small batches
        take one.

    Returns
    -------
    BridleResult
        Named arrays: tension_n (..., m) in N, tilt_rad (...), status (...), state (...).

    Raises
    ------
    TypeError
        For what carries a unit or a mask, or is not real numbers; names the parameter.
    InconsistentError
        For shapes that do not fit together; its place names the parameter.
    OutOfDomainError
        For a number of legs outside 1 to 64, and for fewer than one thread.

    Examples
    --------
    >>> from rigging_py import batch
    >>> result = batch.bridle(
    ...     weight_n=[1000.0, -1.0],
    ...     center_m=[0.0, 0.0, -0.3],
    ...     points_m=[[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]],
    ...     lengths_m=[2.0, 2.0],
    ...     ea_n=[1e9, 1e9],
    ... )
    >>> result.tension_n.round(2).tolist()
    [[577.35, 577.35], [nan, nan]]
    >>> result.status.tolist(), result.state.tolist()
    ([0, 1], [0, -1])
    >>> result.raise_if_any()
    Traceback (most recent call last):
    rigging_py._errors.OutOfDomainError: row (1,): weight is -1 N; it must be positive and finite
    """
    points = _arrays.plain(points_m, "points_m", "m")
    _, (legs, _) = _arrays.split(points, 2, "points_m")
    leading, flat = _arrays.rows(
        {
            "points_m": (points, (legs, 3)),
            "weight_n": (_arrays.plain(weight_n, "weight_n", "N"), ()),
            "center_m": (_arrays.plain(center_m, "center_m", "m"), (3,)),
            "lengths_m": (_arrays.plain(lengths_m, "lengths_m", "m"), (legs,)),
            "ea_n": (_arrays.plain(ea_n, "ea_n", "N"), (legs,)),
        }
    )
    points, weight, center, lengths, ea = flat
    tension = np.empty((*leading, legs))
    tilt, status = _outputs(leading)
    state = np.empty(leading, np.int32)
    outputs = _flat(tension), _flat(tilt), _flat(status), _flat(state)
    refused = _native._bridle(weight, center, points, lengths, ea, *outputs, legs, _threads(threads))
    result = BridleResult(tension, tilt, status, state)
    result._refusal = _refused(refused, leading)
    return result


def nearby(
    *,
    weight_n: float,
    center_m: npt.ArrayLike,
    points_m: npt.ArrayLike,
    lengths_m: npt.ArrayLike,
    ea_n: npt.ArrayLike,
    row_lengths_m: npt.ArrayLike | None = None,
    row_stiffness_factors: npt.ArrayLike | None = None,
    row_center_m: npt.ArrayLike | None = None,
    row_weight_n: npt.ArrayLike | None = None,
    threads: int | None = None,
) -> NearbyResult:
    """Hang loads that differ from one nominal bridle by tolerances, one a row, on the branch of the nominal balance.

    Rows are calculated side by side, as many as the processor has lanes, and much faster than by `bridle`.

    Parameters
    ----------
    weight_n : float
        Weight of the nominal load, in N.
    center_m : array_like
        Its center of gravity in the load's frame, in m, of shape (3,); the load's z is up as drawn.
    points_m : array_like
        Its lift points in the load's frame, in m, of shape (m, 3), m from 1 to 64.
    lengths_m, ea_n : array_like
        Unstretched lengths in m and axial stiffness EA in N of its legs, of shape (m,).
    row_lengths_m : array_like, optional
        Unstretched lengths of the rows, in m, of shape (..., m); nominal by default, as all that follow.
    row_stiffness_factors : array_like, optional
        Factors on the stiffness of the legs, of shape (..., m).
    row_center_m : array_like, optional
        Center of gravity of the rows, in m, of shape (..., 3).
    row_weight_n : array_like, optional
        Weight of the rows, in N, of shape (...).
    threads : int, optional
        As for `bridle`.

    Returns
    -------
    NearbyResult
        Named arrays: tension_n (..., m) in N, tilt_rad (...), status (...), state (...), alone (...).

    Raises
    ------
    TypeError, InconsistentError, OutOfDomainError
        As `bridle`.
    UnconvergedError
        If no nominal balance could be certified.

    Examples
    --------
    One leg 5 mm short: it and the one across take most of the load.

    >>> from rigging_py import batch
    >>> result = batch.nearby(
    ...     weight_n=1000.0,
    ...     center_m=[0.0, 0.0, -0.5],
    ...     points_m=[[1.0, 1.0, 0.0], [1.0, -1.0, 0.0], [-1.0, -1.0, 0.0], [-1.0, 1.0, 0.0]],
    ...     lengths_m=[2.0, 2.0, 2.0, 2.0],
    ...     ea_n=[2e5, 2e5, 2e5, 2e5],
    ...     row_lengths_m=[[2.0, 2.0, 2.0, 2.0], [1.995, 2.0, 2.0, 2.0]],
    ... )
    >>> bool(result.tension_n[1, 0] > 1.3 * result.tension_n[0, 0]), result.alone.tolist()
    (True, [0, 0])
    """
    load, legs = _nominal(weight_n, center_m, points_m, lengths_m, ea_n)
    names = {
        "row_lengths_m": (row_lengths_m, "m", (legs,)),
        "row_stiffness_factors": (row_stiffness_factors, None, (legs,)),
        "row_center_m": (row_center_m, "m", (3,)),
        "row_weight_n": (row_weight_n, "N", ()),
    }
    given = {
        name: (_arrays.plain(value, name, unit), trailing)
        for name, (value, unit, trailing) in names.items()
        if value is not None
    }
    leading, flat = _arrays.rows(given)
    rows = dict(zip(given, flat))
    tension = np.empty((*leading, legs))
    tilt, status = _outputs(leading)
    state, alone = np.empty(leading, np.int32), np.empty(leading, np.int32)
    refused = _native._nearby(
        *load,
        rows.get("row_lengths_m"),
        rows.get("row_stiffness_factors"),
        rows.get("row_center_m"),
        rows.get("row_weight_n"),
        _flat(tension),
        _flat(tilt),
        _flat(status),
        _flat(state),
        _flat(alone),
        _threads(threads),
    )
    result = NearbyResult(tension, tilt, status, state, alone)
    result._refusal = _refused(refused, leading)
    return result


def _nominal(
    weight_n: float,
    center_m: npt.ArrayLike,
    points_m: npt.ArrayLike,
    lengths_m: npt.ArrayLike,
    ea_n: npt.ArrayLike,
) -> tuple[tuple[Floats, Floats, Floats, Floats, float], int]:
    """The flat arrays of a nominal load, in the order of the native module, and its number of legs."""
    points = _arrays.plain(points_m, "points_m", "m")
    _, (legs, _) = _arrays.split(points, 2, "points_m")
    leading, (points, center, lengths, ea) = _arrays.rows(
        {
            "points_m": (points, (legs, 3)),
            "center_m": (_arrays.plain(center_m, "center_m", "m"), (3,)),
            "lengths_m": (_arrays.plain(lengths_m, "lengths_m", "m"), (legs,)),
            "ea_n": (_arrays.plain(ea_n, "ea_n", "N"), (legs,)),
        }
    )
    if leading:
        raise InconsistentError(f"one nominal load is needed, not the leading dimensions {leading}", "/points_m")
    return (points, lengths, ea, center, _arrays.scalar(weight_n, "weight_n", "N")), legs


def _threads(threads: int | None) -> int:
    if threads is None:
        return 0
    if isinstance(threads, bool):
        raise TypeError("threads: a whole number is needed, not a truth value")
    try:
        number = operator.index(threads)
    except TypeError:
        raise TypeError(f"threads: a whole number is needed, not a value of the type {type(threads).__name__}") from None
    if number < 1:
        raise OutOfDomainError(f"number of threads is {number}; it must be from 1 up", "/threads")
    # Beyond that the core starts no more.
    return min(number, 1 << 16)


def leg_tension(
    *, weight_n: npt.ArrayLike, legs: npt.ArrayLike, angle_from_vertical_rad: npt.ArrayLike
) -> TensionResult:
    """Tension of each of n equal legs at one angle under a central weight: W/(n·cos β).

    Parameters
    ----------
    weight_n : array_like
        Weight W, in N, positive.
    legs : array_like
        Number n of legs that share it, whole numbers from 1.
    angle_from_vertical_rad : array_like
        Angle β of the legs from vertical, in rad, from 0 to below a right angle.

    Returns
    -------
    TensionResult
        tension_n in N and status, of the shape to which the parameters broadcast.

    Examples
    --------
    Two legs at 60 degrees from vertical carry the whole weight each (Spellman and Whiting, Handbook of Mathematics and
    Statistics for the Environment, Example 11.3).

    >>> from math import radians
    >>> from rigging_py import batch
    >>> result = batch.leg_tension(weight_n=8896.0, legs=[2, 4], angle_from_vertical_rad=radians(60.0))
    >>> result.tension_n.round(3).tolist(), result.status.tolist()
    ([8896.0, 4448.0], [0, 0])
    """
    leading, (weight, count, angle) = _arrays.rows(
        {
            "weight_n": (_arrays.plain(weight_n, "weight_n", "N"), ()),
            "legs": (_arrays.plain(legs, "legs", None), ()),
            "angle_from_vertical_rad": _angle(angle_from_vertical_rad),
        }
    )
    tension, status = _outputs(leading)
    refused = _native._leg_tension(weight, count, angle, _flat(tension), _flat(status))
    result = TensionResult(tension, status)
    result._refusal = _refused(refused, leading)
    return result


def _angle(angle_from_vertical_rad: npt.ArrayLike) -> tuple[Floats, tuple[int, ...]]:
    return _arrays.plain(angle_from_vertical_rad, "angle_from_vertical_rad", "rad"), ()


def basket_tension(*, weight_n: npt.ArrayLike, angle_from_vertical_rad: npt.ArrayLike) -> TensionResult:
    """Tension of each part of a basket hitch without friction under a central weight: W/(2·cos β).

    Parameters
    ----------
    weight_n : array_like
        Weight W, in N, positive.
    angle_from_vertical_rad : array_like
        Angle β of the parts from vertical, in rad, from 0 to below a right angle.

    Returns
    -------
    TensionResult
        tension_n in N and status, of the shape to which the parameters broadcast.

    Examples
    --------
    >>> from rigging_py import batch
    >>> batch.basket_tension(weight_n=1000.0, angle_from_vertical_rad=[0.0, 2.0])
    TensionResult(tension_n=array([500.,  nan]), status=array([0, 1], dtype=int32))
    """
    leading, (weight, angle) = _arrays.rows(
        {
            "weight_n": (_arrays.plain(weight_n, "weight_n", "N"), ()),
            "angle_from_vertical_rad": _angle(angle_from_vertical_rad),
        }
    )
    tension, status = _outputs(leading)
    refused = _native._basket_tension(weight, angle, _flat(tension), _flat(status))
    result = TensionResult(tension, status)
    result._refusal = _refused(refused, leading)
    return result


def horizontal_pull(*, vertical_n: npt.ArrayLike, angle_from_vertical_rad: npt.ArrayLike) -> PullResult:
    """Horizontal pull of a leg that carries a vertical force: V·tan β.

    At the choke of a pair of choked slings it is what draws the two together.

    Parameters
    ----------
    vertical_n : array_like
        Vertical force V of the leg, in N, positive.
    angle_from_vertical_rad : array_like
        Angle β of the leg from vertical, in rad, from 0 to below a right angle.

    Returns
    -------
    PullResult
        pull_n in N and status, of the shape to which the parameters broadcast.

    Examples
    --------
    >>> from math import radians
    >>> from rigging_py import batch
    >>> batch.horizontal_pull(vertical_n=1000.0, angle_from_vertical_rad=radians(45.0)).pull_n.round(9).tolist()
    1000.0
    """
    leading, (vertical, angle) = _arrays.rows(
        {
            "vertical_n": (_arrays.plain(vertical_n, "vertical_n", "N"), ()),
            "angle_from_vertical_rad": _angle(angle_from_vertical_rad),
        }
    )
    pull, status = _outputs(leading)
    refused = _native._horizontal_pull(vertical, angle, _flat(pull), _flat(status))
    result = PullResult(pull, status)
    result._refusal = _refused(refused, leading)
    return result


def convert(values: npt.ArrayLike, *, quantity: str, unit_from: str, unit_to: str) -> ConvertResult:
    """Convert plain numbers from one unit of a quantity to another.

    Parameters
    ----------
    values : array_like
        Numbers in `unit_from`.
    quantity : str
        Which quantity they are of, such as "force" or "mass": neither becomes the other.
    unit_from, unit_to : str
        Units of the quantity, such as "kip" and "kN".

    Returns
    -------
    ConvertResult
        values in `unit_to` and status, of the shape of the parameter.

    Raises
    ------
    UnknownNameError
        For no quantity.
    WrongUnitError, AmbiguousUnitError
        For no unit of it.

    Examples
    --------
    >>> from rigging_py import batch
    >>> batch.convert([1.0, 2.0], quantity="force", unit_from="kip", unit_to="kN").values.tolist()
    [4.4482216152605, 8.896443230521]
    """
    for name, text in (("quantity", quantity), ("unit_from", unit_from), ("unit_to", unit_to)):
        if not isinstance(text, str):
            raise TypeError(f"{name}: a text is needed, not a value of the type {type(text).__name__}")
    leading, (flat,) = _arrays.rows({"values": (_arrays.plain(values, "values", unit_from), ())})
    converted, status = _outputs(leading)
    refused = _native._convert(flat, quantity, unit_from, unit_to, _flat(converted), _flat(status))
    result = ConvertResult(converted, status)
    result._refusal = _refused(refused, leading)
    return result
