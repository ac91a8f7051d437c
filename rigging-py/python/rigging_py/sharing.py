"""Load sharing: closed forms, one calculation at a time, in plain SI, and sharing rules as objects.

The closed forms are mechanics, not rules: they hold where geometry alone decides, say nothing of tolerances, and every angle is from
vertical. A parameter is one plain real number; its unit stands in its name. `rigging_py.batch` has the same over arrays,
with the same bits; for a single row these functions are much the faster.

A `SharingRule` comes with the package, is made of another, or is your own: a callable that takes a `LegSet` and returns one
force a leg. `Lift.compare_sharing` sets rules against the elastic worst case, and `Lift.assess` takes one, or `Bounds`, as
the source of its forces.

Results support, and never replace, the planning of the competent person; local codes and licensed practice prevail.

Examples
--------
>>> from rigging_py import Force, LegAngle, sharing
>>> sharing.leg_tension(weight_n=1000.0, legs=2, angle_from_vertical_rad=0.0)
500.0

From and to values with units:

>>> angle = LegAngle.from_horizontal("30 deg").angle_from_vertical
>>> tension = sharing.leg_tension(Force("2 kip").si, 2, angle.si)
>>> round(Force(tension, "N").to("kip"), 9)
2.0
"""

from ._native import Bounds, LegSet, SetLeg, SharingRule, basket_tension, horizontal_pull, leg_tension

__all__ = ["Bounds", "LegSet", "SetLeg", "SharingRule", "basket_tension", "horizontal_pull", "leg_tension"]
