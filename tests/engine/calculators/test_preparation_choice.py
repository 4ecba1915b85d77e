"""What is said of the route that was chosen; the rules are those of the records, common practice without a source."""

from __future__ import annotations

from typing import Any

import pytest
from tests.bundled import bundled

from latewood.wire import Options

ARSENICAL = {"area": "30 m2", "species": "southern-yellow-pine", "treatment": "arsenical", "old_coating": "none"}
OILED = {"area": "30 m2", "species": "ipe", "treatment": "none", "old_coating": "clear-penetrating-oil"}


@pytest.fixture(scope="module")
def lw() -> Any:
    return bundled()


def said(answer: Any) -> set[str]:
    return {finding.id for finding in answer["findings"]}


def test_naming_the_recommended_route_is_no_mistake(lw):
    free = lw.answer("preparation", ARSENICAL, Options())
    assert free["result"]["recommendation"] == "hand-wash"
    chosen = lw.answer("preparation", ARSENICAL | {"route": "hand-wash"}, Options())
    assert not {"route-unsuitable", "route-not-recommended", "route-forbidden"} & said(chosen)


@pytest.mark.parametrize("sign", ["cupping", "splinters", "furrows"])
def test_grey_is_spoken_of_where_it_is_seen(lw, sign):
    rough = OILED | {"signs": [sign], "route": "refresh", "coating": "clear-penetrating-oil"}
    assert "coating-over-grey" not in said(lw.answer("preparation", rough, Options()))
    assert "coating-over-grey" in said(lw.answer("preparation", rough | {"signs": [sign, "grey"]}, Options()))
