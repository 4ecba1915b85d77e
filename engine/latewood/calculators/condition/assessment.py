"""The gate of one component: refinish it, or what stands before that."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from latewood.calculators.condition.fields import (
    NOT_REFINISHED,
    ComponentGate,
    ComponentPart,
    ConditionComponent,
    Gate,
    Matching,
)
from latewood.calculators.condition.structure import CARRYING
from latewood.formulas import remaining
from latewood.provenance import Ledger, Severity, Sourced
from latewood.quantities import units
from latewood.records import ConditionRule
from latewood.rules.hazards_found import Found
from latewood.rules.sign_actions import (
    ROTTEN,
    Measured,
    at_least,
    extent_unknown,
    look,
    mostly_damaged,
    wet_below,
)
from latewood.rules.signs import DECAY, MOVING
from latewood.rules.wording import words
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

_NOTHING: Final = "nothing that was seen stands against it"
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
class Grounds:
    """What a component is judged by: the rule, hazards, and doubts about structure."""

    rule: ConditionRule
    hazards: Found
    pointer: str
    doubt: str | None = None
    #: Why it is out of reach, where people are kept off the floor they would work on it from.
    unreached: str | None = None

    @property
    def stopped(self) -> bool:
        """Whether nothing is planned for it: what it would need before a finish is not said of it then."""
        return self.doubt is not None or self.unreached is not None


def judge(one: ConditionComponent, by: Grounds, ledger: Ledger) -> ComponentGate:
    """Return the gate: the first of structure, material, cause and damage that stands before refinishing."""
    cover = _cover(one, by, ledger)
    left = _thickness(one, ledger)
    reasons = list(_reasons(one, by, cover, left, ledger))
    gate: Gate = next((gate for gate, _ in reasons), "refinish")
    if gate in _FIRST:
        message = f"{one.id}: {reasons[0][1]}. {_FIRST[gate]} Nothing is planned for it before that."
        ledger.find(gate, "stop", message, pointer=by.pointer, component=one.id)
    matching, time = _new_boards(one, by, ledger) if gate in ("refinish", "repair-some") else (None, None)
    return ComponentGate(
        id=one.id,
        part=one.part,
        gate=gate,
        reasons=(*(reason for _, reason in reasons), *_signs(one, by, gate)) or (_NOTHING,),
        arsenical=by.hazards.arsenical,
        lead_paint=by.hazards.lead,
        cover_left=cover,
        thickness_left=left,
        matching=matching,
        blending_time=time,
    )


def _reasons(
    one: ConditionComponent, by: Grounds, cover: Number | None, left: Number | None, ledger: Ledger
) -> Iterator[tuple[Gate, str]]:
    if by.doubt is not None:
        first = "A competent person looks first"
        if "missing" in one.signs and one.part in _WITHOUT:
            first = f"{_WITHOUT[one.part]}, and have what is missing put back first"
        message = f"{one.id}: {by.doubt}. {first}; nothing is planned or priced for it before that."
        ledger.find("stop-structure", "stop", message, pointer=by.pointer, component=one.id)
        yield "stop-structure", by.doubt
    if by.unreached is not None:
        message = (
            f"{one.id}: {by.unreached}. Make that floor safe first; nothing is planned or priced for it before that."
        )
        ledger.find("stop-structure", "stop", message, pointer=by.pointer, component=one.id)
        yield "stop-structure", by.unreached
    if why := by.hazards.no_work:
        yield "stop-hazard", f"{why[0].lower()}{why[1:]}: no work is planned on it"
        return
    if one.material == "composite":
        message = f"{one.id} is composite: it takes up no finish, and sanding cuts its cap. What is of wood is planned."
        ledger.find("composite-refused", "warning", message, pointer=by.pointer, component=one.id)
        yield "refused", "composite is not refinished like wood"
        return
    if one.part in NOT_REFINISHED:
        yield from _water_at(one, by, ledger)
        yield "leave", "it is looked at, not refinished"
        return
    yield from _cause(one, by, ledger)
    if left is not None and spread.central(left) <= 0:
        yield "replace", "nothing would be left of the board where it is furrowed"
    yield from _damage(one, by, ledger)
    if not by.stopped:
        _say_fasteners(one, by, cover, ledger)


def _water_at(one: ConditionComponent, by: Grounds, ledger: Ledger) -> Iterator[tuple[Gate, str]]:
    """Find water at what carries the floor: it rots out of sight, however sound it looks today."""
    wet = _over(one.underside_moisture, by.rule.decay_moisture, ledger)
    if one.part not in CARRYING or not (wet or "water-under" in one.signs):
        return
    reason = "it is at decay moisture" if wet else "water stands on it or runs behind it"
    message = (
        f"{one.id}: {reason}. Wood that stays wet rots out of sight. Have its flashing, tape and drainage looked at "
        "and mended before any finish."
    )
    ledger.find("water-at-structure", "danger", message, pointer=by.pointer, component=one.id)
    yield "fix-cause-first", reason


def _signs(one: ConditionComponent, by: Grounds, gate: Gate) -> Iterator[str]:
    """Yield what comes of each sign; of what is not refinished, that it is left as it is."""
    for sign in dict.fromkeys(one.signs):
        left = gate in ("refused", "leave")
        said = "seen, and left as it is" if left else look(sign, one.part, acid=by.hazards.arsenical == "no")
        yield f"{words([sign])}: {said}"


def _cause(one: ConditionComponent, by: Grounds, ledger: Ledger) -> Iterator[tuple[Gate, str]]:
    """Find water that comes from below or stays between boards: no sander cures it."""
    if seen := wet_below(one.signs, _measured(one), by.rule, ledger):
        cups = " The boards cup because their undersides stay wet." if "cupping" in one.signs else ""
        message = (
            f"{one.id}: {seen}. Lead the water away and let air under first: sanding does not cure it, and what is "
            f"sanded flat now cups again.{cups}"
        )
        ledger.find("wet-underside", "warning", message, pointer=by.pointer, component=one.id)
        yield "fix-cause-first", seen
    if one.gap is not None and one.gap <= spread.value(ledger.take(by.rule.trap_gap)) * (1 + 1e-9):
        shown = f"{units.show(one.gap, 'mm', 'length'):.3g} mm"
        message = (
            f"{one.id}: gaps of {shown} hold water ({by.rule.trap_gap.given} or less); joints there stay wet longest."
        )
        ledger.find("gap-traps-water", "warning", message, pointer=by.pointer, component=one.id)
        if "cupping" in one.signs:
            yield "fix-cause-first", "tight gaps hold water, and the boards cup"
    if _over(one.check_depth, by.rule.deep_check, ledger):
        message = (
            f"{one.id}: checks this deep stay wet inside for days; widen every drying time, and look for rot in them."
        )
        ledger.find("deep-checks", "warning", message, pointer=by.pointer, component=one.id)


def _damage(one: ConditionComponent, by: Grounds, ledger: Ledger) -> Iterator[tuple[Gate, str]]:
    failing = [sign for sign in one.signs if sign in DECAY | MOVING]
    gone = mostly_damaged(_measured(one), by.rule, ledger)
    if gone:
        yield "replace", gone
    elif one.part != "boards" and extent_unknown(one.signs, _measured(one)):
        # Boards are held up with their route until their damage is counted; these have none.
        yield "replace", f"{words(sign for sign in one.signs if sign in ROTTEN)}: how far it goes is not known"
    elif failing or one.affected:
        what = words(failing) or f"{one.affected:.0%} is damaged"
        yield "repair-some", f"damaged pieces come out first: {what}"
    if "missing" in one.signs:
        yield from _missing(one, by, ledger, whole=not (gone or by.stopped))
    if _over(one.furrow_depth, by.rule.furrow, ledger):
        message = (
            f"{one.id}: furrows this deep do not sand out ({by.rule.furrow.given} at most). Turn the boards, replace "
            "them, or keep an opaque finish; more washing only deepens them."
        )
        ledger.find("furrows-too-deep", "warning", message, pointer=by.pointer, component=one.id)
        yield "repair-some", "furrows deeper than anybody sands out: turn or replace those boards"
    if _over(one.cup_depth, by.rule.cup, ledger):
        message = f"{one.id}: hollows this deep are not sanded flat; find the cause, then turn or replace those boards."
        ledger.find("cup-too-deep", "warning", message, pointer=by.pointer, component=one.id)
        yield "repair-some", "boards cupped deeper than a sander takes out"


def _missing(one: ConditionComponent, by: Grounds, ledger: Ledger, *, whole: bool) -> Iterator[tuple[Gate, str]]:
    """Say what a missing piece means, but for what the stop says: ``whole`` is whether the part is worked on at all."""
    said = ["People and tools fall through the hole: cover it now."] if one.part == "boards" else []
    if whole:
        said.append("Put a new one in before the finish.")
        yield "repair-some", "missing pieces are put in first"
    if said:
        message = f"{one.id}: a piece is missing. {' '.join(said)}"
        severity: Severity = "danger" if one.part == "boards" else "warning"
        ledger.find("missing-pieces", severity, message, pointer=by.pointer, component=one.id)


def _cover(one: ConditionComponent, by: Grounds, ledger: Ledger) -> Number | None:
    if one.fastener_cover is None or one.removal is None:
        return None
    left: Number = ledger.step(remaining.cover_left, one.id, fastener_cover=one.fastener_cover, removal=one.removal)
    return left


def _thickness(one: ConditionComponent, ledger: Ledger) -> Number | None:
    if one.thickness is None:
        return None
    given = {"removal": 0.0 if one.removal is None else one.removal, "furrow_depth": one.furrow_depth or 0.0}
    left: Number = ledger.step(remaining.thickness_left, one.id, thickness=one.thickness, **given)
    return left


def _say_fasteners(one: ConditionComponent, by: Grounds, cover: Number | None, ledger: Ledger) -> None:
    if cover is not None and spread.low(cover) < spread.value(ledger.take(by.rule.cover)) * (1 - 1e-9):
        message = (
            f"{one.id}: after the planned removal too little wood is left above the fasteners "
            f"({by.rule.cover.given} is asked for). Set them deeper first; where they cannot go deeper, sanding is out."
        )
        ledger.find("cover-too-thin", "warning", message, pointer=by.pointer, component=one.id)
    proud = [sign for sign in one.signs if sign.endswith("-fasteners")]
    if proud:
        message = f"{one.id}: fasteners are seen to first ({', '.join(proud)}): a proud head destroys discs and sparks."
        ledger.find("fasteners-first", "note", message, pointer=by.pointer, component=one.id)


def _new_boards(one: ConditionComponent, by: Grounds, ledger: Ledger) -> tuple[Matching | None, Number | None]:
    """Say whether new boards need work to match. Boards of a wood that varies by nature hide among the old."""
    if not one.new_boards:
        return None, None
    if one.colour_variation == "high":
        return "none", None
    if one.colour_variation is None:
        why = "boards of one wood are much alike; say high where they differ by nature, and nothing need be matched"
        ledger.default("colour_variation", "low", effect=None, why=why)
    time = ledger.take(by.rule.blending)
    message = (
        f"{one.id}: new boards show beside old ones until sun and rain have evened them. Sanding all to sound wood "
        "brings them closest; a pigmented finish hides most of the rest. New boards need no wait of their own once dry."
    )
    ledger.find("new-boards-blend", "note", message, pointer=by.pointer, component=one.id)
    return "blends", time


def _measured(one: ConditionComponent) -> Measured:
    return Measured(one.affected, one.underside_moisture, one.cup_depth)


def _over(given: float | None, limit: Sourced, ledger: Ledger) -> bool:
    """Say whether something measured is at its limit or over."""
    return given is not None and at_least(given, spread.value(ledger.take(limit)))
