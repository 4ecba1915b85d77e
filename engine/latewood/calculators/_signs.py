"""What is seen on an old deck: the words in which condition and preparation speak of it."""

from __future__ import annotations

from typing import Final, Literal

Sign = Literal[
    "grey",
    "raised-grain",
    "splinters",
    "cupping",
    "furrows",
    "furred",
    "worn-tracks",
    "film-sound",
    "film-peeling",
    "mildew",
    "algae",
    "iron-stain",
    "extractive-bleed",
    "shadow-patches",
    "proud-fasteners",
    "rusty-fasteners",
    "loose-fasteners",
    "rot",
    "soft-spots",
    "split",
    "insects",
    "sagging",
    "loose-fixing",
    "wobbly",
    "water-under",
]

#: What a drop of water does on an old coat.
Beading = Literal["beads", "in-part", "soaks-in"]

#: Signs of a coat that lies on the wood, whatever anybody says of it.
FILM: Final[frozenset[Sign]] = frozenset({"film-sound", "film-peeling"})
#: Signs of wood that is failing rather than weathered.
DECAY: Final[frozenset[Sign]] = frozenset({"rot", "soft-spots", "insects", "split"})
#: Signs that something no longer carries what it should.
WEAKNESS: Final[frozenset[Sign]] = frozenset({"sagging", "loose-fixing", "wobbly", "rot", "soft-spots", "insects"})
