"""A job states the product of a coating family, and every purchase of that family goes by its data sheet."""

from __future__ import annotations

import msgspec
import pytest

from latewood.problems import InputProblem
from latewood.wire import Options

BOARDS = {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg", "profile": "smooth", "joist_spacing": "16 in"}
JOB = {
    "schema": 1,
    "as_of": "2026-05-04",
    "site": {"jurisdiction": "DE", "year_built": 2019},
    "defaults": {"species": "ipe", "treatment": "none", "old_coating": "none", "boards": BOARDS},
    "zones": [
        {"id": "main", "length": "6 m", "width": "4 m", "coating": "clear-penetrating-oil"},
        {"id": "lower", "length": "3 m", "width": "4 m", "coating": "semi-transparent-oil-stain"},
    ],
}


def voc(lw, finishes):
    answer = msgspec.to_builtins(lw.plan({**JOB, "finishes": finishes}, Options()))
    return {s["id"]: s["result"].get("voc") for s in answer["steps"] if s["calculator"] == "coverage"}


def test_the_product_of_a_family_is_held_against_the_law(lw):
    """Directive 2004/42/EC, Annex II, from 2010: category e, solvent-borne 400 g/L, water-borne 130 g/L."""
    for content, carrier, verdict in (("390 g/L", "solvent", "yes"), ("390 g/L", "water", "no")):
        product = {"voc_content": content, "carrier": carrier}
        found = voc(lw, [{"coating": "semi-transparent-oil-stain", "product": product}])
        assert found["coverage-semi-transparent-oil-stain"]["within"] == verdict
        assert "content" not in found["coverage-clear-penetrating-oil"]


@pytest.mark.parametrize(
    ("finishes", "pointer"),
    [
        ([{"coating": "clear-penetrating-oil", "product": {}}] * 2, "/finishes/1"),
        ([{"coating": "clear-penetrating-oil", "product": {"water_content": "200 g/L"}}], "/finishes/0/product/"),
    ],
)
def test_a_product_that_cannot_be_is_refused_at_its_place(lw, finishes, pointer):
    with pytest.raises(InputProblem) as caught:
        voc(lw, finishes)
    assert all(fault.pointer.startswith(pointer) for fault in caught.value.faults)
