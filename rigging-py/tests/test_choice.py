"""One lift under several rule sets, where they part, and where single numbers come from."""

import json

import pytest

import rigging_py
from rigging_py import Lift, RuleSet

SKID = "generator-skid-round-edge"

YARD = """
format = 1
name = "yard-{edition}"
title = "Instruction of a yard"
edition = "{edition}"
status = "in force"
[[source]]
id = "i"
document = "Instruction 7"
edition = "{edition}"
standing = "stated"
[[rule]]
answers = "dynamic factor"
symbol = "k"
name = "dynamic factor of the crane"
relation = "constant"
value = {factor}
source = "i"
clause = "3.2"
"""


@pytest.fixture
def skid():
    return Lift.demo(SKID)


@pytest.fixture
def yards():
    return [RuleSet.from_toml(YARD.format(edition=edition, factor=factor)) for edition, factor in ((2024, 1.1), (2025, 1.15))]


def test_two_editions_part_at_the_number_that_changed(skid, yards):
    matrix = skid.matrix(yards)
    (parted,) = matrix.partings
    assert parted["between"] == ["yard-2024", "yard-2025"]
    first = parted["first"]
    assert first["part"] == "demand"
    assert [side["said"]["value"] for side in first["sides"]] == [1.1, 1.15]
    assert [side["source"]["clause"] for side in first["sides"]] == ["3.2", "3.2"]
    before, after = (skid.assess(rules) for rules in yards)
    assert before.partings(after)[0] == first
    assert before.partings(before) == []
    assert "yard-2024 and yard-2025 part at" in matrix.report()
    assert json.loads(matrix.to_json())["partings"][0]["first"] == first


def test_the_matrix_says_what_each_assessment_says(skid):
    sets = [RuleSet.built_in(name) for name in RuleSet.names()]
    matrix = skid.matrix(sets)
    assert matrix.verdicts == {rules.name: skid.assess(rules).verdict for rules in sets}
    for index, rules in enumerate(sets):
        told = [row["cells"][index] for row in matrix.rows if row["cells"][index] is not None]
        assert len(told) == len(skid.assess(rules).findings)
    table = matrix._repr_html_()
    assert all(name in table for name in RuleSet.names())
    assert "<script" not in table


def test_two_editions_of_one_name_keep_both_verdicts(skid):
    texts = [YARD.format(edition=2024, factor=factor) for factor in (1.1, 1.15)]
    next_one = YARD.format(edition=2025, factor=1.2).replace('name = "yard-2025"', 'name = "yard-2024"')
    old, changed, new = (RuleSet.from_toml(text) for text in (*texts, next_one))
    matrix = skid.matrix([old, new])
    assert list(matrix.verdicts) == ["yard-2024 (2024)", "yard-2024 (2025)"]
    assert matrix.partings[0]["between"] == list(matrix.verdicts)
    assert all(f"{label}: " in matrix.report() and label in repr(matrix) for label in matrix.verdicts)
    matrix = skid.matrix([old, changed])
    assert list(matrix.verdicts) == [f"yard-2024 (2024, {rules.content_hash[:8]})" for rules in (old, changed)]


def test_what_is_refused(skid, yards):
    with pytest.raises(rigging_py.InconsistentError):
        skid.matrix([])
    with pytest.raises(TypeError):
        skid.matrix(yards[0])
    with pytest.raises(TypeError):
        skid.matrix(["us-general"])
    other = Lift.demo("generator-skid")
    with pytest.raises(rigging_py.InconsistentError):
        skid.assess(yards[0]).partings(other.assess(yards[0]))


def numbers(record, pointer=""):
    if isinstance(record, dict):
        for key, value in record.items():
            yield from numbers(value, f"{pointer}/{key}")
    elif isinstance(record, list):
        for index, value in enumerate(record):
            yield from numbers(value, f"{pointer}/{index}")
    elif isinstance(record, (int, float)) and not isinstance(record, bool):
        yield pointer, record


def test_every_number_of_an_assessment_says_where_it_comes_from(skid, yards):
    assessment = skid.assess(yards[1])
    found = [item for item in numbers(json.loads(assessment.to_json())) if item[0] != "/format"]
    assert len(found) > 100
    for pointer, value in found:
        origin = assessment.origin(pointer)
        assert origin["value"] == value, pointer
        assert origin["source"]["document"], pointer
    compared = next(index for index, finding in enumerate(assessment.findings) if finding["utilization"] is not None)
    origin = assessment.origin(f"/findings/{compared}/utilization")
    demand, capacity = origin["from"]
    assert origin["value"] == demand["value"] / capacity["value"]
    assert "3.2" in assessment.origin_text("/legs/1/worst")


def test_a_pointer_that_leads_nowhere_is_told_what_there_is(skid, yards):
    assessment = skid.assess(yards[0])
    with pytest.raises(rigging_py.UnknownNameError, match="findings"):
        assessment.origin("/finding/0/utilization")
    with pytest.raises(rigging_py.MalformedError, match="/legs/0/worst") as refused:
        assessment.origin("/legs/99/worst")
    assert refused.value.place == "/legs/99/worst"
