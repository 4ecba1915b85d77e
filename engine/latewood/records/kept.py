"""Records as they were read, kept from one start to the next: to read hundreds of TOML files takes longer than this."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

import msgspec

from latewood import cache
from latewood.messages import Clause
from latewood.messages.values import Prose
from latewood.records.base import Record

#: A record with its place and its text.
Written = tuple[str, str, Record]


class _Kept(msgspec.Struct, array_like=True):
    """Records by kind, and in what order they come; one that would come back as another is kept as its text."""

    order: list[str]
    records: dict[str, msgspec.Raw]
    texts: list[tuple[str, str]]


_TEXT: Final = ""


def recall(package: str, made_from: str, kinds: Mapping[str, type[Record]]) -> list[Record | tuple[str, str]] | None:
    """Return the records of a pack in order, or place and text of what must be read anew; None where none are kept."""
    content = cache.recall(_name(package), made_from)
    if content is None:
        return None
    try:
        kept = msgspec.msgpack.decode(content, type=_Kept)
        found = {kind: iter(_decoded(kinds[kind], raw)) for kind, raw in kept.records.items()}
    except (KeyError, msgspec.MsgspecError):
        return None
    texts = iter(kept.texts)
    return [next(texts) if kind == _TEXT else next(found[kind]) for kind in kept.order]


def keep(package: str, made_from: str, read: Sequence[Written]) -> None:
    """Keep what was read of a pack."""
    kept = _Kept([], {}, [])
    whole: dict[str, list[Record]] = {}
    for place, text, record in read:
        comes_back = _decoded(type(record), msgspec.msgpack.encode([record])) == [record]
        if comes_back:
            whole.setdefault(record.KIND, []).append(record)
        else:
            # Dates that stand where anything may come back as texts.
            kept.texts.append((place, text))
        kept.order.append(record.KIND if comes_back else _TEXT)
    kept.records = {kind: msgspec.Raw(msgspec.msgpack.encode(records)) for kind, records in whole.items()}
    cache.keep(_name(package), made_from, msgspec.msgpack.encode(kept))


def _name(package: str) -> str:
    return f"records-{package}"


def _decoded(kind: type[Record], content: Any) -> list[Record]:
    found: list[Record] = msgspec.msgpack.decode(content, type=list[kind])  # type: ignore[valid-type]  # found at run time
    for record in found:
        _mend(record)
    return found


def _mend(value: Any) -> None:
    """Make texts of records of what stands for them in the clauses below: a clause may hold anything."""
    if isinstance(value, Clause):
        held: Any = value.values
        for name, one in held.items():
            if isinstance(one, dict):
                held[name] = msgspec.convert(one, Prose)
    elif isinstance(value, msgspec.Struct):
        for name in value.__struct_fields__:
            if name != "raw":
                _mend(getattr(value, name))
    elif isinstance(value, dict):
        for one in value.values():
            _mend(one)
    elif isinstance(value, list | tuple):
        for one in value:
            _mend(one)
