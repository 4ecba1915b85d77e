"""What a test or an end tag found is called found, and what is only feared is not: in every text of every answer.

Common practice, no source: who has a result in hand is not sent for another test.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import msgspec
import pytest
from tests.engine.lead_tests import NO_LEAD

FEARED = re.compile(
    r"\b(may hold|not ruled out|is not known|have (it|the wood|the frame|the film) tested|until it is tested)",
    re.IGNORECASE,
)
FOUND = re.compile(r"\b(holds (arsenic|lead)|(arsenic|lead) is in it|are in it)", re.IGNORECASE)
#: Old paint over pine of 1950, and what is asked of it besides.
WOOD = {"species": "southern-yellow-pine", "old_coating": "paint"}
PLACE = {"year_built": 1950, "jurisdiction": "US-NY"}
LEAD = {"lead_test": "found", "lead_test_method": "laboratory"}
ARSENIC = {"treatment": "arsenical", "treatment_evidence": "end-tag"}
NO_ARSENIC = {"treatment": "none", "treatment_evidence": "test"}
METAL = {"frame": {"material": "metal"}}
SANDED = {"faces": [{"zone": "main", "part": part, "area": "20 m2"} for part in ("field", "gap-faces")]}


def asked(said: dict[str, Any], tested: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Return what each calculator is asked of one wood."""
    wood = {**WOOD, **said, **PLACE}
    held = {name: value for name, value in said.items() if name != "frame"}
    component = {"id": "floor", "part": "boards", **WOOD, **held}
    return {
        "condition": {"components": [component, {"id": "below", "part": "frame", "material": "metal"}], **PLACE},
        "preparation": {"area": "20 m2", **wood, "extraction": "shroud-hepa"},
        "wash": {"area": "20 m2", **wood, "pressure": "500 psi", "soil": ["film"]},
        "abrasive-sequence": {"faces": SANDED["faces"], **{k: v for k, v in wood.items() if k != "frame"}},
        "masking": {
            "works": ["sanding", "washing"],
            "area": "20 m2",
            **{k: v for k, v in {**WOOD, **tested, **PLACE}.items() if k != "species"},
        },
    }


def texts(one: Any) -> Iterator[str]:
    """Yield every text of an answer."""
    if isinstance(one, str):
        yield one
    elif isinstance(one, dict | list | tuple):
        for each in one.values() if isinstance(one, dict) else one:
            yield from texts(each)
    elif isinstance(one, msgspec.Struct):
        for name in one.__struct_fields__:
            yield from texts(getattr(one, name))


def said_of(run, said: dict[str, Any], tested: dict[str, Any]) -> dict[str, list[str]]:
    found = {}
    for calculator, inputs in asked(said, tested).items():
        result, ledger = run(calculator, **inputs)
        # Cautions speak of all such wood, and are left out.
        found[calculator] = [*texts(result), *(finding.message for finding in ledger.findings)]
    return found


@pytest.mark.parametrize(
    "said",
    [{**LEAD, **NO_ARSENIC, **METAL}, {**NO_LEAD, **ARSENIC, **METAL}, {**LEAD, **ARSENIC, **METAL}],
    ids=["lead", "arsenic", "both"],
)
def test_what_was_found_is_not_called_feared(run, said):
    tested = {name: value for name, value in said.items() if name.startswith("lead")}
    spoken = said_of(run, said, tested)
    for calculator, every in spoken.items():
        assert not [text for text in every if FEARED.search(text)], calculator
    assert any(FOUND.search(text) for text in spoken["wash"])


@pytest.mark.parametrize(
    "said",
    [{**NO_ARSENIC, **METAL}, {**NO_LEAD, **METAL}, METAL, {"lead_test": "not-tested", **METAL}],
    ids=["lead", "arsenic", "both", "not tested"],
)
def test_what_is_feared_is_not_called_found(run, said):
    tested = {name: value for name, value in said.items() if name.startswith("lead")}
    spoken = said_of(run, said, tested)
    for calculator, every in spoken.items():
        assert not [text for text in every if FOUND.search(text)], calculator
    assert any(FEARED.search(text) for text in spoken["wash"])
    assert any(FEARED.search(text) for text in spoken["preparation"])


def test_a_frame_that_is_known_to_hold_arsenic_is_not_sent_to_a_test(run):
    frame = {"material": "wood", "treatment": "arsenical", "treatment_evidence": "end-tag"}
    _, ledger = run("wash", area="20 m2", species="ipe", treatment="none", old_coating="none", frame=frame, **PLACE)
    said = next(f.message for f in ledger.findings if f.id == "detergent-by-hand")
    assert "which holds arsenic" in said
    assert not FEARED.search(said)
