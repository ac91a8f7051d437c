"""Where to draw."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def axes(ax: Axes | None) -> Axes:
    """The Axes given, else those of a new figure."""
    if ax is not None:
        return ax
    import matplotlib.pyplot as plt

    return plt.figure().add_subplot()
