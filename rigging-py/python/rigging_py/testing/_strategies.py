"""Families of lifts that can exist, as documents. Ranges are invented, to cover what occurs; no source."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, cos, hypot, pi, sin
from typing import TYPE_CHECKING, Any, TypeAlias

from .._native import STANDARD_GRAVITY
from ._documents import Leg, described

if TYPE_CHECKING:
    from hypothesis.strategies import DrawFn, SearchStrategy

_Document: TypeAlias = dict[str, Any]
# A whole number from the first to the second.
_Number: TypeAlias = Callable[[int, int], int]
_Point: TypeAlias = tuple[float, float, float]

# EA over the weight, simplest first: fiber from soft to stiff, and where legs hardly stretch.
_FIBER = (100, 50, 20, 200, 500)
_STIFF = (1_000, 2_000, 5_000, 20_000, 100_000)


def _family(build: Callable[[_Number], _Document]) -> SearchStrategy[_Document]:
    """The strategy of what `build` makes of whole numbers, which shrink toward zero."""
    from hypothesis import strategies

    @strategies.composite
    def document(draw: DrawFn) -> _Document:
        return build(lambda least, most: draw(strategies.integers(least, most)))

    return document()


def _stiffness(mass: float, ratio: int) -> float:
    """EA: so many times the weight, to two digits, N."""
    newtons, tens = mass * STANDARD_GRAVITY.si * ratio, 1.0
    while newtons / tens >= 100.0:
        tens *= 10.0
    return ceil(newtons / tens) * tens


def _one_hook(
    number: _Number,
    size: int,
    points: list[_Point],
    center: tuple[tuple[int, int], tuple[int, int], tuple[int, int]],
    error: int,
    ratios: tuple[int, ...],
    hook: int = 0,
) -> _Document:
    """A load within `size` (cm) of the middle under one hook, the center of gravity in ranges of percent of that, errors of
    length up to `error` mm, the hook at `hook` percent more than one and a half sizes."""
    mass = 500.0 * number(1, 120)
    height = size / 100 * (150 + hook + number(-80, 150)) / 100
    tolerance = number(0, 20) / 1000
    ratio = ratios[number(0, len(ratios) - 1)]
    lengths = [round(round(hypot(x, y, height - z), 2) + number(-error, error) / 1000, 3) for x, y, z in points]
    x, y, z = (round(size / 100 * number(least, most) / 100, 2) for least, most in center)
    stiffness = _stiffness(mass, ratio)
    legs = [Leg("hook 1", f"point {i + 1}", length, tolerance, stiffness) for i, length in enumerate(lengths)]
    box = (number(0, 10) / 100, number(0, 10) / 100, 0.0)
    return described(mass, (x, y, z), box, points, [(0.0, 0.0, height)], legs)


def _rectangle(half: float, across: float, z: float = 0.0) -> list[_Point]:
    return [(half, across, z), (half, -across, z), (-half, -across, z), (-half, across, z)]


def ring() -> SearchStrategy[_Document]:
    """Two to eight points round a circle or an oval, at slightly different heights.

    Returns
    -------
    hypothesis.strategies.SearchStrategy
        Of documents.

    Examples
    --------
    >>> from hypothesis import given, settings
    >>> from rigging_py import Lift, testing
    >>> @settings(max_examples=20, derandomize=True, database=None)
    ... @given(testing.ring())
    ... def test_balance(document):
    ...     testing.balance(Lift.from_document(document))
    >>> test_balance()
    """

    def build(number: _Number) -> _Document:
        legs, radius, flatter = number(2, 8), number(50, 600), number(0, 40)
        across = radius * (100 - flatter) // 100
        turns = [2 * pi * (leg + 0.5) / legs for leg in range(legs)]
        points = [
            (round(radius * cos(turn) / 100, 2), round(across * sin(turn) / 100, 2), number(-10, 10) / 100)
            for turn in turns
        ]
        return _one_hook(number, radius, points, ((-50, 50), (-50, 50), (-150, 40)), 3, _FIBER)

    return _family(build)


def skid() -> SearchStrategy[_Document]:
    """Four legs on a rectangle, the center of gravity off the middle and at or above the points.

    Returns
    -------
    hypothesis.strategies.SearchStrategy
        Of documents.
    """

    def build(number: _Number) -> _Document:
        half, narrower = number(50, 600), number(0, 70)
        points = _rectangle(half / 100, half * (100 - narrower) // 100 / 100)
        return _one_hook(number, half, points, ((-30, 30), (-20, 20), (0, 60)), 10, _FIBER)

    return _family(build)


def tall() -> SearchStrategy[_Document]:
    """A narrow base and a center of gravity high above it; many of these topple.

    Returns
    -------
    hypothesis.strategies.SearchStrategy
        Of documents.
    """

    def build(number: _Number) -> _Document:
        half, narrower = number(50, 200), number(0, 50)
        points = _rectangle(half / 100, half * (100 - narrower) // 100 / 100)
        return _one_hook(number, half, points, ((-20, 20), (-20, 20), (50, 400)), 10, _FIBER, hook=250)

    return _family(build)


def near_line() -> SearchStrategy[_Document]:
    """Three or four points within a few centimeters of a line, the center of gravity below them.

    Returns
    -------
    hypothesis.strategies.SearchStrategy
        Of documents.
    """

    def build(number: _Number) -> _Document:
        legs, half = number(3, 4), number(100, 600)
        along = [(2 * half * leg // (legs - 1) - half) / 100 for leg in range(legs)]
        points = [(x, number(-3, 3) / 100, number(-3, 3) / 100) for x in along]
        return _one_hook(number, half, points, ((-40, 40), (0, 0), (-100, -10)), 3, _FIBER)

    return _family(build)


def slack_prone() -> SearchStrategy[_Document]:
    """Four stiff legs on a rectangle with errors of length to 40 mm: most hang on two or three of them.

    Returns
    -------
    hypothesis.strategies.SearchStrategy
        Of documents.
    """

    def build(number: _Number) -> _Document:
        half, narrower = number(100, 400), number(0, 60)
        points = _rectangle(half / 100, half * (100 - narrower) // 100 / 100)
        return _one_hook(number, half, points, ((-20, 20), (-20, 20), (-80, 40)), 40, _STIFF)

    return _family(build)


def outlines() -> SearchStrategy[_Document]:
    """Any of the families of one load under one hook.

    Returns
    -------
    hypothesis.strategies.SearchStrategy
        Of documents.
    """
    from hypothesis import strategies

    return strategies.one_of(ring(), skid(), slack_prone(), near_line(), tall())


def tandem() -> SearchStrategy[_Document]:
    """A long load on two hooks, one leg or two to each; the hooks may stand at different heights.

    Returns
    -------
    hypothesis.strategies.SearchStrategy
        Of documents.
    """

    def build(number: _Number) -> _Document:
        mass = 500.0 * number(1, 240)
        span, height, higher = number(200, 2000) / 100, number(200, 1000) / 100, number(-30, 30) / 100
        width = number(0, 150)
        # Of a single leg to each hook the points lie in line.
        sides = (0.0,) if width < 30 else (-width / 100, width / 100)
        points = [(x, side, 0.0) for x in (0.0, span) for side in sides]
        hooks = [(0.0, 0.0, height), (span, 0.0, height + higher)]
        length = round(hypot(height, sides[-1]), 2)
        stiffness = _stiffness(mass, _FIBER[number(0, len(_FIBER) - 1)])
        tolerance = number(0, 20) / 1000
        legs = [
            Leg(
                f"hook {index // len(sides) + 1}",
                f"point {index + 1}",
                round(length + number(-10, 10) / 1000, 3),
                tolerance,
                stiffness,
            )
            for index in range(len(points))
        ]
        center = (round(span * (50 + number(-40, 40)) / 100, 2), number(-20, 20) / 100, number(-150, 20) / 100)
        return described(mass, center, (0.0, 0.0, 0.0), points, hooks, legs)

    return _family(build)


def tier() -> SearchStrategy[_Document]:
    """A load of four points below a frame that hangs from one hook by four legs.

    Returns
    -------
    hypothesis.strategies.SearchStrategy
        Of documents.
    """

    def build(number: _Number) -> _Document:
        mass = 500.0 * number(1, 120)
        half = number(50, 400)
        length, across = half / 100, half * (100 - number(0, 60)) // 100 / 100
        height = round(length * (100 + number(0, 150)) / 100, 2)
        drop = number(50, 500) / 100
        sling = round(hypot(length, across, height), 2)
        stiffness = _stiffness(mass, _FIBER[number(0, len(_FIBER) - 1)])
        tolerance = number(0, 20) / 1000
        legs = []
        for index in range(8):
            corner = f"frame/corner {index % 4 + 1}"
            ends = ("hook 1", corner) if index < 4 else (corner, f"point {index - 3}")
            straight = sling if index < 4 else drop
            legs.append(Leg(*ends, round(straight + number(-5, 5) / 1000, 3), tolerance, stiffness))
        x, y = (round(size * number(-30, 30) / 100, 2) for size in (length, across))
        center = (x, y, round(length * number(-100, 60) / 100 - drop, 2))
        frame = (float(ceil(mass * number(1, 20) / 100)), _rectangle(length, across))
        points, hooks = _rectangle(length, across, -drop), [(0.0, 0.0, height)]
        return described(mass, center, (0.0, 0.0, 0.0), points, hooks, legs, frame)

    return _family(build)
