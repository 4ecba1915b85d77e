"""Published values the engine is held against, as data."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar, Literal

import msgspec

from latewood.records.base import Record
from latewood.records.fields import Matching, Ref

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
    tolerance: Annotated[str, "exact, a share of the expected value such as 0.5 %, or a quantity in its unit"]
    reason: Annotated[str, "Why the tolerance is what it is"]
    cases: tuple[Case, ...]
    note: str = ""
