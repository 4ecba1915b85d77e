"""The grammar of quantities: what it reads, and that the published pattern says the same."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.messages import unread
from latewood.quantities import units
from latewood.quantities.number_text import MAX_TEXT
from latewood.quantities.units import UnitError

INCH = 0.0254
LENGTHS = {
    "24 ft": 288,
    "24ft": 288,
    "  24 ft ": 288,
    "+24 ft": 288,
    "-3 in": -3,
    ".5 in": 0.5,
    "5-1/2 in": 5.5,
    "5 1/2 in": 5.5,
    '5-1/2"': 5.5,
    "-5-1/2 in": -5.5,
    "1/8 in": 0.125,
    "-1/8 in": -0.125,
    "13/2 in": 6.5,
    "12 ft 6 in": 150,
    "12' 6\"": 150,
    "12'6\"": 150,
    "12'-6\"": 150,
    "12\u2032 6\u2033": 150,
    "12' 6-1/2\"": 150.5,
    "12' 6 1/2\"": 150.5,
    "12' 0-1/2\"": 144.5,
    "12' 1/2\"": 144.5,
    "12 feet 6.25 inches": 150.25,
    "-12' 6\"": -150,
    "1e3 in": 1000,
    "1e-3 in": 0.001,
    "1E+2 in": 100,
}
# The fractions, mixed numbers and feet-inches above are those pint 0.25.3's own parser gets silently wrong or refuses.

NOT_LENGTHS = [
    "",
    " ",
    "ft",
    "24 16 ft",
    "24  ft",
    "1. ft",
    "--1 ft",
    "+-1 ft",
    "1e500 ft",
    "1e ft",
    "5/0 in",
    "5-13/2 in",
    "0-1/2 in",
    "5 3/7 in",
    "5--1/2 in",
    "12 ft 13 in",
    "12.5 ft 6 in",
    "12 ft 6",
    "12 ft -6 in",
    "12' 6' ",
    "1_000 m",
    "0x10 m",
    "\u0663 m",
    "\uff11 m",
    "1\u00a0m",
    "1\u200bm",
    "24\tft",
    "24 ft\n",
    "24 f\x00t",
    "24 ft\x00",
    "1+1 m",
    "2*3 m",
    "10**10**9 ft",
    "9**9**9",
    "(1) m",
    "1/2/3 in",
    "8-12 m",
]

RANGES = {
    "8-12 m2/L": (8, 12),
    "8 - 12 m2/L": (8, 12),
    "8\u201312 m2/L": (8, 12),
    "8 to 12 m2/L": (8, 12),
    "7.5 to 1.2e1 m2/L": (7.5, 12),
    "1/2-3/4 m2/L": (0.5, 0.75),
    "1/2 to 1-1/2 m2/L": (0.5, 1.5),
}


def refused(given, dimension="length", **options):
    with pytest.raises(UnitError) as error:
        units.read(given, dimension, **options)
    return unread(error.value, "")


@pytest.mark.parametrize("text", LENGTHS)
def test_lengths_as_a_tape_or_a_drawing_gives_them(text):
    assert units.read(text, "length") == pytest.approx(LENGTHS[text] * INCH, rel=3e-16)
    assert re.fullmatch(units.pattern("length"), text)


@pytest.mark.parametrize("text", NOT_LENGTHS)
def test_what_is_no_quantity_is_refused_by_reader_and_pattern(text):
    assert refused(text).code in ("bad-number", "unknown-unit")
    assert not re.fullmatch(units.pattern("length").removesuffix("$"), text)


@pytest.mark.parametrize("text", RANGES)
def test_ranges(text):
    value, low, high = units.read_range(text, "spreading-rate")
    expected = [1000 * end for end in RANGES[text]]
    assert [low, high] == pytest.approx(expected, rel=3e-16)
    # The geometric mean is the median of a lognormal spread with these two as its equally likely limits.
    assert value == pytest.approx(math.sqrt(expected[0] * expected[1]), rel=1e-15)
    assert re.fullmatch(units.pattern("spreading-rate", uncertain=True), text)
    assert not re.fullmatch(units.pattern("spreading-rate"), text)
    assert refused(text, "spreading-rate").code == "bad-number"


def test_a_single_value_has_no_range():
    assert units.read_range("8 m2/L", "spreading-rate") == (8000.0, None, None)
    assert units.read_range("8-8 m2/L", "spreading-rate") == (8000.0, None, None)
    assert units.read_range({"value": 8, "unit": "m2/L"}, "spreading-rate") == (8000.0, None, None)


def test_a_mixed_number_is_not_a_range():
    assert units.read_range("5-1/2 in", "length") == (pytest.approx(5.5 * INCH), None, None)


def test_the_middle_of_a_temperature_range_is_in_the_middle():
    assert units.read_range("10 to 20 degC", "temperature") == (pytest.approx(288.15), 283.15, 293.15)
    assert units.read_range("-5 to 5 K", "temperature-difference") == (0.0, -5.0, 5.0)
    assert units.read_range("0-8 %", "fraction") == (0.04, 0.0, 0.08)


def test_ranges_as_objects():
    assert units.read_range({"low": 8, "high": 12, "unit": "m2/L"}, "spreading-rate")[1:] == (8000.0, 12000.0)
    given = {"value": 9, "low": 8, "high": 12, "unit": "m2/L"}
    assert units.read_range(given, "spreading-rate") == (9000.0, 8000.0, 12000.0)


@pytest.mark.parametrize(
    "given",
    [
        "12-8 m2/L",
        "12 to 8 m2/L",
        {"low": 12, "high": 8, "unit": "m2/L"},
        {"value": 13, "low": 8, "high": 12, "unit": "m2/L"},
        {"value": 10, "low": 12, "high": 8, "unit": "m2/L"},
    ],
)
def test_a_range_runs_upwards_and_holds_its_value(given):
    with pytest.raises(UnitError) as error:
        units.read_range(given, "spreading-rate")
    assert unread(error.value, "").code == "conflict"


def test_half_a_range_is_refused():
    with pytest.raises(UnitError) as error:
        units.read_range({"low": 8, "unit": "m2/L"}, "spreading-rate")
    assert (unread(error.value, "").code, unread(error.value, "").detail) == ("bad-number", "high must be a number")


def test_a_unit_that_starts_with_a_digit_needs_its_space():
    assert units.read("30 1/h", "count-rate") == 30 / 3600
    assert units.read("1/2 1/h", "count-rate") == 0.5 / 3600
    for text in ("301/h", "1/21/h", "1/h"):
        assert refused(text, "count-rate").code == "bad-number"
        assert not re.fullmatch(units.pattern("count-rate"), text)


def test_a_decimal_comma_when_it_is_asked_for():
    assert units.read("42,5 m", "length", decimal=",") == 42.5
    assert units.read_range("7,5-12 m2/L", "spreading-rate", decimal=",")[1] == 7500.0
    assert units.read("12' 6,5\"", "length", decimal=",") == pytest.approx(150.5 * INCH)
    with pytest.raises(ValueError, match="decimal mark"):
        units.read("42 m", "length", decimal=";")


def accepts(text, dimension, uncertain):
    try:
        (units.read_range if uncertain else units.read)(text, dimension)
    except UnitError as error:
        # These two are about the value, which no pattern can judge.
        about_value = error.id in ("range-upside-down", "not-finite")
        return about_value and not text.lower().strip(" +-").startswith(("nan", "inf"))
    return True


CASES = st.sampled_from([(d, u) for d in units.DIMENSIONS for u in (False, True)])


@given(st.data(), CASES)
def test_every_text_the_pattern_allows_is_read(data, case):
    dimension, uncertain = case
    body = units.pattern(dimension, uncertain=uncertain).removeprefix("^").removesuffix("$")
    text = data.draw(st.from_regex(re.compile(body), fullmatch=True))
    if len(text) <= MAX_TEXT:
        assert accepts(text, dimension, uncertain)


PIECES = ["1", "12", "0", "5", ".", "-", " ", "/", "1/2", "13/2", "e", "E", "+", "to", " to ", "\u2013", "'", '"', "ft"]
PIECES += [
    "in",
    "m",
    "m2/L",
    "L",
    "1/h",
    "1/m",
    "%",
    "degC",
    "us_gal",
    "\n",
    "\t",
    ",",
    "_",
    "\u0663",
    "x",
    "feet",
    "sq ft",
]


@given(st.lists(st.sampled_from(PIECES), min_size=1, max_size=8).map("".join), CASES)
def test_reader_and_pattern_agree_on_any_text(text, case):
    dimension, uncertain = case
    matched = re.fullmatch(units.pattern(dimension, uncertain=uncertain).removesuffix("$"), text) is not None
    if len(text) <= MAX_TEXT:
        assert accepts(text, dimension, uncertain) == matched


@pytest.mark.parametrize("uncertain", [False, True])
@pytest.mark.parametrize("dimension", units.DIMENSIONS)
def test_the_pattern_keeps_to_what_ecma_262_has(dimension, uncertain):
    pattern = units.pattern(dimension, uncertain=uncertain)
    assert pattern[0] == "^"
    assert pattern[-1] == "$"
    # Only characters ECMA-262 calls syntax may be escaped under its u flag; (?: is the one group both sides know.
    assert set(re.findall(r"\\(.)", pattern)) <= set("^$.*+?()[]{}|\\")
    assert set(re.findall(r"\(\?(.)", pattern)) == {":"}
