"""Objects and lists: unknown and missing fields, limits of lists, every fault at once. Pointers: RFC 6901."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

import msgspec
import pytest

from latewood.catalogue import Catalogue
from latewood.declare import F
from latewood.messages import shipped
from latewood.plan.job import Job
from latewood.problems import InputProblem
from latewood.wire import Components, Options, struct_reader
from latewood.wire.structs import ListReader, StructReader


def places(faults: list[Any]) -> set[tuple[str, str]]:
    return {(fault.pointer, fault.code) for fault in faults}


def test_what_is_left_out_is_none_or_empty(read):
    form = read()
    assert (form.rate, form.count, form.place, form.nails, form.tags) == (None, None, None, (), ())


def test_a_whole_form(read):
    form = read(place={"height": "3 m", "name": "porch"}, nails=[{"id": "brad", "length": "2 in"}], tags=["a", "b"])
    assert (form.place.height, form.place.name) == (3.0, "porch")
    assert form.nails[0].length == pytest.approx(0.0508)
    assert form.tags == ("a", "b")


def test_every_fault_is_reported_at_once(read, faults):
    found = faults(
        read,
        {
            "lenght": "1 m",
            "rate": "12-8 m2/L",
            "count": None,
            "place": {"name": "much too long a name", "slope": "1 %", "a/b~c": 1},
            "nails": [{"id": "brad"}, {"length": "1 kg"}],
            "tags": ["ok", "sixsix", 3],
        },
    )
    assert places(found) == {
        ("/lenght", "unknown-field"),
        ("/length", "missing"),
        ("/rate", "conflict"),
        ("/count", "wrong-type"),
        ("/place/height", "missing"),
        ("/place/name", "too-long"),
        ("/place/slope", "not-yet"),
        ("/place/a~1b~0c", "unknown-field"),
        ("/nails/1/id", "missing"),
        ("/nails/1/length", "wrong-dimension"),
        ("/tags/1", "too-long"),
        ("/tags/2", "wrong-type"),
    }
    assert next(fault for fault in found if fault.pointer == "/lenght").nearest == "length"
    assert next(fault for fault in found if fault.pointer == "/length").expected == "Length of the board, such as 12 ft"


@pytest.mark.parametrize("given", [[], "1 m", 7, True])
def test_the_form_itself_must_be_an_object(read, fault, given):
    found = fault(read, given)
    assert (found.pointer, found.code) == ("", "wrong-type")
    assert "length" in found.expected


def test_null_is_no_form(faults):
    from latewood.problems import InputProblem
    from latewood.wire import Context

    ctx = Context(None)  # type: ignore[arg-type]  # nothing is looked up
    struct_reader(Small).read(None, "", ctx)
    with pytest.raises(InputProblem, match="null was given"):
        ctx.finish()


class Small(msgspec.Struct, frozen=True, kw_only=True):
    """A form of few fields."""

    some: Annotated[tuple[str, ...], F("Some words", ge=2, max_items=3)]


@pytest.mark.parametrize("given", [4, 0])
def test_a_list_keeps_its_limits(read, fault, given):
    if given:
        found = fault(read, nails=[{"id": "brad"}] * given)
        assert (found.pointer, found.code, found.expected) == ("/nails", "out-of-range", "0 to 3 items")
    else:
        assert read(nails=[]).nails == ()


@pytest.mark.parametrize("given", ["a", {"0": "a"}, None, 3])
def test_json_lists_are_lists(read, fault, given):
    found = fault(read, tags=given)
    assert (found.pointer, found.code, found.expected) == ("/tags", "wrong-type", "a list")


def test_a_field_without_meaning_cannot_be_declared():
    class Silent(msgspec.Struct):
        number: int

    with pytest.raises(TypeError, match="neither Q nor F"):
        struct_reader(Silent)


def test_two_structs_may_not_share_a_schema_name():
    class Small(msgspec.Struct, frozen=True, kw_only=True):
        """Another form of the same name."""

        other: Annotated[int, F("A number", ge=0, le=9)]

    parts = Components()
    struct_reader(globals()["Small"]).schema(parts)
    with pytest.raises(ValueError, match="two schemas are named Small"):
        struct_reader(Small).schema(parts)


def required(reader: StructReader | ListReader) -> Iterator[str]:
    """Yield the meaning of each field that must be sent, in it and below."""
    if isinstance(reader, ListReader):
        if isinstance(reader.item, StructReader | ListReader):
            yield from required(reader.item)
        return
    for entry in reader.entries.values():
        if entry.required:
            yield entry.reader.doc
        if isinstance(entry.reader, StructReader | ListReader):
            yield from required(entry.reader)


def test_what_is_required_is_asked_for_in_spanish(lw: Catalogue) -> None:
    asked = {doc for one in (Job, *(c.inputs for c in lw.calculators.values())) for doc in required(struct_reader(one))}
    told = {id for kind, id, _ in shipped().packs["es"].prose if kind == "field"}
    assert len(asked) > 50
    assert asked - told == set()
    assert told - asked == set(), "no field that must be sent means this any more"


def test_a_field_that_is_missing_is_named_in_the_language_asked_for(lw: Catalogue) -> None:
    with pytest.raises(InputProblem) as refused:
        lw.answer("coverage", {"area": "400 ft2"}, Options(lang="es"))
    [fault] = refused.value.faults
    assert fault.expected == "Familia de acabado, por ejemplo clear-penetrating-oil"
