"""The flat form of queries and CSV headers says the same as JSON, and is refused with the same faults."""

from __future__ import annotations

import pytest

WHOLE = {
    "length": "12 ft",
    "rate": "8-12 m2/L",
    "count": 2,
    "wet": True,
    "finish": "matt",
    "version": 2,
    "note": "a=b&c",
    "wood": "ipe",
    "price": "54.10 USD",
    "size": "5/4x6",
    "outline": "0 0, 10 0, 10 5 ft",
    "day": "2026-05-04",
    "place": {"height": "3 m", "name": "porch"},
    "nails": [{"id": "brad", "length": "2 in"}, {"id": "spike"}],
    "tags": ["b", "a"],
}
PAIRS = [
    ("nails.1.id", "spike"),
    ("length", "12 ft"),
    ("rate", "8-12 m2/L"),
    ("count", "2"),
    ("wet", "true"),
    ("finish", "matt"),
    ("version", "2"),
    ("note", "a=b&c"),
    ("wood", "ipe"),
    ("price", "54.10 USD"),
    ("size", "5/4x6"),
    ("outline", "0 0, 10 0, 10 5 ft"),
    ("day", "2026-05-04"),
    ("place.height", "3 m"),
    ("place.name", "porch"),
    ("nails.0.id", "brad"),
    ("nails.0.length", "2 in"),
    ("tags", "b"),
    ("tags", "a"),
]


def test_both_forms_read_alike(read, read_flat):
    one, other = read(WHOLE), read_flat(*PAIRS)
    assert [getattr(one.rate, part) for part in ("low", "value", "high", "paths")] == [
        getattr(other.rate, part) for part in ("low", "value", "high", "paths")
    ]
    for name in WHOLE:
        if name != "rate":
            assert getattr(one, name) == getattr(other, name)


def test_a_list_of_words_also_goes_by_index(read_flat):
    assert read_flat(("length", "1 m"), ("tags.1", "b"), ("tags.0", "a")).tags == ("a", "b")


@pytest.mark.parametrize(
    ("pairs", "pointer", "code"),
    [
        ([("lenght", "1 m")], "/lenght", "unknown-field"),
        ([("length", "2 m")], "/length", "repeated"),
        ([("length.value", "2")], "/length/value", "unknown-field"),
        ([("place", "3 m")], "/place", "wrong-type"),
        ([("place.height", "1 m"), ("place.slope", "3 %")], "/place/slope", "not-yet"),
        ([("place.height", "1 m"), ("place.a/b~", "3")], "/place/a~1b~0", "unknown-field"),
        ([("nails", "brad")], "/nails", "wrong-type"),
        ([("nails.0", "brad")], "/nails/0", "wrong-type"),
        ([("nails.x.id", "brad")], "/nails/x/id", "unknown-field"),
        ([("nails.-1.id", "brad")], "/nails/-1/id", "unknown-field"),
        ([("nails.00.id", "brad")], "/nails/00/id", "unknown-field"),
        ([("nails.\u0661.id", "brad")], "/nails/\u0661/id", "unknown-field"),
        ([("nails.1000.id", "brad")], "/nails/1000/id", "unknown-field"),
        ([("nails.1.id", "brad")], "/nails", "ragged"),
        ([("nails.0.id", "brad"), ("nails.2.id", "brad")], "/nails", "ragged"),
        ([("nails.0.id", "a"), ("nails.0.id", "b")], "/nails/0/id", "repeated"),
        ([("tags", "a"), ("tags.0", "b")], "/tags/0", "repeated"),
        ([("tags.0", "b"), ("tags", "a")], "/tags", "repeated"),
        ([("tags.1", "b")], "/tags", "ragged"),
        ([("tags.0.x", "b")], "/tags/0/x", "unknown-field"),
        ([("", "b")], "/", "unknown-field"),
        ([(".", "b")], "//", "unknown-field"),
        ([("count", "2.5")], "/count", "wrong-type"),
        ([("count", "two")], "/count", "wrong-type"),
        ([("count", "٢")], "/count", "wrong-type"),
        ([("wet", "True")], "/wet", "wrong-type"),
        ([("wet", "1")], "/wet", "wrong-type"),
        ([("version", "x")], "/version", "wrong-type"),
        ([("rate", "12-8 m2/L")], "/rate", "conflict"),
    ],
)
def test_refused(read_flat, fault, pairs, pointer, code):
    found = fault(read_flat, ("length", "1 m"), *pairs)
    assert (found.pointer, found.code) == (pointer, code)


def test_a_scalar_named_with_and_without_fields_is_refused(read_flat, faults):
    found = faults(read_flat, ("length", "1 m"), ("place.height", "1 m"), ("place", "1 m"))
    assert [(fault.pointer, fault.code) for fault in found] == [("/place", "repeated")]


def test_names_and_values_are_judged_together(read_flat, faults):
    found = faults(read_flat, ("lenght", "1 m"), ("count", "9"), ("nails.1.id", "BRAD"))
    assert {(fault.pointer, fault.code) for fault in found} == {
        ("/lenght", "unknown-field"),
        ("/nails", "ragged"),
        ("/length", "missing"),
        ("/count", "out-of-range"),
    }


def test_both_forms_are_refused_alike(read, read_flat, faults):
    def places(found):
        return {(fault.pointer, fault.code, fault.detail, fault.nearest) for fault in found}

    wrong = {"length": "1 kg", "note": "x" * 11, "wood": "lurch", "price": "5 XXD", "nails": [{"id": "B"}]}
    pairs = [("length", "1 kg"), ("note", "x" * 11), ("wood", "lurch"), ("price", "5 XXD"), ("nails.0.id", "B")]
    assert places(faults(read, wrong)) == places(faults(read_flat, *pairs))


def test_long_names_do_not_come_back_whole(read_flat, faults):
    (found,) = faults(read_flat, ("length", "1 m"), ("x" * 10_000, "1"))
    assert len(found.pointer) < 300
    assert len(found.detail) < 300


def test_deep_names_are_refused_not_followed(read_flat, fault):
    pairs = [("length", "1 m"), ("place.height", "1 m"), (".".join(["place"] * 5000), "1")]
    assert fault(read_flat, *pairs).code == "unknown-field"
