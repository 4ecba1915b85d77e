"""Factors and offsets of every unit, held against NIST SP 811 and against pint itself."""

import decimal
import math
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.messages import shipped, unread
from latewood.quantities import factors, units, with_pint
from latewood.quantities.scales import SCALES

UNITS = [(dimension.id, text) for dimension in units.DIMENSIONS.values() for text in dimension.spellings]
CANONICAL = [
    (dimension.id, expression, texts[0])
    for dimension in units.DIMENSIONS.values()
    for expression, texts in dimension.expressions.items()
]

# NIST Special Publication 811 (2008), appendix B.8, entries it sets in bold as exact, and what follows exactly from
# them: the US gallon is 231 cubic inches, a quart a fourth of it, a pint an eighth, a fluid ounce a 128th; the imperial
# gallon 4.546 09 L, its fluid ounce a 160th.
EXACT = {
    ("length", "ft"): "0.3048",
    ("length", "in"): "0.0254",
    ("length", "mil"): "0.0000254",
    ("length", "yd"): "0.9144",
    ("length", "mi"): "1609.344",
    ("area", "ft2"): "0.09290304",
    ("area", "in2"): "0.00064516",
    ("area", "yd2"): "0.83612736",
    ("volume", "us_gal"): "0.003785411784",
    ("volume", "us_qt"): "0.000946352946",
    ("volume", "us_pt"): "0.000473176473",
    ("volume", "us_fl_oz"): "0.0000295735295625",
    ("volume", "imp_gal"): "0.00454609",
    ("volume", "imp_qt"): "0.0011365225",
    ("volume", "imp_pt"): "0.00056826125",
    ("volume", "imp_fl_oz"): "0.0000284130625",
    ("volume", "ft3"): "0.028316846592",
    ("volume", "in3"): "0.000016387064",
    ("mass", "lb"): "0.45359237",
    ("mass", "oz_mass"): "0.028349523125",
    ("speed", "mph"): "0.44704",
    ("energy", "kWh"): "3600000",
    ("force", "lbf"): "4.4482216152605",
    ("time", "d"): "86400",
}
# The same appendix, entries printed to seven digits.
SEVEN_DIGITS = {
    ("pressure", "psi"): "6.894757E+03",
    ("pressure", "psf"): "4.788026E+01",
    ("pressure", "inHg"): "3.386389E+03",
    ("pressure", "mmHg"): "1.333224E+02",
    ("pressure", "inH2O"): "2.490889E+02",
    ("power", "hp"): "7.456999E+02",
    ("power", "Btu/h"): "2.930711E-01",
    ("energy", "Btu"): "1.055056E+03",
    ("specific-energy", "Btu/lb"): "2.326000E+03",
    ("speed", "kn"): "5.144444E-01",
    ("volume-flow", "cfm"): "4.719474E-04",
    ("volume-flow", "us_gal/min"): "6.309020E-05",
    ("concentration", "lb/ft3"): "1.601846E+01",
    ("concentration", "lb/us_gal"): "1.198264E+02",
    ("concentration", "lb/imp_gal"): "9.977637E+01",
    ("mass-per-area", "lb/ft2"): "4.882428E+00",
    ("mass-per-area", "oz_mass/ft2"): "3.051517E-01",
    ("mass-per-area", "oz_mass/yd2"): "3.390575E-02",
    ("angle", "deg"): "1.745329E-02",
    ("temperature-difference", "delta_degF"): "5.555556E-01",
}
# SP 811, B.9: t/°C = (t/°F - 32)/1.8 and T/K = t/°C + 273.15, at points that come out in few digits.
TEMPERATURES = [
    ("32 degF", 273.15),
    ("212 degF", 373.15),
    ("-40 °F", 233.15),
    ("-40 degC", 233.15),
    ("70 °F", 294.2611111111111),
    ("20 °C", 293.15),
    ("-459.67 degF", 0.0),
    ("300 K", 300.0),
]


@pytest.mark.parametrize(("dimension", "unit"), EXACT)
def test_exact_factors_of_nist_sp_811(dimension, unit):
    assert units.read(f"1 {unit}", dimension) == float(EXACT[dimension, unit])


@pytest.mark.parametrize(("dimension", "unit"), SEVEN_DIGITS)
def test_seven_digit_factors_of_nist_sp_811(dimension, unit):
    assert f"{units.read(f'1 {unit}', dimension):.6E}" == SEVEN_DIGITS[dimension, unit]


@pytest.mark.parametrize(("text", "kelvin"), TEMPERATURES)
def test_temperatures_both_ways(text, kelvin):
    number, unit = text.split(" ")
    # One rounding of the sum and one of the quotient: half a unit in the last place each.
    assert units.read(text, "temperature") == pytest.approx(kelvin, rel=3e-16, abs=1e-13)
    assert units.show(kelvin, unit, "temperature") == pytest.approx(float(number), abs=1e-6)


def test_differences_of_temperature_have_no_offset():
    # SP 811, B.9: an interval of one kelvin is one degree Celsius and 1.8 degrees Fahrenheit.
    assert units.read("9 delta_degF", "temperature-difference") == 5.0
    assert units.read("5 delta_degC", "temperature-difference") == 5.0
    assert units.show(5.0, "delta_degF", "temperature-difference") == 9.0


def test_a_hundred_feet_are_exactly_thirty_metres_48():
    # 0.3048 m is not a binary fraction: a factor in floats gives 100 ft as 30.479999999999997 m in pint's default.
    assert units.read("100 ft", "length") == 30.48
    assert units.read("24 ft", "length") == 7.3152
    assert units.read({"value": 24, "unit": "ft"}, "length") == 7.3152


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry(non_int_type=Decimal, cache_folder=None)


@pytest.mark.parametrize(("dimension", "expression", "unit"), CANONICAL)
def test_factors_are_those_of_pint_in_decimal_to_the_last_bit(registry, dimension, expression, unit):
    with decimal.localcontext(prec=60):
        pint_unit = registry.Unit(expression)
        zero, one = (registry.Quantity(Decimal(n), pint_unit).to_base_units().magnitude for n in (0, 1))
        numerator, addend, denominator = SCALES[dimension][unit]
        assert numerator / denominator == float(Decimal(one) - Decimal(zero))
        assert addend / denominator == float(Decimal(zero))


@pytest.mark.parametrize(("dimension", "expression", "unit"), CANONICAL)
def test_every_unit_has_the_dimension_of_the_si_unit_it_is_computed_in(registry, dimension, expression, unit):
    si = units.DIMENSIONS[dimension].si
    as_pint = {"1": "dimensionless", "VA": "volt*ampere", "m/s2": "m/s**2", "W/m2/K": "W/m**2/K"}
    text = as_pint.get(si) or si.replace("m2", "m**2").replace("m3", "m**3")
    assert registry.Unit(expression).dimensionality == registry.Unit(text).dimensionality


def test_the_committed_table_is_what_the_generator_prints():
    assert Path(factors.__file__).read_text(encoding="utf-8") == with_pint.generate()


def test_a_cold_start_does_not_load_pint():
    code = "import sys, latewood.quantities.units; print('pint' in sys.modules, 'iso4217' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "False"]


@pytest.mark.parametrize(("dimension", "unit"), UNITS)
def test_every_spelling_is_read_as_text_and_as_an_object(dimension, unit):
    as_text = units.read(f"2.5 {unit}", dimension)
    assert as_text == units.read({"value": 2.5, "unit": unit}, dimension)
    assert as_text == units.read(f"2.5 {units.DIMENSIONS[dimension].canonical[unit]}", dimension)


@given(st.sampled_from(UNITS), st.integers(-999_999, 999_999), st.integers(0, 3))
def test_text_to_si_to_shown_to_text_comes_back(unit, digits, places):
    dimension, spelling = unit
    number = float(Decimal(digits).scaleb(-places))
    si = units.read(f"{number!r} {spelling}", dimension)
    # Shown to nine digits; near the zero of a temperature scale the offset leaves fewer, 1e-12 of 300 K.
    shown = units.show(si, spelling, dimension)
    assert shown == pytest.approx(number, rel=1e-9, abs=1e-9)
    if dimension != "temperature":
        assert shown == number
    assert units.read(f"{shown!r} {spelling}", dimension) == pytest.approx(si, rel=1e-9)


@pytest.mark.parametrize("dimension", units.DIMENSIONS)
def test_the_us_partner_of_every_unit_is_a_spelling_of_the_same_dimension(dimension):
    for unit in units.spellings(dimension):
        assert units.us_of(unit, dimension) in units.spellings(dimension)


def test_the_us_partners_the_answers_use():
    pairs = "L us_gal, m2 ft2, m ft, mm in, um mil, cm in, m2/L ft2/us_gal, g/L lb/us_gal, kg lb, g oz_mass, "
    pairs += "kg/m3 lb/ft3, degC degF, K delta_degF, m2/h ft2/h, m/h ft/h, m/s mph, kPa psi, L/s cfm, W W, % %"
    for pair in pairs.split(", "):
        metric, us = pair.split(" ")
        assert units.us_of(metric) == us


@pytest.mark.parametrize("dimension", units.DIMENSIONS.values(), ids=lambda d: d.id)
def test_a_dimension_speaks_for_itself(dimension):
    assert units.read(dimension.example, dimension.id) > 0
    words = shipped().packs["en"].words["dimension"]
    assert words[dimension.id].split(" ", 1)[0] in ("a", "an")
    # The one exception: a percentage is computed as a plain ratio, and a bare "1" is not a unit anyone may send.
    if dimension.id != "fraction":
        assert units.read(f"3 {dimension.si}", dimension.id) == 3.0


def test_show_keeps_nine_digits_and_no_negative_zero():
    assert units.show(math.pi, "m", "length") == 3.14159265
    assert math.copysign(1, units.show(-0.0, "m", "length")) == 1
    with pytest.raises(units.UnitError) as refused:
        units.show(math.nan, "m", "length")
    assert unread(refused.value, "").code == "out-of-range"
