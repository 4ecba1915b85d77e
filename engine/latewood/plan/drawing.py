"""A plain picture of a job's zones, boards and edge work, so that a wrong outline is seen at once."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from latewood.calculators import area
from latewood.calculators.area.compute.measure import measure
from latewood.calculators.area.resolve import resolve
from latewood.formulas.strips import strips_at, turned
from latewood.messages import Area, Name, Speaker, clause
from latewood.plan.layout import Layout, Placed, extent, lay_out
from latewood.plan.picture_text import describe, shown_every
from latewood.provenance import Ledger

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

#: Drawing units in a metre: centimetres.
SCALE = 100
#: Widths of lines, sizes of letters and room around the picture, in pixels. A letter is about half as wide as high.
LINE, EDGE, NAME, NUMBER, MARGIN, LETTER = 1.0, 5.0, 22, 13, 36, 0.55
#: Sides of a zone that are numbered; of more the numbers would hide the drawing.
NUMBERED = 40

_STYLE = (
    "svg{background:#fff}text{font-family:sans-serif;fill:#222;stroke:#fff;paint-order:stroke;text-anchor:middle}"
    ".zone{fill:#eee;stroke:none;fill-rule:evenodd}.rim{fill:none;stroke:#444}.board{fill:#ccc;stroke:#888}"
    ".wall,.rail,.hole{stroke:#000;fill:none}"
)


@dataclass(frozen=True)
class _Text:
    """A word in the picture: where its middle is (m), how high its letters are, and what it says."""

    x: float
    y: float
    height: float
    words: str


def drawing(x: area.Inputs, speaker: Speaker) -> str:
    """Return the zones of a take-off as SVG, with title and description for who cannot see it.

    Raises `InputProblem` as the take-off does: an outline that crosses itself is not drawn.
    """
    resolved = resolve(x, Ledger("area"))
    found = resolved.regions
    done = measure(resolved, {region.id: region.net for region in found}, Ledger("area"))
    layout = lay_out(x, found, done)
    pen = layout.pixel * SCALE
    texts = [*_names(layout, speaker), *_numbers(layout)]
    texts += _legend(layout, extent(layout.placed), speaker)
    left, low, right, high = _around(layout, texts)
    wide, tall = (right - left) * SCALE, (high - low) * SCALE
    title = speaker.clause(clause("picture-title", zones=[Name(region.id) for region in found]))
    shown_in_words = " ".join(map(speaker.clause, describe(x, layout, found, done)))
    box = f"{_n(left * SCALE)} {_n(-high * SCALE)} {_n(wide)} {_n(tall)}"
    shown = f'width="{_n(wide / pen)}" height="{_n(tall / pen)}"'
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" {shown} role="img" aria-labelledby="title desc">',
            f'<title id="title">{escape(title)}</title>',
            f'<desc id="desc">{escape(shown_in_words)}</desc>',
            f"<style>{_STYLE}</style>",
            *_floors(layout, pen),
            *(line for one in layout.placed for line in _edges(one, EDGE * pen)),
            *(_written(text, pen) for text in texts),
            "</svg>",
            "",
        ]
    )


def _around(layout: Layout, texts: Sequence[_Text]) -> tuple[float, float, float, float]:
    """Return the frame of the picture: all zones and words, with a margin."""
    left, low, right, high = extent(layout.placed)
    for text in texts:
        half = len(text.words) * LETTER * text.height / 2
        left, right = min(left, text.x - half), max(right, text.x + half)
        low, high = min(low, text.y - text.height), max(high, text.y + text.height)
    room = MARGIN * layout.pixel
    return left - room, low - room, right + room, high + room


def _names(layout: Layout, speaker: Speaker) -> Iterator[_Text]:
    for one in layout.placed:
        if one.region.own is not None and not one.region.own.is_empty:
            spot = one.region.own.representative_point()
            said = clause("picture-name", zone=Name(one.region.id), area=Area(one.region.net))
            words = speaker.clause(said)
            yield _Text(spot.x + one.dx, spot.y + one.dy, NAME * layout.pixel, words)


def _numbers(layout: Layout) -> Iterator[_Text]:
    """Yield the numbers of the sides, just inside the outline, as edge work speaks of them."""
    for one in layout.placed:
        corners = one.region.corners
        turning = sum(x * v - u * y for (x, y), (u, v) in pairwise((*corners, *corners[:1])))
        inward = math.copysign(NUMBER * layout.pixel, turning)
        left, low, right, high = extent([one])
        roomy = len(corners) <= NUMBERED and min(right - left, high - low) > 3 * NAME * layout.pixel
        for place, ((x, y), (u, v)) in enumerate(pairwise((*corners, *corners[:1])), start=1):
            long = math.hypot(u - x, v - y)
            if roomy and long > 2 * NUMBER * layout.pixel:
                across = (y - v) / long * inward, (u - x) / long * inward
                spot = (x + u) / 2 + across[0] + one.dx, (y + v) / 2 + across[1] + one.dy
                yield _Text(*spot, NUMBER * layout.pixel, str(place))


def _legend(layout: Layout, box: tuple[float, float, float, float], speaker: Speaker) -> Iterator[_Text]:
    """Say below the drawing what its thick lines are, where there are any."""
    walls = any(one.edges.wall_sides or (one.holes and one.edges.hole_edges != "free") for one in layout.placed)
    rails = any(one.edges.rail_sides for one in layout.placed)
    if walls or rails:
        lines = [clause("picture-thick-lines")] * walls + [clause("picture-dashed-lines")] * rails
        words = speaker.clause(clause("reasons", why=lines))
        yield _Text((box[0] + box[2]) / 2, box[1] - 2 * NAME * layout.pixel, NUMBER * layout.pixel, words)


def _floors(layout: Layout, pen: float) -> Iterator[str]:
    step = shown_every(layout)
    for one in layout.placed:
        if one.region.own is None:
            continue
        rim = _path([one.region.own], one)
        yield f'<path class="zone" d="{rim}"/>'
        if one.floor is not None:
            # Strips lie in the frame in which boards run along x; turn them back.
            lay = one.floor.settled.lay
            strips = strips_at(one.region.own, lay, one.floor.laid.bottoms[::step])
            back = [turned(strip, -lay.direction) for strip in strips]
            yield f'<path class="board" stroke-width="{_n(LINE * pen / 2)}" d="{_path(back, one)}"/>'
        yield f'<path class="rim" stroke-width="{_n(1.5 * LINE * pen)}" d="{rim}"/>'


def _edges(one: Placed, wide: float) -> Iterator[str]:
    """Draw the holes and sides that are edge work; walls and rails given as lengths have no place."""
    if one.edges.hole_edges != "free":
        for hole in one.holes:
            points = " ".join(f"{_n((x + one.dx) * SCALE)},{_n(-(y + one.dy) * SCALE)}" for x, y in hole)
            yield f'<polygon class="hole" stroke-width="{_n(wide)}" points="{points}"/>'
    corners = one.region.corners
    for name, sides in (("wall", one.edges.wall_sides), ("rail", one.edges.rail_sides)):
        for side in sides:
            (x, y), (u, v) = corners[side - 1], corners[side % len(corners)]
            ends = zip(("x1", "y1", "x2", "y2"), (x + one.dx, -y - one.dy, u + one.dx, -v - one.dy), strict=True)
            text = " ".join(f'{key}="{_n(value * SCALE)}"' for key, value in ends)
            dashes = f' stroke-dasharray="{_n(2 * wide)}"' if name == "rail" else ""
            yield f'<line class="{name}" stroke-width="{_n(wide)}"{dashes} {text}/>'


def _written(text: _Text, pen: float) -> str:
    # Letters stand on their line: their middle is about a third of their height above it.
    spot = f'x="{_n(text.x * SCALE)}" y="{_n((text.height / 3 - text.y) * SCALE)}"'
    size = f'font-size="{_n(text.height * SCALE)}" stroke-width="{_n(4 * pen)}"'
    return f"<text {spot} {size}>{escape(text.words)}</text>"


def _path(shapes: Sequence[BaseGeometry], one: Placed) -> str:
    import shapely

    rings = []
    for piece in shapely.get_parts(shapely.get_parts(list(shapes))):
        if piece.geom_type != "Polygon":
            continue
        for ring in (piece.exterior, *piece.interiors):
            points = [f"{_n((x + one.dx) * SCALE)} {_n(-(y + one.dy) * SCALE)}" for x, y in ring.coords[:-1]]
            rings.append("M" + "L".join(points) + "Z")
    return "".join(rings)


def _n(value: float) -> str:
    """Return a coordinate to a tenth of a millimetre, the same on every machine."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
