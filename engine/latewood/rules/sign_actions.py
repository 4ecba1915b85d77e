"""What each sign means for the work: what is cleaned off, and how."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from latewood.records.wash import Soil
from latewood.rules.signs import Sign

#: What a sign says lies on the wood.
_SOIL: Final[Mapping[Sign, Soil]] = {
    "grey": "grey",
    "mildew": "mildew",
    "algae": "algae",
    "iron-stain": "iron-stain",
    "extractive-bleed": "extractive-bleed",
}


def soil_seen(signs: Iterable[Sign], *, grey: bool) -> tuple[Soil, ...]:
    """Return what lies on old wood by what is seen, dirt always. ``grey`` where it counts as grey without the sign."""
    found: list[Soil] = ["grey"] if grey else []
    found += [_SOIL[sign] for sign in signs if sign in _SOIL]
    return tuple(dict.fromkeys([*found, "dirt"]))
