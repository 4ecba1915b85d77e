"""Lengths, areas and hours that one kind of work asks for."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence

import msgspec

from latewood.calculators.masking.compute.bands import corner_share
from latewood.calculators.masking.inputs import Border
from latewood.calculators.masking.resolve import Ground, Work
from latewood.calculators.masking.result import MaskRow
from latewood.formulas import pace, sheeting
from latewood.provenance import Ledger
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


def _ground(work: Work, ground: Ground, ledger: Ledger) -> list[Number]:
    """Return the ground along each open border, and what the corners between those without an outline add."""
    about, strips = work.asked.id, []
    sides = [border for border in ground.borders if border.adjoins == "open"]
    widths = {b.id: work.reach if b.boundary is None else min(work.reach, b.boundary) for b in sides}
    for border in sides:
        width, share = widths[border.id], 0.0
        if border.outline is not None and width > 0:
            share = corner_share(border.outline.points, border.wall_sides, width)
        strip = {"length": border.length, "width": width, "corners": share}
        strips.append(ledger.step(sheeting.border_area, f"{about}, {border.id}", **strip))
    plain = [border for border in ground.borders if border.outline is None]
    for (one, other), count in Counter(_corners(plain, widths, ground.corners)).items():
        # A corner is as long as one strip is wide, and as wide as the other.
        square = {"length": 0.0, "width": one, "corners": float(count)}
        oblong = {"length": other * count, "width": one, "corners": 0.0}
        size = square if one == other else oblong
        strips.append(ledger.step(sheeting.border_area, f"{about}, corners", **size))
    return strips


def _corners(borders: Sequence[Border], widths: Mapping[str, float], count: int) -> list[tuple[float, float]]:
    """Return the widths of the strips that meet at each outer corner: the widest that do, as borders follow round.

    A corner beyond those between two open borders is a bend of the widest.
    """
    ring = [widths.get(border.id) for border in borders]
    pairs = [(max(a, b), min(a, b)) for a, b in zip(ring, ring[1:] + ring[:1], strict=True) if a and b]
    bend = max((widths[border.id] for border in borders if border.id in widths), default=0.0)
    pairs = sorted(pairs if len(ring) > 1 else [], key=lambda pair: -pair[0] * pair[1])
    return [pair for pair in [*pairs, *[(bend, bend)] * count][:count] if pair[1] > 0]


def measure(row: MaskRow, work: Work, ground: Ground, ledger: Ledger) -> MaskRow:
    """Return lengths and areas; where a boundary is nearer than the reach a screen stands instead of more sheet."""
    borders, about = ground.borders, work.asked.id
    strips = _ground(work, ground, ledger)
    solid = [border for border in borders if border.adjoins != "open"]
    covered = []
    for border in solid:
        height = ground.cover_height if border.height is None else min(ground.cover_height, border.height)
        size = {"length": border.length, "height": height}
        covered.append(ledger.step(sheeting.cover_area, f"{about}, {border.id}", **size))
    sheet, cover = (
        ledger.step(sheeting.sheet_area, f"{about}, {where}", area=area, overlap=ground.overlap)
        for where, area in (("ground", spread.total(strips) + ground.under), ("upright", spread.total(covered)))
    )
    tape = math.fsum(border.length for border in solid) + ground.post_girths
    taping = ledger.step(pace.time_by_length, f"{about}, tape", length=tape, pace=ground.mask_pace)
    sheeted = ledger.step(pace.time_by_area, f"{about}, sheets", area=sheet, pace=ground.sheet_pace)
    return msgspec.structs.replace(
        row,
        sheet_area=sheet,
        cover_area=cover,
        tape_length=tape,
        plant_area=ground.plant_area,
        screen_length=math.fsum(border.length for border in borders if border.id in work.near),
        openings_shut=ground.openings_shut,
        time=taping + sheeted,
    )
