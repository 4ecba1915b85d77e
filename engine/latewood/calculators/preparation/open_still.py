"""What nobody has said yet that may turn the choice of a route round: it is chosen on condition until then."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final, Literal, get_args

from latewood.calculators.preparation.comparison_reasons import Case
from latewood.calculators.preparation.eligibility import Surface, only_scuffs
from latewood.calculators.preparation.inputs import Inputs
from latewood.provenance import Ledger, Severity
from latewood.records import Route
from latewood.rules.sign_actions import Measured, cup_unmeasured, extent_unsaid
from latewood.rules.surface_layers import unnamed

Open = Literal["extent", "cupping", "lead", "preservative", "frame-preservative", "old-coating", "beading"]

#: What is asked, as words go on after "find out".
_ASKED: Final[Mapping[Open, str]] = {
    "extent": "how many boards are damaged",
    "cupping": "how deep the cupped boards are hollow and how wet they are below",
    "lead": "whether the old coating holds lead",
    "preservative": "whether the wood holds arsenic",
    "frame-preservative": "whether the frame holds arsenic",
    "old-coating": "which coating is on it now",
    "beading": "whether drops of water bead on the old coat",
}
#: Answers that may show that what is planned now harms somebody, or spoils the floor.
_GRAVE: Final[frozenset[Open]] = frozenset({"extent", "cupping", "lead", "preservative"})


def still_open(x: Inputs, surface: Surface, chosen: Case | None) -> tuple[Open, ...]:
    """Return what the chosen route rests on; nothing where none may be taken."""
    if chosen is None or chosen.standing == "forbidden":
        return ()
    found = set(_found(x, surface, chosen.route))
    return tuple(one for one in get_args(Open) if one in found)


def say_open(title: str, topics: tuple[Open, ...], ledger: Ledger) -> None:
    """Say on which condition a route is chosen."""
    if topics:
        severity: Severity = "warning" if _GRAVE & set(topics) else "note"
        message = (
            f"{title} is chosen on condition: its hours and what is bought for it rest on what is not known. The route "
            f"may change. Find out first {'; '.join(_ASKED[one] for one in topics)}."
        )
        ledger.find("route-on-condition", severity, message, topics=list(topics))


def condition_of(topics: tuple[Open, ...]) -> tuple[str, ...]:
    """Return the same as a reason beside a route."""
    return (f"on condition: find out first {'; '.join(_ASKED[one] for one in topics)}",) if topics else ()


def _found(x: Inputs, surface: Surface, route: Route) -> Iterator[Open]:
    measured = Measured(x.affected, x.underside_moisture, x.cup_depth)
    if extent_unsaid(x.signs, measured):
        yield "extent"
    if cup_unmeasured(x.signs, measured):
        yield "cupping"
    if surface.hazards.lead == "suspected":
        yield "lead"
    if surface.hazards.arsenical == "suspected":
        yield "preservative"
    # Nothing but a wash reaches the frame; over a film it is a stripper that a clean frame would allow.
    if surface.hazards.frame_arsenical == "suspected" and (route.wets or surface.state == "film"):
        yield "frame-preservative"
    if unnamed(x.old_coating):
        yield "old-coating"
    if only_scuffs(route) and x.beading is None:
        yield "beading"
