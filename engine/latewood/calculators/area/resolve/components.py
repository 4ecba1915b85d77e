"""What is taken of stairs, guards and extras where nothing was measured, and what another choice would change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from latewood.calculators.area.fields import ExtraShape, GuardShape, StairShape
from latewood.calculators.area.resolve.boards import dotted
from latewood.calculators.area.resolved import INCH, Component, Taken
from latewood.messages import Clause, clause
from latewood.provenance import Ledger
from latewood.quantities import lumber

#: Field → what is taken, in words, the share of a usual component that the next likely choice would change, and the id
#: of the reason.
#: Risers, goings and least widths: R311.7 of that code; guard height and the sphere that must not pass: R312.
Usual = tuple[float, str, float, str]
STAIR: Mapping[str, Usual] = {
    "highest_riser": (7.75 * INCH, "7-3/4 in", 0.05, "code-riser"),
    "width": (36 * INCH, "36 in", 0.33, "code-stair-width"),
    "going": (10 * INCH, "10 in", 0.05, "code-going"),
    "nosing": (INCH, "1 in", 0.05, "common-practice"),
    "tread_thickness": (INCH, "1 in", 0.03, "tread-of-five-quarter"),
}
HEIGHT: Usual = (36 * INCH, "36 in", 0.115, "code-guard-height")
CLEARANCE: Usual = (3 * INCH, "3 in", 0.04, "common-practice")
CLEAR_GAP: Usual = (4 * INCH, "4 in", 0.07, "code-sphere")
#: Posts up to 6 ft apart: county deck guides and common practice.
POST_SPACING: Usual = (72 * INCH, "6 ft", 0.05, "guides-measure")
#: A stringer is mostly a nominal 2x12: 1-1/2 by 11-1/4 in dressed, PS 20.
STRINGER = (1.5 * INCH, 11.25 * INCH)
#: Slats between the open and the tight lattice on sale.
SLAT: Mapping[str, Usual] = {
    "slat_width": (0.038, "38 mm", 0.2, "measure-a-slat"),
    "opening": (0.044, "44 mm", 0.2, "measure-a-slat"),
    "thickness": (0.006, "6 mm", 0.01, "measure-a-slat"),
}
#: A board or picket of nominal 1 in, PS 20; a bench or fascia of nominal 2 in.
ONE_INCH: Usual = (0.01905, "3/4 in", 0.08, "nominal-lumber")
TWO_INCH: Usual = (0.0381, "1-1/2 in", 0.08, "nominal-lumber")


@dataclass(frozen=True)
class _Fill:
    """Puts in what was not measured of a component, and notes it."""

    shape: StairShape | GuardShape | ExtraShape
    at: str
    taken: list[Taken]

    def __call__(self, name: str, usual: Any, text: str | Clause, effect: float, why: str) -> Any:
        """Return a field, or what is usual."""
        given = getattr(self.shape, name)
        if given is None:
            self.taken.append(Taken(self.at, name, text, effect, clause(why)))
        return usual if given is None else given

    def count(self, name: str, usual: int, effect: float) -> int:
        """Return a whole number."""
        found: int = self(name, usual, str(usual), effect, "common-practice")
        return found

    def size(self, name: str, usual: str, effect: float) -> lumber.Nominal:
        """Return a lumber size."""
        found: lumber.Nominal = self(name, lumber.read_nominal(usual), usual, effect, "usual-size-dressed")
        return found


def stair(x: StairShape, zone: str, at: str, taken: list[Taken]) -> Component[StairShape]:
    """Return a flight with defaults put in."""
    fill = _Fill(x, at, taken)
    of = {name: fill(name, *usual) for name, usual in STAIR.items()}
    of["closed"] = fill("riser_form", "closed", "closed", 0.05, "common-practice") != "open"
    text = clause("not-coated" if of["closed"] else "coated")
    of["undersides"] = fill("undersides", not of["closed"], text, 0.3, "seen-through-open-risers")
    of["stringers"] = fill("stringers", 2, "2", 0.12, "one-at-each-side")
    of["stringer"] = STRINGER if x.stringer is None else (x.stringer.thickness, x.stringer.width)
    if of["stringers"]:
        fill("stringer", None, "2x12", 0.05, "usual-size")
        of["cut"] = fill("stringer_form", "cut", "cut", 0.08, "common-practice") == "cut"
    return Component(x, zone, at, of)


def guard(x: GuardShape, zone: str, at: str, taken: list[Taken], *, alone: bool) -> Component[GuardShape]:
    """Return a guard with defaults put in. One that is not ``alone`` in its zone may share posts."""
    fill = _Fill(x, at, taken)
    of: dict[str, Any] = {"shared_posts": x.shared_posts or 0 if alone else fill.count("shared_posts", 0, 0.05)}
    of["height"] = fill("height", *HEIGHT)
    of["rail"], of["cap"] = fill.size("rail", "2x4", 0.08), fill.size("cap", "5/4x6", 0.05)
    of["rails"] = fill.count("rails", 2, 0.15)
    of["rail_clearance"] = fill("rail_clearance", *CLEARANCE)
    of["post"] = fill.size("post", "4x4", 0.06)
    if x.posts is None:
        of["post_spacing"] = fill("post_spacing", *POST_SPACING)
    if x.balustered is not False:
        of["baluster"] = fill.size("baluster", "2x2", 0.1)
        of["clear_gap"] = fill("clear_gap", *CLEAR_GAP)
    return Component(x, zone, at, of)


def extra(x: ExtraShape, zone: str, at: str, taken: list[Taken]) -> Component[ExtraShape]:
    """Return an extra with defaults put in: none where its area is known."""
    fill, of = _Fill(x, at, taken), {}
    if x.area is not None:
        pass
    elif x.part == "post":
        of["size"] = fill("size", lumber.read_nominal("4x4"), "4x4", 0.57, "usual-guard-post")
    elif x.part == "lattice":
        of = {name: fill(name, *usual) for name, usual in SLAT.items()}
    elif x.part == "fascia" and x.thickness is None and x.size is not None:
        of["thickness"] = x.size.thickness
    elif x.part == "skirting" and (x.slat_width is None or not x.opening):
        of["sides"] = fill("sides", 1, "1", 1.0, "back-of-skirting")
    else:
        of["thickness"] = fill("thickness", *(ONE_INCH if x.part == "skirting" else TWO_INCH))
    return Component(x, zone, at, of)


def assume(taken: tuple[Taken, ...], areas: Mapping[str, float], total: float, ledger: Ledger) -> None:
    """Write the defaults down, each effect as a share of the area of all faces; ``areas`` are those of components."""
    for one in taken:
        share = areas[one.at] / total if total > 0 else 1.0
        ledger.default(dotted(one.at, one.name), one.given, effect=one.effect * share, why=one.why)
