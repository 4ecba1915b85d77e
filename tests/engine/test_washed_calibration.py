"""The climate that the depth of wetting was set by, as its record says it."""

from __future__ import annotations

import pytest
from tests.bundled import bundled
from tests.truth.washed import SPRING, SUMMER, waits

import latewood


@pytest.fixture(scope="module")
def lw() -> latewood.Catalogue:
    return bundled()


def test_the_depth_meets_three_to_four_days_in_the_climate_it_names(lw: latewood.Catalogue) -> None:
    """Common practice, no source: a washed hardwood deck waits 3 to 4 days."""
    found = waits(lw, SPRING, "16 %")
    assert (round(found[0]), round(found[-1])) == (70, 96)


def test_in_a_drier_climate_the_same_depth_gives_less(lw: latewood.Catalogue) -> None:
    """What the record says of 20 °C and 65 %, computed again."""
    found = [*waits(lw, SUMMER, "16 %"), *waits(lw, SUMMER, "15 %")]
    assert (round(min(found)), round(max(found))) == (34, 74)


@pytest.mark.parametrize("kind", ["washed", "rained"])
def test_the_record_says_both(lw: latewood.Catalogue, kind: str) -> None:
    depth = lw.shelf.records("wetting-kind")[kind].depths["weathered"]
    assert "15 °C and 70 %" in depth.where
    assert "70 to 96 h" in depth.note
    assert "34 to 74 h at 20 °C and 65 %" in depth.note
