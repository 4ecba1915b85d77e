"""The parts of a deck as a plan lists them: one id, one label for people, and the faces each has."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import Annotated, Final, TypeVar, cast

import msgspec

from latewood.calculators.condition.inputs import ComponentPart, ConditionComponent
from latewood.declare import F
from latewood.messages import Clause, Code, Name, Speaker, Word, clause
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.hazards import part_of
from latewood.plan.job import Extra, Guard, Stair, Zone
from latewood.provenance import Raised, Shown

S = TypeVar("S", Raised, Shown)

#: Parts that have a word before the name of the item, or alone.
_WORDED: Final = frozenset({"guard", "stair", "frame", "wall"})
#: Names of items that only repeat what they are.
_PLAIN: Final = frozenset({"railing", "guard", "steps", "stairs", "stair", "flight"})


class Component(msgspec.Struct, frozen=True, kw_only=True):
    """A part of the deck; every other place of a plan names it by its id."""

    id: Annotated[str, F("Zone; for what belongs to it zone, table and id")]
    label: Annotated[Clause, F("Name for people")]
    part: Annotated[ComponentPart, F("What it is; boards are the floor of a zone")]
    zone: Annotated[str, F("Zone it belongs to")] | None = None
    faces: Annotated[tuple[str, ...], F("Ids of its faces in the area step")] = ()


def components(done: Done) -> tuple[Component, ...]:
    """Return every part of a deck once: floors with their frames, what stands on them, and walls."""
    looked = done.looked_at
    frames = {one.zone: one for one in looked.values() if one.part == "frame"}
    listed: list[Component] = []
    for merged in done.whole:
        own = merged.own
        listed.append(_component(merged, done.faces_of(merged.id)))
        if own is None and (frame := frames.get(merged.zone.id)) is not None:
            listed.append(_seen(frame))
    have = {one.id for one in listed}
    return (*listed, *(_seen(one) for id, one in looked.items() if id not in have))


def placed(said: Iterable[S], listed: Sequence[Component]) -> list[S]:
    """Return findings or cautions, each with its places: what names none is about all that is not only looked at."""
    whole = tuple(one.id for one in listed if one.part not in ("frame", "wall"))
    return [one if one.places else msgspec.structs.replace(one, places=whole) for one in said]


def _component(merged: EffectiveZone, faces: tuple[str, ...]) -> Component:
    part = part_of(merged.own)
    return Component(
        id=merged.id, label=_label(merged, part), part=cast("ComponentPart", part), zone=merged.zone.id, faces=faces
    )


def _seen(one: ConditionComponent) -> Component:
    """Return a part that is only looked at."""
    return Component(id=one.id, label=clause("part", part=Word("component", one.part)), part=one.part, zone=one.zone)


def _label(merged: EffectiveZone, part: str) -> Clause:
    own: Zone | Stair | Guard | Extra = merged.zone if merged.own is None else merged.own
    if own.title is not None:
        return clause("named", name=Code(own.title))
    name = Code(own.id.replace("-", " "))
    if merged.own is None or part not in _WORDED:
        return clause("named", name=name)
    word = Word("component", part)
    return clause("part", part=word) if name in _PLAIN else clause("part-named", part=word, name=name)


def labels(zones: Sequence[EffectiveZone], owned: Collection[EffectiveZone], speaker: Speaker) -> dict[str, str]:
    """Return what each part is called in a sentence, by its id; where there are several zones with that of its zone."""
    found: dict[str, str] = {}
    for zone in zones:
        found[zone.id] = name = speaker.clause(_label(zone, "boards"))
        mine = {one.id: _label(one, part_of(one.own)) for one in owned if one.zone is zone.zone}
        mine[f"{zone.id}/frame"] = clause("part", part=Word("component", "frame"))
        for id, label in mine.items():
            text = speaker.clause(label)
            found[id] = (
                text if len(zones) == 1 else speaker.clause(clause("part-of-zone", part=Code(text), zone=Code(name)))
            )
    return found | {"surroundings/walls": speaker.clause(clause("part", part=Word("component", "wall")))}


def face_labels(done: Done, speaker: Speaker) -> dict[str, str]:
    """Return what each face is called in a sentence, by its id: the part of the deck, and which side of it."""
    found = {}
    for merged, face in done.faces:
        which = [] if merged.own is not None else [Word("part", face.part)]
        which += [Word("side", face.side)] if face.side else []
        said = clause("face-of-part", part=Name(merged.id), which=which)
        found[face.id] = speaker.clause(said) if which else speaker.labels[merged.id]
    return found
