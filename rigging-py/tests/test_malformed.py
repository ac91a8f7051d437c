"""The shared file of malformed documents: the same code and the same place as in Rust."""

import copy
import json

import pytest

import rigging_py
from rigging_py import Lift, RiggingError

CASES = 196
PATCHES = 100  # of them at least so many are patches, which are also handed over as Python values


def steps(pointer):
    return [step.replace("~1", "/").replace("~0", "~") for step in pointer.split("/")[1:]]


def apply(document, change):
    *path, last = steps(change["pointer"])
    inside = document
    for step in path:
        inside = inside[int(step)] if isinstance(inside, list) else inside[step]
    if isinstance(inside, list):
        last = int(last)
        if last == len(inside):
            inside.append(None)
    if "set" in change:
        inside[last] = change["set"]
    elif "rename" in change:
        inside[change["rename"]] = inside.pop(last)
    else:
        assert change["remove"] is True
        del inside[last]


def text_of(case, base):
    """The text of a case, and its document where it is a patch."""
    if "text" in case:
        return case["text"], None
    if "repeat" in case:
        repeat = case["repeat"]
        return repeat["before"] + repeat["unit"] * repeat["times"] + repeat["after"], None
    if "patch" in case:
        document = json.loads(base)
        for change in case["patch"]:
            apply(document, change)
        return json.dumps(document), document
    text = base.encode()[: case.get("keep_bytes")].decode()
    if "find" in case:
        assert case["find"] in text
        text = text.replace(case["find"], case["put"], 1)
    return case.get("before", "") + text + case.get("after", ""), None


def complaints(case, entry, document):
    try:
        entry(document)
    except RiggingError as error:
        wrong = []
        if error.code != case["code"] or type(error) is RiggingError:
            wrong.append(f"code {error.code} instead of {case['code']}")
        if error.place != case["place"]:
            wrong.append(f"place {error.place!r} instead of {case['place']!r}")
        wrong += [f"does not say {words!r}" for words in case.get("says", []) if words not in str(error)]
        if case.get("nearest") and f'nearest known name is "{case["nearest"]}"' not in str(error):
            wrong.append(f"does not offer {case['nearest']}")
        return [f"{case['id']}, {entry.__name__}: {text}: {error}" for text in wrong]
    return [f"{case['id']}, {entry.__name__}: accepted"]


def test_every_malformed_document_is_refused_at_its_place(reference, lifts):
    table = json.loads((reference / "malformed.json").read_text(encoding="utf-8"))
    base = (lifts / "generator-skid.json").read_text(encoding="utf-8")
    assert table["base"].endswith("/generator-skid.json")
    wrong, patches = [], 0
    for case in table["cases"]:
        text, document = text_of(case, base)
        wrong += complaints(case, Lift.from_json, text)
        if document is not None:
            patches += 1
            before = copy.deepcopy(document)
            wrong += complaints(case, Lift.from_document, document)
            assert document == before
    print(f"{len(table['cases'])} malformed documents run, {patches} of them also as Python values, 0 skipped")
    assert not wrong, "\n".join(wrong)
    assert len(table["cases"]) == CASES
    assert patches >= PATCHES


def test_the_base_is_accepted(lifts):
    document = json.loads((lifts / "generator-skid.json").read_text(encoding="utf-8"))
    assert Lift.from_document(document) == Lift.from_file(lifts / "generator-skid.json")
    with pytest.raises(rigging_py.MalformedError):
        Lift.from_document({**document, "name": None})
