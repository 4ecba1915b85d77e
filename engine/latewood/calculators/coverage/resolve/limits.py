"""Which rules on VOC hold for a coating at a place and on a day, and which limits they set."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from latewood.calculators.coverage.compute.limits import WATER, WATERS, regulatory_content
from latewood.calculators.coverage.fields import Product
from latewood.calculators.coverage.inputs import Inputs
from latewood.calculators.coverage.resolve.rates import NO_SHEET, from_sheet
from latewood.calculators.coverage.resolved import Held, Limits
from latewood.declare import RecordLookup
from latewood.messages import Clause, Code, Moment, Titled, clause
from latewood.provenance import HERE, Ledger, Number
from latewood.records import VocLimits
from latewood.records.voc_limits import Carrier
from latewood.rules import law
from latewood.uncertainty import spread


def limits_of(x: Inputs, ledger: Ledger, known: RecordLookup) -> Limits | None:
    """Return the rules that hold, the most local first, with their limits; None where nothing is put on."""
    if x.coating.bare:
        return None
    product = x.product or NO_SHEET
    density = WATER if product.water_density is None else product.water_density
    if product.voc_content is not None:
        from_sheet(ledger, "voc_content", product.voc_content, "g/L", clause("sheet-ready-to-use"))
        if product.water_content and product.water_density is None:

            def content(other: Any) -> Number:
                return regulatory_content(product, WATER if other is HERE else other)

            why = clause("water-density")
            ledger.default("product.water_density", "997.1 kg/m3", others=WATERS, by=content, output="voc", why=why)
    every: tuple[VocLimits, ...] = tuple(known.records("voc-limits").values())
    rules = _rules(x, every)
    held: list[Held] = []
    unheld: list[Clause] = []
    for rule in rules:
        rows, open_still = _held(x, rule, product, ledger)
        held += rows
        unheld += open_still
    return Limits(
        product=product,
        water_density=density,
        place=x.jurisdiction,
        rules=rules,
        held=tuple(held),
        absent=_absent(x, rules),
        unheld=tuple(unheld),
        every=every,
    )


def _rules(x: Inputs, every: tuple[VocLimits, ...]) -> tuple[VocLimits, ...]:
    """Return the rules that hold, the most local first: those of the place, and the one asked for beside them."""
    asked = x.voc_rules
    places = (x.jurisdiction,) if x.jurisdiction is not None else asked.jurisdictions if asked is not None else ()
    here = [rule for rule in every if rule.automatic and any(rule.covers(place) for place in places)]
    return tuple(law.most_local_first(here if asked is None or asked in here else [asked, *here]))


def _absent(x: Inputs, rules: tuple[VocLimits, ...]) -> tuple[Clause, ...]:
    """Return the rules that may hold there and are not among the records; where no place is said, that."""
    if x.jurisdiction is None and x.voc_rules is None:
        return (clause("look-up-place"),)
    here = [rule for rule in rules if x.jurisdiction is None or law.concerns(rule, x.jurisdiction)]
    if x.jurisdiction is not None and not here:
        return (clause("look-up-rule-of", jurisdiction=Code(x.jurisdiction)),)
    return law.missing(here, x.jurisdiction)


def _held(x: Inputs, rule: VocLimits, product: Product, ledger: Ledger) -> tuple[list[Held], list[Clause]]:
    """Return the limits of one rule, and what to look up of it where it has none for this coating and day."""
    asked = law.rows_of(rule, x.coating, product.carrier, product.gloss)
    if not asked:
        params, coating = {"rule": rule.id}, Titled(x.coating)
        ledger.find("voc-category-unknown", pointer="/coating", params=params, coating=coating, rule=Titled(rule))
        return [], [clause("look-up-category", rule=Titled(rule))]
    found = [_limit(x, rule, category, carrier, product, ledger) for category, carrier in asked]
    rows = [one for one in found if one is not None]
    if len(rows) > 1:
        rows = [replace(one, open_by=law.divided_by(rule, x.coating)) for one in rows]
    if len(rows) == len(found):
        return rows, []
    on = Moment(x.as_of or date.max)
    ledger.find("voc-not-in-force", pointer="/as_of", params={"rule": rule.id}, rule=Titled(rule), on=on)
    return rows, [clause("look-up-rule-before", rule=Titled(rule))]


def _limit(
    x: Inputs, rule: VocLimits, category: str, carrier: Carrier | None, product: Product, ledger: Ledger
) -> Held | None:
    """Return the limit of one category; None where it was not in force on the day."""
    few_solids = (
        rule.basis == "regulatory"
        and rule.low_solids is not None
        and product.solids_content is not None
        and product.solids_content < spread.value(ledger.take(rule.low_solids))
    )
    if few_solids:
        category = rule.low_solids_category.get(category, category)
    limit = rule.limits[category].on(x.as_of)
    if limit is None:
        return None
    if few_solids:
        ledger.find(
            "voc-low-solids",
            pointer="/product/solids_content",
            params={"rule": rule.id},
            rule=Titled(rule),
            category=rule.category(category),
        )
    return Held(
        rule=rule,
        category=category,
        number=limit,
        highest=spread.value(ledger.take(limit)),
        basis="product" if few_solids else rule.basis,
        carrier=carrier,
    )
