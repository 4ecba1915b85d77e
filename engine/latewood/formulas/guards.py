"""Guards by true geometry: posts, balusters by their clear gap, rails and cap.

Rules of thumb give one to four times the area of one side seen as solid, because some count material and some labour.
These formulas count material.
"""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number

_SOURCE = "plane geometry"
_EVEN = "evenly spaced members, all four faces of each, ends and housings not deducted"

#: A span this much (relative) over a whole number of gaps is still that number; see `stairs.EXACT`.
EXACT = 1e-6


def baluster_count(span: Any, baluster_width: Any, clear_gap: Any) -> Any:
    """Return the fewest balusters that leave no gap in a clear span wider than ``clear_gap`` (all m; arrays pass).

    n balusters leave n + 1 gaps, the two beside the posts among them.
    """
    needed = (np.asarray(span) - clear_gap) / (np.asarray(baluster_width) + clear_gap)
    count = np.maximum(np.ceil(needed - EXACT * np.abs(needed)), 0)
    return int(count) if np.ndim(count) == 0 else count.astype(int)


@formula(
    symbols="c = (S - n·w)/(n + 1), n = ⌈(S - c_max)/(w + c_max)⌉",
    source=_SOURCE,
    holds="equal gaps, also beside posts",
)
def baluster_gap(
    span: Annotated[Number, Symbol("S", "mm")],
    baluster_width: Annotated[Number, Symbol("w", "mm")],
    clear_gap: Annotated[Number, Symbol("c_max", "mm")],
) -> Annotated[Number, Symbol("c", "mm")]:
    """Share what the balusters leave of the span among the gaps."""
    count: Number = baluster_count(span, baluster_width, clear_gap)
    return (span - count * baluster_width) / (count + 1)


@formula(symbols="a = 2·(w + d)·l/p", source=_SOURCE, holds=_EVEN)
def members_per_length(
    member_width: Annotated[Number, Symbol("w", "mm")],
    member_depth: Annotated[Number, Symbol("d", "mm")],
    member_length: Annotated[Number, Symbol("l", "mm")],
    pitch: Annotated[Number, Symbol("p", "mm")],
) -> Annotated[Number, Symbol("a", "m")]:
    """Spread the girth of upright members over their pitch: area per length of guard."""
    return 2 * (member_width + member_depth) * member_length / pitch


@formula(symbols="A = 2·(w + d)·L", source=_SOURCE, holds="all four faces, ends not counted")
def member_area(
    member_width: Annotated[Number, Symbol("w", "mm")],
    member_depth: Annotated[Number, Symbol("d", "mm")],
    total_length: Annotated[Number, Symbol("L", "m")],
) -> Annotated[Number, Symbol("A", "m2")]:
    """Multiply the girth of a member by the length of all of them."""
    return 2 * (member_width + member_depth) * total_length


@formula(
    symbols="l = h - t - D - u",
    source=_SOURCE,
    holds="balusters between rails on edge, under a cap; D the depth of all rails together",
)
def baluster_length(
    guard_height: Annotated[Number, Symbol("h", "mm")],
    cap_thickness: Annotated[Number, Symbol("t", "mm")],
    rails_depth: Annotated[Number, Symbol("D", "mm")],
    rail_clearance: Annotated[Number, Symbol("u", "mm")],
) -> Annotated[Number, Symbol("l", "mm")]:
    """Take cap, rails and the opening under the lower rail from the height."""
    return guard_height - cap_thickness - rails_depth - rail_clearance


@formula(
    symbols="a = 4·w·l/(w + c) + 4·(t_r + d_r) + 2·(t_c + w_c) + 4·b·(h - t_c)/s, l = h - t_c - 2·d_r - u",
    source=_SOURCE,
    holds=f"square balusters and posts, two rails, one cap; {_EVEN}; whole numbers of balusters and posts not enforced",
)
def guard_area_per_length(
    guard_height: Annotated[Number, Symbol("h", "mm")],
    baluster_width: Annotated[Number, Symbol("w", "mm")],
    clear_gap: Annotated[Number, Symbol("c", "mm")],
    rail_thickness: Annotated[Number, Symbol("t_r", "mm")],
    rail_depth: Annotated[Number, Symbol("d_r", "mm")],
    rail_clearance: Annotated[Number, Symbol("u", "mm")],
    cap_thickness: Annotated[Number, Symbol("t_c", "mm")],
    cap_width: Annotated[Number, Symbol("w_c", "mm")],
    post_width: Annotated[Number, Symbol("b", "mm")],
    post_spacing: Annotated[Number, Symbol("s", "mm")],
) -> Annotated[Number, Symbol("a", "m")]:
    """Add balusters, two rails, cap and posts: area of material per length of a long guard."""
    length = guard_height - cap_thickness - 2 * rail_depth - rail_clearance
    balusters = 4 * baluster_width * length / (baluster_width + clear_gap)
    rails = 2 * 2 * (rail_thickness + rail_depth)
    cap = 2 * (cap_thickness + cap_width)
    posts = 4 * post_width * (guard_height - cap_thickness) / post_spacing
    return balusters + rails + cap + posts


def post_count(length: Any, spacing: Any) -> Any:
    """Return the posts of a straight guard with one at each end and none farther apart than ``spacing`` (m)."""
    bays = np.maximum(np.ceil(np.asarray(length) / spacing * (1 - EXACT)), 1)
    return int(bays) + 1 if np.ndim(bays) == 0 else bays.astype(int) + 1
