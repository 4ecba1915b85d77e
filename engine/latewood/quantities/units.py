"""Quantities at the border: text or ``{value, unit}`` in, SI floats out, and back.

User text never reaches the unit library's own parser, which reads ``5 1/2 in`` as two and a half inches, ``1 fl oz`` as
femtolitre-ounces, and does not return from ``10**10**9 ft``. A short grammar reads the number, an allow-list the unit,
and that library (pint) only gives the factors, written to `factors` by ``python -m latewood.quantities.with_pint``.

Faults of pint that touch us:

- "42,5 m" is 425 m -> no user's text reaches it: own grammar. Tests:
  `engine/test_unit_refusals::test_commas_and_points`
- "1 ft 6 in", "fl oz", "12 ㎡" are misread -> no user's text reaches it: own grammar; a list of spellings. Tests:
  `engine/test_number_text::test_what_is_no_quantity_is_refused_by_reader_and_pattern`,
  `engine/test_number_text::test_lengths_as_a_tape_or_a_drawing_gives_them`
- "nan m" and "1e400 m" pass -> finite or refused. Tests: `engine/test_unit_refusals::test_nothing_infinite_gets_in`
- `9**9**9 m` hangs (1306) -> no user's text reaches it: own grammar; 40 characters. Tests:
  `engine/test_unit_refusals::test_hostile_texts_are_refused`
- the lazy registry is not safe in threads (2039) -> no registry at run time: a table of factors. Tests:
  `engine/test_units::test_a_cold_start_does_not_load_pint`
- a shared registry breaks under threads -> no registry at run time: a table of factors. Tests:
  `engine/test_units::test_a_cold_start_does_not_load_pint`
- its cache grows without end -> ours is bounded. Tests:
  `engine/test_unit_refusals::test_what_is_remembered_is_bounded`
- noise: 1 ft is 0.30479999999999996 m (1082) -> factors in Decimal, rounded once. Tests:
  `engine/test_units::test_factors_are_those_of_pint_in_decimal_to_the_last_bit`,
  `engine/test_units::test_a_hundred_feet_are_exactly_thirty_metres_48`
- units with an offset raise -> temperature and its difference are two dimensions. Tests:
  `engine/test_units::test_differences_of_temperature_have_no_offset`
- contexts and the cache folder break look-ups (2389, 1746) -> neither is used. Tests:
  `engine/test_units::test_the_committed_table_is_what_the_generator_prints`
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache, lru_cache
from numbers import Real

from latewood.quantities import number_text, refusals
from latewood.quantities.outline import OUTLINE_PATTERN, Outline, read_outline
from latewood.quantities.refusals import UnitError
from latewood.quantities.scales import SCALES, show, to_si
from latewood.quantities.spellings import DIMENSIONS, Dimension
from latewood.quantities.us_partners import US_OF

#: How many distinct texts are remembered; each is at most `number_text.MAX_TEXT` characters long.
CACHE_SIZE = 4096

_ONLY = {"unit", "value"}
_RANGED = {"unit", "value", "low", "high"}


def read(given: object, dimension: str, *, decimal: str = ".", example: str | None = None) -> float:
    """Return the SI value of text such as ``24 ft`` or of ``{"value": 24, "unit": "ft"}``.

    Raises `UnitError`; ``example`` is the field's own, shown in what would be right.
    """
    if isinstance(given, str):
        found = _accepted(given, dimension, decimal) if len(given) <= number_text.MAX_TEXT else None
        if found is None:
            raise _refused(given, dimension, decimal, example, uncertain=False)
        return _finite(found, given, dimension, example)
    if type(given) is dict and len(given) == 2 and "value" in given and "unit" in given:
        # The form every well-made JSON request sends; what is odd about it is found out below.
        value, unit = given["value"], given["unit"]
        if type(unit) is str and (type(value) is float or type(value) is int) and -1e9 < value < 1e9:
            scale = SCALES[dimension].get(unit)
            if scale is not None:
                return (value * scale[0] + scale[1]) / scale[2]
    return _of_mapping(_mapping(given, dimension, example, _ONLY), "value", dimension, example)


def read_range(
    given: object, dimension: str, *, decimal: str = ".", example: str | None = None
) -> tuple[float, float | None, float | None]:
    """Return value, low and high in SI; low and high are None for a single value.

    Where only low and high are given the value is their geometric mean, the median of a lognormal spread; for a
    temperature or a share, and where low is not above zero, their arithmetic mean, as in records.
    """
    if isinstance(given, str):
        short = len(given) <= number_text.MAX_TEXT
        if short and (point := _accepted(given, dimension, decimal)) is not None:
            return _finite(point, given, dimension, example), None, None
        pair = _accepted_range(given, dimension, decimal) if short else None
        if pair is None:
            raise _refused(given, dimension, decimal, example, uncertain=True)
        low, high = (_finite(end, given, dimension, example) for end in pair)
        return _ordered(None, low, high, dimension)
    fields = _mapping(given, dimension, example, _RANGED)
    ends = [name for name in ("low", "high") if name in fields]
    if not ends:
        return _of_mapping(fields, "value", dimension, example), None, None
    low, high = (_of_mapping(fields, name, dimension, example) for name in ("low", "high"))
    value = _of_mapping(fields, "value", dimension, example) if "value" in fields else None
    return _ordered(value, low, high, dimension)


def us_of(unit: str, dimension: str | None = None) -> str:
    """Return the US customary unit an answer uses for a metric one; a unit without a partner stays.

    ``K`` is taken as a difference unless the dimension is temperature.
    """
    return "degF" if dimension == "temperature" and unit == "K" else US_OF.get(unit, unit)


def spellings(dimension: str) -> tuple[str, ...]:
    """Return every accepted spelling of a dimension, the canonical one of each unit first."""
    return DIMENSIONS[dimension].spellings


@cache
def pattern(dimension: str, *, uncertain: bool = False, or_share: bool = False) -> str:
    """Return the ECMA-262 regular expression of the text `read` accepts (`read_range` if ``uncertain``), decimal point.

    The 40 character limit stands beside it. What matches can still be not finite or, as a range, upside down.
    ``or_share`` accepts a percentage as well.
    """
    numbers = rf"(?:{number_text.NUMBER}|{number_text.RANGE})" if uncertain else number_text.NUMBER
    body = numbers + number_text.units_pattern(spellings(dimension) + (spellings("fraction") if or_share else ()))
    if dimension == "length":
        body = rf"(?:{body}|{number_text.FEET_INCHES})"
    return f"^ *{body} *$"


@lru_cache(maxsize=CACHE_SIZE)
def _accepted(text: str, dimension: str, decimal: str) -> float | None:
    plain = _with_point(text, decimal)
    found = number_text.split_point(plain)
    if found is not None and found[1] in SCALES[dimension]:
        return to_si(found[0], found[1], dimension)
    if dimension == "length" and (inches := number_text.feet_inches(plain)) is not None:
        return to_si(inches, "in", dimension)
    return None


@lru_cache(maxsize=CACHE_SIZE)
def _accepted_range(text: str, dimension: str, decimal: str) -> tuple[float, float] | None:
    found = number_text.split_range(_with_point(text, decimal))
    if found is None or found[2] not in SCALES[dimension]:
        return None
    return to_si(found[0], found[2], dimension), to_si(found[1], found[2], dimension)


def _with_point(text: str, decimal: str) -> str:
    text = text.strip(" ")
    if decimal == ".":
        return text
    if decimal != ",":
        raise ValueError(f"the decimal mark is a point or a comma, not {decimal!r}")
    return "" if "." in text else text.replace(",", ".")


def _refused(given: str, dimension: str, decimal: str, example: str | None, *, uncertain: bool) -> UnitError:
    known = DIMENSIONS[dimension]
    return refusals.text_error(given, known, decimal, example or known.example, uncertain=uncertain)


def _finite(si: float, given: float | Real | str, dimension: str, example: str | None) -> float:
    if math.isfinite(si):
        return si
    example = example or DIMENSIONS[dimension].example
    if isinstance(given, str) or given != given or abs(given) == math.inf:
        raise UnitError("not-finite", given=repr(str(given)[:40]), needed=dimension, example=example)
    raise UnitError("number-too-large", needed=dimension, example=example)


def _mapping(given: object, dimension: str, example: str | None, allowed: set[str]) -> Mapping[str, object]:
    known = DIMENSIONS[dimension]
    example = example or known.example
    if isinstance(given, Real) and not isinstance(given, bool):
        raise UnitError("number-without-unit", needed=dimension, example=example)
    if not isinstance(given, Mapping):
        raise UnitError("neither-text-nor-object", needed=dimension, example=example)
    for name in given:
        if name not in allowed:
            near = refusals.nearest(str(name)[:40], tuple(sorted(allowed)))
            raise UnitError("no-part-of-a-quantity", name=repr(str(name)[:40]), parts=sorted(allowed), nearest=near)
    if not isinstance(unit := given.get("unit"), str):
        raise UnitError("unit-left-out", needed=dimension, example=example)
    if unit not in SCALES[dimension]:
        raise refusals.unit_error(unit, known, example)
    return given


def _of_mapping(fields: Mapping[str, object], name: str, dimension: str, example: str | None) -> float:
    number = fields.get(name)
    if isinstance(number, bool) or not isinstance(number, Real):
        shown = example or DIMENSIONS[dimension].example
        raise UnitError("part-is-no-number", name=name, needed=dimension, example=shown)
    try:
        si = to_si(float(number), str(fields["unit"]), dimension)
    except OverflowError:
        si = math.inf
    return _finite(si, number, dimension, example)


def _ordered(value: float | None, low: float, high: float, dimension: str) -> tuple[float, float | None, float | None]:
    if low > high:
        raise UnitError("range-upside-down", needed=dimension)
    if value is None:
        geometric = low > 0 and dimension not in ("temperature", "temperature-difference", "fraction")
        value = math.sqrt(low) * math.sqrt(high) if geometric else low / 2 + high / 2
    elif not low <= value <= high:
        raise UnitError("value-outside-range")
    return (value, low, high) if low < high else (low, None, None)


__all__ = [
    "DIMENSIONS",
    "OUTLINE_PATTERN",
    "Dimension",
    "Outline",
    "UnitError",
    "pattern",
    "read",
    "read_outline",
    "read_range",
    "show",
    "spellings",
    "to_si",
    "us_of",
]
