"""Answers: the asked units, nine digits, never NaN, and spellings that the input takes again."""

from __future__ import annotations

import json
import math
from datetime import date
from decimal import Decimal
from typing import Annotated

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.declare import F, Q
from latewood.messages import Style, shipped
from latewood.quantities import units
from latewood.quantities.lumber import Nominal, read_nominal
from latewood.quantities.money import Money
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number
from latewood.wire.write import digits, quantity, struct_writer

PAIRS = [(unit, dimension.id) for dimension in units.DIMENSIONS.values() for unit in set(dimension.canonical.values())]


@given(
    pair=st.sampled_from(PAIRS),
    value=st.floats(1e-6, 1e9) | st.floats(-1e9, -1e-6) | st.just(0.0),
    system=st.sampled_from(["metric", "us"]),
)
def test_what_is_written_is_read_again(pair, value, system):
    """Nine significant digits, so a part in 10^8 of the number shown comes back."""
    unit, dimension = pair
    q = Q(unit, "anything", dimension=dimension)
    si = units.to_si(value, unit, dimension)
    shown = quantity(si, q, system)
    assert shown["unit"] in units.spellings(dimension)
    zero = units.to_si(0, shown["unit"], dimension)
    room = 1e-8 * abs(si - zero) + 1e-12
    for again in (shown, f"{digits(shown['value'])} {shown['unit']}"):
        assert units.read(again, dimension) == pytest.approx(si, abs=room)


@given(value=st.floats(1e-9, 1e12))
def test_nine_digits_at_most(value):
    shown = quantity(value, Q("m", "anything"), "metric")["value"]
    assert len(json.dumps(f"{shown:.15g}").strip('"').split("e")[0].replace(".", "").strip("0")) <= 9
    assert shown == pytest.approx(value, rel=5.1e-9)


def test_us_units():
    """NIST SP 811: 1 US gallon = 3.785 411 784 L, 1 ft2 = 0.092 903 04 m2."""
    assert quantity(0.003785411784, Q("L", "volume"), "us") == {"value": 1.0, "unit": "us_gal"}
    assert quantity(0.09290304, Q("m2", "area"), "us") == {"value": 1.0, "unit": "ft2"}
    assert quantity(273.15, Q("degC", "warmth"), "us") == {"value": 32.0, "unit": "degF"}


def test_an_uncertain_quantity_has_three_numbers():
    volume = spread.lognormal("a", 0.001, 0.002, 0.003)
    assert quantity(volume, Q("L", "volume"), "metric") == {"value": 2.0, "low": 1.0, "high": 3.0, "unit": "L"}


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_not_a_number_is_null(value):
    assert quantity(value, Q("L", "volume"), "us") == {"value": None, "unit": "us_gal"}


class Line(msgspec.Struct, frozen=True, kw_only=True):
    """A line of the answer."""

    id: Annotated[str, F("Name")]
    length: Annotated[float, Q("m", "Length")] | None = None


class Answer(msgspec.Struct, frozen=True, kw_only=True):
    """An answer of every kind."""

    length: Annotated[Number, Q("m", "Length")]
    price: Annotated[Money, F("Price")] | None = None
    size: Annotated[Nominal, F("Size")] | None = None
    day: Annotated[date, F("Day")] | None = None
    lines: Annotated[tuple[Line, ...], F("Lines")] = ()
    count: Annotated[int, F("Count")] | None = None


def test_a_whole_answer():
    answer = Answer(
        length=0.3048,
        price=Money(Decimal("2.005"), "USD"),
        size=read_nominal("5/4x6"),
        day=date(2026, 5, 4),
        lines=(Line(id="a", length=0.3048), Line(id="b")),
        count=0,
    )
    assert struct_writer(Answer)(answer, shipped().speaker(Style(system="us"))) == {
        "length": {"value": 1.0, "unit": "ft"},
        "price": {"amount": "2.01", "currency": "USD"},
        "size": "5/4x6",
        "day": "2026-05-04",
        "lines": [{"id": "a", "length": {"value": 1.0, "unit": "ft"}}, {"id": "b"}],
        "count": 0,
    }


def test_what_is_none_is_left_out():
    speaker = shipped().speaker(Style())
    assert struct_writer(Answer)(Answer(length=1.0), speaker) == {
        "length": {"value": 1.0, "unit": "m"},
        "lines": [],
    }


@pytest.mark.parametrize(
    ("value", "decimal", "text"),
    [
        (4.79, ".", "4.79"),
        (4.79, ",", "4,79"),
        (1234567.891234, ".", "1234567.89"),
        (2, ",", "2"),
        (12345678901, ".", "12345678901"),
        (0.0, ".", "0"),
        (None, ".", ""),
    ],
)
def test_digits(value, decimal, text):
    assert digits(value, decimal) == text
