"""What must be said of the limits on VOC: what is over, what is not known, who is bound, what is exempt."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.coverage.fields import ContainerCount
from latewood.calculators.coverage.held import Held
from latewood.calculators.coverage.inputs import Inputs
from latewood.declare import RecordLookup
from latewood.provenance import Ledger, Severity
from latewood.records import VocLimits
from latewood.rules import law
from latewood.rules.wording import joined


def no_place(x: Inputs, ledger: Ledger, known: RecordLookup) -> None:
    """Say which limits the larger places would set, where no place was given."""
    would = [text for rule in known.records("voc-limits").values() if (text := _would_be(rule, x))]
    if would:
        message = (
            f"No jurisdiction was given, so no VOC limit was applied. It would be {'; '.join(would)}. Give the place."
        )
        ledger.find("no-jurisdiction", "note", message, pointer="/jurisdiction")


def _would_be(rule: VocLimits, x: Inputs) -> str:
    asked = law.rows_of(rule, x.coating, None if x.product is None else x.product.carrier)
    limits = [(limit, name) for name, _ in asked if (limit := rule.limits[name].on(x.as_of)) is not None]
    if not limits or not rule.automatic or all("-" in code for code in rule.jurisdictions):
        return ""
    where = rule.jurisdictions[0] if len(rule.jurisdictions) == 1 else f"{len(rule.jurisdictions)} jurisdictions"
    return " or ".join(f"{limit.given} in {where} ({rule.title}, {name})" for limit, name in limits)


def say(
    x: Inputs,
    rules: Sequence[VocLimits],
    held: Sequence[Held],
    doubted: Held | None,
    absent: Sequence[str],
    bought: Sequence[ContainerCount],
    ledger: Ledger,
    known: RecordLookup,
) -> None:
    """Find what is over a limit, what keeps the verdict open and what to do about it."""
    if x.jurisdiction is None and x.voc_rules is None:
        no_place(x, ledger, known)
        return
    if not rules:
        message = f"No VOC limits for {x.jurisdiction} are known here, so none was applied. Look up the rule there."
        ledger.find("no-voc-rule", "note", message, pointer="/jurisdiction")
        return
    if held and x.as_of is None:
        message = "No as_of date was given; the newest VOC limits were taken."
        ledger.find("as-of-missing", "note", message, pointer="/as_of")
    _content(x, held, ledger)
    _open(x, doubted, absent, ledger, known)
    bound = [one.rule.title for one in held if one.rule.applying is not None and one.rule.applying.bound]
    if bound:
        message = f"{joined(bound)} also {_do(bound, 'bind')} the crew that applies the coating, not only the seller."
        ledger.find("voc-binds-application", "note", message, pointer="/coating", rules=_ids(held, bound))
    _small(held, absent, bought, ledger)


def _content(x: Inputs, held: Sequence[Held], ledger: Ledger) -> None:
    over = [one for one in held if one.over]
    if over:
        content = over[0].content
        message = (
            f"The product's VOC content of {content:.4g} g/L is over the limit of "
            f"{joined([one.shown for one in over])}. Choose another product."
        )
        ids = [one.rule.id for one in over]
        ledger.find("voc-over-limit", "warning", message, pointer="/product/voc_content", rule=ids[0], rules=ids)
    for one in held:
        if one.turns_on_water:
            message = (
                f"Whether the product keeps {one.shown} turns on the density its water is counted with. Give that "
                "density."
            )
            at = "/product/water_density"
            ledger.find("voc-water-density-decides", "warning", message, pointer=at, rule=one.rule.id)
    _carrier(held, ledger)
    if held and (x.product is None or x.product.voc_content is None):
        lowest = min(held, key=lambda one: one.highest)
        message = (
            f"The VOC content is not given, so it cannot be held against {lowest.shown}. Give it from the data sheet."
        )
        ledger.find("voc-content-missing", "note", message, pointer="/product/voc_content", rule=lowest.rule.id)


def _carrier(held: Sequence[Held], ledger: Ledger) -> None:
    """Say where a rule has one limit for each carrier, and which of them holds decides or may decide."""
    for rule in dict.fromkeys(one.rule.id for one in held if one.carrier_open):
        both = [one for one in held if one.rule.id == rule]
        known = both[0].content is not None
        if known and not both[0].turns_on_carrier:
            continue
        limits = " and ".join(f"{one.highest:g} g/L {one.carrier}-borne" for one in both)
        message = f"{both[0].rule.title} limits the product to {limits}. Give its carrier: water or solvent."
        severity: Severity = "warning" if known else "note"
        ledger.find("voc-carrier-decides", severity, message, pointer="/product/carrier", rule=rule)


def _open(x: Inputs, doubted: Held | None, absent: Sequence[str], ledger: Ledger, known: RecordLookup) -> None:
    given = x.product is not None and x.product.voc_content is not None
    if absent:
        place = x.jurisdiction or "that place"
        here = [rule for rule in known.records("voc-limits").values() if _on_request(rule, x)]
        message = f"A stricter VOC rule may hold in {place}. Look up before you buy: {'; '.join(absent)}."
        if x.jurisdiction is not None and "-" not in x.jurisdiction:
            message += " Give the state or province too."
        if here:
            message += f" The catalogue holds {joined([rule.title for rule in here])}; ask for it if the deck is there."
        ledger.find(
            "voc-rule-not-here",
            "warning" if given else "note",
            message,
            pointer="/jurisdiction",
            look_up=list(absent),
            on_request=[rule.id for rule in here],
        )
    if doubted is not None:
        message = f"The limit of {doubted.shown} is recalled, not read. Look it up in the rule before you buy."
        at = "/product/voc_content"
        ledger.find("voc-limit-recalled", "warning", message, pointer=at, rule=doubted.rule.id)


def _on_request(rule: VocLimits, x: Inputs) -> bool:
    """Say whether a rule is there to be asked for at this place, and was not."""
    place = x.jurisdiction
    return not rule.automatic and rule is not x.voc_rules and place is not None and law.concerns(rule, place)


def _small(held: Sequence[Held], absent: Sequence[str], bought: Sequence[ContainerCount], ledger: Ledger) -> None:
    """Say that small containers are exempt, but only where every rule that holds there says so."""
    exempting = [one.rule for one in held if one.rule.small_container is not None]
    if not exempting:
        return
    size = min((rule.small_container for rule in exempting if rule.small_container), key=lambda small: small.si)
    exempt = [row for row in bought if row.size <= size.si * (1 + 1e-9)]
    if not exempt:
        return
    ids = [rule.id for rule in exempting]
    told = f"{joined([rule.title for rule in exempting])} {_do(exempting, 'exempt')} containers of {size.given} or less"
    others = [one.rule.title for one in held if one.rule.small_container is None]
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


def _ids(held: Sequence[Held], titles: Sequence[str]) -> list[str]:
    return [one.rule.id for one in held if one.rule.title in titles]
