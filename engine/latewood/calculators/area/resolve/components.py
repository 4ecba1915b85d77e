"""What is taken of stairs, guards and extras where nothing was measured, and what another choice would change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

import msgspec

from latewood.calculators.area.compute.components import extra as extra_of
from latewood.calculators.area.compute.components import guard as guard_of
from latewood.calculators.area.compute.components import stair as stair_of
from latewood.calculators.area.fields import ExtraShape, GuardShape, StairShape
from latewood.calculators.area.resolve.boards import dotted
from latewood.calculators.area.resolved import INCH, Component, Resolved, Taken
from latewood.messages import Clause, clause
from latewood.provenance import HERE, Ledger
from latewood.provenance.ledger import MATTERS
from latewood.quantities import lumber

#: Field → what is taken, in words, the next likely choice, and the id of the reason.
#: Risers, goings and least widths: R311.7 of that code; guard height and the sphere that must not pass: R312.
Usual = tuple[float, str, float, str]
STAIR: Mapping[str, Usual] = {
    "highest_riser": (7.75 * INCH, "7-3/4 in", 7 * INCH, "code-riser"),
    "width": (36 * INCH, "36 in", 48 * INCH, "code-stair-width"),
    "going": (10 * INCH, "10 in", 11 * INCH, "code-going"),
    "nosing": (INCH, "1 in", 1.25 * INCH, "common-practice"),
    "tread_thickness": (INCH, "1 in", 1.5 * INCH, "tread-of-five-quarter"),
}
HEIGHT: Usual = (36 * INCH, "36 in", 42 * INCH, "code-guard-height")
CLEARANCE: Usual = (3 * INCH, "3 in", 2 * INCH, "common-practice")
CLEAR_GAP: Usual = (4 * INCH, "4 in", 3 * INCH, "code-sphere")
#: Posts up to 6 ft apart: county deck guides and common practice.
POST_SPACING: Usual = (72 * INCH, "6 ft", 96 * INCH, "guides-measure")
#: A stringer is mostly a nominal 2x12: 1-1/2 by 11-1/4 in dressed, PS 20.
STRINGER = (1.5 * INCH, 11.25 * INCH)
#: Slats between the open and the tight lattice on sale.
SLAT: Mapping[str, Usual] = {
    "slat_width": (0.038, "38 mm", 0.030, "measure-a-slat"),
    "opening": (0.044, "44 mm", 0.070, "measure-a-slat"),
    "thickness": (0.006, "6 mm", 0.010, "measure-a-slat"),
}
#: A board or picket of nominal 1 in, PS 20; a bench or fascia of nominal 2 in.
ONE_INCH: Usual = (0.01905, "3/4 in", 0.0254, "nominal-lumber")
TWO_INCH: Usual = (0.0381, "1-1/2 in", 0.01905, "nominal-lumber")


@dataclass(frozen=True)
class _Fill:
    """Puts in what was not measured of a component, and notes it."""

    shape: StairShape | GuardShape | ExtraShape
    at: str
    taken: list[Taken]

    def __call__(self, name: str, usual: Any, text: str | Clause, other: Any, why: str) -> Any:
        """Return a field, or what is usual; ``other`` is the next likely choice, as the field would be sent."""
        given = getattr(self.shape, name)
        if given is None:
            self.taken.append(Taken(self.at, name, text, other, clause(why)))
        return usual if given is None else given

    def count(self, name: str, usual: int) -> int:
        """Return a whole number; one more is likely too."""
        found: int = self(name, usual, str(usual), usual + 1, "common-practice")
        return found

    def size(self, name: str, usual: str, other: str, why: str = "usual-size-dressed") -> lumber.Nominal:
        """Return a lumber size."""
        found: lumber.Nominal = self(name, lumber.read_nominal(usual), usual, lumber.read_nominal(other), why)
        return found


def stair(x: StairShape, zone: str, at: str, taken: list[Taken]) -> Component[StairShape]:
    """Return a flight with defaults put in."""
    fill = _Fill(x, at, taken)
    of = {name: fill(name, *usual) for name, usual in STAIR.items()}
    of["closed"] = fill("riser_form", "closed", "closed", "open", "common-practice") != "open"
    text = clause("not-coated" if of["closed"] else "coated")
    of["undersides"] = fill("undersides", not of["closed"], text, of["closed"], "seen-through-open-risers")
    of["stringers"] = fill("stringers", 2, "2", 3, "one-at-each-side")
    of["stringer"] = STRINGER if x.stringer is None else (x.stringer.thickness, x.stringer.width)
    if of["stringers"]:
        fill.size("stringer", "2x12", "2x10", "usual-size")
        of["cut"] = fill("stringer_form", "cut", "cut", "housed", "common-practice") == "cut"
    return Component(x, zone, at, of)


def guard(x: GuardShape, zone: str, at: str, taken: list[Taken], *, alone: bool) -> Component[GuardShape]:
    """Return a guard with defaults put in. One that is not ``alone`` in its zone may share posts."""
    fill = _Fill(x, at, taken)
    of: dict[str, Any] = {"shared_posts": x.shared_posts or 0 if alone else fill.count("shared_posts", 0)}
    of["height"] = fill("height", *HEIGHT)
    of["rail"], of["cap"] = fill.size("rail", "2x4", "2x6"), fill.size("cap", "5/4x6", "2x6")
    of["rails"] = fill.count("rails", 2)
    of["rail_clearance"] = fill("rail_clearance", *CLEARANCE)
    of["post"] = fill.size("post", "4x4", "6x6")
    if x.posts is None:
        of["post_spacing"] = fill("post_spacing", *POST_SPACING)
    if x.balustered is not False:
        of["baluster"] = fill.size("baluster", "2x2", "2x4")
        of["clear_gap"] = fill("clear_gap", *CLEAR_GAP)
    return Component(x, zone, at, of)


def extra(x: ExtraShape, zone: str, at: str, taken: list[Taken]) -> Component[ExtraShape]:
    """Return an extra with defaults put in: none where its area is known."""
    fill = _Fill(x, at, taken)
    of: dict[str, Any] = {}
    if x.area is not None:
        pass
    elif x.part == "post":
        of["size"] = fill.size("size", "4x4", "6x6", "usual-guard-post")
    elif x.part == "lattice":
        of = {name: fill(name, *usual) for name, usual in SLAT.items()}
    elif x.part == "fascia" and x.thickness is None and x.size is not None:
        of["thickness"] = x.size.thickness
    elif x.part == "skirting" and (x.slat_width is None or not x.opening):
        of["sides"] = fill("sides", 1, "1", 2, "back-of-skirting")
    else:
        of["thickness"] = fill("thickness", *(ONE_INCH if x.part == "skirting" else TWO_INCH))
    return Component(x, zone, at, of)


def assume(r: Resolved, areas: Mapping[str, float], total: float, ledger: Ledger) -> None:
    """Write the defaults down with what others move; ``areas`` are those of components, ``total`` that of all faces."""
    every: list[Component[Any]] = [*r.stairs, *r.guards, *r.extras]
    held = {one.at: one for one in every}

    def with_other(taken: Taken, value: Any) -> float | None:
        """Return the area of all faces where the component has another value."""
        here = areas[taken.at]
        own = here if value is HERE else _measured(held[taken.at], taken.name, value, ledger)
        return None if own is None else total - here + own

    for one in r.taken:
        # No other choice more than doubles an extra, or changes a flight or guard by more than a half.
        most = 1.0 if isinstance(held[one.at].shape, ExtraShape) else 0.5
        matters = areas[one.at] * most > MATTERS * total
        ledger.default(
            dotted(one.at, one.name),
            one.given,
            others=(one.other,) if matters else (),
            by=partial(with_other, one),
            why=one.why,
        )


def _measured(one: Component[Any], name: str, value: Any, ledger: Ledger) -> float | None:
    """Return the area of a component with another value of a field; None where it cannot be so."""
    shape, aside = msgspec.structs.replace(one.shape, **{name: value}), ledger.aside()
    if isinstance(shape, StairShape):
        return stair_of(stair(shape, one.zone, one.at, []), aside)[0].area
    if isinstance(shape, GuardShape):
        found, _ = guard_of(guard(shape, one.zone, one.at, [], alone=False), aside)
        return None if found is None else found.row.area
    row, _ = extra_of(extra(shape, one.zone, one.at, []), aside)
    return row.area
