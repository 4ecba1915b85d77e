"""What comes of what is seen: what stops, what comes first, what a route takes off, what it leaves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Final

import msgspec

from latewood.declare import F
from latewood.provenance import Ledger
from latewood.records import ConditionRule, Route
from latewood.records.wash import Soil
from latewood.rules.sign_meanings import MEANINGS, Effect, Meaning
from latewood.rules.signs import DECAY, FILM, Sign
from latewood.rules.wash_recipe import must_go_first, sands_down, strips
from latewood.rules.wording import words
from latewood.uncertainty import spread

#: Signs of wood that is eaten or rotten: how far it goes is found out before anything else.
ROTTEN: Final[frozenset[Sign]] = frozenset({"rot", "soft-spots", "insects"})


class SignEffect(msgspec.Struct, frozen=True, kw_only=True):
    """One sign that was given, and what comes of it."""

    id: Annotated[Sign, F("What is seen")]
    effect: Annotated[Effect, F("What comes of it")]
    message: Annotated[str, F("What to do about it")]


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
    """Return why boards are in doubt where something is rotten in them and how much was not said."""
    rotten = [sign for sign in signs if sign in ROTTEN]
    if not rotten or measured.affected is not None:
        return ""
    return f"{words(rotten)}: how many boards are damaged is not known"


def extent_unsaid(signs: Iterable[Sign], measured: Measured) -> bool:
    """Say whether damage is seen and how many boards it takes was not said."""
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
    signs: Iterable[Sign],
    route: Route | None,
    stopped: Iterable[str],
    *,
    left: Iterable[Soil] = (),
    acid: bool = True,
    hollow: str = "",
) -> tuple[SignEffect, ...]:
    """Return what comes of each sign on a route as it is done here; on none, what stands before it.

    ``left`` is what its wash does not take off, ``hollow`` why cupped boards are not sanded flat.
    """
    halt, stays = tuple(stopped), frozenset(left)
    found = tuple(_effect(sign, route, halt, stays, hollow) for sign in dict.fromkeys(signs))
    if acid:
        return found
    return tuple(msgspec.structs.replace(one, message=MEANINGS[one.id].dry or one.message) for one in found)


def note_signs(
    signs: Iterable[Sign], ledger: Ledger, at: str = "/signs", *, acid: bool = True, measured: Measured | None = None
) -> None:
    """Write into the ledger what is done about signs besides the route, and that it is common practice.

    What was measured of cupped boards is not asked for again.
    """
    for sign in dict.fromkeys(signs):
        meaning = MEANINGS[sign]
        ledger.use(f"input/signs/{sign}", words([sign]), "common-practice", note=look(sign, acid=acid))
        if sign == "cupping" and measured is not None and not cup_unmeasured((sign,), measured):
            continue
        if meaning.also:
            ledger.find(f"seen-{sign}", meaning.severity, meaning.also, pointer=at, sign=sign)
        elif meaning.first == "repaired-first":
            ledger.find(f"seen-{sign}", meaning.severity, meaning.look, pointer=at, sign=sign)


def too_hollow(measured: Measured, rule: ConditionRule, ledger: Ledger) -> str:
    """Return why boards are not sanded flat: their hollows are deeper than a sander takes out."""
    if measured.cup_depth is None or not at_least(measured.cup_depth, ledger.value(rule.cup)):
        return ""
    return f"hollows of {rule.cup.given} or more do not sand flat: turn or replace those boards first"


def note_cup(measured: Measured, rule: ConditionRule, ledger: Ledger) -> None:
    """Say where hollows are deeper than a sander takes out: no route mends those boards."""
    if too_hollow(measured, rule, ledger):
        message = (
            "Hollows this deep do not sand flat. Find what keeps the undersides wet, then turn or replace those boards "
            "before you sand."
        )
        ledger.find("cup-too-deep", "warning", message, pointer="/cup_depth")


def at_least(given: float, limit: float) -> bool:
    """Say whether something measured is at a limit or over, to the last digits."""
    return given >= limit * (1 - 1e-9)


def _effect(sign: Sign, route: Route | None, halt: tuple[str, ...], left: frozenset[Soil], hollow: str) -> SignEffect:
    meaning, soil = MEANINGS[sign], _SOIL.get(sign)
    if meaning.first == "stops" or (sign in ROTTEN and halt):
        return SignEffect(id=sign, effect="stops", message=meaning.look)
    if route is None and hollow and meaning.first == "measured-first":
        return SignEffect(id=sign, effect="repaired-first", message=f"{hollow[:1].upper()}{hollow[1:]}.")
    if route is None or meaning.first == "repaired-first":
        effect = meaning.first or "stays"
        return SignEffect(id=sign, effect=effect, message=meaning.look)
    first = soil is not None and (must_go_first(soil, route) or not sands_down(route))
    washed = first and route.wets and soil not in left
    if sign in FILM:
        return _film(sign, route, meaning)
    if meaning.first == "heads-first" and route.sands:
        return SignEffect(id=sign, effect="heads-first", message=meaning.sanded)
    if washed and sign != "grey":
        message = meaning.look if sign == "algae" else f"Wash the {words([sign])} off first, and let the wood dry."
        return SignEffect(id=sign, effect="cleaned-first", message=message)
    if meaning.first == "heads-first":
        return SignEffect(id=sign, effect="heads-first", message=meaning.stays)
    if meaning.first == "measured-first" and hollow:
        return SignEffect(id=sign, effect="repaired-first", message=f"{hollow[:1].upper()}{hollow[1:]}.")
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
