"""What has to be found out, and what waits for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from latewood.calculators.condition.compute import CARRYING, not_looked
from latewood.calculators.condition.inputs import NOT_REFINISHED, ConditionComponent
from latewood.calculators.condition.resolve import Resolved
from latewood.calculators.condition.result import Question
from latewood.rules.hazards import Years
from latewood.rules.hazards_found import Found
from latewood.rules.sign_actions import Measured, cup_unmeasured, extent_unsaid
from latewood.rules.surface_layers import unnamed

#: What waits where water runs over wood that may hold arsenic: boards, and the frame under them.
_WETTED: Final = ("washing under pressure", "bleach", "acids", "oxidisers", "caustics")
#: What waits where the wood itself is not worked on.
_UNWORKED: Final = {"preservative": _WETTED}
_TEXT: Final[dict[str, tuple[str, str, tuple[str, ...]]]] = {
    "wood": (
        "Which wood is it?",
        "Take a cut end to a timber yard, or a shaving and its weight in water; name a group until then.",
        ("choice of finish", "moisture limit", "abrasive sequence", "exposure to its dust"),
    ),
    "preservative": (
        "Does the wood hold a preservative, and which?",
        "Look for an end tag, or have a test stain or a laboratory look for arsenic; say how it is known.",
        ("machine sanding", *_WETTED, "disposal of dust and offcuts"),
    ),
    "old-coating": (
        "Which coating is on it now?",
        "A drop of water, a rag with solvent, and a scraped edge: an oil darkens, a film lifts in flakes.",
        ("preparation route", "disposal of dust", "choice of finish"),
    ),
    "lead": (
        "Does the old coating hold lead?",
        "Have it tested by the person the rule of the place names, walls, trim and guards too; give the result.",
        ("dry machine sanding", "scraping", "washing under pressure", "heat"),
    ),
    "structure": (
        "Are ledger, joists, posts, guards and stairs sound and their fasteners free of rust?",
        "Probe with an awl, lean on the guards, look behind the ledger and at every hanger and post foot.",
        ("start of work", "price"),
    ),
    "flashing": (
        "Where does the water come from, and what keeps it off the structure?",
        "Look for flashing over the ledger, tape on joists, drainage at post feet; hose the wall and watch.",
        ("work on the wood it wets", "finish beside it", "price"),
    ),
    "year": (
        "In which year was it built?",
        "Building permit, deed, date stamps on hangers; the house and the deck may differ.",
        ("ruling out lead", "ruling out arsenic"),
    ),
    "jurisdiction": (
        "In which country and state does it stand?",
        "Years that rule lead and arsenic out differ from country to country.",
        ("ruling out lead", "ruling out arsenic"),
    ),
    "cupping": (
        "How deep are the hollows of the cupped boards, and how wet are their undersides?",
        "Lay a straight edge across a board and measure under it; read the underside with a meter.",
        ("preparation route", "abrasive sequence"),
    ),
    "extent": (
        "How many boards are damaged?",
        "Walk the floor with an awl and mark them.",
        ("repair or replacement", "price"),
    ),
}


def questions(x: Resolved, hazards: Sequence[Found], stopped: Mapping[str, str]) -> tuple[Question, ...]:
    """Return the open questions of every component, each once."""
    asked: dict[str, Question] = {}
    unseen = {one.id for one in not_looked(x.components)} - set(stopped)
    for one, found, years in zip(x.components, hazards, x.years, strict=True):
        for topic in _topics(one, found, years, x.jurisdiction, unseen=one.id in unseen):
            text, how, _ = _TEXT[topic]
            blocks = _blocks(topic, one, found)
            id = f"{one.id}-{topic}"
            asked[id] = Question(id=id, component=one.id, topic=topic, question=text, how=how, blocks=blocks)
    return tuple(asked.values())


def _blocks(topic: str, one: ConditionComponent, found: Found) -> tuple[str, ...]:
    """Return what waits for the answer: of a year or a place only what is still to be ruled out."""
    if topic in ("year", "jurisdiction"):
        unsaid = one.old_coating is None and one.lead_test in (None, "not-tested")
        open_ = {"lead": found.lead == "suspected" or unsaid, "arsenic": found.arsenical == "suspected"}
        return tuple(f"ruling out {what}" for what, still in open_.items() if still)
    waits = _UNWORKED.get(topic, _TEXT[topic][2]) if one.part in NOT_REFINISHED else _TEXT[topic][2]
    if topic == "wood" and one.guessed and found.arsenical == "suspected" and one.treatment in (None, "none"):
        # Wood that is seldom treated rules arsenic out, where it is that for sure and nothing else is said of it.
        waits += _UNWORKED["preservative"] if one.part in NOT_REFINISHED else ("machine sanding", *_WETTED)
    return waits


def _topics(
    one: ConditionComponent, found: Found, years: Years, jurisdiction: str | None, *, unseen: bool
) -> Iterator[Any]:
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
