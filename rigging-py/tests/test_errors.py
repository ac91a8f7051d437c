"""Exceptions as they cross the boundary."""

import copy
import json
import pickle

import pytest

import rigging_py
from rigging_py import _native

FIELDS = {
    "reading": {"name": "mass", "value": -1.0, "unit": "kg", "allowed": "positive"},
    "place": "/load/mass",
    "what": "w",
    "add": "a",
    "name": "n",
    "kind": "k",
    "nearest": None,
    "key": "k",
    "text": "t",
    "write": "w",
    "found": 2,
    "supported": 1,
}

CLASSES = {
    one.code: one
    for one in vars(rigging_py).values()
    if isinstance(one, type) and issubclass(one, rigging_py.RiggingError) and one.code
}


def codes_of_the_core():
    """Reading an error with an impossible code lists all codes."""
    with pytest.raises(rigging_py.MalformedError) as caught:
        _native._raise('{"code": "?"}')
    return caught.value.reason.split("`")[3::2]


def raised(code):
    with pytest.raises(rigging_py.RiggingError) as caught:
        _native._raise(json.dumps({"code": code, **FIELDS}))
    return caught.value


def test_each_code_of_the_core_has_its_class():
    codes = codes_of_the_core()
    print(f"{len(codes)} codes")
    assert len(codes) == 15
    assert sorted(CLASSES) == sorted([*codes, "internal"])
    for code in codes:
        error = raised(code)
        assert type(error) is CLASSES[code]
        assert error.place == "/load/mass"
        assert str(error) == f"/load/mass: {error.reason}"
        assert error.reason


def test_an_error_carries_the_reading():
    error = raised("out_of_domain")
    assert error.reason == "mass is -1 kg; it must be positive"
    assert error.args == (error.reason, "/load/mass")


@pytest.mark.parametrize("code", sorted(CLASSES))
def test_exceptions_are_ordinary(code):
    one = CLASSES[code]
    assert issubclass(one, RuntimeError if code in ("unconverged", "internal") else ValueError)
    error = one("reason", "/place")
    for again in (pickle.loads(pickle.dumps(error)), copy.copy(error), copy.deepcopy(error)):
        assert type(again) is one
        assert (again.code, again.reason, again.place) == (code, "reason", "/place")
        assert str(again) == str(error) == "/place: reason"
    assert str(one("reason")) == "the whole document: reason"
    assert repr(error) == f"{one.__name__}('reason', '/place')"
    assert one.__doc__
    assert one.__module__.startswith("rigging_py")


def test_a_panic_is_an_ordinary_exception(capfd):
    with pytest.raises(Exception, match="please report it: on purpose") as caught:
        _native._panic()
    assert type(caught.value) is rigging_py.InternalError
    # The place of the panic is still told, for the report.
    assert "on purpose" in capfd.readouterr().err


def test_the_version_is_that_of_the_distribution():
    from importlib.metadata import version

    assert rigging_py.__version__ == version("rigging-py")


def test_all_names_what_is_public():
    public = {name for name in vars(rigging_py) if not name.startswith("_")} | {"__version__"}
    modules = {name for name in public if type(getattr(rigging_py, name)).__name__ == "module"}
    assert public - modules == set(rigging_py.__all__)
    assert rigging_py.__all__ == sorted(rigging_py.__all__)
