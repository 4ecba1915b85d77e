"""Build the report of a plan from its answer: texts are chosen and joined here, nothing is calculated."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Final

import msgspec

from latewood.messages import Code, Moment, Name, Share, Speaker
from latewood.messages.binding import capital
from latewood.report import figures
from latewood.report.labels import Json, Labels, Reader, beside
from latewood.report.model import Assumption, Open, Reason, Report, Said, Verdict
from latewood.report.purchases import Purchases
from latewood.report.tasks import Tasks
from latewood.report.work import Works

#: Severities that can injure people or destroy the house, and those that ruin the job.
_DANGERS: Final = ("stop", "danger")
_WARNINGS: Final = ("warning", "caution")
_WINDOWS: Final = "cure-windows"
#: What the line on the start says.
_NOTHING_OPENS: Final = "nothing-opens-window"
_AT_START: Final = ("window-opens", _NOTHING_OPENS)
#: The reason of a verdict that there is no window.
_NO_START: Final = "cure-windows-no"
#: What the line on drying says in the order of work.
_DRIES: Final = ("wash-waits", "dry-after-wash", "wait-after-wetting")
#: The reason of a verdict that drops of water do not soak in.
_DROPS: Final = "drops-wait"
#: Steps that a route which sands asks for.
_SANDS: Final = ("fasteners", "abrasive-sequence")


def report(plan: Json, speaker: Speaker) -> Report:
    """Return the report of a plan."""
    answer = {
        **plan,
        "findings": msgspec.to_builtins(plan["findings"]),
        "cautions": msgspec.to_builtins(plan["cautions"]),
    }
    return _Builder(answer, speaker).report()


class _Builder(Reader):
    def __init__(self, answer: Json, speaker: Speaker) -> None:
        super().__init__(answer, speaker, Labels(answer, speaker))
        tasks = Tasks(answer, speaker, self.labels)
        stops, questions = [*tasks.stops()], [*tasks.questions()]
        self.tasks = (*stops, *questions) or tuple(tasks.unasked())
        #: The number of each question among the tasks, by the reason of a verdict that waits for it.
        numbers = {one.text: count for count, one in enumerate(questions, 1 + len(stops))}
        self.numbers = {f"question-{row['topic']}": numbers[row["question"]] for row in answer["questions"]}
        self.work = Works(answer, speaker, self.labels)
        self.dried = {*self.work.drying()}
        #: The line that every caution ends with.
        ends = {one["do"][-1] for one in answer["cautions"] if one.get("do")}
        self.end = ends.pop() if len(ends) == 1 else ""

    def report(self) -> Report:
        work, total = self.work.work()
        return Report(
            title=self._title(),
            parts=self._parts(),
            verdicts=tuple(map(self._verdict, self.answer["verdicts"])),
            start=tuple(dict.fromkeys(self._start())),
            tasks=self.tasks,
            dangers=(*self._cautions(_DANGERS), *self._findings(_DANGERS)),
            warnings=(*self._cautions(_WARNINGS), *self._findings(_WARNINGS)),
            caution_end=self.end,
            purchases=Purchases(self.answer, self.speaker, self.labels).rows(),
            routes=tuple(self._routes()),
            work=tuple(work),
            person_hours=total,
            elapsed=tuple(self.work.elapsed()),
            hand_over=tuple(
                line["text"] for row in self.answer["totals"].get("hand_over", ()) for line in row["lines"]
            ),
            waste=tuple(map(self._waste, self.answer["totals"].get("waste", ()))),
            assumed=tuple(map(self._assumption, self.answer["assumptions"])),
            notes=tuple(self._findings(("note",))),
            not_planned=tuple(self._not_planned()),
        )

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
                reasons.append(
                    Reason(
                        one["message"].removesuffix("."), "" if {*one["places"]} >= mine else self.where(one["places"])
                    )
                )
        if numbers:
            listed = [Code(str(number)) for number in sorted({*numbers})]
            reasons.insert(0, Reason(self._say("report-open", questions=listed)))
        where = "" if {*self.labels.whole} <= mine else self.where(row["components"])
        return Verdict(row["verdict"], words, where, tuple(reasons))

    def _start(self) -> Iterator[str]:
        """Yield when work may start, as far as the plan knows: by the weather, and when to read again."""
        coats = [row for row in self.answer["verdicts"] if row["phase"] == "coat"]
        go = [row["verdict"] for row in coats]
        weather_alone = {one["id"] for row in coats for one in row["reasons"]} <= {_NO_START}
        nothing_opens = any(one["id"] == _NOTHING_OPENS for one in self.answer["findings"])
        for step in self.answer["steps"]:
            if step["calculator"] != _WINDOWS:
                continue
            if "result" not in step:
                yield self._say("report-no-start", why=Code(step.get("why", "")))
            elif ways := not step["result"]["windows"] and step["result"]["proposals"]:
                told = "report-opens" if weather_alone else "report-weather-opens"
                yield self._say(told, ways=[Code(one["text"]) for one in ways])
            elif not step["result"]["windows"]:
                yield self._say("report-nothing-opens" if nothing_opens else "report-no-window")
            else:
                window = step["result"]["windows"][0]
                at = Moment(datetime.fromisoformat(window["best_start"]))
                risky = window["verdict"] == "at-risk"
                if {*go} == {"go"}:
                    yield self._say("report-start-at-risk" if risky else "report-start", at=at)
                else:
                    yield self._say("report-weather-at-risk" if risky else "report-weather", at=at)
        reasons = [one for row in self.answer["verdicts"] for one in row["reasons"]]
        again = {
            (datetime.fromisoformat(at), one["id"], *one["places"]) for one in reasons for at in one.get("until", ())
        }
        for at, id, *places in sorted(again):
            said = self._say("report-test-again" if id == _DROPS else "report-look-again", at=Moment(at))
            yield beside(said, self.where(places))

    def _cautions(self, severities: Sequence[str]) -> Iterator[Said]:
        chosen = [one for one in self.answer["cautions"] if one["severity"] in severities]
        for one in sorted(chosen, key=lambda one: (severities.index(one["severity"]), one["rank"])):
            do = tuple(line for line in one["do"] if line != self.end)
            places = one.get("places", ())
            brief = tuple(one["brief"])
            yield Said(one["id"], one["severity"], one["title"], self.where(places), one["message"], brief, do)

    def _findings(self, severities: Sequence[str]) -> Iterator[Said]:
        """Yield findings by severity; those that say the same of several parts stand once."""
        grouped: dict[tuple[str, str], list[Json]] = {}
        stopped = {(stop["finding"], stop["id"]) for stop in self.answer["stopped"]}
        for one in self.answer["findings"]:
            if one["id"] in _AT_START or (one["id"] in _DRIES and {*one.get("places", ())} <= self.dried):
                continue
            at = {(one["id"], id) for id in one.get("places", ())}
            if one["severity"] == "stop" and at and at <= stopped:
                # The list of what is stopped says it, with what lifts it.
                continue
            if one["severity"] in severities:
                grouped.setdefault((one["severity"], self._said(one)), []).append(one)
        for (severity, text), alike in sorted(grouped.items(), key=lambda item: severities.index(item[0][0])):
            messages = {one["message"] for one in alike}
            shown = messages.pop() if len(messages) == 1 else text
            parts = [id for one in alike for id in one.get("places", ())]
            yield Said(alike[0]["id"], severity, shown, "" if self._names(shown, parts) else self.where(parts))

    def _names(self, shown: str, parts: Sequence[str]) -> bool:
        """Return whether a text begins with all of its parts, as one that speaks of several does."""
        head, found, _ = shown.partition(": ")
        named = [str(self.labels.components[id]["label"]) for id in parts if id in self.labels.components]
        return bool(found) and len(named) > 1 and all(name.casefold() in head.casefold() for name in named)

    def _said(self, finding: Json) -> str:
        """Return what a finding says of its part, without the name of the part before it."""
        message = str(finding["message"])
        for id in finding.get("places", ()):
            lead = f"{self.labels.components[id]['label']}: " if id in self.labels.components else ""
            if lead and message[: len(lead)].casefold() == lead.casefold():
                return capital(message[len(lead) :])
        return message

    def _routes(self) -> Iterator[str]:
        """Yield the route that is taken on each floor, the floors of one route together."""
        taken: dict[str, list[str]] = {}
        for step in self.answer["steps"]:
            if "route" in step:
                taken.setdefault(step["route"], []).extend(step["places"])
        for label, places in taken.items():
            where = self.where(places)
            yield beside(label, where)

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
        moved = self._say("report-moves", output=Code(row.get("output_label", "")), effect=by)
        return Assumption(text, moved, row["route_taken"])

    def _not_planned(self) -> Iterator[Open]:
        sanded = self._sands()
        for step in self.answer["steps"]:
            status = step["status"]
            # What the route asks for and the job leaves out is no step that is not needed.
            left_out = status == "skipped" and sanded and step["calculator"] in _SANDS
            if left_out or status in ("not-planned", "blocked", "partial", "stopped"):
                fields = step.get("lifted_by") or step.get("unlock", ())
                places = self.where(step.get("places", ())) if status != "not-planned" else ""
                label = self.labels.step(step["id"])
                yield Open(beside(label, places), step.get("why", ""), self.labels.fields(fields))

    def _sands(self) -> bool:
        """Return whether a route that is taken sands or scuffs."""
        results = [step["result"] for step in self.answer["steps"] if "result" in step]
        taken = [row for one in results if "routes" in one for row in one["routes"] if row["id"] == one.get("chosen")]
        return any(step["does"] in ("sand", "scuff") for row in taken for step in row.get("steps", ()))
