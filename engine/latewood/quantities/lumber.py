"""Board sizes: nominal softwood lumber as it is named (``5/4x6``), or a real size with its unit (``21x145 mm``).

Dressed sizes: American Softwood Lumber Standard, PS 20, table of nominal and minimum dressed sizes of boards, dimension
and timbers. A dry board is one at 19 % moisture content or less when it was dressed. Dry sizes checked against
published copies of that table; of the green ones 25/32, 1-9/16, 3-9/16 and 7-1/2 in likewise, the others are recalled.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from latewood.quantities import number_text
from latewood.quantities.refusals import UnitError, nearest
from latewood.quantities.scales import to_si

#: Nominal thickness: minimum dressed thickness in inches, dry and green.
THICKNESS = {
    "1": ("3/4", "25/32"),
    "5/4": ("1", "1-1/32"),
    "6/4": ("1-1/4", "1-9/32"),
    "2": ("1-1/2", "1-9/16"),
    "2-1/2": ("2", "2-1/16"),
    "3": ("2-1/2", "2-9/16"),
    "4": ("3-1/2", "3-9/16"),
}
#: Nominal width of boards and dimension: minimum dressed width in inches, dry and green.
WIDTH = {
    "2": ("1-1/2", "1-9/16"),
    "3": ("2-1/2", "2-9/16"),
    "4": ("3-1/2", "3-9/16"),
    "5": ("4-1/2", "4-5/8"),
    "6": ("5-1/2", "5-5/8"),
    "8": ("7-1/4", "7-1/2"),
    "10": ("9-1/4", "9-1/2"),
    "12": ("11-1/4", "11-1/2"),
}
#: Timbers, five inches and more each way, are dressed green, to half an inch under their name.
TIMBER = {"5": "4-1/2", "6": "5-1/2"}
#: Other names of the same thickness.
SAME_THICKNESS = {"4/4": "1", "1-1/4": "5/4", "1-1/2": "6/4", "8/4": "2"}

_UNITS = ("mm", "cm", "in", "inch", "inches", '"')
_LIMITS = (0.001, 1.0)


def _value(text: str) -> Fraction:
    """Return inches written as ``1-9/32`` exactly; ``5/4`` is one and a quarter."""
    return sum((Fraction(part) for part in text.split("-")), Fraction(0))


#: Every nominal size this engine knows, with its dressed thickness and width in inches as text, dry and green.
SIZES: dict[str, tuple[tuple[str, str], tuple[str, str]]] = {
    f"{thick}x{wide}": ((THICKNESS[thick][0], WIDTH[wide][0]), (THICKNESS[thick][1], WIDTH[wide][1]))
    for thick in THICKNESS
    for wide in WIDTH
    if _value(wide) >= _value(thick)
} | {
    f"{thick}x{wide}": ((TIMBER[thick], TIMBER[wide]), (TIMBER[thick], TIMBER[wide]))
    for thick in TIMBER
    for wide in TIMBER
    if _value(wide) >= _value(thick)
}
_ALIASES = {
    f"{name}x{size.partition('x')[2]}": size
    for name, known in SAME_THICKNESS.items()
    for size in SIZES
    if size.startswith(f"{known}x")
}

_X = "(?: ?[xX\u00d7] ?)"
_REAL = number_text.NUMBER.removeprefix("[+-]?")
_UNIT = "|".join(number_text.escape(unit) for unit in _UNITS)


def _names() -> str:
    """Return the piece of pattern for every nominal size: each thickness, then the widths it comes in."""
    widths: dict[str, list[str]] = {}
    for size in (*SIZES, *_ALIASES):
        thick, _, wide = size.partition("x")
        widths.setdefault(thick, []).append(wide)
    return "|".join(f"{thick}{_X}(?:{'|'.join(wides)})" for thick, wides in widths.items())


#: ECMA-262 regular expression of what `read_nominal` accepts; a real size can still be out of range.
PATTERN = rf"^ *(?:{_names()}|{_REAL}{_X}{_REAL} ?(?:{_UNIT})) *$"

_REAL_TEXT = re.compile(rf"({_REAL}){_X}({_REAL}) ?({_UNIT})")
_BARE_TEXT = re.compile(rf"({_REAL}){_X}({_REAL})")
_SEPARATOR = re.compile(_X)


@dataclass(frozen=True, slots=True)
class Nominal:
    """A board's dressed thickness and width in metres, and the size as it was written."""

    thickness: float
    width: float
    text: str


@lru_cache(maxsize=1024)
def read_nominal(text: str, *, green: bool = False) -> Nominal:
    """Read ``5/4x6`` as PS 20 dressed sizes, or ``21x145 mm`` and ``1 x 5.5 in`` as they stand, thickness first.

    ``green`` takes the sizes of lumber dressed before drying. A size with a unit is a real one: ``2x6 in`` is two by
    six inches. Raises `UnitError`, for an unknown size with the nearest.
    """
    if len(text) > number_text.MAX_TEXT:
        raise UnitError("board-size-too-long", length=len(text))
    text = text.strip(" ")
    name = _SEPARATOR.sub("x", text)
    name = _ALIASES.get(name, name)
    if name in SIZES:
        thickness, width = SIZES[name][green]
        return Nominal(
            to_si(float(_value(thickness)), "in", "length"), to_si(float(_value(width)), "in", "length"), text
        )
    if (real := _REAL_TEXT.fullmatch(text)) is not None:
        thick, wide = (to_si(number_text.number(real[i]), real[3], "length") for i in (1, 2))
        if not all(_LIMITS[0] <= side <= _LIMITS[1] for side in (thick, wide)):
            raise UnitError("no-board-so-large", given=repr(text))
        return Nominal(thick, wide, text)
    raise _refused(text, name)


def _refused(text: str, name: str) -> UnitError:
    bare = _BARE_TEXT.fullmatch(text)
    if bare is None:
        return UnitError("not-a-board-size", given=repr(text), nearest=nearest(name, tuple(SIZES)))
    if max(number_text.number(bare[1]), number_text.number(bare[2])) > 16:
        return UnitError("board-size-without-unit", given=repr(text), size=text)
    turned = "x".join(reversed(name.split("x")))
    near = turned if turned in SIZES else nearest(name, tuple(SIZES))
    return UnitError("no-nominal-size", given=repr(text), nearest=near)
