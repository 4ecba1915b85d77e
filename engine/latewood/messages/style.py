"""How an answer is written: language, units, decimal mark."""

from __future__ import annotations

from typing import Literal, NamedTuple


class Style(NamedTuple):
    """How an answer is written."""

    lang: str = "en"
    system: Literal["metric", "us"] = "metric"
    decimal: str = "."

    @classmethod
    def of(cls, lang: str | None, system: Literal["metric", "us"], decimal: str) -> Style:
        """Return a style; US spelling goes with US units where no language is asked."""
        return cls(lang or ("en-US" if system == "us" else "en"), system, decimal)
