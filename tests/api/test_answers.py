"""No answer holds a number that is not one."""

from __future__ import annotations

import math

import msgspec
import pytest

from latewood_api.accept import takes
from latewood_api.answers import to_json


class Line(msgspec.Struct):
    value: float


@pytest.mark.parametrize("wrong", [math.nan, math.inf, -math.inf])
def test_not_a_number_is_never_written(wrong: float) -> None:
    for answer in ({"value": wrong}, {"rows": [{"a": [wrong]}]}, {"lines": (Line(wrong),)}):
        with pytest.raises(ValueError, match="not finite"):
            to_json(answer)


def test_null_and_the_word_null_may_be_written() -> None:
    assert to_json({"value": None, "why": "null"}) == b'{"value":null,"why":"null"}'


@pytest.mark.parametrize(
    ("header", "taken"),
    [
        (None, True),
        ("text/plain", False),
        # RFC 9110, section 12.5.1: the most specific range decides.
        ("application/*;q=0, application/json", True),
        ("application/*, application/json;q=0", False),
        ("application/json;q=0.000", False),
        ("application/json;q=1.5", True),
        ("APPLICATION/JSON", True),
        ("application/json;version=2", True),
    ],
)
def test_accept(header: str | None, taken: bool) -> None:
    assert takes(header, "application/json") is taken
