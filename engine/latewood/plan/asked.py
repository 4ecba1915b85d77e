"""What is still to be answered, what hangs on each answer, and the field of the job that takes it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from latewood.calculators.condition.result import Question
from latewood.declare import RecordLookup
from latewood.messages import Speaker, clause
from latewood.plan.done import Done
from latewood.plan.open_questions import HELP, asked
from latewood.plan.sanding import unseen
from latewood.plan.work import Ran

#: Fields of a part by what is asked of it.
_FIELDS: Final[Mapping[str, tuple[str, ...]]] = {
    "wood": ("species",),
    "preservative": ("treatment", "treatment_evidence"),
    "old-coating": ("old_coating",),
    "lead": ("lead_test", "lead_test_method", "lead_test_date"),
    "structure": ("structure",),
    "flashing": ("structure", "signs"),
    "cupping": ("cup_depth", "underside_moisture"),
    "extent": ("affected",),
    "signs": ("signs",),
}
_SITE: Final = {"year": "/site/year_built", "jurisdiction": "/site/jurisdiction"}


def questions(done: Done, ran: Sequence[Ran], known: RecordLookup, speaker: Speaker) -> list[dict[str, Any]]:
    """Return the open questions of a job, each with the steps and parts that wait for its answer."""
    rows = (*asked(done), *_unseen(done, known))
    blocked = {row.id: _blocks(row, done, ran) for row in rows}
    return [
        {
            "id": row.id,
            "component": row.component,
            "topic": row.topic,
            "question": speaker.clause(row.question),
            "how": speaker.clause(row.how),
            "fields": list(_field(row, done)),
            "blocks": blocked[row.id] or _helped(row, rows, blocked),
        }
        for row in rows
    ]


def _unseen(done: Done, known: RecordLookup) -> Iterator[Question]:
    """Yield what is asked of parts on which nothing is said to be seen. Nothing waits: a route is assumed for them."""
    for merged, _ in unseen(done, known):
        yield Question(
            id=f"{merged.id}-signs",
            component=merged.id,
            topic="signs",
            blocks=(),
            question=clause("ask-signs"),
            how=clause("how-signs"),
        )


def _blocks(row: Question, done: Done, ran: Sequence[Ran]) -> list[dict[str, Any]]:
    """Return the steps that rest on a question, each with the parts for which it does."""
    found = []
    for one in ran:
        if row.id in one.entry.get("rests_on", ()):
            places = one.entry["places"]
            zone = done.looked_at[row.component].zone
            within = [id for id in places if id in done.parts and done.parts[id].zone.id == zone]
            found.append({"step": one.task.id, "components": [row.component] if row.component in places else within})
            found[-1]["components"] = found[-1]["components"] or list(places)
    return found


def _helped(
    row: Question, rows: Sequence[Question], blocked: Mapping[str, list[dict[str, Any]]]
) -> list[dict[str, Any]]:
    """Return what waits for the questions that a year or a place may settle without being blocked by it alone."""
    if row.topic not in HELP:
        return []
    others = [one for one in rows if one.component == row.component and one.topic in ("lead", "preservative")]
    return [block for one in others[:1] for block in blocked[one.id]]


def _field(row: Question, done: Done) -> tuple[str, ...]:
    """Return the fields of the job that take the answer."""
    if row.topic in _SITE:
        return (_SITE[row.topic],)
    names, looked = _FIELDS[row.topic], done.looked_at.get(row.component)
    if looked is not None and looked.part == "wall":
        return tuple(f"/surroundings/wall_{name.replace('old_coating', 'coating')}" for name in names)
    if looked is not None and looked.part == "frame" and looked.zone is not None:
        at = done.parts[looked.zone]
        return tuple(at.pointer_to(name if name == "structure" else f"frame/{name}") for name in names)
    return tuple(done.parts[row.component].pointer_to(name) for name in names)
