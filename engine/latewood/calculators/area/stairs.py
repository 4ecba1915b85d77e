"""Stairs: their faces, and the defaults taken for what was not measured."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.area.components import StairShape
from latewood.calculators.area.defaults import Defaults
from latewood.calculators.area.labour import Measured
from latewood.calculators.area.sizes import INCH
from latewood.declare import F, Formula, Q
from latewood.formulas import stairs as geometry
from latewood.problems import Fault
from latewood.provenance import Ledger
from latewood.uncertainty import spread

#: Highest riser and least going of the US residential code, R311.7, as a town's page on the 2009 edition gives them.
HIGHEST_RISER, GOING = 7.75 * INCH, 10 * INCH
#: Least width of a stair by the same page.
WIDTH = 36 * INCH
#: Nosing and tread of the usual timber stair: 5/4 boards that overhang an inch; common practice.
NOSING, TREAD = INCH, INCH
#: A stringer is mostly a nominal 2x12: 1-1/2 by 11-1/4 in dressed, PS 20.
STRINGER = (1.5 * INCH, 11.25 * INCH)
STRINGERS = 2
CODE = "US residential code, as a town's page gives it"


class StairArea(msgspec.Struct, frozen=True, kw_only=True):
    """One flight of stairs of the answer."""

    id: Annotated[str, F("Name of the stairs")]
    zone: Annotated[str, F("Zone it belongs to")]
    risers: Annotated[int, F("Number of risers")]
    riser_height: Annotated[float, Q("mm", "Height of each riser")]
    treads: Annotated[int, F("Number of treads; the floor is the last step")]
    tread_area: Annotated[float, Q("m2", "Upper faces of the treads")]
    nosing_area: Annotated[float, Q("m2", "Front edges of the treads")]
    riser_area: Annotated[float, Q("m2", "Riser faces; none where risers are open")]
    underside_area: Annotated[float, Q("m2", "Undersides of the treads, where they are coated")]
    stringer_area: Annotated[float, Q("m2", "Stringers, where they are coated")]
    area: Annotated[float, Q("m2", "All of them together")]
    slope_length: Annotated[float, Q("m", "Length along the slope")]


def check_stair(x: StairShape, at: str) -> list[Fault]:
    """Return what is said of stringers that are not coated."""
    names = [name for name in ("stringer", "stringer_form") if getattr(x, name) is not None and x.stringers == 0]
    detail = "no stringers are coated, so {} says nothing"
    return [Fault(pointer=f"{at}/{name}", code="conflict", detail=detail.format(name)) for name in names]


def stair(x: StairShape, zone: str, at: str, defaults: Defaults) -> tuple[StairArea, list[Measured]]:
    """Return the faces of one flight, the undersides of its treads apart."""
    ledger = defaults.ledger
    shape = _with_defaults(x, at, defaults)
    size = {"rise": x.rise, "highest_riser": shape["highest_riser"]}
    width, going = shape["width"], shape["going"]
    risers = geometry.riser_count(x.rise, shape["highest_riser"])
    treads = risers - 1
    height = _step(ledger, geometry.riser_height, x.id, **size)
    tops = _step(ledger, geometry.tread_area, x.id, **size, stair_width=width, going=going, nosing=shape["nosing"])
    front = _step(
        ledger, geometry.nosing_area, x.id, **size, stair_width=width, tread_thickness=shape["tread_thickness"]
    )
    closed = x.riser_form != "open"
    faces = _step(ledger, geometry.riser_area, x.id, rise=x.rise, stair_width=width) if closed else 0.0
    below = x.undersides if x.undersides is not None else not closed
    slope = _step(ledger, geometry.stringer_length, x.id, rise=x.rise, run=treads * going)
    beams = _stringers(x, slope, treads, height, going, at, defaults)
    underside = tops if below else 0.0
    # An open riser shows the back edge of its tread too.
    edges = front if closed else 2 * front
    row = StairArea(
        id=x.id,
        zone=zone,
        risers=risers,
        riser_height=height,
        treads=treads,
        tread_area=tops,
        nosing_area=edges,
        riser_area=faces,
        underside_area=underside,
        stringer_area=beams,
        area=tops + edges + faces + underside + beams,
        slope_length=slope,
    )
    seen = Measured(zone, "stair", row.area - underside, x.id, one_side=tops + faces, length=slope, count=risers)
    return row, [seen, Measured(zone, "stair", underside, x.id, one_side=0.0, side="underside")]


def _with_defaults(x: StairShape, at: str, defaults: Defaults) -> dict[str, float]:
    """Return the lengths of a stair, defaults put in."""
    usual = {
        "highest_riser": (HIGHEST_RISER, "7-3/4 in", 0.05, f"highest riser of the {CODE}"),
        "width": (WIDTH, "36 in", 0.33, f"least width of the {CODE}; measure it"),
        "going": (GOING, "10 in", 0.05, f"least going of the {CODE}"),
        "nosing": (NOSING, "1 in", 0.05, "common practice"),
        "tread_thickness": (TREAD, "1 in", 0.03, "a 5/4 board, PS 20"),
    }
    found = {}
    for name, (value, text, effect, why) in usual.items():
        given = getattr(x, name)
        if given is None:
            defaults.take(at, name, text, effect=effect, why=why)
        found[name] = value if given is None else given
    if x.riser_form is None:
        defaults.take(at, "riser_form", "closed", effect=0.05, why="common practice")
    if x.undersides is None:
        given_as = "coated" if x.riser_form == "open" else "not coated"
        defaults.take(at, "undersides", given_as, effect=0.3, why="seen through open risers only")
    return found


def _stringers(
    x: StairShape, slope: float, treads: int, riser: float, going: float, at: str, defaults: Defaults
) -> float:
    thickness, depth = STRINGER if x.stringer is None else (x.stringer.thickness, x.stringer.width)
    count = STRINGERS if x.stringers is None else x.stringers
    if x.stringers is None:
        defaults.take(at, "stringers", "2", effect=0.12, why="one at each side, common practice")
    if x.stringer is None and count:
        defaults.take(at, "stringer", "2x12", effect=0.05, why="the usual size, common practice; PS 20")
    if x.stringer_form is None and count:
        defaults.take(at, "stringer_form", "cut", effect=0.08, why="common practice")
    steps = 0 if x.stringer_form == "housed" else treads
    return count * geometry.stringer_area(slope, depth, thickness, steps=steps, riser=riser, going=going)


def _step(ledger: Ledger, formula: Formula, about: str, **numbers: float) -> float:
    return spread.central(ledger.step(formula, about, **numbers))
