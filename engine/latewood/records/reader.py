"""Reads records from TOML text and from the folders of an installed package."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

import msgspec

from latewood import cache
from latewood.problems import Fault, nearest
from latewood.records import kept
from latewood.records.abrasive import Abrasive
from latewood.records.base import HELD, Record, Reference
from latewood.records.board_colour import BoardColour
from latewood.records.board_heat import BoardHeat
from latewood.records.caution import Caution
from latewood.records.check import Check
from latewood.records.coating import AbsorbencyClass, Application, Coating
from latewood.records.condition import ConditionRule
from latewood.records.erosion import Erosion
from latewood.records.fastening import FastenerPractice
from latewood.records.fields import MISSING, Reading, read_struct
from latewood.records.labour_allowance import LabourAllowance
from latewood.records.machine import Machine
from latewood.records.moisture import (
    DropTestRule,
    DryingModel,
    GapRule,
    MoistureLimits,
    MoistureMeter,
    NewWoodWait,
    ReadingPractice,
    WettingKind,
)
from latewood.records.outdoor_work import OutdoorWork
from latewood.records.pairing import Pairing
from latewood.records.rate import Rate
from latewood.records.region import Region
from latewood.records.route import Route
from latewood.records.sanding import SandingPractice
from latewood.records.site_protection import SiteProtection
from latewood.records.source import Source
from latewood.records.species import Names, Species
from latewood.records.voc_limits import VocLimits
from latewood.records.wash import PressureRule, WashAgent
from latewood.records.waste import Waste
from latewood.records.wiping import WipingRegime

SCHEMA = 1

#: Every kind of record, by the word its files begin with.
KINDS: Mapping[str, type[Record]] = {
    kind.KIND: kind
    for kind in (
        Species,
        Names,
        AbsorbencyClass,
        Coating,
        BoardColour,
        BoardHeat,
        OutdoorWork,
        Pairing,
        Application,
        LabourAllowance,
        MoistureMeter,
        MoistureLimits,
        DropTestRule,
        NewWoodWait,
        WettingKind,
        DryingModel,
        ReadingPractice,
        GapRule,
        Abrasive,
        Machine,
        SandingPractice,
        Erosion,
        FastenerPractice,
        SiteProtection,
        Waste,
        WashAgent,
        PressureRule,
        ConditionRule,
        WipingRegime,
        Rate,
        Route,
        VocLimits,
        Region,
        Caution,
        Source,
        Check,
    )
}


class BadRecord(ValueError):
    """A record file that cannot be used, with every fault found in it."""

    def __init__(self, place: str, faults: Iterable[Fault], *, newer: bool = False) -> None:
        self.place = place
        self.faults = tuple(faults)
        #: Whether a newer latewood may read it.
        self.newer = newer
        super().__init__("\n".join(f"{place}: {fault.line()}" for fault in self.faults))


def read_record(text: str, place: str) -> Record:
    """Return the record a TOML text holds; ``place`` names its plugin and file in a `BadRecord`."""
    try:
        raw = msgspec.toml.decode(text)
    except msgspec.DecodeError as error:
        raise BadRecord(place, [Fault(pointer="", code="not-toml", detail=str(error))]) from None
    kind = _kind_of(raw, place)
    reading = Reading(f"{kind.KIND}/{raw.get('id', '')}")
    _check_file_name(raw, place, reading)
    content = {key: value for key, value in raw.items() if key not in ("schema", "record")}
    record = read_struct(kind, content, (), reading, held=HELD)
    _check_shared_unknowns(reading)
    if isinstance(record, Record):
        reading.faults.extend(record.conflicts())
    if reading.faults or record is MISSING:
        raise BadRecord(place, reading.faults)
    found: Record = msgspec.structs.replace(
        record,
        place=place,
        raw=raw,
        numbers=reading.numbers,
        meanings=reading.meanings,
        references=tuple(Reference(*reference) for reference in reading.references),
    )
    return found


def _kind_of(raw: Mapping[str, Any], place: str) -> type[Record]:
    """Return the kind of a record, without which no other field can be judged."""
    faults = []
    schema = raw.get("schema")
    if type(schema) is int and schema > SCHEMA:
        # What else of it is known here, nobody can say.
        detail = f"schema {schema} is newer than what this latewood reads"
        expected = f"schema = {SCHEMA}, or a newer latewood"
        fault = Fault(pointer="/schema", code="unknown-schema", detail=detail, expected=expected)
        raise BadRecord(place, [fault], newer=True)
    if schema != SCHEMA or isinstance(schema, bool):
        faults.append(
            Fault(pointer="/schema", code="unknown-schema", detail="not a known schema", expected="schema = 1")
        )
    word = raw.get("record")
    if not isinstance(word, str) or word not in KINDS:
        detail = "the kind of record is missing" if word is None else f"{word!r} is not a kind of record"
        expected = "one of " + ", ".join(KINDS)
        faults.append(
            Fault(
                pointer="/record",
                code="unknown-kind",
                detail=detail,
                expected=expected,
                nearest=nearest(str(word), KINDS),
            )
        )
    if faults:
        raise BadRecord(place, faults)
    return KINDS[str(word)]


def _check_file_name(raw: Mapping[str, Any], place: str, reading: Reading) -> None:
    name = place.replace("\\", "/").rsplit("/", 1)[-1]
    expected = f"{str(raw.get('id')).replace('-', '_')}.toml"
    if name.endswith(".toml") and isinstance(raw.get("id"), str) and name != expected:
        reading.fault(("id",), "file-name", f"the file is called {name}", expected=f"the file to be called {expected}")


def _check_shared_unknowns(reading: Reading) -> None:
    """See to it that a number moves with one that exists, where that is one of this record's own."""
    own = f"{reading.path}/"
    for path, number in reading.numbers.items():
        if number.unknown.startswith(own) and number.unknown not in reading.numbers:
            at = (*path.removeprefix(own).split("/"), "moves_with")
            close = nearest(number.unknown, reading.numbers)
            reading.fault(at, "unknown-path", f"there is no number {number.unknown}", nearest=close)


def read_pack(package: str) -> list[Record]:
    """Return the records of every ``*.toml`` in an installed package's folders, in order of folder and name.

    Texts (``messages.toml``) and folders that begin with an underscore (``_languages``) hold none.

    Raises `BadRecord` with the faults of the first file that has any.
    """
    folder = files(package)
    made_from = cache.made_from(package, folder)
    if made_from is not None and (found := kept.recall(package, made_from, KINDS)) is not None:
        return [one if isinstance(one, Record) else read_record(one[1], one[0]) for one in found]
    texts = ((place, _text(entry, place)) for place, entry in _toml_files(folder, package))
    read = [(place, text, read_record(text, place)) for place, text in texts]
    if made_from is not None:
        kept.keep(package, made_from, read)
    return [record for *_, record in read]


def _toml_files(folder: Traversable, place: str) -> Iterator[tuple[str, Traversable]]:
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        where = f"{place}/{entry.name}"
        # Hidden names are not the pack's: editors and systems leave them beside what is open or copied.
        if entry.name.startswith("."):
            continue
        if entry.is_dir() and not entry.name.startswith("_"):
            yield from _toml_files(entry, where)
        elif entry.name.endswith(".toml") and entry.name != "messages.toml":
            yield where, entry


def _text(entry: Traversable, place: str) -> str:
    try:
        return entry.read_text("utf-8")
    except UnicodeDecodeError as error:
        raise BadRecord(place, [Fault(pointer="", code="not-utf-8", detail=str(error))]) from None
