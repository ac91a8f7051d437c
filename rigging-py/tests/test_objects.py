"""Lift, rule set, certificate and assessment as ordinary, immutable values."""

import copy
import json
import pickle

import pandas
import pytest

import rigging_py
from rigging_py import Length, Lift, RuleSet


@pytest.fixture
def objects(skid, us_general):
    return [skid, us_general, skid.solve(), skid.assess(us_general), skid.hang()]


def test_they_are_ordinary_values(objects):
    for thing in objects:
        for again in (copy.copy(thing), copy.deepcopy(thing), pickle.loads(pickle.dumps(thing))):
            assert type(again) is type(thing)
            assert again == thing
            assert hash(again) == hash(thing)
        assert thing != objects and thing != "text"
        with pytest.raises(AttributeError):
            thing.name = "other"
        with pytest.raises(TypeError):
            type("Derived", (type(thing),), {})
        with pytest.raises(TypeError):
            thing < thing
    assert len(set(objects)) == 5


def test_a_pickle_gives_the_same_bits(skid, us_general):
    again = pickle.loads(pickle.dumps(skid.assess(us_general)))
    assert again.to_json() == skid.assess(us_general).to_json()
    assert again.report() == skid.assess(us_general).report()


def test_the_nominal_equilibrium_of_an_assessment(skid, us_general):
    # The US set puts no factor on weight, the marine one does.
    nominal = skid.assess(us_general).nominal
    assert nominal.tensions_n == skid.solve().tensions_n
    assert nominal.rule_set == us_general and skid.solve().rule_set is None and nominal != skid.solve()
    marine = skid.assess(RuleSet.built_in("marine-0027-nd-2016"))
    assert sum(force[2] for force in marine.nominal.hooks_n) < 1.05 * sum(force[2] for force in nominal.hooks_n) < 0
    assert [leg["nominal_n"] for leg in marine.legs] == list(marine.nominal.tensions_n)
    for certificate in (nominal, marine.nominal):
        again = pickle.loads(pickle.dumps(certificate))
        assert again == certificate and again.to_json() == certificate.to_json()
    assert skid.with_({"/load/mass": None}).assess(us_general).nominal is None


def test_an_unstable_lift_says_where_it_would_go(skid):
    # The center of gravity just below the hook, plumb over the middle: a balance that any disturbance ends.
    changes = {"/load/center_of_gravity/position": ["0 m", "0 m", "5 m"]}
    certificate = skid.with_(changes).solve()
    assert certificate.state == "unstable" and certificate.negative_modes > 0
    destination = certificate.destination
    assert destination is not None and destination.destination is None
    again = pickle.loads(pickle.dumps(destination))
    assert again == destination and again.to_json() == destination.to_json()


def test_what_would_change_the_verdict(skid, us_general):
    passing = skid.assess(us_general).remedy
    assert passing["kind"] == "holds" and passing["missing"] == [] and passing["text"] is None
    assert 0.043 <= passing["length_tolerance_m"] < 0.044
    failing = Lift.demo("generator-skid-stiff-slings").assess(us_general).remedy
    assert failing["kind"] == "passes" and 0 < failing["length_tolerance_m"] < 0.03
    lacking = Lift.demo("generator-skid").assess(us_general).remedy
    assert lacking["kind"] == "add" and lacking["capacity_n"] is None
    assert [missing["place"] for missing in lacking["missing"]] == ["/legs/1/contacts/0/edge_radius"]
    record = json.loads(skid.assess(us_general).report_json())
    assert record["remedy"]["holds"]["length_tolerance"] == passing["length_tolerance_m"]
    assert record["assessment_hash"] == skid.assess(us_general).content_hash


def test_different_lifts_differ(skid, us_general):
    other = skid.with_({"/slings/0/length/tolerance": "31 mm"})
    assert other != skid
    assert other.content_hash != skid.content_hash
    assert other.assess(us_general) != skid.assess(us_general)
    assert skid.assess(RuleSet.built_in("marine-0027-nd-2016")) != skid.assess(us_general)


def test_a_rule_set_of_ones_own(us_general):
    text = """
format = 1
name = "house"
title = "House rules"
edition = "2"
status = "superseded"
superseded_by = "House rules 3"
[[source]]
id = "h"
document = "House rules"
standing = "stated"
[[rule]]
answers = "applies to operation"
name = "all"
source = "h"
clause = "1"
relation = "does not apply"
why = "an example"
when = { operation = "upending" }
"""
    own = RuleSet.from_toml(text)
    assert (own.name, own.title, own.edition) == ("house", "House rules", "2")
    assert (own.status, own.superseded_by) == ("superseded", "House rules 3")
    again = pickle.loads(pickle.dumps(own))
    assert again == own and hash(again) == hash(own) and again.content_hash == own.content_hash
    # Layout and comments do not matter.
    assert RuleSet.from_toml("# remark\n" + text) == own
    assert own != us_general
    with pytest.raises(rigging_py.UnknownKeyError, match='"edition"'):
        RuleSet.from_toml(text.replace("edition", "editon"))
    with pytest.raises(rigging_py.UnknownNameError, match="us-general"):
        RuleSet.built_in("us-genral")


def test_a_pickled_rule_set_with_another_content_is_refused():
    from rigging_py import _native

    with pytest.raises(rigging_py.InconsistentError):
        _native._built_in("us-general", "0" * 64)


def test_findings_are_records(skid, us_general):
    assessment = skid.assess(us_general)
    table = pandas.DataFrame(assessment.findings)
    assert list(table.columns) == [
        "code", "verdict", "severity", "stance", "item", "quantity", "demand", "capacity", "utilization", "unit", "clause",
        "place", "text", "missing", "assumptions",
    ]  # fmt: skip
    assert len(table) == len(assessment.findings) > 10
    assert assessment.findings[0] == assessment.governing
    strengths = table[table["code"] == "sling_strength"]
    assert len(strengths) == 4
    assert (strengths["demand"] / strengths["capacity"] == strengths["utilization"]).all()
    assert set(strengths["unit"]) == {"N"}
    # A record is a copy: what is done to it does not come back.
    assessment.findings[0]["verdict"] = "changed"
    assert assessment.findings[0]["verdict"] == assessment.governing["verdict"] != "changed"


def test_chains_are_nested_records(skid, us_general):
    assessment = skid.assess(us_general)
    assert len(assessment.chains) == len(assessment.findings)
    for finding, chain in zip(assessment.findings, assessment.chains, strict=True):
        for side in ("demand", "capacity"):
            if finding[side] is None:
                assert chain[side] is None
                continue
            steps = chain[side]["steps"]
            value = steps[-1]["result"] if steps else chain[side]["base"]["value"]
            assert value == finding[side]
            assert chain[side]["base"]["source"]["document"]


def test_the_record_is_json(skid, us_general):
    record = json.loads(skid.assess(us_general).to_json())
    assert record["verdict"] == "pass"
    assert record["lift_hash"] == skid.content_hash
    assert record["rule_set"]["hash"] == us_general.content_hash
    tensions = [member["tension"] for member in json.loads(skid.solve().to_json())["members"]]
    assert tuple(tensions) == skid.solve().tensions_n


def test_the_notebook_shows_tables(skid, us_general):
    assert "<td>leg A</td>" in skid._repr_html_()
    assert "<td>54.21</td>" in skid.solve()._repr_html_()
    shown = skid.assess(us_general)._repr_html_()
    assert "verdict: pass" in shown and "88.75" in shown
    hostile = skid.with_({"/name": "<script>&\"", "/legs/0/name": "<b>"})
    assert "<td>54.21</td>" in skid.hang()._repr_html_()
    for thing in (hostile, hostile.solve(), hostile.hang(), hostile.assess(us_general)):
        assert "<script" not in thing._repr_html_() and "<b>" not in thing._repr_html_()
        assert "&lt;script&gt;&amp;&quot;" in thing._repr_html_()


def test_repr_evaluates_back(objects):
    for thing in objects:
        assert eval(repr(thing), vars(rigging_py)) == thing


def test_str_is_short(objects):
    lift, rules, *rest = [str(thing) for thing in objects]
    assert rules.startswith("<RuleSet 'us-general' ") and len(rules) < 100
    assert [lift, *rest] == [
        "<Lift 'Generator skid GS-4, yard Y4': 4 legs>",
        "<Certificate stable: 54.205, 69.116, 47.606, 32.641 kN>",
        "<Assessment of 'Generator skid GS-4, yard Y4' under 'us-general': pass>",
        "<Balance stable: 4 legs, 1 body, 1 hook>",
    ]


def test_a_file_that_is_not_there_or_not_text(tmp_path, lifts):
    with pytest.raises(FileNotFoundError) as missing:
        Lift.from_file(tmp_path / "no.json")
    assert missing.value.filename == tmp_path / "no.json"
    with pytest.raises(OSError):
        Lift.from_file(tmp_path)
    path = tmp_path / "latin.json"
    path.write_bytes(b'{"name": "\xe9"}')
    with pytest.raises(rigging_py.MalformedError, match="UTF-8 after byte 10") as caught:
        Lift.from_file(path)
    assert caught.value.__notes__ == [f"in the file {path}"]
    assert Lift.from_file(str(lifts / "generator-skid.json")) == Lift.demo("generator-skid")


def test_demos_are_the_files(lifts):
    for name in Lift.demos():
        assert Lift.demo(name) == Lift.from_file(lifts / f"{name}.json")
    assert len(Lift.demos()) == 19
    with pytest.raises(rigging_py.UnknownNameError, match='"generator-skid"'):
        Lift.demo("generator-skit")


def test_quantities_enter_a_document(skid):
    document = skid.to_document()
    assert Lift.from_document(document) == skid
    document["slings"][0]["length"]["value"] = Length("6.000 m")
    assert Lift.from_document(document).to_document()["slings"][0]["length"]["value"] == "6 m"
