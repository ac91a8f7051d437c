"""Drawings for matplotlib (extra ``plot``): a hanging lift, and sharing rules against the elastic worst case.

Every function takes ``ax=None``, returns the Axes, and never shows a figure.
"""

from ._hanging import elevation, plan
from ._rules import forces, short

__all__ = ["elevation", "forces", "plan", "short"]
