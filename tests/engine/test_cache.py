"""What is kept from one start to the next: found again whole, or not at all, and never what somebody else wrote."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from latewood import cache

posix = pytest.mark.skipif(sys.platform == "win32", reason="it has no such modes")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    place = tmp_path / "user" / "kept"
    monkeypatch.setenv(cache.VARIABLE, str(place))
    return place


def only(folder: Path) -> Path:
    [file] = folder.iterdir()
    return file


def test_what_was_kept_is_found_under_its_name_and_what_it_was_made_from(folder: Path) -> None:
    assert cache.recall("thing", "a") is None
    cache.keep("thing", "a", b"one\ntwo")
    assert cache.recall("thing", "a") == b"one\ntwo"
    assert (cache.recall("thing", "b"), cache.recall("other", "a")) == (None, None)


@posix
def test_the_folder_and_its_files_are_for_this_user_alone(folder: Path) -> None:
    cache.keep("thing", "a", b"one")
    assert (folder.stat().st_mode & 0o777, only(folder).stat().st_mode & 0o777) == (0o700, 0o600)


@posix
@pytest.mark.parametrize("mode", [0o770, 0o702])
def test_a_folder_in_which_others_write_is_not_used(folder: Path, mode: int) -> None:
    cache.keep("thing", "a", b"one")
    folder.chmod(mode)
    assert cache.recall("thing", "a") is None
    cache.keep("thing", "b", b"two")
    assert len(list(folder.iterdir())) == 1


def by_anybody(file: Path) -> None:
    file.chmod(0o666)


def by_link(file: Path) -> None:
    away = file.parent.parent / "away"
    file.rename(away)
    file.symlink_to(away)


def torn(file: Path) -> None:
    file.write_bytes(file.read_bytes()[:-1])


def changed(file: Path) -> None:
    file.write_bytes(file.read_bytes().replace(b"one", b"two"))


def emptied(file: Path) -> None:
    file.write_bytes(b"")


def of_another_name(file: Path) -> None:
    cache.keep("other", "a", b"planted")
    other = next(one for one in file.parent.iterdir() if one.name.startswith("other"))
    other.replace(file)


@posix
@pytest.mark.parametrize("harm", [by_anybody, by_link, torn, changed, emptied, of_another_name])
def test_a_file_that_may_be_another_is_not_read(folder: Path, harm: Callable[[Path], None]) -> None:
    cache.keep("thing", "a", b"one")
    harm(only(folder))
    assert cache.recall("thing", "a") is None


@posix
@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() != 0, reason="only root can give a file away")
@pytest.mark.parametrize("what", ["folder", "file"])
def test_what_belongs_to_another_user_is_not_read(folder: Path, what: str) -> None:
    cache.keep("thing", "a", b"one")
    os.chown(folder if what == "folder" else only(folder), 12_345, 12_345)
    assert cache.recall("thing", "a") is None


def test_nothing_is_kept_where_it_cannot_be(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    taken = tmp_path / "taken"
    taken.write_text("a file")
    for place in ("", str(taken), str(taken / "below"), "/proc/no-such-folder"):
        monkeypatch.setenv(cache.VARIABLE, place)
        cache.keep("thing", "a", b"one")
        assert cache.recall("thing", "a") is None
    assert taken.read_text() == "a file"


def test_those_who_keep_and_read_at_once_find_all_of_it(folder: Path) -> None:
    whole = b"x" * 200_000

    def both(at: int) -> bytes | None:
        cache.keep("thing", "a", whole)
        return cache.recall("thing", "a")

    with ThreadPoolExecutor(8) as threads:
        assert set(threads.map(both, range(80))) == {whole}
    assert len(list(folder.iterdir())) == 1


def test_only_the_newest_of_a_name_stay(folder: Path) -> None:
    cache.keep("other", "a", b"stays")
    for at in range(cache.KEPT + 5):
        cache.keep("thing", str(at), b"one")
    assert len(list(folder.glob("thing-*"))) == cache.KEPT
    assert cache.recall("thing", str(cache.KEPT + 4)) == b"one"
    assert cache.recall("other", "a") == b"stays"


def test_a_stamp_changes_with_what_lies_below(tmp_path: Path) -> None:
    (tmp_path / "inner").mkdir()
    file = tmp_path / "inner" / "one.toml"
    stamps = [cache.stamp([tmp_path])]
    for text in ("a", "bb"):
        file.write_text(text)
        stamps.append(cache.stamp([tmp_path]))
    os.utime(file, ns=(1, 1))
    stamps.append(cache.stamp([tmp_path]))
    file.rename(tmp_path / "inner" / "two.toml")
    stamps.append(cache.stamp([tmp_path]))
    assert len(set(stamps)) == len(stamps)
    (tmp_path / "__pycache__").mkdir()
    (tmp_path / "__pycache__" / "one.pyc").write_bytes(b"x")
    assert cache.stamp([tmp_path]) == stamps[-1]


@posix
def test_a_link_that_leads_nowhere_hides_no_file_from_the_stamp(tmp_path: Path) -> None:
    # Some editors leave one beside each file that is open.
    (tmp_path / ".#wood.toml").symlink_to("somebody@here.1")
    for name in ("a.toml", "wood.toml", "z.toml"):
        before = cache.stamp([tmp_path])
        (tmp_path / name).write_text("x")
        made = cache.stamp([tmp_path])
        (tmp_path / name).write_text("longer")
        assert len({before, made, cache.stamp([tmp_path])}) == 3


@posix
def test_the_stamp_changes_with_what_lies_behind_a_link(tmp_path: Path) -> None:
    pack, away = tmp_path / "pack", tmp_path / "away"
    pack.mkdir()
    away.mkdir()
    (pack / "linked").symlink_to(away)
    (away / "around").symlink_to(pack)
    before = cache.stamp([pack])
    (away / "wood.toml").write_text("x")
    assert cache.stamp([pack]) != before
