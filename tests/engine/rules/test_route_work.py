"""Which layer a route sands off after its wash or stripper."""

from __future__ import annotations

import pytest

from latewood.catalogue import Catalogue
from latewood.rules.route_work import layer_of


@pytest.mark.parametrize(
    ("route", "seen", "met"),
    [
        ("sand", "grey", "grey"),
        ("sand", "splintered", "splintered"),
        ("wash-and-sand", "grey", "faded-oil"),
        ("wash-and-sand", "raised-grain", "raised-grain"),
        ("wash-and-sand", "splintered", "splintered"),
        ("strip-and-sand", "old-film", "raised-grain"),
        ("strip-and-sand", "splintered", "splintered"),
        # A scuff rides over ridges: it is said not to do for them.
        ("refresh", "raised-grain", "faded-oil"),
    ],
)
def test_a_wash_takes_neither_ridges_nor_splinters_down(lw: Catalogue, route: str, seen: str, met: str) -> None:
    """Washing raises the grain, and a sander meets what it leaves. Common practice, no source."""
    assert layer_of(lw.shelf.record("route", route), seen) == met
