"""What a caller says of boards and of edge work, and what is taken where he says nothing."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Annotated, Final, Literal

import msgspec

from latewood.calculators.area.defaults import dotted
from latewood.calculators.area.sizes import INCH, say_nominal
from latewood.declare import F, Q
from latewood.formulas.joists import SQUARE, spacing_along
from latewood.formulas.strips import Lay
from latewood.problems import Fault
from latewood.provenance import Ledger
from latewood.quantities.lumber import Nominal
from latewood.records import Species
from latewood.rules.faces import ID

#: About 1/8 in between edges is what county guides and builders give; common practice.
GAP: Final = INCH / 8
#: Judgement: grooves of decking seen on sale are about this deep and this far apart; nobody publishes them.
GROOVE_DEPTH, GROOVE_SPACING = 0.002, 0.010
#: Two at each crossing: wording of the deck guides that quote the residential code (two nails or two screws a joist).
FASTENERS: Final = 2
#: Joists nearer than this to the direction of the boards carry none of them (rad).
ALONG: Final = math.radians(20)


class Boards(msgspec.Struct, frozen=True, kw_only=True):
    """How the boards are laid."""

    size: Annotated[Nominal, F("Board size, nominal or real, thickness first", example="5/4x6")] | None = None
    gap: Annotated[float, Q("mm", "Gap between boards", ge=0, le=200, example="1/8 in")] | None = None
    direction: (
        Annotated[float, Q("deg", "Long axis of the boards from +x, anticlockwise", ge=-360, le=360, example="0 deg")]
        | None
    ) = None
    profile: Annotated[Literal["smooth", "grooved"], F("Face of the boards")] | None = None
    groove_depth: Annotated[float, Q("mm", "Depth of the grooves", ge=0.1, le=20, example="2 mm")] | None = None
    groove_spacing: Annotated[float, Q("mm", "From one groove to the next", ge=1, le=200, example="10 mm")] | None = (
        None
    )
    joist_spacing: Annotated[float, Q("m", "Joist spacing, centre to centre", ge=0.1, le=2, example="16 in")] | None = (
        None
    )
    joist_direction: (
        Annotated[
            float,
            Q(
                "deg",
                "Direction of the joists from +x; square to the boards if left out",
                ge=-360,
                le=360,
                example="90 deg",
            ),
        ]
        | None
    ) = None
    stock_length: (
        Annotated[
            float,
            Q("m", "Length of the boards as bought; longer runs are butted on a joist", ge=0.5, le=30, example="16 ft"),
        ]
        | None
    ) = None
    fasteners_per_crossing: (
        Annotated[int, F("Fasteners where a board crosses a joist; hidden ones count 1", ge=1, le=4, example=2)] | None
    ) = None


@dataclass(frozen=True)
class Settled:
    """Boards with nothing left open."""

    lay: Lay
    thickness: float
    fasteners: int
    grooves: tuple[float, float] | None
    stock: float | None
    #: Id of the wood, where it is known. A lay is the same whatever it is of.
    wood: str | None = field(default=None, compare=False)


def check_boards(boards: Boards, at: str) -> list[Fault]:
    """Return what is wrong with boards as they stand at one place of the input."""
    faults = []
    if boards.size is not None and boards.gap is not None and boards.gap >= boards.size.width:
        detail = (
            f"the gap is as wide as the boards ({boards.gap * 1000:.4g} mm against {boards.size.width * 1000:.4g} mm)"
        )
        faults.append(
            Fault(pointer=f"{at}/gap", code="conflict", detail=detail, expected="a gap narrower than a board")
        )
    if boards.size is not None and boards.size.thickness > boards.size.width:
        detail = "the board is thicker than it is wide; the thickness comes first"
        faults.append(Fault(pointer=f"{at}/size", code="conflict", detail=detail, expected="a size such as 21x145 mm"))
    faults += _check_joists(boards, at)
    for name in ("groove_depth", "groove_spacing"):
        if boards.profile == "smooth" and getattr(boards, name) is not None:
            detail = "smooth boards have no grooves"
            faults.append(Fault(pointer=f"{at}/{name}", code="conflict", detail=detail, expected="profile grooved"))
    return faults


def _check_joists(boards: Boards, at: str) -> list[Fault]:
    angle = joist_angle(boards.direction or 0.0, boards.joist_direction)
    if boards.joist_spacing is None:
        if boards.joist_direction is None:
            return []
        detail = "the direction of the joists says nothing without their spacing"
        return [Fault(pointer=f"{at}/joist_spacing", code="missing", detail=detail, expected="such as 16 in")]
    if math.sin(angle) < math.sin(ALONG):
        detail = "the joists would run along the boards, which then lie on none"
        expected = "joists across the boards, square or askew"
        return [Fault(pointer=f"{at}/joist_direction", code="conflict", detail=detail, expected=expected)]
    if boards.stock_length is not None and boards.stock_length < spacing_along(boards.joist_spacing, angle):
        detail = "a board that does not reach from joist to joist cannot be butted on one"
        expected = "a board longer than the joist spacing"
        return [Fault(pointer=f"{at}/stock_length", code="conflict", detail=detail, expected=expected)]
    return []


def joist_angle(direction: float, joist_direction: float | None) -> float:
    """Return the angle from the boards to the joists, between nought and half a turn (rad)."""
    angle = SQUARE if joist_direction is None else (joist_direction - direction) % math.pi
    # Quarter turns are exact, so that a deck along the axes keeps its numbers.
    return SQUARE if math.isclose(angle, SQUARE, rel_tol=1e-12) else angle


def settle(boards: Boards, at: str, species: Species | None, ledger: Ledger) -> Settled | None:
    """Return boards with defaults put in; None where their size is not known."""
    if boards.size is None:
        message = "The boards have no size, so only the floor was counted and no gap faces, ends, boards or fasteners."
        ledger.find("board-size-missing", "warning", message, pointer=f"{at}/size")
        return None
    say_nominal(boards.size, f"{at}/size", species, ledger)
    gap = boards.gap
    if gap is None:
        gap = GAP
        ledger.default(
            dotted(at, "gap"), "1/8 in", effect=0.03, why="about what guides and builders give, common practice"
        )
    direction = boards.direction
    if direction is None:
        direction = 0.0
        ledger.default(dotted(at, "direction"), "0 deg", effect=None, why="boards along x; areas hardly change with it")
    fasteners = boards.fasteners_per_crossing
    if fasteners is None:
        fasteners = FASTENERS
        why = "two nails or screws a joist, as deck guides quote the residential code"
        ledger.default(dotted(at, "fasteners_per_crossing"), str(fasteners), effect=None, why=why)
    wood = None if species is None else species.id
    if boards.joist_spacing is not None and boards.joist_direction is None:
        why = "joists mostly run square to the boards; under diagonal boards they do not"
        ledger.default(dotted(at, "joist_direction"), "square to the boards", effect=None, why=why)
    angle = joist_angle(direction, boards.joist_direction)
    lay = Lay(boards.size.width, gap, direction, boards.joist_spacing, angle)
    return Settled(lay, boards.size.thickness, fasteners, _grooves(boards, at, ledger), boards.stock_length, wood)


def _grooves(boards: Boards, at: str, ledger: Ledger) -> tuple[float, float] | None:
    if boards.profile != "grooved":
        if boards.profile is None:
            ledger.default(
                dotted(at, "profile"), "smooth", effect=None, why="the common floor; grooved faces are larger"
            )
        return None
    depth, spacing = boards.groove_depth, boards.groove_spacing
    if depth is None or spacing is None:
        depth, spacing = depth or GROOVE_DEPTH, spacing or GROOVE_SPACING
        given = f"{depth * 1000:g} mm deep every {spacing * 1000:g} mm"
        effect = 2 * depth / spacing / (1 + 2 * depth / spacing)
        ledger.default(dotted(at, "groove_depth"), given, effect=effect, why="judgement; measure the grooves")
    return depth, spacing


class Obstacle(msgspec.Struct, frozen=True, kw_only=True):
    """Something fixed on the floor, round which an edge tool must go."""

    id: Annotated[str, F("Name of the obstacle", pattern=ID, example="planter")]
    kind: Annotated[Literal["planter", "hatch", "bench", "other"], F("What it is")] = "other"
    perimeter: (
        Annotated[float, Q("m", "Length of its sides that stand on open floor", ge=0, le=1000, example="10 ft")] | None
    ) = None
    length: (
        Annotated[float, Q("m", "Length, where it stands free on all sides", ge=0, le=1000, example="3 ft")] | None
    ) = None
    width: (
        Annotated[float, Q("m", "Width, where it stands free on all sides", ge=0, le=1000, example="2 ft")] | None
    ) = None
    count: Annotated[int, F("How many of them", ge=1, le=1000, example=1)] = 1


class EdgeWork(msgspec.Struct, frozen=True, kw_only=True):
    """Where the floor of a zone meets something. Free edges are not edge work."""

    wall_length: Annotated[float, Q("m", "Length along walls", ge=0, le=1e5, example="24 ft")] | None = None
    wall_sides: Annotated[
        tuple[Annotated[int, F("Number of a side", ge=1, le=500, example=1)], ...],
        F(
            "Sides along a wall, by number: side 1 runs from the first corner of the outline to the second; of a "
            "rectangle 1 is at y = 0, 2 at its far x, 3 opposite 1, 4 at x = 0",
            max_items=500,
        ),
    ] = ()
    rail_length: Annotated[float, Q("m", "Length under bottom rails", ge=0, le=1e5, example="32 ft")] | None = None
    rail_sides: Annotated[
        tuple[Annotated[int, F("Number of a side", ge=1, le=500, example=2)], ...],
        F("Sides under a bottom rail, numbered like those along a wall", max_items=500),
    ] = ()
    rail_clearance: (
        Annotated[float, Q("mm", "Height of the bottom rail above the floor", ge=0, le=2000, example="3 in")] | None
    ) = None
    tool_height: (
        Annotated[float, Q("mm", "Height a floor machine needs under a rail", ge=10, le=2000, example="150 mm")] | None
    ) = None
    opening_length: (
        Annotated[float, Q("m", "Stair and gate openings in those walls and rails", ge=0, le=1e5, example="4 ft")]
        | None
    ) = None
    posts: Annotated[int, F("Posts that stand on the floor", ge=0, le=10000, example=8)] | None = None
    post: Annotated[Nominal, F("Size of those posts; 4x4 if left out", example="4x4")] | None = None
    obstacles: Annotated[tuple[Obstacle, ...], F("What is fixed on the floor", max_items=200)] = ()
    hole_edges: (
        Annotated[
            Literal["obstacle", "free"],
            F("Whether something stands in the zone's holes (a planter, a tree), or the machine runs over their rim"),
        ]
        | None
    ) = None
    inside_corners: (
        Annotated[int, F("Corners where two strips of edge work meet and overlap", ge=0, le=1000, example=4)] | None
    ) = None
