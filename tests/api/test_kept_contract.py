"""The contract is written once for an engine, and anew when anything it depends on changes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from latewood import Catalogue, cache
from latewood_api import kept_contract, openapi
from latewood_api.answers import to_json


@pytest.fixture
def written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[Catalogue]:
    """The engines whose contract is written meanwhile, with a folder to keep it in."""
    monkeypatch.setenv(cache.VARIABLE, str(tmp_path / "kept"))
    found: list[Catalogue] = []

    def document(lw: Catalogue) -> Any:
        found.append(lw)
        return {"openapi": "3.1.0", "paths": {"/v1/cell/area/{output}": {}, "/docs": {}}, "of": len(found)}

    monkeypatch.setattr(openapi, "document", document)
    return found


def engine(lw: Catalogue, made_from: str | None, **with_: Any) -> Catalogue:
    found = Catalogue(lw.shelf, made_from)
    found.__dict__["computed_with"] = {**lw.computed_with, **with_}
    return found


def test_it_is_kept_for_one_engine_and_written_for_any_other(lw: Catalogue, written: list[Catalogue]) -> None:
    first = kept_contract.contract(engine(lw, "a"))
    content, concrete = first
    assert content == b'{"openapi":"3.1.0","paths":{"/v1/cell/area/{output}":{},"/docs":{}},"of":1}'
    assert concrete == ["/v1/cell/area", "/docs"]
    assert kept_contract.contract(engine(lw, "a")) == first
    assert len(written) == 1
    # Other code, another record, another version of a plugin.
    for other in (engine(lw, "b"), engine(lw, "a", catalogue="sha256:x"), engine(lw, "a", plugins={"guest": "2"})):
        assert kept_contract.contract(other) != first
    assert len(written) == 4


def test_it_is_not_kept_for_plugins_that_were_handed_in(lw: Catalogue, written: list[Catalogue]) -> None:
    assert lw.made_from is None
    for _ in range(2):
        kept_contract.contract(lw)
    assert len(written) == 2


def test_it_is_the_contract(lw: Catalogue, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(cache.VARIABLE, str(tmp_path / "kept"))
    whole = to_json(openapi.document(lw))
    assert [kept_contract.contract(engine(lw, "a"))[0] for _ in range(2)] == [whole, whole]
