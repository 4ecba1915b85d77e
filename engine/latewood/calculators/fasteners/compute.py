"""Heads to look at, to set and to replace, how deep, and in how many hours."""

from __future__ import annotations

import math
from dataclasses import replace

from latewood.calculators.fasteners.resolve import Resolved
from latewood.calculators.fasteners.result import FastenerRow, Result
from latewood.formulas import fastening, remaining
from latewood.provenance import Ledger
from latewood.rules.heads import HeadWork
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


def compute(r: Resolved, ledger: Ledger) -> Result:
    """Return what each zone comes to, and all of them."""
    left, look = cover_left(r, ledger), not r.hidden
    # Where sanding would bring every other head too near the surface, all of them go deeper, not the proud ones alone.
    all_deeper = look and r.settable and (too_thin(r, left) or too_shallow(r))
    rows, parts = [], []
    for zone in r.zones:
        shares = replace(zone.shares, set=1.0) if all_deeper else zone.shares
        done = HeadWork(float(zone.fasteners), shares, r.practice, zone.id, ledger)
        parts.append(done)
        rows.append(
            FastenerRow(
                id=zone.id,
                inspected=zone.fasteners if look else 0,
                treated=_heads(spread.value(done.treated)),
                most_treated=_heads(spread.high(done.treated)),
                bored=zone.bored,
                time=spread.total(done.times(look=look)),
            )
        )
    names = ("treated", "replaced", "looking", "setting", "replacing")
    whole: dict[str, Number] = {name: spread.total([getattr(part, name) for part in parts]) for name in names}
    times = [whole["looking"] if look else 0.0, whole["setting"], whole["replacing"]]
    return Result(
        inspected=sum(row.inspected for row in rows),
        share_proud=r.share_proud,
        treated=_heads(spread.value(whole["treated"])),
        least_treated=_heads(spread.low(whole["treated"])),
        most_treated=_heads(spread.high(whole["treated"])),
        replaced=_heads(spread.value(whole["replaced"])),
        set_depth=_depth(r, ledger),
        cover_left=left,
        inspection_time=times[0],
        setting_time=times[1],
        replacing_time=times[2],
        time=spread.total(times),
        zones=tuple(rows),
    )


def cover_left(r: Resolved, ledger: Ledger) -> Number | None:
    """Return the wood above the heads that are not proud, after sanding."""
    if r.cover is None or r.removal is None:
        return None
    return ledger.step(remaining.cover_left, fastener_cover=r.cover, removal=r.removal)


def too_thin(r: Resolved, left: Number | None) -> bool:
    """Say whether sanding is likely to bring heads that do not stand proud too near the surface."""
    return left is not None and spread.low(left) < r.practice.record.clearance.si * (1 - 1e-9)


def too_shallow(r: Resolved) -> bool:
    """Say whether heads that do not stand proud lie nearer the surface than the machine may go over."""
    return r.set_below is not None and r.cover is not None and r.cover < r.set_below * (1 - 1e-9)


def _heads(number: float) -> int:
    """Return whole heads, to the nearest."""
    return math.floor(number + 0.5)


def _depth(r: Resolved, ledger: Ledger) -> float | None:
    """Return how deep to set: below the deepest that is likely to be sanded off, and as deep as the machine asks."""
    if r.hidden:
        return None
    practice = r.practice.record
    asked = [practice.least_depth] + ([] if r.machine is None else [r.machine.set_below])
    least = max((spread.central(ledger.take(number)) for number in asked if number is not None), default=0.0)
    if r.removal is None:
        return None if r.set_below is None else least
    clearance = spread.central(ledger.take(practice.clearance))
    removal = spread.high(r.removal)
    depth = ledger.step(fastening.set_depth, "high end", removal=removal, clearance=clearance)
    return max(spread.central(depth), least)
