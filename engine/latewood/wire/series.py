"""The reader of a recorded quantity: one unit, and a value or null for every step of time."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from latewood.declare import Q
from latewood.quantities import units
from latewood.quantities.scales import SCALES
from latewood.quantities.series import Series
from latewood.wire.components import Components
from latewood.wire.context import MISSING, Context
from latewood.wire.quantity_reader import QuantityReader

#: A year of hours and a day, or a fortnight of minutes: beyond that, ask year by year.
MAX_STEPS: Final = 20_160


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
        if not isinstance(raw, dict):
            return ctx.wrong_type(at, raw, f"an object with unit and values, such as {self._example()}")
        faults = len(ctx.faults)
        for name in raw:
            if name not in ("unit", "values"):
                ctx.unknown_name(f"{at}/{name}", name, ("unit", "values"))
        for name in ("unit", "values"):
            if name not in raw:
                ctx.fault(f"{at}/{name}", "missing", "this field is required", expected=self._example())
        if len(ctx.faults) > faults:
            return MISSING
        scale = SCALES[q.dimension].get(raw["unit"]) if isinstance(raw["unit"], str) else None
        if scale is None:
            known = ", ".join(units.spellings(q.dimension)[:6])
            ctx.fault(f"{at}/unit", "unknown-unit", f"{str(raw['unit'])[:40]!r} is not a unit of it", expected=known)
            return MISSING
        values = raw["values"]
        if not isinstance(values, list):
            return ctx.wrong_type(f"{at}/values", values, "a list of numbers and nulls")
        if not 1 <= len(values) <= MAX_STEPS:
            expected = f"1 to {MAX_STEPS} values"
            return ctx.fault(f"{at}/values", "out-of-range", f"{len(values)} values were given", expected=expected)
        for index, value in enumerate(values):
            if value is not None and (isinstance(value, bool) or not isinstance(value, int | float)):
                return ctx.wrong_type(f"{at}/values/{index}", value, "a number or null")
        return self._checked(values, scale, at, ctx)

    def _checked(self, values: list[float | None], scale: tuple[float, float, float], at: str, ctx: Context) -> Any:
        numerator, addend, denominator = scale
        # An int of JSON may be too long for a float; so long a number is out of range anyway.
        given = np.array([math.nan if value is None else _float(value) for value in values])
        # What overflows is out of range, and is said to be so below.
        with np.errstate(over="ignore"):
            si = (given * numerator + addend) / denominator
        outside = (si < self.low) | (si > self.high) | np.isinf(si)
        if outside.any():
            index = int(np.argmax(outside))
            q = self.q
            detail = (
                f"{int(outside.sum())} of the values lie outside what this field takes, the first is number {index}"
            )
            limits = f"{q.ge:g} to {q.le:g} {q.unit}"
            return ctx.fault(f"{at}/values/{index}", "out-of-range", detail, expected=limits)
        return Series(si)

    def _example(self) -> str:
        return f'{{"unit": "{self.q.unit}", "values": [...]}}'

    def schema(self, parts: Components) -> dict[str, Any]:
        """Refer to the component all series of this dimension share."""
        return parts.series(self.q.dimension, MAX_STEPS)


def _float(value: float) -> float:
    try:
        return float(value)
    except OverflowError:
        return math.inf
