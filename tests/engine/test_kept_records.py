"""Records that were kept come back as they were read, and are read anew when a pack changes."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import msgspec
import pytest

from latewood import Catalogue, cache
from latewood.messages.values import Prose
from latewood.records import BadRecord, Record, read_pack, reader
from latewood.registry import Registry

SOURCE = """
schema = 1
record = "source"
id = "made-up"
title = "{title}"
summary = "For tests."
publisher = "nobody"
"""


pytestmark = pytest.mark.usefixtures("kept")


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The places of the files that are read as TOML meanwhile."""
    found: list[str] = []
    whole = reader.read_record

    def counted(text: str, place: str) -> Record:
        found.append(place)
        return whole(text, place)

    monkeypatch.setattr(reader, "read_record", counted)
    return found


@pytest.fixture
def pack(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    place = tmp_path / "site" / "kept_pack"
    (place / "sources").mkdir(parents=True)
    (place / "__init__.py").touch()
    (place / "sources" / "made_up.toml").write_text(SOURCE.format(title="Made up"))
    monkeypatch.syspath_prepend(place.parent)
    yield place
    sys.modules.pop("kept_pack", None)


def test_all_bundled_records_come_back_as_they_were_read(read: list[str]) -> None:
    before = read_pack("latewood_plugins")
    assert len(read) == len(before)
    read.clear()
    after = read_pack("latewood_plugins")
    assert after == before
    # What has dates where anything may stand is read anew.
    assert 0 < len(read) < len(before) / 20
    assert [type(one) for one in after] == [type(one) for one in before]
    for one, other in zip(before, after, strict=True):
        assert msgspec.json.encode(one) == msgspec.json.encode(other)
        assert repr(one) == repr(other)


def test_an_engine_of_kept_records_is_the_same_engine() -> None:
    fresh, again = (Catalogue(Registry.fill(strict=True)) for _ in range(2))
    assert fresh.computed_with == again.computed_with
    for kind in fresh.shelf.kinds():
        for id in fresh.shelf.ids(kind):
            assert msgspec.json.encode(fresh.item(kind, id)) == msgspec.json.encode(again.item(kind, id))


def test_dates_and_remarks_keep_their_types() -> None:
    read_pack("latewood_plugins")
    records = {record.path: record for record in read_pack("latewood_plugins")}
    assert any(isinstance(leaf, date) for leaf in leaves(records["region/us"].raw))
    values = [
        value
        for record in records.values()
        for number in record.numbers.values()
        for remark in number.remarks
        for value in remark.values.values()
    ]
    assert values
    assert {type(value) for value in values} == {Prose}


def leaves(tree: Any) -> Iterator[Any]:
    if isinstance(tree, dict | list):
        for part in tree.values() if isinstance(tree, dict) else tree:
            yield from leaves(part)
    else:
        yield tree


def test_a_pack_is_read_anew_when_a_file_changes(pack: Path, read: list[str]) -> None:
    def titles() -> list[str]:
        read.clear()
        return [record.title for record in read_pack("kept_pack")]

    file = pack / "sources" / "made_up.toml"
    assert (titles(), len(read)) == (["Made up"], 1)
    assert (titles(), len(read)) == (["Made up"], 0)
    file.write_text(SOURCE.format(title="Made anew"))
    assert (titles(), len(read)) == (["Made anew"], 1)
    (pack / "sources" / "other.toml").write_text(SOURCE.format(title="Other").replace('"made-up"', '"other"'))
    assert titles() == ["Made anew", "Other"]
    file.unlink()
    assert titles() == ["Other"]


def test_a_pack_with_a_fault_is_not_kept(pack: Path, kept: Path) -> None:
    (pack / "sources" / "made_up.toml").write_text(SOURCE.format(title="Made up") + "colour = 1\n")
    for _ in range(2):
        with pytest.raises(BadRecord, match="colour"):
            read_pack("kept_pack")
    assert not kept.exists()


@pytest.mark.parametrize("content", [b"", b"\xc1", msgspec.msgpack.encode([["lost"], {"lost": [1]}, []])])
def test_what_cannot_be_understood_is_read_anew(pack: Path, content: bytes) -> None:
    made_from = cache.made_from("kept_pack", pack)
    assert made_from is not None
    cache.keep("records-kept_pack", made_from, content)
    assert [record.title for record in read_pack("kept_pack")] == ["Made up"]


LOAD = "import latewood; print(latewood.load(strict=True).computed_with['catalogue'])"


def test_several_that_start_at_once_find_the_same() -> None:
    started = [subprocess.Popen([sys.executable, "-c", LOAD], stdout=subprocess.PIPE, text=True) for _ in range(3)]
    said = {process.communicate()[0] for process in started}
    assert said == {Registry.fill().digest() + "\n"}
