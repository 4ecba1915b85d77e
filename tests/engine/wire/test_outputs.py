"""One value of an answer by its dotted name, as a cell of a spreadsheet asks for it."""

from __future__ import annotations

from typing import Annotated

import msgspec
import pytest

from latewood.declare import F, Q
from latewood.problems import InputProblem, NotFound
from latewood.quantities.money import Money
from latewood.wire import outputs


class Part(msgspec.Struct, frozen=True, kw_only=True):
    """An item."""

    id: Annotated[str, F("Name")]
    volume: Annotated[float, Q("L", "Volume")]


class Row(msgspec.Struct, frozen=True, kw_only=True):
    """An item without a name."""

    count: Annotated[int, F("Count")]


class Bill(msgspec.Struct, frozen=True, kw_only=True):
    """A table within the answer."""

    cost: Annotated[Money, F("Cost")] | None = None
    text: Annotated[str, F("Words")]


class Answer(msgspec.Struct, frozen=True, kw_only=True):
    """An answer."""

    volume: Annotated[float, Q("L", "Volume")]
    film: Annotated[float, Q("um", "Film")] | None = None
    zones: Annotated[tuple[Part, ...], F("Zones")]
    rows: Annotated[tuple[Row, ...], F("Rows")] = ()
    words: Annotated[tuple[str, ...], F("Words")] = ()
    within: Annotated[bool, F("Within")] | None = None
    bill: Bill


WRITTEN = {
    "volume": {"value": 4.79, "low": 3.79, "high": 6.06, "unit": "L"},
    "zones": [
        {"id": "north", "volume": {"value": 1.5, "unit": "L"}},
        {"id": "2", "volume": {"value": None, "unit": "L"}},
    ],
    "rows": [{"count": 2}, {"count": 12345678901}],
    "words": ["a", "b"],
    "within": True,
    "bill": {"cost": {"amount": "54.00", "currency": "USD"}, "text": "2 × 3.785 L"},
}


def test_every_declared_output_is_listed_once():
    names = list(outputs.declared(Answer))
    assert len(names) == len(set(names))
    parts = ("low", "high", "number", "unit")
    assert set(names) == {
        *("volume", *(f"volume.{part}" for part in parts), "film", *(f"film.{part}" for part in parts)),
        *("zones.<id>.id", "zones.<id>.volume", *(f"zones.<id>.volume.{part}" for part in parts)),
        *("rows.<id>.count", "words", "within", "bill.cost", "bill.cost.amount", "bill.cost.currency", "bill.text"),
    }


@pytest.mark.parametrize(
    ("name", "decimal", "text"),
    [
        ("volume", ".", "4.79 L"),
        ("volume", ",", "4,79 L"),
        ("volume.low", ".", "3.79 L"),
        ("volume.high", ",", "6,06 L"),
        ("volume.number", ",", "4,79"),
        ("volume.unit", ".", "L"),
        ("zones.north.volume", ".", "1.5 L"),
        ("zones.north.volume.low", ".", "1.5 L"),
        ("zones.north.volume.high", ".", "1.5 L"),
        ("zones.2.volume.unit", ".", "L"),
        ("rows.0.count", ".", "2"),
        ("rows.1.count", ".", "12345678901"),
        ("words", ".", "a; b"),
        ("within", ".", "true"),
        ("bill.cost", ".", "54.00 USD"),
        ("bill.cost", ",", "54,00 USD"),
        ("bill.cost.amount", ",", "54,00"),
        ("bill.cost.currency", ",", "USD"),
        ("bill.text", ",", "2 × 3.785 L"),
    ],
)
def test_text(name, decimal, text):
    outputs.check_declared(Answer, name)
    assert outputs.text_of(WRITTEN, name, decimal) == text


@pytest.mark.parametrize(
    "name", ["film", "film.low", "film.unit", "zones.2.volume", "zones.2.volume.number", "zones.2.volume.low"]
)
def test_what_was_not_computed_is_said_so(name):
    outputs.check_declared(Answer, name)
    for take in (lambda: outputs.text_of(WRITTEN, name, "."), lambda: outputs.value_of(WRITTEN, name)):
        with pytest.raises(InputProblem) as problem:
            take()
        (fault,) = problem.value.faults
        assert (fault.pointer, fault.code) == ("/" + name.replace(".", "/"), "not-computed")


def test_an_item_that_is_not_there():
    with pytest.raises(NotFound) as found:
        outputs.text_of(WRITTEN, "zones.nort.volume", ".")
    assert (found.value.fault.code, found.value.fault.nearest) == ("not-found", "north")


@pytest.mark.parametrize(
    ("name", "nearest"),
    [
        ("volum", "volume"),
        ("volume.lo", "volume.low"),
        ("zones.north.volum", "zones.<id>.volume"),
        ("zones", None),
        ("bill", "bill.text"),
        ("", None),
        ("volume.low.low", "volume.low"),
        ("x" * 5000, None),
    ],
)
def test_an_undeclared_output(name, nearest):
    with pytest.raises(NotFound) as found:
        outputs.check_declared(Answer, name)
    assert nearest is None or found.value.fault.nearest == nearest
    assert len(found.value.fault.line()) < 300


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("volume", (4.79, "L")),
        ("volume.low", (3.79, "L")),
        ("volume.high", (6.06, "L")),
        ("rows.0.count", 2),
        ("within", True),
        ("bill.cost", "54.00 USD"),
        ("bill.text", "2 × 3.785 L"),
    ],
)
def test_value(name, value):
    assert outputs.value_of(WRITTEN, name) == value
