"""The reference cases as lift documents, to the bits of Rust: curved laws, and whatever else a document can say."""

import json
import struct

import pytest

from rigging_py import Lift, RiggingError


def test_every_case_has_the_bits_of_rust(reference):
    table = json.loads((reference / "case-documents.json").read_text(encoding="utf-8"))
    solved, refused = 0, 0
    for case in table["cases"]:
        lift = Lift.from_json(json.dumps(case["document"]))
        if "refused" in case:
            with pytest.raises(RiggingError) as caught:
                lift.solve()
            assert caught.value.code == case["refused"], case["id"]
            refused += 1
        else:
            found = [struct.pack(">d", tension).hex() for tension in lift.solve().tensions_n]
            assert found == case["tensions"], case["id"]
            solved += 1
    print(f"{solved} cases ran, {refused} are unsupported, 0 skipped")
    assert (solved, refused) == (table["solved"], table["unsupported"]) and solved >= 78
    assert len({case["id"] for case in table["cases"]}) == len(table["cases"]) == 128
