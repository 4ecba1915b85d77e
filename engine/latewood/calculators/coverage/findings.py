"""What follows from the coating chosen for these faces, from the volumes, and from the limits on VOC."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.coverage.compute.limits import doubted_of
from latewood.calculators.coverage.fields import CoatVolume, ContainerCount, Face, PartVolume, Product, ZoneVolume
from latewood.calculators.coverage.inputs import Inputs
from latewood.calculators.coverage.resolved import Held, Limits, ResolvedFace
from latewood.messages import (
    Area,
    Clause,
    Code,
    Concentration,
    Count,
    Limit,
    Name,
    Share,
    Titled,
    Volume,
    Word,
    clause,
    in_english,
)
from latewood.provenance import Ledger
from latewood.records import VocLimits
from latewood.rules import law
from latewood.rules.faces import WALKED
from latewood.rules.work import state_coating
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

Row = CoatVolume | ZoneVolume | PartVolume


def advise(x: Inputs, faces: Sequence[ResolvedFace], coats: int, ledger: Ledger, *, spray: bool) -> None:
    """State the facts that cautions go by, and find what is wrong with this coating here."""
    coating = x.coating
    state_coating(coating, ledger)
    if spray and not coating.bare:
        # What lies round the deck is not asked here.
        ledger.fact("spray", "unsaid")
    for advice in coating.advice:
        ledger.advise(coating, "advice", advice, pointer="/coating")
    if coating.binder == "unknown":
        ledger.find("coating-unknown", pointer="/coating")
    _floor(x, faces, ledger)
    _coats(x, faces, coats, ledger)


def _floor(x: Inputs, faces: Sequence[ResolvedFace], ledger: Ledger) -> None:
    walked = sorted({f"{face.zone}: {face.part}" for face in faces if face.part in WALKED and face.side is None})
    if x.coating.floors == "suitable" or not walked:
        return
    ledger.find(
        "film-on-floor" if x.coating.film else "not-for-floors",
        pointer="/coating",
        params={"faces": walked},
        coating=Titled(x.coating),
        taken=[clause("area-is-floor")] if x.area is not None else [],
    )


def _coats(x: Inputs, faces: Sequence[ResolvedFace], coats: int, ledger: Ledger) -> None:
    """Warn of coats that cannot be: on wood left bare, of a wiped clear oil, of any wiped finish on dense wood."""
    if x.coating.bare and x.coats is not None:
        params = {"coats": x.coats}
        coating = Titled(x.coating)
        ledger.find("coats-not-taken", pointer="/coats", params=params, coating=coating, coats=Count(x.coats))
    if coats < 2 or not x.coating.wiped:
        return
    dense = any(face.absorbency == "low" for face in faces)
    if x.coating.pigment == "none" or dense:
        what = clause("clear-oil" if x.coating.pigment == "none" else "dense-wood")
        ledger.find("coats-on-wiped", pointer="/coats", params={"coats": coats}, what=what, coats=Count(coats))


def find_uptake(x: Inputs, faces: Sequence[ResolvedFace], ledger: Ledger) -> None:
    """Find once where coating goes further or less far than its rate states."""
    if x.uptake is not None and not any(face.surface == "sanded" for face in faces):
        ledger.find("uptake-not-counted", pointer="/uptake")
    changed = [face for face in faces if face.changed]
    if changed:
        ledger.find(
            "uptake-after-sanding",
            pointer="/uptake" if x.uptake is not None else "/faces",
            params={"uptake": {face.label: round(spread.value(face.uptake), 4) for face in changed}},
            faces=[
                clause(
                    "face-uptake",
                    zone=Name(face.zone),
                    part=Word("part", face.part),
                    label=Code(face.label),
                    share=Share(spread.value(face.uptake)),
                )
                for face in changed
            ],
        )


def find_left(left: Sequence[Face], ledger: Ledger) -> None:
    """Find which faces were taken as weathered because sanding does not reach them."""
    if not left:
        return
    area = sum(face.area for face in left)
    named = {f"{face.zone}: {face.part}" + (f", {face.side}" if face.side else ""): face for face in left}
    ids = sorted({"-".join(word for word in (f.zone, f.part, f.item, f.side) if word) for f in left})
    ledger.find(
        "faces-left-weathered",
        pointer="/faces",
        params={"faces": ids, "area": round(area, 3)},
        faces=[_face(named[name]) for name in sorted(named)],
        area=Area(area),
    )


def _face(face: Face) -> Clause:
    zone, part = Name(face.zone), Word("part", face.part)
    if face.side is None:
        return clause("face", zone=zone, part=part)
    return clause("face-side", zone=zone, part=part, side=Word("side", face.side))


def find_volumes(
    x: Inputs, volume: Number, ledger: Ledger, **rows: Sequence[CoatVolume | ZoneVolume | PartVolume]
) -> None:
    """Find where the parts do not add up to the whole, and that prices were assumed."""
    for name, parts in rows.items():
        gap = spread.parts_do_not_add([part.volume for part in parts], volume)
        if gap is not None and parts:
            params = {"of": name, "gap": round(gap, 4)}
            ledger.find("parts-do-not-add", params=params, of=Word("rows", name), gap=Share(gap))
    if not x.coating.bare and (not x.containers or x.containers[0].price is None):
        ledger.find("prices-assumed", pointer="/containers")


def find_limits(
    x: Inputs, limits: Limits | None, held: Sequence[Held], bought: Sequence[ContainerCount], ledger: Ledger
) -> None:
    """Find what is over a limit, what keeps the verdict open and what to do about it."""
    if limits is None:
        return
    if x.jurisdiction is None and x.voc_rules is None:
        _no_place(x, limits, ledger)
        return
    if not limits.rules:
        ledger.find("no-voc-rule", pointer="/jurisdiction", jurisdiction=Code(x.jurisdiction))
        return
    if held and x.as_of is None:
        ledger.find("as-of-missing", pointer="/as_of")
    _content(limits, held, ledger)
    # What is over one limit stays over it, whatever another rule says.
    settled = any(one.over for one in held)
    if not settled:
        _open(x, limits, held, ledger)
    bound = [rule for rule in _rules(held) if rule.applying is not None and rule.applying.bound]
    if bound:
        params = {"rules": [rule.id for rule in bound]}
        ledger.find("voc-binds-application", pointer="/coating", params=params, rules=[Titled(rule) for rule in bound])
    _small(held, () if settled else limits.absent, bought, ledger)


def _rules(held: Sequence[Held]) -> list[VocLimits]:
    """Return the rules of limits, each once, in their order."""
    return list({one.rule.id: one.rule for one in held}.values())


def _no_place(x: Inputs, limits: Limits, ledger: Ledger) -> None:
    """Find which limits the larger places would set, where no place was given."""
    would = [one for rule in limits.every if (one := _would_be(rule, x, limits.product)) is not None]
    if would:
        ledger.find("no-jurisdiction", pointer="/jurisdiction", limits=would)


def _would_be(rule: VocLimits, x: Inputs, product: Product) -> Clause | None:
    asked = law.rows_of(rule, x.coating, product.carrier, product.gloss)
    found = [(limit, name) for name, _ in asked if (limit := rule.limits[name].on(x.as_of)) is not None]
    if not found or not rule.automatic or all("-" in code for code in rule.jurisdictions):
        return None
    places = rule.jurisdictions
    where = clause("in-places", places=Count(len(places)))
    if len(places) == 1:
        where = clause("in-place", place=Code(places[0]))
    each = [
        clause(
            "voc-would-be",
            limit=Limit(limit.given, Concentration(limit.si)),
            where=where,
            category=rule.category(name),
            rule=Titled(rule),
        )
        for limit, name in found
    ]
    return each[0] if len(each) == 1 else clause("voc-one-of", limits=each)


def _content(limits: Limits, held: Sequence[Held], ledger: Ledger) -> None:
    over = [one for one in held if one.over]
    if over:
        ids = [rule.id for rule in _rules(over)]
        ledger.find(
            "voc-over-limit",
            pointer="/product/voc_content",
            params={"rule": ids[0], "rules": ids},
            content=Concentration(over[0].content or 0.0),
            limits=[one.shown for one in over],
        )
    for one in held:
        if one.turns_on_water:
            at, params = "/product/water_density", {"rule": one.rule.id}
            ledger.find("voc-water-density-decides", pointer=at, params=params, limit=one.shown)
    _undecided(held, ledger)
    if held and limits.product.voc_content is None:
        lowest = min(held, key=lambda one: one.highest)
        at, params = "/product/voc_content", {"rule": lowest.rule.id}
        ledger.find("voc-content-missing", pointer=at, params=params, limit=lowest.shown)


def _undecided(held: Sequence[Held], ledger: Ledger) -> None:
    """Say where a rule has several limits, and which of them holds decides or may decide."""
    for rule in dict.fromkeys(one.rule.id for one in held if one.open_by is not None):
        rows = [one for one in held if one.rule.id == rule]
        known, by = rows[0].content is not None, rows[0].open_by
        if by is None or (known and not rows[0].turns_on_row):
            continue
        ledger.find(
            "voc-carrier-decides" if by == "carrier" else "voc-gloss-decides",
            severity="warning" if known else "note",
            pointer=f"/product/{by}",
            params={"rule": rule},
            rule=Titled(rows[0].rule),
            limits=[one.row for one in rows],
        )


def _open(x: Inputs, limits: Limits, held: Sequence[Held], ledger: Ledger) -> None:
    """Find which rule may be stricter, and which limit is only remembered."""
    if limits.absent:
        here = [rule for rule in limits.every if _on_request(rule, x)]
        place = clause("in-that-place")
        if x.jurisdiction is not None:
            place = clause("in-place", place=Code(x.jurisdiction))
        more = []
        if x.jurisdiction is not None and "-" not in x.jurisdiction:
            more.append(clause("give-state"))
        if here:
            more.append(clause("rules-on-request", rules=[Titled(rule) for rule in here]))
        ledger.find(
            "voc-rule-not-here",
            severity="note" if limits.product.voc_content is None else "warning",
            pointer="/jurisdiction",
            params={"look_up": [in_english(one) for one in limits.absent], "on_request": [rule.id for rule in here]},
            place=place,
            look_up=list(limits.absent),
            more=more,
        )
    for one in doubted_of(limits, held)[:1]:
        at, params = "/product/voc_content", {"rule": one.rule.id}
        ledger.find("voc-limit-recalled", pointer=at, params=params, limit=one.shown)


def _on_request(rule: VocLimits, x: Inputs) -> bool:
    """Say whether a rule is there to be asked for at this place, and was not."""
    place = x.jurisdiction
    return not rule.automatic and rule is not x.voc_rules and place is not None and law.concerns(rule, place)


def _small(held: Sequence[Held], absent: Sequence[Clause], bought: Sequence[ContainerCount], ledger: Ledger) -> None:
    """Say that small containers are exempt, but only where every rule that holds there says so."""
    exempting = [rule for rule in _rules(held) if rule.small_container is not None]
    if not exempting:
        return
    size = min((rule.small_container for rule in exempting if rule.small_container), key=lambda small: small.si)
    exempt = [row for row in bought if row.size <= size.si * (1 + 1e-9)]
    if not exempt:
        return
    titles, ids = [Titled(rule) for rule in exempting], [rule.id for rule in exempting]
    limit = Limit(size.given, Volume(size.si))
    others = [Titled(rule) for rule in _rules(held) if rule.small_container is None]
    if others or absent:
        why = clause("stricter-without-exemption")
        if others:
            why = clause("rules-without-exemption", rules=others)
        params: dict[str, object] = {"rules": ids}
        ledger.find("voc-small-container-open", pointer="/containers", params=params, rules=titles, size=limit, why=why)
        return
    ledger.find(
        "voc-small-container",
        pointer="/containers",
        params={"rule": ids[0], "rules": ids},
        rules=titles,
        size=limit,
        which=clause("all-of-purchase" if len(exempt) == len(bought) else "part-of-purchase"),
    )
