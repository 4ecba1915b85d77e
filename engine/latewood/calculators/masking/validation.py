"""What masking cannot answer: names used twice, and what says nothing by itself or contradicts itself."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from latewood.calculators.masking.compute.bands import open_length
from latewood.calculators.masking.inputs import Border, Inputs
from latewood.problems import Fault, InputProblem, conflict, missing, repeated
from latewood.rules.days import built_ahead
from latewood.rules.hazard_fields import lead_test_faults

#: A coordinate lies no farther from the origin (m), and a length agrees with its outline within this share.
FARTHEST: Final = 1e4
ROUNDED: Final = 0.01


def check(x: Inputs) -> None:
    """Find every fault between fields."""
    faults = [
        fault
        for table in ("works", "borders", "plants")
        for fault in repeated([one.id for one in getattr(x, table)], f"/{table}/{{}}", "{} stands twice", "each once")
    ]
    if x.post_girth is not None and x.posts is None:
        detail = "a girth says nothing without the number of posts"
        faults.append(missing("/posts", detail, "how many posts stand in it"))
    for index, border in enumerate(x.borders):
        faults += _drawn(border, f"/borders/{index}")
    painted = [border.id for border in x.borders if border.adjoins == "painted-wall"]
    if painted and x.wall_coating == "none":
        detail = f"{painted[0]} is a painted wall, so something is on it"
        faults.append(conflict("/wall_coating", detail, "its coating, or unknown"))
    faults += [*lead_test_faults(x, today=x.as_of), *lead_test_faults(x, of="wall_", today=x.as_of)]
    InputProblem.raise_any([*faults, *built_ahead(x.year_built, x.as_of)])


def _drawn(border: Border, at: str) -> Iterator[Fault]:
    """Yield what is wrong with the outline of a stretch."""
    from shapely import Polygon

    drawn = border.outline
    if drawn is None:
        if border.wall_sides:
            yield missing(f"{at}/outline", "sides are numbered, and no outline is given", "the outline they belong to")
        return
    if border.adjoins != "open":
        yield conflict(f"{at}/outline", f"what adjoins is {border.adjoins}", "an outline of open sides only")
    elif max(abs(value) for point in drawn.points for value in point) > FARTHEST:
        yield conflict(f"{at}/outline", "the outline lies too far from the origin", f"within {FARTHEST:g} m of it")
    elif not Polygon(drawn.points).is_valid:
        yield conflict(f"{at}/outline", "the outline crosses or touches itself", "corner points in order")
    elif max(border.wall_sides, default=0) > len(drawn.points):
        yield conflict(f"{at}/wall_sides", f"the outline has {len(drawn.points)} sides", "numbers of its sides")
    else:
        length = open_length(drawn.points, set(border.wall_sides))
        if abs(length - border.length) > ROUNDED * max(length, border.length):
            detail = f"the open sides of the outline are {length:.4g} m long"
            yield conflict(f"{at}/length", detail, "the length of its open sides")
