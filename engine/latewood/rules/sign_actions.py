"""What each sign means for the work: what stops, what comes first, what a route takes off, what it leaves.

Each meaning is common practice, with no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Final, Literal

import msgspec

from latewood.declare import F
from latewood.provenance import Ledger, Severity
from latewood.records import ConditionRule, Route
from latewood.records.wash import Soil
from latewood.rules.signs import DECAY, FILM, Sign
from latewood.rules.wash_recipe import must_go_first, sands_down, strips
from latewood.rules.wording import words
from latewood.uncertainty import spread

#: What comes of a sign: it stops the part, is seen to first, comes off, or stays.
Effect = Literal[
    "stops", "repaired-first", "heads-first", "measured-first", "cleaned-first", "sanded-off", "stripped-off", "stays"
]

#: Signs of wood that is eaten or rotten: how far it goes is found out before anything else.
ROTTEN: Final[frozenset[Sign]] = frozenset({"rot", "soft-spots", "insects"})


class SignEffect(msgspec.Struct, frozen=True, kw_only=True):
    """One sign that was given, and what comes of it."""

    id: Annotated[Sign, F("What is seen")]
    effect: Annotated[Effect, F("What comes of it")]
    message: Annotated[str, F("What to do about it")]


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
        sanded="Sand the stain; treat what stays black with oxalic acid, rinse it, dry it and read it again.",
        stays="Iron stain stays.",
        also="Replace plain steel that stains by stainless: the stain comes back from what stays in the wood.",
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


@dataclass(frozen=True)
class Measured:
    """What was measured of damage on boards."""

    affected: float | None = None
    underside_moisture: float | None = None
    cup_depth: float | None = None


def extent_unknown(signs: Iterable[Sign], measured: Measured) -> str:
    """Return why boards are in doubt where something is rotten in them and nobody has said how much."""
    rotten = [sign for sign in signs if sign in ROTTEN]
    if not rotten or measured.affected is not None:
        return ""
    return f"{words(rotten)}: how many boards are damaged is not known"


def extent_unsaid(signs: Iterable[Sign], measured: Measured) -> bool:
    """Say whether damage is seen and nobody has said how many boards it takes."""
    return bool(set(signs) & DECAY) and measured.affected is None


def cup_unmeasured(signs: Iterable[Sign], measured: Measured) -> bool:
    """Say whether boards cup and either their hollows or their undersides were not measured."""
    return "cupping" in signs and None in (measured.cup_depth, measured.underside_moisture)


def wet_below(signs: Iterable[Sign], measured: Measured, rule: ConditionRule, ledger: Ledger) -> str:
    """Return why boards are wet from below; no sander cures that."""
    wet = measured.underside_moisture is not None and at_least(
        measured.underside_moisture, spread.value(ledger.take(rule.decay_moisture))
    )
    return "its underside is at decay moisture" if wet else "there is water under it" if "water-under" in signs else ""


def mostly_damaged(measured: Measured, rule: ConditionRule, ledger: Ledger) -> str:
    """Return why so much of it is damaged that it is replaced, not refinished."""
    if measured.affected is None:
        return ""
    most = spread.value(ledger.take(rule.replace_share))
    if not at_least(measured.affected, most):
        return ""
    return f"{measured.affected:.0%} of it is damaged, {rule.replace_share.given} or more"


def stops(signs: Iterable[Sign], measured: Measured, rule: ConditionRule, ledger: Ledger) -> Iterator[str]:
    """Yield what stops boards altogether, by what is seen and measured: no route is taken before it is settled."""
    if "sagging" in signs:
        yield "it sags: a competent person looks at what carries it first"
    if why := extent_unknown(signs, measured):
        yield f"{why}: mark and replace them first"
    if why := mostly_damaged(measured, rule, ledger):
        yield f"{why}: replace it"
    if why := wet_below(signs, measured, rule, ledger):
        yield f"{why}: lead the water away and let air under first"


def cup_is_harmless(measured: Measured, rule: ConditionRule, ledger: Ledger) -> bool:
    """Say whether hollows and underside were measured, and neither stands against a light pass."""
    if measured.cup_depth is None or measured.underside_moisture is None:
        return False
    return not at_least(measured.cup_depth, spread.value(ledger.take(rule.cup)))


def unscuffed(signs: Iterable[Sign], measured: Measured, rule: ConditionRule, ledger: Ledger) -> Iterator[str]:
    """Yield why a light pass over the old coat is not enough."""
    for sign in signs:
        if sign == "cupping" and cup_is_harmless(measured, rule, ledger):
            continue
        if why := MEANINGS[sign].scuff:
            yield why


def look(sign: Sign, part: str = "boards", *, acid: bool = True) -> str:
    """Return what is said of a sign before a route is known. ``acid`` is whether acids may be used on the wood."""
    meaning = MEANINGS[sign]
    if part != "boards" and meaning.elsewhere:
        return meaning.elsewhere
    return meaning.look if acid else meaning.dry or meaning.look


def effects(
    signs: Iterable[Sign], route: Route | None, stopped: Iterable[str], *, acid: bool = True
) -> tuple[SignEffect, ...]:
    """Return what comes of each sign on a route as it is done here; on none, what stands before it."""
    halt = tuple(stopped)
    found = tuple(_effect(sign, route, halt) for sign in dict.fromkeys(signs))
    if acid:
        return found
    return tuple(msgspec.structs.replace(one, message=MEANINGS[one.id].dry or one.message) for one in found)


def say(signs: Iterable[Sign], ledger: Ledger, at: str = "/signs", *, acid: bool = True) -> None:
    """Write into the ledger what is done about signs besides the route, and that it is common practice."""
    for sign in dict.fromkeys(signs):
        meaning = MEANINGS[sign]
        ledger.use(f"input/signs/{sign}", words([sign]), "common-practice", note=look(sign, acid=acid))
        if meaning.also:
            ledger.find(f"seen-{sign}", meaning.severity, meaning.also, pointer=at, sign=sign)
        elif meaning.first == "repaired-first":
            ledger.find(f"seen-{sign}", meaning.severity, meaning.look, pointer=at, sign=sign)


def at_least(given: float, limit: float) -> bool:
    """Say whether something measured is at a limit or over, to the last digits."""
    return given >= limit * (1 - 1e-9)


def _effect(sign: Sign, route: Route | None, halt: tuple[str, ...]) -> SignEffect:
    meaning, soil = MEANINGS[sign], _SOIL.get(sign)
    if meaning.first == "stops" or (sign in ROTTEN and halt):
        return SignEffect(id=sign, effect="stops", message=meaning.look)
    if route is None or meaning.first == "repaired-first":
        effect = meaning.first or "stays"
        return SignEffect(id=sign, effect=effect, message=meaning.look)
    washed = soil is not None and route.wets and (must_go_first(soil, route) or not sands_down(route))
    if sign in FILM:
        return _film(sign, route, meaning)
    if meaning.first == "heads-first" and route.sands:
        return SignEffect(id=sign, effect="heads-first", message=meaning.sanded)
    if washed and sign != "grey":
        message = meaning.look if sign == "algae" else f"Wash the {words([sign])} off first, and let the wood dry."
        return SignEffect(id=sign, effect="cleaned-first", message=message)
    if meaning.first == "heads-first":
        return SignEffect(id=sign, effect="heads-first", message=meaning.stays)
    if meaning.first == "measured-first":
        return SignEffect(id=sign, effect="measured-first", message=meaning.look)
    if sands_down(route):
        return SignEffect(id=sign, effect="sanded-off", message=meaning.sanded)
    return SignEffect(id=sign, effect="stays", message=meaning.stays)


def _film(sign: Sign, route: Route, meaning: Meaning) -> SignEffect:
    if "film" not in route.suits:
        return SignEffect(id=sign, effect="stays", message=meaning.stays)
    if strips(route):
        return SignEffect(id=sign, effect="stripped-off", message="The stripper lifts the film; sand what it leaves.")
    return SignEffect(id=sign, effect="sanded-off", message=meaning.sanded)
