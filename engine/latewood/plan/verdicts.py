"""May a part be prepared, may it be coated: go, wait, stop, or not judged, which is silence and no go.

The first rule that holds decides. Common practice, no source: what is stopped, not answered or not judged is no go.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final, Literal

from latewood.calculators.moisture_readiness.result import ZoneReadiness
from latewood.messages import Clause, Moment, Speaker, Time, Titled, Word, clause
from latewood.messages.values import data
from latewood.plan.done import Done
from latewood.plan.earliest import readiness
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.kinds import CADENCE, CONDITION, MASKING, PREPARATION, READINESS, SANDING, WASH, WINDOWS
from latewood.plan.open_questions import asked
from latewood.plan.protection import SPRAYED
from latewood.plan.task import Task
from latewood.plan.unasked import asked_by
from latewood.plan.windows import why_not
from latewood.plan.work import Ran

Phase = Literal["prepare", "coat"]
Verdict = Literal["go", "wait", "stop", "not-judged"]
#: The worst first.
WORDS: Final = ("stop", "wait", "not-judged", "go")
_PREPARING: Final = (PREPARATION, WASH, MASKING, SANDING)
#: Kinds of work that prepare; what else masking judges puts a finish on.
_PREPARES: Final = frozenset({"washing", "sanding"})
#: A reading older than this at the start of a coat is read again: common practice, no source.
_FRESH: Final = timedelta(days=1)

#: Reasons of dryness that drops of water give, and that of a wetting still to come.
_DROPS: Final = frozenset({"drop-beads", "drop-slow", "drop-fails-still", "new-wood-waits-for-drops"})
_WETTED: Final = "wetted-before-start"


@dataclass(frozen=True)
class Reason:
    """Why a verdict is what it is: an id with values, the fields that would change it, or when that may be."""

    says: Clause
    unlock: tuple[str, ...] = ()
    until: datetime | None = None
    id: str = ""

    def changes(self) -> dict[str, list[str]]:
        """Return what may change it, as data: JSON Pointers to fields, and instants."""
        at = [] if self.until is None else [self.until.isoformat(timespec="seconds")]
        return {name: found for name, found in (("unlock", [*self.unlock]), ("until", at)) if found}


@dataclass(frozen=True)
class Judged:
    """A verdict on one part for one phase."""

    word: Verdict
    reasons: tuple[Reason, ...]


def verdicts(
    done: Done, ran: Sequence[Ran], questions: Sequence[Mapping[str, Any]], speaker: Speaker
) -> list[dict[str, Any]]:
    """Return the verdicts of a plan by phase, the parts of one word together, the worst word first."""
    judge = _Judge(done, ran, questions)
    parts = [merged for merged in done.whole if merged.fields.material != "composite" or merged.id in done.stops]
    found: dict[tuple[Phase, Verdict], dict[str, Judged]] = {}
    for merged in parts:
        prepared = judge.prepare(merged)
        found.setdefault(("prepare", prepared.word), {})[merged.id] = prepared
        if merged.is_coated:
            coated = judge.coat(merged, prepared)
            found.setdefault(("coat", coated.word), {})[merged.id] = coated
    order = sorted(found, key=lambda key: (key[0] == "coat", WORDS.index(key[1])))
    return [_row(*key, found[key], done, speaker) for key in order]


def _row(phase: Phase, word: Verdict, parts: Mapping[str, Judged], done: Done, speaker: Speaker) -> dict[str, Any]:
    said: dict[tuple[str, str], tuple[Reason, list[str]]] = {}
    for id, judged in parts.items():
        for reason in judged.reasons:
            said.setdefault((reason.id or reason.says.id, speaker.clause(reason.says)), (reason, []))[1].append(id)
    reasons = [
        {"id": id, "message": text, "values": data(reason.says.values, speaker.style.system), "places": places}
        | reason.changes()
        for (id, text), (reason, places) in said.items()
    ]
    changes = {
        name: list(dict.fromkeys(one for reason, _ in said.values() for one in reason.changes().get(name, ())))
        for name in ("unlock", "until")
    }
    changes["until"].sort(key=datetime.fromisoformat)
    row: dict[str, Any] = {
        "phase": phase,
        "verdict": word,
        "zones": [*dict.fromkeys(done.parts[id].zone.id for id in parts)],
    }
    row |= {"components": [*parts], "reasons": reasons}
    return row | {name: found for name, found in changes.items() if found} | _as_of(done)


def _as_of(done: Done) -> dict[str, str]:
    """Return the day or the time that the verdicts hold for."""
    moisture = done.job.moisture
    if moisture is not None and moisture.now is not None:
        return {"as_of": moisture.now.written.isoformat()}
    return {} if done.job.as_of is None else {"as_of": done.job.as_of.isoformat()}


class _Judge:
    """Judges the parts of one plan."""

    def __init__(self, done: Done, ran: Sequence[Ran], questions: Sequence[Mapping[str, Any]]) -> None:
        self.done, self.ran, self.questions = done, ran, questions
        self.asked = {one.id: one.question for one in asked(done)}

    def prepare(self, merged: EffectiveZone) -> Judged:
        """Judge whether a part may be prepared."""
        if stops := [*self._stopped(merged), *self._masked("stop", prepares=True)]:
            return Judged("stop", tuple(stops))
        if waits := [*self._masked("wait", prepares=True), *self._open(merged), *self._blocked(merged)]:
            return Judged("wait", tuple(waits))
        if self.done.one(CONDITION) is None:
            return Judged("not-judged", (Reason(clause("verdict-not-asked"), asked_by(CONDITION)),))
        return Judged("go", (Reason(clause("verdict-nothing-against")),))

    def coat(self, merged: EffectiveZone, prepared: Judged) -> Judged:
        """Judge whether a part may be coated."""
        dry = [row for task, row, _ in readiness(merged, self.done) if task.kind is READINESS]
        never = [one for row in dry if row.never and row.verdict != "ready" for one in _dryness(row)]
        if stops := [*self._stopped(merged), *self._masked("stop", prepares=False), *never]:
            return Judged("stop", tuple(stops))
        wet = [one for row in dry if row.verdict in ("not-ready", "ready-if-reread") for one in _dryness(row)]
        if waits := [*wet, *self._masked("wait", prepares=False), *self._weather(merged)]:
            return Judged("wait", tuple(waits))
        silent = [*self._silent(merged, dry)]
        if prepared.word in ("wait", "stop"):
            return Judged("wait", (Reason(clause("verdict-not-prepared")), *silent))
        if prepared.word == "not-judged" or silent:
            return Judged("not-judged", (*silent, *(prepared.reasons if prepared.word == "not-judged" else ())))
        return Judged("go", (Reason(clause("verdict-ready")), *self._ages(merged), *self._first(merged)))

    def _stopped(self, merged: EffectiveZone) -> Iterator[Reason]:
        for stop in self.done.stops.of([merged.id]):
            yield Reason(stop.why, id=stop.finding)

    def _masked(self, word: str, *, prepares: bool) -> Iterator[Reason]:
        """Yield the works that must be covered for and may not be done now, or not here."""
        masked = self.done.one(MASKING)
        for row in masked.works if masked else ():
            if row.verdict == word and (row.id in _PREPARES) == prepares:
                stops, work = word == "stop", Titled(row.goes_by)
                said = clause("verdict-masking-stop" if stops else "verdict-masking-wait", work=work)
                yield Reason(said, SPRAYED if stops else ("/weather",))

    def _open(self, merged: EffectiveZone) -> Iterator[Reason]:
        """Yield the questions that steps on this part rest on; what may be unsafe comes first."""
        steps = {one.task.id for one in self.ran if one.task.kind in _PREPARING}
        mine = [
            row
            for row in self.questions
            if any(block["step"] in steps and merged.id in block["components"] for block in row["blocks"])
        ]
        for row in sorted(mine, key=lambda row: row["topic"] != "structure"):
            said = clause("verdict-question", question=self.asked[row["id"]])
            yield Reason(said, tuple(row["fields"]), id=f"question-{row['topic']}")

    def _blocked(self, merged: EffectiveZone) -> Iterator[Reason]:
        for one in self.ran:
            entry = one.entry
            if one.task.kind in _PREPARING and entry["status"] == "blocked" and merged.id in entry.get("places", ()):
                said = clause("verdict-step-blocked", step=Word("step", one.task.kind.calculator), why=[*one.task.why])
                yield Reason(said, tuple(entry.get("unlock", ())))

    def _weather(self, merged: EffectiveZone) -> Iterator[Reason]:
        """Yield why the weather or the crew's pace gives this floor no coat."""
        every: list[tuple[Task, Any]] = [*self.done.every(WINDOWS), *self.done.every(CADENCE)]
        for task, result in every:
            if merged.zone.id in task.parts.values() and result.verdict == "no":
                yield Reason(why_not(result.text), id=f"{task.kind.name}-no")

    def _silent(self, merged: EffectiveZone, dry: Sequence[ZoneReadiness]) -> Iterator[Reason]:
        if not dry or any(row.verdict == "unknown" for row in dry):
            yield Reason(clause("verdict-dryness-unknown"), asked_by(READINESS))
        if not self._windows(merged):
            yield Reason(clause("verdict-weather-unknown"), asked_by(WINDOWS))

    def _windows(self, merged: EffectiveZone) -> list[Any]:
        return [result for task, result in self.done.every(WINDOWS) if merged.zone.id in task.parts.values()]

    def _first(self, merged: EffectiveZone) -> Iterator[Reason]:
        for result in self._windows(merged):
            yield from (Reason(clause("verdict-first", first=first)) for first in result.first)

    def _ages(self, merged: EffectiveZone) -> Iterator[Reason]:
        """Yield how old the last reading of a floor is when its coat starts, where it is not fresh by then."""
        zone = merged.zone.id
        taken = [_naive(row.taken.written) for row in self.done.job.readings if row.taken and row.zone in (None, zone)]
        starts = [_naive(result.windows[0].best_start) for result in self._windows(merged) if result.windows]
        if not taken or not starts or min(starts) - max(taken) <= _FRESH:
            return
        age = min(starts) - max(taken)
        said = clause(
            "verdict-reading-old",
            age=Time(age.total_seconds()),
            taken=Moment(max(taken)),
            starts=Moment(min(starts)),
        )
        yield Reason(said, ("/readings",))


def _naive(at: datetime) -> datetime:
    """Return the local time of a moment: readings and windows of one deck are told in one zone."""
    return at.replace(tzinfo=None)


def _dryness(row: ZoneReadiness) -> Iterator[Reason]:
    """Yield why a floor is not dry: its drops, then its water; or which readings it lacks where none is too wet."""
    if row.verdict == "ready-if-reread":
        for says in row.reasons:
            until = row.read_again if says.id == _WETTED else None
            yield Reason(says, asked_by(READINESS), until, "read-again")
        return
    drops = [says for says in row.reasons if says.id in _DROPS]
    for says in drops:
        yield Reason(says, until=row.test_again, id="drops-wait")
    for says in [says for says in row.reasons if says not in drops][:1]:
        yield Reason(says, until=row.read_again, id="never-dry" if row.never else "not-dry")
