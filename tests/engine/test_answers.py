"""What stands beside a result: the sheet in the units asked for, and a finding for each number that is not there."""

from __future__ import annotations

from typing import Annotated, Any

import pytest

from latewood.answers import no_nulls, sheet_line
from latewood.declare import Symbol, formula
from latewood.messages import Style, shipped
from latewood.provenance import Ledger
from latewood.wire.options import System


@formula(symbols="V = A·t", source="geometry: the meaning of a volume", where="definition")
def volume_of(
    area: Annotated[float, Symbol("A", "m2")], thickness: Annotated[float, Symbol("t", "mm")]
) -> Annotated[float, Symbol("V", "L")]:
    """The volume of a layer is its area times its thickness."""
    return area * thickness


def worked() -> Ledger:
    ledger = Ledger("layer", working=True)
    ledger.step(volume_of, area=37.161216, thickness=0.0001)
    return ledger


def sheet(ledger: Ledger, system: System) -> list[dict[str, Any]]:
    speaker = shipped().speaker(Style(system=system))
    return [sheet_line(step, speaker) for step in ledger.steps or ()]


def test_the_sheet_shows_each_number_with_symbol_and_unit() -> None:
    """By hand: 37.161216 m2 (400 ft2) of 0.1 mm is 3.7161216 L."""
    [line] = sheet(worked(), "metric")
    assert (line["formula"], line["symbols"], line["where"]) == ("volume-of", "V = A·t", "definition")
    assert [(n["name"], n["symbol"], n["unit"]) for n in line["numbers"]] == [
        ("area", "A", "m2"),
        ("thickness", "t", "mm"),
    ]
    assert [n["value"] for n in line["numbers"]] == pytest.approx([37.161216, 0.1])
    assert line["result"] == {"name": "result", "symbol": "V", "value": pytest.approx(3.7161216), "unit": "L"}


def test_the_sheet_in_us_units() -> None:
    """400 ft2 by definition of the foot; 3.7161216 L is 0.981695 gallons of 3.785411784 L."""
    [line] = sheet(worked(), "us")
    area, thickness = line["numbers"]
    assert (area["value"], area["unit"]) == (pytest.approx(400), "ft2")
    assert (thickness["value"], thickness["unit"]) == (pytest.approx(0.1 / 25.4), "in")
    assert (line["result"]["value"], line["result"]["unit"]) == (pytest.approx(3.7161216 / 3.785411784), "us_gal")


def test_without_working_there_is_no_sheet() -> None:
    ledger = Ledger("layer")
    ledger.step(volume_of, area=1.0, thickness=0.001)
    assert ledger.steps is None


def test_every_number_that_is_not_there_is_named_by_its_place() -> None:
    ledger = Ledger("layer")
    result = {
        "volume": {"value": None, "unit": "L"},
        "area": {"value": 1.0, "unit": "m2"},
        "coats": [{"id": "first", "volume": {"value": 2.0, "unit": "L"}}, {"volume": {"value": None, "unit": "L"}}],
        "text": "none",
        "value": 0,
    }
    no_nulls(result, ledger)
    assert [(f.id, f.severity, f.pointer) for f in ledger.findings] == [
        ("not-computed", "warning", "/volume"),
        ("not-computed", "warning", "/coats/1/volume"),
    ]
