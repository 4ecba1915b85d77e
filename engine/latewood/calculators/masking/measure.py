"""Lengths and areas that one kind of work asks to be covered."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from latewood.calculators.masking.fields import Below
from latewood.calculators.masking.inputs import Inputs
from latewood.formulas import sheeting
from latewood.provenance import Ledger
from latewood.records import SiteProtection
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Outer corners of the ground round a rectangle, where none are counted.
CORNERS: Final = 4
#: The same where something adjoins on one side: geometry of a rectangle against a wall.
CORNERS_AT_A_WALL: Final = 2
#: What is taken to lie under a floor where nobody says.
BELOW: Final[Below] = "ground"
#: Girth of a post of nominal 4x4, PS 20: four sides of 3-1/2 in (m).
GIRTH: Final = 4 * 3.5 * 0.0254


@dataclass(frozen=True)
class Measured:
    """What one kind of work asks for."""

    sheet_area: Number
    cover_area: Number
    tape_length: float
    plant_area: float
    screen_length: float
    openings_shut: int


#: What work asks for that is not done.
NOTHING: Final = Measured(
    sheet_area=0.0, cover_area=0.0, tape_length=0.0, plant_area=0.0, screen_length=0.0, openings_shut=0
)


def near_others(x: Inputs, reach: float) -> tuple[str, ...]:
    """Return the stretches where others' property is within reach."""
    near = tuple(b.id for b in x.borders if b.boundary is not None and b.boundary < reach * (1 - 1e-9))
    return near + tuple(b.id for b in x.borders if b.adjoins == "neighbour" and b.boundary is None)


def measure(
    x: Inputs, asked: SiteProtection, work: SiteProtection, reach: float, near: tuple[str, ...], ledger: Ledger
) -> Measured:
    """Return lengths and areas; where a boundary is nearer than the reach a screen stands instead of more sheet."""
    overlap = ledger.take(work.overlap)
    height = spread.central(ledger.take(work.cover_height))
    ground = []
    for border in x.borders:
        if border.adjoins == "open":
            width = reach if border.boundary is None else min(reach, border.boundary)
            strip = {"length": border.length, "width": width, "corners": 0.0}
            ground.append(ledger.step(sheeting.border_area, f"{asked.id}, {border.id}", **strip))
    if reach > 0 and ground:
        count = _corners(x, reach**2 / (spread.value(spread.total(ground)) or reach**2), ledger)
        corners = {"length": 0.0, "width": reach, "corners": float(count)}
        ground.append(ledger.step(sheeting.border_area, f"{asked.id}, corners", **corners))
    bare = spread.total(ground) + _under(x, asked, work)
    solid = [border for border in x.borders if border.adjoins != "open"]
    covered = [
        ledger.step(
            sheeting.cover_area,
            f"{asked.id}, {border.id}",
            length=border.length,
            height=height if border.height is None else min(height, border.height),
        )
        for border in solid
    ]
    return Measured(
        sheet_area=ledger.step(sheeting.sheet_area, f"{asked.id}, ground", area=bare, overlap=overlap),
        cover_area=ledger.step(
            sheeting.sheet_area, f"{asked.id}, upright", area=spread.total(covered), overlap=overlap
        ),
        tape_length=math.fsum(border.length for border in solid) + _posts(x, ledger),
        plant_area=math.fsum(bed.area for bed in x.plants if work.covers_plants and (bed.distance or 0.0) <= reach),
        screen_length=math.fsum(border.length for border in x.borders if border.id in near),
        openings_shut=_windows(x, work, ledger),
    )


def _under(x: Inputs, asked: SiteProtection, work: SiteProtection) -> float:
    """Return the area under the floor to cover: soil takes dust of sound wood, but neither lead nor drips elsewhere."""
    if (x.below or BELOW) == "ground" and work.id == asked.id:
        return 0.0
    return x.area or 0.0


def _corners(x: Inputs, share: float, ledger: Ledger) -> int:
    """Return the outer corners of the ground; ``share`` is what one of them adds to the ground along the stretches."""
    if x.corners is not None:
        return x.corners
    walled = any(border.adjoins != "open" for border in x.borders)
    count = CORNERS_AT_A_WALL if walled else CORNERS
    other = CORNERS + CORNERS_AT_A_WALL - count
    effect = abs(other - count) * share / (1 + count * share)
    why = "the ground round a rectangle" + (" with a wall along one side" if walled else "")
    ledger.default("corners", str(count), effect=effect, why=why)
    return count


def _posts(x: Inputs, ledger: Ledger) -> float:
    if not x.posts:
        return 0.0
    if x.post_girth is None:
        ledger.default("post_girth", "14 in", effect=None, why="a dressed 4x4 post, PS 20")
        return x.posts * GIRTH
    return x.posts * x.post_girth


def _windows(x: Inputs, work: SiteProtection, ledger: Ledger) -> int:
    if work.openings_within is None:
        return 0
    within = spread.central(ledger.take(work.openings_within))
    return sum(b.house_openings or 0 for b in x.borders if (b.openings_distance or 0.0) <= within * (1 + 1e-9))
