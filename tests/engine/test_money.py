"""Money: reading, rounding, splitting."""

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.messages import unread
from latewood.quantities import money
from latewood.quantities.money import PATTERN, Money, read_money, round_money, show_money, split_rounded, total
from latewood.quantities.units import UnitError


def usd(text):
    return Money(Decimal(text), "USD")


def refused(call, *arguments):
    with pytest.raises(UnitError) as error:
        call(*arguments)
    return unread(error.value, "")


# Minor units: ISO 4217, list one.
@pytest.mark.parametrize(("code", "digits"), [("USD", 2), ("EUR", 2), ("GBP", 2), ("JPY", 0), ("KWD", 3), ("CLP", 0)])
def test_minor_units_of_iso_4217(code, digits):
    assert money.minor_digits(code) == digits
    shown = show_money(Money(Decimal("1234.56789"), code))
    assert shown == {"amount": str(round(Decimal("1234.56789"), digits)), "currency": code}


@pytest.mark.parametrize(
    ("text", "amount"), [("54.00 USD", "54.00"), ("54 USD", "54"), (" 0.5USD ", "0.5"), ("0 USD", "0")]
)
def test_amounts(text, amount):
    assert read_money(text) == usd(amount)
    assert re.fullmatch(PATTERN, text)


@pytest.mark.parametrize(
    ("text", "code", "near"),
    [
        ("$54", "bad-money", None),
        ("54 $", "bad-money", None),
        ("-5 USD", "bad-money", None),
        ("54", "bad-money", None),
        ("USD 54", "bad-money", None),
        ("54.001 USD", "out-of-range", None),
        ("5.5 JPY", "out-of-range", None),
        ("1e3 USD", "bad-money", None),
        ("NaN USD", "bad-money", None),
        ("\u0665 USD", "bad-money", None),
        ("5 USD\n", "bad-money", None),
        ("1" * 16 + " USD", "bad-money", None),
        ("1,000 USD", "decimal-comma", None),
        ("5,50 EUR", "decimal-comma", None),
        ("5 usd", "unknown-id", "USD"),
        ("5 EURO", "bad-money", None),
        ("5 USX", "unknown-id", None),
        ("5 DEM", "unknown-id", None),  # withdrawn in 2002
        ("5 XAU", "unknown-id", None),  # gold has no minor unit
        ("5 XXX", "unknown-id", None),
        ("9" * 41, "too-long", None),
    ],
)
def test_refusals(text, code, near):
    error = refused(read_money, text)
    assert error.code == code
    assert error.expected
    if near:
        assert error.nearest == near


def test_more_digits_than_amounts_have_are_said():
    error = refused(read_money, "1" * 16 + " USD")
    assert "more digits" in error.detail
    assert error.expected == "at most 15 before the point"


# Half-up, as sellers round: a half goes away from zero, which half-even (Python's default) does not do.
@pytest.mark.parametrize(
    ("amount", "rounded"),
    [("2.665", "2.67"), ("2.675", "2.68"), ("2.6649", "2.66"), ("-2.665", "-2.67"), ("0", "0.00")],
)
def test_rounding_is_half_up(amount, rounded):
    assert str(round_money(Decimal(amount), "USD")) == rounded


def test_no_negative_zero():
    assert show_money(usd("-0.001"))["amount"] == "0.00"


def test_sums_stay_exact_until_shown():
    assert total([usd("0.105")] * 3, "USD") == usd("0.315")
    assert usd("0.1") + usd("0.2") == usd("0.3")
    assert usd("12.345").times(Decimal("3.5")) == usd("43.2075")
    assert total([], "USD") == usd("0")


def test_currencies_do_not_mix():
    euro = Money(Decimal(1), "EUR")
    for call in (lambda: usd("1") + euro, lambda: total([usd("1"), euro], "USD"), lambda: split_rounded([euro], "USD")):
        error = refused(call)
        assert (error.code, "EUR" in error.detail, "USD" in error.detail) == ("conflict", True, True)


def test_lines_are_split_by_largest_remainder():
    # Worked by hand: the sum 10.005 rounds to 10.01; floors are 3.33 + 3.33 + 3.34 = 10.00; the line that lost most
    # (0.0035) takes the cent.
    lines = split_rounded([usd("3.3310"), usd("3.3335"), usd("3.3405")], "USD")
    assert [str(line.amount) for line in lines] == ["3.33", "3.34", "3.34"]
    # Three equal thirds of 100: the earlier takes the cent.
    third = Decimal(100) / 3
    assert [str(line.amount) for line in split_rounded([Money(third, "USD")] * 3, "USD")] == ["33.34", "33.33", "33.33"]
    assert split_rounded([], "USD") == []


AMOUNTS = st.lists(st.decimals(-10_000, 10_000, places=5), max_size=20)


@given(AMOUNTS, st.sampled_from(["USD", "JPY", "KWD"]))
def test_rounded_lines_sum_to_the_rounded_total_and_move_less_than_a_unit(amounts, currency):
    parts = [Money(amount, currency) for amount in amounts]
    lines = split_rounded(parts, currency)
    unit = Decimal(1).scaleb(-money.minor_digits(currency))
    assert sum((line.amount for line in lines), Decimal(0)) == round_money(sum(amounts, Decimal(0)), currency)
    for part, line in zip(parts, lines, strict=True):
        assert abs(part.amount - line.amount) < unit
        assert line.amount == line.amount.quantize(unit)


def code_of(text):
    try:
        read_money(text)
    except UnitError as error:
        return unread(error, "").code
    return None


@given(st.from_regex(re.compile(PATTERN.removeprefix("^").removesuffix("$")), fullmatch=True))
def test_what_the_pattern_allows_fails_only_on_what_it_cannot_know(text):
    if len(text) <= 40:
        assert code_of(text) in (None, "unknown-id", "out-of-range")


@given(st.integers(0, 10**12), st.sampled_from(["USD", "JPY", "KWD"]))
def test_what_is_shown_is_read_back(minor, currency):
    amount = Decimal(minor).scaleb(-money.minor_digits(currency))
    shown = show_money(Money(amount, currency))
    assert read_money(f"{shown['amount']} {shown['currency']}") == Money(amount, currency)
