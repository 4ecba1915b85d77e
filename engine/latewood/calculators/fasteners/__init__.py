"""Which fasteners must be seen to before sanding? How many, how deep, how long."""

from __future__ import annotations

import math

from latewood.calculators.fasteners.fields import FastenerRow, FastenerZone
from latewood.calculators.fasteners.findings import say, too_shallow, too_thin
from latewood.calculators.fasteners.inputs import Inputs
from latewood.calculators.fasteners.result import Result
from latewood.declare import RecordLookup, calculator
from latewood.formulas import fastening, pace, remaining
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger
from latewood.records import FastenerPractice, Species
from latewood.rules.faces import WHOLE
from latewood.rules.heads import HeadWork, fastening_faults, practice_of, share_proud, shares_of
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


@calculator(
    "fasteners",
    "Fasteners before sanding",
    since="0.3",
    example={
        "zones": [{"id": "main", "fasteners": 676}],
        "species": "southern-yellow-pine",
        "fastener": "nail",
        "removal": "0.3-0.7 mm",
        "fastener_cover": "2 mm",
        "sample": {"inspected": 60, "proud": 5},
    },
    formulas=(
        fastening.heads_to_treat,
        fastening.set_depth,
        fastening.share_in_sample,
        fastening.share_half_width,
        remaining.cover_left,
        pace.time_by_count,
    ),
)
def fasteners(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Count the heads to look at and those to set, and say how deep and in how many hours.

    All are looked at; only a share stands proud, taken from a sample or else a judgement. They come before any sanding:
    a proud head tears the abrasive in a moment and throws sparks into the extractor.
    """
    _refuse(x)
    how = practice_of(x, ledger, known)
    practice = how.record
    zones = x.zones or (FastenerZone(id=WHOLE, fasteners=x.fasteners or 0),)
    hidden = x.fastener == "hidden-clip"
    share: Number = 0.0 if hidden else share_proud(x, sum(zone.fasteners for zone in zones), practice, ledger)
    left = _left(x, ledger)
    # Where sanding would bring every other head too near the surface, all of them go deeper, not the proud ones alone.
    moved: Number = 1.0 if not hidden and (too_thin(left, practice) or too_shallow(x)) else share
    rows, parts = [], []
    for zone in zones:
        shares = shares_of(x, (*x.signs, *zone.signs), moved, practice, ledger)
        done = HeadWork(float(zone.fasteners), shares, how, zone.id, ledger)
        parts.append(done)
        rows.append(
            FastenerRow(
                id=zone.id,
                inspected=0 if hidden else zone.fasteners,
                treated=_heads(spread.value(done.treated)),
                most_treated=_heads(spread.high(done.treated)),
                bored=_bored(zone.species or x.species, practice, ledger),
                time=spread.total(done.times(look=not hidden)),
            )
        )
    treated = spread.total([part.treated for part in parts])
    depth = _depth(x, practice, ledger)
    say(x, zones, practice, left, ledger)
    looking = spread.total([part.looking for part in parts]) if not hidden else 0.0
    setting = spread.total([part.setting for part in parts])
    replacing = spread.total([part.replacing for part in parts])
    return Result(
        inspected=sum(row.inspected for row in rows),
        share_proud=share,
        treated=_heads(spread.value(treated)),
        least_treated=_heads(spread.low(treated)),
        most_treated=_heads(spread.high(treated)),
        replaced=_heads(spread.value(spread.total([part.replaced for part in parts]))),
        set_depth=depth,
        cover_left=left,
        inspection_time=looking,
        setting_time=setting,
        replacing_time=replacing,
        time=spread.total([looking, setting, replacing]),
        zones=tuple(rows),
    )


def _refuse(x: Inputs) -> None:
    faults = []
    if (x.fasteners is None) == (not x.zones):
        detail = "no fasteners are given" if x.fasteners is None else "one number and a list of zones are both given"
        at = "/zones" if x.zones else "/fasteners"
        faults.append(Fault(pointer=at, code="conflict", detail=detail, expected="either fasteners or zones"))
    named = [zone.id for zone in x.zones]
    for place, id in enumerate(named):
        if id in named[:place]:
            detail = f"zone {id} stands twice"
            faults.append(
                Fault(pointer=f"/zones/{place}/id", code="repeated", detail=detail, expected="each zone once")
            )
    faults += fastening_faults(x)
    if faults:
        raise InputProblem(faults)


def _heads(number: float) -> int:
    """Return whole heads, to the nearest."""
    return math.floor(number + 0.5)


def _bored(species: Species | None, practice: FastenerPractice, ledger: Ledger) -> bool:
    return (
        species is not None
        and species.group == "hardwood"
        and spread.value(ledger.take(species.density)) >= spread.central(ledger.take(practice.bored_from))
    )


def _depth(x: Inputs, practice: FastenerPractice, ledger: Ledger) -> float | None:
    """Return how deep to set: below the deepest that is likely to be sanded off, and as deep as the machine asks."""
    if x.fastener == "hidden-clip":
        return None
    asked = [practice.least_depth] + ([] if x.machine is None else [x.machine.set_below])
    least = max((spread.central(ledger.take(number)) for number in asked if number is not None), default=0.0)
    if x.removal is None:
        return least if x.machine is not None and x.machine.set_below is not None else None
    clearance = spread.central(ledger.take(practice.clearance))
    depth = spread.central(
        ledger.step(fastening.set_depth, "high end", removal=spread.high(x.removal), clearance=clearance)
    )
    return max(depth, least)


def _left(x: Inputs, ledger: Ledger) -> Number | None:
    if x.fastener_cover is None or x.removal is None:
        return None
    return ledger.step(remaining.cover_left, fastener_cover=x.fastener_cover, removal=x.removal)


__all__ = ["Inputs", "Result", "fasteners"]
