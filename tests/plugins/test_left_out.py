"""What a left-out plugin means to whoever asks, and how plugins stand beside one another."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib.metadata import EntryPoint
from typing import Any

import msgspec
import pytest

import latewood
from latewood import Catalogue, InputProblem, NotFound
from latewood.plugin import Record, hookimpl, read_record
from latewood.plugin.loader import installed

BUNDLED = [entry for entry in installed() if entry.name == "latewood"]

Plugin = Callable[[str, Mapping[str, Any]], EntryPoint]


def brings(*records: Record) -> Mapping[str, Any]:
    return {"latewood_records": hookimpl(lambda: records)}


def wood(id: str, more: str = "") -> Record:
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
        density = {{ value = "700 kg/m3", source = "judgement", kind = "judgement" }}
    """
    return read_record(text, "test")


def fails() -> None:
    raise RuntimeError("no such disk")


@pytest.fixture
def beside(plugin: Plugin) -> Catalogue:
    """The engine beside a plugin that is left out, because one of its two records is there already."""
    return latewood.load([*BUNDLED, plugin("bad", brings(wood("bad-wood"), wood("ipe")))])


def test_a_request_for_what_it_brings_is_told_why(beside: Catalogue) -> None:
    with pytest.raises(InputProblem) as refused:
        beside.calculate("coverage", area="10 m2", species="bad-wood", coating="clear-penetrating-oil")
    [fault] = refused.value.faults
    assert fault.pointer == "/species"
    assert "plugin bad would bring it" in fault.detail
    assert "species/ipe is already provided by latewood" in fault.detail


def test_the_catalogue_says_so_too(beside: Catalogue) -> None:
    with pytest.raises(NotFound, match="plugin bad would bring it"):
        beside.item("species", "bad-wood")


def test_where_nothing_could_be_read_the_plugin_is_still_mentioned(plugin: Plugin) -> None:
    lw = latewood.load([*BUNDLED, plugin("bad", {"latewood_records": hookimpl(fails)})])
    with pytest.raises(InputProblem, match="plugins left out at start: bad"):
        lw.calculate("coverage", area="10 m2", species="some-wood", coating="clear-penetrating-oil")


def test_answers_are_the_same_as_without_it(beside: Catalogue) -> None:
    answers = [
        lw.calculate("coverage", area="10 m2", species="ipe", coating="clear-penetrating-oil")
        for lw in (beside, latewood.load(BUNDLED))
    ]
    assert msgspec.json.encode(answers[0]) == msgspec.json.encode(answers[1])


def test_a_record_stands_in_for_another_only_when_it_says_so(plugin: Plugin) -> None:
    firm = plugin("firm", brings(wood("ipe", 'replaces = "species/ipe"')))
    lw = latewood.load([*BUNDLED, firm], strict=True)
    assert lw.item("species", "ipe")["plugin"] == "firm"
    assert lw.shelf.record("species", "ipe").title == "Test wood"


def test_the_engines_own_plugin_comes_first_and_the_others_by_name() -> None:
    names = [entry.name for entry in installed()]
    assert names == ["latewood", *sorted(set(names) - {"latewood"})]


@pytest.fixture
def named(plugin: Plugin) -> Catalogue:
    """The engine beside a wood that brings a name of its own, one of ipe and one that several woods share."""
    names = 'synonyms = ["quay teak", "brazilian walnut", "redwood"]'
    return latewood.load([*BUNDLED, plugin("pack", brings(wood("harbour-wood", names)))], strict=True)


def test_a_name_that_only_its_wood_has_is_taken_for_it(named: Catalogue) -> None:
    found = named.calculate("coverage", area="10 m2", species="Quay Teak", coating="clear-penetrating-oil")
    taken = [one.values["record"]["id"] for one in found["findings"] if one.id == "name-taken"]
    assert taken == ["harbour-wood"]


@pytest.mark.parametrize(
    ("shared", "several"),
    [
        ("Brazilian walnut", {"ipe", "harbour-wood"}),
        ("redwood", {"sequoia-redwood", "scots-pine", "harbour-wood"}),
    ],
)
def test_a_name_its_wood_shares_is_taken_for_none(named: Catalogue, shared: str, several: set[str]) -> None:
    with pytest.raises(InputProblem) as refused:
        named.calculate("coverage", area="10 m2", species=shared, coating="clear-penetrating-oil")
    [fault] = refused.value.faults
    assert (fault.pointer, fault.code) == ("/species", "ambiguous")
    assert fault.expected is not None
    assert set(fault.expected.removeprefix("one of ").replace(" or ", ", ").split(", ")) == several
