"""One list of all that a job buys, from finish to cans for waste, each line with what stands before it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from typing import Any, Final

from latewood.declare import RecordLookup
from latewood.messages import Clause, Speaker, Titled, Word, clause
from latewood.plan.done import Done
from latewood.plan.kinds import CADENCE, COVERAGE, FASTENERS, MASKING, SANDING, WASH
from latewood.plan.open_questions import untested
from latewood.plan.work import Ran

#: Topics of questions that leave open how the old surface comes off, and what may go on after it.
_ROUTE: Final = frozenset({"old-coating", "preservative", "lead", "cupping"})
_FINISH: Final = frozenset({"old-coating", "wood"})
#: Findings by which a finish, or the grades of an abrasive, is tried on a hidden spot first.
_TRIED: Final = frozenset({"rate-extrapolated", "start-assumed"})
_DRYNESS: Final = frozenset({"not-dry", "never-dry"})
#: What is not judged, by the reason of a verdict that says so.
_UNJUDGED: Final[Mapping[str, str]] = {
    "verdict-not-asked": "condition",
    "verdict-dryness-unknown": "dryness",
    "read-again": "dryness",
    "verdict-weather-unknown": "weather",
}
#: Words for what is cut from a roll, by the field of masking that says how much.
_ROLLS: Final = ("sheet_area", "cover_area", "tape_length")
#: How much of a wash agent is bought, by the field of wash that says it: a powder or a liquid.
_AGENTS: Final = ("product_mass", "stock_volume")
#: What the way to prepare asks for.
_BY_ROUTE: Final = ("abrasive", "wash-agent")
#: Litres in cans as they are sold, the larger first, with their names.
_CANS: Final = ((3.785411784, "gal"), (0.946352946, "qt"), (0.473176473, "pt"))


def can_mark(litres: float) -> str | None:
    """Return a can as its label has it: 5 gal, 1 qt, 2.5 L, 750 mL; None for a size that is round in neither system."""
    if math.isclose(litres, float(f"{litres:.3g}"), rel_tol=1e-6):
        return f"{litres:g} L" if litres >= 1 else f"{1000 * litres:g} mL"
    for size, name in _CANS:
        count = round(litres / size)
        if count and math.isclose(litres, count * size, rel_tol=1e-4):
            return f"{count} {name}"
    return None


def label_of(size: float, speaker: Speaker) -> str:
    """Return a can's own label with the decimal mark asked for; of one without, its size in the units asked for."""
    mark = can_mark(1000 * size)
    return speaker.container(size) if mark is None else mark.replace(".", speaker.style.decimal)


class Purchases:
    """Gathers what the steps of a plan say to buy."""

    def __init__(
        self,
        done: Done,
        ran: Sequence[Ran],
        verdicts: Sequence[Mapping[str, Any]],
        questions: Sequence[Mapping[str, Any]],
        known: RecordLookup,
        speaker: Speaker,
        unsanded: Set[str],
    ) -> None:
        self.done, self.ran, self.known, self.speaker, self.unsanded = done, ran, known, speaker, unsanded
        self.topics = {row["id"]: row["topic"] for row in questions}
        coats = [row for row in verdicts if row["phase"] == "coat"]
        said = [reason for row in coats for reason in row["reasons"]]
        self.wet = {id for reason in said if reason["id"] in _DRYNESS for id in reason["places"]}
        self.beads = {id for reason in said if reason["id"] == "drops-wait" for id in reason["places"]}
        self.waits = {id for row in coats if row["verdict"] != "go" for id in row["components"]}
        #: What is not judged of each part, by what is bought for it.
        prepare = [reason for row in verdicts if row["phase"] == "prepare" for reason in row["reasons"]]
        self.unjudged = {"finish": _unjudged([*prepare, *said])} | dict.fromkeys(_BY_ROUTE, _unjudged(prepare))

    def rows(self) -> list[dict[str, Any]]:
        """Return every line, finish first."""
        rows = {COVERAGE: self._finish, WASH: self._agents, SANDING: self._abrasives, MASKING: self._masking}
        rows |= {CADENCE: self._cloths, FASTENERS: self._fasteners}
        found = [(one, row) for kind, read in rows.items() for one in self._of(kind) for row in read(one)]
        found += [(one, row) for one in self.ran for row in self._cans(one)]
        return [self._line(one, row) for one, row in found]

    def _of(self, kind: Any) -> list[Ran]:
        return [one for one in self.ran if one.task.kind is kind]

    def _line(self, one: Ran, row: dict[str, Any]) -> dict[str, Any]:
        """Return a line with its step, parts, and what stands before buying it."""
        entry = one.entry
        carried = {name: entry[name] for name in ("rests_on", "stopped_by", "lifted_by") if name in entry}
        line = {**row, "step": one.task.id, "places": entry.get("places", [])}
        conditions = [*self._conditions(one, row["kind"])]
        # Nothing of what follows a coat's verdict is bought as if it were go.
        if row["kind"] == "finish" and not conditions and (waits := [id for id in line["places"] if id in self.waits]):
            conditions.append(self._condition("not-go", waits))
        return line | {"conditions": conditions} | carried

    def _conditions(self, one: Ran, kind: str) -> Iterator[dict[str, Any]]:
        entry = one.entry
        places = entry.get("places", [])
        open_still = {self.topics.get(id, "") for id in entry.get("rests_on", ())}
        raised = {finding.id for finding in one.findings}
        if kind == "finish":
            if wet := [id for id in places if id in self.wet]:
                yield self._condition("not-dry", wet)
            if open_still & _FINISH:
                yield self._condition("finish-unknown", places)
        if kind in self.unjudged:
            if open_still & _ROUTE:
                yield self._condition("route-open", places)
            yield from self._not_judged({id: self.unjudged[kind].get(id, ()) for id in places})
            left = [id for id in places if id in self.unsanded] if kind == "finish" else []
            if raised & _TRIED or left:
                yield self._condition("test-patch", places if raised & _TRIED else left)
        if any(id in self.topics for id in entry.get("rests_on", ())):
            yield self._condition("rests-on-open-questions", places)
        if kind == "finish" and (drops := [id for id in places if id in self.beads or untested(self.done, {id})]):
            yield self._condition("beads", drops)

    def _not_judged(self, parts: Mapping[str, Iterable[str]]) -> Iterator[dict[str, Any]]:
        """Yield in one condition what is not judged of these parts."""
        what = [Word("unjudged", one) for one in dict.fromkeys(one for found in parts.values() for one in found)]
        if what:
            said = self.speaker.clause(clause("purchase-not-judged", what=what))
            yield {"id": "not-judged", "message": said, "places": [id for id, found in parts.items() if found]}

    def _condition(self, id: str, places: Sequence[str]) -> dict[str, Any]:
        return {"id": id, "message": self.speaker.clause(_CONDITIONS[id]), "places": [*places]}

    def _finish(self, one: Ran) -> Iterator[dict[str, Any]]:
        if (result := self._result(one)) is None:
            if one.entry["status"] in ("stopped", "blocked"):
                yield {"id": one.task.id, "kind": "finish", "title": self._title(one), "containers": []}
            return
        shown = one.entry["result"]
        cans = zip(result.containers, shown["containers"], strict=True)
        bought = [
            {"label": label_of(can.size, self.speaker), "size": row["size"], "count": row["count"]} for can, row in cans
        ]
        yield {
            "id": one.task.id,
            "kind": "finish",
            "title": self._title(one),
            "volume": shown["volume"],
            "text": self.speaker.counted((can["count"], can["label"]) for can in bought),
            "containers": bought,
            "shortage_risk": shown["purchase"]["shortage_risk"],
        }

    def _title(self, one: Ran) -> str:
        asked = one.task.inputs
        coating = self.known.records("coating").get(one.task.name) if asked is None else asked.coating
        return (
            self.speaker.clause(clause("purchase-finish")) if coating is None else self.speaker.title(Titled(coating))
        )

    def _agents(self, one: Ran) -> Iterator[dict[str, Any]]:
        """Yield the powder or the liquid of each agent as it is sold, of which the mix is made."""
        result = self._result(one)
        for stage, shown in zip(result.stages, one.entry["result"]["stages"], strict=True) if result else ():
            yield {
                "id": f"{stage.agent.id}-{one.task.id}",
                "kind": "wash-agent",
                "title": self.speaker.title(Titled(stage.agent)),
                "containers": [],
                **{name: shown[name] for name in _AGENTS if name in shown},
            }

    def _abrasives(self, one: Ran) -> Iterator[dict[str, Any]]:
        result = self._result(one)
        for row in result.abrasives if result else ():
            if row.to_buy:
                grade = self.known.record("abrasive", row.abrasive)
                boxes = {} if row.boxes is None else {"boxes": row.boxes}
                yield {
                    "id": row.id,
                    "kind": "abrasive",
                    "title": self.speaker.clause(
                        clause("purchase-abrasive", grade=Titled(grade), machine=Titled(row.machine))
                    ),
                    "containers": [{"label": self.speaker.word("abrasive-form", row.form), "count": row.to_buy}],
                    "grade": row.abrasive,
                    "grade_label": self.speaker.title(Titled(grade)),
                    "machine": row.machine.id,
                    "machine_label": self.speaker.title(Titled(row.machine)),
                    "form": row.form,
                    "typical_count": row.typical_count,
                    "count": row.to_buy,
                    **boxes,
                }

    def _masking(self, one: Ran) -> Iterator[dict[str, Any]]:
        for name in _ROLLS if "result" in one.entry else ():
            shown = one.entry["result"][name]
            if shown["value"]:
                id = name.replace("_", "-")
                title = self.speaker.clause(_MASKING[name])
                yield {"id": id, "kind": "masking", "title": title, "containers": [], name: shown}

    def _cloths(self, one: Ran) -> Iterator[dict[str, Any]]:
        result = self._result(one)
        if result is not None and result.most_cloths:
            yield {
                "id": f"cloths-{one.task.id}",
                "kind": "cloth",
                "title": self.speaker.clause(clause("purchase-cloths")),
                "containers": [],
                "typical_count": result.cloths,
                "count": result.most_cloths,
            }

    def _fasteners(self, one: Ran) -> Iterator[dict[str, Any]]:
        """Yield new fasteners: as many more than by the median as heads to see to may be more."""
        result = self._result(one)
        if result is not None and result.replaced:
            yield {
                "id": "new-fasteners",
                "kind": "screw",
                "title": self.speaker.clause(clause("purchase-fasteners")),
                "containers": [],
                "typical_count": result.replaced,
                "count": math.ceil(result.replaced * result.most_treated / max(result.treated, 1)),
            }

    def _cans(self, one: Ran) -> Iterator[dict[str, Any]]:
        """Yield what waste is kept in, by what each step leaves over."""
        for row in one.entry.get("result", {}).get("waste", ()):
            if "container_count" in row:
                yield {
                    "id": f"{row['id']}-{one.task.id}",
                    "kind": "waste-can",
                    "title": row["container"],
                    "containers": [],
                    "count": row["container_count"],
                }

    def _result(self, one: Ran) -> Any:
        """Return what a step came to; None where it was not run."""
        return next((result for task, result in self.done.tasks(one.task.kind) if task is one.task), None)


def _unjudged(reasons: Iterable[Mapping[str, Any]]) -> dict[str, dict[str, None]]:
    """Return by part what the reasons of verdicts call not judged."""
    found: dict[str, dict[str, None]] = {}
    for reason in reasons:
        if (what := _UNJUDGED.get(reason["id"])) is not None:
            for id in reason["places"]:
                found.setdefault(id, {})[what] = None
    return found


_CONDITIONS: Final[Mapping[str, Clause]] = {
    "not-dry": clause("purchase-not-dry"),
    "finish-unknown": clause("purchase-finish-unknown"),
    "route-open": clause("purchase-route-open"),
    "not-go": clause("purchase-not-go"),
    "test-patch": clause("purchase-test-patch"),
    "beads": clause("purchase-beads"),
    "rests-on-open-questions": clause("purchase-rests-on-open-questions"),
}
_MASKING: Final[Mapping[str, Clause]] = {
    "sheet_area": clause("purchase-sheet"),
    "cover_area": clause("purchase-film"),
    "tape_length": clause("purchase-tape"),
}
