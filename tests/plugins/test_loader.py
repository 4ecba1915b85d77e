"""Broken plugins: each is left out whole and named, and takes nothing else with it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from importlib.metadata import EntryPoint
from pathlib import Path
from typing import Annotated, Any

import msgspec
import pytest
from tests import guests

import latewood
from latewood.declare import Calculator, RecordLookup
from latewood.plugin import F, Ledger, Model, Q, calculator, hookimpl, read_record
from latewood.plugin.loader import BadPlugin
from latewood.records import Record

Hooks = Mapping[str, Any]
Plugin = Callable[[str, Hooks], EntryPoint]


def returns(value: Any) -> Any:
    return hookimpl(lambda: value)


def source(id: str = "made-up") -> Record:
    text = f"""
        schema = 1
        record = "source"
        id = "{id}"
        title = "Made up"
        summary = "For tests."
        publisher = "nobody"
    """
    return read_record(text, "test")


def species(id: str, source: str = "made-up", more: str = "") -> Record:
    text = f"""
        schema = 1
        record = "species"
        id = "{id}"
        title = "Test wood"
        summary = "No such tree."
        botanical = "none"
        group = "hardwood"
        absorbency = "low"
        {more}
        density = {{ value = "700 kg/m3", source = "{source}", kind = "judgement" }}
    """
    return read_record(text, "test")


def coating(model: str) -> Record:
    rest = f"""
        models = {{ spreading = "{model}" }}
        coats = {{ value = 1, source = "made-up", kind = "judgement" }}
        [spreading.sanded]
        low = {{ value = "10 m2/L", source = "made-up", kind = "judgement" }}
    """
    return read_record(guests.oil(rest, id="test-oil"), "test")


class PlankInputs(msgspec.Struct, frozen=True, kw_only=True):
    length: Annotated[float, Q("m", "Length of a plank", ge=0.1, le=10, example="2 m")]


class ReservedInputs(msgspec.Struct, frozen=True, kw_only=True):
    units: Annotated[str, F("A name that every route takes as an option", example="metric")]


class UndeclaredInputs(msgspec.Struct, frozen=True, kw_only=True):
    length: float


class PlankResult(msgspec.Struct, frozen=True, kw_only=True):
    length: Annotated[float, Q("m", "The same length")]


def plank(id: str = "plank", inputs: type[msgspec.Struct] = PlankInputs) -> Calculator:
    def function(x: Any, ledger: Ledger, known: RecordLookup) -> PlankResult:
        """How long is a plank?"""
        return PlankResult(length=x.length)

    function.__annotations__["x"] = inputs
    return calculator(id, "Plank", since="0.1", example={"length": "2 m"})(function)


async def later() -> Iterable[Record]:
    return []


def leaves() -> Iterable[Record]:
    raise SystemExit(3)


def fails() -> Iterable[Record]:
    raise RuntimeError("no such disk")


def wants_an_argument(records: object) -> Iterable[Record]:
    return []


def wants_a_default(records: object = None) -> Iterable[Record]:
    return []


def good() -> Hooks:
    return {
        "latewood_records": returns([source(), species("test-wood")]),
        "latewood_models": returns([Model("spreading", "test-model", spreads, source="made-up")]),
        "latewood_calculators": returns([plank()]),
    }


def spreads(*, rate: float, coat: int, roughness: float) -> float:
    return rate / coat


def records(*more: Record) -> Hooks:
    """Hooks of a plugin that would be good but for its last records."""
    return {"latewood_records": returns([source("bad-source"), species("bad-wood", "bad-source"), *more])}


#: What is wrong with a plugin → its hooks, and words that must be in the reason it is left out for.
BROKEN: dict[str, tuple[Callable[[], Hooks], list[str]]] = {
    "a hook nobody asks": (
        lambda: {**records(), "latewood_colours": returns([])},
        ["latewood_colours", "unknown hook"],
    ),
    "a hook with an argument": (
        lambda: {**records(), "latewood_models": hookimpl(wants_an_argument)},
        ["latewood_models", "records"],
    ),
    "a hook with a default": (
        lambda: {**records(), "latewood_models": hookimpl(wants_a_default)},
        ["latewood_models", "no arguments"],
    ),
    "a coroutine": (lambda: {**records(), "latewood_models": hookimpl(later)}, ["latewood_models", "coroutine"]),
    "a hook that raises": (lambda: {**records(), "latewood_models": hookimpl(fails)}, ["RuntimeError", "no such disk"]),
    "a hook that exits": (lambda: {**records(), "latewood_models": hookimpl(leaves)}, ["SystemExit", "3"]),
    "records that are none": (lambda: records("ipe"), ["latewood_records", "'ipe'", "Record"]),  # type: ignore[arg-type]  # on purpose
    "a text for a list": (
        lambda: {**records(), "latewood_models": returns("oak")},
        ["latewood_models", "Model", "str"],
    ),
    "nothing for a list": (lambda: {**records(), "latewood_calculators": returns(7)}, ["latewood_calculators", "int"]),
    "an id there is already": (lambda: records(species("test-wood", "bad-source")), ["species/test-wood", "good"]),
    "an id twice": (lambda: records(species("bad-wood", "bad-source")), ["species/bad-wood", "twice"]),
    "a source nobody has": (lambda: records(species("other-wood", "lost-book")), ["species/other-wood", "lost-book"]),
    "a model nobody has": (lambda: records(coating("lost-model")), ["coating/test-oil", "spreading/lost-model"]),
    "a model there is already": (
        lambda: {**records(), "latewood_models": returns([Model("spreading", "test-model", spreads, source="")])},
        ["spreading/test-model", "good"],
    ),
    "a calculator there is already": (lambda: {**records(), "latewood_calculators": returns([plank()])}, ["plank"]),
    "a calculator the engine has": (
        lambda: {**records(), "latewood_calculators": returns([plank("coverage")])},
        ["coverage", "engine"],
    ),
    "a field with the name of an option": (
        lambda: {**records(), "latewood_calculators": returns([plank("reserved", ReservedInputs)])},
        ["calculator reserved", "units"],
    ),
    "a field without a declaration": (
        lambda: {**records(), "latewood_calculators": returns([plank("undeclared", UndeclaredInputs)])},
        ["neither Q nor F"],
    ),
}


@pytest.mark.parametrize("wrong", BROKEN)
def test_a_broken_plugin_is_left_out_whole_and_named(wrong: str, plugin: Plugin) -> None:
    hooks, words = BROKEN[wrong]
    lw = latewood.load([plugin("good", good()), plugin("bad", hooks()), plugin("last", records(source("last-source")))])
    faults = {item["id"]: item.get("error") for item in lw.health()["plugins"]}
    assert [word for word in words if word not in str(faults["bad"])] == []
    assert faults["good"] is None
    assert faults["last"] is None
    assert set(lw.computed_with["plugins"]) == {"good", "last"}
    assert {record["id"] for record in lw.items("species")["items"]} == {"test-wood", "bad-wood"}
    assert lw.shelf.owner("species", "bad-wood") == "last"
    assert {*latewood.load([]).calculators, "plank"} == set(lw.calculators)
    assert lw.calculate("plank", length="3 m")["result"] == {"length": {"value": 3.0, "unit": "m"}}


@pytest.mark.parametrize("wrong", BROKEN)
def test_strict_stops_and_names_it(wrong: str, plugin: Plugin) -> None:
    hooks, words = BROKEN[wrong]
    with pytest.raises(BadPlugin) as stopped:
        latewood.load([plugin("good", good()), plugin("bad", hooks())], strict=True)
    assert [word for word in ["plugin bad", *words] if word not in str(stopped.value)] == []


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (None, "No module named 'unreadable_pack'"),
        ("import no_such_module_anywhere", "no_such_module_anywhere"),
        ("raise SystemExit(1)", "SystemExit: 1"),
        ("def (", "SyntaxError"),
    ],
    ids=["absent", "what it imports is absent", "exits", "not Python"],
)
def test_a_module_that_cannot_be_imported_is_named(
    text: str | None, words: str, plugin: Plugin, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if text is not None:
        (tmp_path / "unreadable_pack.py").write_text(text)
    monkeypatch.syspath_prepend(tmp_path)
    lw = latewood.load([EntryPoint("unreadable", "unreadable_pack", "latewood"), plugin("good", good())])
    assert words in lw.item("plugins", "unreadable")["error"]
    assert "test-wood" in lw.shelf.records("species")


@pytest.mark.parametrize(
    ("function", "words"),
    [
        (lambda rate, coat: rate, ["(rate, coat)", "(rate, coat, roughness)"]),
        (lambda rate, coat, roughness, wind: rate, ["wind"]),
        (lambda rate, coat, roughness, /: rate, ["by keyword"]),
        (lambda **anything: 1.0, ["anything"]),
    ],
    ids=["one short", "one more", "by place only", "anything at all"],
)
def test_a_model_with_other_arguments_is_refused(
    function: Callable[..., Any], words: list[str], plugin: Plugin
) -> None:
    hook = hookimpl(lambda: [Model("spreading", "wrong", function, source="")])
    lw = latewood.load([plugin("good", good()), plugin("bad", {"latewood_models": hook})])
    error = lw.item("plugins", "bad")["error"]
    assert [word for word in ["spreading/wrong", *words] if word not in error] == []
    assert list(lw.shelf.models()) == [("spreading", "test-model")]


def test_records_of_a_newer_schema_need_a_newer_latewood(plugin: Plugin) -> None:
    text = 'schema = 2\nrecord = "varnish-of-tomorrow"\nid = "new"\n'
    hook = hookimpl(lambda: [read_record(text, "pack/new.toml")])
    lw = latewood.load([plugin("good", good()), plugin("bad", {"latewood_records": hook})])
    error = lw.item("plugins", "bad")["error"]
    assert error.startswith("it needs a newer latewood: pack/new.toml: schema: schema 2 is newer")
    assert "kind of record" not in error


@pytest.mark.parametrize("schema", ["0", "-1", "true", '"2"', "1.5"])
def test_no_other_schema_is_taken_for_a_newer_one(schema: str, plugin: Plugin) -> None:
    hook = hookimpl(lambda: [read_record(f'schema = {schema}\nrecord = "species"\nid = "new"\n', "pack/new.toml")])
    error = latewood.load([plugin("bad", {"latewood_records": hook})]).item("plugins", "bad")["error"]
    assert "newer" not in error
    assert "not a known schema" in error


def test_a_model_of_no_kind_is_refused(plugin: Plugin) -> None:
    hook = hookimpl(lambda: [Model("colour", "wrong", spreads, source="")])
    lw = latewood.load([plugin("bad", {"latewood_models": hook})])
    assert "'colour' is not a kind of model" in lw.item("plugins", "bad")["error"]


class UnresolvedInputs(msgspec.Struct, frozen=True, kw_only=True):
    length: "Annotated[Nowhere, 0]"  # type: ignore[name-defined]  # noqa: F821, UP037  on purpose


def test_a_field_whose_type_cannot_be_found_is_refused(plugin: Plugin) -> None:
    hook = returns([plank("unresolved", UnresolvedInputs)])
    lw = latewood.load([plugin("good", good()), plugin("bad", {"latewood_calculators": hook})])
    assert "Nowhere" in lw.item("plugins", "bad")["error"]
