"""What a source says in words rather than numbers."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.records.fields import Ref
from latewood.records.number import RecordLookup


class Stated(msgspec.Struct, frozen=True, kw_only=True):
    """Something a source says in words."""

    source: Annotated[str, Ref("source")]
    where: Annotated[str, "The place in the source"] = ""
    kind: Annotated[RecordLookup, "How it is known"]
    note: str = ""
