"""What each sign means for the work. Each meaning is common practice, with no source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from latewood.provenance import Severity
from latewood.rules.signs import Sign

#: What comes of a sign: it stops the part, is seen to first, comes off, or stays.
Effect = Literal[
    "stops", "repaired-first", "heads-first", "measured-first", "cleaned-first", "sanded-off", "stripped-off", "stays"
]


@dataclass(frozen=True)
class Meaning:
    """What a sign means. ``look`` is said before a route is known, the others of what a route does about it.

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
    severity: Severity = "note"


_HEADS: Final = "a proud head tears discs and throws sparks"

#: Every sign, in the order people are asked in.
MEANINGS: Final[Mapping[Sign, Meaning]] = {
    "grey": Meaning(
        look="Take the grey off before a coat goes on.",
        sanded="Sanding takes the grey off.",
        stays="Part of the grey stays: a wash only lightens it.",
        scuff="grey shows: what is grey has to come off before a coat goes on",
    ),
    "raised-grain": Meaning(
        look="Sand the raised grain down when the wood is dry.",
        sanded="Sanding takes the raised grain down.",
        stays="Raised grain stays, and water raises more.",
        scuff="raised grain is sanded down: a scuff only rides over it",
    ),
    "splinters": Meaning(
        look="Sand the splinters down; wear shoes on the deck until then.",
        sanded="Sanding takes the splinters down; wear shoes until then.",
        stays="Splinters stay: wear shoes on the deck.",
        scuff="splinters are sanded down: a scuff leaves them",
    ),
    "cupping": Meaning(
        look="Measure the hollows and the moisture of the underside before you choose a route.",
        sanded="Sanding takes shallow hollows out, once their cause is gone.",
        stays="Hollows stay.",
        scuff="cupped boards: a pad rides on their edges",
        first="measured-first",
        also="Boards that cup are often wet below. Measure the hollows, and read the underside, before you sand.",
        severity="warning",
    ),
    "furrows": Meaning(
        look="Measure the furrows: deep ones do not sand out.",
        sanded="Sanding takes shallow furrows out.",
        stays="Furrows stay, and washing deepens them.",
        scuff="furrows are sanded out: a scuff rides over them",
    ),
    "furred": Meaning(
        look="Let the fur dry, then sand it off.",
        sanded="Sanding takes the fur off, once it is dry.",
        stays="Fur stays, and water raises more.",
        scuff="fur is sanded off when it is dry: a scuff leaves it",
        also="Fur comes back where it is sanded wet. Let the boards dry and read them before you sand.",
    ),
    "worn-tracks": Meaning(
        look="Sand the worn tracks to sound wood: the old coat is gone there.",
        sanded="Sanding takes the tracks to sound wood.",
        stays="Worn tracks stay visible.",
        scuff="the old coat is gone in the tracks: they are sanded to sound wood",
    ),
    "film-sound": Meaning(
        look="Take the film off before an oil goes on.",
        sanded="Sanding takes the film off.",
        stays="The film stays: an oil does not get through it.",
    ),
    "film-peeling": Meaning(
        look="Take the peeling film off before any coat goes on.",
        sanded="Sanding takes the film off.",
        stays="The film stays, and a coat over it peels with it.",
    ),
    "mildew": Meaning(
        look="Sand thin mildew off with a mask on, or wash it off first.",
        sanded="Mildew comes off with the sanding; wear a mask.",
        stays="Mildew stays, and grows on under a coat.",
        also="Dust of mildew harms lungs. Wear a P2 or N95 mask while you take it off.",
        severity="warning",
    ),
    "algae": Meaning(
        look="Wash the green slime off first, let the wood dry, and read it again.",
        sanded="Wash the green slime off first, let the wood dry, and read it again.",
        stays="Slime stays: it is slippery, and no coat holds on it.",
        scuff="slime hides the old coat: wash it off, let the wood dry and look again",
        also="Wash the green slime off first: it is slippery. Let the wood dry, and read its moisture again.",
        severity="warning",
    ),
    "iron-stain": Meaning(
        look="Replace the steel that stains; treat what sanding leaves black with oxalic acid.",
        sanded=(
            "Replace the steel that stains, then sand. Treat only what stays black with oxalic acid, rinse it, dry it "
            "and read it again."
        ),
        stays="Iron stain stays.",
        also="Replace plain steel that stains by stainless before you wash or sand: the stain comes back from it.",
        dry="Replace the steel that stains. No acid may be used on this wood, so what stays black stays.",
        severity="warning",
    ),
    "extractive-bleed": Meaning(
        look="Brighten or sand the bleed off, and coat dry wood only.",
        sanded="Sanding takes the bleed off; coat the wood only when it is dry.",
        stays="Bleed stays.",
        also="Extractives bleed again from damp wood. Read the moisture before you coat.",
        dry="Sand the bleed off: no acid may be used on this wood. Coat it only when it is dry.",
    ),
    "shadow-patches": Meaning(
        look="Sand patches of mats and pots to sound wood: nothing else evens them.",
        sanded="Sanding evens patches of mats and pots.",
        stays="Patches of mats and pots stay.",
    ),
    "proud-fasteners": Meaning(
        look=f"Set or replace proud heads before sanding: {_HEADS}.",
        sanded=f"Set or replace proud heads first: {_HEADS}.",
        stays="Set proud heads first: feet and brushes catch on them.",
        first="heads-first",
        also="Set or replace every proud head before a disc or a brush meets it.",
        severity="warning",
    ),
    "rusty-fasteners": Meaning(
        look="Replace rusty fasteners by stainless ones before sanding.",
        sanded="Replace rusty fasteners by stainless ones first.",
        stays="Replace rusty fasteners: they break, and stain the wood.",
        first="heads-first",
        also="Replace rusty fasteners by stainless ones: rust breaks them and stains the wood.",
        severity="warning",
    ),
    "loose-fasteners": Meaning(
        look="Replace loose fasteners by longer ones before sanding.",
        sanded="Replace loose fasteners by longer ones first.",
        stays="Replace loose fasteners: boards that move lift any coat.",
        first="heads-first",
        also="Replace loose fasteners by longer ones: a head that is set again comes loose again.",
        severity="warning",
    ),
    "rot": Meaning(look="Mark what is rotten and replace it first.", first="repaired-first", severity="warning"),
    "soft-spots": Meaning(
        look="Probe the soft spots, mark them and replace what is soft first.",
        first="repaired-first",
        severity="warning",
    ),
    "split": Meaning(
        look="Replace split boards or screw them down before sanding.", first="repaired-first", severity="warning"
    ),
    "insects": Meaning(
        look="Find out which insects eat it, and replace what is eaten first.",
        first="repaired-first",
        severity="warning",
    ),
    "sagging": Meaning(look="Have a competent person look at what carries it first.", first="stops"),
    "loose-fixing": Meaning(
        look="Find out why it is loose, and fix it first.", first="repaired-first", severity="warning"
    ),
    "wobbly": Meaning(look="Find out what moves, and fix it first.", first="repaired-first", severity="warning"),
    "water-under": Meaning(
        look="Lead the water away and let air under first: sanding does not cure it.", first="stops"
    ),
    "missing": Meaning(
        look="Cover the hole now, and put back what is missing first.",
        elsewhere="Put back what is missing first.",
        first="repaired-first",
        severity="danger",
    ),
}
