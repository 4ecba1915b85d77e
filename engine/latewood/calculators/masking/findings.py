"""What is said of the place, of the wind and of the neighbours."""

from __future__ import annotations

from typing import Any, Final, Literal

from latewood.calculators.masking.inputs import Inputs
from latewood.calculators.masking.resolve import Work
from latewood.messages import Length, Name, Speed, Titled
from latewood.provenance import Ledger
from latewood.rules.hazards import Suspicion

#: Texts of what falls through the gaps, by what it falls on.
_BELOW: Final = {
    "lower-deck": "falls-on-lower-deck",
    "room": "falls-into-room",
    "water": "falls-into-water",
    "paving": "falls-on-paving",
}


def walls_unsaid(walls: list[str], ledger: Ledger) -> None:
    """Say that walls may be painted, of which nothing was said and whose age does not rule lead out."""
    if walls:
        named = [Name(wall) for wall in walls]
        ledger.find("wall-coating-not-given", pointer="/wall_coating", params={"borders": walls}, walls=named)


def place(x: Inputs, lead: Suspicion, ledger: Ledger) -> None:
    """Say what lies below, and what is missing to know it."""
    if x.below in _BELOW:
        ledger.find("falls-through", text=_BELOW[x.below], pointer="/below")
    if x.area is None and x.below not in (None, "ground"):
        ledger.find("area-missing", text="floor-area-missing", pointer="/area")
    if not x.borders:
        ledger.find("borders-missing", pointer="/borders")
    if lead != "no":
        text = "lead-cover" if lead == "yes" else "lead-cover-suspected"
        ledger.find("lead-cover", text=text, pointer="/wall_coating" if x.wall_coating else "/old_coating")


def verdict(x: Inputs, work: Work, ledger: Ledger) -> Literal["go", "wait", "stop"]:
    """Say of one kind of work whether it may be done here, and in this wind."""
    near, reach, limit, drifts = [Name(id) for id in work.near], Length(work.reach), work.wind_limit, work.record.drifts
    title, plain = Titled(work.record), dict[str, Any](work=work.asked.id)
    if drifts:
        ledger.fact("spray", _drifts_to(x, work.near))
    if drifts and x.below == "water":
        ledger.find("drift-over-water", pointer="/below", params=plain, work=title)
        return "stop"
    if drifts and near:
        also = plain | {"borders": list(work.near)}
        ledger.find("drift-on-neighbours", pointer="/works", params=also, work=title, reach=reach, borders=near)
        return "stop"
    if near:
        ledger.find("screen-at-boundary", pointer="/borders", params=plain, work=title, reach=reach, borders=near)
    if x.wind_speed is None:
        if drifts:
            ledger.find("watch-the-wind", pointer="/wind_speed", params=plain, work=title, limit=Speed(limit))
    elif x.wind_speed > limit:
        wind = Speed(x.wind_speed)
        ledger.find("too-windy", pointer="/wind_speed", params=plain, work=title, limit=Speed(limit), wind=wind)
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
