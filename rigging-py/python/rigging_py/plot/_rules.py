"""Sharing rules against the elastic worst case: of one lift, and over numbers that vary."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from ._axes import axes

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from ..kit import Survey

# Shapes tell rules apart where colors cannot be.
_MARKERS = "osD^v<>phX*P"


def forces(comparison: dict[str, Any], *, ax: Axes | None = None) -> Axes:
    """Draw what each rule says of each leg, and the worst tension that was attained.

    A mark below the line of its leg is a rule that falls short there. A rule that refuses has no mark; the legend says so.

    Parameters
    ----------
    comparison : dict
        From `Lift.compare_sharing`.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure is made without it.

    Returns
    -------
    matplotlib.axes.Axes

    Examples
    --------
    >>> import matplotlib; matplotlib.use("agg")
    >>> from rigging_py import Lift, plot
    >>> ax = plot.forces(Lift.demo("generator-skid").compare_sharing())
    >>> ax.get_ylabel()
    'force, kN'
    """
    ax = axes(ax)
    places = np.arange(len(comparison["legs"]))
    worst = np.array(comparison["worst"]) / 1e3
    ax.hlines(worst, places - 0.4, places + 0.4, color="black", linewidth=2, label="worst attained within tolerances")
    nominal = np.array(comparison["nominal"]) / 1e3
    ax.hlines(nominal, places - 0.4, places + 0.4, color="0.5", linewidth=1, label="nominal")
    rules = comparison["rules"]
    for index, compared in enumerate(rules):
        name, speaks = compared["rule"]["name"], compared["answer"].get("speaks")
        marker = _MARKERS[index % len(_MARKERS)]
        if speaks is None:
            ax.plot([], [], linestyle="none", marker=marker, color="0.7", label=f"{name}: refuses")
            continue
        aside = 0.6 * ((index + 0.5) / len(rules) - 0.5)
        force = np.array(speaks["forces"]) / 1e3
        ax.plot(places + aside, force, linestyle="none", marker=marker, label=name)
    ax.set_xticks(places, comparison["legs"])
    ax.set_ylim(bottom=0)
    ax.set_ylabel("force, kN")
    ax.set_title("force of each leg by rule")
    return ax


def short(survey: Survey, rule: int = 0, *, at: dict[int, int] | None = None, ax: Axes | None = None) -> Axes:
    """Draw where a rule falls short of the worst tension, over two numbers.

    The line is where the rule just covers every leg; hatched are cells where it refuses or the lift does not hang stably.

    Parameters
    ----------
    survey : Survey
        From `rigging_py.kit.survey`, of two axes or more.
    rule : int
        Index of the rule.
    at : dict of int to int, optional
        For each axis that is not drawn, the index of the value at which to look; the first where it is left out.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure is made without it.

    Returns
    -------
    matplotlib.axes.Axes

    Examples
    --------
    >>> import matplotlib; matplotlib.use("agg")
    >>> from rigging_py import kit, plot, sharing
    >>> stiffness = {"number": "stiffnesses", "values": [2e6, 5e6, 1e7]}
    >>> tolerance = {"number": "length_tolerances", "values": [0.0, 0.01, 0.02]}
    >>> found = kit.survey([stiffness, tolerance], ["three legs carry all"], legs=4)
    >>> plot.short(found).get_xlabel()
    'tolerance of every length, m'
    """
    if len(survey.axes) < 2:
        raise ValueError(f"a map needs two axes, and the survey has {len(survey.axes)}")
    drawn = [index for index in range(len(survey.axes)) if index not in (at or {})][:2]
    where = tuple(slice(None) if index in drawn else (at or {}).get(index, 0) for index in range(len(survey.axes)))
    percent = 100.0 * survey.short[rule][where]
    up, across = (survey.axes[index] for index in drawn)
    ax = axes(ax)
    most = max(1.0, float(np.nanmax(np.abs(percent), initial=0.0)))
    ax.patch.set(hatch="///", edgecolor="0.7")
    mesh = ax.pcolormesh(
        across.values, up.values, np.ma.masked_invalid(percent), cmap="PuOr_r", vmin=-most, vmax=most, shading="nearest"
    )
    ax.figure.colorbar(mesh, ax=ax, label="missing of the worst tension, %")
    if np.nanmin(percent, initial=0.0) < 0.0 < np.nanmax(percent, initial=0.0):
        ax.contour(across.values, up.values, percent, levels=[0.0], colors="black")
    ax.set_xlabel(f"{across.name}, {across.unit}")
    ax.set_ylabel(f"{up.name}, {up.unit}")
    ax.set_title(survey.rules[rule]["name"])
    return ax
