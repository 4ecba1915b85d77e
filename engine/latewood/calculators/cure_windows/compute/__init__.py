"""From weather, boards and work to the starts that work, the verdict, and what comes after."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from latewood.calculators.cure_windows.compute.assessment import Assessed, assessed
from latewood.calculators.cure_windows.compute.cells import Cells, cells_of, open_hours
from latewood.calculators.cure_windows.compute.gates import ForecastCase
from latewood.calculators.cure_windows.compute.proposals import Room, proposals, room_of
from latewood.calculators.cure_windows.compute.rain_risk import least_risk, rain_risk
from latewood.calculators.cure_windows.compute.search import Fit
from latewood.calculators.cure_windows.compute.searched import look
from latewood.calculators.cure_windows.compute.timeline import events, hand_over
from latewood.calculators.cure_windows.compute.windows import nearest_miss, window
from latewood.calculators.cure_windows.compute.worked_steps import work
from latewood.calculators.cure_windows.fields import CureEvent, CureMiss, CureWindow, HandOver, Proposal, RainRisk
from latewood.calculators.cure_windows.resolved import Resolved
from latewood.provenance import Ledger
from latewood.weather.hours import Flags

#: A light breeze, force 2 of the Beaufort scale: 1.6 to 3.3 m/s.
BREEZE: Final = 3.0


@dataclass(frozen=True, kw_only=True)
class Found:
    """What the weather allows. Where nothing works, the fit in a breeze, and the least risk of rain.

    ``proposals`` is None where none were looked for.
    """

    case: ForecastCase
    at_work: Flags
    chosen: Assessed
    windows: tuple[CureWindow, ...]
    room: Room | None
    proposals: tuple[Proposal, ...] | None
    miss: CureMiss | None
    airy: Fit | None
    least_risk: RainRisk | None
    risk: RainRisk | None
    timeline: tuple[CureEvent, ...]
    hand_over: tuple[HandOver, ...]


def compute(r: Resolved, ledger: Ledger) -> Found:
    """Find the starts that work, the verdict, and what comes after."""
    cells = cells_of(r)
    at_work = open_hours(cells, r)
    asked = look(r, cells, at_work)
    case, fitted, order = asked.case, asked.fitted, asked.order
    chosen = assessed(case, order, fitted, asked.wrong)
    miss = None if order else nearest_miss(case, at_work, fitted)

    def otherwise(other: Cells) -> Fit:
        return look(r, other, at_work).fitted

    airy = least = None
    hot = miss is not None and any(gate.startswith("hot") for gate in miss.gates)
    if hot and r.lit and not r.by_air and r.hours.wind_speed is None:
        hours = replace(r.hours, wind_speed=np.full(len(r.hours), BREEZE))
        airy = otherwise(cells.with_face(r.boards.face(hours, r.place, Ledger("breeze"))))
    if miss is not None and cells.day_chance is not None:
        least = least_risk(otherwise(cells.without_chance()), case)
    laid = chosen.laid
    risk = rain_risk(laid, case, ledger)
    if ledger.steps is not None:
        work(r, laid, cells.part, ledger)
    return Found(
        case=case,
        at_work=at_work,
        chosen=chosen,
        windows=tuple(window(i + 1, one, fitted, case) for i, one in enumerate(order[: r.most])),
        room=room_of(asked),
        proposals=proposals(asked, chosen),
        miss=miss,
        airy=airy,
        least_risk=least,
        risk=risk,
        timeline=() if laid is None else tuple(events(laid, case)),
        hand_over=() if laid is None else tuple(hand_over(laid, case)),
    )
