"""Sharing rules as objects: built in, made of others, of the user's own, and as the source of forces of an assessment."""

import copy
import gc
import json
import math
import pickle
import threading
import traceback

import numpy as np
import pytest

import rigging_py
from rigging_py import Lift, RuleSet
from rigging_py.sharing import Bounds, LegSet, SharingRule

SKID = "generator-skid-round-edge"


@pytest.fixture
def skid():
    return Lift.demo(SKID)


@pytest.fixture
def us():
    return RuleSet.built_in("us-general")


def own(forces, conservative=False):
    return SharingRule("own", "any set", "note of the yard", conservative, forces)


def by_hand(legs):
    """Two legs carry all, as the rule that is built in."""
    return [legs.weight_n / 2.0 / math.cos(angle) for angle in legs.angles_from_vertical_rad()]


def test_those_built_in_are_found_by_name(skid):
    names = SharingRule.names()
    assert len(names) == 10 and len(set(names)) == 10
    compared = skid.compare_sharing(rules=[SharingRule.built_in(name) for name in names])
    assert [one["rule"]["name"] for one in compared["rules"]] == list(names)
    plain = skid.compare_sharing()
    assert compared["rules"][: len(plain["rules"])] == plain["rules"]
    with pytest.raises(rigging_py.UnknownNameError, match="two legs carry all"):
        SharingRule.built_in("two legs carry al")
    assert skid.compare_sharing(rules=[])["rules"] == []


def test_an_own_rule_has_the_bits_of_the_one_built_in(skid, us):
    built_in, mine = SharingRule.built_in("two legs carry all"), own(by_hand)
    assert mine.share(skid) == built_in.share(skid)
    through = [one["answer"]["speaks"]["forces"] for one in skid.compare_sharing(rules=[mine, built_in])["rules"]]
    assert through[0] == through[1]
    one, other = (skid.assess(us, forces=rule) for rule in (mine, built_in))
    assert [leg["taken_n"] for leg in one.legs] == [leg["taken_n"] for leg in other.legs]
    assert one.verdict == other.verdict == "fail"
    assert one.forces["rule"]["name"] == "own" and other.forces["rule"]["conservative"] is True
    # A factor on an own rule is one on that built in.
    skewed = [rule.skewed(1.25, "matched pairs", "note of the yard").share(skid) for rule in (mine, built_in)]
    assert skewed[0] == skewed[1] == [1.25 * force for force in mine.share(skid)]
    assert mine.at_angle(0.48).share(skid) == built_in.at_angle(0.48).share(skid)
    compared = skid.compare_sharing(0.48, rules=[mine])["rules"][0]["answer"]["speaks"]["forces"]
    assert compared == mine.at_angle(0.48).share(skid)


MATCHED_PAIRS = {
    "rope lay": "single-laid",
    "sling pairing": "matched pairs",
    "longer slings on one diagonal": "no",
    "sling length tolerance in diameters": 0.03,
    "pair length difference in diameters": 0.03,
    "mass per length": (5.8, "kg/m"),
    "utilization with the skew factor": 0.85,
}


def test_a_skew_factor_that_a_rule_set_gives():
    even, marine = SharingRule.built_in("equal share by angle"), RuleSet.built_in("marine-0027-nd-2016")
    steel, fiber = Lift.demo("tool-skid-offshore"), Lift.demo("tool-skid-offshore-hmpe")
    rule = even.skewed_by(marine, steel, MATCHED_PAIRS)
    assert rule.share(steel) == [1.25 * force for force in even.share(steel)]
    assert "5.6.12" in rule.source and "matched pairs" in rule.domain
    assessment = steel.assess(marine, forces=rule)
    # 196.0 kN * 1.3 * 1.3 * 1.12 * 1.5 / 990 kN = 0.562: with the splice factor less than the 0.6 of 5.6.12.
    assert assessment.verdict == "cannot_conclude"
    assert [round(leg["taken_n"] / 1e3, 1) for leg in assessment.legs] == [196.0] * 4
    assert pickle.loads(pickle.dumps(rule)) == rule == copy.copy(rule)
    assert rule != even.skewed_by(marine, steel, MATCHED_PAIRS | {"mass per length": (5.7, "kg/m")})
    with pytest.raises(rigging_py.UnsupportedError, match="compute the skew load"):
        even.skewed_by(marine, fiber, MATCHED_PAIRS)
    with pytest.raises(rigging_py.UnsupportedError, match="another set of legs"):
        rule.share(fiber)
    with pytest.raises(rigging_py.UnsupportedError, match="2.0 d"):
        even.skewed_by(marine, steel, MATCHED_PAIRS | {"sling length tolerance in diameters": 2.1})
    with pytest.raises(rigging_py.MissingError):
        even.skewed_by(marine, steel, {})
    with pytest.raises(rigging_py.UnknownNameError, match="rope lay"):
        even.skewed_by(marine, steel, MATCHED_PAIRS | {"rope lai": "single-laid"})


def test_a_leg_factor_that_a_rule_set_gives():
    chain_tables, skid = RuleSet.built_in("de-dguv-209-021"), Lift.demo("generator-skid")
    document = json.loads(skid.to_json())
    for sling in document["slings"]:
        for key in ("termination", "least_edge_radius", "width", "thickness"):
            sling.pop(key, None)
        sling |= {"construction": "chain", "material": "alloy steel", "grade": 8, "diameter": "16 mm", "parts": 1}
    chain = Lift.from_json(json.dumps(document))
    rule = SharingRule.leg_factor_of(chain_tables, chain, {})
    # Legs within 45 degrees of vertical: 2.1.
    weight = 18500.0 * 9.80665
    assert rule.share(chain) == pytest.approx([weight / 2.1] * 4, rel=1e-12)
    assert rule.name == "leg factor 2.1 by de-dguv-209-021" and rule.conservative
    assert pickle.loads(pickle.dumps(rule)) == rule == copy.copy(rule)
    with pytest.raises(rigging_py.UnsupportedError, match="another set of legs"):
        rule.share(skid)
    with pytest.raises(rigging_py.UnsupportedError, match="leg factor"):
        SharingRule.leg_factor_of(chain_tables, skid, {})
    with pytest.raises(rigging_py.MissingError, match="utilization"):
        SharingRule.leg_factor_of(RuleSet.built_in("eu-en-818-6"), chain, {})


def test_the_category_of_a_lift():
    vessel = Lift.demo("vessel-two-cranes")
    category = vessel.assess(RuleSet.built_in("us-em-385-1-1")).category
    assert category["word"] == "critical"
    assert [one["state"] for one in category["triggers"]].count("met") == 1
    assert vessel.assess(RuleSet.built_in("us-general")).category is None


def test_what_a_rule_is_shown(skid):
    seen = []

    def look(legs):
        seen.append(legs)
        return legs.elastic()

    forces = own(look).share(skid)
    legs = seen[0]
    assert isinstance(legs, LegSet) and len(legs) == 4
    assert legs.weight_n == 18500.0 * 9.80665
    assert legs.center_of_gravity_m == (0.45, -0.12, 0.9)
    assert [leg.name for leg in legs.legs] == list(skid.legs)
    assert legs.legs[1].point_m == (2.6, -1.05, 0.0) and legs.legs[1].length_m == 6.0
    assert legs.length_tolerances_m() == [0.03] * 4
    assert len(legs.center_of_gravity_tolerance_m()) == 3
    assert forces == list(skid.solve().tensions_n)
    with pytest.raises(AttributeError):
        legs.weight_n = 1.0
    assert "4 legs" in repr(legs) and "leg B" in repr(legs.legs[1])


def test_a_rule_hangs_on_what_is_known(skid, us):
    document = skid.to_document()
    document["slings"][2]["stiffness"] = "unknown"
    soft = Lift.from_document(document)
    answer = own(lambda legs: legs.elastic()).share
    with pytest.raises(rigging_py.MissingError, match="/slings/2/stiffness") as missing:
        answer(soft)
    assert str(missing.value).count("is missing") == 1
    # It is not concluded upon where nothing can be held against it.
    assessment = soft.assess(us, SharingRule.built_in("two legs carry all"))
    cover = next(one for one in assessment.findings if one["code"] == "sharing_rule")
    assert assessment.verdict == cover["verdict"] == "cannot_conclude"
    assert cover["missing"][0]["place"] == "/slings/2/stiffness"


@pytest.mark.parametrize(
    ("answer", "error", "place"),
    [
        ([1.0, math.nan, 1.0, 1.0], rigging_py.OutOfDomainError, "/legs/1"),
        ([1.0, 1.0, math.inf, 1.0], rigging_py.OutOfDomainError, "/legs/2"),
        ([1.0, 1.0, 1.0, -1.0], rigging_py.OutOfDomainError, "/legs/3"),
        ([1.0] * 3, rigging_py.InconsistentError, "/legs"),
        ([1.0] * 5, rigging_py.InconsistentError, "/legs"),
        ([], rigging_py.InconsistentError, "/legs"),
        ([1.0, "2", 1.0, 1.0], rigging_py.MalformedError, "/legs/1"),
        ([1.0, 1.0, None, 1.0], rigging_py.MalformedError, "/legs/2"),
        ([True, 1.0, 1.0, 1.0], rigging_py.MalformedError, "/legs/0"),
        ([1.0, 1.0, 1.0, 1j], rigging_py.MalformedError, "/legs/3"),
        (None, rigging_py.MalformedError, "/legs"),
        (7.0, rigging_py.MalformedError, "/legs"),
    ],
)
def test_what_it_answers_is_looked_at(skid, us, answer, error, place):
    rule = own(lambda legs: answer)
    for wrapped in (rule, rule.skewed(1.1, "any", "note"), rule.at_angle(0.4)):
        for ask in (
            lambda: wrapped.share(skid),
            lambda: skid.compare_sharing(rules=[SharingRule.built_in("two legs carry all"), wrapped]),
            lambda: skid.assess(us, wrapped),
        ):
            with pytest.raises(error, match='"own"') as found:
                ask()
            assert found.value.place == place


def test_what_counts_as_a_number(skid):
    for answer in (np.full(4, 5e4), np.full(4, 5e4, dtype=np.float32), (50000, 5e4, np.float64(5e4), 5e4)):
        assert own(lambda legs: answer).share(skid) == [5e4] * 4  # noqa: B023
    assert own(lambda legs: (5e4 for _ in legs.legs)).share(skid) == [5e4] * 4


class Broken(Exception):
    pass


def fails(legs):
    raise Broken("on purpose")


def test_an_exception_travels_out_unchanged(skid, us):
    rule = own(fails)
    calls = []

    def counted(legs):
        calls.append(1)
        return [1e5] * 4

    for ask in (
        lambda: rule.share(skid),
        lambda: rule.skewed(1.1, "any", "note").share(skid),
        lambda: skid.compare_sharing(rules=[rule, own(counted)]),
        lambda: skid.assess(us, rule),
    ):
        with pytest.raises(Broken, match="^on purpose$") as found:
            ask()
        assert "in fails" in "".join(traceback.format_tb(found.value.__traceback__))
    # What comes after an exception is not asked.
    assert calls == []

    def interrupted(legs):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        own(interrupted).share(skid)
    # Another error of the package is no refusal.
    def inconsistent(legs):
        raise rigging_py.InconsistentError("two plans differ", "/legs")

    with pytest.raises(rigging_py.InconsistentError, match="two plans differ"):
        skid.compare_sharing(rules=[own(inconsistent)])


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (rigging_py.OutOfDomainError("the span is 9 m; it must be below 5 m", "/legs"), "unsupported"),
        (rigging_py.MissingError("the span of the frame", "/load"), "missing"),
        (rigging_py.UnsupportedError("frames", ""), "unsupported"),
    ],
)
def test_a_refusal_is_told(skid, us, error, code):
    def refuses(legs):
        raise error

    rule = own(refuses)
    refusal = skid.compare_sharing(rules=[rule])["rules"][0]["answer"]["refuses"]
    assert refusal["code"] == code and error.reason in refusal["why"]
    assessment = skid.assess(us, rule)
    cover = next(one for one in assessment.findings if one["code"] == "sharing_rule")
    assert assessment.verdict == cover["verdict"] == "cannot_conclude"
    assert error.reason in cover["text"] and '"own" refuses' in cover["text"]
    assert not any(one["code"] == "sling_strength" for one in assessment.findings)
    with pytest.raises(type(error) if code == "missing" else rigging_py.UnsupportedError, match="span|frames"):
        rule.share(skid)


def test_the_source_of_forces(skid, us):
    plain, bounded = skid.assess(us), skid.assess(us, forces=Bounds())
    assert plain.forces == {"source": "at_vertices"}
    assert bounded.forces == {"source": "bounds", "gap": 0.01, "parts": 2000}
    assert plain.verdict == bounded.verdict == "pass"
    assert all(leg["taken_n"] is None for leg in plain.legs)
    for leg in bounded.legs:
        assert leg["worst_n"] <= leg["taken_n"] <= 1.0101 * leg["worst_n"]
    assert "bound kN" in bounded._repr_html_() and "bound kN" not in plain._repr_html_()
    assert "forces: bounds" in bounded._repr_html_() and "bound kN" in bounded.report()
    assert Lift.demo("generator-skid-stiff-slings").assess(us, Bounds()).verdict == "fail"
    with pytest.raises(rigging_py.OutOfDomainError, match="/gap"):
        skid.assess(us, Bounds(gap=0.0))
    for wrong in ("bounds", 1.0, by_hand):
        with pytest.raises(TypeError):
            skid.assess(us, forces=wrong)


def test_a_record_by_source_fits_its_schema(skid, us, reference):
    jsonschema = pytest.importorskip("jsonschema")
    path = reference.parents[1] / "rigging-core" / "schema" / "assessment.schema.json"
    schema = json.loads(path.read_text(encoding="utf-8"))
    for forces in (None, Bounds(), own(by_hand)):
        record = json.loads(skid.assess(us, forces).to_json())
        jsonschema.Draft202012Validator(schema).validate(record)
        assert ("forces" in record) == (forces is not None)


def test_they_are_objects_like_any_other(skid, us):
    two = SharingRule.built_in("two legs carry all")
    mine = own(by_hand)
    rules = [two, mine, SharingRule.bounds(0.02, 500), mine.skewed(1.25, "pairs", "note"), two.at_angle(0.48)]
    for index, rule in enumerate(rules):
        for twin in (pickle.loads(pickle.dumps(rule)), copy.copy(rule), copy.deepcopy(rule)):
            assert twin == rule and hash(twin) == hash(rule)
        assert rule.share(skid) == pickle.loads(pickle.dumps(rule)).share(skid)
        assert [rule == other for other in rules] == [place == index for place in range(len(rules))]
        assessment = skid.assess(us, rule)
        assert pickle.loads(pickle.dumps(assessment)) == assessment
        assert assessment != skid.assess(us)
    for rule in (rules[0], rules[2], rules[4]):
        assert eval(repr(rule)) == rule
    assert eval(repr(Bounds(0.02, 7))) == Bounds(0.02, 7) and Bounds() != Bounds(0.02)
    assert hash(Bounds()) == hash(Bounds()) and pickle.loads(pickle.dumps(Bounds(0.1))) == Bounds(0.1)
    assert mine.name == "own" and mine.domain == "any set" and mine.source == "note of the yard [stated with the rule]"
    assert mine.conservative is False and two.conservative is True and two.at_angle(0.1).conservative is False
    gc.collect()


def test_what_is_no_rule():
    for index in range(3):
        texts = ["own", "any", "note"]
        texts[index] = " "
        with pytest.raises(rigging_py.MissingError):
            SharingRule(*texts, True, by_hand)
    with pytest.raises(TypeError):
        SharingRule("own", "any", "note", True, 7)
    with pytest.raises(TypeError):
        SharingRule("own", "any", "note", True)
    mine = own(by_hand)
    for factor in (0.99, math.nan, math.inf):
        with pytest.raises(rigging_py.OutOfDomainError):
            mine.skewed(factor, "any", "note")
    with pytest.raises(rigging_py.MissingError):
        mine.skewed(1.1, "", "note")
    for angle in (-0.1, 1.6, math.nan):
        with pytest.raises(rigging_py.OutOfDomainError):
            mine.at_angle(angle)
    with pytest.raises(TypeError):
        Lift.demo(SKID).compare_sharing(rules=[by_hand])


def test_threads_ask_one_rule(skid):
    rule, expected = own(by_hand), own(by_hand).share(skid)
    found = []
    threads = [threading.Thread(target=lambda: found.extend(rule.share(skid) for _ in range(50))) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(found) == 200 and all(one == expected for one in found)


def test_a_rule_may_ask_the_library_in_its_turn(skid, us):
    def nested(legs):
        assert skid.assess(us).verdict == "pass"
        return SharingRule.built_in("two legs carry all").share(skid)

    assert own(nested).share(skid) == own(by_hand).share(skid)
