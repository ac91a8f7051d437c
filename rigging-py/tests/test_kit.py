"""Searches for lifts that a sharing rule forgets, and maps of where it falls short."""

import json
import math

import matplotlib

matplotlib.use("agg")

import matplotlib.pyplot as plt
import numpy as np
import pytest

import rigging_py
from rigging_py import Lift, RuleSet, kit, plot
from rigging_py.sharing import SharingRule

TOLERANCE = {"number": "length_tolerances", "values": [0.0, 0.005, 0.01]}
STIFFNESS = {"number": "stiffnesses", "values": [1e6, 5e6]}


@pytest.fixture(autouse=True)
def no_figure_is_left():
    yield
    plt.close("all")


def own(forces, conservative=True):
    return SharingRule("own", "any", "note of the yard", conservative, forces)


def two_legs(set):
    return [set.weight_n / 2 / math.cos(angle) for angle in set.angles_from_vertical_rad()]


def test_an_own_rule_is_searched_as_the_one_built_in():
    mine = kit.refute(own(two_legs), legs=4)
    theirs = kit.refute("two legs carry all", legs=4)
    assert mine.refuted and mine.trials == theirs.trials < 1000
    # Cosines of the two languages may differ in the last bit.
    for key in ("changed", "longer", "center_moved", "leg", "outline"):
        assert mine.case[key] == theirs.case[key]
    assert mine.case["forces"] == pytest.approx(theirs.case["forces"], rel=1e-12)
    assert mine.case["short"] == pytest.approx(theirs.case["short"], abs=1e-12)
    assert kit.refute(own(two_legs), legs=4) == mine


def test_a_counter_example_is_a_lift():
    found = kit.refute("three legs carry all", legs=4, seed=5)
    case = found.case
    lift = Lift.from_json(case["document"])
    assert SharingRule.built_in("three legs carry all").share(lift) == case["forces"]
    assert lift.to_document()["notes"][0].startswith(f"leg {'ABCD'[case['leg']]} bears")
    assert lift.assess(RuleSet.built_in("us-general")).verdict == "cannot_conclude"
    # Hung where within its tolerances it hangs.
    document = lift.to_document()
    changes = {}
    for index, longer in enumerate(case["longer"]):
        value = rigging_py.Length(document["slings"][index]["length"]["value"]).si + longer
        changes[f"/slings/{index}/length/value"] = rigging_py.Length(value, "m")
    for axis, moved in enumerate(case["center_moved"]):
        value = rigging_py.Length(document["load"]["center_of_gravity"]["position"][axis]).si + moved
        changes[f"/load/center_of_gravity/position/{axis}"] = rigging_py.Length(value, "m")
    tensions = lift.with_(changes).solve().tensions_n
    assert tensions == pytest.approx(case["tensions"], rel=1e-6)


def test_the_search_starts_from_a_lift(skid):
    free = [
        {"number": "stiffnesses", "least": 4e6, "most": np.float64(12e6)},
        {"number": {"center_of_gravity": {"axis": 1}}, "least": -0.2, "most": 0.2},
    ]
    found = kit.refute("two legs carry all", lift=skid, free=free)
    assert found.refuted and {json.dumps(change["number"]) for change in found.case["changed"]} <= {
        json.dumps(item["number"]) for item in free
    }
    looked = found.record["looked"]
    assert [item["number"] for item in looked] == [item["number"] for item in free]
    assert all(item["least"] <= item["most"] for item in looked)


def test_what_is_not_refuted_tells_how_far_was_searched():
    much = own(lambda set: [100 * set.weight_n] * 4)
    told = []
    found = kit.refute(much, legs=4, trials=2000, progress=told.append)
    assert not found.refuted and found.largest < -10 and found.trials >= 2000
    assert found.case["short"] == found.largest and told == sorted(told) and told
    assert found.record["rule"]["name"] == "own"
    none = kit.refute("statics of one to three legs", legs=4, trials=200)
    assert none.case is None and none.largest is None and none.record["refusal"] and none.record["refused"] > 0


class Broken(Exception):
    pass


def raising(_):
    raise Broken("the rule itself")


def test_what_a_rule_raises_travels_out():
    with pytest.raises(Broken, match="the rule itself"):
        kit.refute(own(raising), legs=4)
    with pytest.raises(Broken):
        kit.survey([TOLERANCE], [own(raising)], legs=4)
    with pytest.raises(rigging_py.InconsistentError):
        kit.refute(own(lambda set: [1.0]), legs=4)
    with pytest.raises(Broken):
        kit.refute(own(lambda set: [100 * set.weight_n] * 4), legs=4, progress=raising)

    def refuses(set):
        raise rigging_py.OutOfDomainError("not here")

    assert kit.refute(own(refuses), legs=4, trials=50).record["refused"] > 0


def test_an_interrupt_ends_the_work():
    def interrupt(_):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        kit.refute(own(lambda set: [100 * set.weight_n] * 4), legs=4, trials=10**9, progress=interrupt)


@pytest.mark.parametrize(
    ("arguments", "error", "place"),
    [
        ({}, rigging_py.MissingError, "/legs"),
        ({"legs": 9}, rigging_py.OutOfDomainError, "/legs"),
        ({"legs": -1}, rigging_py.RiggingError, "/legs"),
        ({"legs": 4, "trials": 0}, rigging_py.OutOfDomainError, "/trials"),
        ({"legs": 4, "least": 1.0}, rigging_py.OutOfDomainError, "/least"),
        ({"legs": 4, "free": [{"number": "mass", "least": 2.0, "most": 1.0}]}, rigging_py.OutOfDomainError, "/free/0/most"),
        ({"legs": 4, "free": [{"number": "heigth", "least": 0.0, "most": 1.0}]}, rigging_py.RiggingError, "/free/0/number"),
        ({"legs": 4, "free": [{"number": "mass", "least": 1.0}]}, rigging_py.MissingError, "/free/0/most"),
    ],
)
def test_what_is_no_search_is_refused_by_its_place(arguments, error, place):
    with pytest.raises(error) as caught:
        kit.refute("equal share by angle", **arguments)
    assert caught.value.place == place


def test_a_lift_needs_what_is_free(skid):
    with pytest.raises(rigging_py.MissingError) as caught:
        kit.refute("equal share by angle", lift=skid)
    assert caught.value.place == "/free"
    with pytest.raises(rigging_py.UnknownNameError, match="equal share by angle"):
        kit.refute("equal share by angel", legs=4)


def test_a_map_is_the_comparison_of_each_lift(skid):
    found = kit.survey([STIFFNESS, TOLERANCE], ["two legs carry all", own(two_legs)], lift=skid)
    assert found.worst_n.shape == (2, 3) and found.short.shape == (2, 2, 3)
    assert np.allclose(found.short[0], found.short[1], rtol=0, atol=1e-12)
    for row, ea in enumerate(STIFFNESS["values"]):
        for column, off in enumerate(TOLERANCE["values"]):
            changes = {f"/slings/{index}/stiffness/law/ea": rigging_py.Force(ea, "N") for index in range(4)}
            changes |= {f"/slings/{index}/length/tolerance": rigging_py.Length(off, "m") for index in range(4)}
            comparison = skid.with_(changes).compare_sharing(rules=[SharingRule.built_in("two legs carry all")])
            assert found.worst_n[row, column] == pytest.approx(max(comparison["worst"]), rel=1e-9)
            (compared,) = comparison["rules"]
            short = compared["answer"]["speaks"]["shortest"]["share"]
            assert found.short[0, row, column] == pytest.approx(short, abs=1e-9)
    assert [axis.unit for axis in found.axes] == ["N", "m"]
    everything = kit.survey([TOLERANCE], legs=4)
    assert [rule["name"] for rule in everything.rules] == list(SharingRule.names())
    refused = list(SharingRule.names()).index("statics of one to three legs")
    assert np.isnan(everything.short[refused]).all() and np.isfinite(everything.worst_n).all()
    with pytest.raises(rigging_py.OutOfDomainError) as caught:
        kit.survey([{"number": "mass", "values": []}], legs=4)
    assert caught.value.place == "/axes/0/values"


def test_pictures_show_the_numbers(skid):
    comparison = skid.compare_sharing()
    ax = plt.figure().add_subplot()
    assert plot.forces(comparison, ax=ax) is ax
    assert [text.get_text() for text in ax.get_xticklabels()] == comparison["legs"]
    names = [text.get_text() for text in ax.legend().get_texts()]
    for compared in comparison["rules"]:
        name = compared["rule"]["name"]
        assert (name in names) == ("speaks" in compared["answer"]) and any(name in text for text in names)
    (two,) = [line for line in ax.lines if line.get_label() == "two legs carry all"]
    (speaks,) = [c["answer"]["speaks"] for c in comparison["rules"] if c["rule"]["name"] == "two legs carry all"]
    assert np.allclose(np.array(two.get_ydata()) * 1e3, speaks["forces"])

    found = kit.survey([STIFFNESS, TOLERANCE], ["three legs carry all"], legs=4)
    ax = plot.short(found)
    (mesh,) = ax.collections[:1]
    assert np.allclose(mesh.get_array().reshape(2, 3), 100 * found.short[0])
    assert ax.get_xlabel() == "tolerance of every length, m" and ax.get_ylabel() == "EA of every leg, N"
    with pytest.raises(ValueError, match="two axes"):
        plot.short(kit.survey([TOLERANCE], ["three legs carry all"], legs=4))
    three = kit.survey([STIFFNESS, TOLERANCE, {"number": "mass", "values": [5e3, 1e4]}], ["three legs carry all"], legs=4)
    (mesh,) = plot.short(three, at={0: 1}).collections[:1]
    assert np.allclose(mesh.get_array().reshape(3, 2), 100 * three.short[0, 1])
