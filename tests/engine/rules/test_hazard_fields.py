"""What is said of a lead test and of a preservative fits together. Each fault is one a person could make."""

from datetime import date
from types import SimpleNamespace

import pytest

from latewood.rules.hazard_fields import Frame, frame_faults, lead_test_faults, proof_faults

TODAY = date(2026, 5, 4)


def lead(result=None, method=None, day=None):
    one = SimpleNamespace(lead_test=result, lead_test_method=method, lead_test_date=day)
    return [(fault.pointer, fault.code, fault.detail) for fault in lead_test_faults(one, "/zones/0", today=TODAY)]


def unsaid(name):
    return ("/zones/0/lead_test", "missing", f"{name} is given without a result")


def untested(name):
    return ("/zones/0/lead_test", "conflict", f"{name} is given, but nothing was tested")


@pytest.mark.parametrize("result", [None, "none-found", "found", "not-tested"])
def test_a_result_needs_no_method_and_no_day(result):
    assert lead(result) == []


@pytest.mark.parametrize("result", ["none-found", "found"])
def test_a_result_has_its_method_and_its_day(result):
    assert lead(result, "xrf", date(2026, 4, 20)) == []
    assert lead(result, "xrf", TODAY) == []


@pytest.mark.parametrize(("result", "fault"), [(None, unsaid), ("not-tested", untested)])
def test_a_method_and_a_day_without_a_result_are_each_a_fault(result, fault):
    assert lead(result, "xrf") == [fault("lead_test_method")]
    assert lead(result, day=date(2026, 4, 20)) == [fault("lead_test_date")]
    assert lead(result, "xrf", date(2026, 4, 20)) == [fault("lead_test_method"), fault("lead_test_date")]


def test_a_test_of_tomorrow_is_a_fault():
    [(pointer, *_)] = lead("found", "xrf", date(2026, 5, 5))
    assert pointer == "/zones/0/lead_test_date"


@pytest.mark.parametrize(
    ("material", "treatment", "proof", "code"),
    [
        ("wood", "copper", "end-tag", None),
        ("wood", "none", None, None),
        ("wood", None, "end-tag", "missing"),
        ("wood", "unknown", "end-tag", "conflict"),
        ("composite", "copper", "end-tag", "conflict"),
        ("composite", "none", "test", None),
        ("composite", None, None, None),
    ],
)
def test_a_proof_is_of_a_preservative_in_wood(material, treatment, proof, code):
    one = SimpleNamespace(material=material, treatment=treatment, treatment_evidence=proof)
    assert [(fault.pointer, fault.code) for fault in proof_faults(one)] == ([("/treatment", code)] if code else [])


@pytest.mark.parametrize(
    ("frame", "pointers"),
    [
        (None, []),
        (Frame(material="metal"), []),
        (Frame(material="metal", treatment="copper", treatment_evidence="test"), ["treatment", "treatment_evidence"]),
        (Frame(material="wood", treatment="copper", treatment_evidence="test"), []),
        (Frame(treatment_evidence="test"), ["treatment"]),
    ],
)
def test_a_frame_of_metal_holds_no_preservative(frame, pointers):
    assert [fault.pointer for fault in frame_faults(frame, "/frame")] == [f"/frame/{name}" for name in pointers]
