"""Closed forms for one number at a time: the bits, the domain and the errors of the arrays."""

import decimal
import fractions
import inspect
import math
import pickle
import struct

import numpy as np
import pint
import pytest

import rigging_py
from rigging_py import Force, OutOfDomainError, RiggingError, batch, sharing

# Arguments within the domain.
SOUND = {
    "leg_tension": {"weight_n": 8896.0, "legs": 3.0, "angle_from_vertical_rad": 0.7},
    "basket_tension": {"weight_n": 8896.0, "angle_from_vertical_rad": 0.7},
    "horizontal_pull": {"vertical_n": 8896.0, "angle_from_vertical_rad": 0.7},
}
PARAMETERS = [(name, parameter) for name, arguments in SOUND.items() for parameter in arguments]


def function(name):
    return getattr(sharing, name)


def arrays(name, **arguments):
    """The result of the arrays, and why it was refused."""
    result = getattr(batch, name)(**arguments)
    try:
        result.raise_if_any()
    except RiggingError as refused:
        return math.nan, refused
    return float(result[0]), None


def test_every_closed_form_is_here():
    closed = {name for name in sharing.__all__ if not isinstance(getattr(sharing, name), type)}
    assert set(SOUND) == closed and len(PARAMETERS) == 7
    for name, arguments in SOUND.items():
        assert list(inspect.signature(function(name)).parameters) == list(arguments)
        assert list(inspect.signature(getattr(batch, name)).parameters) == list(arguments)


def test_published_figures():
    # Spellman and Whiting, Handbook of Mathematics and Statistics for the Environment, Example 11.3: 2000 lb on two legs
    # at 30 degrees from horizontal give 2000 lb each; half of the last printed digit.
    weight = Force(2000.0, "lbf").si
    tension = sharing.leg_tension(weight, 2, math.radians(60.0))
    assert Force(tension, "N").to("lbf") == pytest.approx(2000.0, abs=0.5)


@pytest.mark.parametrize("name", SOUND)
def test_the_bits_and_errors_are_those_of_the_arrays(name):
    random = np.random.default_rng(23)
    refused = 0
    for _ in range(2000):
        drawn = {
            "weight_n": float(random.uniform(-1e5, 1e6)),
            "vertical_n": float(random.uniform(-1e5, 1e6)),
            "legs": float(random.integers(0, 17)) / 2.0,
            "angle_from_vertical_rad": float(random.uniform(-0.1, 1.7)),
        }
        arguments = {parameter: drawn[parameter] for parameter in SOUND[name]}
        expected, error = arrays(name, **arguments)
        if error is None:
            found = function(name)(**arguments)
            assert type(found) is float and struct.pack("d", found) == struct.pack("d", expected), arguments
            assert function(name)(*arguments.values()) == found
        else:
            refused += 1
            with pytest.raises(type(error)) as caught:
                function(name)(**arguments)
            assert (caught.value.reason, caught.value.place) == (error.reason, error.place)
            assert caught.value.row is None
    print(f"{name}: 2000 compared, {refused} of them refused, 0 skipped")
    assert 200 < refused < 1700


@pytest.mark.parametrize(("name", "parameter"), PARAMETERS)
@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, -1.0, -5e-324])
def test_a_value_outside_its_domain_is_refused_by_name(name, parameter, bad):
    with pytest.raises(OutOfDomainError) as caught:
        function(name)(**{**SOUND[name], parameter: bad})
    assert caught.value.place == f"/{parameter}" and isinstance(caught.value, ValueError)
    assert str(caught.value).startswith(f"/{parameter}: ")


def test_the_ends_of_the_domain():
    upright, below = math.pi / 2, math.nextafter(math.pi / 2, 0.0)
    for name, arguments in SOUND.items():
        assert math.isfinite(function(name)(**{**arguments, "angle_from_vertical_rad": below}))
        for bad in (upright, math.nextafter(0.0, -1.0)):
            with pytest.raises(OutOfDomainError, match="angle from vertical"):
                function(name)(**{**arguments, "angle_from_vertical_rad": bad})
    assert sharing.horizontal_pull(1.0, 0.0) == 0.0 and sharing.leg_tension(12.0, 1, 0.0) == 12.0
    for legs in (0, 0.5, 1.5):
        with pytest.raises(OutOfDomainError) as caught:
            sharing.leg_tension(12.0, legs, 0.0)
        assert caught.value.place == "/legs"


def test_an_angle_from_horizontal_has_no_way_in():
    for name, arguments in SOUND.items():
        assert "angle_from_vertical_rad" in arguments
        forces = {parameter: value for parameter, value in arguments.items() if parameter != "angle_from_vertical_rad"}
        for other in ("angle_from_horizontal_rad", "angle_rad", "angle_from_vertical_deg"):
            with pytest.raises(TypeError):
                function(name)(**forces, **{other: 0.5})
        # An angle in degrees is far outside the domain, from 1.6 degrees up.
        with pytest.raises(OutOfDomainError):
            function(name)(**forces, angle_from_vertical_rad=30.0)


FOREIGN = [
    True,
    np.True_,
    None,
    "1.0",
    b"1.0",
    1j,
    [1.0],
    (1.0,),
    np.array([1.0]),
    np.ma.masked,
    {"N": 1.0},
    decimal.Decimal(1),
    Force(1.0, "N"),
    pint.UnitRegistry().Quantity(1.0, "N"),
    10**30,
    2**63 + 1,
    -(2**53) - 1,
    object(),
]


@pytest.mark.parametrize(("name", "parameter"), PARAMETERS)
@pytest.mark.parametrize("foreign", FOREIGN, ids=lambda value: type(value).__name__)
def test_what_is_not_one_plain_number_is_refused_by_name(name, parameter, foreign):
    with pytest.raises(TypeError, match=f"^{parameter}: "):
        function(name)(**{**SOUND[name], parameter: foreign})


class Own(float):
    """A float of somebody's own."""


@pytest.mark.parametrize(
    "number",
    [2, 2.0, Own(2.0), np.float64(2.0), np.float32(2.0), np.int8(2), np.uint64(2), np.array(2.0), np.longdouble(2.0)],
    ids=lambda value: type(value).__name__,
)
def test_any_plain_number_is_taken(number):
    assert sharing.leg_tension(number, number, 0.0) == 1.0
    assert sharing.leg_tension(weight_n=2**53, legs=1, angle_from_vertical_rad=0) == 2.0**53


def test_a_fraction_is_no_double_to_either():
    for call in (sharing.basket_tension, batch.basket_tension):
        with pytest.raises(TypeError, match="^weight_n: "):
            call(weight_n=fractions.Fraction(1, 3), angle_from_vertical_rad=0.0)


def test_they_are_found_where_they_say():
    for name in SOUND:
        assert function(name).__module__ == "rigging_py.sharing"
        assert pickle.loads(pickle.dumps(function(name))) is function(name)
    assert rigging_py.sharing is sharing
    with pytest.raises(TypeError):
        sharing.basket_tension(1.0)


def test_rules_are_compared_with_the_worst_case():
    lift = rigging_py.Lift.demo("generator-skid")
    comparison = lift.compare_sharing(0.48)
    two = next(one for one in comparison["rules"] if one["rule"]["name"] == "two legs carry all")
    by_hand = 18.5e3 * 9.80665 / 2.0 / math.cos(0.48)
    assert two["answer"]["speaks"]["forces"] == pytest.approx([by_hand] * 4, rel=1e-12)
    below = [worst - by_hand for worst in comparison["worst"]]
    assert two["answer"]["speaks"]["below"] == pytest.approx(below, rel=1e-9)
    assert two["rule"]["conservative"] is True
    assert lift.compare_sharing() != comparison
    for angle in (-0.1, 1.6, math.nan):
        with pytest.raises(rigging_py.OutOfDomainError, match="angle_from_vertical_rad"):
            lift.compare_sharing(angle_from_vertical_rad=angle)
    with pytest.raises(TypeError):
        lift.compare_sharing("27.5 deg")
    with pytest.raises(rigging_py.UnsupportedError, match="/spreaders"):
        rigging_py.Lift.demo("panel-spreader").compare_sharing()
