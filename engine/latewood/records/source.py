"""Where numbers and statements come from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal

from latewood.records.base import Record
from latewood.records.fields import Matching

By = Literal["standard-body", "institution", "author", "unnamed", "project"]
Read = Literal["whole", "passage", "abstract", "second-hand", "not-read"]


class Source(Record, frozen=True, kw_only=True):
    """A document, a body of practice, or our own judgement, named as such."""

    KIND: ClassVar[str] = "source"

    publisher: str
    by: Annotated[By, "Who answers for it; a firm or a page without a name is unnamed"] | None = None
    year: int | None = None
    url: Annotated[str, Matching(r"https?://\S+", "an address starting with https://")] | None = None
    where: Annotated[str, "How to find it where it has no address"] = ""
    read: Annotated[Read, "How much was read, of a copy too; what another text retells is second-hand"] | None = None
    note: Annotated[str, "What to be wary of"] = ""

    def wants(self) -> Iterator[str]:
        """Yield the fields that keep a number from it from being called published."""
        if self.by not in ("standard-body", "institution", "author"):
            yield "by"
        if self.year is None:
            yield "year"
        if self.url is None and not self.where:
            yield "where"
        if self.read not in ("whole", "passage"):
            yield "read"
