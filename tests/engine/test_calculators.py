"""Every calculator on the shelf keeps what the catalogue promises of all of them."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import typing
from collections.abc import Iterator
from typing import Any

import jsonschema
import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.bundled import bundled
from tests.generated import examples

from latewood.declare import Calculator, F, Q
from latewood.problems import Fault, InputProblem
from latewood.quantities import units
from latewood.wire import Components, Options, flat, options, outputs, struct_reader
from latewood.wire.schema import answer_schema, request_schema
from latewood.wire.structs import component_name, unwrap

CALCULATORS = bundled().calculators
each = pytest.mark.parametrize("calculator", CALCULATORS.values(), ids=list(CALCULATORS))
unhurried = settings(deadline=None, suppress_health_check=list(HealthCheck), database=None)

#: What a schema cannot say of a single value, and what only several fields together show.
BEYOND = {"out-of-range", "ragged", "unknown-id", "ambiguous", "conflict", "missing", "repeated"}


def structs(struct: type[Any]) -> Iterator[type[Any]]:
    """Yield a struct and all that stand within it."""
    yield struct
    for hint in typing.get_type_hints(struct, include_extras=True).values():
        bare = unwrap(hint)[0]
        if typing.get_origin(bare) is tuple:
            bare = unwrap(typing.get_args(bare)[0])[0]
        if isinstance(bare, type) and issubclass(bare, msgspec.Struct) and not hasattr(bare, "KIND"):
            yield from structs(bare)


def fields(struct: type[Any]) -> Iterator[tuple[str, Any, Q | F | None]]:
    """Yield name, bare type and declaration of every field of a struct and of those within it."""
    for one in dict.fromkeys(structs(struct)):
        for name, hint in typing.get_type_hints(one, include_extras=True).items():
            if typing.get_origin(hint) is not typing.ClassVar:
                yield f"{one.__name__}.{name}", *unwrap(hint)


def fill(answer: Any) -> bytes:
    return msgspec.json.encode(answer)


@each
def test_its_id_is_its_file(calculator: Calculator) -> None:
    assert re.fullmatch("[a-z][a-z0-9-]*", calculator.id)
    assert calculator.function.__module__.rpartition(".")[2] == calculator.id.replace("-", "_")
    assert calculator.title
    assert re.fullmatch(r"[0-9]+\.[0-9]+", calculator.since)
    assert calculator.question.split("\n")[0].endswith(".")
    assert calculator.formulas


@each
def test_every_input_says_what_it_is_and_shows_an_example(calculator: Calculator) -> None:
    for name, bare, mark in fields(calculator.inputs):
        if mark is not None:
            assert mark.doc, name
        if isinstance(mark, Q):
            assert mark.example, name
            read = units.read_range if mark.uncertain else units.read
            assert read(mark.example, mark.dimension) is not None, name
        if bare is int or isinstance(mark, Q):
            assert None not in (mark.ge, mark.le), f"{name} has no bounds"


@each
def test_no_input_is_named_like_an_option(calculator: Calculator) -> None:
    assert not options.RESERVED & set(struct_reader(calculator.inputs).entries)


@each
def test_its_example_is_answered_as_its_schema_says(calculator: Calculator, lw: Any) -> None:
    parts = Components("#/$defs/")
    asked, answered = request_schema(calculator, parts), answer_schema(calculator, parts)
    jsonschema.Draft202012Validator({**asked, "$defs": parts.found}).validate(dict(calculator.example))
    for working in (False, True):
        for system in ("metric", "us"):
            choice = Options(units=system, working=working)
            answer = msgspec.json.decode(fill(lw.answer(calculator.id, dict(calculator.example), choice)))
            jsonschema.Draft202012Validator({**answered, "$defs": parts.found}).validate(answer)
            assert ("sheet" in answer) is working


@each
def test_both_forms_give_the_same_bytes(calculator: Calculator, lw: Any) -> None:
    example = dict(calculator.example)
    assert fill(lw.answer(calculator.id, example, Options())) == fill(
        lw.answer_flat(calculator.id, list(flattened(example, "")), Options())
    )


def flattened(value: Any, name: str) -> Iterator[tuple[str, str]]:
    """Yield the flat form of a JSON request."""
    if isinstance(value, dict):
        for key, part in value.items():
            yield from flattened(part, f"{name}.{key}" if name else key)
    elif isinstance(value, list):
        for index, part in enumerate(value):
            yield from flattened(part, f"{name}.{index}")
    elif isinstance(value, bool):
        yield name, str(value).lower()
    else:
        yield name, str(value)


@each
def test_every_flat_name_it_lists_is_taken(calculator: Calculator) -> None:
    reader = struct_reader(calculator.inputs)
    for name, _, _ in flat.names(reader):
        faults: list[Any] = []
        flat.tree([(name, "x")], reader, faults)
        assert not faults, name


@each
def test_the_outputs_it_answers_are_the_ones_it_declares(calculator: Calculator, lw: Any) -> None:
    written = lw.answer(calculator.id, dict(calculator.example), Options())["result"]
    for name in addresses(written, ""):
        outputs.check_declared(calculator.result, name)
        assert isinstance(outputs.text_of(written, name, "."), str)


def addresses(value: Any, name: str) -> Iterator[str]:
    """Yield the address of every value of a written result."""
    if isinstance(value, dict) and value.keys() >= {"value", "unit"}:
        yield name
        yield from (f"{name}.{part}" for part in ("low", "high", "number", "unit"))
    elif isinstance(value, dict):
        for key, part in value.items():
            yield from addresses(part, f"{name}.{key}" if name else key)
    elif isinstance(value, list) and (not value or isinstance(value[0], dict)):
        ids = [item.get("id", str(place)) for place, item in enumerate(value)]
        assert len(set(ids)) == len(ids), f"two items of {name} share an id"
        for id, item in zip(ids, value, strict=True):
            yield from addresses(item, f"{name}.{id}")
    elif name:
        yield name


@each
def test_every_source_and_user_in_its_basis_exists(calculator: Calculator, lw: Any) -> None:
    answer = lw.answer(calculator.id, dict(calculator.example), Options())
    for line in answer["basis"]:
        assert line.used_by == (calculator.id,)
        assert line.source is None or line.source in lw.shelf.records("source")
        kind, id, *_ = line.path.split("/")
        assert kind == "input" or lw.shelf.find(kind, id) is not None, line.path


@each
def test_each_finding_points_at_an_input(calculator: Calculator, lw: Any) -> None:
    answer = lw.answer(calculator.id, dict(calculator.example), Options())
    known = {name.split(".")[0] for name, _, _ in flat.names(struct_reader(calculator.inputs))}
    for finding in answer["findings"]:
        assert re.fullmatch("[a-z][a-z0-9-]*", finding.id)
        if finding.pointer:
            assert finding.pointer.split("/")[1] in known, finding


def test_no_two_parts_of_the_contract_share_a_name(lw: Any) -> None:
    parts = Components()
    for calculator in lw.calculators.values():
        request_schema(calculator, parts)
        answer_schema(calculator, parts)
    seen: dict[str, type[Any]] = {}
    for calculator in lw.calculators.values():
        for one in (*structs(calculator.inputs), *structs(calculator.result)):
            assert seen.setdefault(component_name(one), one) is one


#: Run in two processes whose dictionaries and sets are in different orders.
PROGRAM = """
import msgspec, latewood
from latewood.wire import Options
lw = latewood.load()
for calculator in lw.calculators.values():
    answer = lw.answer(calculator.id, dict(calculator.example), Options(working=True))
    print(msgspec.json.encode(answer).decode())
"""


def test_the_same_bytes_twice_and_in_every_process(lw: Any) -> None:
    def elsewhere(seed: str) -> str:
        command = [sys.executable, "-c", PROGRAM]
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        return subprocess.run(command, env=environment, check=True, capture_output=True, text=True).stdout

    here = [fill(lw.answer(c.id, dict(c.example), Options(working=True))).decode() for c in lw.calculators.values()]
    again = [fill(lw.answer(c.id, dict(c.example), Options(working=True))).decode() for c in lw.calculators.values()]
    assert here == again
    assert elsewhere("1") == elsewhere("2") == "\n".join(here) + "\n"


@each
def test_an_answer_does_not_depend_on_what_was_asked_before(calculator: Calculator, lw: Any) -> None:
    first = fill(lw.answer(calculator.id, dict(calculator.example), Options()))
    for other in lw.calculators.values():
        lw.answer(other.id, dict(other.example), Options(units="us"))
    assert fill(lw.answer(calculator.id, dict(calculator.example), Options())) == first


@each
@examples(3, of=25)
def test_what_its_schema_admits_is_answered_or_refused_for_a_reason(
    calculator: Calculator, lw: Any, made_from: Any, count: int
) -> None:
    parts = Components("#/$defs/")
    schema = request_schema(calculator, parts)
    answered = jsonschema.Draft202012Validator({**answer_schema(calculator, parts), "$defs": parts.found})
    names = parts.found[component_name(calculator.inputs)]["properties"]

    @settings(unhurried, max_examples=count)
    @given(made_from(schema, parts.found, lambda kind: sorted(lw.shelf.ids(kind))), st.booleans())
    def holds(raw: Any, beside_the_example: bool) -> None:
        if beside_the_example:
            raw = {**calculator.example, **raw}
        answer, faults = attempt(lw, calculator, raw, Options(working=True))
        assert {fault.code for fault in faults} <= BEYOND
        assert all(fault.pointer.split("/")[1] in names for fault in faults)
        if answer is not None:
            answered.validate(answer)

    holds()


def attempt(lw: Any, calculator: Calculator, raw: Any, choice: Options) -> tuple[Any, tuple[Fault, ...]]:
    """Return an answer as a client decodes it, or the faults; any other exception is a failure."""
    try:
        return msgspec.json.decode(fill(lw.answer(calculator.id, raw, choice))), ()
    except InputProblem as problem:
        return None, problem.faults


@each
@examples(20, of=120)
def test_whatever_lies_within_its_bounds_is_answered_or_conflicts(
    calculator: Calculator, lw: Any, sensible: Any, count: int
) -> None:
    """The example with some fields changed: no exception but a fault, no number but a finite one."""

    @settings(unhurried, max_examples=count)
    @given(sensible(struct_reader(calculator.inputs), lambda kind: sorted(lw.shelf.ids(kind))), st.data())
    def holds(raw: Any, data: Any) -> None:
        changed = data.draw(st.sets(st.sampled_from(sorted(raw) or [""]), max_size=4))
        asked = {**calculator.example, **{name: raw[name] for name in changed if name in raw}}
        system = data.draw(st.sampled_from(["us", "metric"]))
        written, faults = attempt(lw, calculator, asked, Options(working=True, units=system))
        assert {fault.code for fault in faults} <= BEYOND
        if written is None:
            return
        for low, value, high in ranges(written["result"]):
            assert low <= value <= high
        assert {finding["pointer"] for finding in written["findings"] if finding["id"] == "not-computed"} == set(
            nulls(written["result"], "")
        )

    holds()


def ranges(value: Any) -> Iterator[tuple[float, float, float]]:
    """Yield low, value and high of every uncertain quantity."""
    if isinstance(value, dict) and "low" in value:
        yield value["low"], value["value"], value["high"]
    for part in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from ranges(part)


def nulls(value: Any, at: str) -> Iterator[str]:
    """Yield where a quantity has no value."""
    if isinstance(value, dict) and value.get("value", 0) is None:
        yield at
    elif isinstance(value, dict):
        for name, part in value.items():
            yield from nulls(part, f"{at}/{name}")
    elif isinstance(value, list):
        for index, part in enumerate(value):
            yield from nulls(part, f"{at}/{index}")


@each
@examples(3, of=25)
def test_what_its_schema_refuses_is_refused(
    calculator: Calculator, lw: Any, made_from: Any, valid: Any, anything: Any, count: int
) -> None:
    parts = Components("#/$defs/")
    schema = request_schema(calculator, parts)
    names = [*parts.found[component_name(calculator.inputs)]["properties"], "aera"]

    @settings(unhurried, max_examples=count)
    @given(made_from(schema, parts.found, lambda kind: sorted(lw.shelf.ids(kind))), st.sampled_from(names), anything)
    def holds(raw: Any, name: str, other: Any) -> None:
        changed = {**calculator.example, **raw, name: other}
        if valid(schema, parts.found, changed):
            return
        with pytest.raises(InputProblem) as problem:
            lw.answer(calculator.id, changed, Options())
        assert problem.value.faults

    holds()
