"""Languages of patterns, held against the regular expressions of Python on every short text."""

from __future__ import annotations

import itertools
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.contract.compatibility.pattern_inclusion import included

TEXTS = ["".join(chars) for length in range(6) for chars in itertools.product("ab-", repeat=length)]
ATOMS = st.sampled_from(["a", "b", "[ab]", "[^a]", "-", "(?:ab)", "[a-b]", r"\-", "."])


def grown(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    counted = st.tuples(inner, st.sampled_from(["*", "+", "?", "{2}", "{1,3}", "{2,}", "{0,1}"]))
    return st.one_of(
        st.lists(inner, min_size=1, max_size=3).map("".join),
        st.lists(inner, min_size=1, max_size=3).map(lambda parts: f"(?:{'|'.join(parts)})"),
        counted.map(lambda pair: f"(?:{pair[0]}){pair[1]}"),
    )


INSIDE = st.recursive(ATOMS, grown, max_leaves=6)
PATTERNS = st.one_of(INSIDE.map(lambda p: f"^{p}$"), INSIDE.map(lambda p: f"^(?:{p})$"), INSIDE)


def taken(pattern: str, text: str) -> bool:
    """Search as ECMA-262 does: its $ is the very end."""
    return re.search(re.sub(r"\$$", r"\\Z", pattern), text) is not None


@settings(max_examples=400, deadline=None)
@given(PATTERNS, PATTERNS)
def test_the_verdict_is_that_of_trying_every_text(first: str, second: str) -> None:
    verdict = included(first, second)
    counter = [text for text in TEXTS if taken(first, text) and not taken(second, text)]
    if verdict.included:
        assert counter == []
    else:
        assert verdict.included is False
        assert taken(first, verdict.text)
        assert not taken(second, verdict.text)


@pytest.mark.parametrize(
    ("first", "second", "verdict"),
    [
        ("^a$", "^(?:a|b)$", True),
        ("^(?:a|b)$", "^a$", False),
        ("^a{2,499}$", "^a{1,500}$", True),
        ("^a{2,501}$", "^a{1,500}$", False),
        (r"^\d+$", "^[0-9]*$", True),
        (r"^\w$", "^[a-z]$", False),
        ("^m$", "m", True),
        ("m", "^m$", False),
        ("^a|b$", "b$", False),
        ("^[^\\u0000-\\u001f]*$", "^[^\\u0000-\\u001f\\ud800-\\udfff]*$", True),
        ("^(?:m²|m\\^2)$", "^(?:m\\^2|m²|m2)$", True),
    ],
)
def test_pairs(first: str, second: str, *, verdict: bool) -> None:
    assert included(first, second).included is verdict


@pytest.mark.parametrize("odd", ["^(?=a)b$", r"^(a)\1$", "^a*?$", "^(?<n>a)$", r"^\p{L}$", "^(a$", "^a)$", "^[a", "a^"])
def test_what_is_not_read_gets_no_verdict(odd: str) -> None:
    assert included(odd, "^x$").included is None
    assert included("^x$", odd).included is None
    assert included(odd, odd).included is True
