"""Lead and arsenic by suspicion: what treatment, old coating and year of building rule out, and what they do not."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any, Final, Literal

import msgspec

from latewood.declare import F, Q, RecordLookup
from latewood.messages import Clause, Titled, Word, clause
from latewood.provenance import Ledger, Sourced
from latewood.records import Coating, Region, Species
from latewood.records.places import region_of
from latewood.records.region import Use
from latewood.rules import hazard_fields
from latewood.rules.hazard_fields import Old
from latewood.rules.signs import FILM, Sign
from latewood.rules.surface_layers import covering_of
from latewood.rules.wording import Place

Suspicion = Literal["yes", "suspected", "no"]
#: From nothing to fear to what is known to be there.
_RISING: Final[tuple[Suspicion, ...]] = ("no", "suspected", "yes")

#: The form of an ISO 3166 code, as inputs take it.
JURISDICTION: Final = "^[A-Z]{2}(-[A-Z0-9]{1,3})?$"

YearBuilt = Annotated[int, F("Year the deck or house was built", ge=1600, le=2200, example=1996)]


YearRules = Annotated[
    str, F("ISO 3166 code of the place, for the year rules", pattern=JURISDICTION, names="region", example="US-NY")
]


class OldSurface(msgspec.Struct, frozen=True, kw_only=True):
    """A surface that is worked on before it is coated: how large it is, of what wood, and what hazards it may hold."""

    area: Annotated[float, Q("m2", "Area of the surface", ge=0, le=1e5, example="320 ft2")]
    species: Annotated[Species, F("Wood species", example="ipe")] | None = None
    material: hazard_fields.MadeOf | None = None
    treatment: hazard_fields.Preservative | None = None
    treatment_evidence: hazard_fields.PreservativeProof | None = None
    frame: hazard_fields.Frame | None = None
    old_coating: hazard_fields.OldCoating | None = None
    lead_test: hazard_fields.LeadTested | None = None
    lead_test_method: hazard_fields.LeadTestedBy | None = None
    lead_test_date: hazard_fields.LeadTestedOn | None = None
    year_built: YearBuilt | None = None
    jurisdiction: YearRules | None = None


def coating_seen(old: Old | None, signs: Iterable[Sign], known: RecordLookup) -> Old | None:
    """Return the old coating, or the unknown one where a film is seen that nothing named makes.

    A film is there whether or not it was spoken of, and what is not known may hold lead.
    """
    if not FILM & set(signs) or covering_of(old) == "film":
        return old
    unknown: Coating = known.record("coating", "unknown")
    return unknown


def note_film_unnamed(old: Old | None, pointer: str, ledger: Ledger, of: Place = ()) -> None:
    """Say that a film is seen against what was named, or where nothing was."""
    named = clause("no-coating-named" if old is None else "bare-wood-named")
    if old is not None and old != "none":
        named = clause("other-coating-named", coating=Titled(old))
    ledger.find("film-not-named", pointer=pointer, of=list(of), named=named)


def rank(suspicion: Suspicion) -> int:
    """Return how grave a suspicion is: the higher the worse."""
    return _RISING.index(suspicion)


def worst(*found: Suspicion) -> Suspicion:
    """Return the worst of several suspicions; no where there are none."""
    return max(found, key=rank, default="no")


def there(**found: Suspicion) -> Clause | None:
    """Say which of several hazards are in something, and which are only not ruled out; None where none is feared.

    What was found is never called a suspicion: those who know of the lead must not be told to have it tested.
    """
    sure, feared = ([Word("hazard", name) for name, one in found.items() if one == so] for so in ("yes", "suspected"))
    there = clause("hazards-in-it", hazards=sure) if sure else None
    if not feared:
        return there
    open_ = clause("hazards-not-ruled-out", hazards=feared)
    return open_ if there is None else clause("hazards-in-it-and", sure=there, feared=open_)


@dataclass(frozen=True)
class Years:
    """The years that rule a hazard out, in one place; those a verdict turned on go into the basis."""

    built: int | None
    region: Region | None
    ledger: Ledger
    today: date | None = None

    def arsenical(self, uses: tuple[Use, ...]) -> Suspicion:
        """Say whether wood of these uses may hold arsenic, if only its age can tell."""
        return self._unless_built_since(self.arsenical_until(uses))

    def arsenical_until(self, uses: tuple[Use, ...]) -> Sourced | None:
        """Return the last year in which wood with arsenic may have been built in, of the use where that is latest.

        None where the place has no year for one of them: then no year rules it out.
        """
        every = [None if self.region is None else self.region.arsenical_until.get(use) for use in uses]
        known = [number for number in every if number is not None]
        return max(known, key=lambda number: number.si) if len(known) == len(every) else None

    def lead(self) -> Suspicion:
        """Say whether an old coating may hold lead, if only its age can tell: paint, stain and oil alike."""
        return self._unless_built_since(None if self.region is None else self.region.lead_paint_before)

    def _unless_built_since(self, number: Sourced | None) -> Suspicion:
        """Return no where the region's year rules a hazard out; without that or a year of building nothing does."""
        if number is None or self.built is None:
            return "suspected"
        self.ledger.take(number)
        return "no" if self.built >= number.si else "suspected"


def years_of(x: Any, known: RecordLookup, ledger: Ledger, today: date | None = None) -> Years:
    """Return the year rules of the place and year that an input, or the site of a job, states."""
    return Years(x.year_built, region_of(known, x.jurisdiction), ledger, today)
