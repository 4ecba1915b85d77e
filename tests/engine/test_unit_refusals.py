"""Every refusal says what is wrong and what would be right, and costs little."""

import pytest

from latewood.messages import unread
from latewood.quantities import units
from latewood.quantities.refusals import AMBIGUOUS
from latewood.quantities.units import UnitError


def refused(given, dimension, **options):
    with pytest.raises(UnitError) as error:
        units.read(given, dimension, **options)
    return unread(error.value, "")


AMBIGUOUS_TEXTS = ["gal", "gallon", "gallons", "qt", "pt", "pints", "oz", "ounce", "fl oz", "floz", "fluid ounce"]
AMBIGUOUS_TEXTS += ["cup", "ton", "tons", "GAL", "Oz", "gal."]


@pytest.mark.parametrize("word", AMBIGUOUS_TEXTS)
@pytest.mark.parametrize("dimension", ["volume", "mass", "area"])
def test_words_with_several_meanings_are_refused_everywhere(word, dimension):
    error = refused(f"5 {word}", dimension)
    assert error.code == "ambiguous-unit"
    assert error.expected
    assert refused({"value": 5, "unit": word}, dimension).code == "ambiguous-unit"


@pytest.mark.parametrize("dimension", units.DIMENSIONS)
def test_no_ambiguous_word_is_a_spelling(dimension):
    assert not set(AMBIGUOUS) & set(units.spellings(dimension))


@pytest.mark.parametrize(
    ("text", "dimension", "remedies"),
    [
        ("5 gal", "volume", ["us_gal", "imp_gal"]),
        ("5 oz", "volume", ["us_fl_oz", "imp_fl_oz"]),
        ("5 oz", "mass", ["oz_mass"]),
        ("5 ton", "mass", ["t", "kg", "lb"]),
        ("250 ft2/gal", "spreading-rate", ["ft2/us_gal", "ft2/imp_gal"]),
        ("250 sq ft/gal", "spreading-rate", ["sq ft/us_gal", "sq ft/imp_gal"]),
        ("4 lb/gal", "concentration", ["lb/us_gal", "lb/imp_gal"]),
        ("4 oz/ft2", "mass-per-area", ["oz_mass/ft2"]),
        ("2 gpm", "volume-flow", ["us_gal/min", "imp_gal/min"]),
    ],
)
def test_the_remedy_of_an_ambiguous_unit_is_accepted(text, dimension, remedies):
    error = refused(text, dimension)
    assert error.expected == " or ".join(remedies).replace(" or ", ", ", len(remedies) - 2 if len(remedies) > 2 else 0)
    for remedy in remedies:
        assert units.read(f"5 {remedy}", dimension) > 0


def test_a_wrong_dimension_is_said_in_words():
    error = refused("24 L", "area", example="320 ft2")
    assert error.code == "wrong-dimension"
    assert (error.detail, error.expected) == ("'L' measures a volume, not an area", "an area, such as 320 ft2")
    assert refused("20 °C", "temperature-difference").code == "wrong-dimension"
    assert refused("5 L/m2", "spreading-rate").code == "unknown-unit"


@pytest.mark.parametrize("given", ["24", "-1.5", "5-1/2", "1/2", 24, 24.5, {"value": 24}, {"value": 1, "unit": None}])
def test_a_number_without_a_unit(given):
    error = refused(given, "length", example="16 ft")
    assert (error.code, error.expected) == ("unit-missing", "a length with a unit, such as 16 ft")


@pytest.mark.parametrize(
    ("text", "dimension", "near"),
    [
        ("24 Ft", "length", "ft"),
        ("24 fett", "length", "feet"),
        ("5 us gal", "volume", "us_gal"),
        ("5 ML", "volume", "mL"),
        ("20 C", "temperature", "°C"),
        ("5 sqft/us_gal.", "spreading-rate", "sqft/us_gal"),
        ("5 zzzzzz", "length", None),
    ],
)
def test_an_unknown_unit_gets_the_nearest(text, dimension, near):
    error = refused(text, dimension)
    assert (error.code, error.nearest) == ("unknown-unit", near)


def test_commas_and_points():
    error = refused("42,5 m", "length")
    assert (error.code, error.expected) == ("decimal-comma", "'42.5 m'")
    assert refused("1,234 ft", "length").expected == "'1.234 ft' or '1234 ft', whichever is meant"
    error = refused("42.5 m", "length", decimal=",")
    assert (error.code, error.expected) == ("decimal-point", "42,5 m")


@pytest.mark.parametrize(
    "given",
    [
        "nan m",
        "inf m",
        "-Infinity m",
        "NaN",
        {"value": float("nan"), "unit": "m"},
        {"value": float("inf"), "unit": "m"},
        {"value": 1e308, "unit": "yd"},
        {"value": 10**400, "unit": "m"},
    ],
)
def test_nothing_infinite_gets_in(given):
    assert refused(given, "length").code == "out-of-range"


@pytest.mark.parametrize("given", [None, True, [], ["24 ft"], object(), b"24 ft"])
def test_other_types(given):
    assert refused(given, "length").code == "wrong-type"


def test_objects_are_closed_and_hold_numbers():
    error = refused({"value": 1, "unit": "m", "hight": 2}, "length")
    assert error.code == "unknown-field"
    assert refused({"valu": 1, "unit": "m"}, "length").nearest == "value"
    for value in (True, "24", None, [1]):
        assert refused({"value": value, "unit": "m"}, "length").code == "bad-number"
    assert refused({"unit": "m"}, "length").code == "bad-number"
    assert refused({"low": 1, "high": 2, "unit": "m"}, "length").code == "unknown-field"


class Untouchable(str):
    """Fails the test when anything but its length is looked at."""

    def _touched(self, *args, **kwargs):
        raise AssertionError("a text over the limit was looked into")

    strip = replace = casefold = split = __iter__ = __getitem__ = __contains__ = __hash__ = __eq__ = _touched


@pytest.mark.parametrize("length", [41, 10**6])
def test_a_long_text_is_refused_by_its_length_alone(length):
    error = refused(Untouchable("1" * length), "length")
    assert (error.code, str(length) in error.detail) == ("too-long", True)
    with pytest.raises(UnitError, match="quantity-too-long"):
        units.read_range(Untouchable("1" * length), "length")


def test_what_is_remembered_is_bounded():
    for number in range(units.CACHE_SIZE + 500):
        units.read(f"{number} ft", "length")
        with pytest.raises(UnitError):
            units.read_range(f"{number} zz", "length")
    for cache in (units._accepted, units._accepted_range):
        assert cache.cache_info().currsize <= units.CACHE_SIZE
    before = units._accepted.cache_info()
    refused("x" * 10_000, "length")
    assert units._accepted.cache_info() == before


HOSTILE = ["9" * 40, "1/" * 20, "1-" * 20, "1 " * 20, "-" * 40, "1e" * 20, "'" * 40, "1 1/2 " * 6, "9" * 38 + "/1"]
HOSTILE += [
    " " * 40,
    "1" + " " * 38 + "m",
    "1 to " * 8,
    "1 " + "m " * 19,
    "1 " + "/" * 38,
    "1 " + "gal/" * 9,
    "0." * 20,
]


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("dimension", ["length", "spreading-rate"])
def test_hostile_texts_are_refused(text, dimension):
    """Backtracking that doubles with each of 40 characters would not end today; ``tests/bench/hostile.py`` times it."""
    for read in (units.read, units.read_range):
        with pytest.raises(UnitError):
            read(text, dimension)


@pytest.mark.parametrize(
    ("text", "decimal", "code", "expected"),
    [
        ("1,200.5 m", ".", "decimal-comma", "'1200.5 m'"),
        ("1.200,5 m", ".", "decimal-comma", "'1200.5 m'"),
        ("1,234,567.89 m", ".", "decimal-comma", "'1234567.89 m'"),
        ("-1.234.567,8 m", ".", "decimal-comma", "'-1234567.8 m'"),
        ("1.200,5 m", ",", "decimal-point", "1200,5 m"),
        ("1,200.5 m", ",", "decimal-point", "1200,5 m"),
        ("42.5 m", ",", "decimal-point", "42,5 m"),
        ("1,200 m", ".", "decimal-comma", "'1.200 m' or '1200 m', whichever is meant"),
    ],
)
def test_the_remedy_for_marks_can_be_read(text, decimal, code, expected):
    error = refused(text, "length", decimal=decimal)
    assert (error.code, error.expected) == (code, expected)
    remedy = expected.partition(" or ")[0].strip("'")
    assert units.read(remedy, "length", decimal=decimal)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("12\u00a0m2", "U+00A0"),
        ("12\u202fm2", "U+202F"),
        ("\u221212 m2", "U+2212"),
        ("1\u20442 m2", "U+2044"),
        ("\u00bd m2", "fractions such as 1/2"),
        ("\u0661\u0662 m2", "digits 0 to 9"),
        ("\uff11\uff12 m2", "digits 0 to 9"),
        ("20\u00b12 m2", "plus-minus"),
        ("4 \u00d7 3 m2", "multiplication"),
        ("12  m2", "two spaces"),
    ],
)
def test_a_sign_taken_for_another_is_named(text, says):
    error = refused(text, "area")
    assert error.code == "bad-number"
    assert says in error.detail
    assert error.expected == "an area, such as 320 ft2"


@pytest.mark.parametrize("text", ["12 m\u00b2", "1.5 m\u00b2"])
def test_the_sign_for_squared_is_read(text):
    assert units.read(text, "area") == float(text.split(" ")[0])


def test_a_part_that_quantities_do_not_have_is_refused_with_those_they_have():
    error = refused({"value": 4, "unit": "m", "valu": 3}, "length")
    assert (error.code, error.expected, error.nearest) == ("unknown-field", "unit and value", "value")
