"""Amounts of money: decimal, one ISO 4217 currency each, rounded half-up and only at the last step."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Context, Decimal
from functools import cache

from latewood.quantities.refusals import UnitError, nearest

#: ECMA-262 regular expression of an amount. Whether the code is an active currency and how many decimals it has
#: cannot be said here: ISO 4217 changes more often than a contract.
PATTERN = r"^ *[0-9]{1,15}(?:\.[0-9]{1,4})? ?[A-Z]{3} *$"

_MAX_TEXT = 40
_TEXT = re.compile(r"([0-9]{1,15}(?:\.([0-9]{1,4}))?) ?([A-Z]{3})")
_LOOSE = re.compile(r"[0-9.,]+ ?([A-Za-z]{3})")
#: Wide enough for 15 whole digits, any factor a take-off brings and the decimals below a minor unit.
_EXACT = Context(prec=60)


@dataclass(frozen=True, slots=True)
class Money:
    """An amount, not rounded, in one currency (ISO 4217 code)."""

    amount: Decimal
    currency: str

    def __add__(self, other: Money) -> Money:
        return Money(_EXACT.add(self.amount, other.amount), one_currency((self, other)))

    def times(self, factor: Decimal | int) -> Money:
        """Return this amount so many times, not rounded."""
        return Money(_EXACT.multiply(self.amount, Decimal(factor)), self.currency)


def read_money(text: str) -> Money:
    """Read ``54.00 USD``.

    Raises `UnitError` for the form, a sign or a symbol, more decimals than the currency has, a decimal comma, a code
    that is not active, and a text that is too long.
    """
    if len(text) > _MAX_TEXT:
        raise UnitError("money-too-long", length=len(text))
    text = text.strip(" ")
    found = _TEXT.fullmatch(text)
    if found is None:
        raise _bad(text)
    digits = minor_digits(found[3])
    if len(found[2] or "") > digits:
        raise UnitError("money-too-fine", given=repr(text), currency=found[3], digits=digits)
    return Money(Decimal(found[1]), found[3])


def show_money(money: Money) -> dict[str, str]:
    """Return an amount as answers carry it: rounded half-up, with all its minor digits."""
    return {"amount": format(round_money(money.amount, money.currency), "f"), "currency": money.currency}


def round_money(amount: Decimal, currency: str) -> Decimal:
    """Return an amount rounded half-up (a half away from zero) to the currency's minor unit."""
    return amount.quantize(_minor_unit(currency), rounding=ROUND_HALF_UP, context=_EXACT) + 0


def total(parts: Iterable[Money], currency: str) -> Money:
    """Return the exact sum, zero where there are no parts; raise `UnitError` where another currency occurs."""
    amount = Decimal(0)
    for part in parts:
        one_currency((part, Money(amount, currency)))
        amount = _EXACT.add(amount, part.amount)
    return Money(amount, currency)


def split_rounded(parts: Sequence[Money], currency: str) -> list[Money]:
    """Round lines so that they sum to their rounded total.

    By largest remainder: each line goes down to the minor unit below, and the units still missing from the rounded
    total go to the lines that lost most, the earlier of two equals first. No line moves by a whole minor unit.
    """
    unit = _minor_unit(currency)
    whole = round_money(total(parts, currency).amount, currency)
    floors = [part.amount.quantize(unit, rounding=ROUND_FLOOR, context=_EXACT) for part in parts]
    missing = int((whole - sum(floors, Decimal(0))) / unit)
    by_loss = sorted(range(len(parts)), key=lambda i: (floors[i] - parts[i].amount, i))
    raised = set(by_loss[:missing])
    return [Money(floor + unit if i in raised else floor, currency) for i, floor in enumerate(floors)]


def one_currency(parts: Iterable[Money]) -> str:
    """Return the one currency all parts are in, or raise `UnitError`; ValueError without parts."""
    codes = sorted({part.currency for part in parts})
    if not codes:
        raise ValueError("no amounts, so no currency")
    if len(codes) > 1:
        raise UnitError("mixed-currencies", currencies=codes)
    return codes[0]


def minor_digits(currency: str) -> int:
    """Return how many decimals an active currency has; raise `UnitError` for any other code."""
    known = _currencies()
    if currency not in known:
        near = nearest(currency, tuple(known))
        raise UnitError("unknown-currency", given=repr(currency), nearest=near)
    return known[currency]


def _minor_unit(currency: str) -> Decimal:
    return Decimal(1).scaleb(-minor_digits(currency))


@cache
def _currencies() -> dict[str, int]:
    # The tables take 50 ms to load, which an engine that is never asked about money should not spend.
    from iso4217 import Currency

    # Metals, test codes and units of account have no minor unit: no one is paid in them.
    return {currency.code: currency.exponent for currency in Currency if currency.exponent is not None}


def _bad(text: str) -> UnitError:
    shown = repr(text)
    if "," in text:
        return UnitError("comma-in-money", given=shown)
    if re.search("[$£€¥¢₹]", text):
        return UnitError("symbol-in-money", given=shown)
    if text.startswith("-"):
        return UnitError("negative-money", given=shown)
    if re.fullmatch(r"[0-9.]{16,} ?[A-Z]{3}", text):
        return UnitError("money-too-large", given=shown)
    if (found := _LOOSE.fullmatch(text)) and found[1] != found[1].upper():
        near = nearest(found[1].upper(), tuple(_currencies()))
        return UnitError("currency-not-in-capitals", given=repr(found[1]), nearest=near)
    return UnitError("not-money", given=shown)
