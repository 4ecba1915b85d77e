"""The outline of a deck in one line of text: ``0 0, 24 0, 24 16, 0 16 ft``, the unit once, at the end."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from latewood.quantities import number_text, refusals
from latewood.quantities.refusals import UnitError
from latewood.quantities.scales import SCALES, to_si
from latewood.quantities.spellings import DIMENSIONS

#: The longest outline text that is read, in characters, and its fewest and most corner points.
MAX_OUTLINE_TEXT = 8000
MIN_POINTS = 3
MAX_POINTS = 500
EXAMPLE = "0 0, 24 0, 24 16, 0 16 ft"

_LENGTH = DIMENSIONS["length"]
_COORDINATE = rf"[+-]?{number_text.DECIMAL}"
_POINT = rf"{_COORDINATE} {_COORDINATE}"
_UNITS = number_text.units_pattern(_LENGTH.spellings)

#: ECMA-262 regular expression of what `read_outline` accepts with a decimal point, within `MAX_OUTLINE_TEXT`.
OUTLINE_PATTERN = rf"^ *{_POINT}(?: ?[,;] ?{_POINT}){{{MIN_POINTS - 1},{MAX_POINTS - 1}}}{_UNITS} *$"

_POINT_TEXT = re.compile(rf"({_COORDINATE}) ({_COORDINATE})")
_LAST_TEXT = re.compile(rf"({_POINT})( ?[^0-9 +.,;-].*)?")


@dataclass(frozen=True, slots=True)
class Outline:
    """Corner points in metres, in the order given, and the text they were read from."""

    points: tuple[tuple[float, float], ...]
    text: str

    @property
    def unit(self) -> str:
        """Return the unit the points were given in, as it was spelt."""
        return self.text.strip(" ").lstrip("0123456789+-.,; ")

    @classmethod
    def read(cls, text: str, *, decimal: str = ".") -> Outline:
        """Read an outline; raises `UnitError`."""
        return cls(tuple(read_outline(text, decimal=decimal)), text)


def read_outline(text: str, *, decimal: str = ".") -> list[tuple[float, float]]:
    """Return the corner points in metres. With ``decimal=","`` points are separated by semicolons only.

    Raises `UnitError` for the form, and as any length does for the unit and the decimal mark.
    """
    if len(text) > MAX_OUTLINE_TEXT:
        raise UnitError("outline-text-too-long", length=len(text), most=MAX_OUTLINE_TEXT)
    parts = re.split(" ?[,;] ?" if decimal == "." else " ?; ?", text.strip(" "))
    if decimal == ",":
        if "." in text:
            raise UnitError("point-in-outline", example=_example(decimal))
        if len(parts) == 1 and "," in text:
            raise UnitError("comma-between-points", example=_example(decimal))
        parts = [part.replace(",", ".") for part in parts]
    if len(parts) > MAX_POINTS:
        raise UnitError("outline-of-many-points", points=len(parts), most=MAX_POINTS)
    unit = _unit(parts, text, decimal)
    points = [_point(part, at, text, decimal) for at, part in enumerate(parts, start=1)]
    if len(points) < MIN_POINTS:
        raise UnitError("outline-of-few-points", points=len(points), least=MIN_POINTS, example=EXAMPLE)
    scaled = [(to_si(x, unit, "length"), to_si(y, unit, "length")) for x, y in points]
    if not all(math.isfinite(x) and math.isfinite(y) for x, y in scaled):
        raise UnitError("coordinate-too-large", example=_example(decimal))
    return scaled


def _unit(parts: list[str], text: str, decimal: str) -> str:
    """Take the unit off the last point and return it."""
    last = _LAST_TEXT.fullmatch(parts[-1])
    if last is None:
        raise _bad_point(parts[-1], len(parts), text, decimal)
    parts[-1] = last[1]
    if last[2] is None:
        raise UnitError("outline-without-unit", example=_example(decimal))
    unit = last[2].removeprefix(" ")
    if unit.startswith("/"):
        raise _bad_point(parts[-1] + last[2], len(parts), text, decimal)
    if unit not in SCALES["length"]:
        raise refusals.unit_error(unit, _LENGTH, EXAMPLE)
    return unit


def _point(part: str, at: int, text: str, decimal: str) -> tuple[float, float]:
    found = _POINT_TEXT.fullmatch(part)
    if found is None:
        raise _bad_point(part, at, text, decimal)
    return float(found[1]), float(found[2])


def _bad_point(part: str, at: int, text: str, decimal: str) -> UnitError:
    if decimal == "." and re.search("[0-9],[0-9]", text) and " " not in part:
        return UnitError("comma-in-outline", example=EXAMPLE)
    shown = repr(part[: number_text.MAX_TEXT])
    fraction = re.search("[/'\"\u2032\u2033]", part) is not None
    id = "fraction-in-outline" if fraction else "not-a-point"
    return UnitError(id, place=at, point=shown, example=_example(decimal))


def _example(decimal: str) -> str:
    return EXAMPLE if decimal == "." else EXAMPLE.replace(",", ";")
