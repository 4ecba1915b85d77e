"""A pack that knows one coating on one species: its rate is taken there and nowhere else."""

from collections.abc import Callable, Mapping
from importlib.metadata import EntryPoint
from typing import Any

import pytest

import latewood
from latewood import running
from latewood.plugin import hookimpl
from latewood.plugin.loader import installed
from latewood.provenance import Ledger
from latewood.records import BadRecord, Record, read_record
from latewood.uncertainty import spread
from latewood.wire import Context, struct_reader

Plugin = Callable[[str, Mapping[str, Any]], EntryPoint]

SOURCE = """
schema = 1
record = "source"
id = "demo-trial"
title = "Demonstration trial"
summary = "Invented for this test."
publisher = "nobody"
"""

PAIRING = """
schema = 1
record = "pairing"
id = "demo-pair"
title = "Clear oil on teak"
summary = "Invented for this test."
coating = "clear-penetrating-oil"
species = "teak"

[spreading.sanded]
low = "10 m2/L"
high = "14.4 m2/L"
spread = "p10-p90"
source = "demo-trial"
where = "row 1"
kind = "reported"
"""
PATH = "pairing/demo-pair/spreading/sanded"


def pack(*texts: str, source: str = SOURCE) -> dict[str, Any]:
    records: list[Record] = [read_record(text, "demo") for text in (source, *texts)]

    @hookimpl
    def latewood_records() -> list[Record]:
        return records

    return {"latewood_records": latewood_records}


@pytest.fixture
def load(plugin: Plugin) -> Callable[..., latewood.Catalogue]:
    def load(*texts: str, strict: bool = True) -> latewood.Catalogue:
        bundled = [entry for entry in installed() if entry.name == "latewood"]
        return latewood.load([*bundled, plugin("demo", pack(*texts))], strict=strict)

    return load


def cover(engine: latewood.Catalogue, **fields: Any) -> tuple[Any, Ledger]:
    calculator = engine.calculator("coverage")
    ctx = Context(engine.shelf)
    inputs = struct_reader(calculator.inputs).read({"coating": "clear-penetrating-oil", **fields}, "", ctx)
    ctx.finish()
    ledger = Ledger("coverage", working=True)
    return running.run(calculator, inputs, ledger, engine.shelf), ledger


def ids(ledger: Ledger) -> set[str]:
    return {finding.id for finding in ledger.findings}


def test_the_pair_has_its_own_rate(load):
    """120 m2 at 10 to 14.4 m2/L take 8.33 to 12 L, 10 L at the geometric mean of 12. Hand-worked."""
    result, ledger = cover(load(PAIRING), area="120 m2", species="teak", surface="sanded")
    found = [1e3 * end for end in (spread.low(result.volume), spread.value(result.volume), spread.high(result.volume))]
    assert found == pytest.approx([120 / 14.4, 10, 12])
    used = {line.path: line for line in ledger.basis}
    assert (used[PATH].given, used[PATH].source, used[PATH].where) == ("10-14.4 m2/L", "demo-trial", "row 1")
    assert not any(path.startswith("coating/clear-penetrating-oil/spreading") for path in used)
    # Without the pairing this cell would have been taken from the nearest.
    assert "rate-extrapolated" not in ids(ledger)


@pytest.mark.parametrize(
    "other",
    [
        {"species": "iroko", "surface": "sanded"},
        {"species": "teak", "surface": "weathered"},
        {"species": "teak", "surface": "sanded", "coating": "tinted-penetrating-oil"},
        {"surface": "sanded"},
    ],
)
def test_what_is_not_the_pair_goes_by_the_table(load, other):
    with_pair, ledger = cover(load(PAIRING), area="120 m2", **other)
    without, _ = cover(latewood.load(), area="120 m2", **other)
    assert spread.high(with_pair.volume) == spread.high(without.volume)
    assert PATH not in {line.path for line in ledger.basis}


def test_a_data_sheet_overrules_the_pair(load):
    product = {"spreading_rate": "6 m2/L"}
    result, ledger = cover(load(PAIRING), area="120 m2", species="teak", surface="sanded", product=product)
    assert spread.value(result.applied) == pytest.approx(20e-3)
    assert PATH not in {line.path for line in ledger.basis}


def test_woods_of_one_absorbency_are_told_apart(load):
    """Teak and iroko are both of medium absorbency; each zone takes its own volume."""
    engine = load(PAIRING)
    faces = [
        {"zone": wood, "part": "field", "area": area, "species": wood, "surface": "sanded"}
        for wood, area in (("teak", "120 m2"), ("iroko", "40 m2"))
    ]
    both, ledger = cover(engine, faces=faces)
    alone = [cover(engine, faces=[face])[0].volume for face in faces]
    for zone, volume in zip(both.zones, alone, strict=True):
        assert spread.value(zone.volume) == pytest.approx(spread.value(volume))
    assert [zone.area for zone in both.zones] == [120, 40]
    assert "Clear oil on teak" in " ".join(step.about for step in ledger.steps)


def test_the_default_surface_is_weighed_against_the_other_surfaces(load):
    """Sanded was assumed: the pair's 12 m2/L. The table's 100-150 ft2/gal on weathered wood, 132 %, changes it most."""
    _, ledger = cover(load(PAIRING), area="120 m2", species="teak")
    (finding,) = [finding for finding in ledger.findings if finding.id == "default-surface"]
    weathered = 1.32 * (100 * 150) ** 0.5 * 0.3048**2 / (231 * 0.0254**3 * 1e3)
    assert finding.params["effect"] == pytest.approx(12 / weathered - 1, abs=1e-4)


def test_a_rate_of_what_stays_is_converted(load):
    """12 m2/L of what stays on teak, an eighth wiped off: 120 m2 take 10 / (1 - 0.125) L. Hand-worked."""
    certain = PAIRING.replace('low = "10 m2/L"\nhigh = "14.4 m2/L"\nspread = "p10-p90"', 'value = "12 m2/L"')
    retained = certain.replace("[spreading", 'rate_basis = "retained"\n\n[spreading', 1)
    result, ledger = cover(load(retained), area="120 m2", species="teak", surface="sanded")
    assert 1e3 * spread.value(result.applied) == pytest.approx(10 / 0.875)
    assert "rate-as-applied" in {step.formula.id for step in ledger.steps}


def test_the_catalogue_lists_pairings_also_where_there_is_none(load):
    assert [item["id"] for item in load(PAIRING).items("pairing")["items"]] == ["demo-pair"]
    assert load().items("pairing") == {"items": [], "count": 0}


@pytest.mark.parametrize(
    ("texts", "words"),
    [
        ([PAIRING.replace("teak", "teek")], ["pairing/demo-pair", "no species record teek"]),
        (
            [PAIRING.replace("clear-pen", "clear-open")],
            ["pairing/demo-pair", "no coating record clear-openetrating-oil"],
        ),
        ([PAIRING, PAIRING.replace("demo-pair", "other-pair")], ["pairing/other-pair", "pairing/demo-pair", "teak"]),
    ],
)
def test_a_pairing_that_cannot_be_is_left_out(load, texts, words):
    engine = load(*texts, strict=False)
    (error,) = [plugin.error for plugin in engine.shelf.plugins if plugin.name == "demo"]
    assert error is not None
    assert [word for word in words if word not in error] == []
    assert engine.items("pairing")["count"] == 0


def beside_the_first(plugin: Plugin, old: str, new: str) -> latewood.Catalogue:
    """Return an engine with the pairing and, after it, another pack's of the same pair, which goes up to 40 m2/L."""
    bundled = [entry for entry in installed() if entry.name == "latewood"]
    later = PAIRING.replace("demo-trial", "later-trial").replace("14.4", "40").replace(old, new, 1)
    source = SOURCE.replace("demo-trial", "later-trial")
    packs = [plugin("first", pack(PAIRING)), plugin("later", pack(later, source=source))]
    return latewood.load([*bundled, *packs])


def test_another_pack_may_not_speak_of_the_pair_too(plugin):
    engine = beside_the_first(plugin, "demo-pair", "later-pair")
    assert "pairing/demo-pair speaks of clear-penetrating-oil on teak" in str(engine.shelf.plugins[-1].error)
    assert list(engine.shelf.records("pairing")) == ["demo-pair"]


def test_another_pack_may_replace_the_pairing(plugin):
    engine = beside_the_first(plugin, "[spreading", 'replaces = "pairing/demo-pair"\n\n[spreading')
    assert engine.shelf.plugins[-1].error is None
    assert engine.shelf.record("pairing", "demo-pair").spreading["sanded"].high == pytest.approx(40e3)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("[spreading.sanded]", "[spreading.oiled]", "spreading.oiled: this name is not known here"),
        ("[spreading.sanded]", "[spreading.sanded.low]", "spreading.sanded.source: the field is missing"),
        ('species = "teak"\n', "", "species: the field is missing"),
        ('"10 m2/L"', '"10 m2"', "spreading.sanded.low: "),
    ],
)
def test_a_fault_of_a_pairing_is_named_by_its_field(old, new, said):
    assert old in PAIRING
    with pytest.raises(BadRecord) as caught:
        read_record(PAIRING.replace(old, new, 1), "demo")
    assert said in str(caught.value)
