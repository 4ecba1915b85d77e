"""Texts that were kept come back as they were read, and are read anew when a pack changes."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from latewood import cache
from latewood.messages import read_texts, sources

MESSAGE = 'schema = 1\n\n[message.made-up]\nseverity = "note"\ntext = "{text}"\n'


pytestmark = pytest.mark.usefixtures("kept")


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The places of the files that are read as TOML meanwhile."""
    found: list[str] = []
    whole = sources._tree

    def counted(entry: Any, place: str) -> dict[str, Any]:
        found.append(place)
        return whole(entry, place)

    monkeypatch.setattr(sources, "_tree", counted)
    return found


@pytest.fixture
def pack(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    place = tmp_path / "site" / "texts_pack"
    place.mkdir(parents=True)
    (place / "__init__.py").touch()
    (place / "messages.toml").write_text(MESSAGE.format(text="Made up."))
    monkeypatch.syspath_prepend(place.parent)
    yield place
    sys.modules.pop("texts_pack", None)


@pytest.mark.parametrize("package", ["latewood", "latewood_plugins"])
def test_bundled_texts_come_back_as_they_were_read(package: str, read: list[str]) -> None:
    before = read_texts(package)
    assert read
    read.clear()
    after = read_texts(package)
    assert after == before
    assert repr(after) == repr(before)
    assert not read


def test_a_pack_that_changes_is_read_anew(pack: Path) -> None:
    said = [source.message["made-up"].text for _, source in read_texts("texts_pack").sources]
    (pack / "messages.toml").write_text(MESSAGE.format(text="Made up otherwise."))
    said += [source.message["made-up"].text for _, source in read_texts("texts_pack").sources]
    assert said == ["Made up.", "Made up otherwise."]


def test_what_is_no_text_is_read_anew(pack: Path, read: list[str]) -> None:
    made_from = cache.made_from("texts_pack", pack)
    assert made_from is not None
    cache.keep("texts-texts_pack", made_from, b"\xc1")
    assert read_texts("texts_pack").sources
    assert read == ["texts_pack/messages.toml"]


def test_dates_are_read_each_time(pack: Path, read: list[str]) -> None:
    folder = pack / "_languages" / "es"
    folder.mkdir(parents=True)
    (folder / "days.toml").write_text("[message]\nmade-up = 2026-05-04\n")
    assert read_texts("texts_pack") == read_texts("texts_pack")
    assert read.count("texts_pack/messages.toml") == 2
