"""Names of the parts of a deck, of steps and of fields, as a report writes them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from latewood.messages import Name, Speaker, clause

#: Tables of a job whose rows are named by the part, not by the field.
_TABLES: Final = frozenset({"zones", "stairs", "guards", "extras", "defaults"})
#: Parts that are looked at and carry no finish.
_BESIDE: Final = frozenset({"frame", "wall"})


Json = Mapping[str, Any]


class Labels:
    """Writes where something is, in as few words as name all of its parts."""

    def __init__(self, answer: Json, speaker: Speaker) -> None:
        self.speaker = speaker
        self.components: dict[str, Json] = {one["id"]: one for one in answer["components"]}
        self.steps: dict[str, str] = {step["id"]: step["label"] for step in answer["steps"]}
        self.whole = [id for id, one in self.components.items() if one["part"] not in _BESIDE]
        self._whole = frozenset(self.whole)
        self._zones = {one["zone"] for one in self.components.values() if "zone" in one}
        self.several = len(self._zones) > 1

    def where(self, ids: Iterable[str]) -> str:
        """Return the parts: nothing where a deck has only one, all parts, or the shorter of each and all but some."""
        given = dict.fromkeys(ids)
        beside = [id for id in given if id not in self._whole]
        absent = [id for id in self.whole if id not in given]
        if not given or (len(self.whole) == 1 and not absent and not beside):
            return ""
        if not absent and len(self.whole) > 1:
            all_parts = self.speaker.clause(clause("report-all-parts"))
            return "; ".join((all_parts, *self.by_zone(beside)))
        each = "; ".join(self.by_zone([*given]))
        if len(absent) == len(self.whole):
            return each
        but = self.speaker.clause(clause("report-all-but", parts=Name("; ".join(self.by_zone(absent)))))
        return min(each, "; ".join((*self.by_zone(beside), but)), key=len)

    def step(self, id: str) -> str:
        """Return the name of the work of a step."""
        return self.steps.get(id, id)

    def fields(self, pointers: Sequence[str]) -> str:
        """Return fields of a job by their names, each once; a table of a part is named by the part."""
        return ", ".join(dict.fromkeys(map(_field, pointers)))

    def by_zone(self, ids: Sequence[str]) -> list[str]:
        """Return the names of parts, those of one zone together."""
        grouped: dict[str | None, list[str]] = {}
        for id in ids:
            one = self.components.get(id)
            if one is None:
                grouped.setdefault(None, []).append(id)
                continue
            floor = one["part"] == "boards"
            label = self.speaker.word("report-part", "floor") if floor else str(one["label"])
            grouped.setdefault(one.get("zone"), []).append(label)
        if len(grouped) > 1 and {*grouped} == self._zones and len({*map(tuple, grouped.values())}) == 1:
            # The same part of every zone stands once, unless it is the floor, which is named by its zone.
            labels = next(iter(grouped.values()))
            if labels != [self.speaker.word("report-part", "floor")]:
                return [", ".join(labels)]
        return [*dict.fromkeys(self._zone(zone, labels) for zone, labels in grouped.items())]

    def _zone(self, zone: str | None, labels: Sequence[str]) -> str:
        if zone is None or not self.several:
            return ", ".join(labels)
        named = str(self.components[zone]["label"]) if zone in self.components else zone
        alone = [*labels] == [self.speaker.word("report-part", "floor")]
        return named if alone else f"{named}: {', '.join(labels)}"


class Reader:
    """Reads one plan for its report."""

    def __init__(self, answer: Json, speaker: Speaker, labels: Labels) -> None:
        self.answer, self.speaker, self.labels = answer, speaker, labels
        self.where = labels.where

    def _say(self, id: str, **values: Any) -> str:
        return self.speaker.say(id, values)


def beside(text: str, note: str) -> str:
    """Return a text with a note in brackets after it, where there is one."""
    return f"{text} ({note})" if note else text


def _field(pointer: str) -> str:
    words = [word for word in pointer.split("/")[1:] if not word.isdigit()]
    if len(words) > 1 and words[0] in _TABLES:
        words = words[1:]
    return ".".join(words)
