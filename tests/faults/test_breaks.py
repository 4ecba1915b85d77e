"""The list of deliberate breaks fits the code as it is: each finds the place it would change."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from typing import Any

import pytest

spec = importlib.util.spec_from_file_location("breaks", Path(__file__).with_name("breaks.py"))
assert spec
assert spec.loader
breaks = importlib.util.module_from_spec(spec)
sys.modules["breaks"] = breaks
spec.loader.exec_module(breaks)


@pytest.mark.parametrize("one", breaks.BREAKS, ids=lambda one: one.what)
def test_the_place_is_there_and_the_suite_too(one: Any) -> None:
    text = (breaks.ROOT / one.file).read_text("utf-8")
    assert breaks.broken(text, one) != text
    paths = [word for word in one.suite if word.startswith("tests/")]
    assert paths
    assert all((breaks.ROOT / path).exists() for path in paths)


def test_every_point_of_the_server_has_one() -> None:
    assert {one.point[0] for one in breaks.BREAKS} == set("1234567")


def test_a_place_that_is_gone_is_said() -> None:
    with pytest.raises(ValueError, match="stands 0 times"):
        breaks.broken("nothing", breaks.BREAKS[0])
