"""Documents of lifts that are described no further than forces need it."""

from __future__ import annotations

from typing import Any, NamedTuple

from .._native import STANDARD_GRAVITY


class Leg(NamedTuple):
    """A leg between two stations."""

    start: str
    end: str
    length_m: float
    tolerance_m: float
    stiffness_n: float


def _meters(point: tuple[float, float, float]) -> list[str]:
    return [f"{coordinate!r} m" for coordinate in point]


def _numbered(kind: str, points: list[tuple[float, float, float]]) -> list[dict[str, Any]]:
    return [{"name": f"{kind} {index + 1}", "position": _meters(point)} for index, point in enumerate(points)]


def described(
    mass: float,
    center: tuple[float, float, float],
    box: tuple[float, float, float],
    points: list[tuple[float, float, float]],
    hooks: list[tuple[float, float, float]],
    legs: list[Leg],
    frame: tuple[float, list[tuple[float, float, float]]] | None = None,
) -> dict[str, Any]:
    """A lift in kg, m and N; a frame has a mass and corners, its center of gravity at the origin."""
    source = "invented"
    document: dict[str, Any] = {
        "format": 1,
        "name": "sketch of a lift",
        "gravity": f"{STANDARD_GRAVITY.si!r} m/s2",
        "load": {
            "name": "load",
            "mass": {"value": f"{mass!r} kg", "basis": "not_to_exceed", "source": source},
            "center_of_gravity": {"position": _meters(center), "tolerance": _meters(box), "source": source},
            "lift_points": _numbered("point", points),
        },
        "hooks": _numbered("hook", hooks),
        "slings": [
            {
                "name": f"sling {index + 1}",
                "construction": "roundsling",
                "material": "polyester",
                "length": {
                    "value": f"{leg.length_m!r} m",
                    "measured": "whole_leg",
                    "tolerance": f"{leg.tolerance_m!r} m",
                },
                "stiffness": {"law": {"ea": f"{leg.stiffness_n!r} N"}, "basis": "as_hung", "source": source},
            }
            for index, leg in enumerate(legs)
        ],
        "legs": [
            {
                "name": f"leg {index + 1}",
                "hitch": "straight",
                "path": [{"end": leg.start}, {"end": leg.end}],
                "items": [f"sling {index + 1}"],
            }
            for index, leg in enumerate(legs)
        ],
    }
    if frame is not None:
        own, corners = frame
        document["spreaders"] = [
            {
                "name": "frame",
                "mass": f"{own!r} kg",
                "center_of_gravity": _meters((0.0, 0.0, 0.0)),
                "points": _numbered("corner", corners),
            }
        ]
    return document
