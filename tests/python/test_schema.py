"""The committed schemas describe what is read and written."""

import json
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
