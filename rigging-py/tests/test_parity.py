"""The column of Python in the parity table is the module, no more and no less."""

import json

import pytest

import rigging_py
import rigging_py.batch
import rigging_py.plot
import rigging_py.sampling
import rigging_py.sharing
import rigging_py.testing


@pytest.fixture
def rows(reference):
    return json.loads((reference / "parity.json").read_text(encoding="utf-8"))["rows"]


def members(name, one):
    """Public names of a class, by its class."""
    inherited = {name for base in one.__mro__[1:] for name in vars(base)}
    return {f"{name}.{member}" for member in vars(one) if not member.startswith("_") and member not in inherited}


def module():
    """Public names of the package: its own, those of its classes, of its drawings, closed forms, arrays and samples."""
    names = set(rigging_py.__all__) | {"plot"} | {f"plot.{name}" for name in rigging_py.plot.__all__}
    names |= {f"sharing.{name}" for name in rigging_py.sharing.__all__}
    names |= {f"testing.{name}" for name in rigging_py.testing.__all__}
    names |= {f"kit.{name}" for name in rigging_py.kit.__all__}
    for name in rigging_py.sharing.__all__:
        one = getattr(rigging_py.sharing, name)
        if isinstance(one, type):
            names |= members(f"sharing.{name}", one)
    for name in rigging_py.batch.__all__:
        names.add(f"batch.{name}")
        if hasattr(getattr(rigging_py.batch, name), "raise_if_any"):
            names.add(f"batch.{name}.raise_if_any")
    for name in rigging_py.sampling.__all__:
        names.add(f"sampling.{name}")
    names |= members("sampling.Experiment", rigging_py.sampling.Experiment)
    for name in rigging_py.__all__:
        one = getattr(rigging_py, name)
        if isinstance(one, type):
            names |= members(name, one)
    return names


def test_the_table_and_the_module_name_the_same(rows):
    table = {name for row in rows for name in row["python"]}
    # Attributes of an exception are set when it is made.
    own = module() | {f"RiggingError.{name}" for name in vars(rigging_py.RiggingError("reason"))}
    print(f"{len(own)} names of the module")
    assert own - table == set(), "in the module, not in the table"
    assert table - own == set(), "in the table, not in the module"
    assert len(own) > 100


def test_what_is_absent_from_python_says_why(rows):
    for row in rows:
        assert row["python"] or row["why_absent"], row
