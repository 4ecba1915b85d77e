"""The one place where a quantity is written for people: their units, as many digits as they read."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from latewood.messages.measures import MEASURES, Measure, unit_of
from latewood.messages.style import Style
from latewood.quantities.scales import SCALES
from latewood.quantities.us_partners import US_OF

Write = Callable[[Any], str]
Names = Mapping[str, str]
INCH = 0.0254
#: Between a number and its unit: a phone does not part them.
SPACE = "\u00a0"

#: By kind and system, the largest unit first: the least it is used for (in that unit), and the unit. A kind that is
#: not here is written in the unit its JSON has.
LADDERS: Mapping[tuple[str, str], tuple[tuple[float, str], ...]] = {
    ("area", "metric"): ((0.01, "m2"), (0.0, "cm2")),
    ("area", "us"): ((0.5, "ft2"), (0.0, "in2")),
    ("volume", "metric"): ((0.9995, "L"), (0.0, "mL")),
    ("volume", "us"): ((0.9, "us_gal"), (0.9, "us_qt"), (0.0, "us_fl_oz")),
    ("mass", "metric"): ((0.9995, "kg"), (0.0, "g")),
    ("mass", "us"): ((0.9995, "lb"), (0.0, "oz_mass")),
    ("length", "metric"): ((0.9995, "m"), (0.0, "mm")),
    ("flow", "us"): ((0.0, "us_gal/min"),),
}

_CUSTOMARY = frozenset({*US_OF.values(), "us_qt", "in2", "us_gal/min"})


def three(x: float) -> str:
    """Return a number with three significant digits as people write it: 0.662, 3.2, 24, 1380."""
    a = abs(x)
    if a >= 999.5:
        return f"{float(f'{x:.3g}'):.0f}"
    return f"{x:.3g}" if a >= 1e-4 else "0"


def two(x: float) -> str:
    """Return a number with two significant digits, whole from ten."""
    return f"{x:.0f}" if abs(x) >= 9.95 else f"{x:.2g}"


def marked(number: Callable[[float], str], style: Style) -> Callable[[float], str]:
    """Return a way to write numbers with the decimal mark asked for."""
    return number if style.decimal == "." else lambda x: number(x).replace(".", style.decimal)


def writer(kind: str, form: str, style: Style, names: Names) -> Write:
    """Return the function that writes one kind of quantity; ``names`` is what a language calls the units."""
    number = marked(three, style)
    if kind == "share":
        return _share(style, form)
    if kind == "length" and style.system == "us":
        return _inches(number, names, style.decimal)
    if kind == "time":
        return _hours(number, names)
    if kind in ("temperature", "difference"):
        return _degrees(kind, style, names)
    ladder = LADDERS.get((kind, style.system), ((0.0, unit_of(kind, style.system)),))
    steps = [(*SCALES[MEASURES[kind].dimension][unit], least, SPACE + names.get(unit, unit)) for least, unit in ladder]
    if len(steps) == 1:
        ((top, _, bottom, _, tail),) = steps
        factor = bottom / top
        # Forecasts and pumps carry no third digit.
        one = marked(two, style) if kind in ("speed", "rain", "pressure", "flow") else number
        return lambda x: one(x * factor) + tail
    table = [(least * top / bottom, bottom / top, tail) for top, _, bottom, least, tail in steps]
    # Below a metre: whole millimetres, below ten of them one decimal.
    small = marked(two, style) if kind == "length" else number

    def write(x: float) -> str:
        a = abs(x)
        for least, factor, tail in table[:-1]:
            if a >= least:
                return number(x * factor) + tail
        _, factor, tail = table[-1]
        return small(x * factor) + tail

    return write


def _share(style: Style, form: str) -> Write:
    """Write 26 %, 4.5 %; ``tenth`` keeps a decimal above ten, as readings of a meter have it."""
    tail = "%" if style.system == "us" else f"{SPACE}%"
    comma, signed, whole = style.decimal == ",", form == "signed", form != "tenth"

    def write(x: float) -> str:
        x *= 100
        text = f"{x:.0f}" if whole and abs(x) >= 9.95 else f"{x:.1f}"
        text = text.removesuffix(".0")
        if comma:
            text = text.replace(".", ",")
        return f"+{text}{tail}" if signed and x > 0 else text + tail

    return write


def _inches(number: Callable[[float], str], names: Names, decimal: str) -> Write:
    """Write 1/32 in, 1/8 in, 5 1/2 in, 12 ft 6 in, 24 ft: as rules are divided, finer below a quarter of an inch."""
    inch, foot = SPACE + names["in"], SPACE + names["ft"]
    one = SPACE + names.get("one ft", names["ft"])

    def write(x: float) -> str:
        a = abs(x) / INCH
        sign = "-" if x < 0 else ""
        if a < 11.97:
            fine = 32 if a < 0.25 else 16
            parts = round(a * fine)
            if parts == 0:
                # Finer than a rule: thousandths, as far as they say something.
                thousandths = f"{x / INCH:.3f}".rstrip("0").replace(".", decimal)
                return ("0" if a == 0 else thousandths if a >= 5e-4 else number(x / INCH)) + inch
            whole, rest = divmod(parts, fine)
            down = math.gcd(rest, fine)
            text = f"{rest // down}/{fine // down}" if rest else ""
            return sign + (f"{whole} {text}".strip() if whole else text) + inch
        if a < 239.5:
            feet, rest = divmod(round(a), 12)
            long = f"{sign}{feet}{one if feet == 1 else foot}"
            return f"{long} {rest}{inch}" if rest else long
        return sign + number(a / 12) + foot

    return write


def _hours(number: Callable[[float], str], names: Names) -> Write:
    """Write 45 s, 12 min, 2 h 30 min, 20 h, 3 days."""
    second, minute, hour = (SPACE + names[u] for u in ("s", "min", "h"))
    day, days = SPACE + names["day"], SPACE + names["days"]

    def write(x: float) -> str:
        if abs(x) < 90:
            return f"{x:.0f}{second}"
        if abs(x) < 5370:
            return f"{x / 60:.0f}{minute}"
        if 0 < x < 57600:
            hours, minutes = divmod(5 * round(x / 300), 60)
            return f"{hours}{hour} {minutes}{minute}" if minutes else f"{hours}{hour}"
        if abs(x) < 172800:
            return f"{x / 3600:.0f}{hour}"
        count = number(round(x / 43200) / 2)
        return count + (day if count == "1" else days)

    return write


def _degrees(kind: str, style: Style, names: Names) -> Write:
    us, comma = style.system == "us", style.decimal == ","
    tail = SPACE + names["degF" if us else "degC"]
    fine = kind == "difference"
    scale, zero = (1.8 if us else 1.0), (0.0 if fine else 459.67 if us else 273.15)

    def write(x: float) -> str:
        x = x * scale - zero
        text = (f"{x:.1f}" if fine and abs(x) < 9.95 else f"{x:.0f}").removesuffix(".0")
        return (text.replace(".", ",") if comma else text) + tail

    return write


def container(style: Style, names: Names) -> Write:
    """Write the size on a can: 3.785 L, 5 gal, 1 qt; four digits, as a can has them."""
    us = style.system == "us"
    ladder = ((0.9, "us_gal"), (0.9, "us_qt"), (0.0, "us_fl_oz")) if us else ((0.9995, "L"), (0.0, "mL"))

    def write(x: float) -> str:
        size, unit = 0.0, ""
        for least, unit in ladder:
            top, _, bottom = SCALES["volume"][unit]
            size = x * bottom / top
            if size >= least:
                break
        near = f"{size:.3g}"
        text = near if abs(float(near) - size) < 5e-4 * size else f"{size:.4g}"
        return text.replace(".", style.decimal) + SPACE + names[unit]

    return write


def between(form: str, style: Style, names: Names, to: str) -> Write:
    """Write 7.1 to 14.9 sq ft: the unit once, where both ends have the same; the form is that of each end."""
    made: dict[str, Write] = {}

    def write(value: Any) -> str:
        kind = value.low.kind
        one = made.get(kind) or made.setdefault(kind, writer(kind, form, style, names))
        low, high = one(value.low), one(value.high)
        if low == high:
            return low
        at, end = low.rfind(SPACE), high.rfind(SPACE)
        # An end of several units, such as 1 h 30 min, keeps all of them, and so does the other.
        single = SPACE not in low[:at] + high[:end]
        if at >= 0 and single and low[at:] == high[end:]:
            return low[:at] + to + high
        if at < 0 and low[-1] == "%":
            return low[:-1] + to + high
        return low + to + high

    return write


def moment(form: str, style: Style, words: Mapping[str, Any]) -> Write:
    """Write an instant; the pack gives the pattern with names of days and months."""
    days, months = words["days"], words["months"]
    noons = words["am"], words["pm"]

    def write(value: Any) -> str:
        at = value.at
        timed = isinstance(at, datetime)
        pattern = words[form or ("moment" if timed else "date")][style.system]
        hour, minute = (at.hour, at.minute) if timed else (0, 0)
        noon = noons[hour >= 12]
        short = f"{hour % 12 or 12} {noon}" if minute == 0 else f"{hour % 12 or 12}:{minute:02d} {noon}"
        text: str = pattern.format(
            weekday=days[at.weekday()],
            day=at.day,
            month=months[at.month - 1],
            clock=f"{hour:02d}:{minute:02d}",
            short=short,
            year=at.year,
        )
        return text

    return write


def legal(measure: Measure, given: str, style: Style, names: Names) -> str:
    """Return a limit in its own unit, with the unit asked for beside it where that is of the other system."""
    own = written(given, style, names)
    if (given.rpartition(" ")[2] in _CUSTOMARY) == (style.system == "us"):
        return own
    shown = writer(measure.kind, "", style, names)(measure)
    return shown if own.replace(SPACE, "") == shown.replace(SPACE, "") else f"{own} ({shown})"


def written(given: str, style: Style, names: Names) -> str:
    """Return ``250-400 ft2/us_gal`` with the unit as people write it."""
    number, _, unit = given.rpartition(" ")
    return f"{number.replace('.', style.decimal)}{SPACE}{names.get(unit, unit)}" if number else given
