"""The reader of a recorded quantity: one unit, and a value or null for every step of time."""

from __future__ import annotations

import math
from dataclasses import dataclass
from numbers import Real
from typing import Any, Final

import numpy as np

from latewood.declare import Q
from latewood.messages import Code, Count, clause
from latewood.quantities import units
from latewood.quantities.scales import SCALES
from latewood.quantities.series import Series
from latewood.wire.components import Components
from latewood.wire.context import MISSING, Context
from latewood.wire.from_python import plain, series
from latewood.wire.quantity_reader import QuantityReader, limits_of

#: A year of hours and a day, or a fortnight of minutes: beyond that, ask year by year.
MAX_STEPS: Final = 20_160
#: What values read from JSON are; others are looked at one by one.
_USUAL: Final = frozenset({float, int, type(None)})


@dataclass(frozen=True, slots=True)
class SeriesReader:
    """Values of one quantity at equal steps, as ``{unit, values}``; null is not recorded, which is not zero."""

    q: Q
    low: float
    high: float

    @property
    def doc(self) -> str:
        """Meaning of the field."""
        return self.q.doc

    @classmethod
    def of(cls, q: Q) -> SeriesReader:
        """Return the reader of a declared column, its bounds in SI."""
        bounds = QuantityReader.of(q)
        return cls(q, bounds.low, bounds.high)

    def read(self, raw: Any, at: str, ctx: Context) -> Any:
        """Return the `Series`; the first value out of place stands for all."""
        q = self.q
        raw = series(raw, q.dimension)
        if not isinstance(raw, dict):
            return ctx.wrong_type(at, raw, clause("form-series", example=self._example()))
        faults = len(ctx.faults)
        for name in raw:
            if name not in ("unit", "values"):
                ctx.unknown_name(f"{at}/{name}", name, ("unit", "values"))
        for name in ("unit", "values"):
            if name not in raw:
                ctx.refuse("required", f"{at}/{name}", wanted=clause("form-as-is", example=self._example()))
        if len(ctx.faults) > faults:
            return MISSING
        scale = SCALES[q.dimension].get(raw["unit"]) if isinstance(raw["unit"], str) else None
        if scale is None:
            known = [Code(unit) for unit in units.spellings(q.dimension)[:6]]
            return ctx.refuse("no-unit-of-series", f"{at}/unit", given=Code(repr(str(raw["unit"])[:40])), units=known)
        values = plain(raw["values"])
        if not isinstance(values, list):
            return ctx.wrong_type(f"{at}/values", values, clause("form-numbers-and-nulls"))
        if not 1 <= len(values) <= MAX_STEPS:
            return ctx.refuse("series-length", f"{at}/values", count=Count(len(values)), most=Count(MAX_STEPS))
        if not _USUAL.issuperset(map(type, values)):
            for index, value in enumerate(values):
                if value is not None and (isinstance(value, bool) or not isinstance(value, Real)):
                    return ctx.wrong_type(f"{at}/values/{index}", value, clause("form-number-or-null"))
        return self._checked(values, scale, at, ctx)

    def _checked(self, values: list[float | None], scale: tuple[float, float, float], at: str, ctx: Context) -> Any:
        numerator, addend, denominator = scale
        try:
            # Null becomes NaN.
            given = np.array(values, dtype=np.float64)
        except OverflowError:
            # An int of JSON may be too long for a float; so long a number is out of range anyway.
            given = np.array([math.nan if value is None else _float(value) for value in values])
        # What overflows is out of range, and is said to be so below.
        with np.errstate(over="ignore"):
            si = (given * numerator + addend) / denominator
        outside = (si < self.low) | (si > self.high) | np.isinf(si)
        if outside.any():
            index = int(np.argmax(outside))
            return ctx.refuse(
                "values-outside-limits",
                f"{at}/values/{index}",
                count=Count(int(outside.sum())),
                index=Count(index),
                wanted=limits_of(self.q),
            )
        return Series(si)

    def _example(self) -> Code:
        return Code(f'{{"unit": "{self.q.unit}", "values": [...]}}')

    def schema(self, parts: Components) -> dict[str, Any]:
        """Refer to the component all series of this dimension share."""
        return parts.series(self.q.dimension, MAX_STEPS)


def _float(value: float) -> float:
    try:
        return float(value)
    except OverflowError:
        return math.inf
