"""Which records, rules and defaults hold: of lead, of each kind of work, and of the ground it covers."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from latewood.calculators.masking.inputs import Below, Border, Inputs
from latewood.declare import RecordLookup
from latewood.messages import Titled, clause
from latewood.provenance import Ledger
from latewood.records import SiteProtection
from latewood.rules.hazards import Suspicion, there, worst, years_of
from latewood.rules.lead import OldCoat, coat_of
from latewood.rules.wording import place
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Outer corners of the ground round a rectangle, where none are counted.
CORNERS: Final = 4
#: The same where something adjoins on one side: geometry of a rectangle against a wall.
CORNERS_AT_A_WALL: Final = 2
#: What is taken to lie under a floor where that is not said.
BELOW: Final[Below] = "ground"
#: Girth of a post of nominal 4x4, PS 20: four sides of 3-1/2 in (m).
GIRTH: Final = 4 * 3.5 * 0.0254


@dataclass(frozen=True, kw_only=True)
class Work:
    """A kind of work: as asked, the record it goes by, its reach (m), its wind (m/s), and whose property is near."""

    asked: SiteProtection
    record: SiteProtection
    reach: float
    wind_limit: float
    near: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Ground:
    """What a kind of work covers, and by which numbers; SI."""

    borders: tuple[Border, ...]
    #: Floor under which is covered.
    under: float
    corners: int
    post_girths: float
    plant_area: float
    openings_shut: int
    overlap: Number
    cover_height: float
    mask_pace: Number
    sheet_pace: Number


def lead_of(x: Inputs, known: RecordLookup, ledger: Ledger) -> tuple[Suspicion, list[str]]:
    """Return the worse of deck and walls, both of which edge tools touch, and walls that may be painted."""
    rules = years_of(x, known, ledger, x.as_of)
    wall = x.wall_coating
    if wall is None and any(border.adjoins == "painted-wall" for border in x.borders):
        # Paint is on it, and which was not said: the year decides, as for any coating that is not known.
        wall = known.record("coating", "unknown")
        ledger.use("input/wall_coating", "unknown", "default", note=clause("painted-wall-of-unknown"))
    deck = coat_of(x)
    walls = OldCoat(wall, x.wall_lead_test, x.wall_lead_test_method, x.wall_lead_test_date)
    deck.note_test(rules.region, ledger, today=x.as_of)
    walls.note_test(rules.region, ledger, of=place("Walls"), named="wall_lead_test", today=x.as_of)
    found = [one.lead(rules) for one in (deck, walls)]
    for of, one in zip(("deck", "walls"), found, strict=True):
        ledger.fact("lead_paint", one, of=of)
    silent = [border.id for border in x.borders if border.adjoins == "wall"]
    if wall is not None or walls.settled or not silent or worst(*found) != "no" or rules.lead() == "no":
        silent = []
    return worst(*found), silent


def work_of(x: Inputs, asked: SiteProtection, lead: Suspicion, known: RecordLookup, ledger: Ledger) -> Work:
    """Return what a kind of work goes by; where lead is not ruled out, by another record."""
    record = asked
    if lead != "no" and asked.with_lead is not None:
        record = known.record("site-protection", asked.with_lead)
        given = clause("titled", record=Titled(record))
        ledger.use(f"{record.path}/with-lead", given, record.reach.evidence, note=there(lead=lead) or "")
    reach = spread.central(ledger.take(record.reach))
    near = [b.id for b in x.borders if b.boundary is not None and b.boundary < reach * (1 - 1e-9)]
    near += [b.id for b in x.borders if b.adjoins == "neighbour" and b.boundary is None]
    wind = spread.central(ledger.take(record.wind_limit))
    return Work(asked=asked, record=record, reach=reach, wind_limit=wind, near=tuple(near))


def ground_of(x: Inputs, work: Work, known: RecordLookup, ledger: Ledger) -> Ground:
    """Return what a kind of work covers. Soil takes dust of sound wood, but neither lead nor drips elsewhere."""
    record, reach = work.record, work.reach
    overlap, height = ledger.take(record.overlap), spread.central(ledger.take(record.cover_height))
    corners, girths = _corners(x, reach, ledger), _girths(x, ledger)
    shut = 0
    if record.openings_within is not None:
        within = spread.central(ledger.take(record.openings_within)) * (1 + 1e-9)
        shut = sum(b.house_openings or 0 for b in x.borders if (b.openings_distance or 0.0) <= within)
    mask, sheet = (ledger.take(known.record("rate", id).pace) for id in (record.mask_rate, record.sheet_rate))
    bare = (x.below or BELOW) == "ground" and record.id == work.asked.id
    return Ground(
        borders=x.borders,
        under=0.0 if bare else x.area or 0.0,
        corners=corners,
        post_girths=girths,
        plant_area=math.fsum(bed.area for bed in x.plants if record.covers_plants and (bed.distance or 0.0) <= reach),
        openings_shut=shut,
        overlap=overlap,
        cover_height=height,
        mask_pace=mask,
        sheet_pace=sheet,
    )


def _corners(x: Inputs, reach: float, ledger: Ledger) -> int:
    """Return the outer corners of the ground."""
    edge = [border for border in x.borders if border.adjoins == "open" and border.outline is None]
    if reach <= 0 or not edge:
        return 0
    if x.corners is not None:
        return x.corners
    walled = len(edge) < len(x.borders)
    count, other = (CORNERS_AT_A_WALL, CORNERS) if walled else (CORNERS, CORNERS_AT_A_WALL)
    why = clause("ground-round-rectangle-at-wall" if walled else "ground-round-rectangle")
    ledger.default("corners", str(count), others=(other,), why=why)
    return count


def _girths(x: Inputs, ledger: Ledger) -> float:
    if x.posts and x.post_girth is None:
        ledger.default("post_girth", "14 in", why=clause("dressed-post"))
    return (x.posts or 0) * (GIRTH if x.post_girth is None else x.post_girth)


def assume_below(x: Inputs, ledger: Ledger) -> None:
    """Write down what is taken to lie under the floor where that is not said."""
    if x.below is None:
        ledger.default("below", BELOW, others=("paving",) if x.area else (), why=clause("below-not-said"))
