"""What each sign means for the work. Each meaning is common practice, with no source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from latewood.rules.signs import Sign

#: What comes of a sign: it stops the part, is seen to first, comes off, or stays.
Effect = Literal[
    "stops", "repaired-first", "heads-first", "measured-first", "cleaned-first", "sanded-off", "stripped-off", "stays"
]


@dataclass(frozen=True)
class Meaning:
    """What a sign means, by ids of texts. ``look`` is said before a route is known, the others of what it does.

    ``scuff`` says why a light pass over an old coat is not enough, ``stays`` what remains where nothing is sanded.
    ``also`` is what to do besides, whatever the route: it is worth a finding. ``dry`` is said instead where no acid may
    be used, ``elsewhere`` of what is no floor.
    """

    look: str
    sanded: str = ""
    stays: str = ""
    scuff: str = ""
    first: Effect | None = None
    also: str = ""
    dry: str = ""
    elsewhere: str = ""


#: Every sign, in the order people are asked in.
MEANINGS: Final[Mapping[Sign, Meaning]] = {
    "grey": Meaning(look="grey-look", sanded="grey-sanded", stays="grey-stays", scuff="grey-scuff"),
    "raised-grain": Meaning(
        look="raised-grain-look", sanded="raised-grain-sanded", stays="raised-grain-stays", scuff="raised-grain-scuff"
    ),
    "splinters": Meaning(
        look="splinters-look", sanded="splinters-sanded", stays="splinters-stays", scuff="splinters-scuff"
    ),
    "cupping": Meaning(
        look="cupping-look",
        sanded="cupping-sanded",
        stays="cupping-stays",
        scuff="cupping-scuff",
        also="seen-cupping",
        first="measured-first",
    ),
    "furrows": Meaning(look="furrows-look", sanded="furrows-sanded", stays="furrows-stays", scuff="furrows-scuff"),
    "furred": Meaning(
        look="furred-look", sanded="furred-sanded", stays="furred-stays", scuff="furred-scuff", also="seen-furred"
    ),
    "worn-tracks": Meaning(
        look="worn-tracks-look", sanded="worn-tracks-sanded", stays="worn-tracks-stays", scuff="worn-tracks-scuff"
    ),
    "film-sound": Meaning(look="film-sound-look", sanded="film-sound-sanded", stays="film-sound-stays"),
    "film-peeling": Meaning(look="film-peeling-look", sanded="film-peeling-sanded", stays="film-peeling-stays"),
    "mildew": Meaning(look="mildew-look", sanded="mildew-sanded", stays="mildew-stays", also="seen-mildew"),
    "algae": Meaning(
        look="algae-look", sanded="algae-sanded", stays="algae-stays", scuff="algae-scuff", also="seen-algae"
    ),
    "iron-stain": Meaning(
        look="iron-stain-look",
        sanded="iron-stain-sanded",
        stays="iron-stain-stays",
        dry="iron-stain-dry",
        also="seen-iron-stain",
    ),
    "extractive-bleed": Meaning(
        look="extractive-bleed-look",
        sanded="extractive-bleed-sanded",
        stays="extractive-bleed-stays",
        dry="extractive-bleed-dry",
        also="seen-extractive-bleed",
    ),
    "shadow-patches": Meaning(look="shadow-patches-look", sanded="shadow-patches-sanded", stays="shadow-patches-stays"),
    "proud-fasteners": Meaning(
        look="proud-fasteners-look",
        sanded="proud-fasteners-sanded",
        stays="proud-fasteners-stays",
        also="seen-proud-fasteners",
        first="heads-first",
    ),
    "rusty-fasteners": Meaning(
        look="rusty-fasteners-look",
        sanded="rusty-fasteners-sanded",
        stays="rusty-fasteners-stays",
        also="seen-rusty-fasteners",
        first="heads-first",
    ),
    "loose-fasteners": Meaning(
        look="loose-fasteners-look",
        sanded="loose-fasteners-sanded",
        stays="loose-fasteners-stays",
        also="seen-loose-fasteners",
        first="heads-first",
    ),
    "rot": Meaning(look="rot-look", first="repaired-first"),
    "soft-spots": Meaning(look="soft-spots-look", first="repaired-first"),
    "split": Meaning(look="split-look", first="repaired-first"),
    "insects": Meaning(look="insects-look", first="repaired-first"),
    "sagging": Meaning(look="sagging-look", first="stops"),
    "loose-fixing": Meaning(look="loose-fixing-look", first="repaired-first"),
    "wobbly": Meaning(look="wobbly-look", first="repaired-first"),
    "water-under": Meaning(look="water-under-look", first="stops"),
    "missing": Meaning(look="missing-look", elsewhere="missing-elsewhere", also="seen-missing", first="repaired-first"),
}
