"""A solved pose: where the hook, the lift points and the center of gravity are, and what each leg carries."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any, NamedTuple

from .._native import Length
from ._axes import axes

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from .._native import Certificate

_Point = tuple[float, float, float]
_AXES = "xyz"


class _Leg(NamedTuple):
    """A leg from end to end, or a span of it, and the place beside which its tension stands."""

    ends: tuple[_Point, _Point]
    label: _Point


class _Scene(NamedTuple):
    """Places in the world, in m."""

    hooks: list[_Point]
    centers: list[_Point]
    # Points of each body, the load first.
    bodies: list[list[_Point]]
    joints: list[_Point]
    legs: list[_Leg]
    # Stretches of slings between two places of one body, which are no legs of the certificate.
    along: list[tuple[_Point, _Point]]


def _turned(rotation: tuple[float, float, float, float], point: _Point) -> _Point:
    """A point turned by a unit quaternion (x, y, z, w)."""
    x, y, z, w = rotation
    a, b, c = point
    # Twice the cross product of the quaternion's vector with the point.
    u, v, t = 2 * (y * c - z * b), 2 * (z * a - x * c), 2 * (x * b - y * a)
    return a + w * u + y * t - z * v, b + w * v + z * u - x * t, c + w * t + x * v - y * u


def _read(position: list[str]) -> _Point:
    x, y, z = (Length(text).si for text in position)
    return x, y, z


def _placed(pose: dict[str, Any], point: _Point) -> _Point:
    """A point of a body, in the world."""
    origin, (x, y, z) = pose["position_m"], _turned(pose["rotation"], point)
    return origin[0] + x, origin[1] + y, origin[2] + z


def _scene(certificate: Certificate) -> _Scene:
    poses = certificate.poses
    if not poses:
        raise ValueError("the certificate holds no body to draw")
    document = certificate.lift.to_document()
    # A single hook follows the center of gravity; several stand where they are drawn.
    hooks = {hook["name"]: hook for hook in document["hooks"]}
    if len(hooks) == 1:
        above = {name: _placed(poses[0], poses[0]["hook_in_body_m"]) for name in hooks}
    else:
        above = {name: _read(hook["position"]) for name, hook in hooks.items()}
    joints = [joint["name"] for joint in document.get("joints", [])]
    meeting = dict(zip(joints, certificate.joints_m, strict=True))
    points = {point["name"]: _placed(poses[0], _read(point["position"])) for point in document["load"]["lift_points"]}
    bodies, anchors = [list(points.values())], above | meeting | points
    for spreader, pose in zip(document.get("spreaders", []), poses[1:], strict=True):
        own = {f"{spreader['name']}/{point['name']}": point["position"] for point in spreader["points"]}
        placed = {name: _placed(pose, _read(position)) for name, position in own.items()}
        bodies.append(list(placed.values()))
        anchors |= placed
    owners = dict.fromkeys(hooks, "") | dict.fromkeys(points, document["load"]["name"])
    legs: list[_Leg] = []
    along: list[tuple[_Point, _Point]] = []
    for leg in document["legs"]:
        path = [_station(station, anchors, owners, document["load"]["name"], poses[0]) for station in leg["path"]]
        for (start, one), (end, other) in pairwise(path):
            if one is not None and one == other:
                along.append((start, end))
                continue
            ends = start, end
            if len(path) > 2:
                # Beside the middle of a span: its ends belong to two of them.
                legs.append(_Leg(ends, _middle(start, end)))
                continue
            # Beside the load where the leg reaches it, else beside the lower end.
            at_load = next((point for point, owner in path if owner == document["load"]["name"]), None)
            legs.append(_Leg(ends, at_load or min(ends, key=lambda end: end[2])))
    centers = [pose["center_of_gravity_m"] for pose in poses]
    return _Scene(list(above.values()), centers, bodies, list(meeting.values()), legs, along)


def _station(
    station: dict[str, Any],
    anchors: dict[str, _Point],
    owners: dict[str, str],
    load: str,
    pose: dict[str, Any],
) -> tuple[_Point, str | None]:
    """Where a station stands, and what it is fixed to: a body, the hooks (the empty text), or nothing."""
    over = station.get("over", {})
    name = station.get("end", over.get("station"))
    if name is None:
        return _placed(pose, _read(over["position"])), load
    return anchors[name], owners.get(name, name.rpartition("/")[0] or None)


def _middle(start: _Point, end: _Point) -> _Point:
    return (start[0] + end[0]) / 2, (start[1] + end[1]) / 2, (start[2] + end[2]) / 2


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
    ax = axes(ax)
    scene = _scene(certificate)

    def seen(point: _Point) -> tuple[float, float]:
        return point[_AXES.index(across)], point[_AXES.index(up)]

    for points in scene.bodies:
        outline = _hull([seen(point) for point in points])
        if len(outline) > 1:
            label = "line around the points of a body" if points is scene.bodies[0] else None
            ax.plot(*zip(*outline, outline[0], strict=True), color="0.6", linewidth=1, label=label)
    if up == "z" and len(scene.hooks) == 1:
        plumb: Any = zip(seen(scene.hooks[0]), seen(scene.centers[0]), strict=True)
        ax.plot(*plumb, color="0.4", linewidth=0.8, linestyle=":", label="line from the hook to the center of gravity")
    _draw_legs(certificate, scene, seen, ax)
    _draw_marks(scene.hooks, "v", "hook", seen, ax)
    _draw_marks(scene.joints, "o", "joint", seen, ax)
    _draw_marks(scene.centers, "P", "center of gravity", seen, ax)
    ax.set_aspect("equal", adjustable="datalim")
    # Room for the labels on both sides.
    ax.margins(x=0.5, y=0.1)
    ax.set_xlabel(f"{across}, m")
    ax.set_ylabel(f"{up}, m")
    return ax


def _hull(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The convex line around points, counterclockwise."""

    def half(ordered: list[tuple[float, float]]) -> list[tuple[float, float]]:
        line: list[tuple[float, float]] = []
        for point in ordered:
            while len(line) > 1 and not _turns_left(line[-2], line[-1], point):
                line.pop()
            line.append(point)
        return line[:-1]

    ordered = sorted(set(points))
    return half(ordered) + half(ordered[::-1]) if len(ordered) > 1 else ordered


def _turns_left(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> bool:
    return (b[0] - a[0]) * (c[1] - a[1]) > (b[1] - a[1]) * (c[0] - a[0])


def _draw_marks(points: list[_Point], marker: str, label: str, seen: Any, ax: Axes) -> None:
    if points:
        across, up = zip(*map(seen, points), strict=True)
        ax.plot(across, up, marker=marker, color="black", linestyle="none", label=label)


def _draw_legs(certificate: Certificate, scene: _Scene, seen: Any, ax: Axes) -> None:
    """Lines from end to end, and beside each leg what it carries."""
    ends = [seen(end) for leg in scene.legs for end in leg.ends]
    for first, last in (map(seen, ends) for ends in scene.along):
        ax.plot((first[0], last[0]), (first[1], last[1]), color="black", linewidth=1.5)
    middle = sum(across for across, _ in map(seen, scene.hooks)) / len(scene.hooks)
    # Points whose labels would cover each other share one: those at nearly one height, on one side, less than a label apart.
    extent = max((abs(x - u) + abs(y - v) for x, y in ends for u, v in ends), default=0.0)
    labels: list[tuple[tuple[float, float], list[str]]] = []

    def covers(one: tuple[float, float], other: tuple[float, float]) -> bool:
        across, up = abs(one[0] - other[0]), abs(one[1] - other[1])
        return up < 0.05 * extent and across < 0.3 * extent and (one[0] >= middle) == (other[0] >= middle)

    for name, tension, slack, leg in zip(
        certificate.legs, certificate.tensions_n, certificate.slack, scene.legs, strict=True
    ):
        first, last = map(seen, leg.ends)
        ax.plot((first[0], last[0]), (first[1], last[1]), color="black", linewidth=1.5, linestyle="--" if slack else "-")
        point = seen(leg.label)
        text = f"{name} slack" if slack else f"{name} {tension / 1e3:.1f} kN"
        lines = next((lines for place, lines in labels if covers(place, point)), None)
        if lines is None:
            labels.append((point, [text]))
        else:
            lines.append(text)
    for place, lines in labels:
        side = 1 if place[0] >= middle else -1
        ax.annotate(
            "\n".join(lines),
            place,
            xytext=(6 * side, 0),
            textcoords="offset points",
            ha="left" if side > 0 else "right",
            va="center",
            fontsize=8,
        )
