"""One name, one meaning: the fields of all calculators and of the job against the glossary beside this test."""

from __future__ import annotations

import re
import tomllib
import typing
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Any

import msgspec

import latewood
from latewood.declare import Packs, Q
from latewood.messages import Clause
from latewood.plan import Job
from latewood.plan.components import Component
from latewood.quantities import units
from latewood.quantities.instants import Moment
from latewood.quantities.lumber import Nominal
from latewood.quantities.money import Money
from latewood.quantities.series import Series
from latewood.quantities.units import Outline
from latewood.wire.structs import unwrap

GLOSSARY = tomllib.loads(Path(__file__).with_name("glossary.toml").read_text())
#: What a plan holds beside the results of its steps.
PLAN = (Component,)
DOUBLE = {entry["name"]: set(entry["kinds"]) for entry in GLOSSARY.pop("double")}
SIMPLE = {
    int: "count",
    bool: "flag",
    str: "text",
    date: "date",
    datetime: "instant",
    Moment: "instant",
    Money: "money",
    Nominal: "lumber",
    Outline: "outline",
    Packs: "text",
    Clause: "text",
}


def kind(hint: Any) -> str:
    """Name the kind of value a field holds."""
    bare, mark = unwrap(hint)
    if bare is Series:
        return "series"
    if isinstance(mark, Q):
        return mark.dimension
    if typing.get_origin(bare) is tuple:
        return "list"
    if typing.get_origin(bare) is typing.Literal:
        return "words"
    # A record, or a word that stands for none: `Coating | Literal["none"]`.
    if any(hasattr(one, "KIND") for one in (bare, *typing.get_args(bare))):
        return "id"
    if bare in SIMPLE:
        return SIMPLE[bare]
    assert issubclass(bare, msgspec.Struct), bare
    return "table"


def fields(struct: type[Any], seen: set[type[Any]]) -> Iterator[tuple[str, str, str]]:
    """Yield struct, name and kind of every field, those of structs within it too."""
    if struct in seen:
        return
    seen.add(struct)
    hints = typing.get_type_hints(struct, include_extras=True)
    for field in msgspec.structs.fields(struct):
        yield struct.__name__, field.name, kind(hints[field.name])
        bare = unwrap(hints[field.name])[0]
        if typing.get_origin(bare) is tuple:
            bare = unwrap(typing.get_args(bare)[0])[0]
        if (
            isinstance(bare, type)
            and issubclass(bare, msgspec.Struct)
            and bare not in SIMPLE
            and not hasattr(bare, "KIND")
        ):
            yield from fields(bare, seen)


def declared() -> list[tuple[str, str, str]]:
    seen: set[type[Any]] = set()
    calculators = latewood.load([]).calculators.values()
    return [
        row
        for struct in (*(s for c in calculators for s in (c.inputs, c.result)), Job, *PLAN)
        for row in fields(struct, seen)
    ]


FIELDS = declared()


def test_every_field_is_in_the_glossary_under_its_kind():
    missing = [
        f"{struct}.{name} ({kind})"
        for struct, name, kind in FIELDS
        if name not in GLOSSARY.get(kind, {}) and kind not in DOUBLE.get(name, set())
    ]
    assert not missing


def test_the_glossary_holds_nothing_else():
    found: dict[str, set[str]] = {}
    for _, name, kind in FIELDS:
        found.setdefault(name, set()).add(kind)
    listed = {name: {kind} for kind, names in GLOSSARY.items() for name in names}
    assert listed | DOUBLE == found


def test_a_name_stands_once():
    names = [name for section in GLOSSARY.values() for name in section] + [*DOUBLE]
    assert sorted(names) == sorted(set(names))


def test_kinds_of_quantities_are_dimensions():
    others = {"count", "flag", "words", "text", "date", "instant", "series", "money", "lumber", "outline", "id"}
    others |= {"list", "table"}
    assert set(GLOSSARY) - others <= set(units.DIMENSIONS)


def test_meanings_are_said():
    assert all(len(meaning) > 5 for section in GLOSSARY.values() for meaning in section.values())


#: Spellings of units as they creep into names: `area_ft2`, `loss_percent`. Short ones that are also words are left out.
UNIT_LIKE = {spelling.lower() for d in units.DIMENSIONS.values() for spelling in d.spellings} | {
    *(
        "percent",
        "pct",
        "litres",
        "liters",
        "metres",
        "meters",
        "feet",
        "inches",
        "gallons",
        "hours",
        "minutes",
        "days",
    ),
    *("celsius", "fahrenheit", "grams", "pounds", "sqft", "sqm", "degrees"),
}


def test_no_unit_in_a_name():
    assert "ft2" in UNIT_LIKE
    assert "gallons" in UNIT_LIKE
    for _, name, _ in FIELDS:
        assert re.fullmatch("[a-z]+(_[a-z0-9]+)*", name)
        assert not UNIT_LIKE & set(name.split("_")[1:]), name
