"""Quantities of one meaning that more than one step of a plan reports, in one table: name, unit, scope, who reports it.

A step reports a quantity for a scope: the floor of a zone, or the job. Two reports for one scope are equal. What a step
reports for a whole is the sum of what another reports for its parts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import pytest
from tests.engine.plan.buying import abrasives

#: Values by scope, such as the floor of a zone.
Values = Mapping[str, Any]
Steps = Mapping[str, list[dict[str, Any]]]
Reader = Callable[[Steps], Values]


@dataclass(frozen=True)
class Quantity:
    """A quantity, the scope it is reported for, and the steps that report it."""

    name: str
    unit: str
    scope: str
    reports: Mapping[str, Reader]


@dataclass(frozen=True)
class Sum:
    """A quantity of a whole, and the parts it is the sum of."""

    name: str
    unit: str
    whole: Reader
    parts: Callable[[Steps], Mapping[str, list[Any]]]


def route_of(step: dict[str, Any]) -> dict[str, Any]:
    """Return the route the plan goes by; nothing where none may be taken."""
    result = step["result"]
    return next((r for r in result["routes"] if r["id"] == result["chosen"] and r["standing"] != "forbidden"), {})


def routes(steps: Steps) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield zone and chosen route of every floor that the sequence sands."""
    sanded = {row["id"] for step in steps.get("abrasive-sequence", ()) for row in step["result"]["floors"]}
    for step in steps.get("preparation", ()):
        (zone,) = step["zones"]
        if zone in sanded:
            yield zone, route_of(step)


def by_route(name: str) -> Reader:
    return lambda steps: {zone: route.get(name) for zone, route in routes(steps)}


def by_floor(name: str) -> Reader:
    return lambda steps: {
        row["id"]: row.get(name) for step in steps.get("abrasive-sequence", ()) for row in step["result"]["floors"]
    }


def rows(steps: Steps) -> list[dict[str, Any]]:
    return [row for step in steps.get("abrasive-sequence", ()) for row in step["result"]["rows"]]


def of_route_step(does: tuple[str, ...], name: str) -> Reader:
    """Read a field of the step of a route that does something."""

    def read(steps: Steps) -> Values:
        found = {}
        for zone, route in routes(steps):
            for step in route.get("steps", ()):
                if step["does"] in does and name in step:
                    found[zone] = step[name]
        return found

    return read


def agents(steps: Steps, name: str) -> Values:
    """Read what each agent of the chosen route of a zone takes, where the zone is washed."""
    washed = {step["zones"][0] for step in steps.get("wash", ()) if step["result"]["verdict"] == "go"}
    return {
        f"{step['zones'][0]}, {row['agent']}": row.get(name)
        for step in steps.get("preparation", ())
        for row in route_of(step).get("steps", ())
        if "agent" in row and step["zones"][0] in washed
    }


def stages(steps: Steps, name: str) -> Values:
    return {
        f"{step['zones'][0]}, {row['agent']}": row.get(name)
        for step in steps.get("wash", ())
        for row in step["result"].get("stages", ())
        if step["result"]["verdict"] == "go" and step["zones"][0] in prepared(steps)
    }


def prepared(steps: Steps) -> set[str]:
    return {step["zones"][0] for step in steps.get("preparation", ())}


def heads(steps: Steps) -> Values:
    """Read the hours on heads by the fasteners step, where the route has such hours."""
    wanted = of_route_step(("set-heads",), "work_time")(steps)
    found = [row for step in steps.get("fasteners", ()) for row in step["result"]["zones"]]
    return {row["id"]: row["time"] for row in found if row["id"] in wanted}


def heads_of_route(steps: Steps) -> Values:
    known = heads(steps)
    return {z: time for z, time in of_route_step(("set-heads",), "work_time")(steps).items() if z in known}


def field_sequence(steps: Steps) -> Values:
    return {row["zone"]: row["sequence"] for row in rows(steps) if row["part"] == "field" and row["steps"]}


def floor_sum(name: str) -> Callable[[Steps], Mapping[str, list[Any]]]:
    """Read the parts of each floor: its field and its perimeter."""

    def read(steps: Steps) -> Mapping[str, list[Any]]:
        found: dict[str, list[Any]] = {}
        for row in rows(steps):
            if row["part"] in ("field", "perimeter") and row["status"] == "planned":
                found.setdefault(row["zone"], []).append(row.get(name))
        return found

    return read


def whole(name: str) -> Reader:
    return lambda steps: {"job": steps["abrasive-sequence"][0]["result"].get(name)} if rows(steps) else {}


def all_rows(name: str) -> Callable[[Steps], Mapping[str, list[Any]]]:
    return lambda steps: {"job": [row[name] for row in rows(steps) if name in row]} if rows(steps) else {}


def bought(steps: Steps) -> Values:
    found = [row for step in steps.get("abrasive-sequence", ()) for row in step["result"]["abrasives"]]
    return {row["id"]: row["to_buy"] for row in found if row["to_buy"]}


SAME = (
    Quantity(
        "depth that is taken off",
        "mm",
        "floor of a zone",
        {"preparation": by_route("removal"), "abrasive-sequence": by_floor("removal")},
    ),
    Quantity(
        "work of sanding",
        "h",
        "floor of a zone",
        {
            "preparation": by_route("sanding_time"),
            "preparation, step": of_route_step(("sand", "scuff"), "work_time"),
            "abrasive-sequence": by_floor("sanding_time"),
        },
    ),
    Quantity(
        "work of vacuuming after each grade",
        "h",
        "floor of a zone",
        {
            "preparation": by_route("vacuum_time"),
            "preparation, step": of_route_step(("vacuum",), "work_time"),
            "abrasive-sequence": by_floor("vacuum_time"),
        },
    ),
    Quantity(
        "dust of wood made",
        "kg",
        "floor of a zone",
        {"preparation": by_route("dust_mass"), "abrasive-sequence": by_floor("dust_mass")},
    ),
    Quantity(
        "discs, sheets and belts by the median",
        "",
        "floor of a zone",
        {"preparation": by_route("typical_count"), "abrasive-sequence": by_floor("typical_count")},
    ),
    Quantity(
        "discs, sheets and belts to have",
        "",
        "floor of a zone",
        {"preparation": by_route("disc_count"), "abrasive-sequence": by_floor("disc_count")},
    ),
    Quantity(
        "grades of the field",
        "",
        "floor of a zone",
        {"preparation": of_route_step(("sand", "scuff"), "sequence"), "abrasive-sequence": field_sequence},
    ),
    Quantity("work on heads", "h", "floor of a zone", {"preparation": heads_of_route, "fasteners": heads}),
    *(
        Quantity(
            name,
            unit,
            "floor of a zone, agent by agent",
            {"preparation": lambda s, n=name: agents(s, n), "wash": lambda s, n=name: stages(s, n)},
        )
        for name, unit in (("solution_volume", "L"), ("product_mass", "kg"), ("rinse_volume", "L"))
    ),
)

SUMS = (
    Sum("work of sanding", "h", by_floor("sanding_time"), floor_sum("time")),
    Sum("dust of wood made", "kg", by_floor("dust_mass"), floor_sum("dust_mass")),
    Sum("work of sanding", "h", whole("time"), all_rows("time")),
    Sum("dust of wood made", "kg", whole("dust_mass"), all_rows("dust_mass")),
)

#: How far quantiles of a sum may lie outside the sums of quantiles, which are taken from draws.
ROOM = 0.01
#: Units a quantity is shown in beside the table's, with what one of them is in the table's.
FACTORS = {("um", "mm"): 1e-3, ("g", "kg"): 1e-3, ("mL", "L"): 1e-3, ("min", "h"): 1 / 60}


def steps_of(plan: dict[str, Any], job: dict[str, Any]) -> Steps:
    """Return the steps that have a result by their calculator, those that run by zone with their zone."""
    zones = [zone["id"] for zone in job.get("zones", ())]
    found: dict[str, list[dict[str, Any]]] = {}
    for step in plan["steps"]:
        if "result" in step:
            _, _, zone = step["id"].partition(f"{step['calculator']}-")
            found.setdefault(step["calculator"], []).append({**step, "zones": [zone] if zone in zones else zones[:1]})
    return found


def ends(value: Any, unit: str) -> tuple[Any, ...]:
    """Return P10, P50 and P90 of a value in a unit; a plain value three times."""
    if not isinstance(value, dict):
        return (value,) * 3
    factor = FACTORS.get((value["unit"], unit), 1.0) if value["unit"] != unit else 1.0
    assert value["unit"] == unit or (value["unit"], unit) in FACTORS, (value["unit"], unit)
    return tuple(factor * value.get(end, value["value"]) for end in ("low", "value", "high"))


def disagreements(plan: dict[str, Any], job: dict[str, Any]) -> Iterator[str]:
    """Yield where two steps report one quantity for one scope and do not agree, or a whole is not its parts."""
    steps = steps_of(plan, job)
    for one in SAME:
        reported = {who: {s: v for s, v in read(steps).items() if v is not None} for who, read in one.reports.items()}
        for scope in {scope for values in reported.values() for scope in values}:
            said = {who: ends(values[scope], one.unit) for who, values in reported.items() if scope in values}
            if len(said) < len(reported) and needed(one, scope, steps):
                yield f"{one.name} of {scope} is reported by {sorted(said)} alone"
            first, *others = said.values()
            if any(other != pytest.approx(first, rel=1e-6) for other in others if not isinstance(first[0], str)):
                yield f"{one.name} of {scope}: {said}"
            if isinstance(first[0], str) and any(other != first for other in others):
                yield f"{one.name} of {scope}: {said}"
    for total in SUMS:
        parts = total.parts(steps)
        for scope, value in total.whole(steps).items():
            if value is not None:
                yield from not_the_sum(total, scope, value, parts.get(scope, []))
    listed = {row["id"]: row["count"] for row in abrasives(plan)}
    if listed != bought(steps):
        yield f"abrasives to buy: {listed} in the purchases, {bought(steps)} by the sequence"


def needed(one: Quantity, scope: str, steps: Steps) -> bool:
    """Say whether every step of a quantity owes it: where a floor is both prepared and sanded as planned."""
    zone = scope.partition(",")[0]
    planned = {row["zone"] for row in rows(steps) if row["status"] == "planned" and row["part"] == "field"}
    whole_floor = not any(
        row["zone"] == zone and row["part"] in ("field", "perimeter") and row["status"] != "planned"
        for row in rows(steps)
    )
    return zone in prepared(steps) and (one.scope.endswith("agent") or (zone in planned and whole_floor))


def not_the_sum(total: Sum, scope: str, value: Any, parts: list[Any]) -> Iterator[str]:
    """Yield where a whole is outside what its parts can add up to; quantiles of a sum lie within sums of quantiles."""
    low, middle, high = ends(value, total.unit)
    shown = [ends(part, total.unit) for part in parts if part is not None]
    least, most = (sum(part[end] for part in shown) for end in (0, 2))
    room = ROOM * most
    if not shown or low < least - room or high > most + room or not least - room <= middle <= most + room:
        yield f"{total.name} of {scope}: {low} to {high}, its parts {least} to {most}"
