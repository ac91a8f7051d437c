"""From a lift's document to experiments and indices; public as names of `rigging_py.sampling`."""

from __future__ import annotations

import json
import operator
from collections.abc import Mapping, Sequence
from typing import Literal, NamedTuple, TypeAlias

import numpy as np

from . import _arrays, _native
from ._errors import OutOfDomainError
from ._native import Lift, RuleSet

Spread: TypeAlias = Literal["uniform", "triangular"] | tuple[Literal["normal", "truncated_normal"], float]
ReadAs: TypeAlias = Mapping[Literal["lengths", "center_of_gravity", "stiffness", "mass", "hook_heights"], Spread]


class ImpliedIndex(NamedTuple):
    """What the allowed utilization under a rule set stands for, of one leg.

    Attributes
    ----------
    leg : str
        Name of the leg.
    allowed_n : float
        The largest force that the rule set allows, in N.
    utilization : float
        The largest force over it.
    probability : float
        Probability that the leg fails if all forces were so much larger that its utilization is 1.
    standard_error : float
        Its standard error, from the rows that were drawn.
    reliability_index : float
        That of the probability.
    """

    leg: str
    allowed_n: float
    utilization: float
    probability: float
    standard_error: float
    reliability_index: float


def implied_indices(
    lift: Lift,
    rule_set: RuleSet,
    *,
    strengths: Sequence[tuple[float, float] | None],
    stiffness: float | Sequence[float],
    mass: float,
    read_as: ReadAs,
    seed: int,
    rows: int = 100_000,
    lengths_m: Sequence[float] | None = None,
    center_of_gravity_m: Sequence[float] | None = None,
    hook_heights_m: Sequence[float] | None = None,
) -> tuple[ImpliedIndex, ...]:
    """The reliability index that the allowed utilization under a rule set stands for in a lift, leg by leg.

    It holds for what scatters as told, and for nothing else: no damage, no error of people, no motion. Support for, and no
    replacement of, the judgment of the competent person.

    Parameters
    ----------
    lift : Lift
        A lift.
    rule_set : RuleSet
        The rule set.
    strengths : sequence
        Of each leg the mean force at which it fails as it hangs here, in N, and its standard deviation over that mean
        (lognormal); None where nobody has measured it.
    rows : int, optional
        Rows that are drawn.
    stiffness, mass, read_as, seed, lengths_m, center_of_gravity_m, hook_heights_m
        As for `Experiment.of_balance`.

    Raises
    ------
    MissingError
        For a strength that is None, and where the rule set could not conclude: nothing is assumed.

    Examples
    --------
    >>> from rigging_py import Lift, RuleSet, sampling
    >>> found = sampling.implied_indices(
    ...     Lift.demo("generator-skid"),
    ...     RuleSet.built_in("us-general"),
    ...     strengths=[(500e3, 0.08)] * 4,
    ...     stiffness=0.0,
    ...     mass=0.0,
    ...     center_of_gravity_m=[0.0] * 3,
    ...     read_as={"lengths": "uniform"},
    ...     seed=7,
    ... )
    >>> bool(found[1].reliability_index > 3.0)
    True
    """
    legs = len(strengths)
    told = {
        "experiment": inputs(legs, stiffness, mass, read_as, seed, lengths_m, center_of_gravity_m, hook_heights_m),
        "strengths": ["unknown" if one is None else {"mean": one[0], "variation": one[1]} for one in strengths],
        "rows": _arrays.count(rows, "rows"),
    }
    found = json.loads(_native._implied_indices(lift, rule_set, json.dumps(told)))
    names = "leg", "allowed", "utilization", "probability", "standard_error", "index"
    return tuple(ImpliedIndex(*(leg[name] for name in names)) for leg in found["legs"])


def inputs(
    legs: int,
    stiffness: float | Sequence[float],
    mass: float,
    read_as: ReadAs,
    seed: int,
    lengths_m: Sequence[float] | None,
    center_of_gravity_m: Sequence[float] | None,
    hook_heights_m: Sequence[float] | None,
) -> dict[str, object]:
    """What scatters in a lift, as the core reads it."""
    number = operator.index(seed)
    if not 0 <= number < 1 << 64:
        raise OutOfDomainError(f"seed is {number}; it must be from 0 to 2**64 - 1", "/seed")
    shares = np.broadcast_to(_arrays.plain(stiffness, "stiffness", None), (legs,)).tolist()
    spreads = {
        kind: spread if isinstance(spread, str) else {spread[0]: {"deviations": float(spread[1])}}
        for kind, spread in read_as.items()
    }
    told: dict[str, object] = {"stiffness": shares, "mass": float(mass), "read_as": spreads, "seed": number}
    given = {"lengths": lengths_m, "center_of_gravity": center_of_gravity_m, "hook_heights": hook_heights_m}
    for name, values in given.items():
        if values is not None:
            told[name] = [float(value) for value in values]
    return told
