"""What is taken of boards and of edge work where nothing is said, and how a nominal size is read."""

from __future__ import annotations

from typing import Final

from latewood.calculators.area.fields import Boards, EdgeWork
from latewood.calculators.area.resolved import INCH, BoardLay, Region, ResolvedEdges
from latewood.formulas.joists import joist_angle
from latewood.formulas.strips import Lay
from latewood.messages import Code, Length, Titled, clause
from latewood.provenance import Ledger
from latewood.quantities import lumber
from latewood.quantities.lumber import Nominal
from latewood.records import Species

#: About 1/8 in between edges is what county guides and builders give; common practice.
GAP: Final = INCH / 8
#: Judgement: grooves of decking seen on sale are about this deep and this far apart; no publication gives them.
GROOVE_DEPTH, GROOVE_SPACING = 0.002, 0.010
#: The shallowest and the deepest that are likely; judgement.
GROOVE_DEPTHS: Final = (0.001, 0.003)
#: Two at each crossing: wording of the deck guides that quote the residential code (two nails or two screws a joist).
FASTENERS: Final = 2
#: Width of an edge tool's pad, where none is given: the smaller of the two disc sizes in general use.
PAD_WIDTH: Final = 0.125
#: Room a floor machine needs under a rail; judgement.
TOOL_HEIGHT = 0.150
#: Side of a post of nominal 4x4, PS 20.
POST = 3.5 * INCH


def boards_of(boards: Boards, at: str, species: Species | None, ledger: Ledger) -> BoardLay | None:
    """Return boards with defaults put in; None where their size is not known."""
    if boards.size is None:
        ledger.find("board-size-missing", pointer=f"{at}/size")
        return None
    note_size(boards.size, f"{at}/size", species, ledger)
    gap, direction, fasteners = boards.gap, boards.direction, boards.fasteners_per_crossing
    if gap is None:
        gap = GAP
        ledger.default(dotted(at, "gap"), "1/8 in", why=clause("common-gap"))
    if direction is None:
        direction = 0.0
        ledger.default(dotted(at, "direction"), "0 deg", why=clause("boards-along-x"))
    if fasteners is None:
        fasteners = FASTENERS
        why = clause("two-fasteners")
        ledger.default(dotted(at, "fasteners_per_crossing"), str(fasteners), why=why)
    wood = None if species is None else species.id
    if boards.joist_spacing is not None and boards.joist_direction is None:
        why = clause("joists-mostly-square")
        ledger.default(dotted(at, "joist_direction"), clause("square-to-boards"), why=why)
    angle = joist_angle(direction, boards.joist_direction)
    lay = Lay(boards.size.width, gap, direction, boards.joist_spacing, angle)
    return BoardLay(lay, boards.size.thickness, fasteners, _grooves(boards, at, ledger), boards.stock_length, wood)


def _grooves(boards: Boards, at: str, ledger: Ledger) -> tuple[float, float] | None:
    if boards.profile != "grooved":
        if boards.profile is None:
            ledger.default(dotted(at, "profile"), "smooth", why=clause("common-smooth"))
        return None
    depth, spacing = boards.groove_depth, boards.groove_spacing
    if depth is None or spacing is None:
        depth, spacing = depth or GROOVE_DEPTH, spacing or GROOVE_SPACING
        given = clause("grooves-of", depth=Length(depth), spacing=Length(spacing))
        others = GROOVE_DEPTHS if boards.groove_depth is None else ()
        ledger.default(dotted(at, "groove_depth"), given, others=others, why=clause("grooves-judged"))
    return depth, spacing


def edges_of(edges: EdgeWork | None, region: Region, at: str, ledger: Ledger, *, under_rails: bool) -> ResolvedEdges:
    """Return edge work with defaults put in; ``under_rails`` says whether guards bring bottom rails to it."""
    work = edges or EdgeWork()
    tool = work.tool_height
    if tool is None:
        tool = TOOL_HEIGHT
        if under_rails or work.rail_length is not None or work.rail_sides:
            ledger.default(dotted(at, "tool_height"), "150 mm", why=clause("room-for-machine"))
    if region.hole_length and work.hole_edges is None:
        ledger.default(dotted(at, "hole_edges"), "obstacle", why=clause("hole-for-planter"))
    if work.posts and work.post is None:
        ledger.default(dotted(at, "post"), "4x4", why=clause("usual-post"))
    girth = 4 * POST if work.post is None else 2 * (work.post.thickness + work.post.width)
    return ResolvedEdges(edges is not None, work, at, tool, girth, work.hole_edges != "free")


def dotted(at: str, name: str) -> str:
    """Return the dotted name of a field that stands at one place of the input."""
    return f"{at}/{name}".strip("/").replace("/", ".")


def note_size(size: Nominal, at: str, species: Species | None, ledger: Ledger) -> None:
    """Write into the basis what a nominal size was read as; PS 20 names softwood only."""
    name = size.text.replace(" ", "").replace("X", "x").replace("\u00d7", "x")
    if name not in lumber.SIZES and not name.replace("-", "").replace("/", "").replace("x", "").isdigit():
        return
    thickness, width = Length(size.thickness), Length(size.width)
    note = clause("dressed-size", thickness=thickness, width=width)
    ledger.use(f"input{at}", size.text, "reported", note=note)
    if species is not None and species.group == "hardwood":
        ledger.find(
            "nominal-hardwood",
            pointer=at,
            params={"assumed": f"{thickness * 1000:.4g} x {width * 1000:.4g} mm", "species": species.id},
            size=Code(size.text),
            species=Titled(species),
            thickness=thickness,
            width=width,
        )
