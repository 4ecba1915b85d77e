"""What holds for one request: zones as sound shapes, boards, edges and components with nothing left open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from latewood.calculators.area.fields import AreaZone, Boards, EdgeWork, ExtraShape, GuardShape, StairShape
from latewood.formulas.strips import Lay
from latewood.messages import Clause

if TYPE_CHECKING:
    from shapely import MultiPolygon, Polygon

#: Two edges this near are the same edge: outlines are measured with a tape and rounded. In metres.
TOLERANCE = 0.002
#: Points this near a seam lie on it (m): far above the rounding of coordinates, far below a saw cut.
SEAM = 1e-6
#: Share of a zone below which what its parts leave of it is rounding.
FILLED = 1e-9
INCH = 0.0254

Part = TypeVar("Part", StairShape, GuardShape, ExtraShape)


@dataclass(frozen=True)
class Region:
    """A zone whose shape is known to be sound. ``sides`` where it was given as a rectangle.

    ``own`` is the shape that is left without holes and without the parts that have a place, None where only an area is
    known. Zones with one ``frame`` are drawn from one corner; one without a place has none.
    """

    id: str
    part_of: str | None
    gross: float
    holes: float
    hole_length: float
    outline_length: float | None
    sides: tuple[float, float] | None
    corners: tuple[tuple[float, float], ...]
    own: Polygon | MultiPolygon | None
    frame: str | None
    net: float


@dataclass(frozen=True)
class BoardLay:
    """Boards with nothing left open."""

    lay: Lay
    thickness: float
    fasteners: int
    grooves: tuple[float, float] | None
    stock: float | None
    #: Id of the wood, where it is known. A lay is the same whatever it is of.
    wood: str | None = field(default=None, compare=False)


@dataclass(frozen=True)
class ResolvedEdges:
    """Edge work with nothing left open; ``post_girth`` is that of one post, ``rims`` whether something fills holes."""

    given: bool
    work: EdgeWork
    at: str
    tool_height: float
    post_girth: float
    rims: bool


@dataclass(frozen=True)
class Component(Generic[Part]):
    """Stairs, a guard or an extra with the zone it belongs to; ``of`` has its fields, defaults put in."""

    shape: Part
    zone: str
    at: str
    of: Mapping[str, Any]


@dataclass(frozen=True)
class Taken:
    """A default of a component, and the next likely choice."""

    at: str
    name: str
    given: str | Clause
    other: Any
    why: Clause


@dataclass(frozen=True, kw_only=True)
class Resolved:
    """A take-off with nothing left open, by zone where not said otherwise.

    ``places`` says where each zone stands, ``boards`` what was said of its boards and where, ``laid`` how they lie.
    """

    zones: tuple[AreaZone, ...]
    regions: tuple[Region, ...]
    places: Mapping[str, str]
    boards: Mapping[str, tuple[Boards, str]]
    laid: Mapping[str, BoardLay]
    levels: Mapping[str, float | None]
    edges: Mapping[str, ResolvedEdges]
    pad_width: float
    stairs: tuple[Component[StairShape], ...]
    guards: tuple[Component[GuardShape], ...]
    extras: tuple[Component[ExtraShape], ...]
    taken: tuple[Taken, ...]
