"""Names of the faces a deck is made of: the words in which area, coverage and later steps speak of one surface."""

from __future__ import annotations

from typing import Final, Literal

#: The form of every id a caller makes up.
ID: Final = "^[a-z][a-z0-9-]*$"

Part = Literal[
    "field",
    "perimeter",
    "gap-faces",
    "end-grain",
    "stair",
    "guard",
    "fascia",
    "skirting",
    "lattice",
    "bench",
    "post",
]

#: The parts people walk on, where a film is worn and lifted.
WALKED: Final[frozenset[Part]] = frozenset({"field", "perimeter", "stair"})

#: The parts a floor is made of.
FLOOR: Final[frozenset[Part]] = frozenset({"field", "perimeter"})

#: A side of a part that is treated apart from the rest of it.
Side = Literal["underside"]

#: Parts a sander does not get into: the gaps between boards, and the meshes of a lattice. Common practice, no source.
OUT_OF_REACH: Final[frozenset[Part]] = frozenset({"gap-faces", "lattice"})


def out_of_reach(part: Part, side: Side | None) -> bool:
    """Say whether sanding a floor leaves this face as it was, unless it is seen to by itself."""
    return part in OUT_OF_REACH or side == "underside"


#: The zone of an answer for which the caller named none.
WHOLE: Final = "main"
