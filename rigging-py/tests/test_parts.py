"""What a stiffness is quoted for, and that nothing is concluded where it matters and is open."""

import pytest

from rigging_py import Lift, MissingError, UnsupportedError


def test_parts_side_by_side_bear_as_one_leg(skid):
    whole = skid.solve()
    tensions = list(whole.tensions_n)
    by_part = skid.with_({"/slings/*/stiffness/law/ea": "3 MN", "/slings/*/stiffness/basis": "part"})
    assert list(by_part.solve().tensions_n) == tensions
    four = {"/slings/*/stiffness/law/ea": "1.5 MN", "/slings/*/stiffness/basis": "part", "/slings/*/parts": 4}
    assert list(skid.with_(four).solve().tensions_n) == tensions
    doubled = {"/slings/*/stiffness/law/ea": "3 MN", "/legs/*/hitch": "doubled"}
    assert list(skid.with_(doubled).solve().tensions_n) == tensions
    assert skid.with_({"/slings/0/stiffness/basis": "part"}).solve().tensions_n[0] > 1.05 * whole.tensions_n[0]


def test_an_open_basis_is_no_guess(skid, us_general):
    open_basis = skid.with_({"/slings/2/stiffness/basis": None})
    with pytest.raises(MissingError) as caught:
        open_basis.solve()
    assert caught.value.place == "/slings/2/stiffness/basis"
    assessment = open_basis.assess(us_general)
    assert assessment.verdict == "cannot_conclude"
    places = [missing["place"] for finding in assessment.findings for missing in finding["missing"]]
    assert "/slings/2/stiffness/basis" in places


def test_a_sling_over_a_hook_is_not_quoted_as_hung():
    pump = Lift.demo("pump-doubled-sling")
    with pytest.raises(UnsupportedError) as caught:
        pump.with_({"/slings/0/stiffness/basis": "as_hung"}).solve()
    assert caught.value.place == "/slings/0/stiffness/basis"
