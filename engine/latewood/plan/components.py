"""The parts of a deck as a plan lists them: one id, one label for people, and the faces each has."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Annotated, Final, TypeVar, cast

import msgspec

from latewood.calculators.condition.inputs import ComponentPart, ConditionComponent
from latewood.declare import F
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.hazards import part_of
from latewood.plan.job import Extra, Guard, Stair, Zone
from latewood.provenance import Raised, Shown

S = TypeVar("S", Raised, Shown)

#: Words for parts that have no title, before the name of the item or alone.
_WORDS: Final[Mapping[str, str]] = {"guard": "railing", "stair": "steps", "frame": "frame", "wall": "walls"}
#: Names of items that only repeat what they are.
_PLAIN: Final = frozenset({"railing", "guard", "steps", "stairs", "stair", "flight"})


class Component(msgspec.Struct, frozen=True, kw_only=True):
    """A part of the deck; every other place of a plan names it by its id."""

    id: Annotated[str, F("Zone; for what belongs to it zone, table and id")]
    label: Annotated[str, F("Name for people")]
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
    return Component(id=one.id, label=_WORDS.get(one.part, one.part), part=one.part, zone=one.zone)


def _label(merged: EffectiveZone, part: str) -> str:
    own: Zone | Stair | Guard | Extra = merged.zone if merged.own is None else merged.own
    if own.title is not None:
        return own.title
    name = own.id.replace("-", " ")
    word = _WORDS.get(part)
    if merged.own is None or word is None:
        return name
    return word if name in _PLAIN else f"{word} {name}"
