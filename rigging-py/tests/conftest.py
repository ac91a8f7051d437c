"""What several tests use: the demo documents and the table of what Rust computes from them."""

import json
from pathlib import Path

import pytest
from hypothesis import settings

from rigging_py import Lift, RuleSet

# The same draws in every run: it can be repeated, and takes the same time.
settings.register_profile("repeatable", derandomize=True)
settings.load_profile("repeatable")

ROOT = Path(__file__).resolve().parents[2]
LIFTS = ROOT / "rigging-core" / "examples" / "lifts"
REFERENCE = ROOT / "tests" / "reference"


@pytest.fixture
def lifts():
    """The directory of the demo documents."""
    return LIFTS


@pytest.fixture
def reference():
    """The directory of the reference data that all three languages share."""
    return REFERENCE


@pytest.fixture
def demo_bits():
    return json.loads((REFERENCE / "demo-bits.json").read_text(encoding="utf-8"))["demos"]


@pytest.fixture
def skid():
    """The lift that passes under the US set."""
    return Lift.from_file(LIFTS / "generator-skid-round-edge.json")


@pytest.fixture
def us_general():
    return RuleSet.built_in("us-general")
