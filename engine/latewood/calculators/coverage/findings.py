"""What follows from the coating chosen for these faces, from the volumes, and from the limits on VOC."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.coverage.compute.limits import doubted_of
from latewood.calculators.coverage.fields import CoatVolume, ContainerCount, Face, PartVolume, Product, ZoneVolume
from latewood.calculators.coverage.inputs import Inputs
from latewood.calculators.coverage.resolved import Held, Limits, ResolvedFace
from latewood.provenance import Ledger, Severity
from latewood.records import VocLimits
from latewood.rules import law
from latewood.rules.faces import WALKED
from latewood.rules.wording import joined
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
        ledger.find(advice.id, advice.severity, advice.message, pointer="/coating")
    if coating.binder == "unknown":
        message = (
            "The coating is not known, so its waste counts as self-heating and no VOC limit can be looked up for it."
        )
        ledger.find("coating-unknown", "warning", message, pointer="/coating")
    _floor(x, faces, ledger)
    _coats(x, faces, coats, ledger)


def _floor(x: Inputs, faces: Sequence[ResolvedFace], ledger: Ledger) -> None:
    walked = sorted({f"{face.zone}: {face.part}" for face in faces if face.part in WALKED and face.side is None})
    if x.coating.floors == "suitable" or not walked:
        return
    id, where = "not-for-floors", "on surfaces that are walked on"
    if x.coating.film:
        why = "a film on a walked floor wears through, peels and holds water under it (Wood Handbook ch. 16)"
        id, where = "film-on-floor", f"here: {why}"
    taken = " A bare area counts as floor." if x.area is not None else ""
    message = f"{x.coating.title} is advised against {where}.{taken}"
    ledger.find(id, "warning", message, pointer="/coating", faces=walked)


def _coats(x: Inputs, faces: Sequence[ResolvedFace], coats: int, ledger: Ledger) -> None:
    """Warn of coats that cannot be: on wood left bare, of a wiped clear oil, of any wiped finish on dense wood."""
    if x.coating.bare and x.coats is not None:
        message = f"{x.coating.title} takes no coat; coats = {x.coats} does not count here."
        ledger.find("coats-not-taken", "warning", message, pointer="/coats", coats=x.coats)
    if coats < 2 or not x.coating.wiped:
        return
    dense = any(face.absorbency == "low" for face in faces)
    if x.coating.pigment == "none" or dense:
        what = "clear oil" if x.coating.pigment == "none" else "dense wood"
        message = (
            f"One flood coat, wiped, is common practice for {what}; {coats} coats were counted. What does not soak in "
            "stays on top, turns sticky and goes black."
        )
        ledger.find("coats-on-wiped", "warning", message, pointer="/coats", coats=coats)


def find_uptake(x: Inputs, faces: Sequence[ResolvedFace], ledger: Ledger) -> None:
    """Find once where coating goes further or less far than its rate states."""
    if x.uptake is not None and not any(face.surface == "sanded" for face in faces):
        message = "An uptake was given, and it holds for sanded wood only: none of these faces is sanded."
        ledger.find("uptake-not-counted", "warning", message, pointer="/uptake")
    uptakes = {face.label: spread.value(face.uptake) for face in faces if face.changed}
    if uptakes:
        names = dict.fromkeys(f"{face.label} {spread.value(face.uptake):.0%}" for face in faces if face.changed)
        message = (
            "How finely a face is sanded changes how much it takes up beside wood the rate holds for: "
            f"{', '.join(names)}. The volumes count it. What takes up less also lasts less long."
        )
        at = "/uptake" if x.uptake is not None else "/faces"
        rounded = {label: round(uptake, 4) for label, uptake in uptakes.items()}
        ledger.find("uptake-after-sanding", "note", message, pointer=at, uptake=rounded)


def find_left(left: Sequence[Face], ledger: Ledger) -> None:
    """Find which faces were taken as weathered because sanding does not reach them."""
    if not left:
        return
    area = sum(face.area for face in left)
    names = sorted({f"{face.zone}: {face.part}" + (f", {face.side}" if face.side else "") for face in left})
    message = (
        f"Sanding does not reach {'; '.join(names)} ({area:.3g} m2 in all): they were reckoned as weathered, not as "
        "smooth as the rest. If they are sanded too, give their surface."
    )
    ids = sorted({"-".join(word for word in (f.zone, f.part, f.item, f.side) if word) for f in left})
    ledger.find("faces-left-weathered", "note", message, pointer="/faces", faces=ids, area=round(area, 3))


def find_volumes(
    x: Inputs, volume: Number, ledger: Ledger, **rows: Sequence[CoatVolume | ZoneVolume | PartVolume]
) -> None:
    """Find where the parts do not add up to the whole, and that prices were assumed."""
    for name, parts in rows.items():
        gap = spread.parts_do_not_add([part.volume for part in parts], volume)
        if gap is not None and parts:
            message = (
                f"The volumes of the {name} are medians and do not add up to the median of the whole "
                f"({gap:+.1%}): they are not all high or low together."
            )
            ledger.find("parts-do-not-add", "note", message, of=name, gap=round(gap, 4))
    if not x.coating.bare and (not x.containers or x.containers[0].price is None):
        message = (
            "No prices were given, so the containers were chosen as if cost grew with volume to the power 0.7. "
            "With your prices another mix may be cheaper."
        )
        ledger.find("prices-assumed", "note", message, pointer="/containers")


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
        message = f"No VOC limits for {x.jurisdiction} are known here, so none was applied. Look up the rule there."
        ledger.find("no-voc-rule", "note", message, pointer="/jurisdiction")
        return
    if held and x.as_of is None:
        message = "No as_of date was given; the newest VOC limits were taken."
        ledger.find("as-of-missing", "note", message, pointer="/as_of")
    _content(limits, held, ledger)
    # What is over one limit stays over it, whatever another rule says.
    settled = any(one.over for one in held)
    if not settled:
        _open(x, limits, held, ledger)
    bound = [rule for rule in _rules(held) if rule.applying is not None and rule.applying.bound]
    if bound:
        titles, ids = [rule.title for rule in bound], [rule.id for rule in bound]
        message = f"{joined(titles)} also {_do(bound, 'bind')} the crew that applies the coating, not only the seller."
        ledger.find("voc-binds-application", "note", message, pointer="/coating", rules=ids)
    _small(held, () if settled else limits.absent, bought, ledger)


def _rules(held: Sequence[Held]) -> list[VocLimits]:
    """Return the rules of limits, each once, in their order."""
    return list({one.rule.id: one.rule for one in held}.values())


def _no_place(x: Inputs, limits: Limits, ledger: Ledger) -> None:
    """Find which limits the larger places would set, where no place was given."""
    would = [text for rule in limits.every if (text := _would_be(rule, x, limits.product))]
    if would:
        message = (
            f"No jurisdiction was given, so no VOC limit was applied. It would be {'; '.join(would)}. Give the place."
        )
        ledger.find("no-jurisdiction", "note", message, pointer="/jurisdiction")


def _would_be(rule: VocLimits, x: Inputs, product: Product) -> str:
    asked = law.rows_of(rule, x.coating, product.carrier, product.gloss)
    found = [(limit, name) for name, _ in asked if (limit := rule.limits[name].on(x.as_of)) is not None]
    if not found or not rule.automatic or all("-" in code for code in rule.jurisdictions):
        return ""
    where = rule.jurisdictions[0] if len(rule.jurisdictions) == 1 else f"{len(rule.jurisdictions)} jurisdictions"
    return " or ".join(f"{limit.given} in {where} ({rule.title}, {name})" for limit, name in found)


def _content(limits: Limits, held: Sequence[Held], ledger: Ledger) -> None:
    over = [one for one in held if one.over]
    if over:
        content = over[0].content
        message = (
            f"The product's VOC content of {content:.4g} g/L is over the limit of "
            f"{joined([one.shown for one in over])}. Choose another product."
        )
        ids = [rule.id for rule in _rules(over)]
        ledger.find("voc-over-limit", "warning", message, pointer="/product/voc_content", rule=ids[0], rules=ids)
    for one in held:
        if one.turns_on_water:
            message = (
                f"Whether the product keeps {one.shown} turns on the density its water is counted with. Give that "
                "density."
            )
            at = "/product/water_density"
            ledger.find("voc-water-density-decides", "warning", message, pointer=at, rule=one.rule.id)
    _undecided(held, ledger)
    if held and limits.product.voc_content is None:
        lowest = min(held, key=lambda one: one.highest)
        message = (
            f"The VOC content is not given, so it cannot be held against {lowest.shown}. Give it from the data sheet."
        )
        ledger.find("voc-content-missing", "note", message, pointer="/product/voc_content", rule=lowest.rule.id)


def _undecided(held: Sequence[Held], ledger: Ledger) -> None:
    """Say where a rule has several limits, and which of them holds decides or may decide."""
    for rule in dict.fromkeys(one.rule.id for one in held if one.open_by is not None):
        rows = [one for one in held if one.rule.id == rule]
        known, by = rows[0].content is not None, rows[0].open_by
        if by is None or (known and not rows[0].turns_on_row):
            continue
        limits = " and ".join(
            f"{one.highest:g} g/L " + (f"({one.category})" if one.carrier is None else f"{one.carrier}-borne")
            for one in rows
        )
        give = {"carrier": "carrier: water or solvent", "gloss": "gloss: flat, nonflat or high-gloss"}[by]
        message = f"{rows[0].rule.title} limits the product to {limits}. Give its {give}."
        severity: Severity = "warning" if known else "note"
        ledger.find(f"voc-{by}-decides", severity, message, pointer=f"/product/{by}", rule=rule)


def _open(x: Inputs, limits: Limits, held: Sequence[Held], ledger: Ledger) -> None:
    """Find which rule may be stricter, and which limit is only remembered."""
    if limits.absent:
        place = x.jurisdiction or "that place"
        here = [rule for rule in limits.every if _on_request(rule, x)]
        message = f"A stricter VOC rule may hold in {place}. Look up before you buy: {'; '.join(limits.absent)}."
        if x.jurisdiction is not None and "-" not in x.jurisdiction:
            message += " Give the state or province too."
        if here:
            message += f" The catalogue holds {joined([rule.title for rule in here])}; ask for it if the deck is there."
        ledger.find(
            "voc-rule-not-here",
            "note" if limits.product.voc_content is None else "warning",
            message,
            pointer="/jurisdiction",
            look_up=list(limits.absent),
            on_request=[rule.id for rule in here],
        )
    for one in doubted_of(limits, held)[:1]:
        message = f"The limit of {one.shown} is recalled, not read. Look it up in the rule before you buy."
        ledger.find("voc-limit-recalled", "warning", message, pointer="/product/voc_content", rule=one.rule.id)


def _on_request(rule: VocLimits, x: Inputs) -> bool:
    """Say whether a rule is there to be asked for at this place, and was not."""
    place = x.jurisdiction
    return not rule.automatic and rule is not x.voc_rules and place is not None and law.concerns(rule, place)


def _small(held: Sequence[Held], absent: Sequence[str], bought: Sequence[ContainerCount], ledger: Ledger) -> None:
    """Say that small containers are exempt, but only where every rule that holds there says so."""
    exempting = [rule for rule in _rules(held) if rule.small_container is not None]
    if not exempting:
        return
    size = min((rule.small_container for rule in exempting if rule.small_container), key=lambda small: small.si)
    exempt = [row for row in bought if row.size <= size.si * (1 + 1e-9)]
    if not exempt:
        return
    ids = [rule.id for rule in exempting]
    told = f"{joined([rule.title for rule in exempting])} {_do(exempting, 'exempt')} containers of {size.given} or less"
    others = [rule.title for rule in _rules(held) if rule.small_container is None]
    if others or absent:
        why = f"{joined(others)} {_do(others, 'name')} no such exemption" if others else "a stricter rule may name none"
        message = f"{told}, but {why}. Do not count on it."
        ledger.find("voc-small-container-open", "note", message, pointer="/containers", rules=ids)
        return
    which = "all of this purchase is" if len(exempt) == len(bought) else "part of this purchase is"
    message = f"{told}: {which} exempt. The verdict holds for larger containers."
    ledger.find("voc-small-container", "note", message, pointer="/containers", rule=ids[0], rules=ids)


def _do(subjects: Sequence[object], verb: str) -> str:
    return f"{verb}s" if len(subjects) == 1 else verb
