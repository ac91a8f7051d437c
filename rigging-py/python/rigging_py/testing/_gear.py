"""Slings, and rule sets of one's own. Figures are invented; fiber has no stiffness in the rule sets that come along."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from .._native import STANDARD_GRAVITY

if TYPE_CHECKING:
    from hypothesis.strategies import DrawFn, SearchStrategy

# EA over the working load limit, from and to: wide ranges in the order in which fibers are known to stretch.
_FIBERS = {"polyester": (30, 80), "HMPE": (150, 400), "aramid": (150, 300), "polyamide": (10, 30)}
_MADE = ("roundsling", "web", "grommet")


def slings() -> SearchStrategy[dict[str, Any]]:
    """Rated fiber slings of 4 m, each as an item of the list `slings` of a document.

    Returns
    -------
    hypothesis.strategies.SearchStrategy
        Of dicts.

    Examples
    --------
    >>> from rigging_py import testing
    >>> strategy = testing.slings()
    """
    from hypothesis import strategies

    @strategies.composite
    def sling(draw: DrawFn) -> dict[str, Any]:
        made, fiber = draw(strategies.sampled_from(_MADE)), draw(strategies.sampled_from(list(_FIBERS)))
        wll = 500.0 * draw(strategies.integers(1, 80))
        softest, stiffest = _FIBERS[fiber]
        ratio = softest + (stiffest - softest) * draw(strategies.integers(0, 10)) / 10
        ea = round(ratio * wll * STANDARD_GRAVITY.si / 1e3) * 1e3
        factor = draw(strategies.integers(4, 7))
        return {
            "name": "sling",
            "construction": made,
            "material": fiber,
            "strength": {
                "wll": f"{wll!r} kg",
                "breaking_load": f"{wll * factor!r} kg",
                "basis": "whole",
                "source": "invented",
            },
            "stiffness": {"law": {"ea": f"{ea!r} N"}, "basis": "whole", "condition": "bedded", "source": "invented"},
            "length": {"value": "4 m", "measured": "whole_leg", "tolerance": f"{draw(strategies.integers(0, 20))} mm"},
            "termination": "sewn_eye" if made == "web" else "endless",
            "identity": "sling",
            "tag": {"legible": True, "wll": f"{wll!r} kg"},
        }

    return sling()


_HEAD = """format = 1
name = "invented-yard"
title = "Rigging instruction of an invented yard"
edition = "first"
{status}
[[source]]
id = "instruction"
document = "Rigging instruction of an invented yard"
edition = "first"
standing = "stated"

[[rule]]
answers = "applies to place"
name = "the yard"
when = {{ place = {place} }}
relation = "applies"
source = "instruction"
clause = "1"

[[rule]]
answers = "weight contingency"
symbol = "c"
name = "contingency by mass basis"
relation = "table"
rows = "mass basis"
cells = [["weighed", {weighed!r}], [["calculated", "not to exceed"], {other!r}]]
source = "instruction"
clause = "2"
"""
_EDGE = """
[[rule]]
answers = "sharp edge ratio"
symbol = "R/t"
name = "edge radius in sling thicknesses below which an edge is sharp"
relation = "constant"
value = {ratio!r}
source = "instruction"
clause = "3"
standing = "common practice"
"""


def rule_sets() -> SearchStrategy[str]:
    """Small rule sets as a firm would write them, as TOML that `RuleSet.from_toml` reads.

    Returns
    -------
    hypothesis.strategies.SearchStrategy
        Of texts.

    Examples
    --------
    >>> from rigging_py import testing
    >>> strategy = testing.rule_sets()
    """
    from hypothesis import strategies

    @strategies.composite
    def text(draw: DrawFn) -> str:
        number = strategies.integers
        superseded, at_sea = draw(strategies.booleans()), draw(strategies.booleans())
        weighed = draw(number(0, 10))
        other = weighed + draw(number(0, 10))
        status = 'status = "superseded"\nsuperseded_by = "the next edition"' if superseded else 'status = "in force"'
        place = '["inshore", "offshore"]' if at_sea else '"onshore"'
        made = _HEAD.format(status=status, place=place, weighed=(100 + weighed) / 100, other=(100 + other) / 100)
        tenths = draw(strategies.none() | number(5, 40))
        return made if tenths is None else made + _EDGE.format(ratio=tenths / 10)

    return text()
