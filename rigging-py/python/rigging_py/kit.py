"""Where is a sharing rule unsafe? A search for the lift that it forgets, and a map of where it falls short.

Both look at one load under one hook in plain numbers, and hang it: around a lift, or a ring of lift points. That nothing was
found proves nothing.

Results support, and never replace, the planning of the competent person; local codes and licensed practice prevail.

Examples
--------
A rule of your own, and the lift it forgets:

>>> from rigging_py import Lift, kit
>>> from rigging_py.sharing import SharingRule
>>> third = SharingRule("a third of the weight", "four legs", "note of the yard", True, lambda set: [set.weight_n / 3.0] * 4)
>>> found = kit.refute(third, legs=4)
>>> found.refuted, found.trials < 1000
(True, True)
>>> print(found.case["rule"])
a third of the weight
>>> len(Lift.from_json(found.case["document"]).legs)
4
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from ._native import Lift, _refute, _survey
from .sharing import SharingRule

__all__ = ["Axis", "Searched", "Survey", "refute", "survey"]

_UNITS = {"mass": "kg", "stiffness": "N", "stiffnesses": "N"}
_NAMES = {
    "mass": "mass",
    "center_of_gravity": "{axis} of the center of gravity",
    "center_tolerance": "tolerance of {axis} of the center of gravity",
    "point": "{axis} of point {leg}",
    "length": "length of leg {leg}",
    "lengths": "length of every leg",
    "length_tolerances": "tolerance of every length",
    "stiffness": "EA of leg {leg}",
    "stiffnesses": "EA of every leg",
}


class Searched(NamedTuple):
    """What a search found, and how far it looked.

    Attributes
    ----------
    refuted : bool
        Whether the rule falls short in ``case``. Where not, nothing is proven.
    case : dict or None
        The counter-example, made smaller; else the state in which the rule came nearest to falling short; None where it spoke of
        no lift that hangs. Keys: `rule`, `outline` (the lift in plain numbers), `changed` (what differs from the lift the search
        started from), `longer` and `center_moved` (where in its tolerances it hangs, m), `leg`, `short` (which share of the
        tension of that leg is missing), `tensions`, `forces` (N), `document` (the lift as the text of a document).
    largest : float or None
        The largest shortfall found, over the tension of the leg; below zero where every leg was covered.
    trials : int
        States that were hung.
    record : dict
        All of it, as plain values: also `lifts`, `refused`, `refusal`, `not_stable` and `looked`, the values that were looked at.
    """

    refuted: bool
    case: dict[str, Any] | None
    largest: float | None
    trials: int
    record: dict[str, Any]


class Axis(NamedTuple):
    """A number and the values it takes.

    Attributes
    ----------
    number : str or dict
        The number.
    name : str
        In words.
    unit : str
        Unit of the values.
    values : numpy.ndarray
        The values.
    """

    number: Any
    name: str
    unit: str
    values: npt.NDArray[np.float64]


class Survey(NamedTuple):
    """How far rules fall short of the worst within tolerances, cell by cell.

    Attributes
    ----------
    rules : list of dict
        What each rule says of itself.
    axes : list of Axis
        The axes.
    worst_n : numpy.ndarray
        Largest tension attained at a vertex of the tolerances, in N, of the shape of the axes; NaN where the lift does not hang
        stably at all of them, or there is no such lift.
    short : numpy.ndarray
        For each rule and cell, which share of its worst tension is missing of the leg that is covered least; below zero where
        every leg is covered, NaN where the rule refuses or there is no worst tension.
    """

    rules: list[dict[str, Any]]
    axes: list[Axis]
    worst_n: npt.NDArray[np.float64]
    short: npt.NDArray[np.float64]


def _rule(rule: SharingRule | str) -> SharingRule:
    return SharingRule.built_in(rule) if isinstance(rule, str) else rule


def _plain(value: Any) -> Any:
    """Numbers of NumPy and sequences as JSON has them."""
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, np.ndarray | list | tuple | range):
        return [_plain(item) for item in value]
    return value.item() if isinstance(value, np.generic) else value


def _words(number: Any) -> tuple[str, str]:
    """Name and unit of a number, as messages have them."""
    key, at = next(iter(number.items())) if isinstance(number, dict) else (number, {})
    leg = at.get("leg", 0)
    name = _NAMES[key].format(axis="xyz"[at.get("axis", 0)], leg=chr(ord("A") + leg) if leg < 26 else leg + 1)
    return name, _UNITS.get(key, "m")


def refute(
    rule: SharingRule | str,
    *,
    lift: Lift | None = None,
    legs: int | None = None,
    free: Iterable[Mapping[str, Any]] | None = None,
    trials: int | None = None,
    states: int | None = None,
    lifts: int | None = None,
    least: float | None = None,
    seed: int | None = None,
    progress: Callable[[int], object] | None = None,
) -> Searched:
    """Search for a lift in which a leg bears more than a sharing rule says.

    Lifts are drawn at random, the worst of them are climbed from along exact derivatives, and what is found is made smaller
    toward the lift to start from. The same seed finds the same.

    Parameters
    ----------
    rule : SharingRule or str
        The rule, or the name of one that comes with the package.
    lift : Lift, optional
        The lift to start from.
    legs : int, optional
        The number of legs of a ring of lift points to start from, where no lift is given.
    free : iterable of dict, optional
        What is free, and within which range: each with the keys `number`, `least` and `most` (in kg, m or N). A number is
        "mass", "lengths", "length_tolerances", "stiffnesses" (of every leg), or a dict such as
        {"center_of_gravity": {"axis": 0}}, {"center_tolerance": {"axis": 1}}, {"point": {"leg": 0, "axis": 2}},
        {"length": {"leg": 3}} or {"stiffness": {"leg": 3}}. May be left out for a ring.
    trials : int, optional
        States to hang; 100,000 where it is left out.
    states : int, optional
        States of each lift that is drawn; 4 where it is left out.
    lifts : int, optional
        Lifts after which the worst state of them is climbed from; 16 where it is left out.
    least : float, optional
        The rule falls short where a leg bears more than it says by this share of its tension; 1e-6 where it is left out.
    seed : int, optional
        Seed of the random numbers; 1 where it is left out.
    progress : callable, optional
        Called now and then with the trials so far. Ctrl-C ends the search.

    Returns
    -------
    Searched

    Raises
    ------
    MissingError
        Where neither a lift nor a number of legs is given, nothing is free around a lift, or the lift lacks an input.
    OutOfDomainError, InconsistentError, MalformedError, UnsupportedError
        For what is no search, no range, or no lift that can be one; for a rule that answers not one force a leg.

    Examples
    --------
    >>> from rigging_py import Lift, kit
    >>> free = [
    ...     {"number": "stiffnesses", "least": 4e6, "most": 12e6},
    ...     {"number": {"center_of_gravity": {"axis": 1}}, "least": -0.2, "most": 0.2},
    ... ]
    >>> found = kit.refute("two legs carry all", lift=Lift.demo("generator-skid"), free=free)
    >>> found.refuted, len(found.case["changed"]) <= 2
    (True, True)
    """
    given = {
        "legs": legs,
        "free": None if free is None else [dict(item) for item in free],
        "trials": trials,
        "states": states,
        "lifts": lifts,
        "least": least,
        "seed": seed,
    }
    inputs = json.dumps(_plain({key: value for key, value in given.items() if value is not None}))
    record = json.loads(_refute(_rule(rule), lift, inputs, progress))
    return Searched(record["refuted"], record["worst"], record["largest"], record["trials"], record)


def survey(
    axes: Iterable[Mapping[str, Any]],
    rules: Iterable[SharingRule | str] | None = None,
    *,
    lift: Lift | None = None,
    legs: int | None = None,
    progress: Callable[[int], object] | None = None,
) -> Survey:
    """Map where sharing rules fall short of the worst within tolerances.

    Parameters
    ----------
    axes : iterable of dict
        Each with the keys `number` (as in `refute`) and `values` (in kg, m or N).
    rules : iterable of SharingRule or str, optional
        The rules; those that come with the package where it is left out.
    lift : Lift, optional
        The lift of which these numbers are changed.
    legs : int, optional
        The number of legs of a ring of lift points, where no lift is given.
    progress : callable, optional
        Called now and then with the cells so far. Ctrl-C ends the work.

    Returns
    -------
    Survey

    Raises
    ------
    MissingError, OutOfDomainError, InconsistentError, MalformedError, UnsupportedError
        As `refute`, and for what is no axis.

    Examples
    --------
    >>> import numpy as np
    >>> from rigging_py import kit
    >>> tolerance = {"number": "length_tolerances", "values": np.linspace(0.0, 0.01, 3)}
    >>> found = kit.survey([tolerance], ["three legs carry all"], legs=4)
    >>> [bool(short > 0) for short in found.short[0]]
    [False, False, True]
    """
    given = {"legs": legs, "axes": [dict(axis) for axis in axes]}
    inputs = json.dumps(_plain({key: value for key, value in given.items() if value is not None}))
    chosen: Sequence[SharingRule | str] = SharingRule.names() if rules is None else list(rules)
    record = json.loads(_survey([_rule(rule) for rule in chosen], lift, inputs, progress))
    found = [Axis(axis["number"], *_words(axis["number"]), np.array(axis["values"])) for axis in record["axes"]]
    shape = tuple(len(axis.values) for axis in found)
    worst = np.array(record["worst"], dtype=np.float64).reshape(shape)
    short = np.array(record["short"], dtype=np.float64).reshape((len(chosen), *shape))
    return Survey(record["rules"], found, worst, short)
