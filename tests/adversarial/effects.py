"""What may be expected of an answer: each effect returns what is wrong, in a line each, or nothing."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any, Final

from tests.adversarial.answers import SEVERITIES, Answer

#: Effects of words alone: a twin that has no other would be met by stopping everything.
WORDS: Final = frozenset({"says", "silent", "mentions", "never_says"})

Effect = Callable[[Answer, Any], Iterable[str]]
EFFECTS: Final[dict[str, Effect]] = {}


def effect(function: Effect) -> Effect:
    """Keep an effect under the name a case calls it by."""
    EFFECTS[function.__name__] = function
    return function


def wrong(answer: Answer, expect: Mapping[str, Any]) -> list[str]:
    """Return all that an answer lacks, or has and must not."""
    if answer.faults and "refused" not in expect:
        return [f"refused: {fault.pointer} {fault.detail}" for fault in answer.faults]
    return [f"{name}: {line}" for name, value in expect.items() for line in EFFECTS[name](answer, value)]


# Refusals ------------------------------------------------------------------------------------------------------------


@effect
def refused(answer: Answer, pointer: str) -> Iterator[str]:
    """The request is refused, at a place."""
    if not any(fault.pointer.startswith(pointer) for fault in answer.faults):
        yield f"nothing is refused at {pointer}"


# What must not be planned --------------------------------------------------------------------------------------------


@effect
def no_purchase(answer: Answer, parts: Sequence[str]) -> Iterator[str]:
    """Nothing is bought for a part."""
    for part in parts:
        yield from (f"{part} is in {step}" for step in answer.buys(part))


@effect
def no_sanding(answer: Answer, parts: Sequence[str]) -> Iterator[str]:
    """No machine sands a part, and no route that sands it is taken."""
    for part in parts:
        yield from (f"{part} is sanded by {row}" for row in answer.sands(part))


@effect
def no_wash(answer: Answer, zones: Sequence[str]) -> Iterator[str]:
    """A zone is not washed, nor is a route taken that wets it."""
    for zone in zones:
        yield from (f"{zone} is washed by {step}" for step, _ in answer.washes(zone))
        for step, route in answer.routes(zone):
            if any(one["does"] in ("wash", "hand-wash", "strip", "neutralise") for one in route["steps"]):
                yield f"{zone} is wetted by {step}: {route['id']}"


@effect
def no_wash_pressure(answer: Answer, zones: Sequence[str]) -> Iterator[str]:
    """A zone is not washed under pressure."""
    for zone in zones:
        for step, result in answer.washes(zone):
            if any(name in result for name in ("pressure_start", "pressure_ceiling", "fan_angle")):
                yield f"{zone} is washed under pressure by {step}"


@effect
def no_wash_agents(answer: Answer, families: Sequence[str]) -> Iterator[str]:
    """No agent of a family is mixed, or part of a route that is taken."""
    for agent, step in answer.agents().items():
        if found := answer.families(agent) & set(families):
            yield f"{agent} ({', '.join(sorted(found))}) in {step}"


@effect
def no_window(answer: Answer, parts: Sequence[str]) -> Iterator[str]:
    """No hours are given for coating a part, nor when it may be used again."""
    for part in parts:
        yield from (f"{part} has hours in {step}" for step in answer.windows(part))


@effect
def no_cadence(answer: Answer, zones: Sequence[str]) -> Iterator[str]:
    """No bands are given to lay and wipe a zone in."""
    for zone in zones:
        yield from (f"{zone} is laid and wiped by {step}" for step in answer.cadences(zone))


@effect
def no_hours(answer: Answer, parts: Sequence[str]) -> Iterator[str]:
    """No step plans work on a part."""
    for part in parts:
        yield from (f"{part} is worked on by {step}" for step in answer.work(part))


@effect
def no_masking(answer: Answer, works: Sequence[str]) -> Iterator[str]:
    """The surroundings are not covered for a kind of work that is not done."""
    yield from (f"covered for {work}" for work in answer.masks() if work in works)


@effect
def nothing_planned(answer: Answer, _: bool) -> Iterator[str]:
    """Nothing is bought, mixed, covered, set, sanded, scheduled or handed over."""
    bought = (row for row in answer.raw.get("purchases", ()) if {"volume", "count"} & row.keys())
    yield from (f"bought: {row['kind']} {row['id']}" for row in bought)
    yield from (f"handed over: {row['step']}" for row in answer.raw.get("totals", {}).get("hand_over", ()))
    for part in answer.parts:
        yield from (f"{part} is in {step}" for step in (*answer.buys(part), *answer.work(part), *answer.windows(part)))
    yield from (f"covered for {work}" for work in answer.masks())


# What must be planned: of twins, and of what stands beside a stop ----------------------------------------------------


@effect
def purchase(answer: Answer, parts: Sequence[str]) -> Iterator[str]:
    """A finish is bought for a part."""
    yield from (f"nothing is bought for {part}" for part in parts if not answer.buys(part))


@effect
def sanding(answer: Answer, parts: Sequence[str]) -> Iterator[str]:
    """A part is sanded."""
    yield from (f"{part} is not sanded" for part in parts if not answer.sands(part))


@effect
def washing(answer: Answer, zones: Sequence[str]) -> Iterator[str]:
    """A zone is washed."""
    yield from (f"{zone} is not washed" for zone in zones if not answer.washes(zone))


@effect
def wash_agents(answer: Answer, families: Sequence[str]) -> Iterator[str]:
    """Some agent of each family is used."""
    used = {family for agent in answer.agents() for family in answer.families(agent)}
    yield from (f"no {family} is used" for family in families if family not in used)


@effect
def window(answer: Answer, parts: Sequence[str]) -> Iterator[str]:
    """Hours are given for coating a part."""
    yield from (f"no hours are given for {part}" for part in parts if not answer.windows(part))


@effect
def cadence(answer: Answer, zones: Sequence[str]) -> Iterator[str]:
    """Bands are given to lay and wipe a zone in."""
    yield from (f"no bands are given for {zone}" for zone in zones if not answer.cadences(zone))


# Verdicts ------------------------------------------------------------------------------------------------------------


@effect
def lead_paint(answer: Answer, expected: Mapping[str, Any]) -> Iterator[str]:
    """What the look at the deck says of lead in the coating of a part."""
    yield from _looked(answer, "lead_paint", expected)


@effect
def arsenical(answer: Answer, expected: Mapping[str, Any]) -> Iterator[str]:
    """What the look at the deck says of arsenic in a part."""
    yield from _looked(answer, "arsenical", expected)


@effect
def gate(answer: Answer, expected: Mapping[str, Any]) -> Iterator[str]:
    """What the look at the deck lets be done with a part."""
    yield from _looked(answer, "gate", expected)


@effect
def not_gate(answer: Answer, refused: Mapping[str, Any]) -> Iterator[str]:
    """What the look at the deck must not say of a part."""
    for part, gates in refused.items():
        row = _row(answer, part)
        if row is None or row["gate"] in _several(gates):
            yield f"{part}: {'not looked at' if row is None else row['gate']}"


@effect
def not_reason(answer: Answer, refused: Mapping[str, str]) -> Iterator[str]:
    """What the look at the deck must not give as a reason, as a pattern."""
    for part, pattern in refused.items():
        row = _row(answer, part)
        for reason in [f"{part} was not looked at"] if row is None else row["reasons"]:
            if row is None or re.search(pattern, reason, re.IGNORECASE):
                yield f"{part}: {reason}"


@effect
def route(answer: Answer, expected: Mapping[str, Any]) -> Iterator[str]:
    """The route that is taken for a zone: one of those named, or none."""
    for zone, allowed in expected.items():
        taken = {one["id"] for _, one in answer.routes(zone)} or {"none"}
        if not taken <= set(_several(allowed)):
            yield f"{zone} goes by {', '.join(sorted(taken))}"


@effect
def not_route(answer: Answer, refused: Mapping[str, Any]) -> Iterator[str]:
    """A route that is neither taken nor recommended for a zone."""
    for zone, routes in refused.items():
        yield from (f"{zone} goes by {one['id']}" for _, one in answer.routes(zone) if one["id"] in _several(routes))


@effect
def within(answer: Answer, allowed: Sequence[str]) -> Iterator[str]:
    """What is said of the legal limits of solvent: one of several verdicts, and never yes unless that is one."""
    found = [value for _, result in answer.results("coverage") for value in _every(result.get("voc"), "within")]
    if not set(allowed) & set(found) or ("yes" not in allowed and {"yes", True} & set(found)):
        yield f"it says {found}"


@effect
def result(answer: Answer, expected: Mapping[str, Any]) -> Iterator[str]:
    """Values of the result of a calculator that was called by itself; of several, one of them."""
    for path, allowed in expected.items():
        value: Any = answer.steps[0]["result"]
        for name in path.split("."):
            if isinstance(value, list):
                value = value[int(name)] if int(name) < len(value) else None
            else:
                value = None if value is None else value.get(name)
        if value not in _several(allowed):
            yield f"{path} is {value!r}"


@effect
def reported(answer: Answer, words: Sequence[str]) -> Iterator[str]:
    """The basis keeps what a person told of a test, a tag or a word given, as that."""
    kept = [row["path"] for row in answer.raw.get("basis", ()) if row["kind"] == "reported"]
    yield from (f"no {word} in {kept}" for word in words if not any(word in path for path in kept))


# What must be said ---------------------------------------------------------------------------------------------------


@effect
def says(answer: Answer, expected: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """One of several findings or cautions, at least so severe, about a part; ``words`` is a pattern of its text."""
    for one in expected:
        if not any(_fits(answer, said, one) for said in answer.said):
            about = f" of {one['part']}" if "part" in one else ""
            words = f" with {one['words']!r}" if "words" in one else ""
            yield f"no {'/'.join(one['any'])} ({one.get('severity', 'note')}){about}{words}"


@effect
def silent(answer: Answer, expected: Sequence[Any]) -> Iterator[str]:
    """Findings or cautions that must not be there: an id, or an id with a part or a severity."""
    for entry in expected:
        one = {"any": [entry]} if isinstance(entry, str) else entry
        yield from (f"{said['id']} ({said['severity']})" for said in answer.said if _fits(answer, said, one))


@effect
def mentions(answer: Answer, patterns: Sequence[str]) -> Iterator[str]:
    """Patterns of which each stands somewhere in the answer."""
    yield from (f"nowhere {pattern!r}" for pattern in patterns if not re.search(pattern, answer.prose, re.IGNORECASE))


@effect
def never_says(answer: Answer, patterns: Sequence[str]) -> Iterator[str]:
    """Patterns that stand nowhere in the answer."""
    for pattern in patterns:
        if found := re.search(pattern, answer.prose, re.IGNORECASE):
            yield f"it says {found[0]!r}"


def _fits(answer: Answer, said: Mapping[str, Any], one: Mapping[str, Any]) -> bool:
    # A number and its unit are parted by a space that does not break.
    words = " ".join([said.get("message", ""), *said.get("do", ())]).replace("\N{NO-BREAK SPACE}", " ")
    return (
        said["id"] in one["any"]
        and SEVERITIES.index(said["severity"]) >= SEVERITIES.index(one.get("severity", "note"))
        and ("part" not in one or answer.names(said, one["part"]))
        and re.search(one.get("words", ""), words, re.IGNORECASE) is not None
    )


def _looked(answer: Answer, field: str, expected: Mapping[str, Any]) -> Iterator[str]:
    for part, allowed in expected.items():
        row = _row(answer, part)
        if row is None:
            yield f"{part} was not looked at"
        elif row[field] not in _several(allowed):
            yield f"{part} is {row[field]}"


def _row(answer: Answer, part: str) -> Mapping[str, Any] | None:
    rows = [row for _, result in answer.results("condition") for row in result["components"]]
    return next((row for row in rows if row["id"] == part), None)


def _several(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def _every(tree: Any, name: str) -> Iterator[Any]:
    """Return every value under a name, however deep."""
    if isinstance(tree, Mapping):
        if name in tree:
            yield tree[name]
        for value in tree.values():
            yield from _every(value, name)
    elif isinstance(tree, list):
        for value in tree:
            yield from _every(value, name)
