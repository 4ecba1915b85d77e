"""What may be washed on wood that may hold arsenic, or over a frame that may: detergent and water, by hand.

IRG/WP 99-50128: acids raise losses from arsenical wood, strong oxidisers set soluble hexavalent chromium free.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from latewood.messages import Clause, Word, clause
from latewood.records import WashAgent
from latewood.records.wash import ACTS, Act
from latewood.rules.hazards_found import Found
from latewood.rules.wash_recipe import Forbidden

#: What an addition to a mix acts as.
_ADDED: Final[Mapping[str, Act]] = {
    "acid": "acid",
    "ammonia": "caustic",
    "hypochlorite": "oxidiser",
    "peroxide": "oxidiser",
}
#: What each does to arsenical wood, where the record of an agent does not say it.
_HARM: Final[Mapping[Act, str]] = {
    "acid": "acid-frees-metals",
    "oxidiser": "oxidiser-frees-chromium",
    "caustic": "caustic-loosens-metals",
}


@dataclass(frozen=True)
class Reached:
    """Wood that nothing but detergent and water may reach: what it is, and how the stops about it end."""

    what: Clause
    on: str

    def stop(self, act: str) -> str:
        """Return the id of the stop for a chemical, bleach or pressure."""
        return f"{act}-{self.on}"


def reached(found: Found) -> Reached | None:
    """Return the boards, or the frame under them, that only detergent and water may reach; None where all may."""
    if found.arsenical != "no":
        what = clause("wood-holds-arsenic" if found.arsenical == "yes" else "wood-may-hold-arsenic")
        return Reached(what, "on-arsenical")
    if found.frame_arsenical != "no":
        what = clause("frame-holds-arsenic" if found.frame_arsenical == "yes" else "frame-may-hold-arsenic")
        return Reached(what, "on-arsenical")
    if found.frame is not None and found.frame.no_work():
        what = clause("frame-treated-with", treatment=Word("treatment", found.frame.counted))
        return Reached(what, "over-frame")
    return None


def harms(agent: WashAgent, mixed_with: tuple[str, ...] = ()) -> Iterator[tuple[Act, Clause]]:
    """Yield what an agent and its additions act as on such wood, each with what it does."""
    said = {one.id: agent.recorded(one.message, "acts_as", one.id, "message") for one in agent.acts_as}
    acts = [*said, *ACTS.get(agent.chemistry, ()), *(_ADDED[one] for one in mixed_with if one in _ADDED)]
    for act in dict.fromkeys(acts):
        yield act, said[act] if act in said else clause(_HARM[act])


def forbidden_on(found: Found) -> Forbidden:
    """Return the rule that keeps agents out of a recipe here."""
    here = reached(found)

    def forbidden(agent: WashAgent) -> Clause | None:
        why = None if here is None else next(harms(agent), None)
        return None if why is None or here is None else clause("agent-kept-out", what=here.what, harm=why[1])

    return forbidden


def by_hand(found: Found) -> bool:
    """Say whether only a hose and a brush may be used: no jet where lead or arsenic is not ruled out."""
    return found.lead != "no" or reached(found) is not None
