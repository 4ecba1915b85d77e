"""What is done before any work: a stop that is lifted, a question that is answered, a field that is given."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from latewood.messages import Code
from latewood.messages.binding import capital
from latewood.report.labels import Json, Reader, beside
from latewood.report.model import Task

#: Steps that look and measure.
_BEFORE_WORK: Final = ("area", "condition")
#: Steps whose silence is a question before any work.
_ASKED_FIRST: Final = ("condition", "moisture-readiness", "cure-windows")
#: The reason of a verdict that readings are lacking.
_READ_AGAIN: Final = "read-again"
#: What is asked for where a step was run without it.
_UNLOCKS: Final = {"moisture-readiness": ("/readings",)}


class Tasks(Reader):
    """Reads what one plan waits for."""

    def stops(self) -> Iterator[Task]:
        """Yield each stop with its parts and what lifts it."""
        grouped: dict[tuple[str, str, str], list[str]] = {}
        # What carries others stands before what is stopped because of it.
        carries = {"frame": 0, "boards": 1}
        part = {id: one["part"] for id, one in self.labels.components.items()}
        for stop in sorted(self.answer["stopped"], key=lambda stop: carries.get(part.get(stop["id"], ""), 2)):
            said = (stop["why"], self.labels.fields(stop["lifted_by"]), self._advice(stop))
            grouped.setdefault(said, []).append(stop["id"])
        for (why, fields, rest), ids in grouped.items():
            given = self._say("report-give", fields=Code(fields)) if fields else ""
            where = self.where(ids)
            stopped = self._say("report-stopped-at", parts=Code(where), why=Code(why))
            yield Task(stopped if where else self._say("report-stopped", why=Code(why)), how=rest, give=given)

    def _advice(self, stop: Json) -> str:
        """Return what the finding of a stop says after its reason: what is to be done."""
        for one in self.answer["findings"]:
            if one["id"] == stop["finding"] and one["severity"] == "stop" and stop["id"] in one.get("places", ()):
                _, found, rest = one["message"].partition(stop["why"][1:])
                return rest.lstrip(". ") if found else ""
        return ""

    def _give(self, pointers: Sequence[str]) -> str:
        return self._say("report-give", fields=Code(self.labels.fields(pointers)))

    def questions(self) -> Iterator[Task]:
        """Yield each question once, with all its parts, what waits for it, and the fields to send."""
        grouped: dict[tuple[str, str], list[Json]] = {}
        for row in self.answer["questions"]:
            grouped.setdefault((row["question"], row["how"]), []).append(row)
        for (question, how), rows in grouped.items():
            steps = dict.fromkeys(block["step"] for row in rows for block in row["blocks"])
            blocked = [*dict.fromkeys(map(self.labels.step, steps))]
            blocks = self._blocks(blocked)
            give = self._give([field for row in rows for field in row["fields"]])
            yield Task(question, self.where(row["component"] for row in rows), how, blocks, give, asked=True)

    def _blocks(self, blocked: Sequence[str]) -> str:
        """Return what waits for an answer: all work where it is every kind of it."""
        if not blocked:
            return ""
        work = [step for step in self.answer["steps"] if "result" in step and step["calculator"] not in _BEFORE_WORK]
        if {*blocked} >= {step["label"] for step in work}:
            return self._say("report-blocks-all")
        return self._say("report-blocks", steps=Code(", ".join(blocked)))

    def unasked(self) -> Iterator[Task]:
        """Yield the steps that a verdict waits for because nothing was given for them, then what else it waits for."""
        waiting = [row for row in self.answer["verdicts"] if row["verdict"] != "go"]
        reasons = [reason for row in waiting for reason in row["reasons"]]
        lacks = dict.fromkeys(
            beside(one["message"], self.where(one["places"])) for one in reasons if one["id"] == _READ_AGAIN
        )
        fields = dict.fromkeys(field for one in reasons for field in one.get("unlock", ()))
        for step in self.answer["steps"]:
            unlock = step.get("unlock") or _UNLOCKS.get(step["calculator"], ())
            silent = step["status"] == "not-planned" or step["calculator"] in _UNLOCKS
            if step["calculator"] in _ASKED_FIRST and silent and {*fields} & {*unlock}:
                how = " ".join(f"{capital(one)}." for one in lacks) if step["calculator"] in _UNLOCKS else ""
                yield Task(self.speaker.word("report-unasked", step["calculator"]), how=how, give=self._give(unlock))
                fields = {field: None for field in fields if field not in unlock}
        for one in reasons:
            if left := [field for field in one.get("unlock", ()) if field in fields]:
                text = one["message"]
                yield Task(f"{capital(text)}.", self.where(one["places"]), give=self._give(left))
                fields = {field: None for field in fields if field not in left}
