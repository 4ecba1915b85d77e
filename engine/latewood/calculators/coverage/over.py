"""Faces on which an old film stays that the new finish may not go over: nothing is bought for them."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.coverage.fields import Face
from latewood.calculators.coverage.inputs import Inputs
from latewood.provenance import Ledger
from latewood.rules.faces import WHOLE
from latewood.rules.hazard_fields import Old
from latewood.rules.old_and_new_finish import Pair, pair, say_pair


def faces_to_coat(x: Inputs, ledger: Ledger) -> list[tuple[int, Face]]:
    """Return the faces that may be coated, with their places; say which may not, and where nobody knows it."""
    faces = x.faces if x.area is None else (Face(zone=WHOLE, part="field", area=x.area),)
    kept: list[tuple[int, Face]] = []
    groups: dict[tuple[str, str], tuple[Pair, list[tuple[int, Face]]]] = {}
    for index, face in enumerate(faces):
        old = face.old_coating or x.old_coating
        if old is None:
            kept.append((index, face))
            continue
        found = pair(x.coating, old)
        if not found.refused:
            kept.append((index, face))
        if found.fit != "holds":
            groups.setdefault((found.fit, _id(old)), (found, []))[1].append((index, face))
    for found, members in groups.values():
        _say(x, found, members, ledger)
    return kept


def _say(x: Inputs, found: Pair, members: Sequence[tuple[int, Face]], ledger: Ledger) -> None:
    index, first = members[0]
    at = "/old_coating" if first.old_coating is None else f"/faces/{index}/old_coating"
    names = [label(face) for _, face in members]
    place = "" if x.area is not None else f"{', '.join(names)}: "
    say_pair(found, ledger, pointer=at, place=place, faces=names)


def label(face: Face) -> str:
    """Return zone and part, with item and side where there are several."""
    return "-".join(word for word in (face.zone, face.part, face.item, face.side) if word)


def _id(old: Old) -> str:
    return "none" if old == "none" else old.id
