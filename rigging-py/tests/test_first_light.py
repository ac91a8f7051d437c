"""The main job from end to end on the demo documents, to the bits that Rust computes."""

import hashlib
import json
import struct

import pytest

from rigging_py import Lift, RuleSet

# Exit status of the Rust example `assess` for each verdict.
EXIT = {"pass": 0, "fail": 1, "cannot_conclude": 2}
EXIT_UNDER_US_GENERAL = {
    "generator-skid.json": 2,
    "generator-skid-round-edge.json": 0,
    "generator-skid-stiff-slings.json": 1,
}


def bits(value):
    return None if value is None else struct.pack(">d", value).hex()


def sha256(text):
    return hashlib.sha256(text.encode()).hexdigest()


def test_the_demos_give_the_bits_of_rust(demo_bits, lifts):
    cases = 0
    for row in demo_bits:
        lift = Lift.from_file(lifts / row["document"])
        assert lift.content_hash == row["lift_sha256"]
        certificate = lift.solve()
        assert [bits(tension) for tension in certificate.tensions_n] == row["tensions"]
        assert sha256(certificate.to_json()) == row["certificate_sha256"]
        for name, expected in row["assessments"].items():
            assessment = lift.assess(RuleSet.built_in(name))
            assert assessment.verdict == expected["verdict"]
            assert [bits(leg["worst_n"]) for leg in assessment.legs] == expected["worst"]
            assert [bits(finding["utilization"]) for finding in assessment.findings] == expected["utilizations"]
            assert sha256(assessment.report()) == expected["report_sha256"]
            assert sha256(assessment.to_json()) == assessment.content_hash == expected["record_sha256"]
            cases += 1
    print(f"{cases} assessments compared, 0 skipped")
    assert cases == 3 * len(RuleSet.names())


@pytest.mark.parametrize("document", EXIT_UNDER_US_GENERAL)
def test_the_demos_teach_what_they_should(document, lifts, us_general):
    assessment = Lift.from_file(lifts / document).assess(us_general)
    assert EXIT[assessment.verdict] == EXIT_UNDER_US_GENERAL[document]
    first, second, third, *_ = assessment.report().splitlines()
    assert first.startswith(f"verdict: {assessment.verdict.replace('_', ' ')} — {assessment.lift.name}")
    assert second.startswith("governed by: ")
    assert third.startswith("what would change it: ")


def test_the_nominal_figures(skid):
    # Nominal tensions and tilt of this lift, computed independently; three decimals as given.
    certificate = skid.solve()
    for tension, expected in zip(certificate.tensions_n, (54.205, 69.116, 47.606, 32.641), strict=True):
        assert abs(tension / 1e3 - expected) <= 0.0005
    assert abs(certificate.tilt_deg - 6.423) <= 0.0005
    assert certificate.state == "stable"
    assert certificate.legs == skid.legs == ("leg A", "leg B", "leg C", "leg D")
    assert certificate.residual_over_weight < 1e-10
    assert certificate.null_modes == 1
    assert certificate.destination is None


def test_the_document_goes_round(skid):
    again = Lift.from_json(skid.to_json())
    assert again == skid
    assert again.to_json() == skid.to_json()
    assert json.loads(skid.to_json())["load"]["mass"]["value"] == "18.5 t"
