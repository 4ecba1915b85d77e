"""A pack with one good record and one bad one: neither goes on the shelf."""

from __future__ import annotations

from collections.abc import Iterable

from latewood.plugin import Record, hookimpl, read_pack


@hookimpl
def latewood_records() -> Iterable[Record]:
    """Return every record in this package's folders."""
    return read_pack(__name__)
