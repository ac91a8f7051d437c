"""The property-test kit: lifts that are drawn, invariants that are kept and broken, and what a failing test shrinks to."""

import json
import subprocess
import sys

import pytest
from hypothesis import find, given, settings
from hypothesis import strategies as st

from rigging_py import InconsistentError, Lift, OutOfDomainError, RuleSet, testing
from rigging_py.testing import _invariants

FAMILIES = ["near_line", "ring", "skid", "slack_prone", "tall", "tandem", "tier"]
LEAST_STABLE = {"near_line": 0.8, "ring": 0.8, "skid": 0.8, "slack_prone": 0.8, "tall": 0.3, "tandem": 0.8, "tier": 0.8}
REPEATABLE = settings(derandomize=True, database=None, deadline=None)


@pytest.mark.parametrize("family", FAMILIES)
def test_every_document_of_a_family_is_a_lift_and_most_of_them_hang(family):
    states = []

    @settings(REPEATABLE, max_examples=200)
    @given(getattr(testing, family)())
    def look(document):
        lift = Lift.from_document(document)
        assert Lift.from_document(lift.to_document()) == lift
        states.append(lift.solve().state)

    look()
    stable = states.count("stable") / len(states)
    print(f"{family}: {len(states)} ran, 0 skipped, {stable:.2f} stable")
    assert len(states) >= 200 and stable >= LEAST_STABLE[family]


@settings(REPEATABLE, max_examples=60)
@given(st.one_of(testing.outlines(), testing.tandem(), testing.tier()), st.floats(-7, 7), st.randoms(use_true_random=False))
def test_balances_keep_their_invariants(document, angle, random):
    lift = Lift.from_document(document)
    order = list(range(len(document["legs"])))
    random.shuffle(order)
    for kept in [
        testing.balance(lift),
        testing.turn(lift, angle),
        testing.shift(lift, (1.0, -2.0, 3.0)),
        testing.mirror(lift),
        testing.relabel(lift, order),
        testing.scale_of_force(lift, 2.5),
        testing.scale_of_length(lift, 0.4),
        testing.more_mass(lift, 1.2),
        testing.round_trip(lift),
        testing.units(lift),
    ]:
        assert (kept.silent is None) == (kept.count > 0)
        assert kept.tolerance is None or kept.tolerance < 1e-6


def test_rows_of_a_batch_and_verdicts(us_general):
    skids = [Lift.demo("generator-skid"), Lift.demo("generator-skid-stiff-slings")]
    assert testing.batch_rows(skids) == testing.Kept(8, 0.0, 0.0, None)
    for items in ["slings", "fittings", "lift_points", "hooks", "all"]:
        assert testing.more_strength(skids[0], us_general, 1.3, items).count > 0
    with pytest.raises(OutOfDomainError, match="factor"):
        testing.more_strength(skids[0], us_general, 0.5)
    with pytest.raises(OutOfDomainError):
        testing.more_mass(skids[0], 0.5)
    with pytest.raises(InconsistentError, match="order"):
        testing.relabel(skids[0], [0, 0, 1, 2])


def test_silence_says_why():
    document = Lift.demo("generator-skid").to_document()
    document["load"]["center_of_gravity"]["position"][2] = "3.5 m"
    tall = Lift.from_document(document)
    kept = testing.mirror(tall)
    assert kept.count == 0 and kept.tolerance is None and kept.silent == "the balance is lost"


def test_a_violation_is_an_assertion_that_says_where(monkeypatch):
    number = {"found": 1.5, "expected": 1.0, "tolerance": 0.1, "unit": "N"}
    violation = {"invariant": "turn", "what": "tension of member 0", "place": "/members/0", "difference": {"number": number}}
    monkeypatch.setattr(_invariants._native, "_invariant", lambda *_: json.dumps({"violation": violation}))
    with pytest.raises(AssertionError, match=r"^/members/0: not kept: turn: tension of member 0: 1.5 N against 1.0 N") as caught:
        testing.turn(Lift.demo("generator-skid"), 1.0)
    assert caught.value.difference == violation["difference"] and caught.value.place == "/members/0"


def height(document):
    return float(document["load"]["center_of_gravity"]["position"][2].split()[0])


def test_a_center_of_gravity_too_high_shrinks_to_a_plain_skid():
    # Smaller steps than the default, to the end.
    found = find(testing.skid(), lambda document: height(document) > 0.3, settings=settings(REPEATABLE, max_examples=2000))
    assert found["load"]["mass"]["value"] == "500.0 kg"
    assert 0.3 < height(found) < 0.4
    assert found["load"]["center_of_gravity"]["position"][:2] == ["0.0 m", "0.0 m"]
    assert set(found["load"]["center_of_gravity"]["tolerance"]) == {"0.0 m"}
    lengths = {sling["length"]["value"] for sling in found["slings"]}
    assert len(lengths) == 1 and {sling["length"]["tolerance"] for sling in found["slings"]} == {"0.0 m"}


def test_every_broken_document_is_refused_by_class_and_place():
    seen = set()

    @settings(REPEATABLE, max_examples=300)
    @given(testing.invalid())
    def look(broken):
        with pytest.raises(broken.error) as caught:
            Lift.from_json(broken.text)
        assert type(caught.value) is broken.error and caught.value.place == broken.place, broken.what
        seen.add(broken.what)

    look()
    assert len(seen) == 12


def test_every_rule_set_loads_and_every_sling_hangs():
    names = set()

    @settings(REPEATABLE, max_examples=100)
    @given(testing.rule_sets(), testing.slings())
    def look(text, sling):
        rules = RuleSet.from_toml(text)
        document = Lift.demo("generator-skid-round-edge").to_document()
        document["load"]["mass"]["value"] = "500 kg"
        for index in range(4):
            document["slings"][index] |= {key: sling[key] for key in ("construction", "material", "strength", "tag", "termination")}
            document["slings"][index]["stiffness"] = sling["stiffness"]
        lift = Lift.from_document(document)
        assert lift.solve().state == "stable"
        assert lift.assess(rules).verdict in ("pass", "fail", "cannot_conclude")
        names.update([sling["construction"], sling["material"], "superseded_by" in text, "edge" if "sharp edge" in text else "none"])

    look()
    assert names == {"roundsling", "web", "grommet", "polyester", "HMPE", "aramid", "polyamide", True, False, "edge", "none"}


def test_the_package_does_without_hypothesis_until_a_strategy_is_asked():
    code = (
        "import sys; sys.modules['hypothesis'] = None\n"
        "from rigging_py import Lift, testing\n"
        "testing.balance(Lift.demo('generator-skid'))\n"
        "try:\n    testing.ring()\nexcept ImportError:\n    print('asked')\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "asked"


def test_rule_sets_are_taken_as_they_are():
    kept = testing.more_strength(Lift.demo("generator-skid"), RuleSet.built_in("marine-0027-nd-2016"), 2.0)
    assert kept.silent is None
