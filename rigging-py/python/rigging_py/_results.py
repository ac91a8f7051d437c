"""What calculations over arrays return; public as names of `rigging_py.batch`."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, NamedTuple, TypeVar

import numpy as np
import numpy.typing as npt

from ._arrays import Floats, Integers
from ._errors import RiggingError

if TYPE_CHECKING:
    from typing_extensions import disjoint_base
else:
    # The results have a place for their exception beside the tuple, which only the checker of types wants to be told.
    def disjoint_base(cls):
        return cls


_Item = TypeVar("_Item", np.float64, np.int32)
_Refused = tuple[int, RiggingError] | None


class _Refusable:
    """What the results of all calculations over arrays can do."""

    _refusal: RiggingError | None = None

    def raise_if_any(self) -> None:
        """Raise the exception of the first row that could not be calculated.

        Its ``row`` is the index of that row in ``status``, a tuple. A load that turns over is a result, not an error.

        Raises
        ------
        RiggingError
            Of the class and with the reason of the single calculation.
        """
        if self._refusal is not None:
            raise copy.copy(self._refusal)


class _BridleFields(NamedTuple):
    tension_n: Floats
    tilt_rad: Floats
    status: Integers
    state: Integers


@disjoint_base
class BridleResult(_Refusable, _BridleFields):
    """Rows of bridles, solved.

    Attributes
    ----------
    tension_n : numpy.ndarray
        Tension of each leg, in N, of shape (..., m); zero when slack. NaN where the row has a status, and where the
        load turns over (state 2 or 3): such figures are not those of a lift.
    tilt_rad : numpy.ndarray
        Angle between the world's upward direction and that of the load as drawn, in rad, of shape (...); NaN as above.
    status : numpy.ndarray
        0, or the number of the error that the single calculation gives (1 a value out of its domain, 15 no state that
        could be certified), of shape (...).
    state : numpy.ndarray
        0 stable, 1 neutral, 2 unstable, 3 lost, −1 not solved, of shape (...).
    """


class _NearbyFields(NamedTuple):
    tension_n: Floats
    tilt_rad: Floats
    status: Integers
    state: Integers
    alone: Integers


@disjoint_base
class NearbyResult(_Refusable, _NearbyFields):
    """Rows near a nominal bridle, solved.

    Attributes
    ----------
    tension_n, tilt_rad, status, state : numpy.ndarray
        As those of `BridleResult`.
    alone : numpy.ndarray
        0 for a row that was calculated beside others, 1 for one that was followed by itself, of shape (...).
    """


class _TensionFields(NamedTuple):
    tension_n: Floats
    status: Integers


@disjoint_base
class TensionResult(_Refusable, _TensionFields):
    """Tensions of rows.

    Attributes
    ----------
    tension_n : numpy.ndarray
        In N; NaN where the row has a status.
    status : numpy.ndarray
        0, or the number of the error that the single calculation gives.
    """


class _PullFields(NamedTuple):
    pull_n: Floats
    status: Integers


@disjoint_base
class PullResult(_Refusable, _PullFields):
    """Horizontal pulls of rows.

    Attributes
    ----------
    pull_n : numpy.ndarray
        In N; NaN where the row has a status.
    status : numpy.ndarray
        0, or the number of the error that the single calculation gives.
    """


class _ConvertFields(NamedTuple):
    values: Floats
    status: Integers


@disjoint_base
class ConvertResult(_Refusable, _ConvertFields):
    """Values in another unit.

    Attributes
    ----------
    values : numpy.ndarray
        In the unit asked for; NaN where the row has a status.
    status : numpy.ndarray
        0, or 1 for a value that is not finite or not of the quantity.
    """


def _refused(refused: _Refused, leading: tuple[int, ...]) -> RiggingError | None:
    if refused is None:
        return None
    index, error = refused
    error.row = tuple(int(part) for part in np.unravel_index(index, leading)) if leading else ()
    return error


def _outputs(leading: tuple[int, ...]) -> tuple[Floats, Integers]:
    """Room for one result a row and its status."""
    return np.empty(leading), np.empty(leading, np.int32)


def _flat(output: npt.NDArray[_Item]) -> npt.NDArray[_Item]:
    """The same memory in one dimension; a single row has none."""
    return output.reshape(-1)
