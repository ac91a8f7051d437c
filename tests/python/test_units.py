"""Every unit of the core against pint, an independent library of units.

The table `reference/units.json` is printed by the core with 17 digits, so that every double in it is exact; the Rust
test `units` fails when it is stale. pint works with fractions of whole numbers here, so its side has no rounding.

Origin of the check: independent.
"""

import json
import math
from fractions import Fraction
from pathlib import Path

import pint
import pytest

REFERENCE = Path(__file__).resolve().parent.parent / "reference" / "units.json"
ROWS = json.loads(REFERENCE.read_text(encoding="utf-8"))
EXACT_VALUE = Fraction(7.3)  # the double nearest to 7.3, which is what the core was given

SI = {
    "length": "meter",
    "mass": "kilogram",
    "force": "newton",
    "angle": "radian",
    "temperature": "kelvin",
    "stiffness": "newton/meter",
    "line load": "newton/meter",
    "pressure": "pascal",
    "density": "kilogram/meter**3",
    "duration": "second",
    "acceleration": "meter/second**2",
    "speed": "meter/second",
    "leg angle": "radian",
    "choke angle": "radian",
    "fraction": "dimensionless",
}

# pint does not read these spellings; the name it has for the same unit stands beside each.
OTHER_NAME = {
    "short ton": "short_ton",
    "long ton": "long_ton",
    "short tonf": "US_force_ton",  # 2000 lbf
    "long tonf": "UK_force_ton",  # 2240 lbf
    "kg/m3": "kilogram/meter**3",  # pint writes powers with **
    "t/m3": "metric_ton/meter**3",
    "lb/ft3": "pound/foot**3",
    "m/s2": "meter/second**2",
    "ft/s2": "foot/second**2",
    "rad from vertical": "radian",
    "rad choke": "radian",
    "deg from vertical": "degree",
    "deg from horizontal": "degree",
    "deg included": "degree",
    "deg choke": "degree",
}

# Spellings that pint reads as something else than a rigger means. The core refuses the first two and asks which; it
# reads the last two, and only where a temperature is wanted.
OTHER_MEANING = {
    "ton": ("short_ton", "pint takes the bare word for 2000 lb; the core refuses it"),
    "T": ("tesla", "pint takes the letter for the unit of magnetic flux density; the core refuses it"),
    "C": ("coulomb", "pint takes the letter for a charge; the core reads degrees Celsius"),
    "F": ("farad", "pint takes the letter for a capacitance; the core reads degrees Fahrenheit"),
}


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry(non_int_type=Fraction)


def name(row):
    return OTHER_NAME.get(row["symbol"], row["symbol"])


def label(row):
    return f"{row['quantity']}: {row['symbol']}"


def to_si(registry, row, value):
    """`value` of the row's unit in SI, by pint; the ways of counting a leg's angle are not units to pint."""
    angle = registry.Quantity(value, name(row)).to(SI[row["quantity"]]).magnitude
    quarter_turn = registry.Quantity(Fraction(90), "degree").to("radian").magnitude
    return {"deg from horizontal": quarter_turn - angle, "deg included": angle / 2}.get(row["symbol"], angle)


def from_si(registry, row, value):
    """`value` in SI in the row's unit, by pint."""
    if row["symbol"] == "deg from horizontal":
        value = registry.Quantity(Fraction(90), "degree").to("radian").magnitude - value
    if row["symbol"] == "deg included":
        value = value * 2
    return registry.Quantity(value, SI[row["quantity"]]).to(name(row)).magnitude


def units_in_the_last_place(found, expected):
    return abs(Fraction(found) - expected) / Fraction(math.ulp(found))


def test_the_table_holds_every_unit():
    print(f"{len(ROWS)} units compared, 0 skipped; {len(OTHER_NAME)} under another name")
    assert len(ROWS) == 60
    assert len({label(row) for row in ROWS}) == 60
    assert set(OTHER_NAME) <= {row["symbol"] for row in ROWS}


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_both_directions_are_within_one_unit_in_the_last_place(registry, row):
    one = units_in_the_last_place(row["one"], to_si(registry, row, Fraction(1)))
    value = units_in_the_last_place(row["value"], to_si(registry, row, EXACT_VALUE))
    back = units_in_the_last_place(row["back"], from_si(registry, row, EXACT_VALUE))
    print(f"{label(row)}: {float(one):.3f}, {float(value):.3f} and {float(back):.3f} units in the last place")
    assert max(one, value, back) <= 1


@pytest.mark.parametrize("symbol", OTHER_NAME)
def test_pint_does_not_read_what_stands_under_another_name(registry, symbol):
    with pytest.raises(pint.UndefinedUnitError):
        registry.Quantity(Fraction(1), symbol)


@pytest.mark.parametrize("symbol", OTHER_MEANING)
def test_pint_reads_these_words_otherwise(registry, symbol):
    meaning, _reason = OTHER_MEANING[symbol]
    assert registry.Unit(symbol) == registry.Unit(meaning)
    assert symbol not in {row["symbol"] for row in ROWS}
