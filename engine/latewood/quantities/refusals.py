"""Why a quantity was refused, and what would be right. Only runs once a text is known not to be accepted."""

from __future__ import annotations

import re
from difflib import get_close_matches

from latewood.quantities import number_text
from latewood.quantities.spellings import DIMENSIONS, Dimension

#: Words that mean different units on different sides of the ocean, or a volume here and a mass there.
_GALLON = ("us_gal", "imp_gal")
_QUART = ("us_qt", "imp_qt")
_PINT = ("us_pt", "imp_pt")
_FLUID_OUNCE = ("us_fl_oz", "imp_fl_oz")
_GALLON_WHY = "a US gallon holds 3.785 L, an imperial one 4.546 L"
_QUART_WHY = "a US quart holds 0.946 L, an imperial one 1.137 L"
_PINT_WHY = "a US pint holds 0.473 L, an imperial one 0.568 L"
_FLUID_WHY = "a US fluid ounce holds 29.57 mL, an imperial one 28.41 mL"
_OUNCE_WHY = "an ounce is a mass, or a US or imperial fluid ounce"
_TON_WHY = "a short ton is 907 kg, a long ton 1016 kg, a tonne 1000 kg"
_GPM = tuple(f"{gallon}/min" for gallon in _GALLON)
AMBIGUOUS: dict[str, tuple[tuple[str, ...], str]] = {
    **dict.fromkeys(("gal", "gals", "gallon", "gallons"), (_GALLON, _GALLON_WHY)),
    **dict.fromkeys(("qt", "qts", "quart", "quarts"), (_QUART, _QUART_WHY)),
    **dict.fromkeys(("pt", "pts", "pint", "pints"), (_PINT, _PINT_WHY)),
    **dict.fromkeys(("fl oz", "floz", "fl_oz", "fluid ounce", "fluid ounces"), (_FLUID_OUNCE, _FLUID_WHY)),
    **dict.fromkeys(("oz", "ounce", "ounces"), (("oz_mass", *_FLUID_OUNCE), _OUNCE_WHY)),
    **dict.fromkeys(("cup", "cups"), (("mL", "us_fl_oz"), "cups differ from one country to the next")),
    **dict.fromkeys(("ton", "tons"), (("t", "kg", "lb"), _TON_WHY)),
    "gpm": (_GPM, _GALLON_WHY),
}

_NOT_FINITE = re.compile(r"[+-]?(?:nan|inf|infinity)(?![a-z0-9])", re.IGNORECASE)
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\ud800-\udfff\u2028\u2029]")
_STARTS_WITH_NUMBER = re.compile(rf"({number_text.NUMBER}) ?(.*)")
# Words after a number, each starting as a unit does; "e500 m" is the tail of an exponent, not a unit.
_UNIT_LIKE = re.compile(r"(?![eE][+-]?[0-9])(?:[^\W\d_]|[%°'\"\u2032\u2033]|1/)[^ ]*(?: [^\W\d_][^ ]*)*")
_RANGE = re.compile(number_text.RANGE)
_THOUSANDS = re.compile(r"[+-]?[0-9]{1,3}(?:,[0-9]{3})+(?![0-9,])")
#: 1.200,5 and 1,200.5: the mark that comes last is the decimal one.
_TWO_MARKS = re.compile(r"([+-]?)([0-9]{1,3})((?:[.,][0-9]{3})+)([.,])([0-9]+)(?![0-9.,])(.*)")
#: Signs that look like ones a quantity may have, and what to write for them.
_LOOKALIKES = {
    **dict.fromkeys(
        "\u00a0\u2002\u2003\u2007\u2008\u2009\u200a\u202f\u3000", ("a space that is not the plain one", "a space")
    ),
    **dict.fromkeys("\u2212\ufe63\uff0d", ("a minus sign that is not the plain one", "-")),
    **dict.fromkeys("\u2044\u2215", ("a fraction bar that is not the plain one", "/")),
    "\u00d7": ("a multiplication sign", "one number"),
    "\u00b1": ("a plus-minus sign", "a range such as 20-30, where the field takes one"),
}
_ANY_RANGE = re.compile(rf"{number_text.RANGE}(?: ?[^0-9].*)?")


class UnitError(ValueError):
    """A value that cannot be read as what its field needs.

    ``code`` is for machines, ``detail`` says what is wrong, ``expected`` what would be right, ``nearest`` the known
    spelling most like the one given.
    """

    def __init__(self, code: str, detail: str, expected: str | None = None, nearest: str | None = None) -> None:
        super().__init__(detail)
        self.code = code
        self.detail = detail
        self.expected = expected
        self.nearest = nearest


def nearest(word: str, known: tuple[str, ...]) -> str | None:
    """Return the known spelling most like this one, letter case aside where that alone decides."""
    by_fold: dict[str, str] = {}
    for spelling in known:
        by_fold.setdefault(spelling.casefold(), spelling)
    fold = word.casefold()
    if fold in by_fold:
        return by_fold[fold]
    if close := get_close_matches(word, known, n=1):
        return close[0]
    close = get_close_matches(fold, by_fold, n=1, cutoff=0.5)
    return by_fold[close[0]] if close else None


def unit_error(given: str, dimension: Dimension, example: str) -> UnitError:
    """Return why this unit is not one of the dimension's."""
    if len(given) > number_text.MAX_TEXT:
        return too_long(len(given), example)
    if (found := _ambiguous(given, dimension, example)) is not None:
        return found
    for other in DIMENSIONS.values():
        if given in other.canonical:
            detail = f"{given!r} is a unit of {other.noun}; this field needs {dimension.words}, such as {example}"
            return UnitError("wrong-dimension", detail, expected=_needs(dimension, example))
    near = nearest(given, dimension.spellings)
    return UnitError("unknown-unit", f"{given!r} is not a unit known here", _needs(dimension, example), near)


def text_error(given: str, dimension: Dimension, decimal: str, example: str, *, uncertain: bool) -> UnitError:
    """Return why this text, already known to be refused, cannot be read."""
    if len(given) > number_text.MAX_TEXT:
        return too_long(len(given), example)
    expected = _needs(dimension, example)
    given = given.strip(" ")
    if not given or _CONTROL.search(given):
        what = "the text holds a control character" if given else "the text is empty"
        return UnitError("bad-number", what, expected)
    if _NOT_FINITE.match(given):
        return not_finite(given, expected)
    if (strange := _strange(given)) is not None:
        return UnitError("bad-number", strange, expected)
    if decimal == "," and "." in given:
        return UnitError("decimal-point", f"{given!r} has a point, but decimal=, was asked for", _one_mark(given, ","))
    plain = given.replace(",", ".") if decimal == "," else given
    if "," in plain:
        return _comma(given)
    if number_text.is_number(plain) or (uncertain and _RANGE.fullmatch(plain)):
        return UnitError("unit-missing", f"{given!r} has no unit; this field needs {dimension.words}", expected)
    if not uncertain and _ANY_RANGE.fullmatch(plain):
        return UnitError("bad-number", f"{given!r} is a range; this field takes one value", expected)
    found = _STARTS_WITH_NUMBER.fullmatch(plain)
    rest = found[2] if found else ""
    if _UNIT_LIKE.fullmatch(rest):
        return unit_error(rest, dimension, example)
    return UnitError("bad-number", f"{given!r} is not a number with a unit", expected)


def too_long(length: int, example: str) -> UnitError:
    """Return the refusal of a text that no one writes by hand."""
    detail = f"the text has {length} characters; a quantity has at most {number_text.MAX_TEXT}"
    return UnitError("too-long", detail, expected=f"a quantity such as {example}")


def not_finite(given: object, expected: str) -> UnitError:
    """Return the refusal of NaN, infinity and what overflows to it."""
    return UnitError("not-finite", f"{str(given)[:40]!r} is not a finite number", expected)


def _needs(dimension: Dimension, example: str) -> str:
    return f"{dimension.words}, such as {example}"


def _comma(given: str) -> UnitError:
    detail = (
        f"{given!r} has a comma, which some read as a decimal mark and some as a thousands mark; "
        "write a decimal point and no thousands mark, or ask for decimal=,"
    )
    expected = repr(_one_mark(given, "."))
    if _THOUSANDS.match(given) and "." not in given:
        expected += f" or {given.replace(',', '')!r}, whichever is meant"
    return UnitError("decimal-comma", detail, expected)


def _one_mark(given: str, mark: str) -> str:
    """Return a number with this decimal mark; of two marks the last is the decimal one, the others part thousands."""
    both = _TWO_MARKS.fullmatch(given)
    if both is None or both[4] in both[3]:
        return given.replace(",", mark).replace(".", mark)
    sign, first, groups, _, decimals, rest = both.groups()
    return sign + first + groups.replace(",", "").replace(".", "") + mark + decimals + rest


def _strange(given: str) -> str | None:
    """Say which sign of a text no quantity is written with, where one is easily taken for another."""
    for sign in given:
        code = f"U+{ord(sign):04X}"
        if sign in _LOOKALIKES:
            what, rather = _LOOKALIKES[sign]
            return f"the text holds {what} ({code}); write {rather}"
        if sign.isnumeric() and not sign.isascii() and sign not in "\u00b2\u00b3":
            return f"the text holds {sign!r} ({code}); write numbers with the digits 0 to 9 and fractions such as 1/2"
    if "  " in given:
        return "the text holds two spaces in a row; write one"
    return None


def _ambiguous(given: str, dimension: Dimension, example: str) -> UnitError | None:
    parts = [part.strip(" ") for part in given.casefold().split("/")]
    words = [part.rstrip(".") for part in parts]
    at = next((i for i, word in enumerate(words) if word in AMBIGUOUS), None)
    if at is None:
        return None
    meanings, why = AMBIGUOUS[words[at]]
    whole = given.split("/")
    remedies = ["/".join([*whole[:at], meaning, *whole[at + 1 :]]) for meaning in meanings]
    usable = [remedy for remedy in remedies if remedy in dimension.canonical]
    expected = " or ".join(usable) if usable else _needs(dimension, example)
    return UnitError(
        "ambiguous-unit", f"{given!r} is ambiguous: {why}", expected, usable[0] if len(usable) == 1 else None
    )
