"""Where numbers and statements come from."""

from __future__ import annotations

from typing import Annotated, ClassVar

from latewood.records.base import Record
from latewood.records.fields import Matching


class Source(Record, frozen=True, kw_only=True):
    """A document, a body of practice, or our own judgement, named as such."""

    KIND: ClassVar[str] = "source"

    publisher: str
    year: int | None = None
    url: Annotated[str, Matching(r"https?://\S+", "an address starting with https://")] | None = None
    where: Annotated[str, "How to find it where it has no address"] = ""
    note: Annotated[str, "How it was read, and what to be wary of"] = ""
