"""How a tolerance becomes a probability: samples, quantiles with their bounds, small probabilities. Plain SI.

An `Experiment` is a nominal arrangement, a bridle or any system of bodies, joints, members and hooks, and the
distributions of what is uncertain, each independent of the others. Its random
numbers are a function of seed, row and column: neither threads nor the pieces in which a sample is drawn change a bit. A
long sample is drawn in pieces with the interpreter's lock released, and Ctrl-C is heard between them.

A row that is no lift, because the load turns over or no state could be certified, has NaN; it counts as exceeding every
limit, and stands above every value.

What comes out is as good as the distributions that go in, and nobody has measured most of them. Results support, and
never replace, the planning of the competent person; local codes and licensed practice prevail.

Examples
--------
>>> from rigging_py import sampling
>>> experiment = sampling.Experiment(
...     weight_n=1e5,
...     center_m=[0.0, 0.0, -0.7],
...     points_m=[[1.0, 1.0, 0.0], [1.0, -1.0, 0.0], [-1.0, -1.0, 0.0], [-1.0, 1.0, 0.0]],
...     lengths_m=[2.83] * 4,
...     ea_n=[5e6] * 4,
...     uncertain={("length", leg): sampling.uniform(2.823, 2.837) for leg in range(4)},
...     seed=7,
... )
>>> sample = experiment.draw(10_000)
>>> sample.tension_n.shape
(10000, 4)
>>> worst = sampling.quantile(sample.tension_n.max(axis=1), 0.99, confidence=0.95)
>>> bool(worst.least < worst.value < worst.most < 5e4)
True
"""

from __future__ import annotations

import json
import operator
from collections.abc import Callable, Mapping, Sequence
from typing import Literal, NamedTuple

import numpy as np
import numpy.typing as npt

from . import _arrays, _native
from ._arrays import Floats, Integers
from ._distributions import Distribution, normal, observed, triangular, truncated_normal, uniform
from ._errors import InconsistentError, OutOfDomainError
from ._native import Balance
from ._reliability import ImpliedIndex, ReadAs, implied_indices
from ._reliability import inputs as _inputs
from .batch import _nominal, _threads

__all__ = [
    "Distribution",
    "Exceedance",
    "Experiment",
    "FirstOrder",
    "Governing",
    "ImpliedIndex",
    "Quantile",
    "Rare",
    "Sample",
    "Share",
    "exceedance",
    "governing",
    "implied_indices",
    "normal",
    "normal_probability",
    "observed",
    "quantile",
    "reliability_index",
    "triangular",
    "truncated_normal",
    "uniform",
]

Input = tuple[Literal["length", "stiffness", "center", "hook", "weight"], int] | Literal["weight"]
_INPUTS = {"length": 0, "stiffness": 1, "center": 2, "hook": 4, "weight": 5}
# Rows that are drawn between two looks at signals, side by side and one by one: some tens of milliseconds.
_PIECE = 1 << 17
_SINGLE_PIECE = 1 << 12


class Sample(NamedTuple):
    """Rows of an experiment.

    Attributes
    ----------
    tension_n : numpy.ndarray
        Tensions, in N, of shape (n, m); NaN where there is no lift.
    tilt_rad : numpy.ndarray
        Tilt away from the attitude as drawn, in rad, of shape (n,); NaN where there is no lift.
    status : numpy.ndarray
        0, or the number of the error that the single calculation gives, of shape (n,).
    state : numpy.ndarray
        0 stable, 1 neutral, 2 unstable, 3 lost, −1 not solved, of shape (n,).
    hook_n : numpy.ndarray
        Pull on each hook, in N, of shape (n, k); NaN where there is no lift.
    """

    tension_n: Floats
    tilt_rad: Floats
    status: Integers
    state: Integers
    hook_n: Floats


class Quantile(NamedTuple):
    """A quantile, and the values between which the true one lies; None where there are too few rows for a bound."""

    value: float
    least: float | None
    most: float | None


class Share(NamedTuple):
    """A number of rows, their share, and the probabilities between which the true one lies."""

    rows: int
    share: float
    least: float
    most: float


class Exceedance(NamedTuple):
    """Shares of rows in which each leg, and any leg, exceeds its limit."""

    legs: tuple[Share, ...]
    any: Share


class Governing(NamedTuple):
    """In how many rows each leg has the largest ratio of tension to limit, and how many rows are no lift."""

    legs: tuple[int, ...]
    not_lifted: int


class FirstOrder(NamedTuple):
    """The nearest point of failure in standard normal space.

    Attributes
    ----------
    reliability_index : float
        Negative if the limit is exceeded at the medians of the inputs.
    probability : float
        Probability that belongs to it.
    inputs : tuple of float
        Inputs at the point, in the order in which they were given.
    importance : tuple of float
        Share of each in the square of the index.
    steps : int
        Steps of the search.
    """

    reliability_index: float
    probability: float
    inputs: tuple[float, ...]
    importance: tuple[float, ...]
    steps: int


class Rare(NamedTuple):
    """A small probability, by subset simulation.

    Attributes
    ----------
    probability : float
        Mean over the repeats.
    standard_error : float
        Standard error of the mean, as the repeats scatter.
    reliability_index : float
        That of the mean.
    repeats : tuple of float
        What each repeat found.
    rows : int
        Rows that were calculated.
    """

    probability: float
    standard_error: float
    reliability_index: float
    repeats: tuple[float, ...]
    rows: int


class Experiment:
    """A nominal bridle, and what of it is uncertain; `of_system` takes any arrangement, `of_balance` a lift.

    Parameters
    ----------
    weight_n, center_m, points_m, lengths_m, ea_n
        The nominal load, as for `rigging_py.batch.nearby`.
    uncertain : dict
        For each uncertain input its `Distribution`: ``("length", leg)`` in m, ``("stiffness", leg)`` as a factor,
        ``("center", axis)`` in m with the axes 0, 1, 2, and ``"weight"`` of the load in N; of any arrangement also
        ``("hook", hook)``, its height in the world in m, ``("weight", body)``, and three axes more for each body after the
        load.
    seed : int
        Decides every random number, from 0 to 2**64 − 1.

    Raises
    ------
    RiggingError
        Of the class of what is wrong with the load, an input or a distribution.
    """

    def __init__(
        self,
        *,
        weight_n: float,
        center_m: npt.ArrayLike,
        points_m: npt.ArrayLike,
        lengths_m: npt.ArrayLike,
        ea_n: npt.ArrayLike,
        uncertain: Mapping[Input, Distribution],
        seed: int,
    ) -> None:
        load, _ = _nominal(weight_n, center_m, points_m, lengths_m, ea_n)
        self._take(_native._Experiment(*load, _uncertain(uncertain), _seed(seed)))

    def _take(self, native: _native._Experiment) -> None:
        self._native = native
        self._legs, self._hooks = native.legs(), native.hooks()

    @classmethod
    def of_system(
        cls, system: Mapping[str, object], *, uncertain: Mapping[Input, Distribution], seed: int
    ) -> Experiment:
        """An experiment of any arrangement: several hooks, spreaders, tiers, joints.

        Rows are hung one by one, each as what the nominal balance turns into.

        Parameters
        ----------
        system : dict
            Keys ``"gravity"``, ``"hooks"``, ``"joints"``, ``"bodies"`` and ``"members"``, all in SI, as of a system as
            JSON; the load is the first body.
        uncertain, seed
            As of `Experiment`; a leg is a member.

        Raises
        ------
        RiggingError
            Of the class of what is wrong with the system, with its place.

        Examples
        --------
        Two hooks, 24 m apart, whose shares follow from the center of gravity alone:

        >>> from rigging_py import sampling
        >>> leg = lambda end: {
        ...     "a": {"hook": end},
        ...     "b": {"body": {"body": 0, "point": end}},
        ...     "length": 9.0,
        ...     "law": {"linear": {"ea": 2e8}},
        ... }
        >>> vessel = {"mass": 96e3, "center_of_gravity": [10.4, 0.0, -1.1], "points": [[0, 0, 0], [24, 0, 0]]}
        >>> system = {
        ...     "gravity": 9.80665,
        ...     "hooks": [{"position": [0, 0, 9]}, {"position": [24, 0, 9]}],
        ...     "joints": [],
        ...     "bodies": [vessel | {"position": [0, 0, 0], "rotation": [0, 0, 0, 1]}],
        ...     "members": [leg(0), leg(1)],
        ... }
        >>> scatter = {("center", 0): sampling.normal(10.4, 0.1)}
        >>> experiment = sampling.Experiment.of_system(system, uncertain=scatter, seed=7)
        >>> sample = experiment.draw(1000)
        >>> sample.hook_n.shape
        (1000, 2)
        >>> share = sample.hook_n[:, 0].mean() / (96e3 * 9.80665)
        >>> bool(abs(share - 13.6 / 24) < 1e-3)
        True
        >>> limit = 96e3 * 9.80665 * 14.0 / 24
        >>> round(experiment.first_order(("hook", 0), limit).reliability_index, 1)
        4.0
        """
        self = cls.__new__(cls)
        self._take(_native._Experiment.of_system(json.dumps(system), _uncertain(uncertain), _seed(seed)))
        return self

    @classmethod
    def of_balance(
        cls,
        balance: Balance,
        *,
        stiffness: float | Sequence[float],
        mass: float,
        read_as: ReadAs,
        seed: int,
        lengths_m: Sequence[float] | None = None,
        center_of_gravity_m: Sequence[float] | None = None,
        hook_heights_m: Sequence[float] | None = None,
    ) -> Experiment:
        """The experiment in which what the document of a balance gives a tolerance scatters as you read it.

        Parameters
        ----------
        balance : Balance
            A lift that hangs.
        stiffness : float or sequence of float
            Tolerance of each leg's stiffness, over its own; one number is that of every leg.
        mass : float
            Tolerance of the load's mass, over its own.
        read_as : dict
            How the tolerances of each kind are read about the stated number, where they are not zero: keys ``"lengths"``,
            ``"center_of_gravity"``, ``"stiffness"``, ``"mass"``, ``"hook_heights"``; values ``"uniform"``, ``"triangular"``,
            ``("normal", k)`` with k standard deviations in the tolerance, or ``("truncated_normal", k)``, cut at it. A
            document states how far a number may be off, not how likely: nothing is assumed in its place.
        seed : int
            Decides every random number, from 0 to 2**64 − 1.
        lengths_m, center_of_gravity_m : sequence of float, optional
            Tolerances in m; as the document states where they are left out.
        hook_heights_m : sequence of float, optional
            Tolerance of the height of each hook, in m; of a single hook it changes nothing.

        Raises
        ------
        MissingError
            Where it is not told how a tolerance is read, or what it is, the heights of several hooks included.
        UnsupportedError
            For slings that run over stations.

        Examples
        --------
        >>> from rigging_py import Lift, sampling
        >>> balance = Lift.demo("generator-skid").hang()
        >>> experiment = sampling.Experiment.of_balance(
        ...     balance, stiffness=0.0, mass=0.0, center_of_gravity_m=[0.0] * 3, read_as={"lengths": "uniform"}, seed=7
        ... )
        >>> sample = experiment.draw(10_000)
        >>> bool(sample.tension_n.max() < 99.5e3)
        True
        """
        legs = len(balance.legs)
        told = _inputs(legs, stiffness, mass, read_as, seed, lengths_m, center_of_gravity_m, hook_heights_m)
        self = cls.__new__(cls)
        self._take(_native._Experiment.of_balance(balance, json.dumps(told)))
        return self

    @property
    def nominal_n(self) -> Floats:
        """Tensions of the nominal load, in N."""
        return np.array(self._native.nominal())

    def inputs(self, row: int) -> tuple[float, ...]:
        """The values of the uncertain inputs in a row."""
        return tuple(self._native.inputs(_arrays.count(row, "row")))

    def draw(
        self,
        count: int,
        *,
        first: int = 0,
        threads: int | None = None,
        progress: Callable[[int, int], object] | None = None,
    ) -> Sample:
        """Draw rows.

        Parameters
        ----------
        count : int
            Number of rows.
        first : int, optional
            The first of them: rows are the same in whatever piece they are drawn.
        threads : int, optional
            The most threads that share the rows; as many as the process may use at once by default.
        progress : callable, optional
            Called after each piece with the rows drawn and their total; what it raises stops the draw, as Ctrl-C does.

        Returns
        -------
        Sample
        """
        count, first = _arrays.count(count, "count"), _arrays.count(first, "first")
        number = _threads(threads)
        tension, hook = np.empty((count, self._legs)), np.empty((count, self._hooks))
        sample = Sample(tension, np.empty(count), np.empty(count, np.int32), np.empty(count, np.int32), hook)
        piece = _PIECE if self._native.beside() else _SINGLE_PIECE
        for start in range(0, count, piece):
            part = slice(start, min(start + piece, count))
            forces = tension[part].reshape(-1), hook[part].reshape(-1)
            self._native.draw(
                first + start, *forces, sample.tilt_rad[part], sample.status[part], sample.state[part], number
            )
            if progress is not None:
                progress(part.stop, count)
        return sample

    def first_order(self, leg: int | tuple[Literal["hook"], int], limit_n: float) -> FirstOrder:
        """The nearest point at which the tension of a leg, or the pull on a ``("hook", hook)``, reaches a limit.

        It is a start, not a proof.

        Raises
        ------
        UnconvergedError
            If no such point is found: the leg cannot reach the limit, or only beyond a sharp bend.
        """
        force = self._legs + self._hook(leg[1]) if isinstance(leg, tuple) else self._leg(leg)
        found = self._native.first_order(force, _arrays.scalar(limit_n, "limit_n", "N"))
        index, probability, inputs, importance, steps = found
        return FirstOrder(index, probability, tuple(inputs), tuple(importance), steps)

    def _leg(self, leg: int) -> int:
        return _below(_arrays.count(leg, "leg"), self._legs, "leg")

    def _hook(self, hook: int) -> int:
        return _below(_arrays.count(hook, "hook"), self._hooks, "hook")

    def rare(
        self,
        limits_n: npt.ArrayLike,
        *,
        hook_limits_n: npt.ArrayLike | None = None,
        rows: int = 5000,
        repeats: int = 10,
        threads: int | None = None,
    ) -> Rare:
        """Probability that any leg, or hook, exceeds its limit or the load turns over, by subset simulation.

        Parameters
        ----------
        limits_n : array_like
            A limit for each leg, in N, infinite for none, of shape (m,); or one for all.
        hook_limits_n : array_like, optional
            A limit for each hook, in N, infinite for none, of shape (k,); or one for all. None has one by default.
        rows : int, optional
            Rows of a level, a multiple of 10 and at least 100.
        repeats : int, optional
            Independent repeats, at least 2: what they scatter is what is known of the error.
        threads : int, optional
            As for `draw`. Ctrl-C is heard at every step.

        Returns
        -------
        Rare

        Raises
        ------
        UnconvergedError
            If a repeat finds no failure: the probability is below 1e-12, or nothing can fail.
        """
        limits = list(_limits(limits_n, self._legs))
        if hook_limits_n is not None:
            limits += _limits(hook_limits_n, self._hooks, "hook_limits_n")
        found = self._native.rare(limits, _arrays.count(rows, "rows"), _arrays.count(repeats, "repeats"), _threads(threads))
        probability, error, index, each, total = found
        return Rare(probability, error, index, tuple(each), total)


def quantile(values: npt.ArrayLike, p: float, *, confidence: float) -> Quantile:
    """The value that another one does not exceed with the probability `p`, from the order of the values alone.

    Examples
    --------
    >>> from rigging_py import sampling
    >>> sampling.quantile(range(1, 101), 0.5, confidence=0.95)
    Quantile(value=50.0, least=40.0, most=61.0)
    """
    flat = np.ascontiguousarray(_arrays.plain(values, "values", None)).reshape(-1)
    return Quantile(*_native._quantile(flat, p, confidence))


def exceedance(tension_n: npt.ArrayLike, limits_n: npt.ArrayLike, *, confidence: float) -> Exceedance:
    """The share of rows in which each leg, and any leg, exceeds its limit, with exact bounds.

    Parameters
    ----------
    tension_n : array_like
        Tensions, in N, of shape (n, m); NaN where there is no lift, which exceeds every limit. Pulls on hooks stand
        beside them like those of legs: ``numpy.hstack([sample.tension_n, sample.hook_n])``.
    limits_n : array_like
        A limit for each leg, in N, infinite for none, of shape (m,); or one for all.
    confidence : float
        That the bounds hold.

    Examples
    --------
    >>> from rigging_py import sampling
    >>> sampling.exceedance([[1.0, 2.0], [3.0, 4.0]], [2.5, 9.0], confidence=0.9).legs[0].rows
    1
    """
    flat, limits = _tensions(tension_n, limits_n)
    legs, anyone = _native._exceedance(flat, limits, confidence)
    return Exceedance(tuple(Share(*share) for share in legs), Share(*anyone))


def governing(tension_n: npt.ArrayLike, limits_n: npt.ArrayLike) -> Governing:
    """How often each leg has the largest ratio of tension to limit; parameters as for `exceedance`."""
    flat, limits = _tensions(tension_n, limits_n)
    legs, none = _native._governing(flat, limits)
    return Governing(tuple(legs), none)


def reliability_index(probability: float) -> float:
    """The reliability index of a probability of failure.

    Examples
    --------
    >>> from rigging_py import sampling
    >>> round(sampling.reliability_index(1e-4), 4)
    3.719
    """
    return _native._reliability_index(_arrays.scalar(probability, "probability", None))


def normal_probability(z: float) -> float:
    """Probability of a standard normal value below `z`."""
    return _native._normal_probability(_arrays.scalar(z, "z", None))


def _tensions(tension_n: npt.ArrayLike, limits_n: npt.ArrayLike) -> tuple[Floats, Sequence[float]]:
    tension = _arrays.plain(tension_n, "tension_n", "N")
    if tension.ndim != 2:
        raise InconsistentError(f"the shape is {tension.shape}; it must be (n, m)", "/tension_n")
    return np.ascontiguousarray(tension).reshape(-1), _limits(limits_n, tension.shape[1])


def _limits(limits_n: npt.ArrayLike, legs: int, name: str = "limits_n") -> Sequence[float]:
    limits = _arrays.plain(limits_n, name, "N")
    if limits.shape not in ((), (legs,)):
        raise InconsistentError(f"the shape is {limits.shape}; it must be ({legs},) or one number", f"/{name}")
    return list(np.broadcast_to(limits, (legs,)).tolist())


def _below(index: int, count: int, name: str) -> int:
    if index >= count:
        raise OutOfDomainError(f"{name} is {index}; it must be below {count}", f"/{name}")
    return index


def _seed(seed: int) -> int:
    number = operator.index(seed)
    if not 0 <= number < 1 << 64:
        raise OutOfDomainError(f"seed is {number}; it must be from 0 to 2**64 - 1", "/seed")
    return number


def _uncertain(uncertain: Mapping[Input, Distribution]) -> list[tuple[int, int, int, Sequence[float]]]:
    return [(*_code(name), distribution.code, distribution.parameters) for name, distribution in uncertain.items()]


def _code(name: Input) -> tuple[int, int]:
    if name == "weight":
        return 3, 0
    if not (isinstance(name, tuple) and len(name) == 2 and name[0] in _INPUTS):
        kinds = '("length", leg), ("stiffness", leg), ("center", axis), ("hook", hook), "weight" or ("weight", body)'
        raise OutOfDomainError(f"an uncertain input is {name!r}; it must be {kinds}", "/uncertain")
    return _INPUTS[name[0]], _arrays.count(name[1], "index")
