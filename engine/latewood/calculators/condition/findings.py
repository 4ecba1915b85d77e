"""The gate of one component, refinish it or what stands before that, and what is said of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from latewood.calculators.condition.compute import CARRYING
from latewood.calculators.condition.inputs import NOT_REFINISHED, ComponentPart, ConditionComponent
from latewood.calculators.condition.result import NOTHING_AGAINST, Gate, Question
from latewood.messages import in_english
from latewood.provenance import Ledger, Severity, Sourced
from latewood.quantities import units
from latewood.records import ConditionRule
from latewood.rules.hazards import Years
from latewood.rules.hazards_found import Found, note_found
from latewood.rules.preservatives import uses_of
from latewood.rules.sign_actions import ROTTEN, Measured, at_least, extent_unknown, look, mostly_damaged, wet_below
from latewood.rules.signs import DECAY, MOVING
from latewood.rules.wording import place, words
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Gates that say by a finding of their own name what has to be done first.
_FIRST: Final[Mapping[Gate, str]] = {
    "replace": "Replace it first.",
    "fix-cause-first": "Find the cause and mend it first.",
}
#: What is done at once where a piece is missing of what keeps people from falling, or bears them.
_WITHOUT: Final[Mapping[ComponentPart, str]] = {
    "guard": "Put up a temporary guardrail now",
    "stair": "Close it off now",
}


@dataclass(frozen=True)
class Part:
    """A component and what it is judged by: the rule, hazards, and doubts about structure."""

    one: ConditionComponent
    rule: ConditionRule
    hazards: Found
    pointer: str
    doubt: str | None
    #: Why it is out of reach, where people are kept off the floor they would work on it from.
    unreached: str | None
    cover: Number | None
    left: Number | None
    ledger: Ledger
    #: What is still asked of it, by topic.
    asked: tuple[str, ...] = ()

    @property
    def stopped(self) -> bool:
        """Whether nothing is planned for it: what it would need before a finish is not said of it then."""
        return self.doubt is not None or self.unreached is not None

    @property
    def measured(self) -> Measured:
        """What was measured of damage."""
        return Measured(self.one.affected, self.one.underside_moisture, self.one.cup_depth)

    def find(self, id: str, severity: Severity, message: str) -> None:
        """Add a finding of this component, which begins with its name."""
        name = self.one.id
        self.ledger.find(id, severity, f"{name}: {message}", pointer=self.pointer, component=name)

    def over(self, given: float | None, limit: Sourced) -> bool:
        """Say whether something measured is at its limit or over."""
        return given is not None and at_least(given, self.ledger.value(limit))


def gate_of(by: Part) -> tuple[Gate, tuple[str, ...]]:
    """Return the gate, the first of structure, material, cause and damage that stands before refinishing, and why."""
    found = list(_reasons(by))
    gate: Gate = next((gate for gate, _ in found), "refinish")
    if gate in _FIRST:
        by.find(gate, "stop", f"{found[0][1]}. {_FIRST[gate]} Nothing is planned for it before that.")
    reasons = (*(reason for _, reason in found), *_signs(by, gate))
    return gate, reasons or (*_hazards(by), *_open(by)) or (NOTHING_AGAINST,)


def _open(by: Part) -> Iterator[str]:
    """Yield what is still asked of it, where nothing else stands against it: silence is no proof."""
    topics = [topic for topic in by.asked if topic not in ("lead", "preservative", "year", "jurisdiction")]
    if topics:
        yield f"not known yet: {words(topics)}"


def _hazards(by: Part) -> Iterator[str]:
    """Yield what may be in it, where nothing else stands against it: none of that can be seen."""
    reasons = [in_english(why) for why in by.hazards.not_sanded(None)]
    yield from reasons
    if by.hazards.lead != "no" and not any("lead" in why for why in reasons):
        yield "the old coating holds lead" if by.hazards.lead == "yes" else "lead is not ruled out"


def _reasons(by: Part) -> Iterator[tuple[Gate, str]]:
    one = by.one
    if by.doubt is not None:
        first = "A competent person looks first"
        if "missing" in one.signs and one.part in _WITHOUT:
            first = f"{_WITHOUT[one.part]}, and have what is missing put back first"
        message = f"{by.doubt}. {first}; nothing is planned or priced for it before that."
        by.find("stop-structure", "stop", message)
        yield "stop-structure", by.doubt
    if by.unreached is not None:
        message = f"{by.unreached}. Make that floor safe first; nothing is planned or priced for it before that."
        by.find("stop-structure", "stop", message)
        yield "stop-structure", by.unreached
    if by.hazards.no_work is not None:
        why = in_english(by.hazards.no_work)
        yield "stop-hazard", f"{why[0].lower()}{why[1:]}: no work is planned on it"
        return
    if one.material == "composite":
        message = f"{one.id} is composite: it takes up no finish, and sanding cuts its cap. What is of wood is planned."
        by.ledger.find("composite-refused", "warning", message, pointer=by.pointer, component=one.id)
        yield "refused", "composite is not refinished like wood"
        return
    if one.part in NOT_REFINISHED:
        yield from _water_at(by)
        if "structure" in by.asked:
            yield "not-looked", "it was not looked at yet"
        else:
            yield "leave", "it is looked at, not refinished"
        return
    yield from _cause(by)
    if by.left is not None and spread.central(by.left) <= 0:
        yield "replace", "nothing would be left of the board where it is furrowed"
    yield from _damage(by)
    if not by.stopped:
        _fasteners(by)


def _water_at(by: Part) -> Iterator[tuple[Gate, str]]:
    """Find water at what carries the floor: it rots out of sight, however sound it looks today."""
    wet = by.over(by.one.underside_moisture, by.rule.decay_moisture)
    if by.one.part not in CARRYING or not (wet or "water-under" in by.one.signs):
        return
    reason = "it is at decay moisture" if wet else "water stands on it or runs behind it"
    message = (
        f"{reason}. Wood that stays wet rots out of sight. Have its flashing, tape and drainage looked at and mended "
        "before any finish."
    )
    by.find("water-at-structure", "danger", message)
    yield "fix-cause-first", reason


def _signs(by: Part, gate: Gate) -> Iterator[str]:
    """Yield what comes of each sign; of what is not refinished, that it is left as it is."""
    left, acid = gate in ("refused", "leave", "not-looked", "stop-hazard"), by.hazards.arsenical == "no"
    for sign in dict.fromkeys(by.one.signs):
        said = "seen, and left as it is" if left else in_english(look(sign, by.one.part, acid=acid))
        yield f"{words([sign])}: {said}"


def _cause(by: Part) -> Iterator[tuple[Gate, str]]:
    """Find water that comes from below or stays between boards: no sander cures it."""
    one, rule = by.one, by.rule
    if (below := wet_below(one.signs, by.measured, rule, by.ledger)) is not None:
        seen = in_english(below)
        cups = " The boards cup because their undersides stay wet." if "cupping" in one.signs else ""
        message = (
            f"{seen}. Lead the water away and let air under first: sanding does not cure it, and what is sanded flat "
            f"now cups again.{cups}"
        )
        by.find("wet-underside", "warning", message)
        yield "fix-cause-first", seen
    if one.gap is not None and one.gap <= by.ledger.value(rule.trap_gap) * (1 + 1e-9):
        shown = f"{units.show(one.gap, 'mm', 'length'):.3g} mm"
        message = f"gaps of {shown} hold water ({rule.trap_gap.given} or less); joints there stay wet longest."
        by.find("gap-traps-water", "warning", message)
        if "cupping" in one.signs:
            yield "fix-cause-first", "tight gaps hold water, and the boards cup"
    if by.over(one.check_depth, rule.deep_check):
        message = "checks this deep stay wet inside for days; widen every drying time, and look for rot in them."
        by.find("deep-checks", "warning", message)


def _damage(by: Part) -> Iterator[tuple[Gate, str]]:
    one, rule = by.one, by.rule
    failing = [sign for sign in one.signs if sign in DECAY | MOVING]
    gone = mostly_damaged(by.measured, rule, by.ledger)
    if gone is not None:
        yield "replace", in_english(gone)
    elif one.part != "boards" and extent_unknown(one.signs, by.measured):
        # Boards are held up with their route until their damage is counted; these have none.
        yield "replace", f"{words(sign for sign in one.signs if sign in ROTTEN)}: how far it goes is not known"
    elif failing or one.affected:
        what = words(failing) or f"{one.affected:.0%} is damaged"
        yield "repair-some", f"damaged pieces come out first: {what}"
    if "missing" in one.signs:
        yield from _missing(by, whole=not (gone or by.stopped))
    if by.over(one.furrow_depth, rule.furrow):
        message = (
            f"furrows this deep do not sand out ({rule.furrow.given} at most). Turn the boards, replace them, or keep "
            "an opaque finish; more washing only deepens them."
        )
        by.find("furrows-too-deep", "warning", message)
        yield "repair-some", "furrows deeper than anybody sands out: turn or replace those boards"
    if by.over(one.cup_depth, rule.cup):
        message = "hollows this deep are not sanded flat; find the cause, then turn or replace those boards."
        by.find("cup-too-deep", "warning", message)
        yield "repair-some", "boards cupped deeper than a sander takes out"


def _missing(by: Part, *, whole: bool) -> Iterator[tuple[Gate, str]]:
    """Say what a missing piece means, but for what the stop says: ``whole`` is whether the part is worked on at all."""
    floor = by.one.part == "boards"
    said = ["People and tools fall through the hole: cover it now."] if floor else []
    if whole:
        said.append("Put a new one in before the finish.")
        yield "repair-some", "missing pieces are put in first"
    if said:
        by.find("missing-pieces", "danger" if floor else "warning", f"a piece is missing. {' '.join(said)}")


def _fasteners(by: Part) -> None:
    if by.cover is not None and spread.low(by.cover) < by.ledger.value(by.rule.cover) * (1 - 1e-9):
        message = (
            f"after the planned removal too little wood is left above the fasteners ({by.rule.cover.given} is asked "
            "for). Set them deeper first; where they cannot go deeper, sanding is out."
        )
        by.find("cover-too-thin", "warning", message)
    if proud := [sign for sign in by.one.signs if sign.endswith("-fasteners")]:
        message = f"fasteners are seen to first ({', '.join(proud)}): a proud head destroys discs and sparks."
        by.find("fasteners-first", "note", message)


def new_boards(by: Part) -> None:
    """Say that new boards show beside old ones, and for how long."""
    message = (
        "new boards show beside old ones until sun and rain have evened them. Sanding all to sound wood brings them "
        "closest; a pigmented finish hides most of the rest. New boards need no wait of their own once dry."
    )
    by.find("new-boards-blend", "note", message)


def hazards_found(one: ConditionComponent, years: Years, found: Found, pointer: str) -> None:
    """Say what was reported, and where the year of building proves nothing or is the very year things changed."""
    built, region, ledger = years.built, years.region, years.ledger
    if "suspected" in (found.arsenical, found.lead) and region is not None and built is not None:
        until, before = years.arsenical_until(uses_of(one.part, carriers=one.carriers)), region.lead_paint_before
        for day, what, suspected in ((until, "arsenic", found.arsenical), (before, "lead", found.lead)):
            if suspected == "suspected" and day is None:
                message = f"{region.title}: no year rules {what} out, however new {one.id} is; have it tested."
                ledger.find(f"no-year-for-{what}", "note", message, pointer=pointer, region=region.id)
        if found.arsenical == "suspected" and until is not None and built == until.si - 1:
            message = f"{one.id} was built in {built}, when arsenical stock was being used up: it counts as suspect."
            ledger.find("change-over-year", "note", message, pointer=pointer, region=region.id)
    note_found(found, years, ledger, pointer, place(one.id), component=one.id)


def questions_open(asked: Sequence[Question], ledger: Ledger) -> None:
    """Say what is open in one finding, as a warning where people may be harmed before it is answered."""
    if not asked:
        return
    topics = list(dict.fromkeys(question.topic for question in asked))
    harm = {"structure", "flashing", "lead", "preservative"} & set(topics)
    blocks = list(dict.fromkeys(block for question in asked for block in question.blocks))
    message = f"Still open: {', '.join(topic.replace('-', ' ') for topic in topics)}. It holds up {', '.join(blocks)}."
    ledger.find("questions-open", "warning" if harm else "note", message, pointer="/components", topics=topics)
