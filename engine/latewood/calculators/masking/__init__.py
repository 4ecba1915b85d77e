"""What must be covered, taped and kept off round a deck? Lengths, areas, hours, wind."""

from __future__ import annotations

import math
from collections.abc import Iterator

from latewood.calculators.masking.fields import MaskRow, Todo
from latewood.calculators.masking.findings import say_place, say_row
from latewood.calculators.masking.inputs import Inputs
from latewood.calculators.masking.measure import NOTHING, Measured, measure, near_others
from latewood.calculators.masking.result import Result
from latewood.declare import RecordLookup, calculator
from latewood.formulas import pace, sheeting
from latewood.formulas import waste as waste_formulas
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger
from latewood.records import SiteProtection
from latewood.rules.days import built_ahead
from latewood.rules.hazard_fields import lead_test_faults
from latewood.rules.hazards import Suspicion, there, worst, years_of
from latewood.rules.lead import OldCoat, coat_of
from latewood.rules.waste import by_area
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


@calculator(
    "masking",
    "Masking and sheeting",
    since="0.3",
    example={
        "works": ["sanding", "brushing"],
        "borders": [
            {"id": "house", "adjoins": "painted-wall", "length": "16 ft", "house_openings": 2},
            {"id": "east", "adjoins": "open", "length": "12 ft", "boundary": "2 m"},
            {"id": "south", "adjoins": "open", "length": "16 ft"},
            {"id": "west", "adjoins": "open", "length": "12 ft"},
        ],
        "corners": 2,
        "area": "192 ft2",
        "posts": 8,
        "plants": [{"id": "roses", "area": "7 m2", "distance": "1 m"}],
        "old_coating": "none",
        "wall_coating": "paint",
        "year_built": 1990,
        "jurisdiction": "US-GA",
    },
    formulas=(
        sheeting.border_area,
        sheeting.sheet_area,
        sheeting.cover_area,
        pace.time_by_length,
        pace.time_by_area,
        waste_formulas.mass_of_area,
        waste_formulas.volume_of_mass,
    ),
)
def masking(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Measure what is covered and taped for each kind of work, and say what must not be done here, or not in this wind.

    Dust, splashes and drift reach differently far. Where lead is not ruled out the ground is covered as the rule of the
    United States has it. Spraying over water or beside others' property is not planned, and nothing is put up for it.
    """
    _refuse(x)
    lead = _lead(x, ledger, known)
    rows = tuple(_row(place, x, lead, ledger, known) for place in range(len(x.works)))
    done = tuple(row for row in rows if row.verdict != "stop")
    if done:
        say_place(x, lead, ledger)
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


def _refuse(x: Inputs) -> None:
    faults = []
    for table in ("works", "borders", "plants"):
        named = [one.id for one in getattr(x, table)]
        for place, id in enumerate(named):
            if id in named[:place]:
                detail = f"{id} stands twice"
                faults.append(Fault(pointer=f"/{table}/{place}", code="repeated", detail=detail, expected="each once"))
    if x.post_girth is not None and x.posts is None:
        detail = "a girth says nothing without the number of posts"
        faults.append(Fault(pointer="/posts", code="missing", detail=detail, expected="how many posts stand in it"))
    painted = [border.id for border in x.borders if border.adjoins == "painted-wall"]
    if painted and x.wall_coating == "none":
        detail = f"{painted[0]} is a painted wall, so something is on it"
        faults.append(
            Fault(pointer="/wall_coating", code="conflict", detail=detail, expected="its coating, or unknown")
        )
    faults += lead_test_faults(x, today=x.as_of)
    faults += lead_test_faults(x, of="wall_", today=x.as_of)
    faults += built_ahead(x.year_built, x.as_of)
    if faults:
        raise InputProblem(faults)


def _lead(x: Inputs, ledger: Ledger, known: RecordLookup) -> Suspicion:
    """Return the worse of deck and walls: an edge tool touches both."""
    rules = years_of(x, known, ledger, x.as_of)
    wall = x.wall_coating
    if wall is None and any(border.adjoins == "painted-wall" for border in x.borders):
        # Paint is on it, and nobody said which: the year decides, as for any coating that is not known.
        wall = known.record("coating", "unknown")
        ledger.use("input/wall_coating", "unknown", "default", note="a painted wall, and nobody said with what")
    deck = coat_of(x)
    walls = OldCoat(wall, x.wall_lead_test, x.wall_lead_test_method, x.wall_lead_test_date)
    deck.say_test(rules.region, ledger, today=x.as_of)
    walls.say_test(rules.region, ledger, of="Walls: ", named="wall_lead_test", today=x.as_of)
    found = [one.lead(rules) for one in (deck, walls)]
    lead = worst(*found)
    silent = [border.id for border in x.borders if border.adjoins == "wall" and wall is None and not walls.settled]
    if silent and lead == "no" and rules.lead() != "no":
        message = (
            f"Nobody said whether {' and '.join(silent)} is painted, and its age does not rule lead out: an edge tool "
            "that touches old paint makes lead dust. Look, and say wall_coating."
        )
        ledger.find("wall-coating-not-given", "note", message, pointer="/wall_coating", borders=silent)
    for of, one in zip(("deck", "walls"), found, strict=True):
        ledger.fact("lead_paint", one, of=of)
    return lead


def _row(place: int, x: Inputs, lead: Suspicion, ledger: Ledger, known: RecordLookup) -> MaskRow:
    asked = x.works[place]
    work = asked
    if lead != "no" and asked.with_lead is not None:
        work = known.record("site-protection", asked.with_lead)
        ledger.use(f"{work.path}/with-lead", work.title, "published", note=there(lead=lead))
    reach = spread.central(ledger.take(work.reach))
    near = near_others(x, reach)
    verdict = say_row(x, asked, work, reach, near, ledger)
    stopped = verdict == "stop"
    found = NOTHING if stopped else measure(x, asked, work, reach, near, ledger)
    return MaskRow(
        id=asked.id,
        goes_by=work,
        verdict=verdict,
        reach=reach,
        sheet_area=found.sheet_area,
        cover_area=found.cover_area,
        tape_length=found.tape_length,
        plant_area=found.plant_area,
        screen_length=found.screen_length,
        openings_shut=found.openings_shut,
        wind_limit=spread.central(ledger.take(work.wind_limit)),
        time=0.0 if stopped else _time(asked, work, found, ledger, known),
    )


def _time(asked: SiteProtection, work: SiteProtection, found: Measured, ledger: Ledger, known: RecordLookup) -> Number:
    """Return the hours of taping by length and of sheeting by area."""
    mask, sheet = (ledger.take(known.record("rate", id).pace) for id in (work.mask_rate, work.sheet_rate))
    along = ledger.step(pace.time_by_length, f"{asked.id}, tape", length=found.tape_length, pace=mask)
    return along + ledger.step(pace.time_by_area, f"{asked.id}, sheets", area=found.sheet_area, pace=sheet)


def _todo(rows: tuple[MaskRow, ...]) -> Iterator[Todo]:
    """Yield what to do, each once: the first kind of work that asks for it says so."""
    said: set[str] = set()
    for row in rows:
        for place, message in enumerate(row.goes_by.do, 1):
            if message not in said:
                said.add(message)
                yield Todo(id=f"{row.id}-{place}", message=message)


__all__ = ["Inputs", "Result", "masking"]
