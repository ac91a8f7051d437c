"""Drawings of a hanging lift, for matplotlib (extra ``plot``).

A drawing shows a solved pose: where the hook, the lift points and the center of gravity are, and what each leg carries.
Every function takes ``ax=None``, returns the Axes, and never shows a figure.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from ._native import Length

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from ._native import Certificate

__all__ = ["elevation", "plan"]

_Point = tuple[float, float, float]
_AXES = "xyz"


class _Scene(NamedTuple):
    """Places in the world, in m."""

    hook: _Point
    center: _Point
    lift_points: dict[str, _Point]
    ends: list[str | None]


def _turned(rotation: tuple[float, float, float, float], point: _Point) -> _Point:
    """A point turned by a unit quaternion (x, y, z, w)."""
    x, y, z, w = rotation
    a, b, c = point
    # Twice the cross product of the quaternion's vector with the point.
    u, v, t = 2 * (y * c - z * b), 2 * (z * a - x * c), 2 * (x * b - y * a)
    return a + w * u + y * t - z * v, b + w * v + z * u - x * t, c + w * t + x * v - y * u


def _scene(certificate: Certificate) -> _Scene:
    rotation, origin = certificate.rotation, certificate.position_m
    hook, center = certificate.hook_in_load_m, certificate.center_of_gravity_m
    if rotation is None or origin is None or hook is None or center is None:
        raise ValueError("the certificate holds no body to draw")

    def world(point: _Point) -> _Point:
        x, y, z = _turned(rotation, point)
        return origin[0] + x, origin[1] + y, origin[2] + z

    document = certificate.lift.to_document()
    points = {}
    for point in document["load"]["lift_points"]:
        x, y, z = (Length(text).si for text in point["position"])
        points[point["name"]] = world((x, y, z))
    ends = []
    for leg in document["legs"]:
        stations = (station.get("end") for station in leg["path"])
        ends.append(next((station for station in stations if station in points), None))
    return _Scene(world(hook), center, points, ends)


def elevation(certificate: Certificate, *, across: str = "x", ax: Axes | None = None) -> Axes:
    """Draw the solved pose seen horizontally.

    Parameters
    ----------
    certificate : Certificate
        A solved lift.
    across : {"x", "y"}
        World axis that runs to the right; z runs up.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure is made without it.

    Returns
    -------
    matplotlib.axes.Axes

    Examples
    --------
    >>> import matplotlib; matplotlib.use("agg")
    >>> from rigging_py import Lift, plot
    >>> ax = plot.elevation(Lift.demo("generator-skid").solve(), across="x")
    >>> ax.get_xlabel(), ax.get_ylabel()
    ('x, m', 'z, m')
    """
    if across not in ("x", "y"):
        raise ValueError(f'across: "x" or "y" runs to the right in an elevation, not {across!r}')
    ax = _draw(certificate, across, "z", ax)
    ax.set_title(f"elevation, {across} to the right")
    return ax


def plan(certificate: Certificate, *, ax: Axes | None = None) -> Axes:
    """Draw the solved pose seen from above.

    Parameters
    ----------
    certificate : Certificate
        A solved lift.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure is made without it.

    Returns
    -------
    matplotlib.axes.Axes

    Examples
    --------
    >>> import matplotlib; matplotlib.use("agg")
    >>> from rigging_py import Lift, plot
    >>> ax = plot.plan(Lift.demo("generator-skid").solve())
    >>> ax.get_xlabel(), ax.get_ylabel()
    ('x, m', 'y, m')
    """
    ax = _draw(certificate, "x", "y", ax)
    ax.set_title("plan")
    return ax


def _draw(certificate: Certificate, across: str, up: str, ax: Axes | None) -> Axes:
    if ax is None:
        import matplotlib.pyplot as plt

        ax = plt.figure().add_subplot()
    scene = _scene(certificate)

    def seen(point: _Point) -> tuple[float, float]:
        return point[_AXES.index(across)], point[_AXES.index(up)]

    outline = [seen(point) for point in scene.lift_points.values()]
    if len(outline) > 1:
        ax.plot(*zip(*outline, outline[0], strict=True), color="0.6", linewidth=1, label="line through the lift points")
    if up == "z":
        plumb: Any = zip(seen(scene.hook), seen(scene.center), strict=True)
        ax.plot(*plumb, color="0.4", linewidth=0.8, linestyle=":", label="plumb line")
    _draw_legs(certificate, scene, seen, ax)
    ax.plot(*seen(scene.hook), marker="v", color="black", linestyle="none", label="hook")
    ax.plot(*seen(scene.center), marker="P", color="black", linestyle="none", label="center of gravity")
    ax.set_aspect("equal", adjustable="datalim")
    # Room for the labels on both sides.
    ax.margins(x=0.5, y=0.1)
    ax.set_xlabel(f"{across}, m")
    ax.set_ylabel(f"{up}, m")
    return ax


def _draw_legs(certificate: Certificate, scene: _Scene, seen: Any, ax: Axes) -> None:
    """Lines from the hook to the lift points, and beside each point what its leg carries."""
    hook = seen(scene.hook)
    places: list[tuple[float, float]] = [seen(point) for point in scene.lift_points.values()]
    # Points that nearly coincide in this view share a label.
    near = 0.05 * max((abs(x - hook[0]) + abs(y - hook[1]) for x, y in places), default=0.0)
    labels: list[tuple[tuple[float, float], list[str]]] = []
    for name, tension, slack, end in zip(
        certificate.legs, certificate.tensions_n, certificate.slack, scene.ends, strict=True
    ):
        if end is None:
            continue
        point = seen(scene.lift_points[end])
        ax.plot((hook[0], point[0]), (hook[1], point[1]), color="black", linewidth=1.5, linestyle="--" if slack else "-")
        text = f"{name} slack" if slack else f"{name} {tension / 1e3:.1f} kN"
        beside = (lines for place, lines in labels if abs(place[0] - point[0]) + abs(place[1] - point[1]) < near)
        lines = next(beside, None)
        if lines is None:
            labels.append((point, [text]))
        else:
            lines.append(text)
    for place, lines in labels:
        side = 1 if place[0] >= hook[0] else -1
        ax.annotate(
            "\n".join(lines),
            place,
            xytext=(6 * side, 0),
            textcoords="offset points",
            ha="left" if side > 0 else "right",
            va="center",
            fontsize=8,
        )
