"""Questions about the balance of a lift: answers to the bits that Rust computes, and refusals that say where."""

import copy
import json
import math
import pickle
import struct

import numpy as np
import pandas
import pint
import pytest

import rigging_py
from rigging_py import Force, Length, Lift

COUNT, TOLERANCE = 6, 1e-9


def fnv(data):
    """Fowler, Noll, Vo: FNV-1a, 64 bits."""
    found = 0xCBF29CE484222325
    for byte in data:
        found = (found ^ byte) * 0x100000001B3 % 2**64
    return f"{found:016x}"


def numbers(value):
    """Every number of an answer, walked with keys in ascending order."""
    if isinstance(value, dict):
        for key in sorted(value):
            yield from numbers(value[key])
    elif isinstance(value, list):
        for item in value:
            yield from numbers(item)
    elif isinstance(value, (int, float)) and not isinstance(value, bool):
        yield float(value)


def expected(reference):
    """The records of the file, by the documents of their lifts."""
    lifts = {}
    for line in (reference / "balance.txt").read_text(encoding="utf-8").splitlines():
        key, _, value = line.partition(" ")
        if key == "lift":
            lifts[value] = one = {"row": [], "hook": [], "numbers": {}}
        elif key in ("row", "hook"):
            one[key].append(value.split())
        elif key == "numbers":
            question, count, found = value.split()
            one[key][question] = (int(count), found)
        elif key == "tension":
            one[key] = value.split()
        elif key == "periods":
            one[key] = json.loads(value)
    return lifts


def bits(value):
    return struct.pack(">d", value).hex()


def answers(balance, inputs):
    legs = balance.legs
    excitations = [
        entry | {"shortest": f"{entry['shortest']} s", "longest": f"{entry['longest']} s"}
        for entry in inputs["excitations"]
    ]
    return {
        "derivatives": balance.derivatives(),
        "margins": balance.margins(),
        "losses": balance.losses(allowed=[*(["100 kN"] * (len(legs) - 1)), None]),
        "motions": balance.motions(),
        "modes": balance.modes(count=COUNT),
        "self_stress": balance.self_stress(tolerance=TOLERANCE),
        "order": balance.order([Length((leg - 1) / 1024, "m") for leg in range(len(legs))], tolerance=TOLERANCE),
        "periods": balance.periods(
            moments_kg_m2=[inertia["moments"] for inertia in inputs["inertias"]], excitations=excitations, count=COUNT
        ),
        "others": balance.others(),
    }


def test_the_answers_have_the_bits_of_rust(reference, lifts):
    compared = 0
    for document, one in expected(reference).items():
        balance = Lift.from_file(lifts / document).hang()
        assert [bits(tension) for tension in balance.certificate.tensions_n] == one["tension"]
        assert [[bits(part) for part in force] for force in balance.certificate.hooks_n] == one["hook"]
        assert [[bits(value) for value in row] for row in balance.tension_matrix().tolist()] == one["row"]
        for question, answer in answers(balance, one["periods"]).items():
            found = list(numbers(answer))
            data = b"".join(struct.pack(">d", number) for number in found)
            assert (len(found), fnv(data)) == one["numbers"][question], (document, question)
            compared += 1
    print(f"{compared} answers compared, 0 skipped")
    assert compared == 9 * 4


def test_pandas_takes_the_answers(skid):
    balance = skid.hang()
    rows = pandas.DataFrame(balance.derivatives()["rows"])
    assert list(rows.columns) == [
        "parameter", "item", "axis", "unit", "tensions", "tilts", "hooks", "increase", "decrease",
    ]  # fmt: skip
    matrix = balance.tension_matrix()
    index = pandas.MultiIndex.from_tuples(balance.parameters(), names=["parameter", "item", "axis", "unit"])
    table = pandas.DataFrame(matrix, index=index, columns=list(balance.legs))
    assert matrix.dtype == np.float64 and matrix.shape == (len(rows), 4)
    assert (table.iloc[balance.parameters().index(("mass", "generator skid GS-4", None, "kg"))] > 0).all()
    assert matrix.tolist() == rows["tensions"].tolist()
    keys = ("parameter", "item", "axis", "unit")
    assert [tuple(row[key] for key in keys) for row in balance.derivatives()["rows"]] == list(balance.parameters())
    losses = pandas.json_normalize(balance.losses(), record_path="legs", meta=["kind", "item"], record_prefix="remaining ")
    assert len(losses) == 12 and set(losses["kind"]) == {"leg"}
    assert len(pandas.DataFrame(balance.margins())) == 13


def test_an_answer_is_a_copy(skid):
    balance = skid.hang()
    balance.derivatives()["rows"].clear()
    balance.tension_matrix()[:] = 0.0
    assert balance.derivatives()["rows"] and balance.tension_matrix().any()


def test_the_derivatives_are_what_a_small_change_does(skid):
    # An independent computation: hung again with each length 0.1 mm off to either side, central differences.
    balance, step = skid.hang(), 1e-4
    names = [sling["name"] for sling in skid.to_document()["slings"]]
    rows = {row[1]: tensions for row, tensions in zip(balance.parameters(), balance.tension_matrix(), strict=True) if row[0] == "length"}
    for leg, sling in zip(balance.legs, names, strict=True):
        more, less = (
            np.array(skid.with_({f"/slings/{sling}/length/value": Length(6.0 + change, "m")}).solve().tensions_n)
            for change in (step, -step)
        )
        assert np.abs((more - less) / (2 * step) / rows[leg] - 1).max() < 1e-5


def test_a_balance_is_the_certificate_of_a_solve():
    for name in Lift.demos():
        lift = Lift.demo(name)
        balance = lift.hang()
        assert balance.certificate == lift.solve() and balance.lift == lift
        assert balance.legs == balance.certificate.legs
        # A leg that passes over something counts span by span.
        assert list(dict.fromkeys(leg.partition(", span ")[0] for leg in balance.legs)) == list(lift.legs)
        assert balance.bodies == tuple(pose["name"] for pose in balance.certificate.poses)
        assert balance.hooks == tuple(hook["name"] for hook in lift.to_document()["hooks"])
        assert balance.certificate.poses[0]["position_m"] == balance.certificate.position_m
        assert len(balance.certificate.joints_m) == len(lift.to_document().get("joints", []))
        record = json.loads(balance.certificate.to_json())
        assert balance.certificate.residual_moment_n_m == record["residual_moment"] < 1e-3
        assert balance.certificate.complementarity_j == record["complementarity"] == 0.0


def test_a_joint_has_its_place(skid):
    document = skid.to_document()
    hook = document["hooks"][0]
    pendant = document["slings"][0] | {"name": "pendant", "identity": "P-1"}
    for leg in document["legs"]:
        for station in leg["path"]:
            if station["end"] == hook["name"]:
                station["end"] = "ring"
    document["joints"] = [{"name": "ring", "position": ["0.45 m", "-0.12 m", "5.4 m"]}]
    hook["position"] = ["0.45 m", "-0.12 m", "11.4 m"]
    document["slings"].append(pendant)
    path = [{"end": hook["name"]}, {"end": "ring"}]
    document["legs"].append({"name": "pendant leg", "hitch": "straight", "path": path, "items": ["pendant"], "contacts": []})
    certificate = Lift.from_document(document).solve()
    (ring,) = certificate.joints_m
    # The pendant leads from the ring to the hook, which stands still.
    end = np.array(ring) + np.array(certificate.directions[4]) * certificate.lengths_m[4]
    assert np.abs(end - [0.45, -0.12, 11.4]).max() < 1e-9
    # It carries the weight, and the legs below it what they carry under the hook itself.
    assert certificate.tensions_n[4] == pytest.approx(18.5e3 * 9.80665, rel=1e-9)
    assert certificate.tensions_n[:4] == pytest.approx(skid.solve().tensions_n, rel=1e-9)


def test_copies_share_what_was_asked(skid):
    balance = skid.hang()
    again = pickle.loads(pickle.dumps(balance))
    assert again == balance == copy.deepcopy(balance)
    assert (again.tension_matrix() == balance.tension_matrix()).all()
    assert balance != skid.with_({"/load/mass/value": "18 t"}).hang()


def test_values_for_the_legs_by_name_or_in_order():
    balance = Lift.demo("panel-spreader").hang()
    unit = pint.UnitRegistry()
    by_name = balance.losses(allowed={"upper 2": Force("90 kN"), "lower 1": unit.Quantity(80.0, "kilonewton")})
    told = [None] * 8
    told[1], told[4] = "90 kN", "80 kN"
    assert balance.losses(allowed=told) == by_name
    utilizations = {leg["leg"]: leg["utilization"] for leg in by_name[0]["legs"]}
    assert utilizations["upper 3"] is None and utilizations["upper 2"] == by_name[0]["legs"][0]["after"] / 90e3
    assert all(leg["utilization"] is None for leg in balance.losses()[0]["legs"])
    errors = dict.fromkeys(balance.legs, "0 mm") | {"upper 1": "3 mm", "upper 3": Length("3 mm")}
    assert balance.order(errors) == balance.order([errors[leg] for leg in balance.legs])


def test_an_unstable_balance_refuses_what_it_cannot_answer():
    position = {"/load/center_of_gravity/position": ["0 m", "0 m", "-2.0 m"]}
    balance = Lift.demo("frame-tall-item").with_(position).hang()
    assert balance.certificate.state == "unstable"
    for question in (balance.derivatives, balance.tension_matrix, balance.parameters, balance.margins, balance.losses):
        with pytest.raises(rigging_py.UnsupportedError):
            question()
    with pytest.raises(rigging_py.UnsupportedError):
        balance.periods(moments_kg_m2=[(7e3, 7e3, 3e3), (200, 200, 400)])
    assert balance.modes()[0]["stiffness"] < 0
    assert any("turn about the vertical" in motion["words"] for motion in balance.motions())


def test_a_lift_without_a_mass_does_not_hang(skid):
    with pytest.raises(rigging_py.MissingError) as caught:
        skid.with_({"/load/mass": None}).hang()
    assert caught.value.place == "/load/mass/value"


REFUSALS = [
    ("losses", {"allowed": {"leg E": "9 kN"}}, rigging_py.UnknownNameError, "/allowed"),
    ("losses", {"allowed": {"leg A": "0 kN"}}, rigging_py.OutOfDomainError, "/allowed/0"),
    ("losses", {"allowed": {"leg A": 9e3}}, rigging_py.BareNumberError, "/allowed/leg A"),
    ("losses", {"allowed": {"leg A": "9 t"}}, rigging_py.WrongUnitError, "/allowed/leg A"),
    ("losses", {"allowed": ["9 kN"] * 3}, rigging_py.InconsistentError, "/allowed"),
    ("losses", {"allowed": ["9 kN", "9 kN", "9 m", None]}, rigging_py.WrongUnitError, "/allowed/2"),
    ("order", {"errors": {"leg A": "1 mm"}}, rigging_py.MissingError, "/errors/leg B"),
    ("order", {"errors": ["1 mm"] * 3}, rigging_py.InconsistentError, "/errors"),
    ("order", {"errors": [1, 2, 3, 4]}, rigging_py.BareNumberError, "/errors/0"),
    ("order", {"errors": ["1 mm"] * 4, "tolerance": 2.0}, rigging_py.OutOfDomainError, ""),
    ("self_stress", {"tolerance": math.nan}, rigging_py.OutOfDomainError, ""),
    ("periods", {"moments_kg_m2": [(1, 1, 3)]}, rigging_py.InconsistentError, "/inertias/0"),
    ("periods", {"moments_kg_m2": [(-1, 1, 1)]}, rigging_py.OutOfDomainError, "/inertias/0"),
    ("periods", {"moments_kg_m2": [(1, 1, math.nan)]}, rigging_py.OutOfDomainError, "/inertias/0"),
    ("periods", {"moments_kg_m2": []}, rigging_py.InconsistentError, "/inertias"),
    ("periods", {"moments_kg_m2": [(4, 5, 6)], "products_kg_m2": []}, rigging_py.InconsistentError, "/products_kg_m2"),
]
SHAKEN = {"name": "waves", "shortest": "3 s", "longest": "9 s", "source": "invented"}
EXCITATIONS = [
    ({"shortest": "9 s", "longest": "3 s"}, rigging_py.OutOfDomainError, "/excitations/0"),
    ({"shortest": 3}, rigging_py.BareNumberError, "/excitations/0/shortest"),
    ({"longest": "9 m"}, rigging_py.WrongUnitError, "/excitations/0/longest"),
    ({"sorce": "x"}, rigging_py.UnknownKeyError, "/excitations/0/sorce"),
    ({"source": None}, rigging_py.MissingError, "/excitations/0/source"),
]


@pytest.mark.parametrize(("question", "arguments", "error", "place"), REFUSALS)
def test_refusals_say_where(skid, question, arguments, error, place):
    with pytest.raises(error) as caught:
        getattr(skid.hang(), question)(**arguments)
    assert caught.value.place.startswith(place) and bool(caught.value.place) == bool(place)


@pytest.mark.parametrize(("change", "error", "place"), EXCITATIONS)
def test_excitations_that_are_refused(skid, change, error, place):
    entry = {key: value for key, value in (SHAKEN | change).items() if value is not None}
    with pytest.raises(error) as caught:
        skid.hang().periods(moments_kg_m2=[(15e3, 50e3, 55e3)], excitations=[entry])
    assert caught.value.place.startswith(place)


@pytest.mark.parametrize(
    ("question", "arguments"),
    [
        ("losses", {"allowed": "9 kN"}),
        ("losses", {"allowed": {"9 kN"}}),
        ("losses", {"allowed": 3}),
        ("order", {"errors": None}),
        ("order", {"errors": [np.array([1.0])] * 4}),
        ("modes", {"count": -1}),
        ("modes", {"count": 1.5}),
        ("periods", {"moments_kg_m2": [("4", 5, 6)]}),
        ("periods", {"moments_kg_m2": [(True, 5, 6)]}),
        ("periods", {"moments_kg_m2": [(4, 5)]}),
        ("periods", {"moments_kg_m2": (4, 5, 6)}),
        ("periods", {"moments_kg_m2": [(4, 5, 6)], "excitations": ["waves"]}),
        ("periods", {"moments_kg_m2": [(4, 5, 6)], "excitations": [{**SHAKEN, "name": 3}]}),
    ],
)
def test_what_is_of_no_use_is_a_type_error(skid, question, arguments):
    with pytest.raises((TypeError, OverflowError)):
        getattr(skid.hang(), question)(**arguments)


def test_a_unit_is_never_stripped(skid):
    unit = pint.UnitRegistry()
    for moments in ([unit.Quantity([4.0, 5.0, 6.0], "kg*m^2")], unit.Quantity([[4.0, 5.0, 6.0]], "kg*m^2")):
        with pytest.raises(TypeError, match="moments_kg_m2"):
            skid.hang().periods(moments_kg_m2=moments)
    plain = skid.hang().periods(moments_kg_m2=np.array([[15e3, 50e3, 55e3]]))
    assert plain == skid.hang().periods(moments_kg_m2=[(15e3, 50e3, 55e3)])
