"""A move changes no byte of any answer; a change of a rule names each path whose value changes, with its reason."""

from __future__ import annotations

import json
import math
import tomllib
from fnmatch import fnmatchcase
from typing import Any

import pytest
from tests.goldens.record import CHANGES, answers, leaves, machine, read

NONE = object()


#: Relative difference of numbers allowed on another machine than the answers were recorded on.
ELSEWHERE = 1e-6


def differences(kept: Any, now: Any, *, allowed: float = 0.0) -> dict[str, tuple[Any, Any]]:
    """Return each path whose value, or being there, differs."""
    before, after = dict(leaves(kept)), dict(leaves(now))
    paths = {p: (before.get(p, NONE), after.get(p, NONE)) for p in before | after}
    return {p: pair for p, pair in paths.items() if not alike(*pair, allowed)}


def alike(before: Any, after: Any, allowed: float) -> bool:
    """Say whether two values are the same, numbers but for the share allowed."""
    if type(before) is not type(after):
        return False
    return before == after or (type(before) is float and math.isclose(before, after, rel_tol=allowed))


@pytest.fixture(scope="module")
def found() -> dict[str, tuple[Any, Any]]:
    (made_on, kept), now = read(), answers()
    here = made_on == machine()
    changed = {}
    for case in kept | now:
        if case not in kept or case not in now:
            changed[case] = (NONE if case not in kept else "kept", NONE if case not in now else "now")
            continue
        each = differences(kept[case], now[case], allowed=0.0 if here else ELSEWHERE)
        if here and not each and json.dumps(kept[case]) != json.dumps(now[case]):
            each = {"": ("bytes as recorded", "the same values in another order")}
        changed |= {f"{case}{path}": pair for path, pair in each.items()}
    return changed


@pytest.fixture(scope="module")
def declared() -> list[dict[str, Any]]:
    return tomllib.loads(CHANGES.read_text()).get("change", [])


def test_every_difference_is_declared(found: dict[str, tuple[Any, Any]], declared: list[dict[str, Any]]) -> None:
    patterns = [pattern for change in declared for pattern in change["paths"]]
    unlisted = {p: pair for p, pair in found.items() if not any(fnmatchcase(p, pattern) for pattern in patterns)}
    shown = [f"{path}: {was!r:.60} -> {now!r:.60}" for path, (was, now) in list(unlisted.items())[:40]]
    assert not unlisted, f"{len(unlisted)} undeclared differences:\n" + "\n".join(shown)


def test_every_declared_change_happened(found: dict[str, tuple[Any, Any]], declared: list[dict[str, Any]]) -> None:
    for change in declared:
        assert len(change["why"]) > 20, change
        for pattern in change["paths"]:
            assert any(fnmatchcase(path, pattern) for path in found), f"nothing differs at {pattern}"


def test_a_difference_is_seen() -> None:
    kept = {"a": [{"id": "x", "v": 1.0}, {"id": "y", "v": 2}], "b": "text"}
    assert differences(kept, {**kept, "b": "other"}) == {"/b": ("text", "other")}
    assert set(differences(kept, {**kept, "a": kept["a"][::-1]})) == {"/a/[]"}
    assert set(differences(kept, {**kept, "a": kept["a"][:1]})) == {"/a/[]", "/a/y/id", "/a/y/v"}
    assert set(differences({"v": 1}, {"v": 1.0})) == {"/v"}
    assert set(differences({"v": 1.0}, {"v": 1.0 + 1e-9})) == {"/v"}
    assert set(differences({"v": 1.0}, {"v": 1.0 + 1e-9}, allowed=ELSEWHERE)) == set()
    assert set(differences({"v": 1.0}, {"v": 1.001}, allowed=ELSEWHERE)) == {"/v"}
