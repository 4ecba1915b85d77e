"""What an engine says of itself: lists, entries whole, and nearest names for what is not there."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from importlib.metadata import EntryPoint
from typing import Any

import msgspec
import pytest

import latewood
from latewood.catalogue import Catalogue
from latewood.plugin import Model, hookimpl
from latewood.plugin.loader import installed
from latewood.problems import InputProblem, NotFound
from latewood.wire import Components, Options, schema

BUNDLED = [entry for entry in installed() if entry.name == "latewood"]


def test_every_list_is_in_order_counted_and_its_entries_can_be_had(lw: Catalogue) -> None:
    for kind in lw.kinds():
        listed = lw.items(kind)
        ids = [entry["id"] for entry in listed["items"]]
        assert ids == sorted(set(ids)), kind
        assert listed["count"] == len(ids)
        for entry in listed["items"]:
            more = {"text", "params", "severity", "code", "expected"} if kind == "messages" else set()
            assert set(entry) - more == {"id", "title", "summary"}
            whole = lw.item(kind, entry["id"])
            assert {name: whole[name] for name in entry} == entry
            assert json.loads(msgspec.json.encode(whole))["id"] == entry["id"]


def test_a_record_is_given_as_its_file_says_it_with_its_plugin(lw: Catalogue) -> None:
    whole = lw.item("coating", "clear-penetrating-oil")
    assert (whole["record"], whole["plugin"]) == ("coating", "latewood")
    assert whole["content"]["spreading"]["sanded"]["low"]["low"] == "250 ft2/us_gal"


def test_a_formula_says_what_goes_in_and_where_it_is_printed(lw: Catalogue) -> None:
    whole = lw.item("formulas", "volume-laid-on")
    assert whole["summary"] == "V = A/r"
    assert [(a["name"], a["unit"]) for a in whole["arguments"]] == [("area", "m2"), ("spreading_rate", "m2/L")]
    assert whole["result"] == {"symbol": "V", "unit": "L"}
    assert whole["source"]
    assert whole["where"]


def test_a_calculator_says_what_it_takes_and_answers(lw: Catalogue) -> None:
    for calculator in lw.calculators.values():
        whole = lw.item("calculators", calculator.id)
        assert set(whole["formulas"]) <= set(lw.formulas())
        inputs = {entry["name"]: entry for entry in whole["inputs"]}
        assert all(entry["title"] for entry in inputs.values())
        answer = lw.answer(calculator.id, whole["example"], Options())
        assert answer["calculator"] == calculator.id


@pytest.mark.parametrize(
    ("kind", "id", "near"),
    [
        ("species", "ipee", "ipe"),
        ("formulas", "volume-laid-onn", "volume-laid-on"),
        ("calculators", "coverge", "coverage"),
        ("models", "spreading-tabel", "spreading-table"),
        ("plugins", "latewod", "latewood"),
        ("speces", "ipe", "species"),
        ("plugin", "latewood", "plugins"),
    ],
)
def test_what_is_not_there_is_answered_with_the_nearest(lw: Catalogue, kind: str, id: str, near: str) -> None:
    with pytest.raises(NotFound) as absent:
        lw.item(kind, id)
    assert (absent.value.fault.code, absent.value.fault.nearest) == ("not-found", near)


@pytest.mark.parametrize(
    ("kind", "what"),
    [("formulas", "formula"), ("models", "model"), ("species", "species"), ("voc-limits", "voc limits")],
)
def test_what_is_not_there_is_called_by_its_name(lw: Catalogue, kind: str, what: str) -> None:
    with pytest.raises(NotFound, match=f"there is no {what} named 'zzz'"):
        lw.item(kind, "zzz")


def test_an_option_among_the_fields_is_told_from_a_misspelt_one(lw: Catalogue) -> None:
    request = {"area": "400 ft2", "coating": "clear-penetrating-oil", "units": "us"}
    with pytest.raises(InputProblem, match="there is no field 'units' here; it is an option, which is given apart"):
        lw.answer("coverage", request, Options())


def test_what_is_required_is_asked_for_with_an_example(lw: Catalogue) -> None:
    with pytest.raises(InputProblem) as refused:
        lw.answer("coverage", {"area": "400 ft2"}, Options())
    [fault] = refused.value.faults
    assert (fault.pointer, fault.expected) == ("/coating", "Coating family, such as clear-penetrating-oil")


def test_an_output_that_no_answer_holds_is_not_found(lw: Catalogue) -> None:
    pairs = [("area", "400 ft2"), ("coating", "clear-penetrating-oil")]
    with pytest.raises(NotFound) as absent:
        lw.cell("coverage", "volumes", pairs, Options())
    assert absent.value.fault.nearest == "volume"


def test_one_output_is_the_number_the_whole_answer_holds(lw: Catalogue) -> None:
    pairs = [("area", "400 ft2"), ("species", "ipe"), ("coating", "clear-penetrating-oil")]
    answer = lw.answer_flat("coverage", pairs, Options(units="us"))
    volume = json.loads(msgspec.json.encode(answer["result"]["volume"]))
    assert lw.cell("coverage", "volume", pairs, Options(units="us")) == f"{volume['value']} us_gal"
    # By hand: at its best, 400 ft2/us_gal, the oil goes 400 ft2 with one gallon.
    assert lw.cell("coverage", "volume.low", pairs, Options(units="us")) == "0.740740741 us_gal"
    assert lw.cell("coverage", "volume.unit", pairs, Options(units="us")) == "us_gal"


def spreads(*, rate: float, coat: int, roughness: float) -> float:
    return rate / coat


def test_a_plugin_is_named_with_what_it_brings_and_in_every_answer(
    plugin: Callable[[str, Mapping[str, Any]], EntryPoint],
) -> None:
    hook = hookimpl(lambda: [Model("spreading", "thin", spreads, source="a leaflet", title="Thinner each coat")])
    lw = latewood.load([*BUNDLED, plugin("more", {"latewood_models": hook})])
    assert lw.item("models", "spreading-thin") == {
        "id": "spreading-thin",
        "title": "Thinner each coat",
        "summary": "a spreading model",
        "source": "a leaflet",
    }
    whole = lw.item("plugins", "more")
    assert (whole["distribution"], whole["version"]) == ("unknown", "unknown")
    assert "error" not in whole
    answer = lw.answer("coverage", lw.calculators["coverage"].example, Options())
    assert set(answer["computed_with"]["plugins"]) == {"latewood", "more"}
    assert lw.health()["status"] == "ready"


def test_the_digest_tells_records_apart(lw: Catalogue) -> None:
    assert lw.computed_with["catalogue"].startswith("sha256:")
    assert lw.computed_with["catalogue"] == latewood.load().computed_with["catalogue"]
    assert lw.computed_with["catalogue"] != latewood.load([]).computed_with["catalogue"]


@pytest.mark.parametrize("lang", ["en", "es"])
def test_every_kind_has_a_title_in_each_language(lw: Catalogue, lang: str) -> None:
    listed = lw.counts(Options(lang=lang))["items"]
    said = lw.speaker(Options(lang=lang)).pack.words["catalogue"]
    assert [one["title"] for one in listed] == [said[kind] for kind in lw.kinds()]
    assert said.keys() == set(lw.kinds())


def test_every_kind_that_a_field_names_has_a_word(lw: Catalogue) -> None:
    said = lw.speaker(Options()).pack.words["kind"]
    parts = Components()
    asked = [schema.request_schema(one, parts) for one in lw.calculators.values()]
    fields = json.dumps([asked, parts.found])
    assert set(re.findall(r'"x-catalogue": "([^"]+)"', fields)) <= said.keys()
