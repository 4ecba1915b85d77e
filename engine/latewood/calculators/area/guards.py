"""Guards: their members counted bay by bay, and the defaults taken for what was not measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

import msgspec

from latewood.calculators.area.components import GuardShape
from latewood.calculators.area.defaults import Defaults
from latewood.calculators.area.labour import Measured
from latewood.calculators.area.sizes import INCH
from latewood.declare import F, Formula, Q
from latewood.formulas import guards as geometry
from latewood.problems import Fault
from latewood.provenance import Ledger
from latewood.quantities import lumber
from latewood.quantities.lumber import Nominal
from latewood.uncertainty import spread

CODE = "US residential code, as a town's page on the 2009 edition gives it"
#: Guard height and the sphere that must not pass, R312.
HEIGHT, CLEAR_GAP = 36 * INCH, 4 * INCH
#: Posts up to 6 ft apart: county deck guides and common practice. The clearance is common practice.
POST_SPACING, CLEARANCE = 72 * INCH, 3 * INCH


class GuardArea(msgspec.Struct, frozen=True, kw_only=True):
    """One guard of the answer."""

    id: Annotated[str, F("Name of the guard")]
    zone: Annotated[str, F("Zone it belongs to")]
    posts: Annotated[int, F("Number of posts")]
    balusters: Annotated[int, F("Number of balusters")]
    baluster_gap: Annotated[float, Q("mm", "Clear gap between balusters")] | None = None
    post_area: Annotated[float, Q("m2", "Posts, four sides")]
    baluster_area: Annotated[float, Q("m2", "Balusters, four sides")]
    rail_area: Annotated[float, Q("m2", "Rails, four sides")]
    cap_area: Annotated[float, Q("m2", "Cap, four sides")]
    area: Annotated[float, Q("m2", "All of them together")]
    one_side_area: Annotated[float, Q("m2", "One side seen as if solid: length times height")]
    area_ratio: Annotated[float, Q("%", "Material over one side seen as if solid")]


@dataclass(frozen=True)
class Guard:
    """A guard as measured, and what it brings to the edge work of its zone."""

    row: GuardArea
    face: Measured
    under_rail: tuple[float, float] | None
    post_girths: float


def guard(
    x: GuardShape, zone: str, at: str, defaults: Defaults, *, alone: bool = True
) -> tuple[Guard | None, list[Fault]]:
    """Return one guard, or what is wrong with it. One that is not ``alone`` in its zone may share posts."""
    say = _Usual(at, defaults)
    if x.shared_posts is None and not alone:
        say.count("shared_posts", None, 0, 0.05)
    height = say.number("height", x.height, HEIGHT, "36 in", 0.115, f"least height of the {CODE}")
    rail, cap = say.size("rail", x.rail, "2x4", 0.08), say.size("cap", x.cap, "5/4x6", 0.05)
    rails = say.count("rails", x.rails, 2, 0.15)
    capped = x.capped if x.capped is not None else True
    clearance = say.number("rail_clearance", x.rail_clearance, CLEARANCE, "3 in", 0.04, "common practice")
    post = say.size("post", x.post, "4x4", 0.06)
    thick = cap.thickness if capped else 0.0
    posts, bays, clear = _bays(x, post, say)
    face_faults = _fits(height, thick, rails * rail.width, clearance, clear, at)
    if face_faults:
        return None, face_faults
    long = defaults.ledger.step(
        geometry.baluster_length,
        x.id,
        guard_height=height,
        cap_thickness=thick,
        rails_depth=rails * rail.width,
        rail_clearance=clearance,
    )
    balusters, gap, baluster_area = _balusters(x, say, spread.central(long), bays, clear)
    total = _run(defaults.ledger, x.id)
    post_area = total(post.thickness, post.width, posts * (height - thick))
    rail_area = total(rail.thickness, rail.width, rails * bays * clear)
    cap_area = total(cap.thickness, cap.width, x.length) if capped else 0.0
    area = post_area + baluster_area + rail_area + cap_area
    side = x.length * height
    row = GuardArea(
        id=x.id,
        zone=zone,
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
    face = Measured(zone, "guard", area, x.id, one_side=side, length=x.length, count=balusters)
    under = (x.length, clearance) if rails > 1 else None
    return Guard(row, face, under, posts * 2 * (post.thickness + post.width)), []


def _bays(x: GuardShape, post: Nominal, say: _Usual) -> tuple[int, int, float]:
    """Return its own posts, bays and the clear span of each. The length runs between the centres of the end posts."""
    shared = x.shared_posts or 0
    if x.posts is not None:
        stand = x.posts + shared
    else:
        spacing = say.number("post_spacing", x.post_spacing, POST_SPACING, "6 ft", 0.05, "deck guides; measure it")
        stand = geometry.post_count(x.length, spacing)
    bays = max(stand - 1, 1)
    # Fewer than two posts: the guard runs between walls.
    taken = post.width if stand > 1 else 0.0
    return stand - shared, bays, x.length / bays - taken


def check_guard(x: GuardShape, at: str) -> list[Fault]:
    """Return what is given of members that are not there, or given twice, and a guard without any member."""
    without = {
        "there are no balusters": (x.balustered is False, ("baluster", "clear_gap")),
        "there are no rails": (x.rails == 0, ("rail", "rail_clearance")),
        "there is no cap": (x.capped is False, ("cap",)),
        "the number of posts is given": (x.posts is not None, ("post_spacing",)),
    }
    faults = [
        Fault(pointer=f"{at}/{name}", code="conflict", detail=f"{why}, so {name} says nothing")
        for why, (holds, names) in without.items()
        for name in names
        if holds and getattr(x, name) is not None
    ]
    if x.balustered is False and x.rails == 0 and x.capped is False and x.posts == 0:
        detail = "the guard has neither posts nor rails, balusters or cap"
        faults.append(Fault(pointer=at, code="conflict", detail=detail, expected="at least one of them"))
    return faults


def _fits(height: float, cap: float, rails: float, clearance: float, clear: float, at: str) -> list[Fault]:
    faults = []
    if height <= cap + rails + clearance:
        detail = "cap, rails and the clearance under them leave no room in this height"
        faults.append(Fault(pointer=f"{at}/height", code="conflict", detail=detail, expected="a greater height"))
    if clear <= 0:
        detail = "the posts leave no clear span in this length"
        faults.append(Fault(pointer=f"{at}/posts", code="conflict", detail=detail, expected="fewer posts"))
    return faults


def _balusters(x: GuardShape, say: _Usual, length: float, bays: int, clear: float) -> tuple[int, float | None, float]:
    """Return their number, the gap they leave, and their area."""
    if x.balustered is False:
        return 0, None, 0.0
    stock = say.size("baluster", x.baluster, "2x2", 0.1)
    widest = say.number("clear_gap", x.clear_gap, CLEAR_GAP, "4 in", 0.07, f"the sphere of the {CODE}")
    each = geometry.baluster_count(clear, stock.width, widest)
    if each == 0:
        return 0, None, 0.0
    found = say.defaults.ledger.step(
        geometry.baluster_gap, x.id, span=clear, baluster_width=stock.width, clear_gap=widest
    )
    area = _run(say.defaults.ledger, x.id)(stock.thickness, stock.width, bays * each * length)
    return bays * each, spread.central(found), area


def _run(ledger: Ledger, about: str) -> Any:
    """Return a function that adds up members of one size."""

    def total(thickness: float, width: float, length: float, formula: Formula = geometry.member_area) -> float:
        step = ledger.step(formula, about, member_width=thickness, member_depth=width, total_length=length)
        return spread.central(step)

    return total


@dataclass(frozen=True)
class _Usual:
    """Puts in what was not measured, and says so.

    The effects are shares of the area of the usual guard, 36 in high, that the next likely choice would change.
    """

    at: str
    defaults: Defaults

    def number(self, name: str, given: float | None, usual: float, text: str, effect: float, why: str) -> float:
        """Return a length."""
        if given is not None:
            return given
        self.defaults.take(self.at, name, text, effect=effect, why=why)
        return usual

    def count(self, name: str, given: int | None, usual: int, effect: float) -> int:
        """Return a whole number."""
        if given is not None:
            return given
        self.defaults.take(self.at, name, str(usual), effect=effect, why="common practice")
        return usual

    def size(self, name: str, given: Nominal | None, usual: str, effect: float) -> Nominal:
        """Return a lumber size."""
        if given is not None:
            return given
        why = "the usual size, common practice; dressed by PS 20"
        self.defaults.take(self.at, name, usual, effect=effect, why=why)
        return lumber.read_nominal(usual)
