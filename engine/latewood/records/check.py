"""Published values the engine is held against, as data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

import msgspec

from latewood.problems import Fault, escape
from latewood.records.base import Record
from latewood.records.fields import Matching, Ref

#: What the expected values are. Evidence about an answer: ``published`` (a stranger can find it), ``reference-library``
#: (another program), ``hand-worked`` (a whole job worked out on paper, not by the formula that is checked), and, told
#: apart, ``reported`` (as of numbers). None: ``restated`` (what a record holds, from the record's own source),
#: ``arithmetic`` (a sum anybody can redo, the engine's own formula by hand), and the rest.
Against = Literal[
    "published",
    "reported",
    "reference-library",
    "hand-worked",
    "restated",
    "arithmetic",
    "common-practice",
    "recalled",
    "self",
]


class Case(msgspec.Struct, frozen=True, kw_only=True):
    """One cell of a table, or one worked example."""

    id: Annotated[str, Matching(r"[a-z0-9][a-z0-9.-]*", "small letters, digits, hyphens and points")]
    input: Annotated[Mapping[str, Any], "As a request would send it, or a formula's arguments as text"]
    expected: Annotated[Mapping[str, Any], "Value by name of the output"]
    tolerance: Annotated[str, "Where it differs from the group's"] = ""
    reason: Annotated[str, "Why, where the tolerance differs"] = ""
    disagrees: Annotated[
        Mapping[str, str], "Why, by name of the output, where we differ by more than the tolerance and stand by it"
    ] = {}
    note: str = ""


class Check(Record, frozen=True, kw_only=True):
    """A group of cases from one place in one source."""

    KIND: ClassVar[str] = "check"

    calculator: Annotated[
        str,
        Matching(
            r"units|[a-z][a-z0-9-]*|formula:[a-z][a-z0-9-]*|record:[a-z0-9_/-]+",
            "a calculator's id, formula:<id>, units or record:<path>",
        ),
    ]
    source: Annotated[str, Ref("source")]
    where: Annotated[str, "The table, example or paragraph"]
    against: Against
    tolerance: Annotated[
        str,
        "What the source's rounding or stated accuracy allows: exact, a share of the expected value such as 0.5 %, or "
        "a quantity in its unit",
    ]
    reason: Annotated[str, "What of the source the tolerance follows from"]
    cases: tuple[Case, ...]
    note: str = ""

    def conflicts(self) -> Iterator[Fault]:
        """Say where a case disagrees on what it does not expect."""
        for case in self.cases:
            for output in case.disagrees.keys() - case.expected.keys():
                detail = "this output is not among the expected"
                yield Fault(pointer=f"/cases/{case.id}/disagrees/{escape(output)}", code="unknown-field", detail=detail)
