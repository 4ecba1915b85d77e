"""What masking cannot answer: names used twice, and what says nothing by itself or contradicts itself."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from latewood.calculators.masking.compute.bands import open_length
from latewood.calculators.masking.inputs import Border, Inputs
from latewood.messages import Count, Length, Name, Word, refusal, repeats
from latewood.problems import Fault, InputProblem
from latewood.rules.days import built_ahead
from latewood.rules.hazard_fields import lead_test_faults

#: A coordinate lies no farther from the origin (m), and a length agrees with its outline within this share.
FARTHEST: Final = 1e4
ROUNDED: Final = 0.01


def check(x: Inputs) -> None:
    """Find every fault between fields."""
    faults: list[Fault] = [
        fault
        for table in ("works", "borders", "plants")
        for fault in repeats("masked-thing-twice", [one.id for one in getattr(x, table)], f"/{table}/{{}}")
    ]
    if x.post_girth is not None and x.posts is None:
        faults.append(refusal("girth-without-posts", "/posts"))
    for index, border in enumerate(x.borders):
        faults += _drawn(border, f"/borders/{index}")
    painted = [border.id for border in x.borders if border.adjoins == "painted-wall"]
    if painted and x.wall_coating == "none":
        faults.append(refusal("painted-wall-of-none", "/wall_coating", border=Name(painted[0])))
    faults += [*lead_test_faults(x, today=x.as_of), *lead_test_faults(x, of="wall_", today=x.as_of)]
    InputProblem.raise_any([*faults, *built_ahead(x.year_built, x.as_of)])


def _drawn(border: Border, at: str) -> Iterator[Fault]:
    """Yield what is wrong with the outline of a stretch."""
    from shapely import Polygon

    drawn = border.outline
    if drawn is None:
        if border.wall_sides:
            yield refusal("sides-without-outline", f"{at}/outline")
        return
    if border.adjoins != "open":
        yield refusal("outline-of-what-adjoins", f"{at}/outline", adjoins=Word("adjoins", border.adjoins))
    elif max(abs(value) for point in drawn.points for value in point) > FARTHEST:
        yield refusal("border-too-far", f"{at}/outline", farthest=Length(FARTHEST))
    elif not Polygon(drawn.points).is_valid:
        yield refusal("border-crosses-itself", f"{at}/outline")
    elif max(border.wall_sides, default=0) > len(drawn.points):
        yield refusal("no-such-wall-side", f"{at}/wall_sides", sides=Count(len(drawn.points)))
    else:
        length = open_length(drawn.points, set(border.wall_sides))
        if abs(length - border.length) > ROUNDED * max(length, border.length):
            yield refusal("border-length-differs", f"{at}/length", length=Length(length))
