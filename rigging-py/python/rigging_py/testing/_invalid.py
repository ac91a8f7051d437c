"""Documents with one thing broken."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, NamedTuple

from .. import _errors
from ._strategies import outlines

if TYPE_CHECKING:
    from hypothesis.strategies import DrawFn, SearchStrategy


class Invalid(NamedTuple):
    """A document that is sound but for one thing, and the error that must come of it.

    Attributes
    ----------
    text : str
        The document.
    what : str
        What is broken, in words.
    error : type
        Class of the error.
    place : str
        Its place, a JSON pointer.
    """

    text: str
    what: str
    error: type[_errors.RiggingError]
    place: str


def _parent(document: dict[str, Any], pointer: str) -> tuple[Any, Any]:
    """What a pointer leads into, and its last key."""
    into: Any = document
    *path, last = pointer.split("/")[1:]
    for key in path:
        into = into[int(key) if isinstance(into, list) else key]
    return into, int(last) if isinstance(into, list) else last


def _put(pointer: str, value: Any) -> Callable[[dict[str, Any]], None]:
    def change(document: dict[str, Any]) -> None:
        into, key = _parent(document, pointer)
        into[key] = value

    return change


def _take(pointer: str) -> Callable[[dict[str, Any]], None]:
    def change(document: dict[str, Any]) -> None:
        into, key = _parent(document, pointer)
        del into[key]

    return change


_BREAKS: tuple[tuple[str, type[_errors.RiggingError], str, Callable[[dict[str, Any]], None]], ...] = (
    ("the load is missing", _errors.MissingError, "/load", _take("/load")),
    ("a key is spelled otherwise", _errors.UnknownKeyError, "/gravty", _put("/gravty", "9.8 m/s2")),
    ("the format is newer", _errors.NewerFormatError, "/format", _put("/format", 2)),
    (
        "a coordinate has no unit",
        _errors.BareNumberError,
        "/load/lift_points/0/position/1",
        _put("/load/lift_points/0/position/1", 1.5),
    ),
    (
        "a length has the unit of a mass",
        _errors.WrongUnitError,
        "/slings/1/length/value",
        _put("/slings/1/length/value", "4 kg"),
    ),
    (
        "a mass has a unit that can mean several things",
        _errors.AmbiguousUnitError,
        "/load/mass/value",
        _put("/load/mass/value", "10 ton"),
    ),
    (
        "a length is below zero",
        _errors.OutOfDomainError,
        "/slings/0/length/value",
        _put("/slings/0/length/value", "-4 m"),
    ),
    (
        "a stiffness is zero",
        _errors.OutOfDomainError,
        "/slings/1/stiffness/law/ea",
        _put("/slings/1/stiffness/law/ea", "0 N"),
    ),
    (
        "a name stands twice",
        _errors.DuplicateNameError,
        "/load/lift_points/1/name",
        _put("/load/lift_points/1/name", "point 1"),
    ),
    ("a leg leads nowhere", _errors.UnknownNameError, "/legs/0/path/1/end", _put("/legs/0/path/1/end", "point ZZ")),
    (
        "a material is spelled otherwise",
        _errors.MalformedError,
        "/slings/0/material",
        _put("/slings/0/material", "polyestr"),
    ),
    ("a name is missing", _errors.MissingError, "/load/lift_points/1/name", _take("/load/lift_points/1/name")),
)


def invalid() -> SearchStrategy[Invalid]:
    """Sound documents with one thing broken, and the error that must come.

    Returns
    -------
    hypothesis.strategies.SearchStrategy
        Of `Invalid`.

    Examples
    --------
    >>> from hypothesis import given, settings
    >>> from rigging_py import Lift, testing
    >>> @settings(max_examples=20, derandomize=True, database=None)
    ... @given(testing.invalid())
    ... def test_refused(broken):
    ...     try:
    ...         Lift.from_json(broken.text)
    ...     except broken.error as error:
    ...         assert error.place == broken.place
    ...     else:
    ...         assert False, broken.what
    >>> test_refused()
    """
    from hypothesis import strategies

    @strategies.composite
    def broken(draw: DrawFn) -> Invalid:
        document = draw(outlines())
        what, error, place, change = draw(strategies.sampled_from(_BREAKS))
        change(document)
        return Invalid(json.dumps(document, indent=1), what, error, place)

    return broken()
