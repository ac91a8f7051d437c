"""`Lift.with_`: the same lift with other values, checked anew."""

import math

import numpy as np
import pint
import pytest

import rigging_py
from rigging_py import Angle, Force, Length, Lift

PINT = pint.UnitRegistry()


def value(lift, *steps):
    inside = lift.to_document()
    for step in steps:
        inside = inside[step]
    return inside


def test_values_are_replaced(skid):
    before = skid.to_json()
    changed = skid.with_(
        {
            "/slings/0/length/tolerance": "20 mm",
            "/slings/roundsling B/length/tolerance": Length("25 mm"),
            "/slings/2/length/tolerance": PINT.Quantity(1.5, "inch"),
            "/load/allowed_tilt/value": Angle("12 deg"),
            "/load/lift_points/lug A/allowed_direction/axis": (0, np.float32(0.5), np.int64(1)),
            "/operation/persons_lifted": True,
        }
    )
    assert skid.to_json() == before
    tolerances = [sling["length"]["tolerance"] for sling in changed.to_document()["slings"]]
    assert tolerances[0] == "20 mm" and tolerances[1] == "0.025 m" and tolerances[3] == "30 mm"
    assert abs(Length(tolerances[2]).to("in") - 1.5) < 1e-15
    assert Angle(value(changed, "load", "allowed_tilt", "value")) == Angle("12 deg")
    assert value(changed, "load", "lift_points", 0, "allowed_direction", "axis") == [0, 0.5, 1]
    assert value(changed, "operation", "persons_lifted") is True


def test_every_item_and_a_new_one(skid):
    stiff = skid.with_({"/slings/*/stiffness/law/ea": "9.6 MN"})
    assert {sling["stiffness"]["law"]["ea"] for sling in stiff.to_document()["slings"]} == {"9.6 MN"}
    # The third demo document is this lift on such slings.
    assert stiff.solve() == Lift.demo("generator-skid-stiff-slings").with_({"/notes": skid.to_document()["notes"]}).solve()
    noted = skid.with_({"/notes/-": "a new note"})
    assert value(noted, "notes")[-1] == "a new note"
    assert len(value(noted, "notes")) == len(value(skid, "notes")) + 1


def test_none_leaves_out(skid, us_general):
    without = skid.with_({"/slings/0/length/tolerance": None})
    assert value(without, "slings", 0, "length", "tolerance") == "unknown"
    assessment = without.assess(us_general)
    assert assessment.verdict == "cannot_conclude"
    places = [missing["place"] for finding in assessment.findings for missing in finding["missing"]]
    assert "/slings/0/length/tolerance" in places
    assert value(skid.with_({"/notes/*": None, "/name": "x"}), "name") == "x"
    with pytest.raises(rigging_py.MissingError) as caught:
        skid.with_({"/load/mass": None}).solve()
    assert caught.value.place == "/load/mass/value"


def test_the_result_is_checked(skid):
    for changes, error, place in [
        ({"/slings/0/length/value": "-6 m"}, rigging_py.OutOfDomainError, "/slings/0/length/value"),
        ({"/slings/0/length/value": "6 kg"}, rigging_py.WrongUnitError, "/slings/0/length/value"),
        ({"/slings/0/length/value": Force("6 kN")}, rigging_py.WrongUnitError, "/slings/0/length/value"),
        ({"/slings/0/length/value": 6}, rigging_py.BareNumberError, "/slings/0/length/value"),
        ({"/slings/0/lenght": {}}, rigging_py.UnknownKeyError, "/slings/0/lenght"),
        ({"/slings/1/name": "roundsling A"}, rigging_py.DuplicateNameError, "/slings/1/name"),
        ({"/legs/0/items": ["no such sling"]}, rigging_py.UnknownNameError, "/legs/0/items/0"),
        ({"/format": 2}, rigging_py.NewerFormatError, "/format"),
        ({"/load/lift_points/0/allowed_direction/axis": [0, 0, math.nan]}, rigging_py.MalformedError, None),
    ]:
        with pytest.raises(error) as caught:
            skid.with_(changes)
        if place:
            assert caught.value.place == place


def test_a_place_that_is_not_there(skid):
    for place, error in [
        ("", rigging_py.MalformedError),
        ("slings", rigging_py.MalformedError),
        ("/slings/9/mass", rigging_py.OutOfDomainError),
        ("/slings/roundslnig A/mass", rigging_py.UnknownNameError),
        ("/slngs/0/mass", rigging_py.UnknownKeyError),
        ("/slings/0/mass/value", rigging_py.MalformedError),
        ("/slings/00/mass", rigging_py.UnknownNameError),
        ("/slings/-1/mass", rigging_py.UnknownNameError),
        ("/slings/-/mass", rigging_py.UnknownNameError),
    ]:
        with pytest.raises(error):
            skid.with_({place: "1 kg"})
    with pytest.raises(rigging_py.UnknownKeyError):
        skid.with_({"/slings/0/hue": None})
    with pytest.raises(rigging_py.MalformedError):
        skid.with_({"/joints": [], "/joints/*": {}})


class Labelled:
    attrs = {"units": "mm"}

    def __float__(self):
        return 30.0


@pytest.mark.parametrize(
    "thing",
    [Labelled(), b"20 mm", {1: 2}, {"a": object()}, np.array([1.0]), PINT.Quantity([1.0, 2.0], "m"), PINT.Quantity(1, "m**2"), 1j],
    ids=lambda thing: type(thing).__name__,
)
def test_what_has_no_place_in_a_document(skid, thing):
    with pytest.raises((TypeError, rigging_py.MalformedError)) as caught:
        skid.with_({"/slings/0/length/tolerance": thing})
    assert "/slings/0/length/tolerance" in str(caught.value)


def test_nesting_without_end(skid):
    endless = []
    endless.append(endless)
    with pytest.raises(rigging_py.TooLargeError):
        skid.with_({"/notes": endless})
