"""How one number scatters; public as names of `rigging_py.sampling`."""

from __future__ import annotations

from typing import NamedTuple

import numpy.typing as npt

from . import _arrays


class Distribution(NamedTuple):
    """How one number scatters; made by the functions of this module.

    Attributes
    ----------
    code : int
        Number of the distribution.
    parameters : tuple of float
        Its parameters, in the unit of the number.
    """

    code: int
    parameters: tuple[float, ...]


def uniform(least: float, most: float) -> Distribution:
    """Alike from `least` to `most`."""
    return _distribution(0, least=least, most=most)


def normal(mean: float, deviation: float) -> Distribution:
    """Normal with a mean and a standard deviation."""
    return _distribution(1, mean=mean, deviation=deviation)


def truncated_normal(mean: float, deviation: float, least: float, most: float) -> Distribution:
    """Normal with a mean and a standard deviation before what lies outside `least` to `most` is sorted out."""
    return _distribution(2, mean=mean, deviation=deviation, least=least, most=most)


def triangular(least: float, mode: float, most: float) -> Distribution:
    """Density that rises from `least` to `mode` and falls to `most`."""
    return _distribution(3, least=least, mode=mode, most=most)


def observed(values: npt.ArrayLike) -> Distribution:
    """The values of a sample, each as likely as the others; so any quantile function at evenly spread probabilities."""
    flat = _arrays.plain(values, "values", None).reshape(-1)
    return Distribution(4, tuple(flat.tolist()))


def _distribution(code: int, **parameters: float) -> Distribution:
    return Distribution(code, tuple(_arrays.scalar(value, name, None) for name, value in parameters.items()))
