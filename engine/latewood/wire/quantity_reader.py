"""The reader of a physical quantity."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from latewood.declare import Q, Share
from latewood.messages import Clause, Code, Limit, Word, clause
from latewood.messages.measures import BY_DIMENSION
from latewood.quantities import units
from latewood.quantities.units import UnitError
from latewood.uncertainty import spread
from latewood.wire.components import MAX_TEXT, Components
from latewood.wire.context import MISSING, Context
from latewood.wire.from_python import OF_JSON, quantity


@dataclass(frozen=True, slots=True)
class QuantityReader:
    """A physical quantity with its unit, as text or as ``{value, unit}``; a range too where it may be uncertain."""

    q: Q
    low: float
    high: float

    @property
    def doc(self) -> str:
        """Meaning of the field."""
        return self.q.doc

    @classmethod
    def of(cls, q: Q) -> QuantityReader:
        """Return the reader of a declared quantity, its bounds in SI."""

        def bound(limit: float | None, otherwise: float) -> float:
            if limit is None:
                return otherwise
            return units.read({"value": limit, "unit": q.unit}, q.dimension)

        return cls(q, bound(q.ge, -1e15), bound(q.le, 1e15))

    def read(self, raw: Any, at: str, ctx: Context) -> Any:
        """Return the SI value; an uncertain field's unknown is named after its place in the input."""
        q = self.q
        if type(raw) not in OF_JSON:
            raw = quantity(raw, q.dimension, uncertain=q.uncertain)
        if q.or_share and _is_share(raw):
            found = QuantityReader.of(Q("%", q.doc, ge=0.001, le=100, example="12.5 %", uncertain=q.uncertain)).read(
                raw, at, ctx
            )
            return found if found is MISSING else Share(found)
        try:
            if not q.uncertain:
                value = units.read(raw, q.dimension, decimal=ctx.decimal, example=q.example)
                return value if self._inside(value) else self._outside(at, ctx)
            value, low, high = units.read_range(raw, q.dimension, decimal=ctx.decimal, example=q.example)
        except UnitError as error:
            needed, example = error.values.get("needed"), error.values.get("example")
            # A range upside down is wrong as a percentage too.
            if not q.or_share or needed is None or example is None:
                return ctx.unread(at, error)
            form = clause("form-or-share", needed=Word("dimension", str(needed)), example=Code(example))
            return ctx.unread(at, error, form)
        if low is None or high is None:
            return value if self._inside(value) else self._outside(at, ctx)
        if not (self._inside(low) and self._inside(high)):
            return self._outside(at, ctx)
        even = low <= 0 or q.dimension.startswith("temperature")
        make = spread.normal if even else spread.lognormal
        unknown = make(f"input{at}", low, value, high)
        # The tails of a wide spread reach beyond what the field can mean: a loss of more than the whole.
        return spread.minimum(spread.maximum(unknown, self.low), self.high)

    def _inside(self, value: float) -> bool:
        return self.low <= value <= self.high

    def _outside(self, at: str, ctx: Context) -> Any:
        return ctx.refuse("value-outside-limits", at, wanted=limits_of(self.q))

    def schema(self, parts: Components) -> dict[str, Any]:
        """Refer to the component all quantities of this dimension share."""
        return parts.quantity(self.q.dimension, uncertain=self.q.uncertain, or_share=self.q.or_share)


def limits_of(q: Q) -> Clause:
    """Return the bounds of a declared quantity in words: in its own unit, with the one asked for beside it."""

    def bound(limit: float) -> Limit | Code:
        given = f"{limit:g} {q.unit}"
        measure = BY_DIMENSION.get(q.dimension)
        return Code(given) if measure is None else Limit(given, measure(units.read(given, q.dimension)))

    if q.ge is not None and q.le is not None:
        return clause("form-between", low=bound(q.ge), high=bound(q.le))
    if q.ge is not None:
        return clause("form-at-least", low=bound(q.ge))
    return clause("form-sensible") if q.le is None else clause("form-at-most", high=bound(q.le))


def _is_share(raw: Any) -> bool:
    """Say whether a quantity as sent has the unit of a percentage."""
    unit = raw.get("unit") if isinstance(raw, Mapping) else raw
    return isinstance(unit, str) and len(unit) <= MAX_TEXT and unit.rstrip(" ").endswith(units.spellings("fraction"))
