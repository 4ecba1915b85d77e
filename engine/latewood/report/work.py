"""The work of a plan in its order, with hours in tenths that add up."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec

from latewood.messages import Between, Code, Count, Time
from latewood.report import figures
from latewood.report.labels import Json, Reader, beside
from latewood.report.model import Row, Work


class Works(Reader):
    """Reads the hours of one plan."""

    def work(self) -> tuple[list[Work], str]:
        """Return pieces of work, and the hours they add up to."""
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
                tuple(self._row(line, count, alike=_alike(line, rows)) for line, count in rows),
                tuple(dict.fromkeys(self._dried(line for line, _ in rows))),
            )
            for label, rows in grouped.items()
        ]
        told: set[str] = set()
        # Wood dries once, after its last water.
        for place, piece in reversed([*enumerate(pieces)]):
            pieces[place] = msgspec.structs.replace(piece, after=tuple(one for one in piece.after if one not in told))
            told.update(piece.after)
        return pieces, figures.hours(sum(counts), self.speaker)

    def drying(self) -> dict[str, Json]:
        """Return by part how long washed wood dries on the route that is taken."""
        results = [(step, step["result"]) for step in self.answer["steps"] if "routes" in step.get("result", {})]
        return {
            place: route["drying_time"]
            for step, result in results
            for route in result["routes"]
            if route["id"] == result.get("chosen") and "drying_time" in route
            for place in step["places"]
        }

    def _dried(self, lines: Iterable[Json]) -> Iterator[str]:
        """Yield how long washed wood waits after the work of its route."""
        steps = {step["id"]: step["result"] for step in self.answer["steps"] if "result" in step}
        waits = {row["id"]: row["common_wait"] for result in steps.values() for row in _waits(result)}
        drying = self.drying()
        for line in lines:
            if "routes" not in steps[line["step"]] or not (parts := [id for id in line["components"] if id in drying]):
                continue
            time = Code(figures.quantity(drying[parts[0]], self.speaker))
            common = [waits[id] for id in parts if id in waits]
            if common:
                usual = Between(Time(3600 * common[0]["low"]), Time(3600 * common[0]["high"]))
                said = self._say("report-dry-usual", time=time, usual=usual)
            else:
                said = self._say("report-dry", time=time)
            yield beside(said, self.where(parts))

    def _row(self, line: Json, count: int, *, alike: bool) -> Row:
        time = line["time"]
        span = ""
        if "low" in time:
            low, high = (figures.hours(round(10 * time[end]), self.speaker) for end in ("low", "high"))
            span = self._say("report-span", low=Code(low), high=Code(high))
        where = self.where(line["components"]) or self._say("report-whole")
        label = f"{where}, {line['face_label']}" if alike and "face_label" in line else where
        return Row(label, figures.hours(count, self.speaker), span)

    def elapsed(self) -> Iterator[str]:
        """Yield what takes so long by the clock."""
        for line in self.answer["hours"]:
            if line["scope"] == "elapsed":
                count = figures.hours(round(10 * _mean(line)), self.speaker)
                people = Count(line.get("people", 1))
                yield self._say("report-elapsed", work=Code(line["label"]), hours=Code(count), people=people)


def _alike(line: Json, rows: Iterable[tuple[Json, int]]) -> bool:
    """Return whether another row of the same work is for the same parts."""
    return any(other is not line and other["components"] == line["components"] for other, _ in rows)


def _waits(result: Json) -> list[Json]:
    """Return the zones of a step that say how long common practice waits."""
    return [row for row in result.get("zones", ()) if "common_wait" in row]


def _mean(line: Json) -> float:
    return float(line["time"]["mean"])
