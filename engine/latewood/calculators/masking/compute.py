"""Lengths, areas and hours that one kind of work asks for."""

from __future__ import annotations

import math

import msgspec

from latewood.calculators.masking.resolve import Ground, Work
from latewood.calculators.masking.result import MaskRow
from latewood.formulas import pace, sheeting
from latewood.provenance import Ledger
from latewood.uncertainty import spread


def measure(row: MaskRow, work: Work, ground: Ground, ledger: Ledger) -> MaskRow:
    """Return lengths and areas; where a boundary is nearer than the reach a screen stands instead of more sheet."""
    reach, borders, about = work.reach, ground.borders, work.asked.id
    strips = []
    for border in borders:
        if border.adjoins == "open":
            width = reach if border.boundary is None else min(reach, border.boundary)
            strip = {"length": border.length, "width": width, "corners": 0.0}
            strips.append(ledger.step(sheeting.border_area, f"{about}, {border.id}", **strip))
    if reach > 0 and strips:
        corners = {"length": 0.0, "width": reach, "corners": float(ground.corners)}
        strips.append(ledger.step(sheeting.border_area, f"{about}, corners", **corners))
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
