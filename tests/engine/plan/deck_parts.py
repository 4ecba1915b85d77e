"""What a plan says of each part of a deck: read from the answer alone, to hold one step against another."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

FLOOR: Final = frozenset({"field", "perimeter", "gap-faces", "end-grain"})
TABLES: Final = {"stair": "stairs", "guard": "guards"}
#: Gates of condition behind which nothing may be planned.
SHUT: Final = frozenset({"stop-structure", "replace", "fix-cause-first", "refused"})
#: Steps whose stops are about parts; those after them say that something cannot be bought or timed at all.
DECIDING: Final = frozenset({"condition", "preparation", "wash", "abrasive-sequence", None})


@dataclass(frozen=True)
class Deck:
    """A job and its plan."""

    job: Mapping[str, Any]
    plan: Mapping[str, Any]

    @cached_property
    def parts(self) -> dict[str, Mapping[str, Any]]:
        """Zones and components by their ids in the plan, each with what holds for it."""
        defaults = self.job.get("defaults", {})
        zones = {zone["id"]: {**defaults, **zone} for zone in self.job["zones"]}
        first = self.job["zones"][0]["id"]
        found: dict[str, Mapping[str, Any]] = dict(zones)
        for table in ("stairs", "guards", "extras"):
            for own in self.job.get(table, ()):
                zone = own.get("zone", first)
                found[f"{zone}/{table}/{own['id']}"] = {**zones[zone], **own}
        return found

    def owner(self, face: Mapping[str, Any]) -> str:
        """The part a face of any step belongs to."""
        if face.get("item") is None:
            return str(face["zone"])
        return f"{face['zone']}/{TABLES.get(face['part'], 'extras')}/{face['item']}"

    def results(self, calculator: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
        """Step ids and results of one calculator."""
        for step in self.plan["steps"]:
            if step["calculator"] == calculator and "result" in step:
                yield step["id"], step["result"]

    @cached_property
    def calculators(self) -> dict[str, str]:
        """Calculator of each step."""
        return {step["id"]: step["calculator"] for step in self.plan["steps"]}

    @cached_property
    def stopped(self) -> set[str]:
        """Parts that any step stops: by its gate, its verdict, or a finding of severity stop."""
        found = {row["id"] for _, result in self.results("condition") for row in result["components"] if _shut(row)}
        for step, result in self.results("preparation"):
            rows = {row["id"]: row["standing"] for row in result["routes"]}
            if rows.get(result["chosen"], "forbidden") == "forbidden":
                found |= self.of_step(step)
        for step, result in self.results("wash"):
            found |= self.of_step(step) if result["verdict"] == "stop" else set()
        for finding in self.plan["findings"]:
            step = finding.get("step")
            if finding["severity"] == "stop" and self.calculators.get(step) in DECIDING:
                named = {self.names[word] for word in _words(finding.get("params", {})) if word in self.names}
                named |= {word for word in _words(finding.get("params", {})) if word.endswith("/frame")}
                found |= named or self.of_step(step or "")
        return found & self.parts.keys()

    @cached_property
    def kept_off(self) -> set[str]:
        """Zones whose floor may give way, with those that lie within one."""
        rows = [row for _, result in self.results("condition") for row in result["components"]]
        zones = {zone["id"]: zone.get("part_of") for zone in self.job["zones"]}
        found = {row["id"] for row in rows if row["id"] in zones and row["gate"] == "stop-structure"}
        for _ in zones:
            found |= {zone for zone, outer in zones.items() if outer in found}
        return found

    def worked_on_from(self, part: str) -> str:
        """The zone whose floor people stand on to work on a part; nothing where they reach it from the ground."""
        zone, _, rest = part.partition("/")
        stands = rest.startswith(("guards/", "stairs/")) or self.parts[part].get("part") in ("bench", "post")
        return zone if stands or not rest else ""

    @cached_property
    def names(self) -> dict[str, str]:
        """Parts by every name a finding may have for them or for one of their faces."""
        faces = next(self.results("area"))[1]["faces"]
        by_face = {"-".join(filter(None, (f["zone"], f["part"], f.get("item")))): self.owner(f) for f in faces}
        return {**by_face, **{part: part for part in self.parts}}

    def of_step(self, step: str) -> set[str]:
        """The zone a step is about; all of them where it names none."""
        zones = [zone["id"] for zone in self.job["zones"]]
        return {zone for zone in zones if step.endswith(f"-{zone}")} if len(zones) > 1 else set(zones)

    @cached_property
    def not_laid(self) -> bool:
        """Whether the way of laying the finish on is stopped, on every part alike."""
        rows = [row for _, result in self.results("masking") for row in result["works"]]
        return any(row["verdict"] == "stop" for row in rows)

    def coated(self, part: str) -> bool:
        """Say whether a part is of wood and takes a finish."""
        fields = self.parts[part]
        return fields.get("coating") is not None and fields.get("material") != "composite"

    def wanted(self) -> Counter[tuple[str, str, str]]:
        """Area to be bought for, by coating, zone and part of the deck: all of it but for what is stopped."""
        found: Counter[tuple[str, str, str]] = Counter()
        if self.not_laid:
            return found
        skipped = {id for f in self.plan["findings"] if f["id"] == "film-out-of-reach" for id in f["params"]["parts"]}
        for face in next(self.results("area"))[1]["faces"]:
            part = self.owner(face)
            fields = self.parts[part]
            reached = face["part"] not in ("gap-faces", "lattice") and face.get("side") is None
            left = part in skipped and not reached
            bare = face["part"] == "gap-faces" and fields.get("gap_faces") == "bare"
            known = fields.get("species") is not None or fields.get("coating") == "leave-to-grey"
            if self.coated(part) and part not in self.stopped and known and not bare and not left:
                found[fields["coating"], face["zone"], face["part"]] += face["area"]["value"]
        return found


def planned_for_stopped(deck: Deck) -> Iterator[str]:
    """Yield every line of a plan that works on, buys for or schedules a part that a step stops."""
    stopped, plan = deck.stopped, deck.plan
    listed = {row["id"] for row in plan["stopped"]}
    said = {finding["id"] for finding in plan["findings"]}
    yield from (f"{part} is not listed as stopped" for part in stopped - listed)
    yield from (f"{part} is listed as stopped by nothing" for part in listed & deck.parts.keys() - stopped)
    held = {part for part in deck.parts if deck.worked_on_from(part) in deck.kept_off}
    yield from (f"{part} is worked on from a floor people keep off" for part in held - listed)
    yield from (f"nothing says {row['finding']}" for row in plan["stopped"] if row["finding"] not in said)
    yield from _purchases(deck)
    for step, result in deck.results("abrasive-sequence"):
        rows = [row for row in result["rows"] if row["status"] == "planned"]
        yield from (f"{row['id']} is sanded by {step}" for row in rows if deck.owner(row) in stopped)
    for step, result in deck.results("wash"):
        washed = deck.of_step(step) & stopped if result["verdict"] == "go" else set()
        yield from (f"{zone} is washed by {step}" for zone in washed)
    for calculator, rows in (("fasteners", "zones"), ("moisture-readiness", "zones"), ("wipe-cadence", "runs")):
        for step, result in deck.results(calculator):
            yield from (f"{row['id']} is in {step}" for row in result[rows] if row["id"] in stopped)
            yield from (step for _ in result[rows] if calculator == "wipe-cadence" and deck.not_laid)
    yield from _windows(deck)
    yield from _masking(deck)


def _purchases(deck: Deck) -> Iterator[str]:
    """Hold the areas that are bought for against the faces that are not stopped."""
    wanted = deck.wanted()
    for coating in {coating for coating, _, _ in wanted} | {deck.parts[part].get("coating") for part in deck.parts}:
        named = f"coverage-{coating}"
        mine = [
            result for step, result in deck.results("coverage") if step == named or step[len(named) + 1 :].isdigit()
        ]
        for rows, place in (("zones", 1), ("parts", 2)):
            bought: Counter[str] = Counter()
            for result in mine:
                for row in result[rows]:
                    bought[row["id"]] += row["area"]["value"]
            asked: Counter[str] = Counter()
            for key, area in wanted.items():
                if key[0] == coating:
                    asked[key[place]] += area
            for id in bought.keys() | asked.keys():
                if not math.isclose(bought[id], asked[id], rel_tol=1e-6, abs_tol=1e-9):
                    yield f"{named}: {bought[id]:g} of {id} is bought for, {asked[id]:g} is not stopped"


def _windows(deck: Deck) -> Iterator[str]:
    floors = set() if deck.not_laid else {zone["id"] for zone in deck.job["zones"]} - deck.stopped
    coatings = {deck.parts[zone].get("coating") for zone in floors if deck.coated(zone)}
    steps = {step for step, _ in deck.results("cure-windows")}
    for step in steps:
        if not any(step.startswith(f"cure-windows-{coating}") for coating in coatings):
            yield f"{step} is for no floor that is coated"
    handed = {row["step"] for row in deck.plan["totals"].get("hand_over", ())}
    yield from (f"{step} is handed over" for step in handed - steps)


def _masking(deck: Deck) -> Iterator[str]:
    rows = [row for _, result in deck.results("abrasive-sequence") for row in result["rows"]]
    work = {
        "washing": any(result["verdict"] == "go" for _, result in deck.results("wash")),
        "sanding": any(row["status"] == "planned" for row in rows),
        **dict.fromkeys(("brushing", "spraying"), any(deck.coated(p) and p not in deck.stopped for p in deck.parts)),
    }
    for step, result in deck.results("masking"):
        yield from (f"{step} covers for {row['id']}" for row in result["works"] if not work.get(row["id"], False))


def _shut(row: Mapping[str, Any]) -> bool:
    return row["gate"] in SHUT


def _words(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping | list):
        for one in value.values() if isinstance(value, Mapping) else value:
            yield from _words(one)
