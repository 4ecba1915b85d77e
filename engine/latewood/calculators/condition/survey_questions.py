"""What has to be found out, and what waits for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from latewood.calculators.condition.compute import CARRYING, not_looked
from latewood.calculators.condition.inputs import NOT_REFINISHED, ConditionComponent
from latewood.calculators.condition.resolve import Resolved
from latewood.calculators.condition.result import Question, Topic
from latewood.messages import Clause, Word, clause
from latewood.rules.hazards import Years
from latewood.rules.hazards_found import Found
from latewood.rules.sign_actions import Measured, cup_unmeasured, extent_unsaid
from latewood.rules.surface_layers import unnamed

#: What waits where water runs over wood that may hold arsenic: boards, and the frame under them.
_WETTED: Final = ("washing-under-pressure", "bleach", "acids", "oxidisers", "caustics")
#: What waits where the wood itself is not worked on.
_UNWORKED: Final[dict[Topic, tuple[str, ...]]] = {"preservative": _WETTED}
#: Topic → question, how to find out, and what waits for the answer.
_TEXT: Final[dict[Topic, tuple[str, str, tuple[str, ...]]]] = {
    "wood": ("ask-wood", "how-wood", ("choice-of-finish", "moisture-limit", "abrasive-sequence", "exposure-to-dust")),
    "preservative": (
        "ask-preservative",
        "how-preservative",
        ("machine-sanding", *_WETTED, "disposal-of-dust-and-offcuts"),
    ),
    "old-coating": (
        "ask-old-coating",
        "how-old-coating",
        ("preparation-route", "disposal-of-dust", "choice-of-finish"),
    ),
    "lead": ("ask-lead", "how-lead", ("dry-machine-sanding", "scraping", "washing-under-pressure", "heat")),
    "structure": ("ask-structure", "how-structure", ("start-of-work", "price")),
    "flashing": ("ask-flashing", "how-flashing", ("work-on-wetted-wood", "finish-beside", "price")),
    "year": ("ask-year", "how-year", ("ruling-out-lead", "ruling-out-arsenic")),
    "jurisdiction": ("ask-jurisdiction", "how-jurisdiction", ("ruling-out-lead", "ruling-out-arsenic")),
    "cupping": ("ask-cupping", "how-cupping", ("preparation-route", "abrasive-sequence")),
    "extent": ("ask-extent", "how-extent", ("repair-or-replacement", "price")),
}


def questions(x: Resolved, hazards: Sequence[Found], stopped: Mapping[str, Clause]) -> tuple[Question, ...]:
    """Return the open questions of every component, each once."""
    asked: dict[str, Question] = {}
    unseen = {one.id for one in not_looked(x.components)} - set(stopped)
    for one, found, years in zip(x.components, hazards, x.years, strict=True):
        for topic in _topics(one, found, years, x.jurisdiction, unseen=one.id in unseen):
            id = f"{one.id}-{topic}"
            asked[id] = Question(
                id=id,
                component=one.id,
                topic=topic,
                question=clause(_TEXT[topic][0]),
                how=clause(_TEXT[topic][1]),
                blocks=tuple(clause("block", work=Word("blocked", work)) for work in _blocks(topic, one, found)),
            )
    return tuple(asked.values())


def _blocks(topic: Topic, one: ConditionComponent, found: Found) -> tuple[str, ...]:
    """Return what waits for the answer: of a year or a place only what is still to be ruled out."""
    if topic in ("year", "jurisdiction"):
        unsaid = one.old_coating is None and one.lead_test in (None, "not-tested")
        open_ = {"lead": found.lead == "suspected" or unsaid, "arsenic": found.arsenical == "suspected"}
        return tuple(f"ruling-out-{what}" for what, still in open_.items() if still)
    waits = _UNWORKED.get(topic, _TEXT[topic][2]) if one.part in NOT_REFINISHED else _TEXT[topic][2]
    if topic == "wood" and one.guessed and found.arsenical == "suspected" and one.treatment in (None, "none"):
        # Wood that is seldom treated rules arsenic out, where it is that for sure and nothing else is said of it.
        waits += _UNWORKED["preservative"] if one.part in NOT_REFINISHED else ("machine-sanding", *_WETTED)
    return waits


def _topics(
    one: ConditionComponent, found: Found, years: Years, jurisdiction: str | None, *, unseen: bool
) -> Iterator[Topic]:
    if unseen:
        yield "structure"
    if one.part in CARRYING and "water-under" in one.signs:
        yield "flashing"
    if one.material == "composite":
        return
    if (one.species is None or one.guessed) and one.part not in ("frame", "wall"):
        yield "wood"
    if found.arsenical == "suspected":
        yield "preservative"
    if found.lead == "suspected":
        yield "lead"
    if unnamed(one.old_coating) and one.part not in ("frame", "wall"):
        yield "old-coating"
    if "suspected" in (found.arsenical, found.lead):
        if years.built is None:
            yield "year"
        if jurisdiction is None:
            yield "jurisdiction"
    measured = Measured(one.affected, one.underside_moisture, one.cup_depth)
    if one.part == "boards" and cup_unmeasured(one.signs, measured):
        yield "cupping"
    if one.part == "boards" and extent_unsaid(one.signs, measured):
        yield "extent"
