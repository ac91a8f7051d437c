"""Documentation of the native classes and functions: everything public has some, and what pytest does not find is run here.

`--doctest-modules` runs the examples of classes and methods; those of the native properties it does not see.
"""

import doctest
import inspect
import re

import rigging_py
import rigging_py.plot
import rigging_py.sharing

CLASSES = [one for name in rigging_py.__all__ if isinstance(one := getattr(rigging_py, name), type)]
SHARING = {f"sharing.{name}": getattr(rigging_py.sharing, name) for name in rigging_py.sharing.__all__}
CLASSES += [one for one in SHARING.values() if isinstance(one, type)]
NATIVE = [one for one in CLASSES if not issubclass(one, Exception)]
OPTIONS = doctest.ELLIPSIS | doctest.IGNORE_EXCEPTION_DETAIL
# The functions of native code, by their names.
FUNCTIONS = {name: one for name, one in SHARING.items() if not isinstance(one, type)}


def members(one):
    for name, member in vars(one).items():
        if not name.startswith("_"):
            yield f"{one.__name__}.{name}", getattr(member, "__func__", member)


def says_what_it_takes(name, function):
    text = inspect.cleandoc(function.__doc__)
    takes = [p for p in inspect.signature(function).parameters if p != "self"]
    assert ("Parameters\n" in text) == bool(takes), name
    assert "Returns\n" in text, name
    assert all(re.search(rf"^{parameter} : ", text, re.M) for parameter in takes), name


def test_everything_public_is_documented():
    documented = 0
    for one in CLASSES:
        assert one.__doc__ and not one.__doc__.startswith(one.__name__ + "("), one
        documented += 1
    for one in NATIVE:
        for name, member in members(one):
            assert member.__doc__, name
            if callable(member):
                says_what_it_takes(name, member)
            documented += 1
    for name, function in FUNCTIONS.items():
        says_what_it_takes(name, function)
        assert ">>> sharing." in function.__doc__ or f">>> round({name}" in function.__doc__, name
        # Each parameter with a unit says it in words, and an angle says from where.
        for parameter in inspect.signature(function).parameters:
            text = re.search(rf"^{parameter} : float\n +(.*)$", inspect.cleandoc(function.__doc__), re.M).group(1)
            for ending, words in {"_n": ", in N,", "_rad": ", in rad,"}.items():
                assert words in text or not parameter.endswith(ending), (name, parameter)
            assert ("from_vertical" in parameter) == ("from vertical" in text), (name, parameter)
        documented += 1
    print(f"{documented} classes and members documented")
    assert documented > 140


def test_names_that_carry_a_unit_say_it_in_words():
    units = {"_n": "N", "_m": "m", "_deg": "degrees", "_n_per_m": "N/m"}
    found = 0
    for one in NATIVE:
        for name, member in members(one):
            for ending, unit in units.items():
                if name.endswith(ending) and not (ending == "_m" and name.endswith("_n_per_m")):
                    assert re.search(rf"\b{re.escape(unit)}\b", member.__doc__), name
                    found += 1
    assert found >= 9


def test_examples_of_properties_run():
    parser, runner = doctest.DocTestParser(), doctest.DocTestRunner(optionflags=OPTIONS)
    ran = 0
    for one in NATIVE:
        for name, member in members(one):
            if inspect.isgetsetdescriptor(member) and ">>>" in member.__doc__:
                runner.run(parser.get_doctest(inspect.cleandoc(member.__doc__), {}, name, None, None))
                ran += 1
    print(f"{ran} properties with examples, 0 skipped")
    assert ran == 1 and runner.failures == 0
