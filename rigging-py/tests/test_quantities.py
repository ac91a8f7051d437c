"""Quantity objects: what they take, what they refuse, and that they are ordinary values."""

import copy
import math
import pickle
from decimal import Decimal
from fractions import Fraction as Ratio

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

import rigging_py
from rigging_py import (
    STANDARD_GRAVITY,
    Acceleration,
    Angle,
    ChokeAngle,
    Density,
    Duration,
    Force,
    Fraction,
    LegAngle,
    Length,
    LineLoad,
    Mass,
    Pressure,
    RiggingError,
    Speed,
    Stiffness,
    Temperature,
)

# One text of each kind, and the same value as pint writes it.
KINDS = {
    Length: ("6.5 m", (6.5, "meter")),
    Mass: ("18.5 t", (18.5, "metric_ton")),
    Force: ("42 kip", (42.0, "kip")),
    Angle: ("2.5 deg", (2.5, "degree")),
    LegAngle: ("27.5 deg from vertical", None),
    ChokeAngle: ("120 deg choke", None),
    Temperature: ("68 degF", (68.0, "degF")),
    Stiffness: ("4500 kN/m", (4500.0, "kN/m")),
    LineLoad: ("250 kN/m", (250.0, "kN/m")),
    Pressure: ("48 MPa", (48.0, "MPa")),
    Density: ("7850 kg/m3", (7850.0, "kg/m**3")),
    Duration: ("30 min", (30.0, "minute")),
    Acceleration: ("32.174 ft/s2", (32.174, "ft/s**2")),
    Speed: ("36 km/h", (36.0, "km/hour")),
    Fraction: ("3 %", (3.0, "percent")),
}
WITHOUT_ARITHMETIC = (LegAngle, ChokeAngle, Temperature)
PINT = pint.UnitRegistry()
ULP = 4 * math.ulp(1.0)  # pint multiplies by rounded factors, up to four times

kinds = pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)


def one(kind):
    return kind(KINDS[kind][0])


@kinds
def test_it_is_an_ordinary_value(kind):
    quantity = one(kind)
    assert eval(repr(quantity), vars(rigging_py)) == quantity
    for again in (
        kind(quantity),
        kind(str(quantity)),
        copy.copy(quantity),
        copy.deepcopy(quantity),
        pickle.loads(pickle.dumps(quantity)),
    ):
        assert type(again) is kind
        assert again == quantity
        assert hash(again) == hash(quantity)
        assert again.si.hex() == quantity.si.hex()
    assert {quantity: 1}[again] == 1
    assert quantity.to(kind.units()[0]) == quantity.to(kind.units()[0])
    with pytest.raises(AttributeError):
        quantity.si = 1.0
    with pytest.raises(AttributeError):
        quantity.other = 1.0
    with pytest.raises(TypeError):
        float(quantity)
    with pytest.raises(TypeError):
        type("Derived", (kind,), {})


@kinds
def test_it_compares_within_its_kind_only(kind):
    quantity = one(kind)
    less = kind(quantity.to(kind.units()[0]) * 0.5, kind.units()[0])
    # An angle counted from horizontal falls as the one from vertical rises; the first unit counts upward.
    assert less < quantity and less <= quantity and quantity > less and quantity >= less and quantity != less
    assert sorted([quantity, less]) == [less, quantity]
    for other in (KINDS[kind][0], 6.5, None, *(one(other) for other in KINDS if other is not kind)):
        assert quantity != other
        with pytest.raises(TypeError):
            quantity < other


@kinds
def test_pint_converts_by_itself(kind):
    text, given_as = KINDS[kind]
    if given_as is None:
        with pytest.raises(rigging_py.AmbiguousUnitError):
            kind(PINT.Quantity(30.0, "degree"))
        return
    taken = kind(PINT.Quantity(*given_as))
    assert abs(taken.si - kind(text).si) <= ULP * abs(taken.si)


def test_numpy_and_whole_magnitudes_of_pint_are_taken():
    for magnitude in (6, np.float32(6), np.float64(6), np.int64(6), np.array(6.0)):
        try:
            assert Length(PINT.Quantity(magnitude, "m")) == Length("6 m")
        except rigging_py.WrongUnitError:
            assert isinstance(magnitude, np.ndarray)


BARE = [6, 6.5, 0, -1, Decimal("6"), Ratio(1, 3), np.float64(6), np.float32(6), np.int64(6)]
NOT_FINITE = [math.nan, math.inf, Decimal("-inf"), 10**400]


@kinds
@pytest.mark.parametrize("number", BARE, ids=repr)
def test_a_bare_number_is_refused_by_name(kind, number):
    with pytest.raises(rigging_py.BareNumberError) as caught:
        kind(number)
    assert caught.value.place == "/value"


@kinds
@pytest.mark.parametrize("number", NOT_FINITE, ids=lambda number: str(number)[:5])
def test_what_is_not_finite_is_refused_by_name(kind, number):
    with pytest.raises(rigging_py.OutOfDomainError) as caught:
        kind(number)
    assert caught.value.place == "/value"


class Labelled:
    """As an array of a package that keeps units among its attributes."""

    attrs = {"units": "mm"}

    def __float__(self):
        return 6.0


class Astronomical:
    """As a quantity of a package that names its unit `unit`."""

    unit, value = "km", 6.0

    def __float__(self):
        return 6.0


class Measured(float):
    """A number that carries a unit."""

    units = "ft"


@kinds
@pytest.mark.parametrize("foreign", [Labelled(), Astronomical()], ids=lambda one: type(one).__name__)
def test_a_unit_of_another_package_is_never_stripped(kind, foreign):
    with pytest.raises(TypeError, match="^value: .*never stripped"):
        kind(foreign)
    with pytest.raises(TypeError):
        kind(foreign, kind.units()[0])


def test_a_number_with_a_unit_is_no_number():
    with pytest.raises(TypeError):
        Length(Measured(6.0), "m")
    with pytest.raises(TypeError):
        Length("6 m") * Measured(2.0)
    with pytest.raises((TypeError, RiggingError)):
        Length(Measured(6.0))


@kinds
@pytest.mark.parametrize("thing", [None, True, 1j, b"6 m", [6], ("6 m",), {}, np.array([1.0, 2.0]), object(), Length], ids=repr)
def test_anything_else_is_refused_by_name(kind, thing):
    with pytest.raises(TypeError, match="^value: "):
        kind(thing)


def test_mass_where_force_is_wanted_is_told():
    for mass in ("18.5 t", Mass("18.5 t"), PINT.Quantity(18.5, "metric_ton")):
        with pytest.raises(rigging_py.WrongUnitError, match="a mass is not a force") as caught:
            Force(mass)
        assert caught.value.place == "/value"
    with pytest.raises(rigging_py.WrongUnitError, match="a mass is not a force"):
        Mass(PINT.Quantity(18.5, "kgf"))


def test_a_context_of_pint_does_not_turn_mass_into_force():
    registry = pint.UnitRegistry()
    context = pint.Context("weight")
    context.add_transformation("[mass]", "[force]", lambda registry, mass: mass * registry("9.8 m/s**2"))
    registry.add_context(context)
    registry.enable_contexts("weight")
    assert registry.Quantity(1.0, "kg").to("N").magnitude == 9.8
    with pytest.raises(rigging_py.WrongUnitError, match="a mass is not a force"):
        Force(registry.Quantity(1.0, "kg"))


def test_what_a_unit_of_pint_leaves_open_is_refused():
    for kind, magnitude, unit in [
        (Angle, 0.5, "dimensionless"),
        (Angle, 3.0, "percent"),
        (Fraction, 0.03, "dimensionless"),
        (Fraction, 3.0, "radian"),
        (Temperature, 20.0, "delta_degC"),
        (Length, 6.0, "dimensionless"),
        (Length, 6.0, "m**2"),
        (LegAngle, 30.0, "degree"),
    ]:
        with pytest.raises(RiggingError) as caught:
            kind(PINT.Quantity(magnitude, unit))
        assert caught.value.place == "/value"
    with pytest.raises(rigging_py.WrongUnitError):
        Length(PINT.Quantity(np.array([1.0, 2.0]), "m"))
    with pytest.raises(rigging_py.OutOfDomainError):
        Length(PINT.Quantity(math.nan, "m"))


def test_kinds_with_the_same_unit_stay_apart():
    for wanted, given_as in [(Stiffness, LineLoad("1 kN/m")), (LineLoad, Stiffness("1 kN/m"))]:
        with pytest.raises(rigging_py.WrongUnitError):
            wanted(given_as)
    with pytest.raises(rigging_py.AmbiguousUnitError):
        LegAngle(Angle("30 deg"))


def test_a_plain_number_beside_its_unit():
    assert Length(6, "ft") == Length("6 ft") == Length(np.float64(72.0), "in")
    assert Fraction(3.0, "%").si == 0.03
    with pytest.raises(rigging_py.OutOfDomainError):
        Length(math.inf, "m")
    with pytest.raises(rigging_py.WrongUnitError) as caught:
        Length(6.0, "kg")
    assert caught.value.place == "/unit"
    for value in ("6 m", "6", Length("6 m"), PINT.Quantity(6, "m"), None, True):
        with pytest.raises(TypeError, match="^value: "):
            Length(value, "m")


@pytest.mark.parametrize("kind", [k for k in KINDS if k not in WITHOUT_ARITHMETIC], ids=lambda kind: kind.__name__)
def test_arithmetic_stays_within_one_kind(kind):
    quantity = one(kind)
    assert (quantity + quantity).si == (2 * quantity).si == (quantity * 2.0).si == 2 * quantity.si
    assert (quantity - quantity).si == 0.0
    assert (-quantity).si == -quantity.si
    assert quantity / 2 == quantity * 0.5
    assert quantity / quantity == 1.0
    assert np.float64(2.0) * quantity == quantity * np.float64(2.0) == quantity + quantity
    for other in (1.0, "1 m", one(Force if kind is Length else Length)):
        for operation in (lambda a, b: a + b, lambda a, b: a - b, lambda a, b: b - a):
            with pytest.raises(TypeError):
                operation(quantity, other)
    for operation in (lambda a: a * a, lambda a: a**2, lambda a: 1 / a, lambda a: a // 2, lambda a: a % 2, abs, round):
        with pytest.raises(TypeError):
            operation(quantity)
    for divisor in (0, 0.0, quantity - quantity):
        with pytest.raises(rigging_py.OutOfDomainError):
            quantity / divisor
    with pytest.raises(rigging_py.OutOfDomainError):
        quantity * 1e308 * 1e308
    with pytest.raises(rigging_py.OutOfDomainError):
        quantity * math.nan


@pytest.mark.parametrize("kind", WITHOUT_ARITHMETIC, ids=lambda kind: kind.__name__)
def test_what_the_core_does_not_add_is_not_added(kind):
    quantity = one(kind)
    for operation in (lambda a: a + a, lambda a: a - a, lambda a: a * 2, lambda a: 2 * a, lambda a: a / 2, lambda a: -a):
        with pytest.raises(TypeError):
            operation(quantity)


def test_angles_of_legs():
    leg = LegAngle.from_horizontal("60 deg")
    assert leg.to("deg from vertical") == pytest.approx(30.0, abs=1e-13)
    assert leg.angle_included.to("deg") == pytest.approx(60.0, abs=1e-13)
    assert LegAngle.from_vertical(PINT.Quantity(30.0, "deg")).si == pytest.approx(leg.si, abs=1e-15)
    assert LegAngle.included(Angle("60 deg")).tension_factor() == pytest.approx(2 / math.sqrt(3), rel=1e-15)
    with pytest.raises(rigging_py.OutOfDomainError) as caught:
        LegAngle.from_vertical("91 deg")
    assert caught.value.place == "/angle"
    with pytest.raises(rigging_py.OutOfDomainError):
        LegAngle("90 deg from vertical").tension_factor()


def test_weight():
    assert Mass("100 kg").weight(STANDARD_GRAVITY) == Force("980.665 N")
    with pytest.raises(rigging_py.BareNumberError) as caught:
        Mass("100 kg").weight(9.81)
    assert caught.value.place == "/gravity"


@given(st.sampled_from(list(KINDS)), st.floats(allow_nan=False, allow_infinity=False))
def test_the_print_reads_back_bit_for_bit(kind, value):
    try:
        quantity = kind(value, kind.units()[0])
    except rigging_py.OutOfDomainError:
        return
    assert kind(str(quantity)).si.hex() == quantity.si.hex()
    assert eval(repr(quantity), vars(rigging_py)).si.hex() == quantity.si.hex()


@pytest.mark.parametrize("kind", [k for k in KINDS if k not in WITHOUT_ARITHMETIC], ids=lambda kind: kind.__name__)
def test_both_zeros_are_one_value(kind):
    zero = kind(0.0, kind.units()[0])
    assert math.copysign(1.0, (-zero).si) == -1.0
    assert zero == -zero and hash(zero) == hash(-zero) and not zero < -zero and not zero > -zero
