"""An answer of the engine, read by the parts of the deck it speaks of."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

import msgspec
from tests.bundled import bundled
from tests.plans import planned

from latewood.problems import Fault, InputProblem
from latewood.wire import Options

#: How bad a finding or caution is, from least to worst.
SEVERITIES: Final = ("note", "caution", "warning", "danger", "stop")
FLOOR: Final = frozenset({"field", "perimeter", "gap-faces", "end-grain"})
TABLES: Final = {"guards": "guard", "stairs": "stair"}
#: What the chemistry of an agent does to arsenical wood, or to a body.
FAMILIES: Final = {
    "acid": frozenset({"acid"}),
    "percarbonate": frozenset({"oxidiser"}),
    "hypochlorite": frozenset({"oxidiser", "hypochlorite"}),
    "hydroxide": frozenset({"caustic"}),
    "solvent": frozenset({"solvent"}),
    "detergent": frozenset({"detergent"}),
}


@dataclass(frozen=True)
class Answer:
    """What came back: the answer, or the faults of a refusal."""

    tree: Mapping[str, Any]
    raw: Mapping[str, Any]
    faults: tuple[Fault, ...]
    chemistry: Mapping[str, str]

    @cached_property
    def steps(self) -> list[Mapping[str, Any]]:
        """Return the steps that have a result."""
        return [step for step in self.raw.get("steps", ()) if step.get("result") is not None]

    def results(self, calculator: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
        """Return step ids and results of one calculator."""
        for step in self.steps:
            if step["calculator"] == calculator:
                yield step["id"], step["result"]

    @cached_property
    def said(self) -> list[Mapping[str, Any]]:
        """Return findings and cautions alike."""
        return [*self.raw.get("findings", ()), *self.raw.get("cautions", ())]

    @cached_property
    def prose(self) -> str:
        """Return everything a person reads in it."""
        texts = [[s.get("message", ""), *s.get("do", ())] for s in self.said]
        why = [str(step.get("why", "")) for step in self.raw.get("steps", ())]
        results = json.dumps([step["result"] for step in self.steps])
        return "\n".join([*(line for text in texts for line in text), *why, results])

    # What the job says of a part -------------------------------------------------------------------------------------

    def fields(self, part: str) -> Mapping[str, Any]:
        """Return what the job says of a zone or component, its zone and the defaults filled in."""
        zone, table, own = _split(part)
        said = dict(self.tree.get("defaults", {}))
        said |= next((z for z in self.tree.get("zones", ()) if z["id"] == zone), {})
        if table is not None:
            said |= next((item for item in self.tree[table] if item["id"] == own), {})
        return said

    def aliases(self, part: str) -> frozenset[str]:
        """Return the names by which an answer may call a part."""
        zone, table, own = _split(part)
        if table is None:
            return frozenset({part, *(f"{part}-{face}" for face in FLOOR)})
        if own is None:
            return frozenset({part})
        kind = TABLES.get(table) or self.fields(part)["part"]
        return frozenset({part, f"{zone}-{kind}-{own}"})

    def kinds(self, part: str) -> frozenset[str]:
        """Return what the take-off calls the faces of a part."""
        _, table, _ = _split(part)
        if table is None:
            return FLOOR
        return frozenset({TABLES.get(table) or self.fields(part)["part"]})

    # What the answer plans for a part --------------------------------------------------------------------------------

    def buys(self, part: str) -> list[str]:
        """Return the purchases that count a part in."""
        zone, coating = _split(part)[0], self.fields(part).get("coating", "")
        found = []
        for step, result in self.results("coverage"):
            zones = {row["id"] for row in result["zones"] if number(row["area"]) > 0}
            parts = {row["id"] for row in result["parts"] if number(row["area"]) > 0}
            mine = step == "coverage" or step.startswith(f"coverage-{coating}")
            if mine and zone in zones and parts & self.kinds(part):
                found.append(step)
        return found

    def sands(self, part: str) -> list[str]:
        """Return the rows, and of a floor the routes taken or recommended, by which a machine sands a part."""
        zone, table, own = _split(part)
        found = [
            f"{step}: {row['id']}"
            for step, result in self.results("abrasive-sequence")
            for row in result["rows"]
            if row["status"] == "planned"
            and row["zone"] in (zone, "all")
            and row["part"] in self.kinds(part)
            and (own is None or row.get("item") == own)
        ]
        if table is None:
            found += [
                f"{step}: {route['id']}"
                for step, route in self.routes(part)
                if any(one["does"] in ("sand", "scuff") for one in route["steps"])
            ]
        return found

    def routes(self, part: str | None = None, *, taken: bool = False) -> Iterator[tuple[str, Mapping[str, Any]]]:
        """Return the routes that are taken or recommended, of one zone or of all; or only those that are taken."""
        for step, result in self.results("preparation"):
            if part is None or step in ("preparation", f"preparation-{part}"):
                for route in result["routes"]:
                    # A route somebody chose against a prohibition is shown as chosen, and not taken.
                    named = route["id"] in (result["chosen"], result["chosen" if taken else "recommendation"])
                    if named and route["standing"] != "forbidden":
                        yield step, route

    def washes(self, part: str | None = None) -> list[tuple[str, Mapping[str, Any]]]:
        """Return the washes that are planned, of one zone or of all."""
        return [
            (step, result)
            for step, result in self.results("wash")
            if (part is None or step in ("wash", f"wash-{part}")) and result["verdict"] == "go" and result["stages"]
        ]

    def agents(self) -> dict[str, str]:
        """Return the agents of the washes that are planned and of the routes that are taken, with where they stand."""
        found = {}
        for step, result in self.washes():
            found |= {stage["agent"]: step for stage in result["stages"]}
        for step, route in self.routes():
            found |= {one["agent"]: f"{step}: {route['id']}" for one in route["steps"] if one.get("agent")}
        return found

    def families(self, agent: str) -> frozenset[str]:
        """Return what an agent is to arsenical wood."""
        return FAMILIES.get(self.chemistry.get(agent, agent), frozenset({agent}))

    def windows(self, part: str) -> list[str]:
        """Return the steps that give hours for coating a part, or tell when it may be used."""
        coating = self.fields(part).get("coating", "")
        return [
            step
            for step, result in self.results("cure-windows")
            if (step == "cure-windows" or step.startswith(f"cure-windows-{coating}"))
            and (result["windows"] or result["hand_over"] or result["timeline"])
        ]

    def cadences(self, zone: str | None = None) -> list[str]:
        """Return the steps that give bands to lay and wipe, of one zone or of all."""
        return [
            step
            for step, result in self.results("wipe-cadence")
            if result["verdict"] != "no"
            and (result["bands"] or result["timeline"])
            and (zone is None or any(run["id"] == zone for run in result["runs"]))
        ]

    def fastens(self, zone: str) -> list[str]:
        """Return the steps that count fasteners of a zone to see to."""
        return [step for step, result in self.results("fasteners") if any(row["id"] == zone for row in result["zones"])]

    def masks(self) -> list[str]:
        """Return the kinds of work the surroundings are covered for."""
        return [row["id"] for _, result in self.results("masking") for row in result["works"] if row["verdict"] == "go"]

    def work(self, part: str) -> list[str]:
        """Return every step that plans work on a part."""
        found = self.sands(part)
        if "/" not in part:
            washed = [step for step, _ in self.washes(part)]
            routed = [f"{step}: {route['id']}" for step, route in self.routes(part, taken=True)]
            found += washed + routed + self.fastens(part) + self.cadences(part)
        return found

    # What the answer says --------------------------------------------------------------------------------------------

    def names(self, said: Mapping[str, Any], part: str) -> bool:
        """Say whether a finding or caution is about a part: it names it, points at it, or names no part at all."""
        if applies := said.get("places"):
            return bool(self.aliases(part) & set(applies))
        if self._mentions(said, part):
            return True
        return not any(self._mentions(said, other) for other in self.parts if other != part)

    @cached_property
    def parts(self) -> list[str]:
        """Return every zone and component of the job."""
        zones = [zone["id"] for zone in self.tree.get("zones", ())]
        owned = [
            f"{item.get('zone', zones[0])}/{table}/{item['id']}"
            for table in ("stairs", "guards", "extras")
            for item in self.tree.get(table, ())
        ]
        return [*zones, *owned]

    def _mentions(self, said: Mapping[str, Any], part: str) -> bool:
        zone, table, own = _split(part)
        table = table or "zones"
        params = _words(said.get("params", {}))
        if self.aliases(part) & params:
            return True
        pointer = said.get("pointer") or ""
        for place, item in enumerate(self.tree.get(table, ()) if own or table == "zones" else ()):
            if item["id"] == (own or zone) and pointer.startswith(f"/{table}/{place}/"):
                return True
        return False


def ask(calculator: str | None, tree: Mapping[str, Any]) -> Answer:
    """Return what the engine makes of a job, or of a request to one calculator."""
    engine = bundled()
    chemistry = {agent.id: agent.chemistry for agent in engine.shelf.records("wash-agent").values()}
    try:
        if calculator is None:
            raw = planned(tree)
        else:
            answer = engine.answer(calculator, tree, Options())
            raw = {**answer, "steps": [{"id": calculator, "calculator": calculator, "result": answer["result"]}]}
    except InputProblem as problem:
        return Answer(tree, {}, problem.faults, chemistry)
    return Answer(tree, msgspec.to_builtins(raw), (), chemistry)


def number(value: Any) -> float:
    """Return the middle of a quantity, or a plain number."""
    return float(value["value"] if isinstance(value, Mapping) else value)


def _split(part: str) -> tuple[str, str | None, str | None]:
    """Return zone, table and id of a part; the frame of a zone has no id."""
    zone, *rest = part.split("/")
    return zone, rest[0] if rest else None, rest[1] if len(rest) > 1 else None


def _words(value: Any) -> set[str]:
    """Return every word that stands by itself in a tree."""
    if isinstance(value, str):
        return {value}
    values = value.values() if isinstance(value, Mapping) else value if isinstance(value, list | tuple) else ()
    return {word for item in values for word in _words(item)}
