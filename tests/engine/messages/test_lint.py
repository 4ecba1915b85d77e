"""The findings of every example, in every language, unit system and decimal mark, keep to the style sheet."""

from __future__ import annotations

import pytest
from tests.engine.messages import lint

from latewood.catalogue import Catalogue
from latewood.messages import Style
from latewood.provenance import Raised


@pytest.fixture(scope="module")
def raised(lw: Catalogue) -> list[Raised]:
    return lint.raised(lw)


@pytest.fixture(scope="module")
def broken(lw: Catalogue, raised: list[Raised]) -> dict[str, str]:
    return lint.broken(lw, raised)


def test_findings_keep_to_the_style_sheet(raised: list[Raised], broken: dict[str, str]) -> None:
    assert len(raised) > 190
    left = set(lint.unlinted())
    assert {one: why for one, why in broken.items() if one not in left} == {}


def test_what_is_rewritten_is_off_the_list(broken: dict[str, str]) -> None:
    assert sorted(set(lint.unlinted()) - set(broken)) == [], "python -m tests.engine.messages.lint takes them off"


@pytest.mark.parametrize(
    ("said", "style", "fault"),
    [
        ("The floor is wet. Wait.", Style(), None),
        ("the floor is wet.", Style(), "small letter"),
        ("The floor is wet", Style(), "end as a sentence"),
        ("Nobody measured it.", Style(), "banned"),
        ("Give boards.gap first.", Style(), "an id in prose"),
        ("Give joist_spacing first.", Style(), "an id in prose"),
        ("It takes 3.78541 L.", Style(), "too many digits"),
        ("It takes 3.2\u00a0L.", Style("en", "us"), "unit not asked"),
        ("It takes 3 m2 more.", Style("en", "us"), "unit not asked"),
        ("It takes 3\u00a0gal.", Style(), "unit not asked"),
        ("Stay 30 in (762\u00a0mm) away.", Style(), None),
        ("It takes 3.2\u00a0L.", Style("en", "metric", ","), "decimal mark"),
        ("The gray colour is left.", Style("en-US", "us"), "banned"),
        ("word " * 36 + "end.", Style(), "35 at most"),
    ],
)
def test_a_fault_is_seen(said: str, style: Style, fault: str | None) -> None:
    found = list(lint.faults(said[:1] + said[1:], style))
    assert (not found) if fault is None else any(fault in one for one in found)
