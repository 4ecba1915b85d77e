"""The contract and the readers agree: what a schema admits is refused only for what no schema can say."""

from __future__ import annotations

from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.generated import examples

from latewood.declare import Q
from latewood.wire import Components, Context, struct_reader

#: What no schema of ours can say: bounds of a quantity in its other units, ids of plugins, an order between numbers.
BEYOND = {"out-of-range", "unknown-id", "ambiguous", "conflict"}

slow = settings(deadline=None, suppress_health_check=list(HealthCheck))


def parts_of(struct: type[Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    parts = Components("#/$defs/")
    return struct_reader(struct).schema(parts), parts.found


def codes(struct: type[Any], shelf: Any, raw: Any) -> set[str]:
    ctx = Context(shelf)
    struct_reader(struct).read(raw, "", ctx)
    return {fault.code for fault in ctx.faults}


@examples(6, of=60)
def test_what_the_schema_admits_is_read(form, shelf, valid, made_from, count):
    schema, parts = parts_of(form)

    @settings(slow, max_examples=count)
    @given(made_from(schema, parts, lambda kind: list(shelf.woods)))
    def holds(raw):
        assert valid(schema, parts, raw)
        assert codes(form, shelf, raw) <= BEYOND

    holds()


@examples(6, of=60)
def test_what_the_schema_refuses_is_refused(form, shelf, valid, made_from, anything, count):
    schema, parts = parts_of(form)
    names = [*parts["Form"]["properties"], "lenght"]

    @settings(slow, max_examples=count)
    @given(made_from(schema, parts, lambda kind: list(shelf.woods)), st.sampled_from(names), anything)
    def holds(raw, name, other):
        changed = {**raw, name: other}
        if not valid(schema, parts, changed):
            assert codes(form, shelf, changed)
        else:
            assert codes(form, shelf, changed) <= BEYOND

    holds()


def test_requests_are_closed_and_say_what_they_need(form):
    schema, parts = parts_of(form)
    assert schema == {"$ref": "#/$defs/Form"}
    found = parts["Form"]
    assert found["additionalProperties"] is False
    assert found["required"] == ["length"]
    assert all(one.get("description") for one in found["properties"].values())


def test_options_left_out_are_not_null(form, valid):
    schema, parts = parts_of(form)
    for name in parts["Form"]["properties"]:
        assert not valid(schema, parts, {"length": "1 m", name: None})


def test_all_fields_of_a_dimension_share_one_component():
    parts = Components()
    assert parts.quantity("length") == parts.quantity("length")
    assert parts.quantity("length") != parts.quantity("length", uncertain=True)
    assert parts.quantity("temperature") != parts.quantity("temperature-difference")


def test_an_ambiguous_unit_names_its_dimension():
    assert Q("K", "warmth").dimension == "temperature"
    assert Q("K", "a rise", dimension="temperature-difference").dimension == "temperature-difference"


def test_a_prefix_places_the_parts(form):
    parts = Components("#/components/schemas/")
    assert struct_reader(form).schema(parts)["$ref"] == "#/components/schemas/Form"
