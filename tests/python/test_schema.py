"""The committed schemas describe what is read and written."""

import json
import tomllib
from pathlib import Path

import jsonschema
import pytest

ROOT = Path(__file__).resolve().parents[2]
SCHEMAS = ROOT / "rigging-core" / "schema"
DEMOS = sorted((ROOT / "rigging-core" / "examples" / "lifts").glob("*.json"))


def schema(name):
    return json.loads((SCHEMAS / f"{name}.schema.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_demo_documents_fit_the_schema_of_a_lift(path):
    jsonschema.Draft202012Validator(schema("lift")).validate(json.loads(path.read_text(encoding="utf-8")))


def test_a_misspelled_key_does_not_fit():
    document = json.loads(DEMOS[0].read_text(encoding="utf-8"))
    document["slings"][0]["length"]["tolerence"] = "30 mm"
    assert list(jsonschema.Draft202012Validator(schema("lift")).iter_errors(document))


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_records_fit_their_schemas(path):
    from rigging_py import Lift, RuleSet

    lift = Lift.from_file(path)
    certificate = json.loads(lift.solve().to_json())
    jsonschema.Draft202012Validator(schema("certificate")).validate(certificate)
    assessment = json.loads(lift.assess(RuleSet.built_in("us-general")).to_json())
    jsonschema.Draft202012Validator(schema("assessment")).validate(assessment)


def test_a_comparison_of_sharing_rules_fits_its_schema():
    from rigging_py import Lift

    of_comparison = schema("comparison")
    jsonschema.Draft202012Validator.check_schema(of_comparison)
    validator = jsonschema.Draft202012Validator(of_comparison)
    comparison = Lift.demo("generator-skid").compare_sharing()
    validator.validate(comparison)
    assert list(validator.iter_errors({**comparison, "worst": None}))
    broken = {**comparison["rules"][0], "answer": {"speaks": {}}}
    assert list(validator.iter_errors({**comparison, "rules": [broken]}))


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_a_matrix_and_the_origins_of_its_numbers_fit_their_schemas(path):
    from rigging_py import Lift, RuleSet

    lift, sets = Lift.from_file(path), [RuleSet.built_in(name) for name in RuleSet.names()]
    of_choice, of_origin = schema("choice"), schema("origin")
    for one in (of_choice, of_origin):
        jsonschema.Draft202012Validator.check_schema(one)
    validator = jsonschema.Draft202012Validator(of_choice)
    assessments = [lift.assess(rules) for rules in sets]
    record = {"matrix": json.loads(lift.matrix(sets).to_json()), "partings": assessments[0].partings(assessments[1])}
    validator.validate(record)
    assert list(validator.iter_errors({"matrix": {**record["matrix"], "columns": None}}))
    validator = jsonschema.Draft202012Validator(of_origin)
    for assessment in assessments:
        for index, finding in enumerate(assessment.findings):
            if finding["utilization"] is not None:
                validator.validate(assessment.origin(f"/findings/{index}/utilization"))
    assert list(validator.iter_errors({"what": "a number"}))


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_answers_of_a_balance_fit_their_schema(path):
    from rigging_py import Lift

    balance = Lift.from_file(path).hang()
    of_balance = schema("balance")
    jsonschema.Draft202012Validator.check_schema(of_balance)
    validator = jsonschema.Draft202012Validator(of_balance)
    running = balance.running()
    validator.validate({"running": running})
    if running["legs"]:
        return  # the other questions are refused there
    inertias = [(5e3, 6e3, 7e3) for _ in balance.bodies]
    shaken = {"name": "waves", "shortest": "4 s", "longest": "12 s", "source": "invented"}
    answers = {
        "derivatives": balance.derivatives(),
        "margins": balance.margins(),
        "losses": balance.losses(allowed=["100 kN"] * len(balance.legs)),
        "motions": balance.motions(),
        "modes": balance.modes(),
        "self_stress": balance.self_stress(),
        "order": balance.order(["1 mm"] * len(balance.legs)),
        "periods": balance.periods(moments_kg_m2=inertias, excitations=[shaken]),
        "others": balance.others(),
        "own_weight": balance.own_weight(),
        "running": running,
    }
    if len(balance.bodies) == 1 and len(balance.hooks) == 1:
        small = ["5 mm"] * len(balance.legs)
        answers |= {
            "worst": balance.worst(stiffness=0.01, mass=0.02, lengths=small, parts=200),
            "common_tolerance": balance.common_tolerance(1.5, "10 mm", stiffness=0.0, mass=0.0, parts=200),
            "arrange": balance.arrange(["1 mm"] * len(balance.legs)),
        }
    under_one_hook = {"worst", "common_tolerance", "arrange"}
    validator.validate(answers)
    assert set(of_balance["properties"]) == {*answers, *under_one_hook, "period_inputs", "worst_inputs", "experiment_inputs"}
    # The schema sees what is wrong: keys that are missing, a value of another kind, an answer that is none.
    for question, broken in answers.items():
        record = (broken[0] if broken else {}) if isinstance(broken, list) else broken
        # The first may be one that may be absent; where all may, a key gets what it cannot be.
        less = dict(list(record.items())[2:]) or dict.fromkeys(record, [])
        assert list(validator.iter_errors({question: [less] if isinstance(broken, list) else less})), question
    assert list(validator.iter_errors({"answer": 1}))
    inputs = {"inertias": [{"moments": [5e3, 6e3, 7e3]}]}
    validator.validate({"period_inputs": inputs})
    assert list(validator.iter_errors({"period_inputs": {"inertias": [{"moments": [5e3, 6e3]}]}}))
    assert list(validator.iter_errors({"period_inputs": inputs | {"excitation": []}}))


def test_implied_indices_and_what_they_take_fit_their_schema():
    from rigging_py import Lift, RuleSet, _native

    of_indices = schema("reliability")
    jsonschema.Draft202012Validator.check_schema(of_indices)
    validator = jsonschema.Draft202012Validator(of_indices)
    experiment = {
        "stiffness": [0.0, 0.0, 0.0, 0.0],
        "mass": 0.0,
        "center_of_gravity": [0.0, 0.0, 0.0],
        "read_as": {"lengths": {"normal": {"deviations": 2.0}}},
        "seed": 7,
    }
    inputs = {"experiment": experiment, "strengths": [{"mean": 500e3, "variation": 0.08}] * 4, "rows": 1000}
    lift, rules = Lift.demo("generator-skid"), RuleSet.built_in("us-general")
    found = json.loads(_native._implied_indices(lift, rules, json.dumps(inputs)))
    validator.validate({"implied_indices": found, "reliability_inputs": inputs})
    assert len(found["legs"]) == 4
    # What cannot be measured may be unknown; what is wrong is seen.
    validator.validate({"reliability_inputs": {**inputs, "strengths": ["unknown"] * 4}})
    for broken in (
        {"implied_indices": {**found, "legs": [{**found["legs"][0], "index": "high"}]}},
        {"implied_indices": {"legs": found["legs"]}},
        {"reliability_inputs": {**inputs, "strengths": [None] * 4}},
        {"reliability_inputs": {**inputs, "row": 7}},
        {"reliability_inputs": {**inputs, "experiment": {**experiment, "read_as": {"lengths": "gaussian"}}}},
    ):
        assert list(validator.iter_errors(broken)), broken
    of_balance = jsonschema.Draft202012Validator(schema("balance"))
    of_balance.validate({"experiment_inputs": experiment})
    assert list(of_balance.iter_errors({"experiment_inputs": {**experiment, "seed": "seven"}}))
    assert list(of_balance.iter_errors({"experiment_inputs": {**experiment, "stiffness": 0.1}}))


RULES = ROOT / "rigging-core" / "rules"
RULE_FILES = sorted([*RULES.glob("*.toml"), *(RULES / "documents").glob("*.toml")])


@pytest.mark.parametrize("path", RULE_FILES, ids=lambda path: path.stem)
def test_the_rule_files_fit_their_schema(path):
    of_rules = schema("rules")
    jsonschema.Draft202012Validator.check_schema(of_rules)
    validator = jsonschema.Draft202012Validator(of_rules)
    rules = tomllib.loads(path.read_text(encoding="utf-8"))
    validator.validate(rules)
    assert list(validator.iter_errors({**rules, "titel": "x"}))
    if rules.get("rule"):
        first = {**rules["rule"][0], "answers": "an unknown question"}
        assert list(validator.iter_errors({**rules, "rule": [first]}))


def test_what_is_told_about_rule_files_fits_its_schema():
    from rigging_py import RuleSet

    of_records = schema("rule-records")
    jsonschema.Draft202012Validator.check_schema(of_records)
    validator = jsonschema.Draft202012Validator(of_records)
    rules = RuleSet.from_toml(RuleSet.template())
    records = {
        "difference": rules.difference(RuleSet.built_in("us-general")),
        "complaints": RuleSet.lint(RuleSet.template().replace("value = 50", "value = -500")),
        "documents": rules.documents,
    }
    validator.validate(records)
    assert records["complaints"] and records["documents"] and set(of_records["properties"]) == set(records)
    assert list(validator.iter_errors({**records, "documents": [{}]}))
