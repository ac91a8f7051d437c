"""Whatever is handed to an entry: a right answer or an exception that is meant, never a crash.

`RiggingError`, `TypeError` and `ValueError` are meant; a panic would arrive as `InternalError`, which is not.
"""

import json
from collections import Counter

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

import rigging_py
from rigging_py import Lift, RiggingError, RuleSet

QUANTITIES = [
    one
    for one in vars(rigging_py).values()
    if isinstance(one, type) and hasattr(one, "units") and not issubclass(one, Exception)
]
SKID = Lift.demo("generator-skid-round-edge")
US = RuleSet.built_in("us-general")
DOCUMENT = SKID.to_document()

scalars = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20) | st.binary(max_size=20)
values = st.recursive(
    scalars | st.complex_numbers() | st.dates() | st.decimals() | st.fractions(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4) | st.tuples(inner),
    max_leaves=12,
)
json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.sampled_from(["unknown", "6 m", "18.5 t", "-1 kN", "", "nan m"]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["value", "name", "x"]), inner, max_size=3),
    max_leaves=6,
)
in_full = settings(max_examples=300, deadline=None, suppress_health_check=list(HealthCheck))


def places(inside, here=""):
    """Every place in a document."""
    yield here
    steps = inside.items() if isinstance(inside, dict) else enumerate(inside) if isinstance(inside, list) else ()
    for key, below in steps:
        yield from places(below, f"{here}/{key}")


def unit_at(place):
    """The unit of the measure at a place of the document, if one stands there."""
    inside = DOCUMENT
    for step in place.split("/")[1:]:
        inside = inside[int(step)] if isinstance(inside, list) else inside[step]
    words = inside.split(" ") if isinstance(inside, str) else []
    return words[1] if len(words) == 2 and words[0].strip("-.0123456789") == "" else None


PLACES = list(places(DOCUMENT))[1:]


def attempt(entry, *arguments, **named):
    """The result, or None where a meant exception was raised."""
    try:
        return entry(*arguments, **named)
    except rigging_py.InternalError:
        raise
    except (RiggingError, TypeError, ValueError) as error:
        assert str(error)
        return None


def test_there_are_fifteen_kinds():
    assert len(QUANTITIES) == 15


@in_full
@given(st.sampled_from(QUANTITIES), values)
@example(rigging_py.Length, "\ud800")
@example(rigging_py.Length, "1" * 10_000 + " m")
@example(rigging_py.Length, "1e99999999999999999999 m")
def test_quantities(kind, value):
    made = attempt(kind, value)
    assert made is None or kind(str(made)) == made


@in_full
@given(st.sampled_from(QUANTITIES), values, values)
def test_quantities_with_a_unit(kind, value, unit):
    for symbol in (unit, kind.units()[0]):
        made = attempt(kind, value, symbol)
        assert made is None or kind(str(made)) == made
    one = kind(0.5, kind.units()[0])
    attempt(one.to, unit)
    for operation in (
        lambda: one + value,
        lambda: value + one,
        lambda: one - value,
        lambda: one * value,
        lambda: value * one,
        lambda: one / value,
        lambda: one < value,
    ):
        attempt(operation)
    assert (one == value) is False


@in_full
@given(st.sampled_from(QUANTITIES), st.from_regex(r"\A[-+]?[0-9.e]{1,6} ?[a-zA-Z%°/2' ]{0,12}\Z"))
def test_texts_like_quantities(kind, text):
    made = attempt(kind, text)
    assert made is None or kind(str(made)) == made


@in_full
@given(st.text() | st.binary().map(lambda raw: raw.decode("latin-1")) | values)
@example('{"format": 1' + "[" * 100_000)
@example('{"format": 1e400}')
def test_texts_of_lifts_and_rule_sets(text):
    assert attempt(Lift.from_json, text) is None
    assert attempt(RuleSet.from_toml, text) is None
    assert attempt(RuleSet.built_in, text) is None
    assert attempt(Lift.demo, text) is None
    assert attempt(SKID.assess, text) is None


@in_full
@given(st.integers(0, len(SKID.to_json())), st.integers(0, 40), st.text(max_size=5))
def test_damaged_documents(start, length, between):
    text = SKID.to_json()
    attempt(Lift.from_json, text[:start] + between + text[start + length :])


@in_full
@given(st.binary(max_size=200))
def test_bytes_in_files(tmp_path_factory, content):
    path = tmp_path_factory.getbasetemp() / "hostile.json"
    path.write_bytes(content)
    assert attempt(Lift.from_file, path) is None


@in_full
@given(values)
def test_paths(path):
    try:
        assert attempt(Lift.from_file, path) is None
    except OSError:
        assert isinstance(path, str)


@in_full
@given(values)
def test_documents_of_python_values(value):
    assert attempt(Lift.from_document, value) is None
    assert attempt(SKID.with_, value) is None or value == {}


OUTCOMES = Counter()
MEASURES = {place: unit for place in PLACES if (unit := unit_at(place))}


@st.composite
def measures(draw):
    """Another number for one or two of the measures in the document."""
    changed = draw(st.sets(st.sampled_from(sorted(MEASURES)), min_size=1, max_size=2))
    number = st.floats(1e-3, 1e3) | st.floats(allow_nan=False, allow_infinity=False)
    return {place: f"{draw(number)} {MEASURES[place]}" for place in changed}


@in_full
@given(measures() | st.dictionaries(st.sampled_from(PLACES), json_values | values, min_size=1, max_size=3))
def test_changes_to_a_document(changes):
    lift = attempt(SKID.with_, changes)
    OUTCOMES["changed" if lift is not None else "refused"] += 1
    if lift is None:
        return
    assert Lift.from_json(lift.to_json()) == lift
    attempt(lift.solve)
    made = attempt(lift.assess, US)
    if made is not None:
        OUTCOMES[made.verdict] += 1
        assert made.report() and made.to_json() and made._repr_html_()
        json.loads(made.to_json())


def test_changes_were_both_made_and_refused():
    print(dict(OUTCOMES))
    # At least a tenth of the examples each; half of them are measures.
    assert OUTCOMES["changed"] >= 30 and OUTCOMES["refused"] >= 30


@pytest.mark.parametrize("place", PLACES)
def test_no_value_of_the_document_is_taken_for_granted(place):
    """Each value in turn left out, unknown, of another kind."""
    for value in (None, "unknown", 0, "", [], {}, "1 t", "-1 mm", 1e308, True):
        lift = attempt(SKID.with_, {place: value})
        if lift is not None:
            attempt(lift.solve)
            made = attempt(lift.assess, US)
            assert made is None or made.verdict in ("pass", "fail", "cannot_conclude")
