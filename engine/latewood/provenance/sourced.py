"""A number with the place it was taken from."""

from __future__ import annotations

from datetime import date
from functools import cached_property
from typing import Literal

import msgspec

from latewood.messages import Clause
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: How a number is known. ``published``: its source names an author, an institution or a standard body, a title, a year
#: and a place or address, and was itself read: a stranger can find it. ``reported``: told by somebody, and not to be
#: checked at its source: a text that retells another, an abstract, a page without a name or a year, and of a job the
#: result of a test, an end tag, an owner's word.
Evidence = Literal[
    "published",
    "reported",
    "derived",
    "common-practice",
    "judgement",
    "recalled",
    "product-sheet",
    "firm",
    "input",
    "default",
]


class Sourced(msgspec.Struct, frozen=True, kw_only=True, dict=True):
    """A number in SI, the words its source gives it in, and the place it was taken from.

    ``low`` and ``high`` are P10 and P90. ``unknown`` is the path whose draw it shares: its own, unless a record
    says the number moves with another.
    """

    path: str
    given: str
    si: float
    low: float | None = None
    high: float | None = None
    unit: str
    evidence: Evidence
    source: str
    where: str = ""
    note: str = ""
    #: What the note is made of, in any language.
    remarks: tuple[Clause, ...] = ()
    unknown: str = ""
    symmetric: bool = False
    starts: date | None = None

    @cached_property
    def number(self) -> Number:
        """The float, or the uncertain quantity, a formula may compute with."""
        if self.low is None or self.high is None:
            return self.si
        make = spread.normal if self.symmetric else spread.lognormal
        return make(self.unknown or self.path, self.low, self.si, self.high)
