"""The flat form: scalars by name, lists of scalars by repetition, lists of objects by index in the dotted name."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import msgspec

from latewood.messages import Code, Count, refusal
from latewood.problems import Fault, escape
from latewood.wire.options import no_such_field
from latewood.wire.series import SeriesReader
from latewood.wire.structs import ListReader, StructReader

_MAX_INDEX = 1000
_INDEX = re.compile("0|[1-9][0-9]{0,3}")


def tree(pairs: Sequence[tuple[str, str]], reader: StructReader, faults: list[Fault]) -> dict[str, Any]:
    """Return the object tree that name=value pairs spell, as far as they can be placed.

    Names that cannot be placed are added to ``faults``, so that the values of the others are still looked at; a name
    given twice is refused where one value is meant.
    """
    root: dict[str, Any] = {}
    for name, value in pairs:
        try:
            _place(root, reader, name, value, faults)
        except _Refused as refused:
            faults.append(msgspec.structs.replace(refused.fault, pointer=pointer_of(name)))
    closed: dict[str, Any] = _close(root, reader, "", faults)
    return closed


class _Refused(Exception):
    """A name that cannot be placed; where it stands is said by who has the name whole."""

    def __init__(self, fault: Fault) -> None:
        self.fault = fault


def pointer_of(name: str) -> str:
    """Return the place in the input that a flat name stands for."""
    return "".join(f"/{escape(step)}" for step in name[:200].split("."))


def _place(root: dict[str, Any], reader: Any, name: str, value: str, faults: Sequence[Fault]) -> None:
    """Put one value where its dotted name says."""
    place = root
    steps = name.split(".")
    for depth, step in enumerate(steps):
        last = depth == len(steps) - 1
        if isinstance(reader, StructReader):
            if step not in reader.entries:
                if step in reader.later:
                    raise _Refused(refusal("field-of-later", "", name=Code(step)))
                raise _Refused(no_such_field("", step, reader.entries, faults, top=not depth))
            reader = reader.entries[step].reader
        else:
            # One spelling an index: 0 and 00 would be two places in one list.
            if not (_INDEX.fullmatch(step) and int(step) < _MAX_INDEX):
                raise _Refused(refusal("not-an-index", "", given=Code(repr(step[:80]))))
            reader = reader.item
        if not last:
            if not isinstance(reader, StructReader | ListReader):
                given = ".".join(steps[: depth + 1])
                raise _Refused(refusal("has-no-fields", "", name=Code(repr(given[:80]))))
            place = place.setdefault(step, {})
            if not isinstance(place, dict):
                raise _Refused(refusal("with-and-without-fields", ""))
            continue
        if isinstance(reader, ListReader) and not isinstance(reader.item, StructReader):
            place.setdefault(step, [])
            if not isinstance(place[step], list):
                raise _Refused(refusal("by-index-and-repetition", ""))
            place[step].append(value)
        elif step in place:
            raise _Refused(refusal("given-twice", ""))
        elif isinstance(reader, SeriesReader):
            raise _Refused(refusal("series-in-flat-form", "", name=Code(name[:80])))
        elif isinstance(reader, StructReader | ListReader):
            raise _Refused(refusal("has-fields", "", name=Code(name[:80])))
        else:
            place[step] = value


def _close(value: Any, reader: Any, at: str, faults: list[Fault]) -> Any:
    """Turn objects keyed by index into lists, refusing gaps."""
    if isinstance(reader, StructReader) and isinstance(value, dict):
        return {name: _close(v, reader.entries[name].reader, f"{at}/{name}", faults) for name, v in value.items()}
    if isinstance(reader, ListReader) and isinstance(value, dict):
        order = sorted(int(index) for index in value)
        if order != list(range(len(order))):
            faults.append(refusal("numbered-with-a-gap", at, last=Count(len(order) - 1)))
            return []
        return [_close(value[str(index)], reader.item, f"{at}/{index}", faults) for index in order]
    return value


def names(reader: StructReader, prefix: str = "") -> Iterator[tuple[str, Any, bool]]:
    """Yield each flat name with its reader and whether it is required; list items are shown at index 0."""
    for entry in reader.entries.values():
        yield from _names(f"{prefix}{entry.name}", entry.reader, required=entry.required and not prefix)


def _names(name: str, reader: Any, *, required: bool) -> Iterable[tuple[str, Any, bool]]:
    if isinstance(reader, StructReader):
        return names(reader, f"{name}.")
    if isinstance(reader, ListReader) and isinstance(reader.item, StructReader):
        return names(reader.item, f"{name}.0.")
    if isinstance(reader, SeriesReader):
        return []
    return [(name, reader, required)]
