"""Every worked step is done again from the numbers printed on the sheet."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import msgspec
import pytest
from tests.bundled import bundled

from latewood.quantities import units
from latewood.wire import Options

LW = bundled()

#: Requests beside the examples, so that formulas the examples do without are seen at work too.
MORE: dict[str, list[dict[str, Any]]] = {
    "moisture-readiness": [
        {
            "zones": [{"id": "main"}],
            "species": "scots-pine",
            "temperature_rule": "pfaff-garrahan",
            "readings": [
                {"zone": "main", "reading": "14 %", "wood_temperature": "10 degC"},
                {"zone": "main", "reading": "15 %", "wood_temperature": "12 degC"},
            ],
            "temperature": "15 degC",
            "relative_humidity": "70 %",
            "elevation": "1200 m",
        }
    ],
    "labour": [
        {
            "tasks": [
                {"id": "cut-in", "works_on": "floor", "rate": "cut-in", "length": "24 m"},
                {"id": "lamp", "works_on": "site", "least_time": "1 h", "likely_time": "2 h", "most_time": "5 h"},
            ]
        }
    ],
    "preparation": [
        {
            "area": "20 m2",
            "species": "ipe",
            "old_coating": "none",
            "signs": ["grey", "proud-fasteners"],
            "temperature": "20 degC",
            "relative_humidity": "65 %",
            "fastening": {"sample": {"inspected": 50, "proud": 4}},
        },
        {
            "area": "12 m2",
            "species": "douglas-fir",
            "treatment": "none",
            "treatment_evidence": "test",
            "old_coating": "none",
            "signs": ["grey"],
            "years_bare": 6,
            "parts": [{"part": "field", "machine": "random-orbit-125", "speed_fraction": "50 %"}],
            "edge_strip": {"area": "2 m2", "length": "14 m"},
        },
    ],
    "movement": [
        {
            "species": "douglas-fir",
            "width": "140 mm",
            "moisture_from": "8 %",
            "temperature": "20 degC",
            "relative_humidity": "60 %",
            "gap": "5 mm",
        }
    ],
    "area": [
        {"length": "24 ft", "width": "16 ft", "boards": {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg"}},
        {"zones": [{"id": "main", "outline": "0 0, 6 0, 6 4, 0 4 m", "holes": ["1 1, 2 1, 2 2, 1 2 m"]}]},
        {
            "zones": [
                {
                    "id": "main",
                    "area": "24 m2",
                    "boards": {
                        "size": "21x145 mm",
                        "gap": "5 mm",
                        "profile": "grooved",
                        "groove_depth": "2 mm",
                        "groove_spacing": "8 mm",
                    },
                }
            ],
            "extras": [
                {"id": "rim", "part": "fascia", "length": "40 ft", "size": "2x10"},
                {"id": "screen", "part": "lattice", "length": "3 m", "height": "1 m"},
                {
                    "id": "skirt",
                    "part": "skirting",
                    "length": "3 m",
                    "height": "50 cm",
                    "slat_width": "90 mm",
                    "opening": "20 mm",
                },
                {"id": "seat", "part": "bench", "length": "2 m", "width": "40 cm"},
                {"id": "post", "part": "post", "height": "2 m", "count": 3},
            ],
        },
    ],
    "abrasive-sequence": [
        {
            "area": "30 m2",
            "species": "douglas-fir",
            "treatment": "none",
            "treatment_evidence": "test",
            "years_bare": 6,
            "coating": "semi-transparent-oil-stain",
            "parts": [{"part": "field", "machine": "random-orbit-125", "speed_fraction": "50 %"}],
            "wear": {"steady": "40 %", "falling": "60 %", "wear_rate": "0.1 1/min", "change_at": "60 %"},
        }
    ],
    "wipe-cadence": [
        {
            "coating": "clear-penetrating-oil",
            "species": "ipe",
            "course_length": "16 ft",
            "pitch": "143 mm",
            "courses": 12,
            "appliers": 1,
            "applied": "2-3 L",
        }
    ],
    "cure-windows": [
        # Dry air and a cold night: the dew point lies below freezing, where frost forms.
        {
            "coating": "semi-transparent-oil-stain",
            "latitude": "60 deg",
            "longitude": "11 deg",
            "timezone": "Europe/Oslo",
            "weather": {
                "days": [
                    {"date": f"2026-04-1{day}", "warmest": "9 degC", "coldest": "5 degC", "relative_humidity": "40 %"}
                    for day in range(4)
                ]
            },
        },
        # A coat that is safe from rain only on the next day, whose chance of rain is another one.
        {
            "coating": "clear-penetrating-oil",
            "timezone": "Europe/Oslo",
            "board_temperature": "air",
            "laying_time": "2 h",
            "weather": {
                "days": [
                    {"date": f"2026-06-1{day}", "warmest": "23 degC", "coldest": "16 degC", "relative_humidity": "55 %"}
                    | {"rain_chance": chance}
                    for day, chance in enumerate(("10 %", "15 %", "5 %", "10 %"))
                ]
            },
        },
    ],
    "wash": [
        {
            "area": "30 m2",
            "treatment": "none",
            "treatment_evidence": "test",
            "frame": {"material": "metal"},
            "stages": [
                {"agent": "hypochlorite", "stock_strength": percent, "percent_of": means}
                for percent, means in (("6 %", "weight"), ("5.7 %", "available-chlorine"), ("12.5 %", "trade"))
            ],
        }
    ],
    "coverage": [
        {
            "area": "40 m2",
            "species": "western-redcedar",
            "coating": "semi-transparent-oil-stain",
            "surface": "sanded",
            "uptake": "85 %",
        },
        {"area": "400 ft2", "species": "ipe", "coating": "clear-penetrating-oil", "coats": 2, "loss": "10-15 %"},
        {"area": "40 m2", "species": "ipe", "coating": "clear-penetrating-oil", "surface": "weathered"},
        {
            "area": "40 m2",
            "species": "western-redcedar",
            "coating": "film-clear",
            "loss": "10 %",
            "loss_convention": "on-top",
            "product": {
                "volume_solids": "40 %",
                "dry_film_thickness": "40-60 um",
                "thinning": "10 %",
                "voc_content": "300 g/L",
                "water_content": "200 g/L",
            },
        },
        {
            "area": "40 m2",
            "species": "western-redcedar",
            "coating": "film-clear",
            "product": {"volume_solids": "40 %", "spreading_rate": "8-12 m2/L"},
        },
        {
            "area": "40 m2",
            "species": "ipe",
            "coating": "clear-penetrating-oil",
            "product": {"spreading_rate": "8-12 m2/L", "rate_basis": "retained"},
        },
    ],
}
REQUESTS = [(c.id, dict(c.example)) for c in LW.calculators.values()] + [
    (name, request) for name, requests in MORE.items() for request in requests
]


def sheets(system: Any) -> Iterator[tuple[str, dict[str, Any]]]:
    for name, request in REQUESTS:
        answer = LW.answer(name, request, Options(working=True, units=system))
        yield from ((name, line) for line in msgspec.json.decode(msgspec.json.encode(answer["sheet"])))


@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_step_is_done_again_from_what_is_printed(system):
    """Nine digits are printed; a difference of two near numbers may lose some, hence the room."""
    seen = 0
    for name, line in sheets(system):
        formula = LW.formulas()[line["formula"]]
        printed = {number["name"]: number for number in line["numbers"]}
        assert set(printed) == set(formula.arguments), line["formula"]
        si = {}
        for argument, symbol in formula.arguments.items():
            number = printed[argument]
            assert number["symbol"] == symbol.symbol
            si[argument] = units.read({"value": number["value"], "unit": number["unit"]}, symbol.dimension)
        again = float(formula(**si))
        shown = line["result"]
        result = units.read({"value": shown["value"], "unit": shown["unit"]}, formula.result.dimension)
        room = 1e-7 * max(abs(result), *(abs(x) for x in si.values() if abs(x) < 1e6), 0.0)
        assert math.isclose(again, result, rel_tol=1e-7, abs_tol=min(room, 1e-6)), (name, line, again)
        seen += 1
    assert seen > 20


def test_every_line_gives_words_symbols_and_a_source():
    for name, line in sheets("metric"):
        assert line["words"].endswith("."), (name, line)
        assert line["symbols"], (name, line)
        assert line["source"], (name, line)
        formula = LW.formulas()[line["formula"]]
        for symbol in (*formula.arguments.values(), formula.result):
            assert symbol.symbol in formula.symbols, f"{formula.id} does not say {symbol.symbol}"


def test_the_formulas_a_calculator_names_are_those_on_its_sheets():
    used: dict[str, set[str]] = {}
    for name, line in sheets("metric"):
        used.setdefault(name, set()).add(line["formula"])
    for calculator in LW.calculators.values():
        assert {formula.id for formula in calculator.formulas} == used[calculator.id]


def test_the_sheet_leads_to_the_answer():
    """By hand: 400 ft2 at the geometric mean of 250 and 540 ft2/us_gal is 400 / 367.423461 = 1.08866211 us_gal."""
    answer = LW.calculate(
        "coverage",
        options=Options(working=True, units="us"),
        area="400 ft2",
        species="ipe",
        coating="clear-penetrating-oil",
    )
    first = answer["sheet"][0]
    assert first["formula"] == "volume-laid-on"
    assert first["result"]["value"] == pytest.approx(400 / math.sqrt(250 * 540), rel=1e-8)
    assert answer["result"]["volume"]["value"] == pytest.approx(first["result"]["value"], rel=1e-8)


def test_the_sheet_changes_no_number():
    for name, request in REQUESTS:
        plain = LW.answer(name, request, Options())
        worked = LW.answer(name, request, Options(working=True))
        assert worked.pop("sheet")
        assert msgspec.json.encode(plain) == msgspec.json.encode(worked)
