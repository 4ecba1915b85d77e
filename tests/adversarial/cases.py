"""The cases as data: a deck, what a hurtful job changes in it, what its benign twin changes back, what each expects."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any, Final

from tests.adversarial.effects import EFFECTS, WORDS

FOLDER: Final = Path(__file__).parent
#: Words a case may be made of, and those of its twin.
KEYS: Final = {
    "id",
    "hazard",
    "source",
    "where",
    "kind",
    "deck",
    "calculator",
    "job",
    "inputs",
    "drop",
    "expect",
    "twin",
}
TWIN_KEYS: Final = {"why", "job", "inputs", "drop", "expect"}
KINDS: Final = {"published", "derived", "common-practice", "judgement", "recalled"}


#: Effects that are of parts of the deck.
PARTED: Final = frozenset(
    [
        "no_purchase",
        "no_sanding",
        "no_wash",
        "no_wash_pressure",
        "no_window",
        "no_cadence",
        "no_hours",
        "purchase",
        "sanding",
        "washing",
        "window",
        "cadence",
        "lead_paint",
        "arsenical",
        "gate",
        "not_gate",
        "not_reason",
        "route",
        "not_route",
    ]
)


class BadCase(ValueError):
    """A case that is not of the form, or that could not fail."""


@dataclass(frozen=True)
class Asked:
    """One thing to ask of the engine, and what its answer must and must not hold."""

    id: str
    calculator: str | None
    tree: Mapping[str, Any]
    expect: Mapping[str, Any]


@dataclass(frozen=True)
class Case:
    """A hurtful job and its twin."""

    raw: Mapping[str, Any]
    deck: Mapping[str, Any]

    @property
    def id(self) -> str:
        """Return the name of the case."""
        return str(self.raw["id"])

    @cached_property
    def hurtful(self) -> Asked:
        """Return the job that must be stopped or cautioned."""
        return Asked(self.id, self.raw.get("calculator"), changed(self.deck, self.raw), self.raw["expect"])

    @cached_property
    def twin(self) -> Asked:
        """Return the job that must go through."""
        twin = self.raw["twin"]
        tree = changed(self.hurtful.tree, twin)
        return Asked(f"{self.id}~twin", self.raw.get("calculator"), tree, twin["expect"])

    def check(self) -> None:
        """Raise `BadCase` where the case is not of the form, or where it could not fail."""
        raw, twin = self.raw, self.raw.get("twin", {})
        for keys, have, of in ((KEYS, raw, "the case"), (TWIN_KEYS, twin, "its twin")):
            if unknown := set(have) - keys:
                raise BadCase(f"{self.id}: {of} does not know {sorted(unknown)}")
        for key in ("hazard", "source", "where", "kind", "expect", "twin"):
            if not raw.get(key):
                raise BadCase(f"{self.id}: {key} is missing")
        for key in ("why", "expect"):
            if not twin.get(key):
                raise BadCase(f"{self.id}: the twin has no {key}")
        if raw["kind"] not in KINDS:
            raise BadCase(f"{self.id}: {raw['kind']} is no kind of evidence")
        if not {"calculator", "deck"} & set(raw):
            raise BadCase(f"{self.id}: give a deck, a calculator, or both")
        if ("inputs" in raw or "inputs" in twin) != ("calculator" in raw) or ("job" in raw and "calculator" in raw):
            raise BadCase(f"{self.id}: inputs are a calculator's, a job is planned")
        for asked in (self.hurtful, self.twin):
            if unknown := set(asked.expect) - set(EFFECTS):
                raise BadCase(f"{asked.id}: no such effect: {sorted(unknown)}")
            known = parts(asked.tree)
            named = {part for name in PARTED & set(asked.expect) for part in asked.expect[name]}
            named |= {one["part"] for one in asked.expect.get("says", ()) if "part" in one}
            if unknown := named - known:
                raise BadCase(f"{asked.id}: no such part: {sorted(unknown)}")
            # An empty list of parts or ids holds of every answer.
            if empty := [name for name, value in asked.expect.items() if value in ([], {}, "", False, None)]:
                raise BadCase(f"{asked.id}: {empty} could not fail")
        if not self.hurtful.expect.keys() - WORDS and not any(
            "severity" in one for one in self.hurtful.expect.get("says", ())
        ):
            raise BadCase(f"{self.id}: neither an effect nor how grave what is said must be")
        if not self.twin.expect.keys() - WORDS:
            raise BadCase(f"{self.id}: the twin would be met by stopping everything")
        if self.hurtful.tree == self.twin.tree:
            raise BadCase(f"{self.id}: the twin asks the same")


def read(folder: Path = FOLDER) -> tuple[Case, ...]:
    """Return all cases, topic by topic."""
    decks = tomllib.loads((folder / "decks.toml").read_text("utf-8"))
    cases = []
    for path in sorted((folder / "jobs").glob("*.toml")):
        for raw in tomllib.loads(path.read_text("utf-8"))["case"]:
            deck = decks[raw["deck"]] if "deck" in raw else {}
            cases.append(Case(raw, deck))
    return tuple(cases)


def pending(folder: Path = FOLDER) -> dict[str, str]:
    """Return what is known not to be met yet, and why."""
    listed: dict[str, str] = tomllib.loads((folder / "not_yet_mended.toml").read_text("utf-8"))
    return listed


def every(cases: Sequence[Case]) -> Iterator[Asked]:
    """Return hurtful jobs and twins, side by side."""
    for case in cases:
        yield case.hurtful
        yield case.twin


def changed(base: Mapping[str, Any], change: Mapping[str, Any]) -> dict[str, Any]:
    """Return a tree with what is dropped left out, and what is given put in."""
    tree: dict[str, Any] = copy.deepcopy(dict(base))
    for path in change.get("drop", ()):
        _drop(tree, path.split("."))
    merged: dict[str, Any] = _merged(tree, change.get("job", change.get("inputs", {})))
    return merged


def parts(tree: Mapping[str, Any]) -> set[str]:
    """Return what an expectation may name: zones, their frames and components; one calculator knows a single floor."""
    zones = [zone["id"] for zone in tree.get("zones", ())] or ["main"]
    owned = {
        f"{item.get('zone', zones[0])}/{table}/{item['id']}"
        for table in ("stairs", "guards", "extras")
        for item in tree.get(table, ())
    }
    return {*zones, *(f"{zone}/frame" for zone in zones), *owned}


def _merged(old: Any, new: Any) -> Any:
    """Return tables merged by key, lists of tables by id; anything else is replaced."""
    if isinstance(old, dict) and isinstance(new, dict):
        return old | {key: _merged(old.get(key), value) for key, value in new.items()}
    if _named(old) and _named(new) and old and new:
        fresh = {item["id"]: item for item in new}
        kept = [_merged(item, fresh.pop(item["id"], {})) for item in old]
        return kept + list(fresh.values())
    return _plain(new)


def _named(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(item, dict) and "id" in item for item in value)


def _plain(value: Any) -> Any:
    """Return dates as the text a request would carry."""
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_plain(item) for item in value]
    return value.isoformat() if hasattr(value, "isoformat") else value


def _drop(tree: Any, path: Sequence[str]) -> None:
    """Take out what a dotted path names; items of a list go by id. A path to nothing is a mistake in the case."""
    *above, last = path
    for step in above:
        tree = tree[step] if isinstance(tree, dict) else next(item for item in tree if item["id"] == step)
    if isinstance(tree, dict):
        del tree[last]
    else:
        tree.remove(next(item for item in tree if item["id"] == last))
