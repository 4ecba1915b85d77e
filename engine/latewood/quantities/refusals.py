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
_GPM = tuple(f"{gallon}/min" for gallon in _GALLON)
#: What an ambiguous word may mean, and the id of what says why.
AMBIGUOUS: dict[str, tuple[tuple[str, ...], str]] = {
    **dict.fromkeys(("gal", "gals", "gallon", "gallons"), (_GALLON, "gallons")),
    **dict.fromkeys(("qt", "qts", "quart", "quarts"), (_QUART, "quarts")),
    **dict.fromkeys(("pt", "pts", "pint", "pints"), (_PINT, "pints")),
    **dict.fromkeys(("fl oz", "floz", "fl_oz", "fluid ounce", "fluid ounces"), (_FLUID_OUNCE, "fluid-ounces")),
    **dict.fromkeys(("oz", "ounce", "ounces"), (("oz_mass", *_FLUID_OUNCE), "ounces")),
    **dict.fromkeys(("cup", "cups"), (("mL", "us_fl_oz"), "cups")),
    **dict.fromkeys(("ton", "tons"), (("t", "kg", "lb"), "tons")),
    "gpm": (_GPM, "gallons"),
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
#: Signs that look like ones a quantity may have, and the id of the refusal that says what to write for them.
_LOOKALIKES = {
    **dict.fromkeys("\u00a0\u2002\u2003\u2007\u2008\u2009\u200a\u202f\u3000", "strange-space"),
    **dict.fromkeys("\u2212\ufe63\uff0d", "strange-minus"),
    **dict.fromkeys("\u2044\u2215", "strange-bar"),
    "\u00d7": "multiplication-sign",
    "\u00b1": "plus-minus-sign",
}
_ANY_RANGE = re.compile(rf"{number_text.RANGE}(?: ?[^0-9].*)?")


class UnitError(ValueError):
    """A value that cannot be read as what its field needs.

    ``id`` names the refusal in the ``messages.toml`` beside this module, and ``values`` stand in it: what is said is
    written by whoever knows the language asked for. ``nearest`` is the known spelling most like the one given.
    """

    def __init__(self, id: str, /, *, nearest: str | None = None, **values: object) -> None:
        super().__init__(id, values)
        self.id = id
        self.values = values
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
    needed, shown = dimension.id, repr(given)
    for other in DIMENSIONS.values():
        if given in other.canonical:
            return UnitError("wrong-dimension", given=shown, other=other.id, needed=needed, example=example)
    near = nearest(given, dimension.spellings)
    return UnitError("unknown-unit", given=shown, needed=needed, example=example, nearest=near)


def text_error(given: str, dimension: Dimension, decimal: str, example: str, *, uncertain: bool) -> UnitError:
    """Return why this text, already known to be refused, cannot be read."""
    if len(given) > number_text.MAX_TEXT:
        return too_long(len(given), example)
    needed = dimension.id
    given = given.strip(" ")
    if not given or _CONTROL.search(given):
        return UnitError("control-in-quantity" if given else "empty-quantity", needed=needed, example=example)
    if _NOT_FINITE.match(given):
        return UnitError("not-finite", given=repr(given), needed=needed, example=example)
    if (strange := _strange(given, needed, example)) is not None:
        return strange
    if decimal == "," and "." in given:
        return UnitError("point-in-quantity", given=repr(given), one=_one_mark(given, ","))
    plain = given.replace(",", ".") if decimal == "," else given
    if "," in plain:
        return _comma(given)
    if number_text.is_number(plain) or (uncertain and _RANGE.fullmatch(plain)):
        return UnitError("quantity-without-unit", given=repr(given), needed=needed, example=example)
    if not uncertain and _ANY_RANGE.fullmatch(plain):
        return UnitError("range-for-one", given=repr(given), needed=needed, example=example)
    found = _STARTS_WITH_NUMBER.fullmatch(plain)
    rest = found[2] if found else ""
    if _UNIT_LIKE.fullmatch(rest):
        return unit_error(rest, dimension, example)
    return UnitError("not-a-quantity", given=repr(given), needed=needed, example=example)


def too_long(length: int, example: str) -> UnitError:
    """Return the refusal of a text that no one writes by hand."""
    return UnitError("quantity-too-long", length=length, most=number_text.MAX_TEXT, example=example)


def _comma(given: str) -> UnitError:
    shown, one = repr(given), repr(_one_mark(given, "."))
    if _THOUSANDS.match(given) and "." not in given:
        return UnitError("comma-of-two-kinds", given=shown, one=one, whole=repr(given.replace(",", "")))
    return UnitError("comma-in-quantity", given=shown, one=one)


def _one_mark(given: str, mark: str) -> str:
    """Return a number with this decimal mark; of two marks the last is the decimal one, the others part thousands."""
    both = _TWO_MARKS.fullmatch(given)
    if both is None or both[4] in both[3]:
        return given.replace(",", mark).replace(".", mark)
    sign, first, groups, _, decimals, rest = both.groups()
    return sign + first + groups.replace(",", "").replace(".", "") + mark + decimals + rest


def _strange(given: str, needed: str, example: str) -> UnitError | None:
    """Return the refusal of a sign no quantity is written with, where one is easily taken for another."""
    for sign in given:
        code = f"U+{ord(sign):04X}"
        if sign in _LOOKALIKES:
            return UnitError(_LOOKALIKES[sign], code=code, needed=needed, example=example)
        if sign.isnumeric() and not sign.isascii() and sign not in "\u00b2\u00b3":
            return UnitError("strange-digit", sign=repr(sign), code=code, needed=needed, example=example)
    if "  " in given:
        return UnitError("two-spaces", needed=needed, example=example)
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
    if not usable:
        return UnitError("ambiguous-unit", given=repr(given), why=why, needed=dimension.id, example=example)
    near = usable[0] if len(usable) == 1 else None
    return UnitError("unit-of-two-kinds", given=repr(given), why=why, units=usable, nearest=near)
