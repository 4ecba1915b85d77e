"""What opens a window where none opens as asked, or starts have little room: each change is searched as if asked."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final, TypeVar

import msgspec
import numpy as np

from latewood.calculators.cure_windows.compute.assessment import Assessed
from latewood.calculators.cure_windows.compute.cells import Cells, open_hours, shade_of
from latewood.calculators.cure_windows.compute.search import after_coat
from latewood.calculators.cure_windows.compute.searched import Searched, look
from latewood.calculators.cure_windows.compute.windows import window
from latewood.calculators.cure_windows.fields import (
    Proposal,
    ProposalKind,
    ProposedChange,
    ProposedShade,
    ProposedShift,
    ProposedStep,
    ShadeSpell,
    WorkStep,
)
from latewood.calculators.cure_windows.resolved import Resolved
from latewood.messages import Clause, Count, Moment, Titled, clause
from latewood.provenance import Ledger

S = TypeVar("S", bound=msgspec.Struct)

#: Starts within less than this (s) leave a crew no room, and what gives more is proposed. Judgement.
LITTLE: Final = 3600.0
#: Three weeks of quarters of an hour: a longer record is no forecast, and nothing is proposed for it.
MOST_CELLS: Final = 2016
#: Hours by which a day may open earlier or close later, within these; parts of a floor; times the crew. Judgement.
HOURS: Final = (1, 2)
OPENS, CLOSES = 5, 22
PARTS: Final = (2, 3, 4, 6, 8)
CREWS: Final = (2, 3)
#: The least a step takes in a request, in s.
SHORTEST: Final = 180.0
#: The most spells of shade a request takes.
MOST_SPELLS: Final = 12


@dataclass(frozen=True)
class Room:
    """The first and the last start of the longest stretch that works, local time."""

    first: datetime
    last: datetime

    @property
    def span(self) -> float:
        """Time between them, in s."""
        return (self.last - self.first).total_seconds()


@dataclass(frozen=True, kw_only=True)
class Change:
    """A change to search with: its words, the request's fields, and what these come to."""

    kind: ProposalKind
    words: Clause
    fields: ProposedChange
    r: Resolved
    cells: Cells
    parts: int | None = None
    crews: int | None = None


def room_of(asked: Searched) -> Room | None:
    """Return how much room a search leaves for the start; None where nothing works."""
    if not asked.order:
        return None
    longest = max(asked.order, key=lambda one: one.last - one.first)
    cells = asked.case.cells
    return Room(cells.at(longest.first), cells.at(longest.last))


def proposals(asked: Searched, chosen: Assessed) -> tuple[Proposal, ...] | None:
    """Return what opens a window, the cheapest first; None where nothing was looked for."""
    r, cells, room = asked.case.r, asked.case.cells, room_of(asked)
    if r.over.refused or len(cells) > MOST_CELLS:
        return None
    if room is not None:
        if chosen.asked and chosen.verdict == "no":
            return (_other_start(asked),)
        if room.span >= LITTLE:
            return None
    ways = (
        _earlier(r, cells),
        _later(r, cells),
        _parts(r, cells),
        _shades(r, cells),
        *([finish] for finish in _finishes(r, cells)),
        _crews(r, cells),
    )
    least = 0.0 if room is None else LITTLE
    return tuple(found for way in ways if (found := _first(way, asked, least)) is not None)


def _first(changes: Iterable[Change], asked: Searched, least: float) -> Proposal | None:
    """Return the first change that opens a stretch of so long; of parts of a floor, the first that finishes it all."""
    partly = None
    for change in changes:
        at_work = asked.at_work if change.r.shift == asked.case.r.shift else open_hours(change.cells, change.r)
        again = look(change.r, change.cells, at_work)
        step = change.cells.step
        wide = [place for place, one in enumerate(again.order) if (one.last - one.first) * step >= least]
        if not wide:
            continue
        found = _proposal(change, again, wide[0])
        if change.parts is None or found.parts_fitting is None or found.parts_fitting >= change.parts:
            return found
        partly = partly or found
    return partly


def _proposal(change: Change, again: Searched, place: int) -> Proposal:
    """Return a change with the window it opens."""
    case, fitted, one = again.case, again.fitted, again.order[place]
    opened = window(place + 1, one, fitted, case)
    closes = case.cells.at(float(fitted.ends[-1][int(np.flatnonzero(fitted.starts == one.last)[0])]))
    fits = _parts_in(again) if change.parts is not None else None
    same_day = opened.starts.date() == closes.date()
    ends = clause("closes-that-day" if same_day else "closes-later", end=Moment(closes))
    words = change.words
    if change.parts is not None and fits is not None and fits < change.parts:
        words = clause("propose-some-parts", parts=Count(change.parts), fits=Count(fits))
    return Proposal(
        id=change.kind if change.fields.coating is None else f"{change.kind}-{change.fields.coating.id}",
        kind=change.kind,
        text=clause("proposed", change=words, start=Moment(opened.starts), ends=ends),
        change=change.fields,
        window=opened,
        last_end=closes,
        opens_for=(closes - opened.starts).total_seconds(),
        floor_parts=change.parts,
        parts_fitting=fits,
        crews=change.crews,
    )


def _parts_in(again: Searched) -> int | None:
    """Return how many parts of a floor are coated one after the other; None where other work lies between."""
    case = again.case
    if any(step.kind != "coat" for step in case.r.steps):
        return None
    last = len(case.r.steps) - 1
    one = again.order[0]
    at = int(np.flatnonzero(again.fitted.starts == one.best)[0])
    takes = float(again.fitted.ends[-1][at] - again.fitted.begins[0][at]) + after_coat(case, last)
    return sum(1 + int((stretch.last - stretch.first) / takes + 1e-9) for stretch in again.order)


def _other_start(asked: Searched) -> Proposal:
    best = asked.case.cells.at(asked.order[0].best)
    fields, words = ProposedChange(start=best), clause("propose-another-start", start=Moment(best))
    change = Change(kind="another-start", words=words, fields=fields, r=asked.case.r, cells=asked.case.cells)
    return _proposal(change, asked, 0)


def _earlier(r: Resolved, cells: Cells) -> Iterator[Change]:
    """Yield days that open earlier, the latest first."""
    for more in HOURS:
        hour = int(r.shift.opens[:2]) - more
        if hour >= OPENS:
            opens = f"{hour:02d}{r.shift.opens[2:]}"
            words = clause("propose-earlier-hours", opens=_clock(opens, cells))
            yield _shifted(r, cells, "earlier-hours", words, opens=opens)


def _later(r: Resolved, cells: Cells) -> Iterator[Change]:
    """Yield days that close later, the earliest first."""
    for more in HOURS:
        hour = int(r.shift.closes[:2]) + more
        if hour < CLOSES:
            closes = f"{hour:02d}{r.shift.closes[2:]}"
            words = clause("propose-later-hours", closes=_clock(closes, cells))
            yield _shifted(r, cells, "later-hours", words, closes=closes)


def _shifted(r: Resolved, cells: Cells, kind: ProposalKind, words: Clause, **hours: str) -> Change:
    shift = msgspec.structs.replace(r.shift, **hours)
    fields = ProposedChange(shift=_as_proposed([shift], ProposedShift)[0])
    return Change(kind=kind, words=words, fields=fields, r=replace(r, shift=shift), cells=cells)


def _clock(at: str, cells: Cells) -> Moment:
    """Return a time of day as a moment of the first day, of which the clock is shown."""
    return Moment(cells.at(0).replace(hour=int(at[:2]), minute=int(at[3:]), second=0, microsecond=0))


def _shades(r: Resolved, cells: Cells) -> Iterator[Change]:
    """Yield shade until noon, from noon on, and all day: what keeps less sun off comes first."""
    if r.by_air or not r.place.known or len(r.shades) == MOST_SPELLS:
        return
    noon = _clock("12:00", cells)
    for comes, goes, words in (
        ("00:00", "12:00", clause("propose-shade-morning", noon=noon)),
        ("12:00", "24:00", clause("propose-shade-afternoon", noon=noon)),
        ("00:00", "24:00", clause("propose-shade-all-day")),
    ):
        spells = (*r.shades, ShadeSpell(comes=comes, goes=goes, share=1.0))
        boards = replace(r.boards, shade=shade_of(r.hours, spells))
        shaded = cells.with_face(boards.face(r.hours, r.place, Ledger.scratch()))
        yield Change(
            kind="shade",
            words=words,
            fields=ProposedChange(shade=_as_proposed(spells, ProposedShade)),
            r=r,
            cells=shaded,
        )


def _parts(r: Resolved, cells: Cells) -> Iterator[Change]:
    """Yield the floor in parts, the fewest first."""
    for parts in PARTS:
        words = clause("propose-smaller-parts", parts=Count(parts))
        yield from _sooner(r, cells, "smaller-parts", words, parts, parts=parts)


def _crews(r: Resolved, cells: Cells) -> Iterator[Change]:
    """Yield more people, the fewest first: the work takes so much less time."""
    for crews in CREWS:
        words = clause("propose-more-people", crews=Count(crews))
        yield from _sooner(r, cells, "more-people", words, crews, crews=crews)


def _sooner(r: Resolved, cells: Cells, kind: ProposalKind, words: Clause, times: int, **of: int) -> Iterator[Change]:
    """Yield the work done in so many times less time, unless a step is too short for it."""
    if (steps := _quicker(r.steps, times)) is not None:
        yield Change(kind=kind, words=words, fields=_asked_for(r, steps), r=replace(r, steps=steps), cells=cells, **of)


def _quicker(steps: tuple[WorkStep, ...], times: int) -> tuple[WorkStep, ...] | None:
    """Return the work done in so many times less time, in threes of minutes; None where a step is too short for it."""
    if any(step.duration / times < SHORTEST for step in steps):
        return None
    threes = (math.ceil(step.duration / times / SHORTEST - 1e-9) for step in steps)
    return tuple(
        msgspec.structs.replace(step, duration=count * SHORTEST) for step, count in zip(steps, threes, strict=True)
    )


def _asked_for(r: Resolved, steps: tuple[WorkStep, ...]) -> ProposedChange:
    if r.own_steps:
        return ProposedChange(steps=_as_proposed(steps, ProposedStep))
    return ProposedChange(laying_time=steps[0].duration)


def _as_proposed(rows: Sequence[msgspec.Struct], struct: type[S]) -> tuple[S, ...]:
    """Return rows of a request as rows of an answer."""
    return tuple(struct(**msgspec.structs.asdict(row)) for row in rows)


def _finishes(r: Resolved, cells: Cells) -> Iterator[Change]:
    """Yield the other coatings that may be taken."""
    for coating, family, steps in r.others:
        yield Change(
            kind="another-finish",
            words=clause("propose-another-finish", coating=Titled(coating)),
            fields=ProposedChange(coating=coating),
            r=replace(r, family=family, steps=steps),
            cells=cells,
        )
