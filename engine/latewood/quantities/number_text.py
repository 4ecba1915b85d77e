"""How a number may be written: decimals, fractions and feet-inches. Pieces of regular expression, and their value.

The pieces are valid both here and in ECMA-262, because the same ones make the patterns in the contract. None nests one
repetition in another, so matching takes time linear in the text. Digits are ASCII; exponents have two digits at most.
"""

from __future__ import annotations

import re
from fractions import Fraction

#: The longest text read as a quantity; checked before anything else is done with it.
MAX_TEXT = 40

_PLAIN = r"(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
DECIMAL = rf"{_PLAIN}(?:[eE][+-]?[0-9]{{1,2}})?"
_SIMPLE = r"[0-9]{1,4}/[1-9][0-9]{0,3}"
#: Proper fractions a rule or tape is marked in. With others, "5-13/2" could be a mixed number or a range.
_PROPER = (
    r"(?:1/2|[12]/3|[1-3]/4|[1-4]/5|[1-5]/6|[1-7]/8|[1-9]/10|(?:[1-9]|1[01])/12|(?:[1-9]|1[0-5])/16"
    r"|(?:[1-9]|[12][0-9]|3[01])/32|(?:[1-9]|[1-5][0-9]|6[0-3])/64)"
)
_MIXED = rf"[1-9][0-9]{{0,8}}[ -]{_PROPER}"
#: One signed number in any of its forms. The longer forms come first: alternatives are tried in order.
NUMBER = rf"[+-]?(?:{_MIXED}|{_SIMPLE}|{DECIMAL})"
_INCHES = rf"(?:(?:[0-9]|1[01])[ -]{_PROPER}|{_PROPER}|(?:[0-9]|1[01])(?:\.[0-9]+)?)"
_FEET_MARK = "(?:ft|feet|foot|'|\u2032)"
_INCH_MARK = '(?:inches|inch|in|"|\u2033)'
#: Whole feet, then inches under twelve.
FEET_INCHES = rf"[+-]?[0-9]{{1,6}} ?{_FEET_MARK}[ -]?{_INCHES} ?{_INCH_MARK}"
# The characters themselves, not an escape, which not every dialect of regular expressions has.
_HYPHEN = "[-\u2013]"
_BETWEEN = f"(?:{_HYPHEN}| {_HYPHEN} )"
#: Two numbers of one kind about a hyphen or en dash, or any two about "to". "5-1/2" stays a mixed number.
RANGE = rf"(?:{_PLAIN}{_BETWEEN}{_PLAIN}|{_SIMPLE}{_BETWEEN}{_SIMPLE}|{NUMBER} to {NUMBER})"

# A unit starts with no character a number could go on with; "1/h" does, and needs a space before it.
_UNIT = r"([^0-9 +.,/\u2013-].*|1/.*)"
_POINT_TEXT = re.compile(rf"({NUMBER})( ?){_UNIT}")
_RANGE_TEXT = re.compile(rf"({RANGE})( ?){_UNIT}")
_RANGE_PARTS = re.compile(rf"({NUMBER})(?: to | ?{_HYPHEN} ?)({NUMBER})")
_FEET_INCHES_TEXT = re.compile(rf"([+-]?)([0-9]{{1,6}}) ?{_FEET_MARK}[ -]?({_INCHES}) ?{_INCH_MARK}")
_NUMBER_TEXT = re.compile(NUMBER)


def number(text: str) -> float:
    """Return the value of text that matches `NUMBER`, correctly rounded."""
    if "/" not in text:
        return float(text)
    sign = -1 if text[0] == "-" else 1
    *whole, fraction = text.lstrip("+-").replace("-", " ").split(" ")
    return float(sign * (Fraction(fraction) + (int(whole[0]) if whole else 0)))


def is_number(text: str) -> bool:
    """Say whether the whole text is one number."""
    return _NUMBER_TEXT.fullmatch(text) is not None


def split_point(text: str) -> tuple[float, str] | None:
    """Return the number and the unit of one quantity, the unit not yet looked up; None where it is not of that form."""
    found = _POINT_TEXT.fullmatch(text)
    if found is None or _glued(found[2], found[3]):
        return None
    return number(found[1]), found[3]


def split_range(text: str) -> tuple[float, float, str] | None:
    """Return both numbers and the unit of a range; None where the text is not one."""
    found = _RANGE_TEXT.fullmatch(text)
    if found is None or _glued(found[2], found[3]):
        return None
    parts = _RANGE_PARTS.fullmatch(found[1])
    return None if parts is None else (number(parts[1]), number(parts[2]), found[3])


def feet_inches(text: str) -> float | None:
    """Return ``12 ft 6 in`` in inches; None where the text is not of that form."""
    found = _FEET_INCHES_TEXT.fullmatch(text)
    if found is None:
        return None
    total = 12 * int(found[2]) + number(found[3])
    return -total if found[1] == "-" else total


def units_pattern(spellings: tuple[str, ...]) -> str:
    """Return the piece of pattern for the space and the unit after a number."""
    plain = "|".join(escape(text) for text in spellings if not text[0].isdigit())
    spaced = "|".join(escape(text) for text in spellings if text[0].isdigit())
    parts = [rf" ?(?:{plain})"] if plain else []
    return "(?:" + "|".join(parts + ([rf" (?:{spaced})"] if spaced else [])) + ")"


def escape(text: str) -> str:
    """Escape only what ECMA-262 counts as syntax; with its ``u`` flag any other escape is an error."""
    return re.sub(r"([\^$\\.*+?()\[\]{}|])", r"\\\1", text)


def _glued(gap: str, unit: str) -> bool:
    return not gap and unit[0] == "1"
