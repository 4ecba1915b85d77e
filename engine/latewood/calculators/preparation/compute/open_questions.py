"""What is not known yet that may change the choice of a route: it is chosen on condition until then."""

from __future__ import annotations

from collections.abc import Iterator
from typing import get_args

from latewood.calculators.preparation.compute.comparison import Case
from latewood.calculators.preparation.compute.eligibility import only_scuffs
from latewood.calculators.preparation.fields import Open
from latewood.calculators.preparation.resolved import Resolved
from latewood.records import Route
from latewood.rules.sign_actions import cup_unmeasured, extent_unsaid
from latewood.rules.surface_layers import unnamed


def still_open(r: Resolved, chosen: Case | None) -> tuple[Open, ...]:
    """Return what the chosen route rests on; nothing where none may be taken."""
    if chosen is None or chosen.standing == "forbidden":
        return ()
    found = set(_found(r, chosen.route))
    return tuple(one for one in get_args(Open) if one in found)


def _found(r: Resolved, route: Route) -> Iterator[Open]:
    if extent_unsaid(r.signs, r.measured):
        yield "extent"
    if cup_unmeasured(r.signs, r.measured):
        yield "cupping"
    if r.surface.hazards.lead == "suspected":
        yield "lead"
    if r.surface.hazards.arsenical == "suspected":
        yield "preservative"
    # Nothing but a wash reaches the frame; over a film it is a stripper that a clean frame would allow.
    if r.surface.hazards.frame_arsenical == "suspected" and (route.wets or r.surface.state == "film"):
        yield "frame-preservative"
    if unnamed(r.old_coating):
        yield "old-coating"
    if (only_scuffs(route) and r.beading is None) or r.surface.untested or r.surface.beads is not None:
        yield "beading"
