"""One kind of work after the other: whether it may be done here, and what it asks to be covered."""

from __future__ import annotations

import math
from collections.abc import Iterator

from latewood.calculators.masking import findings
from latewood.calculators.masking.compute.measure import measure
from latewood.calculators.masking.inputs import Inputs
from latewood.calculators.masking.resolve import assume_below, ground_of, lead_of, work_of
from latewood.calculators.masking.result import MaskRow, Result, Todo
from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.records import SiteProtection
from latewood.rules.hazards import Suspicion
from latewood.rules.waste import by_area
from latewood.uncertainty import spread


def works(x: Inputs, known: RecordLookup, ledger: Ledger) -> Result:
    """Return what each kind of work asks for, and what does for all of them."""
    lead, silent = lead_of(x, known, ledger)
    findings.walls_unsaid(silent, ledger)
    rows = tuple(_row(x, asked, lead, known, ledger) for asked in x.works)
    done = tuple(row for row in rows if row.verdict != "stop")
    if done:
        assume_below(x, ledger)
        findings.place(x, lead, ledger)
    sheet = max((row.sheet_area for row in rows), key=spread.value)
    cover = max((row.cover_area for row in rows), key=spread.value)
    tape = math.fsum(row.tape_length for row in rows)
    return Result(
        works=rows,
        sheet_area=sheet,
        cover_area=cover,
        tape_length=tape,
        rolls=None if x.roll_length is None else math.ceil(tape / x.roll_length - 1e-9),
        lead_paint=lead,
        time=spread.total([row.time for row in rows]),
        todo=tuple(_todo(done)),
        waste=(by_area("masking-film", sheet + cover, ledger, known, hazardous=lead),) if done else (),
    )


def _row(x: Inputs, asked: SiteProtection, lead: Suspicion, known: RecordLookup, ledger: Ledger) -> MaskRow:
    work = work_of(x, asked, lead, known, ledger)
    row = MaskRow(
        id=asked.id,
        goes_by=work.record,
        verdict=findings.verdict(x, work, ledger),
        reach=work.reach,
        sheet_area=0.0,
        cover_area=0.0,
        tape_length=0.0,
        plant_area=0.0,
        screen_length=0.0,
        openings_shut=0,
        wind_limit=work.wind_limit,
        time=0.0,
    )
    return row if row.verdict == "stop" else measure(row, work, ground_of(x, work, known, ledger), ledger)


def _todo(rows: tuple[MaskRow, ...]) -> Iterator[Todo]:
    """Yield what to do, each once: the first kind of work that asks for it says so."""
    said: set[str] = set()
    for row in rows:
        for place, message in enumerate(row.goes_by.do):
            if message not in said:
                said.add(message)
                told = row.goes_by.recorded(message, "do", str(place))
                yield Todo(id=f"{row.id}-{place + 1}", message=told)
