"""Records read back: each number as it is computed with, how it is known, and the source it is from."""

import json

import msgspec
import pytest
from tests.bundled import bundled

from latewood.quantities import units


@pytest.fixture(scope="module")
def engine():
    return bundled()


def numbers_of(item):
    return {number["path"]: number for number in item["numbers"]}


def records_of(engine):
    for kind in engine.shelf.kinds():
        for id, record in engine.shelf.records(kind).items():
            yield record, engine.item(kind, id)


def test_every_number_of_every_record_can_be_read_back_with_its_origin(engine):
    for record, item in records_of(engine):
        assert list(numbers_of(item)) == list(record.numbers)
        cited = {source["id"] for source in item["sources"]}
        for path, number in numbers_of(item).items():
            assert number["title"], path
            assert number["given"], path
            assert number["source"] in cited
            assert number["kind"] == record.numbers[path].evidence
            assert number.get("where", "") == record.numbers[path].where


def test_every_number_is_what_the_engine_computes_with_in_both_systems(engine):
    for record, item in records_of(engine):
        for number, us in zip(item["numbers"], engine.item(record.KIND, record.id, "us")["numbers"], strict=True):
            held = record.numbers[number["path"]]
            for shown in (number, us):
                for name, si in (("value", held.si), ("low", held.low), ("high", held.high)):
                    assert (name in shown) is (si is not None)
                    if si is not None:
                        unit = shown.get("unit")
                        dimension = record.meanings[number["path"]].dimension
                        back = shown[name] if unit is None else units.to_si(shown[name], unit, dimension)
                        assert back == pytest.approx(si, rel=1e-8), number["path"]


def test_a_record_is_plain_data(engine):
    for _, item in records_of(engine):
        assert json.loads(msgspec.json.encode(item))["id"] == item["id"]


def test_hardness_in_the_units_of_both_systems(engine):
    # FPL sheet Tabebuia: 3,680 lb at 12 %; 1 lbf = 4.4482216152605 N (NIST SP 811).
    metric = numbers_of(engine.item("species", "ipe"))["species/ipe/hardness/dry"]
    us = numbers_of(engine.item("species", "ipe", "us"))["species/ipe/hardness/dry"]
    assert (metric["value"], metric["unit"]) == (pytest.approx(16369.4555), "N")
    assert (us["value"], us["unit"]) == (pytest.approx(3680), "lbf")
    assert us["given"] == metric["given"] == "3680 lbf"
    assert "low" not in us


def test_a_range_keeps_both_ends_and_a_count_has_no_unit(engine):
    basic = numbers_of(engine.item("species", "ipe"))["species/ipe/basic_density"]
    assert (basic["low"], basic["high"], basic["unit"]) == (850, 970, "kg/m3")
    coats = numbers_of(engine.item("coating", "clear-penetrating-oil"))["coating/clear-penetrating-oil/coats"]
    assert "unit" not in coats
    assert coats["value"] == 1


def test_a_dated_number_says_from_when_it_holds(engine):
    rule = engine.item("voc-limits", "eu-2004-42-ec")
    # Directive 2004/42/EC, annex II: phase I from 1 January 2007, phase II from 1 January 2010.
    assert {number["starts"] for number in rule["numbers"] if "/limits/" in number["path"]} == {
        "2007-01-01",
        "2010-01-01",
    }


def test_a_source_says_what_rests_on_it(engine):
    sheet = engine.item("source", "teak-sheet")
    assert sheet["used_by"] == ["species/teak"]
    assert sheet["sources"] == []
    handbook = engine.item("source", "wood-handbook-282")
    assert {"species/white-oak", "check/density-balau"} <= set(handbook["used_by"])
    assert "used_by" not in engine.item("species", "teak")


def test_the_sources_of_a_record_can_be_found(engine):
    sources = {source["id"]: source for source in engine.item("species", "teak")["sources"]}
    assert sources["wood-handbook-190"]["year"] == 2010
    assert sources["teak-sheet"]["url"].startswith("https://")
    assert all(source["publisher"] for source in sources.values())
    # What is said in words names its source too.
    assert "haz-map-teak" in sources
