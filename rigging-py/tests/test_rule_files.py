"""Rule files of the user's own: put together, looked over, compared; the errors are those of the core."""

import copy
import pickle

import pytest

from rigging_py import DuplicateNameError, InconsistentError, Lift, RuleSet, UnknownNameError

HEAD = 'format = 1\nname = "set"\ntitle = "set"\nedition = "1"\nstatus = "in force"\n'


@pytest.fixture
def template():
    return RuleSet.template()


@pytest.fixture
def beside(template):
    return template.replace("hollow-ford-2026", "beside").split("# ---------------------------------------------------------------- documents")[0]


def including(*names):
    return HEAD + "".join(f'[[include]]\ndocument = "{name}"\n' for name in names)


def test_every_document_can_be_had_and_included():
    names = RuleSet.document_names()
    assert len(names) == len(set(names)) > 40
    for name in names:
        alone = RuleSet.built_in(name)
        assert alone.documents == []
        (within,) = RuleSet.from_toml(including(name)).documents
        assert (within["name"], within["hash"], within["edition"]) == (name, alone.content_hash, alone.edition)


def test_a_document_beside_the_set_is_included_by_its_name(beside):
    rules = RuleSet.from_toml(including("beside", "eu-en-1492-1"), documents=[beside])
    assert [document["name"] for document in rules.documents] == ["beside", "eu-en-1492-1"]
    for again in (eval(repr(rules)), pickle.loads(pickle.dumps(rules)), copy.deepcopy(rules)):
        assert again == rules and again.content_hash == rules.content_hash
    other = RuleSet.from_toml(including("beside", "eu-en-1492-1"), documents=[beside.replace("value = 50", "value = 51")])
    assert other != rules
    assessment = Lift.demo("generator-skid").assess(rules)
    assert assessment.rule_set == rules


def test_what_cannot_be_put_together_is_refused(beside):
    with pytest.raises(UnknownNameError, match="beside"):
        RuleSet.from_toml(including("beside"))
    with pytest.raises(DuplicateNameError):
        RuleSet.from_toml(including("beside"), documents=[beside, beside])
    with pytest.raises(InconsistentError, match="precedence"):
        RuleSet.from_toml(including("us-general", "us-california"))
    with pytest.raises(TypeError):
        RuleSet.from_toml(including("beside"), documents=[7])


def test_the_lint_tells_every_fault_with_its_line(template):
    assert RuleSet.lint(template) == []
    careless = template.replace("value = 50", "value = -500").replace('"lifting", "lowering"', '"lifted"')
    complaints = RuleSet.lint(careless)
    assert [complaint["code"] for complaint in complaints] == ["unknown_name", "out_of_domain"]
    for complaint in complaints:
        assert complaint["refused"] and complaint["what"] and complaint["why"] and complaint["write"]
    assert "value = -500" in careless.splitlines()[complaints[1]["line"] - 1]
    assert RuleSet.lint("not a rule file")[0]["code"] == "malformed"


def test_a_difference_names_both_sides(template):
    old = RuleSet.from_toml(template)
    new = RuleSet.from_toml(template.replace("at_most = 12, policy", "at_most = 11, policy"))
    (question,) = old.difference(new)["questions"]
    (rule,) = question["rules"]
    assert question["question"] == "dynamic factor" and rule["one"]["source"]["clause"] == "3.2, table 1"
    assert rule["details"] == [{"what": "input gross weight, at most", "one": "12 t", "other": "11 t"}]
    assert old.difference(old)["questions"] == []
    with pytest.raises(TypeError):
        old.difference(template)
