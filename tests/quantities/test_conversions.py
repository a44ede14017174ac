"""Conversions against a reference library and against printed tables."""

from __future__ import annotations

import math
from typing import Any

import pint
import pytest

from pipeline.errors import WitnessmarkError
from pipeline.quantities import customary, format_quantity
from pipeline.quantities.units import convert, unit_table
from pipeline.records import Settings
from tests.quantities.scoring import found_in

# Our unit -> pint's name for it. pint 0.25 reads "Nm" as a textile unit, "mil" as an angle and "ft lb" as a mass
# times a length, and takes a bare pint, quart, gallon or fluid ounce as the US one: hence the long names.
PINT_NAMES = {
    "mL": "milliliter",
    "L": "liter",
    "fl_oz_US": "fluid_ounce",
    "fl_oz_imp": "imperial_fluid_ounce",
    "pt_US": "pint",
    "pt_imp": "imperial_pint",
    "qt_US": "quart",
    "qt_imp": "imperial_quart",
    "gal_US": "gallon",
    "gal_imp": "imperial_gallon",
    "N·m": "newton * meter",
    "lbf·ft": "force_pound * foot",
    "lbf·in": "force_pound * inch",
    "kgf·m": "force_kilogram * meter",
    "kgf·cm": "force_kilogram * centimeter",
    "psi": "pound_force_per_square_inch",
    "bar": "bar",
    "kPa": "kilopascal",
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "in": "inch",
    "thou": "thou",
    "µm": "micrometer",
    "deg": "degree",
    "turn": "turn",
    "°C": "degC",
    "°F": "degF",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "d": "day",
    "g": "gram",
    "kg": "kilogram",
    "lb": "pound",
    "oz": "ounce",
    "V": "volt",
    "A": "ampere",
    "Ω": "ohm",
    "rpm": "revolutions_per_minute",
    "km/h": "kilometer_per_hour",
    "mph": "mile_per_hour",
}


def test_every_unit_with_an_si_value_is_compared() -> None:
    assert set(PINT_NAMES) == {name for name, unit in unit_table().units.items() if unit.si}


@pytest.mark.parametrize("name", PINT_NAMES)
def test_conversion_agrees_with_pint(name: str) -> None:
    registry: Any = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    si = unit_table().units[name].si
    for value in (0.37, 1.0, 25.0, 345.0):
        expected = registry.Quantity(value, registry.Unit(PINT_NAMES[name])).to(registry.Unit(PINT_NAMES[si])).magnitude
        assert math.isclose(convert(value, name, si), expected, rel_tol=1e-9)
        assert math.isclose(convert(convert(value, name, si), si, name), value, rel_tol=1e-12)


# NIST SP 811 (2008), appendix B.8: factors as printed, seven figures.
SP_811 = [
    ("lbf·ft", "N·m", 1.355818),
    ("lbf·in", "N·m", 0.1129848),
    ("kgf·m", "N·m", 9.80665),
    ("psi", "kPa", 6.894757),
    ("bar", "kPa", 100.0),
    ("in", "mm", 25.4),
    ("thou", "mm", 0.0254),
    ("lb", "kg", 0.4535924),
    ("oz", "kg", 0.02834952),
    ("gal_US", "L", 3.785412),
    ("gal_imp", "L", 4.54609),
    ("pt_US", "L", 0.4731765),
    ("qt_US", "L", 0.9463529),
    ("fl_oz_US", "L", 0.02957353),
    ("fl_oz_imp", "L", 0.02841306),
    ("mph", "km/h", 1.609344),
]


@pytest.mark.parametrize(("unit", "other", "printed"), SP_811)
def test_factor_is_the_printed_one(unit: str, other: str, printed: float) -> None:
    assert math.isclose(convert(1, unit, other), printed, rel_tol=1e-6)


def test_temperatures_have_an_offset() -> None:
    assert convert(-40, "°C", "°F") == pytest.approx(-40)
    assert convert(212, "°F", "°C") == pytest.approx(100)


def test_units_of_different_things_do_not_convert() -> None:
    with pytest.raises(WitnessmarkError, match="choose a unit"):
        convert(1, "N·m", "psi")
    with pytest.raises(WitnessmarkError, match="there are: "):
        convert(1, "furlong", "mm")


@pytest.mark.parametrize(
    ("said", "shown", "beside"),
    [
        ("twenty five foot pounds", "25 lbf·ft", ["33.9 N·m"]),
        ("about 25 Nm", "about 25 N·m", ["18.4 lbf·ft"]),
        ("ten to twelve thou", "10–12 thou", ["0.254–0.305 mm"]),
        ("3/8 inch plate", "3/8 in", ["9.53 mm"]),
        ("28 psi", "28 psi", ["1.93 bar", "193 kPa"]),
        ("ten w forty", "SAE 10W-40", []),
        ("m8 by one point two five", "M8x1.25", []),
        ("no more than 90 degrees C", "at most 90 °C", ["194 °F"]),
        ("fifty to one", "50 : 1", []),
        ("half a turn", "0.5 turn", []),
        ("1,000 rpm", "1000 rpm", []),
    ],
)
def test_figures_are_shown_with_customary_conversions(said: str, shown: str, beside: list[str]) -> None:
    (qty,) = found_in(said)
    assert format_quantity(qty) == shown
    assert customary(qty) == beside


@pytest.mark.parametrize("said", ["a pint of oil", "two gallons", "three fluid ounces", "two quarts"])
def test_undeclared_measures_are_not_converted(said: str) -> None:
    (qty,) = found_in(said)
    assert qty.si_value is None
    assert customary(qty) == []
    assert qty.unit.endswith("_imp")
    (american,) = found_in(said, Settings(units="us"))
    assert american.unit.endswith("_US")
    assert american.si_value is not None
    assert customary(american) != []


def test_american_speakers_mil_is_a_thousandth_of_an_inch() -> None:
    assert [qty.unit for qty in found_in("take five mils off it", Settings(units="us"))] == ["thou"]
    assert [qty.unit for qty in found_in("take five mils off it")] == ["mm"]
    assert [qty.unit for qty in found_in("a ten mil socket", Settings(units="us"))] == ["mm"]
