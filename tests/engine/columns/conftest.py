"""Tables in and out as text and rows."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from typing import Any

import pytest

from latewood.catalogue import Catalogue
from latewood.columns import Choices

OIL = "clear-penetrating-oil"


@pytest.fixture(scope="session")
def answered(lw: Catalogue) -> Callable[..., str]:
    """Answer a whole table, given as text or bytes, fed in pieces of ``size`` bytes."""

    def answer(given: str | bytes, *, name: str = "coverage", size: int = 1 << 20, **choices: Any) -> str:
        body = given.encode() if isinstance(given, str) else given
        table = lw.table(name, Choices(**choices))
        out = [row for at in range(0, len(body), size) for row in table.feed(body[at : at + size])]
        return b"".join([*out, *table.finish()]).decode()

    return answer


@pytest.fixture(scope="session")
def rows(answered: Callable[..., str]) -> Callable[..., list[dict[str, str]]]:
    """Answer a table and read the answer with the standard library's reader."""

    def read(given: str | bytes, *, delimiter: str = ",", **more: Any) -> list[dict[str, str]]:
        text = answered(given, **more)
        return list(csv.DictReader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))

    return read
