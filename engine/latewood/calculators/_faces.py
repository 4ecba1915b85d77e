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

#: The zone of an answer for which the caller named none.
WHOLE: Final = "main"
