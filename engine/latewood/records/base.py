"""What every record has: an id, words for people, and where its numbers and references are."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Annotated, Any, ClassVar, Literal

import msgspec

from latewood.messages import Clause, Prose, clause
from latewood.problems import Fault
from latewood.provenance import Sourced
from latewood.records.fields import Matching, Meaning

#: Preservative in wood, and what a component is made of.
Treatment = Literal["none", "copper", "arsenical", "creosote", "pentachlorophenol", "unknown"]
Material = Literal["wood", "composite"]

ID = re.compile(r"[a-z][a-z0-9-]*")

#: An ISO 3166 code: a country, or a country and one of its parts.
Jurisdiction = Annotated[str, Matching(r"[A-Z]{2}(-[A-Z0-9]{1,3})?", "an ISO 3166 code, such as US or US-CA")]


class Reference(msgspec.Struct, frozen=True):
    """One record naming another: the field it stands in, and the kind and id it names."""

    field: str
    kind: str
    id: str


class Record(msgspec.Struct, frozen=True, kw_only=True, dict=True):
    """One entry of the shelf, read from one TOML file and never changed.

    The annotation of a field says what the file may hold there: a marker that reads it (`N`, `Ref`, `Matching`, …),
    a type, and a plain text with its meaning.
    """

    KIND: ClassVar[str]

    id: Annotated[str, Matching(ID.pattern, "small letters, digits and hyphens"), "Unique within its kind"]
    title: Annotated[str, "Name as people say it"]
    summary: Annotated[str, "One sentence for lists"]
    synonyms: Annotated[tuple[str, ...], "Other names that mean this and nothing else"] = ()
    replaces: Annotated[str, "The <kind>/<id> of another plugin's record it stands in for"] = ""

    #: Not in the file: where it stands, the file as read, and what was found while reading it.
    place: str = ""
    raw: Mapping[str, Any] = {}
    numbers: Mapping[str, Sourced] = {}
    meanings: Mapping[str, Meaning] = {}
    references: tuple[Reference, ...] = ()

    @property
    def path(self) -> str:
        """The start of the path of every number in it."""
        return f"{self.KIND}/{self.id}"

    def prose(self, text: str, *field: str) -> Prose:
        """Return a text of it, with where it stands in its file: an entry of a list goes by its id or its place."""
        return Prose(self.KIND, self.id, "/".join(field), text)

    def recorded(self, text: str, *field: str) -> Clause:
        """Return a text of it as a clause."""
        return clause("as-recorded", text=self.prose(text, *field))

    @property
    def spoken(self) -> tuple[str, ...]:
        """Every name it may be looked up by."""
        return self.id, self.title, *self.synonyms

    @property
    def loose_names(self) -> tuple[str, ...]:
        """What people say for it that may mean others too, and so is never taken for it."""
        return ()

    def models_used(self) -> set[tuple[str, str]]:
        """Return kind and name of each model it chose."""
        return set()

    def conflicts(self) -> Iterable[Fault]:
        """Return what is wrong between fields that are each right by themselves."""
        return ()


#: Fields of a record that its file does not hold.
HELD = frozenset({"place", "raw", "numbers", "meanings", "references"})


def covers(codes: tuple[str, ...], jurisdiction: str) -> bool:
    """Say whether a list of ISO 3166 codes takes in a jurisdiction: US takes in US-NY, US-NY does not take in US."""
    return any(jurisdiction == code or jurisdiction.startswith(f"{code}-") for code in codes)
