"""Whatever a plugin's records name must be there: sources, models, other records, numbers that move together.

A source that something is published in must say how a stranger finds it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any

from latewood.plugin.loader import BadPlugin
from latewood.problems import nearest
from latewood.provenance import Sourced
from latewood.records import Record, Source


def check_references(brought: Iterable[Record], held: Iterable[Record], models: Collection[tuple[str, str]]) -> None:
    """Raise `BadPlugin` with every dangling reference, each by file and field.

    ``held`` are the records already there, less those that these replace; they too must not be left dangling.
    """
    both = _Held([*held, *brought], models)
    faults = [f"{record.place}: {record.path}: {fault}" for record in both.records for fault in both.faults(record)]
    if faults:
        raise BadPlugin("\n".join(faults))


class _Held:
    def __init__(self, records: Iterable[Record], models: Collection[tuple[str, str]]) -> None:
        self.records = tuple(records)
        self.models = models
        self.ids: dict[str, set[str]] = {}
        self.numbers: dict[str, Sourced] = {}
        self.sources = {record.id: record for record in self.records if isinstance(record, Source)}
        for record in self.records:
            self.ids.setdefault(record.KIND, set()).add(record.id)
            self.numbers |= record.numbers

    def faults(self, record: Record) -> Iterator[str]:
        for reference in record.references:
            known = self.ids.get(reference.kind, set())
            if reference.id not in known:
                yield f"{reference.field}: there is no {reference.kind} record {reference.id}" + _near(
                    reference.id, known
                )
        for field, source in _published(record.raw):
            if source in self.sources and (wanted := ", ".join(self.sources[source].wants())):
                yield (
                    f"{field}: published needs a source that a stranger can find, and source {source} wants {wanted}; "
                    f"complete it, or say reported"
                )
        for path, number in record.numbers.items():
            if number.unknown != path:
                field = ".".join(path.removeprefix(f"{record.path}/").split("/"))
                yield from (f"{field}.moves_with: {fault}" for fault in self._moving(number.unknown))
        for kind, name in sorted(record.models_used() - set(self.models)):
            known = {other for its, other in self.models if its == kind}
            yield f"models.{kind}: there is no model {kind}/{name}" + _near(name, known)

    def _moving(self, path: str) -> Iterator[str]:
        other = self.numbers.get(path)
        if other is None:
            yield f"there is no number {path}" + _near(path, self.numbers)
        elif other.unknown != other.path:
            # The two would be drawn apart, each from a path of its own.
            yield f"{path} itself moves with {other.unknown}; name that one"


def _published(raw: Any, field: str = "") -> Iterator[tuple[str, str]]:
    """Yield the place and the source of all that a record calls published."""
    if isinstance(raw, Mapping):
        how = "against" if "against" in raw else "kind"
        if raw.get(how) == "published" and "source" in raw:
            yield f"{field}.{how}".removeprefix("."), raw["source"]
        if how == "kind":
            for key, value in raw.items():
                yield from _published(value, f"{field}.{key}".removeprefix("."))
    elif isinstance(raw, list):
        for n, value in enumerate(raw):
            yield from _published(value, f"{field}.{value.get('id', n) if isinstance(value, Mapping) else n}")


def _near(word: str, known: Iterable[str]) -> str:
    close = nearest(word, known)
    return f"; did you mean {close}?" if close else ""
