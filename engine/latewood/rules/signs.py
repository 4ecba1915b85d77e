"""What is seen on an old deck: the words in which condition and preparation speak of it."""

from __future__ import annotations

from typing import Annotated, Final, Literal

from latewood.declare import F, Q

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
    "missing",
]

#: What a drop of water does on an old coat.
Beading = Literal["beads", "in-part", "soaks-in"]

UndersideMoisture = Annotated[float, Q("%", "Moisture content at the underside", ge=3, le=200, example="18 %")]
DamagedShare = Annotated[float, Q("%", "Share of the boards that is damaged", ge=0, le=100, example="10 %")]
CupDepth = Annotated[float, Q("mm", "Hollow across a cupped board", ge=0, le=50, example="2 mm")]
ColourVariation = Annotated[Literal["high", "low"], F("How much boards of this wood differ in colour by nature")]

#: Signs of a coat that lies on the wood, whatever is said of it.
FILM: Final[frozenset[Sign]] = frozenset({"film-sound", "film-peeling"})
#: Signs of a face that is rough before anything is done to it.
ROUGH: Final[frozenset[Sign]] = frozenset({"furrows", "furred", "raised-grain", "splinters"})
#: Signs of what grows on the wood.
GROWTH: Final[frozenset[Sign]] = frozenset({"mildew", "algae"})
#: Signs of wood that is failing rather than weathered.
DECAY: Final[frozenset[Sign]] = frozenset({"rot", "soft-spots", "insects", "split"})
#: Signs that pieces move: they are fixed before anything is sanded or coated.
MOVING: Final[frozenset[Sign]] = frozenset({"loose-fixing", "wobbly"})
#: Signs that something no longer carries what it should.
WEAKNESS: Final[frozenset[Sign]] = frozenset(
    {"sagging", "loose-fixing", "wobbly", "rot", "soft-spots", "insects", "missing"}
)
#: Signs of heads that stand out of the boards, or of steel that rusts out of them: what a disc meets sparks.
PROUD_STEEL: Final[frozenset[Sign]] = frozenset({"proud-fasteners", "rusty-fasteners"})
