"""What an array parameter takes: plain real numbers, in any layout, and nothing that carries a unit or a mask."""

from __future__ import annotations

import array
import numbers
import operator
from collections.abc import Mapping
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from ._errors import InconsistentError, OutOfDomainError

Floats: TypeAlias = npt.NDArray[np.float64]
Integers: TypeAlias = npt.NDArray[np.int32]

# What packages call the unit of a value.
_UNIT = ("units", "unit", "dimensionality")
_MASKED = "{name}: a masked array is refused: say with NaN what is not known"


def plain(value: object, name: str, unit: str | None) -> Floats:
    """Read a parameter as doubles; every conversion is exact.

    Parameters
    ----------
    value : array_like
    name : str
        Name of the parameter, for the message.
    unit : str or None
        The unit that a labelled array may state in ``attrs["units"]``; None for any, and none.

    Returns
    -------
    numpy.ndarray
        Of the type float64; the array itself where it is one already.

    Raises
    ------
    TypeError
        For anything that is not plain real numbers, by the name of the parameter.
    """
    if type(value) is np.ndarray:
        return _exact(value, name)
    if type(value) is float:
        return np.array(value)
    if isinstance(value, (list, tuple)):
        _look_into(value, name, unit)
        try:
            found = np.asarray(value)
        except ValueError as error:
            raise InconsistentError("the rows differ in length", f"/{name}") from error
        return _exact(found, name) if found.size else found.astype(np.float64)
    _look_at(value, name, unit)
    return _exact(np.asarray(value), name)


def scalar(value: object, name: str, unit: str | None) -> float:
    """Read a parameter that is one number as a double, by the rules of `plain`."""
    found = plain(value, name, unit)
    if found.ndim:
        raise TypeError(f"{name}: one number is needed, not the shape {found.shape}; rigging_py.batch takes arrays")
    return float(found)


def _look_into(value: object, name: str, unit: str | None) -> None:
    """Look at every item: what turns lists into arrays strips units without a word."""
    if isinstance(value, (list, tuple)):
        for item in value:
            _look_into(item, name, unit)
    elif type(value) is np.ndarray:
        _exact(value, name)
    else:
        _look_at(value, name, unit)


def _look_at(value: object, name: str, unit: str | None) -> None:
    """Look at what is neither a list nor an array of NumPy's own type."""
    if isinstance(value, (bool, np.bool_)) or not isinstance(value, numbers.Real):
        _refuse_foreign(value, name, unit)
    elif isinstance(value, int) and not _fits(value):
        raise TypeError(f"{name}: a whole number has more digits than a double holds")


def _fits(value: int) -> bool:
    try:
        return float(value) == value
    except OverflowError:
        return False


def _refuse_foreign(value: object, name: str, unit: str | None) -> None:
    """Refuse what carries a unit, a mask or no numbers at all."""
    if isinstance(value, np.ma.MaskedArray):
        raise TypeError(_MASKED.format(name=name))
    if isinstance(value, (str, bytes, bytearray, bool, np.bool_, complex, np.complexfloating, Mapping, set, frozenset)):
        raise TypeError(f"{name}: {_in_unit(unit)}, not {_named(value)}")
    _refuse_unit(value, name, unit)
    if isinstance(value, np.ndarray) and not isinstance(value, np.memmap):
        raise TypeError(f"{name}: {_in_unit(unit)}, not {_named(value)}")
    known = hasattr(value, "__array__") or isinstance(value, (range, memoryview, array.array, np.generic))
    if not known:
        raise TypeError(f"{name}: {_in_unit(unit)}, not {_named(value)}")


def _refuse_unit(value: object, name: str, unit: str | None) -> None:
    """Refuse a value with a unit, a labelled array that states another one, and an array around such a value."""
    for attribute in _UNIT:
        # Not what a table offers as attributes: a column may be named "unit".
        if hasattr(type(value), attribute) or attribute in getattr(value, "__dict__", {}):
            raise TypeError(f"{name}: {_in_unit(unit)}; the unit of {_named(value)} is never stripped, convert it first")
    labels = getattr(value, "attrs", None)
    if isinstance(labels, Mapping):
        for key in ("units", "unit"):
            if key in labels and labels[key] != unit:
                stated = f"{labels[key]!r}"
                raise TypeError(f"{name}: {_in_unit(unit)}; the array says {stated}, convert it first")
    for attribute in ("data", "_meta") if hasattr(type(value), "dims") else ("_meta",):
        within = getattr(value, attribute, None)
        if isinstance(within, np.ma.MaskedArray):
            raise TypeError(_MASKED.format(name=name))
        # Some arrays are their own data.
        if type(within) not in (type(value), np.ndarray, memoryview, type(None)):
            _refuse_unit(within, name, unit)


def _exact(found: npt.NDArray[Any], name: str) -> Floats:
    """Cast to double, where that changes no value."""
    kind = found.dtype
    if kind == np.float64:
        return found.astype(np.float64, copy=False)
    if kind.kind not in "iuf":
        raise TypeError(f"{name}: real numbers are needed, not an array of the type {kind}")
    # Numbers too great for a double become infinite, which the comparison finds.
    with np.errstate(over="ignore", invalid="ignore"):
        cast = found.astype(np.float64)
        if kind.itemsize >= 8 and not _same(found, cast):
            raise TypeError(f"{name}: a value of the type {kind} has more digits than a double holds")
    return cast


def _same(found: npt.NDArray[Any], cast: Floats) -> bool:
    if found.dtype.kind == "f":
        return bool(np.all((cast == found) | (np.isnan(cast) & np.isnan(found))))
    # 2**63 and 2**64 do not fit the type they would be cast back to.
    limits = np.iinfo(found.dtype)
    inside = (cast >= float(limits.min)) & (cast < float(limits.max))
    back = np.where(inside, cast, 0.0).astype(found.dtype)
    return bool(np.all(inside & (back == found)))


def _in_unit(unit: str | None) -> str:
    return f"plain numbers in {unit} are needed" if unit else "plain numbers are needed"


def _named(value: object) -> str:
    return f"a value of the type {type(value).__module__}.{type(value).__qualname__}"


def rows(
    parameters: dict[str, tuple[Floats, tuple[int, ...]]],
) -> tuple[tuple[int, ...], list[Floats]]:
    """Broadcast the leading dimensions and flatten.

    Parameters
    ----------
    parameters : dict
        For each name the array and its trailing dimensions, those of one row.

    Returns
    -------
    tuple
        The leading dimensions, and for each parameter a flat array with all its rows one after the other.

    Raises
    ------
    InconsistentError
        At ``/name`` of the parameter whose dimensions do not fit.
    """
    leading: tuple[int, ...] = ()
    for name, (values, trailing) in parameters.items():
        own = split(values, len(trailing), name)[0]
        if values.shape[len(own) :] != trailing:
            wanted = ", ".join(["...", *map(str, trailing)])
            raise InconsistentError(f"the shape is {values.shape}; it must be ({wanted})", f"/{name}")
        if own == leading:
            continue
        try:
            leading = np.broadcast_shapes(leading, own)
        except ValueError as error:
            reason = f"the leading dimensions {own} do not broadcast with those before, {leading}"
            raise InconsistentError(reason, f"/{name}") from error
    return leading, [_flat(values, leading + trailing) for values, trailing in parameters.values()]


def _flat(values: Floats, shape: tuple[int, ...]) -> Floats:
    """Every value in its place, one after the other; the array itself where it is so already."""
    spread = values if values.shape == shape else np.broadcast_to(values, shape)
    flags = spread.flags
    tidy = flags.c_contiguous and flags.aligned
    return (spread if tidy else np.require(spread, np.float64, ["C", "A"])).reshape(-1)


def split(values: Floats, width: int, name: str) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The leading dimensions of an array, and the `width` trailing ones."""
    if values.ndim < width:
        reason = f"the shape is {values.shape}; at least {width} dimensions are needed"
        raise InconsistentError(reason, f"/{name}")
    at = values.ndim - width
    return values.shape[:at], values.shape[at:]


def count(value: int, name: str) -> int:
    """A whole number that is not negative."""
    if isinstance(value, bool):
        raise TypeError(f"{name}: a whole number is needed, not a truth value")
    number = operator.index(value)
    if not 0 <= number < 1 << 63:
        raise OutOfDomainError(f"{name} is {number}; it must be from 0 to 2**63 - 1", f"/{name}")
    return number
