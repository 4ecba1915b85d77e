"""How much VOC the job gives off, and whether the product keeps each limit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import Final

from latewood.calculators.coverage.fields import Product, Voc, VocLimit
from latewood.calculators.coverage.resolved import Held, Limits
from latewood.formulas.voc import regulatory_voc_content, voc_mass
from latewood.messages import Clause
from latewood.provenance import Ledger
from latewood.rules import law
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Water at 25 °C, in kg/m3: the density ASTM D3960 counts the water of a coating with (0.9971 g/mL, recalled).
WATER: Final = 997.1

#: The densities rules in force write down: 0.995 kg/L (Maryland COMAR 26.11.19.02) and 1 kg/L.
WATERS: Final = (995.0, 1000.0)


def voc_of(limits: Limits | None, ready: Number, ledger: Ledger) -> tuple[Voc | None, tuple[Held, ...]]:
    """Return content, mass, limits and verdict, and the limits as the product was held against them.

    The first is None where neither content nor place is given, or nothing is put on.
    """
    if limits is None:
        return None, ()
    content, mass, regulatory = limits.product.voc_content, None, None
    if content is not None:
        mass = ledger.step(voc_mass, volume=ready, voc_content=content)
        regulatory = spread.central(regulatory_content(limits.product, limits.water_density, ledger))
    elif not limits.rules and limits.place is None:
        return None, ()
    held = tuple(_hold(one, limits, regulatory) for one in limits.held)
    absent = (*limits.absent, *limits.unheld)
    doubted = doubted_of(limits, held)
    rows = tuple(_row(one, (*absent, *one.wanting, *([one.named] if one in doubted else []))) for one in held)
    wanting = (*absent, *(what for one in held for what in one.wanting), *(one.named for one in doubted[:1]))
    # What is over one limit stays over it, whatever another rule says.
    within, look_up = law.verdict(broken=any(one.over for one in held), wanting=wanting)
    voc = Voc(content=content, regulatory_content=regulatory, mass=mass, within=within, look_up=look_up, limits=rows)
    return voc, held


def regulatory_content(product: Product, water_density: float, ledger: Ledger | None = None) -> Number:
    """Return the content less water and exempt compounds."""
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


def _hold(one: Held, limits: Limits, regulatory: float | None) -> Held:
    """Return a limit with the content on its basis, and whether that keeps it on every reading of the request."""
    product = limits.product
    content = regulatory if one.basis == "regulatory" else product.voc_content
    if content is None:
        return one
    on_water = on_row = False
    if one.basis == "regulatory" and product.water_content and product.water_density is None:
        others = (spread.central(regulatory_content(product, density)) for density in WATERS)
        on_water = len({law.keeps(other, one.highest) for other in others}) > 1
    if one.open_by is not None:
        rows = (other.highest for other in limits.held if other.rule is one.rule)
        on_row = len({law.keeps(content, highest) for highest in rows}) > 1
    return replace(one, content=content, turns_on_water=on_water, turns_on_row=on_row)


def doubted_of(limits: Limits, held: Sequence[Held]) -> list[Held]:
    """Return the limits that are kept, but only remembered, with no lower one that was read and kept; lowest first."""
    if limits.absent or limits.unheld:
        return []
    read = [one for one in held if one.kept and one.read]
    kept = [one for one in held if one.kept and not one.read]
    lone = [one for one in kept if not any(o.basis == one.basis and o.highest <= one.highest for o in read)]
    return sorted(lone, key=lambda one: one.highest)


def _row(one: Held, wanting: Sequence[Clause]) -> VocLimit:
    within, look_up = law.verdict(broken=one.over, wanting=wanting)
    applying = one.rule.applying
    return VocLimit(
        id=one.rule.id if one.open_by is None else f"{one.rule.id}-{one.carrier or one.category}",
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
