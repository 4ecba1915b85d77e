"""Requests that two readers may read differently: refused, or read as one; what is hidden in them is not answered."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from tests.faults.rows import NOT_HELD
from tests.faults.vectors import FRAMING, LAST, statuses

pytestmark = pytest.mark.faults


@pytest.mark.parametrize("name", FRAMING)
def test_is_never_two(server: Any, send_raw: Callable[..., bytes], name: str, show: Callable[[str], None]) -> None:
    sent, allowed = FRAMING[name]
    first, *more = statuses(send_raw(server, sent, answers=1, then=LAST)) or [0]
    # A connection that lives on is where it should be: what is asked last is answered, and nothing before it.
    held = first in {0, *allowed} and more in ([], [200])
    if name in NOT_HELD[server.name]:
        show(f"not held by {server.name}: {name}: {[first, *more]}")
        assert not held, "it is held: take it off the list"
        return
    assert held, [first, *more]
