"""How much VOC the job gives off, and which limits the product must keep."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import Final

from latewood.calculators.coverage import say_limits
from latewood.calculators.coverage.face_groups import from_sheet
from latewood.calculators.coverage.fields import ContainerCount, Product, Voc, VocLimit
from latewood.calculators.coverage.held import Held
from latewood.calculators.coverage.inputs import Inputs
from latewood.declare import RecordLookup
from latewood.formulas.voc import regulatory_voc_content, voc_mass
from latewood.provenance import Ledger
from latewood.records import VocLimits
from latewood.records.voc_limits import Carrier
from latewood.rules import law
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Water at 25 °C, in kg/m3: the density ASTM D3960 counts the water of a coating with (0.9971 g/mL, recalled).
WATER: Final = 997.1

#: The densities rules in force write down: 0.995 kg/L (Maryland COMAR 26.11.19.02) and 1 kg/L.
WATERS: Final = (995.0, 1000.0)


def voc(x: Inputs, drawn: Number, bought: Sequence[ContainerCount], ledger: Ledger, known: RecordLookup) -> Voc | None:
    """Return content, mass, limits and verdict; None where neither content nor place is given, or nothing is put on."""
    if x.coating.bare:
        return None
    product = x.product or Product()
    content = product.voc_content
    mass: Number | None = None
    regulatory = None
    if content is not None:
        from_sheet(ledger, "product.voc_content", content, "g/L", "concentration", "of the product ready to use")
        mass = ledger.step(voc_mass, volume=drawn, voc_content=content)
        regulatory = spread.central(_regulatory(product, _water_density(product, ledger), ledger))
    rules = _rules(x, known)
    held, unheld = _held(x, rules, product, regulatory, ledger)
    if content is None and not rules and x.jurisdiction is None:
        say_limits.no_place(x, ledger, known)
        return None
    stricter = _absent(x, rules)
    absent = (*stricter, *unheld)
    doubted = tuple(one for one in held if not absent and _doubted(one, held))
    rows = tuple(_row(one, (*absent, *one.wanting, *([_limit(one)] if one in doubted else []))) for one in held)
    lowest = min(doubted, key=lambda one: one.highest, default=None)
    named = () if lowest is None else (_limit(lowest),)
    wanting = (*absent, *(what for one in held for what in one.wanting), *named)
    # What is over one limit stays over it, whatever another rule says.
    within, look_up = law.verdict(broken=any(one.over for one in held), wanting=wanting)
    settled = within == "no"
    said = (None, ()) if settled else (lowest, stricter)
    say_limits.say(x, rules, held, *said, bought, ledger, known)
    return Voc(content=content, regulatory_content=regulatory, mass=mass, within=within, look_up=look_up, limits=rows)


def _limit(one: Held) -> str:
    return f"{one.rule.title}, the limit for {one.category}"


def _regulatory(product: Product, water_density: float, ledger: Ledger | None = None) -> Number:
    run = regulatory_voc_content if ledger is None else partial(ledger.step, regulatory_voc_content)
    content: Number = run(
        voc_content=product.voc_content or 0.0,
        water_content=product.water_content or 0.0,
        water_density=water_density,
        exempt_content=product.exempt_content or 0.0,
        # Without exempt compounds any density will do; with them the faults saw to it that it is given.
        exempt_density=product.exempt_density or WATER,
    )
    return content


def _water_density(product: Product, ledger: Ledger) -> float:
    if product.water_density is not None:
        return product.water_density
    if product.water_content:
        here = spread.central(_regulatory(product, WATER))
        effect = max(abs(spread.central(_regulatory(product, other)) / here - 1) for other in WATERS) if here else 0.0
        why = "water at 25 °C; rules in force also use 995 and 1000 kg/m3"
        ledger.default("product.water_density", "997.1 kg/m3", effect=effect, why=why)
    return WATER


def _rules(x: Inputs, known: RecordLookup) -> list[VocLimits]:
    """Return the rules that hold, the most local first: those of the place, and the one asked for beside them."""
    everywhere: list[VocLimits] = list(known.records("voc-limits").values())
    asked = x.voc_rules
    places = (x.jurisdiction,) if x.jurisdiction is not None else asked.jurisdictions if asked is not None else ()
    here = [rule for rule in everywhere if rule.automatic and any(rule.covers(place) for place in places)]
    return law.most_local_first(here if asked is None or asked in here else [asked, *here])


def _absent(x: Inputs, rules: Sequence[VocLimits]) -> tuple[str, ...]:
    """Return the rules that may hold there and are not among the records; where no place is said, that."""
    if x.jurisdiction is None and x.voc_rules is None:
        return ("the VOC rule of the place: give its country and state",)
    here = [rule for rule in rules if x.jurisdiction is None or law.concerns(rule, x.jurisdiction)]
    if x.jurisdiction is not None and not here:
        return (f"the rule on solvent in coatings of {x.jurisdiction}",)
    return law.missing(here, x.jurisdiction)


def _doubted(one: Held, held: Sequence[Held]) -> bool:
    """Say whether a limit that is kept is only remembered, and no lower one that was read is kept as well."""
    lower = any(o.read and o.kept and o.basis == one.basis and o.highest <= one.highest for o in held)
    return one.kept and not one.read and not lower


def _row(one: Held, wanting: Sequence[str]) -> VocLimit:
    within, look_up = law.verdict(broken=one.over, wanting=wanting)
    applying = one.rule.applying
    return VocLimit(
        id=f"{one.rule.id}-{one.carrier}" if one.carrier_open else one.rule.id,
        voc_rule=one.rule.id,
        category=one.category,
        basis=one.basis,
        limit=one.highest,
        content=one.content,
        carrier=one.carrier,
        within=within,
        look_up=look_up,
        binds_application=None if applying is None else applying.bound,
    )


def _held(
    x: Inputs, rules: Sequence[VocLimits], product: Product, regulatory: float | None, ledger: Ledger
) -> tuple[list[Held], list[str]]:
    """Return the limits of the rules, and what to look up of the rules that have none for this coating and day."""
    held: list[Held] = []
    unheld: list[str] = []
    for rule in rules:
        asked = law.rows_of(rule, x.coating, product.carrier)
        if not asked:
            message = f"{x.coating.title} has no category in {rule.title}. Look up its limit there."
            ledger.find("voc-category-unknown", "note", message, pointer="/coating", rule=rule.id)
            unheld.append(f"{rule.title}, the category of this coating")
            continue
        found = [_held_against(x, rule, row, product, regulatory, ledger) for row in asked]
        rows = [one for one in found if one is not None]
        if len(rows) < len(found):
            message = f"{rule.title} had no limit in force on {x.as_of}. Look up the rule before it."
            ledger.find("voc-not-in-force", "note", message, pointer="/as_of", rule=rule.id)
            unheld.append(f"the rule before {rule.title}")
        if len(rows) > 1:
            turns = len({law.keeps(one.content, one.highest) for one in rows if one.content is not None}) > 1
            rows = [replace(one, carrier_open=True, turns_on_carrier=turns) for one in rows]
        held += rows
    return held, unheld


def _held_against(
    x: Inputs,
    rule: VocLimits,
    row: tuple[str, Carrier | None],
    product: Product,
    regulatory: float | None,
    ledger: Ledger,
) -> Held | None:
    """Return the limit of one category with the content on its basis; None where it was not in force on the day."""
    category, carrier = row
    few_solids = rule.basis == "regulatory" and _low_solids(rule, product, ledger)
    if few_solids:
        category = rule.low_solids_category.get(category, category)
    limit = rule.limits[category].on(x.as_of)
    if limit is None:
        return None
    if few_solids:
        message = f"With so few solids {rule.title} judges the product by its whole volume, as {category}."
        ledger.find("voc-low-solids", "note", message, pointer="/product/solids_content", rule=rule.id)
    basis = "product" if few_solids else rule.basis
    highest = spread.value(ledger.take(limit))
    content = regulatory if basis == "regulatory" else product.voc_content
    turns = basis == "regulatory" and content is not None and _turns_on_water(product, highest)
    return Held(rule, category, limit, highest, basis, content, turns, carrier)


def _low_solids(rule: VocLimits, product: Product, ledger: Ledger) -> bool:
    if rule.low_solids is None or product.solids_content is None:
        return False
    return product.solids_content < spread.value(ledger.take(rule.low_solids))


def _turns_on_water(product: Product, highest: float) -> bool:
    """Say whether the densities rules count water with lead to different verdicts, and none was given."""
    if product.water_density is not None or not product.water_content:
        return False
    return len({law.keeps(spread.central(_regulatory(product, density)), highest) for density in WATERS}) > 1
