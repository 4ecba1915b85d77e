"""Build the report of a plan from its answer: texts are chosen and joined here, nothing is calculated."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any, Final

import msgspec

from latewood.messages import Code, Count, Moment, Name, Share, Speaker, clause
from latewood.report import figures
from latewood.report.labels import Labels
from latewood.report.model import (
    Assumption,
    Open,
    Purchase,
    Reason,
    Report,
    Row,
    Said,
    Task,
    Verdict,
    Work,
)

#: Severities that can injure people or destroy the house, and those that ruin the job.
_DANGERS: Final = ("stop", "danger")
_WARNINGS: Final = ("warning", "caution")
#: Fields of a purchase of what is cut from a roll.
_ROLLS: Final = ("sheet_area", "cover_area", "tape_length")
_WINDOWS: Final = "cure-windows"
#: A smaller risk of running short than this is not told in figures.
_RARE: Final = 0.01
#: Steps that look and measure.
_BEFORE_WORK: Final = ("area", "condition")
#: The condition that questions are open, and those that say what a question leaves open.
_OPEN: Final = "rests-on-open-questions"
_ASKED_ABOVE: Final = frozenset({"finish-unknown", "route-open"})
#: Steps whose silence is a question before any work.
_ASKED_FIRST: Final = ("condition", "moisture-readiness", _WINDOWS)

Json = Mapping[str, Any]


def report(plan: Json, speaker: Speaker) -> Report:
    """Return the report of a plan."""
    answer = {
        **plan,
        "findings": msgspec.to_builtins(plan["findings"]),
        "cautions": msgspec.to_builtins(plan["cautions"]),
    }
    return _Builder(answer, speaker).report()


class _Builder:
    """Reads one plan."""

    def __init__(self, answer: Json, speaker: Speaker) -> None:
        self.answer, self.speaker = answer, speaker
        self.labels = Labels(answer, speaker)
        self.where = self.labels.where
        stops, questions = [*self._stops()], [*self._questions()]
        self.tasks = (*stops, *questions) or tuple(self._unasked())
        #: The number of each question among the tasks, by the reason of a verdict that waits for it.
        numbers = {one.text: count for count, one in enumerate(questions, 1 + len(stops))}
        self.numbers = {f"question-{row['topic']}": numbers[row["question"]] for row in answer["questions"]}
        self.ends = {one["do"][-1] for one in answer["cautions"] if one.get("do")}

    def report(self) -> Report:
        work, total = self._work()
        return Report(
            title=self._title(),
            parts=self._parts(),
            verdicts=tuple(map(self._verdict, self.answer["verdicts"])),
            start=tuple(dict.fromkeys(self._start())),
            tasks=self.tasks,
            dangers=(*self._cautions(_DANGERS), *self._findings(_DANGERS)),
            warnings=(*self._cautions(_WARNINGS), *self._findings(_WARNINGS)),
            caution_end=next(iter(self.ends)) if len(self.ends) == 1 else "",
            purchases=tuple(map(self._purchase, self.answer["purchases"])),
            routes=tuple(self._routes()),
            work=tuple(work),
            person_hours=total,
            elapsed=tuple(self._elapsed()),
            hand_over=tuple(line for row in self.answer["totals"].get("hand_over", ()) for line in row["lines"]),
            waste=tuple(map(self._waste, self.answer["totals"].get("waste", ()))),
            assumed=tuple(map(self._assumption, self.answer["assumptions"])),
            notes=tuple(self._findings(("note",))),
            not_planned=tuple(self._not_planned()),
        )

    def _say(self, id: str, **values: Any) -> str:
        return self.speaker.clause(clause(id, **values))

    def _title(self) -> str:
        job, totals = self.answer["job"], self.answer["totals"]
        named = [job[name] for name in ("name", "reference") if name in job]
        zones = named or [self.labels.components[id]["label"] for id in job["zones"] if id in self.labels.components]
        title = ", ".join(zones)
        if "area" not in totals:
            return title
        return self._say("report-title", name=Name(title), area=Code(figures.quantity(totals["area"], self.speaker)))

    def _parts(self) -> str:
        whole = self.labels.whole
        return "; ".join(self.labels.by_zone(whole)) if len(whole) > 1 else ""

    def _verdict(self, row: Json) -> Verdict:
        words = self.speaker.word("report-verdict", f"{row['verdict']}-{row['phase']}")
        mine = {*row["components"]}
        numbers, reasons = [], []
        for one in row["reasons"]:
            if one["id"] in self.numbers:
                numbers.append(self.numbers[one["id"]])
            else:
                reasons.append(Reason(one["message"], "" if {*one["places"]} >= mine else self.where(one["places"])))
        if numbers:
            listed = [Code(str(number)) for number in sorted({*numbers})]
            reasons.insert(0, Reason(self._say("report-open", questions=listed)))
        where = "" if {*self.labels.whole} <= mine else self.where(row["components"])
        return Verdict(row["phase"], row["verdict"], words, where, tuple(reasons))

    def _start(self) -> Iterator[str]:
        """Yield when work may start, as far as the plan knows: by the weather, and when to read again."""
        go = [row["verdict"] for row in self.answer["verdicts"] if row["phase"] == "coat"]
        for step in self.answer["steps"]:
            if step["calculator"] != _WINDOWS:
                continue
            if "result" not in step:
                yield self._say("report-no-start", why=Code(step.get("why", "")))
            elif not step["result"]["windows"]:
                yield step["result"]["text"]
            else:
                window = step["result"]["windows"][0]
                at = Moment(datetime.fromisoformat(window["best_start"]))
                risky = window["verdict"] == "at-risk"
                if {*go} == {"go"}:
                    yield self._say("report-start-at-risk" if risky else "report-start", at=at)
                else:
                    yield self._say("report-weather-at-risk" if risky else "report-weather", at=at)
        for row in self.answer["verdicts"]:
            for until in row.get("until", ()):
                if not until.startswith("/"):
                    yield self._say("report-look-again", at=Moment(datetime.fromisoformat(until)))

    def _stops(self) -> Iterator[Task]:
        grouped: dict[tuple[str, str, str], list[str]] = {}
        # What carries others stands before what is stopped because of it.
        carries = {"frame": 0, "boards": 1}
        part = {id: one["part"] for id, one in self.labels.components.items()}
        for stop in sorted(self.answer["stopped"], key=lambda stop: carries.get(part.get(stop["id"], ""), 2)):
            said = (stop["why"], self.labels.fields(stop["lifted_by"]), self._advice(stop))
            grouped.setdefault(said, []).append(stop["id"])
        for (why, fields, rest), ids in grouped.items():
            given = self._say("report-give", fields=Code(fields)) if fields else ""
            yield Task(self._say("report-stopped", why=Code(why)), self.where(ids), rest, give=given)

    def _advice(self, stop: Json) -> str:
        """Return what the finding of a stop says after its reason: what is to be done."""
        for one in self.answer["findings"]:
            if one["id"] == stop["finding"] and one["severity"] == "stop" and stop["id"] in one.get("places", ()):
                _, found, rest = one["message"].partition(stop["why"][1:])
                return rest.lstrip(". ") if found else ""
        return ""

    def _give(self, pointers: Sequence[str]) -> str:
        return self._say("report-give", fields=Code(self.labels.fields(pointers)))

    def _questions(self) -> Iterator[Task]:
        """Yield each question once, with all its parts, what waits for it, and the fields to send."""
        grouped: dict[tuple[str, str], list[Json]] = {}
        for row in self.answer["questions"]:
            grouped.setdefault((row["question"], row["how"]), []).append(row)
        for (question, how), rows in grouped.items():
            steps = dict.fromkeys(block["step"] for row in rows for block in row["blocks"])
            blocked = [*dict.fromkeys(map(self.labels.step, steps))]
            blocks = self._blocks(blocked)
            give = self._give([field for row in rows for field in row["field"]])
            yield Task(question, self.where(row["component"] for row in rows), how, blocks, give, asked=True)

    def _blocks(self, blocked: Sequence[str]) -> str:
        """Return what waits for an answer: all work where it is every kind of it."""
        if not blocked:
            return ""
        work = [step for step in self.answer["steps"] if "result" in step and step["calculator"] not in _BEFORE_WORK]
        if {*blocked} >= {step["label"] for step in work}:
            return self._say("report-blocks-all")
        return self._say("report-blocks", steps=Code(", ".join(blocked)))

    def _unasked(self) -> Iterator[Task]:
        """Yield the steps that a verdict waits for because nothing was given for them, then what else it waits for."""
        waiting = [row for row in self.answer["verdicts"] if row["verdict"] != "go"]
        fields = (field for row in waiting for field in row.get("until", ()))
        until = dict.fromkeys(field for field in fields if field.startswith("/"))
        for step in self.answer["steps"]:
            unlock = step.get("unlock", ())
            if step["calculator"] in _ASKED_FIRST and step["status"] == "not-planned" and {*until} & {*unlock}:
                said = self._say("report-unasked", step=Code(self.labels.step(step["id"])))
                yield Task(said, give=self._give(unlock))
                until = {field: None for field in until if field not in unlock}
        if until:
            yield Task(self._say("report-waits"), give=self._give([*until]))

    def _cautions(self, severities: Sequence[str]) -> Iterator[Said]:
        chosen = [one for one in self.answer["cautions"] if one["severity"] in severities]
        for one in sorted(chosen, key=lambda one: (severities.index(one["severity"]), one["rank"])):
            do = tuple(line for line in one["do"] if len(self.ends) != 1 or line not in self.ends)
            places = one.get("places", ())
            brief = tuple(one["brief"])
            yield Said(one["id"], one["severity"], one["title"], self.where(places), one["message"], brief, do)

    def _findings(self, severities: Sequence[str]) -> Iterator[Said]:
        """Yield findings by severity; those that say the same of several parts stand once."""
        grouped: dict[tuple[str, str, str], list[str]] = {}
        stopped = {(stop["finding"], stop["id"]) for stop in self.answer["stopped"]}
        for one in self.answer["findings"]:
            at = {(one["id"], id) for id in one.get("places", ())}
            if one["severity"] == "stop" and at and at <= stopped:
                # The list of what is stopped says it, with what lifts it.
                continue
            if one["severity"] in severities:
                grouped.setdefault((one["severity"], one["id"], one["message"]), []).extend(one.get("places", ()))
        for (severity, id, message), places in sorted(grouped.items(), key=lambda item: severities.index(item[0][0])):
            yield Said(id, severity, message, self.where(places))

    def _purchase(self, row: Json) -> Purchase:
        cans = " + ".join(f"{one['count']} × {one['label']}" for one in row["containers"])
        amount, details = cans, []
        if row["kind"] == "finish":
            if "volume" in row:
                details.append(figures.quantity(row["volume"], self.speaker))
                risk = row["shortage_risk"]["value"] / 100
                least = Share(max(risk, _RARE))
                details.append(self._say("report-shortage" if risk >= _RARE else "report-rarely-short", risk=least))
            amount = amount or self._say("report-no-amount")
        elif roll := next((row[name] for name in _ROLLS if name in row), None):
            amount = figures.quantity(roll, self.speaker)
        elif "count" in row:
            amount = str(row["count"])
            if row.get("typical_count", row["count"]) < row["count"]:
                details.append(self._say("report-usually", count=Count(row["typical_count"])))
        if "boxes" in row:
            details.append(self._say("report-boxes", boxes=Count(row["boxes"])))
        lifted = row.get("lifted_by", ())
        first = (self._say("report-not-before", fields=Code(self.labels.fields(lifted))),) if lifted else ()
        stands = {one["id"] for one in row["conditions"]}
        # What is open is asked above, so that questions may stand for what each leaves open.
        left = _ASKED_ABOVE if _OPEN in stands else frozenset()
        told = sorted((one for one in row["conditions"] if one["id"] not in left), key=lambda one: one["id"] != _OPEN)
        conditions = (*first, *(self._condition(one, row["places"]) for one in told))
        short = row.get("grade", "").removeprefix("FEPA ")
        forms = dict.fromkeys(can["label"] for can in row["containers"])
        group = f"{row['machine']}, {', '.join(forms)}" if "machine" in row else ""
        return Purchase(
            row["kind"], row["title"], amount, tuple(details), conditions, group, short, row.get("count", 0)
        )

    def _condition(self, one: Json, places: Iterable[str]) -> str:
        where = "" if {*one["places"]} >= {*places} else self.where(one["places"])
        return f"{one['message']} ({where})" if where else str(one["message"])

    def _routes(self) -> Iterator[str]:
        """Yield the route that is taken on each floor, the floors of one route together."""
        taken: dict[str, list[str]] = {}
        for step in self.answer["steps"]:
            if "route" in step:
                taken.setdefault(step["route"], []).extend(step["places"])
        for label, places in taken.items():
            where = self.where(places)
            yield f"{label} ({where})" if where else label

    def _work(self) -> tuple[list[Work], str]:
        lines = [line for line in self.answer["hours"] if line["scope"] == "person-hours"]
        if not lines:
            return [], ""
        total = self.answer["totals"]["person_hours"]["mean"]
        counts = figures.tenths([_mean(one) for one in lines], total)
        grouped: dict[str, list[tuple[Json, int]]] = {}
        for line, count in zip(lines, counts, strict=True):
            grouped.setdefault(line["label"], []).append((line, count))
        pieces = [
            Work(
                label,
                figures.hours(sum(count for _, count in rows), self.speaker),
                tuple(self._row(line, count) for line, count in rows),
            )
            for label, rows in grouped.items()
        ]
        return pieces, figures.hours(sum(counts), self.speaker)

    def _row(self, line: Json, count: int) -> Row:
        time = line["time"]
        span = ""
        if "low" in time:
            low, high = (figures.hours(round(10 * time[end]), self.speaker) for end in ("low", "high"))
            span = self._say("report-span", low=Code(low), high=Code(high))
        return Row(
            self.where(line["components"]) or self._say("report-whole"), figures.hours(count, self.speaker), span
        )

    def _elapsed(self) -> Iterator[str]:
        for line in self.answer["hours"]:
            if line["scope"] == "elapsed":
                count = figures.hours(round(10 * _mean(line)), self.speaker)
                people = Count(line.get("people", 1))
                yield self._say("report-elapsed", work=Code(line["label"]), hours=Code(count), people=people)

    def _waste(self, row: Json) -> Said:
        mass = figures.quantity(row["waste_mass"], self.speaker)
        text = self._say("report-waste", what=Code(row["title"]), mass=Code(mass), container=Code(row["container"]))
        why = self.speaker.word("report-hazardous", row["hazardous"])
        return Said(row["id"], "note", text, why=why, do=tuple(row["ending"]))

    def _assumption(self, row: Json) -> Assumption:
        text = self._say("report-assumed", label=Code(row["label"]), value=Code(row["assumed"]))
        if "effect" not in row:
            return Assumption(text, "", row["route_taken"])
        by = Share(row["effect"])
        moved = self._say("report-moves", output=Code(row.get("output", "")), effect=by)
        return Assumption(text, moved, row["route_taken"])

    def _not_planned(self) -> Iterator[Open]:
        for step in self.answer["steps"]:
            status = step["status"]
            if status in ("not-planned", "blocked", "partial", "stopped"):
                fields = step.get("lifted_by") or step.get("unlock", ())
                places = self.where(step.get("places", ())) if status != "not-planned" else ""
                label = self.labels.step(step["id"])
                yield Open(f"{label} ({places})" if places else label, step.get("why", ""), self.labels.fields(fields))


def _mean(line: Json) -> float:
    return float(line["time"]["mean"])
