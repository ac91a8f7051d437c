"""Invariants of lifts, asked of the native module."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from math import nan
from typing import Any, Literal

from .. import _native
from .._native import Lift, RuleSet


@dataclass(frozen=True)
class Kept:
    """What became of an invariant that is not broken.

    Examples
    --------
    >>> from rigging_py import Lift, testing
    >>> testing.round_trip(Lift.demo("generator-skid"))
    Kept(count=6, tolerance=0.0, nearest=0.0, silent=None)
    """

    count: int
    """How many numbers were compared; 0 where the invariant is silent."""
    tolerance: float | None
    """The largest tolerance over the largest of the numbers it belongs to; None where the invariant is silent."""
    nearest: float | None
    """The largest difference over its tolerance, from 0 to 1; None where the invariant is silent."""
    silent: str | None
    """Why the invariant says nothing of this lift; None where numbers were compared."""


class Violation(AssertionError):
    """An invariant that is not kept.

    Parameters
    ----------
    invariant : str
        Which one.
    what : str
        What was compared.
    place : str
        Where: a JSON pointer into the system or the document.
    difference : dict
        `number`, with `found`, `expected`, `tolerance` and `unit`, or `words`, with `found` and `expected`.

    Examples
    --------
    >>> words = {"words": {"found": "lost", "expected": "stable"}}
    >>> print(Violation("mirror", "state", "/state", words))
    /state: not kept: mirror: state: lost against stable
    """

    def __init__(self, invariant: str, what: str, place: str, difference: dict[str, Any]) -> None:
        super().__init__(invariant, what, place, difference)
        self.invariant = invariant
        self.what = what
        self.place = place
        self.difference = difference

    def __str__(self) -> str:
        told = f"{self.place}: not kept: {self.invariant}: {self.what}"
        if "number" in self.difference:
            number = self.difference["number"]
            found, expected, unit = number["found"], number["expected"], number["unit"]
            return f"{told}: {found} {unit} against {expected} {unit}, where {number['tolerance']:e} is allowed"
        words = self.difference["words"]
        return f"{told}: {words['found']} against {words['expected']}"


def _told(text: str) -> Kept:
    answer = json.loads(text)
    if "violation" in answer:
        violation = answer["violation"]
        # JSON has no NaN.
        number = violation["difference"].get("number", {})
        number.update({key: nan for key, value in number.items() if value is None})
        raise Violation(**violation)
    kept = answer["kept"]
    if "silent" in kept:
        return Kept(0, None, None, kept["silent"]["why"])
    compared = kept["compared"]
    return Kept(compared["count"], compared["tolerance"], compared["nearest"], None)


def _ask(lift: Lift, question: str | dict[str, dict[str, Any]]) -> Kept:
    return _told(_native._invariant(lift, json.dumps(question)))


def balance(lift: Lift) -> Kept:
    """What hangs is in balance, recomputed from the pose alone.

    Distances follow from the pose, tensions from the laws, no leg pushes, slack legs carry nothing, and forces and moments on
    every body and joint add up to zero, within the reported residual and rounding.

    Parameters
    ----------
    lift : Lift
        The lift.

    Returns
    -------
    Kept

    Raises
    ------
    Violation
        Where it is not so.

    Examples
    --------
    >>> from rigging_py import Lift, testing
    >>> testing.balance(Lift.demo("frame-tall-item")).tolerance < 1e-9
    True
    """
    return _ask(lift, "balance")


def turn(lift: Lift, angle_rad: float) -> Kept:
    """Turned about the vertical, the lift hangs with the same tensions and tilt.

    Parameters
    ----------
    lift : Lift
        The lift.
    angle_rad : float
        The angle, in rad.

    Returns
    -------
    Kept

    Examples
    --------
    >>> from rigging_py import Lift, testing
    >>> testing.turn(Lift.demo("generator-skid"), 0.7).silent is None
    True
    """
    return _ask(lift, {"turn": {"angle_rad": angle_rad}})


def shift(lift: Lift, by_m: Sequence[float]) -> Kept:
    """Shifted as a whole, the lift hangs with the same tensions and tilt.

    Parameters
    ----------
    lift : Lift
        The lift.
    by_m : sequence of float
        The shift in x, y and z, in m.

    Returns
    -------
    Kept
    """
    return _ask(lift, {"shift": {"by_m": list(by_m)}})


def mirror(lift: Lift) -> Kept:
    """The mirror image of the lift hangs as the mirror image.

    Parameters
    ----------
    lift : Lift
        The lift.

    Returns
    -------
    Kept
    """
    return _ask(lift, "mirror")


def relabel(lift: Lift, order: Sequence[int]) -> Kept:
    """With its legs in another order, the lift hangs with the tensions in that order.

    Parameters
    ----------
    lift : Lift
        The lift.
    order : sequence of int
        Leg i of the image is leg ``order[i]``.

    Returns
    -------
    Kept

    Raises
    ------
    InconsistentError
        Unless the order names every leg once.
    """
    return _ask(lift, {"relabel": {"order": list(order)}})


def scale_of_force(lift: Lift, factor: float) -> Kept:
    """With mass and stiffness times a factor, so are the tensions, and the pose stays.

    Parameters
    ----------
    lift : Lift
        The lift.
    factor : float
        The factor, positive.

    Returns
    -------
    Kept
    """
    return _ask(lift, {"scale_of_force": {"factor": factor}})


def scale_of_length(lift: Lift, factor: float) -> Kept:
    """With all lengths times a factor and the stiffnesses EA as they are, tensions and tilt stay.

    Parameters
    ----------
    lift : Lift
        The lift.
    factor : float
        The factor, positive.

    Returns
    -------
    Kept
    """
    return _ask(lift, {"scale_of_length": {"factor": factor}})


def more_mass(lift: Lift, factor: float) -> Kept:
    """A heavier load hangs lower and strains its legs more, where it is proven which balance is meant.

    That the largest tension rises is not promised: it need not.

    Parameters
    ----------
    lift : Lift
        The lift.
    factor : float
        The factor on the masses, 1 or more.

    Returns
    -------
    Kept
    """
    return _ask(lift, {"more_mass": {"factor": factor}})


def round_trip(lift: Lift) -> Kept:
    """A lift that is written and read again is the same lift.

    Parameters
    ----------
    lift : Lift
        The lift.

    Returns
    -------
    Kept
    """
    return _ask(lift, "round_trip")


def units(lift: Lift) -> Kept:
    """A lift that is entered in feet, pounds and kips is the same lift.

    Parameters
    ----------
    lift : Lift
        The lift.

    Returns
    -------
    Kept
    """
    return _ask(lift, "units")


def more_strength(
    lift: Lift,
    rule_set: RuleSet,
    factor: float,
    items: Literal["slings", "fittings", "lift_points", "hooks", "all"] = "all",
) -> Kept:
    """With ratings times a factor, no finding about strength and no verdict grows worse, and no tension changes.

    Parameters
    ----------
    lift : Lift
        The lift.
    rule_set : RuleSet
        The rules.
    factor : float
        The factor on the ratings, 1 or more.
    items : str
        Which items: "slings", "fittings", "lift_points", "hooks" or "all".

    Returns
    -------
    Kept

    Examples
    --------
    >>> from rigging_py import Lift, RuleSet, testing
    >>> kept = testing.more_strength(Lift.demo("generator-skid"), RuleSet.built_in("us-general"), 1.5)
    >>> kept.tolerance
    0.0
    """
    return _told(_native._more_strength(lift, rule_set, json.dumps(items), factor))


def batch_rows(lifts: Sequence[Lift]) -> Kept:
    """A row of a batch is what its lift gives alone, bit for bit, in any order and on any number of threads.

    Parameters
    ----------
    lifts : sequence of Lift
        One load under one hook each, with the same number of legs and linear stretch.

    Returns
    -------
    Kept
    """
    return _told(_native._batch_rows(list(lifts)))
