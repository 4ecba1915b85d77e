"""How an answer is written: language, units, decimal mark."""

from __future__ import annotations

from typing import Literal, NamedTuple


class Style(NamedTuple):
    """How an answer is written."""

    lang: str = "en"
    system: Literal["metric", "us"] = "metric"
    decimal: str = "."
