"""Single values: what is read, and how each kind of wrong value is refused.

Factors: NIST SP 811 (2008), appendix B.8: 1 ft = 0.3048 m, 1 in = 25.4 mm and 1 US gallon = 3.785 411 784 L exactly.
"""

from __future__ import annotations

import math
from datetime import date
from decimal import Decimal

import pytest

from latewood.declare import Share
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Uncertain
from latewood.wire import Context, struct_reader


@pytest.mark.parametrize(
    ("given", "metres"),
    [
        ("12 ft", 12 * 0.3048),
        ("12 ft 6 in", 12.5 * 0.3048),
        ("5-1/2 in", 5.5 * 0.0254),
        ({"value": 12, "unit": "ft"}, 12 * 0.3048),
        ({"value": 1.5, "unit": "m"}, 1.5),
        ("100 m", 100.0),
        ("0.1 m", 0.1),
    ],
)
def test_quantity(read, given, metres):
    assert read(length=given).length == pytest.approx(metres, rel=1e-15)


@pytest.mark.parametrize(
    ("given", "code", "expected", "nearest"),
    [
        (12, "unit-missing", "12 ft", None),
        (12.5, "unit-missing", "12 ft", None),
        ("12", "unit-missing", "12 ft", None),
        (None, "wrong-type", "12 ft", None),
        (True, "wrong-type", "12 ft", None),
        (["12 ft"], "wrong-type", "12 ft", None),
        ("12 feets", "unknown-unit", "12 ft", "feet"),
        ("12 kg", "wrong-dimension", "12 ft", None),
        ("0.09 m", "out-of-range", "at least 0.1 m and at most 100 m", None),
        ("100.001 m", "out-of-range", "at least 0.1 m and at most 100 m", None),
        ("-3 m", "out-of-range", "at least 0.1 m and at most 100 m", None),
        ("42,5 m", "decimal-comma", None, None),
        ("1\u00005 m", "bad-number", None, None),
        ("1 m\n", "bad-number", None, None),
        ({"value": "12", "unit": "ft"}, "bad-number", "12 ft", None),
        ({"value": math.nan, "unit": "ft"}, "out-of-range", "12 ft", None),
        ({"value": math.inf, "unit": "ft"}, "out-of-range", "12 ft", None),
        ({"value": 12}, "unit-missing", "12 ft", None),
        ({"unit": "ft"}, "bad-number", "12 ft", None),
        ({"value": 1, "unit": "ft", "low": 1}, "unknown-field", "value", None),
        ({"value": 1, "units": "ft"}, "unknown-field", "unit", "unit"),
        ("1" * 41 + " m", "too-long", None, None),
    ],
)
def test_quantity_refused(read, fault, given, code, expected, nearest):
    found = fault(read, length=given)
    assert (found.pointer, found.code) == ("/length", code)
    assert expected is None or expected in found.expected.replace("\u00a0", " ")
    assert nearest is None or found.nearest == nearest


def test_a_point_carries_no_invented_spread(read):
    assert read(rate="10 m2/L").rate == pytest.approx(10_000.0, rel=1e-15)


@pytest.mark.parametrize(
    "given",
    ["8-12 m2/L", "8 to 12 m2/L", {"low": 8, "high": 12, "unit": "m2/L"}],
)
def test_a_range_is_p10_to_p90_about_its_geometric_mean(read, given):
    """Quantiles of a lognormal: ln of P50 is midway between ln of P10 and of P90 (any statistics text)."""
    rate = read(rate=given).rate
    assert isinstance(rate, Uncertain)
    assert (rate.low, rate.value, rate.high) == pytest.approx((8000, 1000 * math.sqrt(96), 12000), rel=1e-12)
    assert rate.paths == {"input/rate"}


def test_a_range_may_say_its_median(read):
    rate = read(rate={"low": 8, "value": 9, "high": 12, "unit": "m2/L"}).rate
    assert (rate.low, rate.value, rate.high) == pytest.approx((8000, 9000, 12000), rel=1e-12)


def test_a_temperature_range_is_normal(read):
    """Temperatures spread evenly about their mean, whatever the scale: in kelvin as in degrees Celsius."""
    warmth = read(warmth="10-20 degC").warmth
    assert (warmth.low, warmth.value, warmth.high) == pytest.approx((283.15, 288.15, 293.15), abs=1e-9)
    even = [spread.quantile(warmth, p) for p in (0.02, 0.5, 0.98)]
    assert even[1] - even[0] == pytest.approx(even[2] - even[1], rel=1e-3)


@pytest.mark.parametrize("given", ["0-90 %", "0.001-90 %", "40-90 %"])
def test_the_tails_of_a_wide_spread_stay_within_the_field(read, given):
    """A lognormal about 0.3 % that reaches 90 % at P90 would lose more than all of the coating at P95."""
    loss = read(loss=given).loss
    assert spread.quantile(loss, 0.9) == pytest.approx(0.9, rel=1e-12)
    assert spread.quantile(loss, 0.999) <= 0.95
    assert spread.quantile(loss, 0.001) >= 0


def test_a_share_has_its_arithmetic_mean(read):
    assert read(loss="10-20 %").loss.value == pytest.approx(0.15, rel=1e-12)


@pytest.mark.parametrize(
    ("given", "code"),
    [
        ("12-8 m2/L", "conflict"),
        ({"low": 8, "value": 13, "high": 12, "unit": "m2/L"}, "conflict"),
        ({"low": 8, "unit": "m2/L"}, "bad-number"),
        ({"low": 8, "high": None, "unit": "m2/L"}, "bad-number"),
        ("50-150 m2/L", "out-of-range"),
        ("0.01-5 m2/L", "out-of-range"),
        ("8-12", "unit-missing"),
    ],
)
def test_a_range_refused(read, fault, given, code):
    found = fault(read, rate=given)
    assert (found.pointer, found.code) == ("/rate", code)


def test_a_range_is_refused_where_one_value_is_meant(read, fault):
    assert fault(read, length="8-12 m").pointer == "/length"


@pytest.mark.parametrize(
    ("given", "share", "low"),
    [
        ("12.5 %", 0.125, 0.125),
        (" 12.5 percent ", 0.125, 0.125),
        ({"value": 12.5, "unit": "%"}, 0.125, 0.125),
        ("1.5-2 %", 0.0175, 0.015),
        ({"low": 1.5, "high": 2, "unit": "%"}, 0.0175, 0.015),
    ],
)
def test_a_percentage_where_a_weight_in_a_litre_is_declared(read, given, share, low):
    found = read(strength=given).strength
    assert isinstance(found, Share)
    assert (spread.value(found.number), spread.low(found.number)) == pytest.approx((share, low))
    assert read(strength="30 g/L").strength == pytest.approx(30.0)


@pytest.mark.parametrize(
    ("given", "code", "expected"),
    [
        ("12.5", "unit-missing", "or a percentage such as 12.5 %"),
        ("12.5 m", "wrong-dimension", "or a percentage such as 12.5 %"),
        ("0 %", "out-of-range", "at least 0.001 % and at most 100 %"),
        ("101 %", "out-of-range", "at least 0.001 % and at most 100 %"),
        ("12,5 %", "decimal-comma", "12.5 %"),
        ("a lot %", "bad-number", "12.5 %"),
        ({"value": "12", "unit": "%"}, "bad-number", "a percentage"),
        ({"low": 5, "high": 3, "unit": "g/L"}, "conflict", "from low to high"),
        ("30-3 %", "conflict", "a percentage from low to high"),
    ],
)
def test_a_percentage_refused(read, fault, given, code, expected):
    found = fault(read, strength=given)
    assert (found.pointer, found.code) == ("/strength", code)
    assert expected in found.expected.replace("\u00a0", " ")


@pytest.mark.parametrize("given", [2, 2.0])
def test_whole(read, given):
    count = read(count=given).count
    assert (count, type(count)) == (2, int)


@pytest.mark.parametrize(
    ("given", "code", "expected"),
    [
        (0, "out-of-range", "from 1 to 5"),
        (6, "out-of-range", "from 1 to 5"),
        (10**19, "out-of-range", "from 1 to 5"),
        (2.5, "wrong-type", "such as 2"),
        ("2", "wrong-type", "such as 2"),
        (True, "wrong-type", "such as 2"),
        (None, "wrong-type", "such as 2"),
        (math.inf, "wrong-type", "such as 2"),
        (math.nan, "wrong-type", "such as 2"),
    ],
)
def test_whole_refused(read, fault, given, code, expected):
    found = fault(read, count=given)
    assert (found.pointer, found.code) == ("/count", code)
    assert expected in found.expected


@pytest.mark.parametrize("given", ["true", 1, 0, None, "yes"])
def test_flag_refused(read, fault, given):
    found = fault(read, wet=given)
    assert (found.pointer, found.code, found.expected) == ("/wet", "wrong-type", "true or false")


def test_flag(read):
    assert read(wet=False).wet is False


@pytest.mark.parametrize(
    ("given", "code", "nearest"),
    [
        ("mat", "unknown-choice", "matt"),
        ("", "unknown-choice", None),
        (1, "wrong-type", None),
        (None, "wrong-type", None),
    ],
)
def test_choice_refused(read, fault, given, code, nearest):
    found = fault(read, finish=given)
    assert (found.pointer, found.code, found.nearest) == ("/finish", code, nearest)
    assert found.expected == "one of matt, gloss"


def test_choice(read):
    assert read(finish="gloss", version=2.0).finish == "gloss"
    assert read(version=2.0).version == 2


@pytest.mark.parametrize(
    ("given", "code"),
    [
        (3, "unknown-choice"),
        (3.0, "unknown-choice"),
        (True, "wrong-type"),
        ("1", "wrong-type"),
        (None, "wrong-type"),
        (1.5, "wrong-type"),
    ],
)
def test_numbered_choice_refused(read, fault, given, code):
    found = fault(read, version=given)
    assert (found.pointer, found.code, found.expected) == ("/version", code, "one of 1, 2")


def test_a_number_that_is_no_count_is_shown(read, read_flat, fault):
    assert fault(read, count=2.5).detail == "2.5 is not a whole number"
    assert fault(read_flat, ("length", "1 m"), ("count", "2.0")).detail == "'2.0' is not a whole number"


@pytest.mark.parametrize("field", ["count", "version"])
def test_a_number_of_hundreds_of_digits_does_not_come_back_whole(read, fault, field):
    assert len(fault(read, **{field: 1e300}).detail) < 80


@pytest.mark.parametrize(
    ("given", "code"),
    [
        ("x" * 11, "too-long"),
        ("a\tb", "bad-text"),
        ("a\x7f", "bad-text"),
        ("\x00", "bad-text"),
        ("\ud800", "bad-text"),
        ("a\x9b31m", "bad-text"),
        ("a\x85b", "bad-text"),
        ("a\u2028b", "bad-text"),
        ("a\u202eb", "bad-text"),
        ("a\u2066b", "bad-text"),
        (5, "wrong-type"),
        (None, "wrong-type"),
    ],
)
def test_text_refused(read, fault, given, code):
    found = fault(read, note=given)
    assert (found.pointer, found.code) == ("/note", code)


def test_text_keeps_what_people_write(read):
    assert read(note="déck 5×6 😀").note == "déck 5×6 😀"


@pytest.mark.parametrize("given", ["A", "brad\n", "", "a b"])
def test_text_of_the_wrong_form(read, fault, given):
    found = fault(read, nails=[{"id": given}])
    assert (found.pointer, found.code) == ("/nails/0/id", "bad-text")


def test_reference(read, shelf):
    assert read(wood="larch").wood is shelf.woods["larch"]


@pytest.mark.parametrize(
    ("given", "code", "part", "nearest"),
    [
        ("lurch", "unknown-id", "there is no species 'lurch'", "larch"),
        ("oak", "unknown-id", "plugin oakery would bring it but was left out", None),
        ("cedar", "ambiguous", "may mean several", None),
        ("", "unknown-id", "there is no species ''", None),
        ("x" * 5000, "unknown-id", "there is no species", None),
        (7, "wrong-type", "a bare number", None),
        (None, "wrong-type", "null", None),
    ],
)
def test_reference_refused(read, fault, given, code, part, nearest):
    found = fault(read, wood=given)
    assert (found.pointer, found.code, found.nearest) == ("/wood", code, nearest)
    assert part in found.detail
    assert len(found.detail) < 250


@pytest.mark.parametrize("given", ["Larch", " LARCH ", "Red Cedar", "red_cedar", "redcedar", "rêd-cedar"])
def test_an_id_may_be_written_as_people_write(form, shelf, given):
    ctx = Context(shelf)
    assert struct_reader(form).read({"length": "1 m", "wood": given}, "", ctx).wood in shelf.woods.values()
    assert not ctx.taken


@pytest.mark.parametrize("given", ["larch\x1b", "larch\u202e", "larch" + " " * 80 + "x", " ", "-"])
def test_what_is_no_name_is_taken_for_none(read, fault, given):
    assert fault(read, wood=given).code == "unknown-id"


def test_a_name_that_is_no_id_is_noted_with_what_it_was_taken_for(form, shelf):
    ctx = Context(shelf)
    assert struct_reader(form).read({"length": "1 m", "wood": "Arborvitae"}, "", ctx).wood.id == "red-cedar"
    assert ctx.taken == [("/wood", "Arborvitae", shelf.woods["red-cedar"])]


@pytest.mark.parametrize("given", ["Matt", " MATT", "m-att"])
def test_a_word_may_be_written_as_people_write(read, given):
    assert read(finish=given).finish == "matt"


def test_an_ambiguous_name_lists_what_it_may_mean(read, fault):
    expected = fault(read, wood="cedar").expected
    assert expected == "one of red-cedar, white-cedar (not on this shelf)"


def test_money(read):
    price = read(price="54.10 USD").price
    assert (price.amount, price.currency) == (Decimal("54.10"), "USD")


@pytest.mark.parametrize(
    ("given", "code"),
    [
        (54, "wrong-type"),
        ("54", "bad-money"),
        ("54.123 USD", "out-of-range"),  # ISO 4217: the dollar has two decimals
        ("54.1 JPY", "out-of-range"),  # and the yen none
        ("54.10 XXD", "unknown-id"),
        ("54,10 EUR", "decimal-comma"),
        (None, "wrong-type"),
    ],
)
def test_money_refused(read, fault, given, code):
    found = fault(read, price=given)
    assert (found.pointer, found.code) == ("/price", code)
    assert found.expected


def test_lumber(read):
    """PS 20: five quarters is dressed 1 in thick, a nominal six 5-1/2 in wide."""
    size = read(size="5/4x6").size
    assert (size.thickness, size.width) == pytest.approx((0.0254, 5.5 * 0.0254), rel=1e-12)


@pytest.mark.parametrize(("given", "code"), [("5/4x7", "unknown-size"), (6, "wrong-type"), (None, "wrong-type")])
def test_lumber_refused(read, fault, given, code):
    found = fault(read, size=given)
    assert (found.pointer, found.code) == ("/size", code)


def test_outline(read):
    outline = read(outline="0 0, 10 0, 10 5 ft").outline
    assert outline.points[1:] == (pytest.approx((3.048, 0)), pytest.approx((3.048, 1.524)))


@pytest.mark.parametrize(
    ("given", "code"), [("0 0, 10 0 ft", "bad-outline"), ("0 0, 10 0, 10 5", "unit-missing"), ([[0, 0]], "wrong-type")]
)
def test_outline_refused(read, fault, given, code):
    found = fault(read, outline=given)
    assert (found.pointer, found.code) == ("/outline", code)


def test_day(read):
    assert read(day="2024-02-29").day == date(2024, 2, 29)


@pytest.mark.parametrize("given", ["2025-02-29", "2025-2-1", "20250201", "2025-02-01T00:00:00", "", "202\u0665-02-01"])
def test_day_refused(read, fault, given):
    found = fault(read, day=given)
    assert (found.pointer, found.code) == ("/day", "bad-date")


@pytest.mark.parametrize("given", ["1900-01-01", "2199-12-31"])
def test_days_are_read_within_three_centuries(read, given):
    assert str(read(day=given).day) == given


@pytest.mark.parametrize("given", ["1899-12-31", "0001-01-01", "2200-01-01", "9999-12-31"])
def test_a_day_at_the_end_of_the_calendar_is_refused(read, fault, given):
    """Else a sum of days could leave the calendar."""
    found = fault(read, day=given)
    assert (found.pointer, found.code) == ("/day", "out-of-range")
    assert found.expected == "a day from 1900-01-01 to 2199-12-31"


def test_a_decimal_comma_where_it_was_asked_for(read):
    got = read(decimal=",", length="2,5 m", price="54,10 EUR", size="21,5x145 mm", outline="0 0; 1,5 0; 1,5 2 m")
    assert got.length == 2.5
    assert got.price.amount == Decimal("54.10")
    assert got.size.thickness == pytest.approx(0.0215)
    assert got.outline.points[1] == (1.5, 0.0)


@pytest.mark.parametrize(
    ("name", "given"), [("length", "2.5 m"), ("price", "54.10 EUR"), ("outline", "0 0; 1.5 0; 1.5 2 m")]
)
def test_a_point_is_refused_where_the_comma_is_the_mark(read, fault, name, given):
    given_fields = {"length": "1 m", name: given}
    assert fault(read, given_fields, decimal=",").code == "decimal-point"


def test_the_nearest_word_leaves_as_plain_text(fault, read):
    """Text of another class is text to Python, and none that JSON is written from."""
    found = fault(read, finish="mat")
    assert (found.code, found.nearest, type(found.nearest)) == ("unknown-choice", "matt", str)
