"""A picture of an answer where one answers the question, with its numbers as a table.

What styles a picture stands inside it, and the picture stands in the page as an image: it needs nothing from elsewhere,
and may run nothing.

Faults of pygal that touch us:

- every picture has a script -> it is taken out. Tests:
  `api/test_pages::test_a_picture_runs_nothing_and_says_what_it_is`
- an import hook of its own, of a kind that Python warns of -> it is taken out again. Tests:
  `api/test_pages::test_pygal_leaves_no_import_hook`
"""

from __future__ import annotations

import base64
import sys
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from markupsafe import Markup

from latewood.quantities.outline import read_outline
from latewood_api.pages.layout import fragment

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

Json = Mapping[str, Any]
Point = tuple[float, float]


class Drawn(NamedTuple):
    """What a picture shows: lines by name, and the same as a table."""

    title: str
    lines: Mapping[str, list[Point]]
    x: str
    y: str
    head: list[str]
    rows: list[list[str]]
    #: A number on the first axis as people write it.
    at: Callable[[float], str] = "{:.3g}".format
    closed: bool = False
    #: What stands on the second axis in place of numbers.
    levels: Mapping[float, str] = MappingProxyType({})


def picture(id: str, answer: Json, given: Mapping[str, Any]) -> Markup:
    """Return the picture of an answer to a flat request, nothing where no picture says more than its numbers."""
    drawn = _PICTURES[id](answer["result"], given) if id in _PICTURES else None
    if drawn is None or not any(drawn.lines.values()):
        return Markup()
    return fragment("picture", drawn=drawn, source=base64.b64encode(_svg(drawn)).decode())


def _svg(drawn: Drawn) -> bytes:
    # Here, because nothing but a picture needs it.
    from pygal import XY
    from pygal.style import Style

    sys.meta_path[:] = [one for one in sys.meta_path if type(one).__module__ != "pygal"]
    style = Style(font_family="sans-serif", label_font_size=14, legend_font_size=15, title_font_size=18, stroke_width=4)
    chart = XY(
        title=drawn.title,
        x_title=drawn.x,
        y_title=drawn.y,
        width=640,
        height=440,
        style=style,
        js=[],
        show_dots=False,
        fill=drawn.closed,
        legend_at_bottom=True,
        x_value_formatter=drawn.at,
        x_label_rotation=20,
        truncate_legend=-1,
    )
    if drawn.levels:
        chart.y_labels = [{"label": label, "value": at} for at, label in drawn.levels.items()]
        chart.range = (min(drawn.levels) - 0.5, max(drawn.levels) + 0.5)
    chart.add_xml_filter(_without_script)
    for name, points in drawn.lines.items():
        chart.add(name, points)
    return bytes(chart.render())


def _without_script(root: Element) -> Element:
    for parent in [*root.iter()]:
        for child in [*parent]:
            if child.tag == "script":
                parent.remove(child)
    return root


def _deck(_: Json, given: Mapping[str, Any]) -> Drawn | None:
    outlines = {name.rpartition(".")[0]: text for name, text in given.items() if name.endswith(".outline")}
    try:
        read = {str(given.get(f"{at}.id", at)): read_outline(str(text)) for at, text in outlines.items()}
    except ValueError:
        return None
    rows = [[id, "; ".join(f"{x:.2f}, {y:.2f}" for x, y in points)] for id, points in read.items()]
    lines = {id: [*points, points[0]] for id, points in read.items()}
    return Drawn("Zones of the deck", lines, "m", "m", ["Zone", "Corners (m)"], rows, closed=True)


def _hours(result: Json, _: Json) -> Drawn | None:
    hours = result.get("hours", ())
    starts = [window["starts"][:13] for window in result.get("windows", ())]
    ends = [window["ends"][:13] for window in result.get("windows", ())]
    failed = [float(len(one.get("failed", ())) + len(one.get("unknown", ()))) for one in hours]
    inside = [any(a <= one["id"][:13] < b for a, b in zip(starts, ends, strict=True)) for one in hours]
    rows = [
        [
            one["id"][:16].replace("T", " "),
            ", ".join([*one.get("failed", ()), *one.get("unknown", ())]),
            "yes" if window else "",
        ]
        for one, window in zip(hours, inside, strict=True)
    ]
    lines = {
        "limits missed": [*_steps(failed)],
        "window to coat in": [*_steps([-0.5 if window else 0.0 for window in inside])],
    }
    title = "Limits missed, and windows, by hour"
    head = ["Hour", "Limits missed", "In a window"]
    return Drawn(title, lines, f"hours from {rows[0][0]}" if rows else "", "limits", head, rows)


def _steps(values: list[float]) -> list[Point]:
    return [(float(at), value) for place, value in enumerate(values) for at in (place, place + 1)]


def _drying(result: Json, _: Json) -> Drawn | None:
    lines: dict[str, list[Point]] = {}
    rows: list[list[str]] = []
    for zone in result.get("zones", ()):
        curve = [(one["after"]["value"], one["outer_moisture"]["value"]) for one in zone.get("curve", ())]
        if not curve or "moisture_limit" not in zone:
            continue
        limit = zone["moisture_limit"]["value"]
        lines[zone["id"]] = curve
        lines[f"limit of {zone['id']}"] = [(curve[0][0], limit), (curve[-1][0], limit)]
        rows += [[zone["id"], f"{after:.0f} h", f"{moisture:.1f} %", f"{limit:.1f} %"] for after, moisture in curve]
    head = ["Zone", "After", "Moisture", "Limit"]
    return Drawn("Drying against its limit", lines, "hours", "moisture, %", head, rows)


def _volume(result: Json, _: Json) -> Drawn | None:
    volume, bought = result.get("volume"), result.get("purchase", {}).get("volume")
    if not volume or not bought or "low" not in volume:
        return None
    unit = volume["unit"]
    ends = [volume[key] for key in ("low", "value", "high")]
    lines = {
        "needed, low to high": [(end, 1.0) for end in ends],
        f"bought: {result['purchase'].get('text', '')}": [(0.0, 2.0), (bought["value"], 2.0)],
    }
    rows = [[name, f"{value:.3g} {unit}"] for name, value in zip(("low", "likely", "high"), ends, strict=True)]
    rows.append(["bought", f"{bought['value']:.3g} {unit}"])
    return Drawn(
        "Finish needed against what is bought",
        lines,
        unit,
        "",
        ["What", "Volume"],
        rows,
        levels={1: "needed", 2: "bought"},
    )


_PICTURES: Final[Mapping[str, Callable[[Json, Mapping[str, Any]], Drawn | None]]] = {
    "area": _deck,
    "coverage": _volume,
    "cure-windows": _hours,
    "moisture-readiness": _drying,
}
