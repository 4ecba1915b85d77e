"""What comes of what is seen: what stops, what comes first, what a route takes off, what it leaves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Final

import msgspec

from latewood.declare import F
from latewood.messages import Clause, Length, Limit, Share, Word, clause
from latewood.provenance import Ledger
from latewood.records import ConditionRule, Route
from latewood.records.wash import Soil
from latewood.rules.sign_meanings import MEANINGS, Effect, Meaning
from latewood.rules.signs import DECAY, FILM, Sign
from latewood.rules.wash_recipe import must_go_first, sands_down, strips
from latewood.uncertainty import spread

#: Signs of wood that is eaten or rotten: how far it goes is found out before anything else.
ROTTEN: Final[frozenset[Sign]] = frozenset({"rot", "soft-spots", "insects"})


class SignEffect(msgspec.Struct, frozen=True, kw_only=True):
    """One sign that was given, and what comes of it."""

    id: Annotated[Sign, F("What is seen")]
    effect: Annotated[Effect, F("What comes of it")]
    message: Annotated[Clause, F("What to do about it")]


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


def extent_unknown(signs: Iterable[Sign], measured: Measured) -> Clause | None:
    """Return why boards are in doubt where something is rotten in them and how much was not said."""
    rotten = [sign for sign in signs if sign in ROTTEN]
    if not rotten or measured.affected is not None:
        return None
    return clause("damage-not-counted", signs=[Word("sign", sign) for sign in rotten])


def extent_unsaid(signs: Iterable[Sign], measured: Measured) -> bool:
    """Say whether damage is seen and how many boards it takes was not said."""
    return bool(set(signs) & DECAY) and measured.affected is None


def cup_unmeasured(signs: Iterable[Sign], measured: Measured) -> bool:
    """Say whether boards cup and either their hollows or their undersides were not measured."""
    return "cupping" in signs and None in (measured.cup_depth, measured.underside_moisture)


def wet_below(signs: Iterable[Sign], measured: Measured, rule: ConditionRule, ledger: Ledger) -> Clause | None:
    """Return why boards are wet from below; no sander cures that."""
    wet = measured.underside_moisture is not None and at_least(
        measured.underside_moisture, spread.value(ledger.take(rule.decay_moisture))
    )
    if wet:
        return clause("underside-at-decay")
    return clause("water-under-it") if "water-under" in signs else None


def mostly_damaged(measured: Measured, rule: ConditionRule, ledger: Ledger) -> Clause | None:
    """Return why so much of it is damaged that it is replaced, not refinished."""
    if measured.affected is None:
        return None
    most = spread.value(ledger.take(rule.replace_share))
    if not at_least(measured.affected, most):
        return None
    limit = Limit(rule.replace_share.given, Share(most))
    return clause("mostly-damaged", share=Share(measured.affected), most=limit)


def stops(signs: Iterable[Sign], measured: Measured, rule: ConditionRule, ledger: Ledger) -> Iterator[Clause]:
    """Yield what stops boards altogether, by what is seen and measured: no route is taken before it is settled."""
    if "sagging" in signs:
        yield clause("sags-look-first")
    if why := extent_unknown(signs, measured):
        yield clause("replace-damaged-first", why=why)
    if why := mostly_damaged(measured, rule, ledger):
        yield clause("replace-all", why=why)
    if why := wet_below(signs, measured, rule, ledger):
        yield clause("dry-it-out-first", why=why)


def cup_is_harmless(measured: Measured, rule: ConditionRule, ledger: Ledger) -> bool:
    """Say whether hollows and underside were measured, and neither stands against a light pass."""
    if measured.cup_depth is None or measured.underside_moisture is None:
        return False
    return not at_least(measured.cup_depth, spread.value(ledger.take(rule.cup)))


def unscuffed(signs: Iterable[Sign], measured: Measured, rule: ConditionRule, ledger: Ledger) -> Iterator[Clause]:
    """Yield why a light pass over the old coat is not enough."""
    for sign in signs:
        if sign == "cupping" and cup_is_harmless(measured, rule, ledger):
            continue
        if why := MEANINGS[sign].scuff:
            yield clause(why)


def look(sign: Sign, part: str = "boards", *, acid: bool = True) -> Clause:
    """Return what is said of a sign before a route is known. ``acid`` is whether acids may be used on the wood."""
    meaning = MEANINGS[sign]
    if part != "boards" and meaning.elsewhere:
        return clause(meaning.elsewhere)
    return clause(meaning.look if acid else meaning.dry or meaning.look)


def effects(
    signs: Iterable[Sign],
    route: Route | None,
    stopped: Iterable[Clause],
    *,
    left: Iterable[Soil] = (),
    acid: bool = True,
    hollow: Clause | None = None,
) -> tuple[SignEffect, ...]:
    """Return what comes of each sign on a route as it is done here; on none, what stands before it.

    ``left`` is what its wash does not take off, ``hollow`` why cupped boards are not sanded flat.
    """
    halt, stays = tuple(stopped), frozenset(left)
    found = tuple(_effect(sign, route, halt, stays, hollow) for sign in dict.fromkeys(signs))
    if acid:
        return found
    return tuple(_without_acid(one) for one in found)


def _without_acid(one: SignEffect) -> SignEffect:
    dry = MEANINGS[one.id].dry
    return msgspec.structs.replace(one, message=clause(dry)) if dry else one


def note_signs(
    signs: Iterable[Sign], ledger: Ledger, at: str = "/signs", *, acid: bool = True, measured: Measured | None = None
) -> None:
    """Write into the ledger what is done about signs besides the route, and that it is common practice.

    What was measured of cupped boards is not asked for again.
    """
    for sign in dict.fromkeys(signs):
        meaning = MEANINGS[sign]
        seen_sign = clause("sign-seen", sign=Word("sign", sign))
        ledger.use(f"input/signs/{sign}", seen_sign, "common-practice", note=look(sign, acid=acid))
        if sign == "cupping" and measured is not None and not cup_unmeasured((sign,), measured):
            continue
        if meaning.also:
            ledger.find(meaning.also, pointer=at, params={"sign": sign})
        elif meaning.first == "repaired-first":
            text, seen = "seen-repaired-first", clause(meaning.look)
            ledger.find(f"seen-{sign}", text=text, pointer=at, params={"sign": sign}, look=seen)


def too_hollow(measured: Measured, rule: ConditionRule, ledger: Ledger) -> Clause | None:
    """Return why boards are not sanded flat: their hollows are deeper than a sander takes out."""
    if measured.cup_depth is None or not at_least(measured.cup_depth, ledger.value(rule.cup)):
        return None
    return clause("too-hollow-to-sand", most=Limit(rule.cup.given, Length(rule.cup.si)))


def note_cup(measured: Measured, rule: ConditionRule, ledger: Ledger) -> None:
    """Say where hollows are deeper than a sander takes out: no route mends those boards."""
    if too_hollow(measured, rule, ledger) is not None:
        ledger.find("cup-too-deep", pointer="/cup_depth")


def at_least(given: float, limit: float) -> bool:
    """Say whether something measured is at a limit or over, to the last digits."""
    return given >= limit * (1 - 1e-9)


def _effect(
    sign: Sign, route: Route | None, halt: tuple[Clause, ...], left: frozenset[Soil], hollow: Clause | None
) -> SignEffect:
    meaning, soil = MEANINGS[sign], _SOIL.get(sign)
    if meaning.first == "stops" or (sign in ROTTEN and halt):
        return SignEffect(id=sign, effect="stops", message=clause(meaning.look))
    if route is None and hollow is not None and meaning.first == "measured-first":
        return SignEffect(id=sign, effect="repaired-first", message=clause("do-first", why=[hollow]))
    if route is None or meaning.first == "repaired-first":
        effect = meaning.first or "stays"
        return SignEffect(id=sign, effect=effect, message=clause(meaning.look))
    first = soil is not None and (must_go_first(soil, route) or not sands_down(route))
    washed = first and route.wets and soil not in left
    if sign in FILM:
        return _film(sign, route, meaning)
    if meaning.first == "heads-first" and route.sands:
        return SignEffect(id=sign, effect="heads-first", message=clause(meaning.sanded))
    if washed and sign != "grey":
        message = clause(meaning.look) if sign == "algae" else clause("wash-sign-first", sign=Word("sign", sign))
        return SignEffect(id=sign, effect="cleaned-first", message=message)
    if meaning.first == "heads-first":
        return SignEffect(id=sign, effect="heads-first", message=clause(meaning.stays))
    if meaning.first == "measured-first" and hollow is not None:
        return SignEffect(id=sign, effect="repaired-first", message=clause("do-first", why=[hollow]))
    if meaning.first == "measured-first":
        return SignEffect(id=sign, effect="measured-first", message=clause(meaning.look))
    if sands_down(route):
        return SignEffect(id=sign, effect="sanded-off", message=clause(meaning.sanded))
    return SignEffect(id=sign, effect="stays", message=clause(meaning.stays))


def _film(sign: Sign, route: Route, meaning: Meaning) -> SignEffect:
    if "film" not in route.suits:
        return SignEffect(id=sign, effect="stays", message=clause(meaning.stays))
    if strips(route):
        return SignEffect(id=sign, effect="stripped-off", message=clause("stripper-lifts-film"))
    return SignEffect(id=sign, effect="sanded-off", message=clause(meaning.sanded))
