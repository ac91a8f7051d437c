"""Property tests of lifts: invariants, and strategies for hypothesis (extra ``testing``).

A strategy yields the document of a lift that can exist, as a dict; `Lift.from_document` makes a lift of it. When a test
fails it shrinks to what one can draw: fewer legs, no error of length, no tolerance, the center of gravity in the middle.

An invariant takes a lift and returns a `Kept`: how many numbers were compared within which tolerance, or why it says
nothing of this lift. It raises a `Violation`, which is an AssertionError, where the invariant is not kept. Tolerances are
derived from what each certificate leaves open; none is guessed.

Results support, and never replace, the planning of the competent person; local codes and licensed practice prevail.

Examples
--------
>>> from hypothesis import given, settings
>>> from rigging_py import Lift, testing
>>> @settings(max_examples=20, derandomize=True, database=None)
... @given(testing.skid())
... def test_mirror(document):
...     testing.mirror(Lift.from_document(document))
>>> test_mirror()

What cannot be so is told:

>>> kept = testing.balance(Lift.demo("generator-skid"))
>>> kept.tolerance < 1e-9
True
"""

from ._gear import rule_sets, slings
from ._invalid import Invalid, invalid
from ._invariants import (
    Kept,
    Violation,
    balance,
    batch_rows,
    mirror,
    more_mass,
    more_strength,
    relabel,
    round_trip,
    scale_of_force,
    scale_of_length,
    shift,
    turn,
    units,
)
from ._strategies import near_line, outlines, ring, skid, slack_prone, tall, tandem, tier

__all__ = [
    "Invalid",
    "Kept",
    "Violation",
    "balance",
    "batch_rows",
    "invalid",
    "mirror",
    "more_mass",
    "more_strength",
    "near_line",
    "outlines",
    "relabel",
    "ring",
    "round_trip",
    "rule_sets",
    "scale_of_force",
    "scale_of_length",
    "shift",
    "skid",
    "slack_prone",
    "slings",
    "tall",
    "tandem",
    "tier",
    "turn",
    "units",
]
