"""What is said of the place, of the wind and of the neighbours."""

from __future__ import annotations

from typing import Final, Literal

from latewood.calculators.masking.inputs import Inputs
from latewood.calculators.masking.resolve import Work
from latewood.provenance import Ledger
from latewood.rules.hazards import Suspicion

#: What falls through the gaps, and on what.
_BELOW: Final = {
    "lower-deck": "sheet the lower deck from wall to wall, and let nobody under it while the work goes on",
    "room": "keep the room under the floor empty and its ceiling or its furniture covered",
    "water": "nothing may fall into the water: hang a sheet under the floor, tight to the joists",
    "paving": "paving takes stains for good: cover it dry, and wipe up drips before they soak in",
}


def walls_unsaid(walls: list[str], ledger: Ledger) -> None:
    """Say that walls may be painted, of which nothing was said and whose age does not rule lead out."""
    if walls:
        message = (
            f"Nobody said whether {' and '.join(walls)} is painted, and its age does not rule lead out: an edge tool "
            "that touches old paint makes lead dust. Look, and say wall_coating."
        )
        ledger.find("wall-coating-not-given", "note", message, pointer="/wall_coating", borders=walls)


def place(x: Inputs, lead: Suspicion, ledger: Ledger) -> None:
    """Say what lies below, and what is missing to know it."""
    if x.below in _BELOW:
        message = f"Gaps let dust and drips through: {_BELOW[x.below]}."
        severity: Literal["note", "warning"] = "warning" if x.below in ("water", "room") else "note"
        ledger.find("falls-through", severity, message, pointer="/below")
    if x.area is None and x.below not in (None, "ground"):
        message = "The area of the floor is not given: no sheet is counted for what lies under it."
        ledger.find("area-missing", "warning", message, pointer="/area")
    if not x.borders:
        message = (
            "No stretch of the edge is given: neither walls to tape nor ground to cover beside the work are counted."
        )
        ledger.find("borders-missing", "note", message, pointer="/borders")
    if lead != "no":
        covered = "the ground is covered as for lead, and edge tools stay off painted walls."
        message = (
            f"A coating on the deck, its walls or trim holds lead: {covered}"
            if lead == "yes"
            else f"Lead is not ruled out on the deck, its walls or trim: have it tested. Until then {covered}"
        )
        ledger.find("lead-cover", "warning", message, pointer="/wall_coating" if x.wall_coating else "/old_coating")


def verdict(x: Inputs, work: Work, ledger: Ledger) -> Literal["go", "wait", "stop"]:
    """Say of one kind of work whether it may be done here, and in this wind."""
    near, reach, limit, drifts = work.near, work.reach, work.wind_limit, work.record.drifts
    title, asked = work.record.title, work.asked.id
    if drifts:
        ledger.fact("spray", _drifts_to(x, near))
    if drifts and x.below == "water":
        message = f"{title} is not done over water: drift and drips go into it. Brush, roll or pad the boards."
        ledger.find("drift-over-water", "stop", message, pointer="/below", work=asked)
        return "stop"
    if drifts and near:
        message = (
            f"{title} is not done within {reach:g} m of others' property ({', '.join(near)}): "
            "what drifts there costs more than the time it saves. Brush, roll or pad on those sides."
        )
        ledger.find("drift-on-neighbours", "stop", message, pointer="/works", work=asked, borders=list(near))
        return "stop"
    if near:
        message = (
            f"{title}: others' property is nearer than {reach:g} m ({', '.join(near)}). Put up "
            "an upright screen there, tell them the day, and stop when it blows over."
        )
        ledger.find("screen-at-boundary", "warning", message, pointer="/borders", work=asked)
    if x.wind_speed is None:
        if drifts:
            message = f"{title} stops at {limit:.3g} m/s of wind, and earlier where it is seen to drift; log the wind."
            ledger.find("watch-the-wind", "note", message, pointer="/wind_speed", work=asked)
    elif x.wind_speed > limit:
        message = f"{title} stops at {limit:.3g} m/s of wind; {x.wind_speed:.3g} m/s are given. Wait."
        ledger.find("too-windy", "warning", message, pointer="/wind_speed", work=asked)
        return "wait"
    return "go"


def _drifts_to(x: Inputs, near: tuple[str, ...]) -> Literal["clear", "unsaid", "over-water", "at-neighbours"]:
    """Say what drift may reach: water below, others' property, or what was not said to lie there."""
    if x.below == "water":
        return "over-water"
    if near:
        return "at-neighbours"
    told = x.below is not None and bool(x.borders)
    open_sides = [border for border in x.borders if border.adjoins == "open"]
    return "clear" if told and all(border.boundary is not None for border in open_sides) else "unsaid"
