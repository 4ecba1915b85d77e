"""What is generated for tests: a few in every run, all of it under the marker that ``.ci/run`` asks for."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import islice
from typing import Any

import pytest

generated = pytest.mark.generated


def examples(few: int, of: int) -> pytest.MarkDecorator:
    """Have a test take the number of examples it tries as ``count``: a few, and under the marker all."""
    every = pytest.param(of, id=pytest.HIDDEN_PARAM, marks=generated)
    return pytest.mark.parametrize("count", [pytest.param(few, id="few"), every])


def first(few: int, of: Iterable[Any]) -> list[Any]:
    """Return values to run a test with: a few, and under the marker the rest."""
    rest = iter(of)
    return [*islice(rest, few), *(pytest.param(one, marks=generated) for one in rest)]
