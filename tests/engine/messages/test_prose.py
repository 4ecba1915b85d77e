"""What records say in other languages is held against the records, and against the words it was made of."""

from __future__ import annotations

import sys
from importlib.metadata import EntryPoint
from pathlib import Path
from typing import Any

import pytest

from latewood.catalogue import load
from latewood.messages import BadText, Prose, Style, Texts
from latewood.messages.prose import Draft, texts_in
from latewood.messages.sources import Bundle, own
from latewood.plugin import read_texts
from latewood.plugin.loader import installed
from latewood.records import Caution, read_record
from latewood.wire import Options

RECORD = """
schema = 1
record = "caution"
id = "hole"
title = "A hole"
summary = "A hole."
severity = "danger"
rank = 5
message = "Stay {3 m} away."
brief = ["Stay away."]
do = ["Stay away.", "Local rules and the product's safety data sheet come before this advice."]
source = "judgement"
where = "here"
[when]
edge = ["open"]
"""


def caution(text: str = RECORD) -> Caution:
    record = read_record(text, "here/hole.toml")
    assert isinstance(record, Caution)
    return record


def texts(tree: dict[str, Any], kind: str = "caution") -> Texts:
    known = {("caution", "hole"): caution()}
    drafts = (Draft(lang="es", kind=kind, place="here", tree=tree),)
    return Texts([own(), Bundle(drafts=drafts).held(lambda kind, id: known.get((kind, id)))])


@pytest.mark.parametrize(
    ("tree", "kind", "why"),
    [
        ({"hole": {"title": "Un hueco"}}, "route", "there is no route 'hole'"),
        ({"holes": {"title": "Un hueco"}}, "caution", "there is no caution 'holes'"),
        ({"hole": {"titel": "Un hueco"}}, "caution", "the record has no such text"),
        ({"hole": {"do": ["a", "b", "c"]}}, "caution", "do/2: the record has no such text"),
        ({"hole": {"message": "No se acerque."}}, "caution", "its quantities are not those of the record"),
        ({"hole": {"message": "No se acerque a {4 m}."}}, "caution", "its quantities are not those of the record"),
        ({"hole": {"message": "No se acerque a {3 m."}}, "caution", "a brace stands alone"),
    ],
)
def test_what_does_not_fit_its_record_is_refused(tree: dict[str, Any], kind: str, why: str) -> None:
    with pytest.raises(BadText) as refused:
        texts(tree, kind)
    assert why in str(refused.value)


def test_what_records_say_comes_with_the_plugin_that_brings_them() -> None:
    with pytest.raises(BadText, match="is read with the plugin"):
        Texts([own(), Bundle(drafts=(Draft(lang="es", kind="caution", place="here", tree={}),))])


def test_quantities_come_in_the_units_asked_for() -> None:
    speaker = texts({"hole": {"message": "Quédese a {3 m} o más."}}).speaker(Style("es", "us"))
    told, language = speaker.prose(caution().prose("Stay {3 m} away.", "message"))
    assert (told.replace("\u00a0", " "), language) == ("Quédese a 9 pies 10 pulg o más.", None)


def test_another_record_of_the_same_id_keeps_its_own_words_and_is_marked() -> None:
    speaker = texts({"hole": {"title": "Un hueco"}}).speaker(Style("es"))
    assert speaker.prose(Prose("caution", "hole", "title", "A hole")) == ("Un hueco", None)
    assert speaker.prose(Prose("caution", "hole", "title", "A shaft of 9 m")) == ("A shaft of 9 m", "en")


def test_entries_of_lists_go_by_their_id_or_day_or_place() -> None:
    tree = {"do": ["a", "b"], "steps": [{"id": "wash", "why": "c"}], "limits": [{"from": "2010-01-01", "where": "d"}]}
    found = dict(texts_in(tree))
    assert found == {
        "do/0": "a",
        "do/1": "b",
        "steps/wash/id": "wash",
        "steps/wash/why": "c",
        "limits/2010-01-01/from": "2010-01-01",
        "limits/2010-01-01/where": "d",
    }


def test_a_plugin_whose_translation_does_not_fit_is_left_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "hole_pack"
    (package / "cautions").mkdir(parents=True)
    (package / "cautions" / "hole.toml").write_text(RECORD)
    (package / "_languages" / "es" / "records").mkdir(parents=True)
    file = package / "_languages" / "es" / "records" / "caution.toml"
    (package / "__init__.py").write_text(
        "from latewood.plugin import hookimpl, read_pack, read_texts\n"
        "@hookimpl\ndef latewood_records(): return read_pack(__name__)\n"
        "@hookimpl\ndef latewood_texts(): return [read_texts(__name__)]\n"
    )
    monkeypatch.syspath_prepend(str(tmp_path))
    entries = [one for one in installed() if one.name == "latewood"]
    entries.append(EntryPoint("hole", "hole_pack", "latewood"))
    file.write_text('[hole]\ntitel = "Un hueco"\n')
    assert "the record has no such text" in str(load(entries).shelf.plugins[-1].error)
    sys.modules.pop("hole_pack")
    file.write_text('[hole]\ntitle = "Un hueco"\n')
    engine = load(entries)
    assert engine.shelf.plugins[-1].error is None
    shown = caution().show(())
    told = engine.speaker(Options(lang="es")).prose(Prose("caution", "hole", "title", shown.title))
    assert told == ("Un hueco", None)


def test_hidden_files_beside_texts_are_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # What editors and systems leave beside a file that is open or was copied.
    package = tmp_path / "cluttered_pack"
    records = package / "_languages" / "es" / "records"
    records.mkdir(parents=True)
    (package / "__init__.py").touch()
    (records / "caution.toml").write_text('[hole]\ntitle = "Un hueco"\n')
    for folder in (package / "_languages", records.parent, records):
        (folder / "._caution.toml").write_bytes(b"\x00\x05\x16\x07")
        (folder / ".#caution.toml").symlink_to("somebody@here.1")
    monkeypatch.syspath_prepend(str(tmp_path))
    found = read_texts(package.name)
    assert [draft.kind for draft in found.drafts] == ["caution"]
    assert found.packs == ()
