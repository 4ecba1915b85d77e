"""How much VOC the job gives off, and which limits the product must keep."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, Final

from latewood import spread
from latewood.calculators._coverage.fields import ContainerCount, Product, Voc, VocLimit
from latewood.calculators._coverage.lots import from_sheet
from latewood.declare import Known
from latewood.formulas.voc import regulatory_voc_content, voc_mass
from latewood.provenance import Ledger, Sourced
from latewood.records import VocLimits
from latewood.spread import Number

if TYPE_CHECKING:
    from latewood.calculators.coverage import Inputs

#: Water at 25 °C, in kg/m3: the density ASTM D3960 counts the water of a coating with (0.9971 g/mL, recalled).
WATER: Final = 997.1

#: The densities rules in force write down: 0.995 kg/L (Maryland COMAR 26.11.19.02) and 1 kg/L.
WATERS: Final = (995.0, 1000.0)


def voc(x: Inputs, drawn: Number, bought: Sequence[ContainerCount], ledger: Ledger, known: Known) -> Voc | None:
    """Return content, mass and limits; None where neither a content nor a limit is known, or nothing is put on."""
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
    limits = tuple(_limits(x, product, regulatory, bought, ledger, known))
    if content is None and not limits:
        return None
    return Voc(content=content, regulatory_content=regulatory, mass=mass, limits=limits)


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


def _limits(
    x: Inputs,
    product: Product,
    regulatory: float | None,
    bought: Sequence[ContainerCount],
    ledger: Ledger,
    known: Known,
) -> Iterator[VocLimit]:
    for rule in _rules(x, ledger, known):
        category = x.coating.voc_category.get(rule.id, "")
        if category not in rule.limits:
            message = f"{x.coating.title} has no category in {rule.title}, so its limit was not looked up."
            ledger.find("voc-category-unknown", "note", message, pointer="/coating", rule=rule.id)
            continue
        limit = rule.limits[category].on(x.as_of)
        if limit is None:
            message = f"{rule.title} had no limit in force on {x.as_of}."
            ledger.find("voc-not-in-force", "note", message, pointer="/as_of", rule=rule.id)
            continue
        if x.as_of is None:
            message = "No as_of date was given; the newest VOC limits were taken."
            ledger.find("as-of-missing", "note", message, pointer="/as_of")
        yield _judged(rule, category, limit, product, regulatory, bought, ledger)


def _judged(
    rule: VocLimits,
    category: str,
    limit: Sourced,
    product: Product,
    regulatory: float | None,
    bought: Sequence[ContainerCount],
    ledger: Ledger,
) -> VocLimit:
    highest = spread.value(ledger.take(limit))
    basis = rule.basis
    if basis == "regulatory" and _low_solids(rule, product, ledger):
        basis = "product"
        message = f"With so few solids {rule.title} judges the product by its whole volume; see its low-solids limits."
        ledger.find("voc-low-solids", "note", message, pointer="/product/solids_content", rule=rule.id)
    content = regulatory if basis == "regulatory" else product.voc_content
    within = None if content is None else content <= highest
    shown = f"{highest:g} g/L ({category}, {rule.title})"
    if within is False:
        message = f"The product's VOC content of {content:.4g} g/L is over the limit of {shown}."
        ledger.find("voc-over-limit", "warning", message, pointer="/product/voc_content", rule=rule.id)
    if within is not None and basis == "regulatory" and _turns_on_water(product, highest):
        message = f"Whether the product keeps {shown} turns on the density its water is counted with; give it."
        ledger.find("voc-water-density-decides", "warning", message, pointer="/product/water_density", rule=rule.id)
    if rule.small_container is not None:
        _say_small(rule, rule.small_container, bought, ledger)
    return VocLimit(id=rule.id, category=category, basis=basis, limit=highest, content=content, within=within)


def _low_solids(rule: VocLimits, product: Product, ledger: Ledger) -> bool:
    if rule.low_solids is None or product.solids_content is None:
        return False
    return product.solids_content < spread.value(ledger.take(rule.low_solids))


def _turns_on_water(product: Product, highest: float) -> bool:
    """Say whether the densities rules count water with lead to different verdicts, and none was given."""
    if product.water_density is not None or not product.water_content:
        return False
    return len({spread.central(_regulatory(product, density)) <= highest for density in WATERS}) > 1


def _say_small(rule: VocLimits, small: Sourced, bought: Sequence[ContainerCount], ledger: Ledger) -> None:
    most = small.si * (1 + 1e-9)
    exempt = [row for row in bought if row.size <= most]
    if exempt:
        which = "all of this purchase is" if len(exempt) == len(bought) else "part of this purchase is"
        message = f"{rule.title} exempts containers of {small.given} or less: {which} exempt."
        ledger.find("voc-small-container", "note", message, pointer="/containers", rule=rule.id)


def _rules(x: Inputs, ledger: Ledger, known: Known) -> Iterable[VocLimits]:
    """Return the rules to apply: the one asked for, else those of the jurisdiction."""
    if x.voc_rules is not None:
        return [x.voc_rules]
    rules: list[VocLimits] = [rule for rule in known.records("voc-limits").values() if rule.automatic]
    if x.jurisdiction is not None:
        here = [rule for rule in rules if rule.covers(x.jurisdiction)]
        if not here:
            message = f"No VOC limits for {x.jurisdiction} are known here, so none was applied."
            ledger.find("no-voc-rule", "note", message, pointer="/jurisdiction")
        return here
    would = [text for rule in rules if (text := _would_be(rule, x))]
    if would:
        message = f"No jurisdiction was given, so no VOC limit was applied. It would be {'; '.join(would)}."
        ledger.find("no-jurisdiction", "note", message, pointer="/jurisdiction")
    return []


def _would_be(rule: VocLimits, x: Inputs) -> str:
    category = x.coating.voc_category.get(rule.id, "")
    limit = rule.limits[category].on(x.as_of) if category in rule.limits else None
    if limit is None:
        return ""
    where = rule.jurisdictions[0] if len(rule.jurisdictions) == 1 else f"{len(rule.jurisdictions)} jurisdictions"
    return f"{limit.given} in {where} ({rule.title}, {category})"
