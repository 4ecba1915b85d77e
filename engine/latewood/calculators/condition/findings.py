"""The gate of one component, refinish it or what stands before that, and what is said of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from latewood.calculators.condition.compute import CARRYING
from latewood.calculators.condition.inputs import NOT_REFINISHED, ComponentPart, ConditionComponent
from latewood.calculators.condition.result import NOTHING_AGAINST, Gate, Question
from latewood.messages import Clause, Count, Length, Limit, Name, Share, Titled, Word, clause
from latewood.provenance import Ledger, Severity, Sourced
from latewood.records import ConditionRule
from latewood.rules.hazards import Years
from latewood.rules.hazards_found import Found, note_found
from latewood.rules.preservatives import uses_of
from latewood.rules.sign_actions import ROTTEN, Measured, at_least, extent_unknown, look, mostly_damaged, wet_below
from latewood.rules.signs import DECAY, MOVING
from latewood.rules.wording import place
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Gates that say by a finding of their own name what has to be done first.
_FIRST: Final[frozenset[Gate]] = frozenset({"replace", "fix-cause-first"})
#: What is done at once where a piece is missing of what keeps people from falling, or bears them.
_WITHOUT: Final[dict[ComponentPart, str]] = {"guard": "guardrail-first", "stair": "close-off-first"}


@dataclass(frozen=True)
class Part:
    """A component and what it is judged by: the rule, hazards, and doubts about structure."""

    one: ConditionComponent
    rule: ConditionRule
    hazards: Found
    pointer: str
    doubt: Clause | None
    #: Why it is out of reach, where people are kept off the floor they would work on it from.
    unreached: Clause | None
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

    def add(self, id: str, *, text: str | None = None, severity: Severity | None = None, **values: Any) -> None:
        """Add a finding of this component, which begins with its name."""
        name, ledger = self.one.id, self.ledger
        params = {"component": name}
        ledger.find(id, severity, text=text, pointer=self.pointer, params=params, component=Name(name), **values)

    def over(self, given: float | None, limit: Sourced) -> bool:
        """Say whether something measured is at its limit or over."""
        return given is not None and at_least(given, self.ledger.value(limit))


def gate_of(by: Part) -> tuple[Gate, tuple[Clause, ...]]:
    """Return the gate, the first of structure, material, cause and damage that stands before refinishing, and why."""
    found = list(_reasons(by))
    gate: Gate = next((gate for gate, _ in found), "refinish")
    if gate in _FIRST:
        by.add(gate, why=found[0][1])
    reasons = (*(reason for _, reason in found), *_signs(by, gate))
    return gate, reasons or (*_hazards(by), *_open(by)) or (NOTHING_AGAINST,)


def _open(by: Part) -> Iterator[Clause]:
    """Yield what is still asked of it, where nothing else stands against it: silence is no proof."""
    topics = [
        Word("topic", topic) for topic in by.asked if topic not in ("lead", "preservative", "year", "jurisdiction")
    ]
    if topics:
        yield clause("not-known-yet", topics=topics)


def _hazards(by: Part) -> Iterator[Clause]:
    """Yield what may be in it, where nothing else stands against it: none of that can be seen."""
    yield from by.hazards.not_sanded(None)


def _reasons(by: Part) -> Iterator[tuple[Gate, Clause]]:
    one = by.one
    if by.doubt is not None:
        gone = "missing" in one.signs and one.part in _WITHOUT
        by.add("stop-structure", why=by.doubt, first=clause(_WITHOUT[one.part] if gone else "competent-person-first"))
        yield "stop-structure", by.doubt
    if by.unreached is not None:
        by.add("stop-structure", text="stop-structure-unreached", why=by.unreached)
        yield "stop-structure", by.unreached
    if (why := by.hazards.no_work) is not None:
        yield "stop-hazard", clause("no-work-planned", why=why)
        return
    if one.material == "composite":
        by.add("composite-refused")
        yield "refused", clause("composite-not-refinished")
        return
    if one.part in NOT_REFINISHED:
        yield from _water_at(by)
        if "structure" in by.asked:
            yield "not-looked", clause("not-looked-at-yet")
        else:
            yield "leave", clause("looked-at-only")
        return
    yield from _cause(by)
    if by.left is not None and spread.central(by.left) <= 0:
        yield "replace", clause("no-board-left")
    yield from _damage(by)
    if not by.stopped:
        _fasteners(by)


def _water_at(by: Part) -> Iterator[tuple[Gate, Clause]]:
    """Find water at what carries the floor: it rots out of sight, however sound it looks today."""
    wet = by.over(by.one.underside_moisture, by.rule.decay_moisture)
    if by.one.part not in CARRYING or not (wet or "water-under" in by.one.signs):
        return
    reason = clause("at-decay-moisture" if wet else "water-at-it")
    by.add("water-at-structure", why=reason)
    yield "fix-cause-first", reason


def _signs(by: Part, gate: Gate) -> Iterator[Clause]:
    """Yield what comes of each sign; of what is not refinished, that it is left as it is."""
    left, acid = gate in ("refused", "leave", "not-looked", "stop-hazard"), by.hazards.arsenical == "no"
    for sign in dict.fromkeys(by.one.signs):
        if left:
            yield clause("sign-left", sign=Word("sign", sign))
        else:
            yield clause("sign-means", sign=Word("sign", sign), what=look(sign, by.one.part, acid=acid))


def _cause(by: Part) -> Iterator[tuple[Gate, Clause]]:
    """Find water that comes from below or stays between boards: no sander cures it."""
    one, rule = by.one, by.rule
    if (seen := wet_below(one.signs, by.measured, rule, by.ledger)) is not None:
        more = [clause("cups-of-wet")] if "cupping" in one.signs else []
        by.add("wet-underside", why=seen, more=more)
        yield "fix-cause-first", seen
    if one.gap is not None and one.gap <= by.ledger.value(rule.trap_gap) * (1 + 1e-9):
        by.add("gap-traps-water", gap=Length(one.gap), limit=_limit(rule.trap_gap))
        if "cupping" in one.signs:
            yield "fix-cause-first", clause("tight-gaps-cup")
    if by.over(one.check_depth, rule.deep_check):
        by.add("deep-checks")


def _limit(number: Sourced) -> Limit:
    return Limit(number.given, Length(number.si))


def _damage(by: Part) -> Iterator[tuple[Gate, Clause]]:
    one, rule = by.one, by.rule
    failing = [Word("sign", sign) for sign in one.signs if sign in DECAY | MOVING]
    gone = mostly_damaged(by.measured, rule, by.ledger)
    if gone is not None:
        yield "replace", gone
    elif one.part != "boards" and extent_unknown(one.signs, by.measured):
        # Boards are held up with their route until their damage is counted; these have none.
        rotten = [Word("sign", sign) for sign in one.signs if sign in ROTTEN]
        yield "replace", clause("extent-not-known", signs=rotten)
    elif failing or one.affected:
        share = clause("share-damaged", share=Share(one.affected or 0.0))
        yield "repair-some", clause("damaged-out-first", what=clause("seen-signs", signs=failing) if failing else share)
    if "missing" in one.signs:
        yield from _missing(by, whole=not (gone or by.stopped))
    if by.over(one.furrow_depth, rule.furrow):
        by.add("furrows-too-deep", limit=_limit(rule.furrow))
        yield "repair-some", clause("furrows-beyond-sanding")
    if by.over(one.cup_depth, rule.cup):
        by.add("cup-too-deep", text="component-cup-too-deep")
        yield "repair-some", clause("cupped-beyond-sanding")


def _missing(by: Part, *, whole: bool) -> Iterator[tuple[Gate, Clause]]:
    """Say what a missing piece means, but for what the stop says: ``whole`` is whether the part is worked on at all."""
    floor = by.one.part == "boards"
    do = [clause("cover-hole-now")] if floor else []
    if whole:
        do.append(clause("new-piece-first"))
        yield "repair-some", clause("missing-put-in")
    if do:
        by.add("missing-pieces", severity="danger" if floor else "warning", do=do)


def _fasteners(by: Part) -> None:
    if by.cover is not None and spread.low(by.cover) < by.ledger.value(by.rule.cover) * (1 - 1e-9):
        by.add("cover-too-thin", text="component-cover-too-thin", limit=_limit(by.rule.cover))
    if proud := [Word("sign", sign) for sign in by.one.signs if sign.endswith("-fasteners")]:
        by.add("fasteners-first", text="component-fasteners-first", signs=proud)


def new_boards(by: Part) -> None:
    """Say that new boards show beside old ones, and for how long."""
    by.add("new-boards-blend")


def hazards_found(one: ConditionComponent, years: Years, found: Found, pointer: str) -> None:
    """Say what was reported, and where the year of building proves nothing or is the very year things changed."""
    built, region, ledger = years.built, years.region, years.ledger
    if "suspected" in (found.arsenical, found.lead) and region is not None and built is not None:
        until, before = years.arsenical_until(uses_of(one.part, carriers=one.carriers)), region.lead_paint_before
        plain, component = {"region": region.id}, Name(one.id)
        for day, id, suspected in (
            (until, "no-year-for-arsenic", found.arsenical),
            (before, "no-year-for-lead", found.lead),
        ):
            if suspected == "suspected" and day is None:
                ledger.find(id, pointer=pointer, params=plain, region=Titled(region), component=component)
        if found.arsenical == "suspected" and until is not None and built == until.si - 1:
            ledger.find("change-over-year", pointer=pointer, params=plain, component=component, built=Count(built))
    note_found(found, years, ledger, pointer, place(one.id), component=one.id)


def questions_open(asked: Sequence[Question], ledger: Ledger) -> None:
    """Say what is open in one finding, as a warning where people may be harmed before it is answered."""
    if not asked:
        return
    topics = list(dict.fromkeys(question.topic for question in asked))
    harm = {"structure", "flashing", "lead", "preservative"} & set(topics)
    ledger.find(
        "questions-open",
        severity="warning" if harm else "note",
        pointer="/components",
        params={"topics": topics},
        open=[clause("topic", topic=Word("topic", topic)) for topic in topics],
        blocks=[block for question in asked for block in question.blocks],
    )
