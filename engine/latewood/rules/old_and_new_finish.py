"""What may be laid over what is left of an old finish: one rule, read from the records of both."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Annotated, Any, Final, Literal

from latewood.declare import F
from latewood.messages import Clause, Titled, clause
from latewood.provenance import Ledger
from latewood.records import Coating
from latewood.rules.hazard_fields import Old
from latewood.rules.signs import FILM, Sign
from latewood.rules.wording import Place

#: Whether a new finish may go over what is left of the old one; not-known where the old one is not.
Fit = Literal["holds", "penetrating-over-film", "less-opaque-over-film", "not-known"]

#: Fits at which nothing is planned; each is the id of a finding too.
REFUSED: Final[frozenset[Fit]] = frozenset({"penetrating-over-film", "less-opaque-over-film"})

#: What a caller of a later step says is left on the wood.
StillOn = Annotated[Old, F("Old coating still on it when it is coated: a family, none or unknown", example="none")]

#: How much a pigment hides, from least to most.
_OPACITY: Final = ("none", "light", "semi-transparent", "solid")


@dataclass(frozen=True)
class Pair:
    """A new finish and the old one that is still on the wood when it is laid."""

    new: Coating
    old: Old | None
    film: bool | None
    fit: Fit

    @property
    def refused(self) -> bool:
        """Whether nothing is planned until the old film is off."""
        return self.fit in REFUSED

    @property
    def under(self) -> Clause:
        """What lies under the new finish."""
        if self.old is None or self.old == "none":
            return clause("an-old-film")
        if self.old.binder == "unknown":
            return clause("an-unknown-film")
        return clause("a-film-of", coating=Titled(self.old))

    @property
    def why(self) -> Clause:
        """Why it is refused."""
        return clause(
            "penetrating-over-film-why" if self.fit == "penetrating-over-film" else "less-opaque-over-film-why",
            under=[self.under],
            new=Titled(self.new),
        )


def film_on(old: Old | None, signs: Iterable[Sign] = ()) -> bool | None:
    """Say whether a film lies on the wood, by what is seen, else by the family; None where neither tells."""
    if FILM & set(signs):
        return True
    if old is None or (old != "none" and old.binder == "unknown"):
        return None
    return old != "none" and old.film


def penetrates(coating: Coating) -> bool | None:
    """Say whether a finish has to go into the wood; None where the finish is not known."""
    return None if coating.binder == "unknown" else not coating.film and not coating.bare


def pair(new: Coating, old: Old | None, signs: Iterable[Sign] = ()) -> Pair:
    """Hold a new finish against the old one left under it.

    A penetrating finish cannot be used over a film: Forest Products Laboratory, LabNotes on cedar that was finished
    before; an article on exterior stains calls it not effective over solid-colour stain or paint. A film that hides
    less than the one below lets it show: common practice takes all of the old film off.
    """
    film = film_on(old, signs)
    return Pair(new, old, film, _fit(new, old, film))


def _fit(new: Coating, old: Old | None, film: bool | None) -> Fit:
    if new.bare or film is False:
        return "holds"
    goes_in = penetrates(new)
    if film is None or goes_in is None:
        return "not-known"
    if goes_in:
        return "penetrating-over-film"
    if old is None or old == "none" or not old.film:
        # A film is seen, how opaque is not known: only a finish that hides all goes over it.
        return "holds" if new.pigment == "solid" else "not-known"
    less = _OPACITY.index(new.pigment) < _OPACITY.index(old.pigment)
    return "less-opaque-over-film" if less else "holds"


def note_pair(found: Pair, ledger: Ledger, *, pointer: str, place: Place = (), **params: Any) -> None:
    """Say where a finish is refused, or not known to hold."""
    if found.fit == "holds" or (found.fit == "not-known" and found.old is None):
        return
    new, of = Titled(found.new), list(place)
    if found.refused:
        ledger.find(found.fit, pointer=pointer, params=params, of=of, under=[found.under], new=new)
    else:
        ledger.find("finish-below-not-known", pointer=pointer, params=params, of=of, new=new)
