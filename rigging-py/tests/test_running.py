"""Slings that pass over something: the answers that Rust gives, spans as legs, and what is refused or missing."""

import json

import pytest

from rigging_py import Lift, MissingError, RuleSet, UnsupportedError


@pytest.fixture
def table(reference):
    return json.loads((reference / "running.json").read_text(encoding="utf-8"))["lifts"]


def test_the_answers_are_those_of_rust(table):
    for name, expected in table.items():
        balance = Lift.demo(name).hang()
        assert balance.running() == json.loads(expected["running"])
        assert list(balance.legs) == list(balance.certificate.legs) == expected["legs"]
        assert list(balance.certificate.tensions_n) == expected["tensions"]
    assert len(table) == 3


def test_a_sheave_pulls_alike_on_both_sides():
    balance = Lift.demo("deck-equalizing-sheave").hang()
    tensions = dict(zip(balance.legs, balance.certificate.tensions_n, strict=True))
    one, other = (tensions[f"equalizing sling, span {number}"] for number in (1, 2))
    assert one == pytest.approx(other, rel=1e-9)
    assert "equalizing sling, span 2" in balance._repr_html_()
    assert "equalizing sling, span 2" in balance.certificate._repr_html_()


@pytest.mark.parametrize("question", ["derivatives", "margins", "losses", "motions", "modes", "self_stress", "others"])
def test_questions_that_take_lengths_for_fixed_are_refused(question):
    balance = Lift.demo("deck-equalizing-sheave").hang()
    with pytest.raises(UnsupportedError, match="equalizing sling") as caught:
        getattr(balance, question)()
    assert caught.value.place == "/legs/3/path"


def test_unknown_friction_is_asked_for():
    document = Lift.demo("pump-doubled-sling").to_document()
    del document["legs"][0]["path"][1]["over"]["friction"]
    lift = Lift.from_json(json.dumps(document))
    running = lift.hang().running()
    assert running["limits"] is None and running["legs"][0]["sliding"] == "unknown"
    assert running["legs"][0]["spans"][0]["largest"] is None
    assessment = lift.assess(RuleSet.built_in("us-general"))
    record = json.loads(assessment.to_json())
    assert record["verdict"] == "cannot_conclude"
    missing = [one["place"] for finding in record["findings"] for one in finding.get("missing", [])]
    assert "/legs/0/path/1/over/friction" in missing


def test_a_drawing_shows_every_span():
    matplotlib = pytest.importorskip("matplotlib")
    matplotlib.use("Agg")
    from rigging_py import plot

    certificate = Lift.demo("deck-equalizing-sheave").solve()
    axes = plot.elevation(certificate)
    texts = " ".join(text.get_text() for text in axes.texts)
    for name in certificate.legs:
        assert name in texts


def test_own_weight_pulls_more_above_and_less_below():
    found = Lift.demo("generator-skid").hang().own_weight()
    assert found["hooks"][0] == pytest.approx((18500 + 4 * 17) * 9.80665, rel=1e-9)
    for leg in found["legs"]:
        assert leg["lower"] < leg["tension"] < leg["upper"]
        assert 0 < leg["shortening"] < 1e-4 and abs(leg["sag"]) < 1
    document = Lift.demo("generator-skid").to_document()
    document["slings"][0]["mass"] = "unknown"
    with pytest.raises(MissingError) as caught:
        Lift.from_json(json.dumps(document)).hang().own_weight()
    assert caught.value.place == "/slings/0/mass"
