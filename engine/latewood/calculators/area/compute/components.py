"""Faces of stairs, guards and extras, their members counted bay by bay."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from latewood.calculators.area.compute.labour import Measured
from latewood.calculators.area.fields import ExtraShape, GuardShape, StairShape
from latewood.calculators.area.resolved import Component
from latewood.calculators.area.result import ExtraArea, GuardArea, StairArea
from latewood.declare import Formula
from latewood.formulas import guards, lattice, stairs
from latewood.messages import refusal
from latewood.problems import Fault
from latewood.provenance import Ledger
from latewood.uncertainty import spread


def stair(one: Component[StairShape], ledger: Ledger) -> tuple[StairArea, list[Measured]]:
    """Return the faces of one flight, the undersides of its treads apart."""
    x, of = one.shape, one.of
    size = {"rise": x.rise, "highest_riser": of["highest_riser"]}
    wide, going, thick = {"stair_width": of["width"]}, of["going"], of["tread_thickness"]
    risers = stairs.riser_count(x.rise, of["highest_riser"])
    treads = risers - 1
    height = _step(ledger, stairs.riser_height, x.id, **size)
    tops = _step(ledger, stairs.tread_area, x.id, **size, **wide, going=going, nosing=of["nosing"])
    front = _step(ledger, stairs.nosing_area, x.id, **size, **wide, tread_thickness=thick)
    faces = _step(ledger, stairs.riser_area, x.id, rise=x.rise, **wide) if of["closed"] else 0.0
    slope = _step(ledger, stairs.stringer_length, x.id, rise=x.rise, run=treads * going)
    thickness, depth = of["stringer"]
    steps = treads if of.get("cut", True) else 0
    beams = of["stringers"] * stairs.stringer_area(slope, depth, thickness, steps=steps, riser=height, going=going)
    underside = tops if of["undersides"] else 0.0
    # An open riser shows the back edge of its tread too.
    edges = front if of["closed"] else 2 * front
    row = StairArea(
        id=x.id,
        zone=one.zone,
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
    seen = Measured(one.zone, "stair", row.area - underside, x.id, one_side=tops + faces, length=slope, count=risers)
    return row, [seen, Measured(one.zone, "stair", underside, x.id, one_side=0.0, side="underside")]


@dataclass(frozen=True)
class Guard:
    """A guard as measured, and what it brings to the edge work of its zone."""

    row: GuardArea
    face: Measured
    under_rail: tuple[float, float] | None
    post_girths: float


def guard(one: Component[GuardShape], ledger: Ledger) -> tuple[Guard | None, list[Fault]]:
    """Return one guard, or what is wrong with it."""
    x, of = one.shape, one.of
    height, rail, cap, post, rails = of["height"], of["rail"], of["cap"], of["post"], of["rails"]
    thick = 0.0 if x.capped is False else cap.thickness
    posts, bays, clear = _bays(one)
    if faults := _fits(height, thick, rails * rail.width, of["rail_clearance"], clear, one.at):
        return None, faults
    long = _step(
        ledger,
        guards.baluster_length,
        x.id,
        guard_height=height,
        cap_thickness=thick,
        rails_depth=rails * rail.width,
        rail_clearance=of["rail_clearance"],
    )

    def total(size: Any, length: float) -> float:
        """Return the area of members of one size."""
        depth = {"member_width": size.thickness, "member_depth": size.width}
        return _step(ledger, guards.member_area, x.id, **depth, total_length=length)

    balusters, gap, baluster_area = 0, None, 0.0
    if x.balustered is not False:
        stock, widest = of["baluster"], of["clear_gap"]
        each = guards.baluster_count(clear, stock.width, widest)
        if each:
            balusters = bays * each
            gap = _step(ledger, guards.baluster_gap, x.id, span=clear, baluster_width=stock.width, clear_gap=widest)
            baluster_area = total(stock, balusters * long)
    post_area = total(post, posts * (height - thick))
    rail_area = total(rail, rails * bays * clear)
    cap_area = 0.0 if x.capped is False else total(cap, x.length)
    area = post_area + baluster_area + rail_area + cap_area
    side = x.length * height
    row = GuardArea(
        id=x.id,
        zone=one.zone,
        posts=posts,
        balusters=balusters,
        baluster_gap=gap,
        post_area=post_area,
        baluster_area=baluster_area,
        rail_area=rail_area,
        cap_area=cap_area,
        area=area,
        one_side_area=side,
        area_ratio=area / side,
    )
    face = Measured(one.zone, "guard", area, x.id, one_side=side, length=x.length, count=balusters)
    under = (x.length, of["rail_clearance"]) if rails > 1 else None
    return Guard(row, face, under, posts * 2 * (post.thickness + post.width)), []


def _bays(one: Component[GuardShape]) -> tuple[int, int, float]:
    """Return its own posts, bays and the clear span of each. The length runs between the centres of the end posts."""
    x, shared = one.shape, one.of["shared_posts"]
    stand = guards.post_count(x.length, one.of["post_spacing"]) if x.posts is None else x.posts + shared
    bays = max(stand - 1, 1)
    # Fewer than two posts: the guard runs between walls.
    taken = one.of["post"].width if stand > 1 else 0.0
    return stand - shared, bays, x.length / bays - taken


def _fits(height: float, cap: float, rails: float, clearance: float, clear: float, at: str) -> list[Fault]:
    faults: list[Fault] = []
    if height <= cap + rails + clearance:
        faults.append(refusal("guard-too-low", f"{at}/height"))
    if clear <= 0:
        faults.append(refusal("guard-too-many-posts", f"{at}/posts"))
    return faults


def extra(one: Component[ExtraShape], ledger: Ledger) -> tuple[ExtraArea, list[Measured]]:
    """Return one extra as measured, the underside of a bench apart."""
    x = one.shape
    area, factor, side, width = _extra(one, ledger) if x.area is None else (x.area, None, None, None)
    area, side = area * x.count, None if side is None else side * x.count
    length = None if x.length is None else x.length * x.count
    # A bench seat is as large below as above.
    below = side if x.part == "bench" and side is not None else 0.0
    face = Measured(one.zone, x.part, area - below, x.id, one_side=side, width=width, length=length, count=x.count)
    under = Measured(one.zone, x.part, below, x.id, one_side=0.0, side="underside")
    return ExtraArea(id=x.id, zone=one.zone, part=x.part, area=area, factor=factor), [face, under]


def _extra(one: Component[ExtraShape], ledger: Ledger) -> tuple[float, float | None, float | None, float | None]:
    """Return material, its factor over one side where it is open work, one side as if solid, and a board's width."""
    x, of = one.shape, one.of
    length, height = x.length or 0.0, x.height or 0.0
    if x.part == "fascia":
        wide = x.size.width if x.height is None and x.size is not None else height
        board = {"length": length, "board_width": wide, "thickness": of["thickness"]}
        return _step(ledger, lattice.fascia_area, x.id, **board), None, length * wide, wide
    if x.part == "bench":
        depth = x.width or 0.0
        seat = {"length": length, "depth": depth, "thickness": of["thickness"]}
        return _step(ledger, lattice.bench_area, x.id, **seat), None, length * depth, None
    if x.part == "post":
        size = {"post_width": of["size"].thickness, "post_depth": of["size"].width}
        area = _step(ledger, lattice.post_area, x.id, **size, height=height)
        return area, None, of["size"].width * height, None
    if "sides" in of:
        return length * height * of["sides"], None, length * height, None
    slat = {
        "slat_width": of.get("slat_width", x.slat_width),
        "opening": of.get("opening", x.opening),
        "slat_thickness": of["thickness"],
    }
    factor = _step(ledger, lattice.lattice_factor if x.part == "lattice" else lattice.slat_factor, x.id, **slat)
    found = _step(ledger, lattice.open_work_area, x.id, factor=factor, length=length, height=height)
    return found, factor, length * height, None


def _step(ledger: Ledger, formula: Formula, about: str, **numbers: float) -> float:
    return spread.central(ledger.step(formula, about, **numbers))
